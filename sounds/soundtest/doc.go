// Package soundtest lets a test hear what a program plays, on a machine without a
// sound card, and compares it with what should be heard.
//
// [Start] runs a private sound server (PulseAudio) with a sink that goes nowhere and
// records that sink:
//
//	sink := soundtest.Start(t)
//	cmd := sink.Command(program, "run")
//	... run it to its end ...
//	heard := sink.Stop()
//	at, share := soundtest.Trace(heard, expected) // share > soundtest.Heard: it was said
//
// [Find] is strict: one gap of a few milliseconds in the capture, as a busy machine
// makes them, and it does not match any more. [Trace] follows the expected sound over
// such gaps; use it in tests.
//
// It needs the programs pulseaudio and parec (Debian: pulseaudio, pulseaudio-utils).
// Where they are missing the test is skipped, or fails if CI is true in the
// environment. [Find], [Trace], [ActiveLevel] and [Power] need nothing.
//
// The package is for tests only; the program does not import it.
package soundtest

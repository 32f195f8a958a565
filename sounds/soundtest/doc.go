// Package soundtest lets a test hear what a program plays, on a machine without a
// sound card, and compares it with what should be heard.
//
// [Start] runs a private sound server (PulseAudio) with a sink that goes nowhere and
// records that sink:
//
//	sink := soundtest.Start(t)
//	cmd := exec.Command(program, "run")
//	cmd.Env = append(os.Environ(), sink.Env()...)
//	... run it to its end ...
//	heard := sink.Stop()
//	at, match := soundtest.Find(heard, expected) // match > soundtest.Same: it was said
//
// It needs the programs pulseaudio and parec (Debian: pulseaudio, pulseaudio-utils).
// Where they are missing the test is skipped, or fails if CI is true in the
// environment. [Find], [ActiveLevel] and [Power] need nothing.
//
// The package is for tests only; the program does not import it.
package soundtest

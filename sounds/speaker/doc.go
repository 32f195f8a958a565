// Package speaker makes samples heard: it finds a sound device, feeds it without end,
// notices when the device is lost and takes up again when one is back.
//
// A [Player] never holds up its caller. Nothing here waits for a sound to end, so a
// lathe job goes on by its own events when there is no sound; what is missing is told
// once, in one line. A new cue silences the one before it at once, because a cue that
// comes late is a wrong instruction.
//
// Two kinds of [Device] exist: in this process, which needs no program and no C
// compiler but on Linux a dynamically linked binary, and through a player program
// (pacat or aplay) that is given the samples on its standard input, which is all that
// a binary built with -tags static has.
package speaker

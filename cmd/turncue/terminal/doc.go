// Package terminal holds the keys and the screen of a terminal.
//
// [Keys] delivers one event for each key, named, stamped on the monotonic clock as
// it is read, and marked when it is part of a paste or of a string typed by a
// device. Escape sequences are put together here; what is not known is the key
// "unknown", which must do nothing. Signals arrive as keys too. [Screen] writes
// whole frames in one piece; [Frame] and [Plain] are its pure parts.
//
// A terminal left in raw mode by a crash is a shop computer that seems dead.
// [Keys.Restore] puts it back from any path, and [Guard] from outside the
// process, for the crashes no code inside can answer. The terminal is never asked
// for its colours: the answer would eat keys.
package terminal

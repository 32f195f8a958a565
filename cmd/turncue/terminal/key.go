package terminal

import "time"

// A Key is one key, or one thing that happened to the terminal.
//
// Name is the printed character in its own case ("b", "B", "7", ".") or one of
// "space", "enter", "tab", "backspace", "esc", "pgup", "pgdn", "home", "end", "ins",
// "del", "up", "down", "left", "right", "f1" to "f20"; with a modifier in front
// ("ctrl+c", "alt+b", "shift+f5"); "paste" for pasted text as a whole; "unknown"
// for a sequence that names no key. What happened to the terminal is "interrupt",
// "terminate" and "hangup", which end a run, and "resumed" after a suspension.
type Key struct {
	Name string
	Rune rune          // the character, 0 if the key is not one
	Text bool          // part of a burst or a paste: never to be acted on
	At   time.Duration // since the keys were opened, monotonic
}

// Ends tells whether the key asks the program to end: control C, or a signal.
func (k Key) Ends() bool {
	switch k.Name {
	case "ctrl+c", "interrupt", "terminate", "hangup":
		return true
	}
	return false
}

package pedal

import "fmt"

// Codes of keys (Linux, input-event-codes.h). A pedal is any of them.
const (
	codeEsc   = 1
	codeEnter = 28
	lastCode  = 0x2ff // of all keys
)

// keyRows are runs of codes whose keys are the characters of a row.
var keyRows = []struct {
	first uint16
	keys  string
}{
	{2, "1234567890-="}, {16, "qwertyuiop[]"}, {30, "asdfghjkl;'`"}, {43, `\zxcvbnm,./`},
}

// keyNames are the names of codes; where the terminal has a name for a key it is the
// same.
var keyNames = namesOfKeys()

func namesOfKeys() map[uint16]string {
	names := map[uint16]string{
		codeEsc: "esc", 14: "backspace", 15: "tab", codeEnter: "enter", 57: "space", 96: "enter",
		102: "home", 103: "up", 104: "pgup", 105: "left", 106: "right", 107: "end", 108: "down", 109: "pgdn", 110: "ins", 111: "del",
		71: "kp7", 72: "kp8", 73: "kp9", 74: "kp-", 75: "kp4", 76: "kp5", 77: "kp6", 78: "kp+", 79: "kp1", 80: "kp2", 81: "kp3", 82: "kp0", 83: "kp.",
		87: "f11", 88: "f12", 58: "capslock", 69: "numlock", 70: "scrolllock", 119: "pausekey",
		113: "mute", 114: "volumedown", 115: "volumeup", 163: "nextsong", 164: "playpause", 165: "previoussong", 166: "stopmedia",
		272: "mouse1", 273: "mouse2", 274: "mouse3", 275: "mouse4", 276: "mouse5",
	}
	for _, r := range keyRows {
		for i, c := range r.keys {
			names[r.first+uint16(i)] = string(c)
		}
	}
	for i := range uint16(10) {
		names[59+i] = fmt.Sprintf("f%d", 1+i)
		names[256+i] = fmt.Sprintf("button%d", 1+i)
	}
	for i := range uint16(12) {
		names[183+i] = fmt.Sprintf("f%d", 13+i)
	}
	return names
}

// modifiers are the keys that change others, in the order they are named in.
var modifiers = []struct {
	name  string
	codes [2]uint16
}{
	{"ctrl", [2]uint16{29, 97}}, {"alt", [2]uint16{56, 100}}, {"super", [2]uint16{125, 126}}, {"shift", [2]uint16{42, 54}},
}

// keyName is the name of a key by itself; a key without a name is "key" and its
// code.
func keyName(code uint16) string {
	if name := keyNames[code]; name != "" {
		return name
	}
	return fmt.Sprintf("key%d", code)
}

// isModifier tells whether a key only changes others.
func isModifier(code uint16) bool {
	for _, m := range modifiers {
		if code == m.codes[0] || code == m.codes[1] {
			return true
		}
	}
	return false
}

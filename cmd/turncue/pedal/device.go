package pedal

import (
	"errors"
	"time"
)

// Auto is the name under which any pedal on USB that is found is read, if it is the
// only one.
const Auto = "auto"

// ErrNotHere says that pedals cannot be read directly on this system.
var ErrNotHere = errors.New("a pedal can be read directly on Linux only: leave --pedal out, and it works through its keys")

// A Signal is one thing that came from a device: an edge, or, where Note is not
// empty, something to be told once.
type Signal struct {
	Edge
	Note string
}

// Found is a pedal, or what could be one.
type Found struct {
	Path     string   // by its lasting name
	Name     string   // as the device calls itself; "" if it may not be read
	Nodes    []string // every part of it
	Keyboard bool     // it has letters, enter and escape: read only if it is named
	Pedal    bool     // it has keys of the usual layout and is no keyboard
	Fixed    bool     // it is not plugged in by USB, perhaps a part of the computer: read only if it is named
	Err      error    // why it cannot be read
	Rule     string   // a line for udev that makes it readable; "" if not known
}

const (
	lookEvery = 250 * time.Millisecond // how often a missing device is looked for
	room      = 64                     // signals waiting to be taken
	spare     = 16                     // of these, kept for releases and notes
	parts     = 16                     // most parts of one device
)

// capable is what a device says of itself.
type capable struct {
	name string
	keys []uint16
}

// keyboard tells whether the device could be what a person types on.
func (c capable) keyboard() bool {
	letters := c.count(16, 25) + c.count(30, 38) + c.count(44, 50)
	return letters >= 20 && c.count(codeEnter, codeEnter) == 1 && c.count(codeEsc, codeEsc) == 1
}

// pedal tells whether the device has keys of the usual layout and is neither a
// keyboard nor a pad of numbers.
func (c capable) pedal() bool {
	if c.keyboard() || c.count(2, 11) == 10 || c.count(71, 83) >= 11 {
		return false
	}
	layout := DefaultLayout()
	for _, code := range c.keys {
		if layout.Action(keyName(code)) != None {
			return true
		}
	}
	return false
}

// count is how many of the keys from first to last there are.
func (c capable) count(first, last uint16) (n int) {
	for _, k := range c.keys {
		if k >= first && k <= last {
			n++
		}
	}
	return n
}

// Rule is the line for udev that lets the person at the computer read a device, with
// its numbers as four hexadecimal digits, and takes its keys away from every other
// program. Its file must sort before the rules of the seat: 70-turncue-pedal.rules.
func Rule(vendor, product string) string {
	return `SUBSYSTEM=="input", KERNEL=="event*", ATTRS{id/vendor}=="` + vendor + `", ATTRS{id/product}=="` + product +
		`", TAG+="uaccess", GROUP="input", MODE="0660", ENV{LIBINPUT_IGNORE_DEVICE}="1"`
}

package speaker

import (
	"fmt"
	"io"
	"time"

	"turncue/sounds"
)

// A Device takes samples from a reader as fast as it sounds them: two channels, 16
// bits signed, little endian, 48 000 a second. The reader never blocks and never
// ends while the device is wanted; at io.EOF the device stops pulling.
type Device interface {
	// Name is the device in a message: "pacat".
	Name() string
	// Start opens the device and begins to pull. It returns once sound runs or it is
	// clear why not; a device that was closed or has died may be started again.
	Start(samples io.Reader) error
	// Err is why a running device stopped; nil while it runs, and from a device that
	// cannot tell. Whoever must know for certain watches whether samples are pulled.
	Err() error
	// Close lets what was pulled already be heard, which takes no longer than the
	// device's buffer, and lets go.
	Close() error
}

// Latency is the device buffer asked for, by measurement the shortest that plays
// without a gap while every core is busy. What is played is heard about 10 ms later
// than this.
const Latency = 80 * time.Millisecond

const (
	frameBytes    = 4
	bytesPerSec   = int(sounds.Rate) * frameBytes
	openLimit     = 5 * time.Second
	closeLimit    = 500 * time.Millisecond
	childLatency  = "60"    // pacat, milliseconds
	childBuffer   = "80000" // aplay, microseconds
	childPeriod   = "20000"
	childPipeSize = 4096
)

// Choice says which devices may be used. The zero Choice is Auto.
type Choice int

// The choices of device.
const (
	Auto Choice = iota // in this process, else through a player program
	Pipe               // through a player program only
	None               // no sound
)

var choiceNames = []string{"auto", "pipe", "none"}

func (c Choice) String() string {
	if c < 0 || int(c) >= len(choiceNames) {
		return fmt.Sprintf("choice(%d)", int(c))
	}
	return choiceNames[c]
}

// MarshalText gives the word that UnmarshalText reads.
func (c Choice) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads auto, pipe or none.
func (c *Choice) UnmarshalText(text []byte) error {
	for i, name := range choiceNames {
		if name == string(text) {
			*c = Choice(i)
			return nil
		}
	}
	return fmt.Errorf("audio %q is not known; use auto, pipe or none", text)
}

// devices are those of a choice in the order in which they are tried.
func (c Choice) devices() []Device {
	var all []Device
	if c == Auto {
		if d := inProcess(); d != nil {
			all = append(all, d)
		}
	}
	if c != None {
		all = append(all, newPipe())
	}
	return all
}

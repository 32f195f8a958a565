package main

import (
	"testing"
	"time"

	"turncue/calc"
	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// A figure with enter, faster than a hand types, is a reading only if that is all that
// came, be it in pieces: the end of something longer is none.
func TestBurstIsAReading(t *testing.T) {
	const pause = 300 * time.Millisecond
	um := calc.Micrometre
	for _, c := range []struct {
		name   string
		bursts []string
		want   calc.Length // zero: none
	}{
		{"figure", []string{"16.28\r"}, 16280 * um},
		{"figure with its unit", []string{"+16.28 mm\r"}, 16280 * um},
		{"in two halves", []string{"16.", "28\r"}, 16280 * um},
		{"enter late", []string{"16.28", "\r"}, 16280 * um},
		{"begun anew", []string{"16.2", "16.28\r"}, 0},
		{"begun anew and once more", []string{"16.2", "16.28\r", "16.28\r"}, 16280 * um},
		{"word", []string{"ready\r"}, 0},
		{"end of something long", []string{"0123456789abcdef16.28\r"}, 0},
		{"end of something longer", []string{"0123456789abcdef0123456789abcdef016.28\r"}, 0},
		{"behind a key that is no letter", []string{"12\x0016.28\r"}, 0},
		{"behind a long text", []string{"0123456789abcdef0123456789abcdef0\r", "16.28\r"}, 16280 * um},
	} {
		e := newEntry(pedal.Safe(), calc.Millimetre)
		e.show(runner.Frame{Phase: runner.Running, Step: &sequence.Step{ID: "size", Needs: sequence.NeedReading}})
		var got calc.Length
		at := time.Second
		for _, burst := range c.bursts {
			at += pause
			for _, r := range burst {
				k := terminal.Key{Name: string(r), Rune: r, At: at, Text: true}
				switch r {
				case '\r':
					k.Name, k.Rune = "enter", 0
				case 0:
					k.Name = "f5"
				}
				if kind, ok := e.key(k).(runner.Reading); ok {
					got = kind.Value
				}
				at += time.Millisecond
			}
		}
		if got != c.want {
			t.Errorf("%s: %q gives %v, want %v", c.name, c.bursts, got, c.want)
		}
	}
}

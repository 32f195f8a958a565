package setup

import (
	"fmt"
	"slices"

	"turncue/calc"
)

// Morse is a Morse taper of ISO 296 by its gauge diameter and ratio. Every size has
// its own angle. Lists of end diameters use lengths of their own: work from the
// ratio alone. The figures are from memory, checked within 0.2 % against published
// end diameters and lengths.
type Morse struct {
	Number int
	Gauge  calc.Length // diameter at the gauge plane
	Taper  Taper
}

// Morses is every size, as a copy.
func Morses() []Morse { return slices.Clone(morses) }

// MorseNumber is one size.
func MorseNumber(n int) (Morse, error) {
	for _, m := range morses {
		if m.Number == n {
			return m, nil
		}
	}
	return Morse{}, fmt.Errorf("no Morse taper number %d: there are 0 to 6", n)
}

var morses = []Morse{
	morse(0, 9045, 19212), morse(1, 12065, 20047), morse(2, 17780, 20020), morse(3, 23825, 19922),
	morse(4, 31267, 19254), morse(5, 44399, 19002), morse(6, 63348, 19180),
}

// morse is a size by its gauge diameter in micrometres and its ratio in
// thousandths.
func morse(n int, gauge, ratio int64) Morse {
	return Morse{n, microns(gauge), Taper{calc.Millimetre, microns(ratio)}}
}

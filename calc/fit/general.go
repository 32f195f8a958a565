package fit

import (
	"fmt"

	"turncue/calc"
)

// Kind is what a general tolerance is asked for.
type Kind int

// The kinds of size in ISO 2768-1.
const (
	Linear Kind = iota // diameters, lengths, distances (table 1)
	Edge               // chamfer heights and external radii (table 2)
)

// general are the permissible deviations of ISO 2768-1 class m, from memory.
var general = map[Kind][]struct{ upTo, deviation calc.Length }{
	Linear: {{6 * mm, 100 * um}, {30 * mm, 200 * um}, {120 * mm, 300 * um}, {400 * mm, 500 * um}, {1000 * mm, 800 * um}, {2000 * mm, 1200 * um}},
	Edge:   {{3 * mm, 200 * um}, {6 * mm, 500 * um}, {2000 * mm, 1000 * um}},
}

// General is the band ISO 2768-1 class m gives a size that carries no
// tolerance. Under 0.5 mm, where the standard asks for a written tolerance, and
// above 2000 mm it is an error.
func General(nominal calc.Length, kind Kind) (Limits, error) {
	if nominal < 500*um || nominal > 2000*mm {
		return Limits{}, fmt.Errorf("general tolerances run from 0.5 mm to 2000 mm, not to %s: write the tolerance out, such as %s ±0.05 mm", nominal, nominal)
	}
	for _, g := range general[kind] {
		if nominal <= g.upTo {
			return Limits{Nominal: nominal, Min: nominal - g.deviation, Max: nominal + g.deviation, Class: Default, Source: sourceISO2768}, nil
		}
	}
	return Limits{}, fmt.Errorf("no general tolerance of kind %d is known", kind)
}

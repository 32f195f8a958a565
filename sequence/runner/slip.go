package runner

import (
	"fmt"

	"turncue/calc"
	"turncue/sequence"
)

// A slip is what people do wrong when they read a size.
type slip struct {
	turn calc.Length // a whole turn miscounted; zero for a slip of units
	what string
	size calc.Length // what the size is if that slip was made
}

func (s slip) text(unit calc.Length) string {
	if s.turn > 0 {
		return fmt.Sprintf("one %s (%s) off it would be %s", s.what, size(s.turn, unit), size(s.size, unit))
	}
	return fmt.Sprintf("%s it would be %s", s.what, size(s.size, unit))
}

// turns are what one turn of common instruments is worth: the thimble of a
// micrometer (0.5 mm; 0.025 in), the needle of a dial indicator or dial caliper
// (1 mm; 0.1 in). Common practice.
var turns = []struct {
	unit calc.Length // of the instrument
	per  calc.Length
	name string
}{
	{calc.Millimetre, calc.Millimetre / 2, "thimble turn"},
	{calc.Inch, 25 * calc.Thou, "thimble turn"},
	{calc.Millimetre, calc.Millimetre, "needle turn"},
	{calc.Inch, 100 * calc.Thou, "needle turn"},
}

// likelySlip finds the slip that would bring an unlikely reading nearest to the size
// expected. A miscounted turn must bring it to within two divisions of the band, a
// slip of units to within a fiftieth of the size.
func likelySlip(m *sequence.Measure, v calc.Length) (slip, bool) {
	var best slip
	found := false
	consider := func(s slip, slack calc.Length) {
		if s.size < m.Min-slack || s.size > m.Max+slack {
			return
		}
		if !found || (s.size-m.Nominal).Abs() < (best.size-m.Nominal).Abs() {
			best, found = s, true
		}
	}
	for _, own := range []bool{true, false} { // an instrument of the other unit is less likely
		for _, t := range turns {
			if own != (t.unit == m.Unit) {
				continue
			}
			for _, with := range []calc.Length{v - t.per, v + t.per} {
				consider(slip{t.per, t.name, with}, agree(m))
			}
		}
		if found {
			return best, true
		}
	}
	slack := max(agree(m), m.Nominal/50)
	if m.What == sequence.MeasureDiameter || m.What == sequence.MeasureGroove || m.What == sequence.MeasureBore || m.What == sequence.MeasureMouth {
		consider(slip{what: "if that is the radius,", size: 2 * v}, slack)
	}
	consider(slip{what: "if that was read in inches,", size: v * 254 / 10}, slack)
	consider(slip{what: "if that was read in millimetres,", size: v * 10 / 254}, slack)
	consider(slip{what: "with the point one place to the right,", size: v * 10}, slack)
	consider(slip{what: "with the point one place to the left,", size: v / 10}, slack)
	return best, found
}

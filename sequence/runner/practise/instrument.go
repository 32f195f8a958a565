package practise

import (
	"fmt"
	"strings"

	"turncue/calc"
	"turncue/sequence"
)

// Shown is what the instrument of a measurement shows at a size: a micrometer by its
// sleeve and thimble, to be added up; anything else by its figure.
func Shown(st *sequence.Step, size calc.Length) string {
	with := ""
	for _, m := range st.Moves {
		if m, ok := m.(sequence.Inspect); ok {
			with = m.With
		}
	}
	m := st.Measure
	if !strings.HasPrefix(with, "micrometer") || m == nil || size < 0 {
		return fmt.Sprintf("the %s shows %s", orInstrument(with), sequence.SizeWord(size, unitOf(m)))
	}
	if m.Unit == calc.Inch {
		turn := 25 * calc.Thou
		sleeve := size.Floor(turn)
		return fmt.Sprintf("the micrometer shows %s on the sleeve, and the thimble stands at %s of 25",
			sleeve.Trimmed(calc.Inch, 3), (size-sleeve).Trimmed(calc.Thou, 1))
	}
	turn := calc.Millimetre / 2
	sleeve := size.Floor(turn)
	return fmt.Sprintf("the micrometer shows %s on the sleeve, and the thimble stands at %s of 50",
		sleeve.Decimal(calc.Millimetre, 1), (size-sleeve).Trimmed(calc.Millimetre/100, 1))
}

func orInstrument(with string) string {
	if with == "" {
		return "instrument"
	}
	return with
}

func unitOf(m *sequence.Measure) calc.Length {
	if m == nil || m.Unit == 0 {
		return calc.Millimetre
	}
	return m.Unit
}

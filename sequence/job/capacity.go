package job

import (
	"slices"
	"strings"

	"turncue/calc"
	"turncue/calc/setup"
)

// Capacity is what goes on a lathe and through it. A zero figure is not known, and
// nothing is checked against it.
type Capacity struct {
	Swing          calc.Length // largest diameter that turns over the bed
	SwingOverSlide calc.Length // and over the cross slide
	SpindleBore    calc.Length // the largest bar that goes through the spindle
	SpindleLength  calc.Length // from the front of the jaws to the back end of the spindle
	ChuckDepth     calc.Length // how far a bar that does not go through the spindle goes in behind the front of the jaws
	Steadies       []string    // "fixed", "travelling"
	Sleeve         calc.Length // travel of the tailstock sleeve
	Taper          string      // Morse taper of the tailstock sleeve, "2"; "" is not known
	Centre         string      // "live" or "dead"; "" is not known
}

// The steadies and the centres.
const (
	SteadyFixed      = "fixed"
	SteadyTravelling = "travelling"
	CentreLive       = "live"
	CentreDead       = "dead"
)

var tailstockFields = append(slices.Clone(dialFields), field{"sleeve", `"60 mm"`}, field{"taper", `"MT2"`}, field{"centre", `"live"`})

var tapers = []string{"MT0", "MT1", "MT2", "MT3", "MT4", "MT5", "MT6"}

// capacity reads what goes on the lathe and through it.
func (p *latheParser) capacity() {
	s, c := p.top, &p.lathe.Capacity
	swing, over := s.get("swing"), s.get("swing_over_slide")
	c.Swing, c.SwingOverSlide = swing.length(maxOut), over.length(maxOut)
	if c.Swing > 0 && c.SwingOverSlide > c.Swing {
		over.fault("order", "swing_over_slide", show(c.SwingOverSlide, unit(strings.TrimSpace(over.str))), "swing", show(c.Swing, unit(strings.TrimSpace(swing.str))))
		c.SwingOverSlide = 0
	}
	through := s.get("spindle_bore")
	c.SpindleBore = through.length(maxBar)
	if c.Swing > 0 && c.SpindleBore > c.Swing {
		through.fault("order", "spindle_bore", show(c.SpindleBore, unit(strings.TrimSpace(through.str))), "swing", show(c.Swing, unit(strings.TrimSpace(swing.str))))
		c.SpindleBore = 0
	}
	c.SpindleLength = s.get("spindle_length").length(maxOut)
	c.ChuckDepth = s.get("chuck_depth").length(maxBar)
	if a := s.get("steady"); a.there() {
		items, _ := a.list()
		for _, it := range items {
			name := it.word(SteadyFixed, SteadyTravelling)
			if name != "" && contains(c.Steadies, name) {
				it.fault("steady-twice", name)
				continue
			}
			if name != "" {
				c.Steadies = append(c.Steadies, name)
			}
		}
	}
}

// tailstock reads the tailstock: its ring, where its wheel has one, and its sleeve.
func (p *latheParser) tailstock(a arg) *setup.Dial {
	s := p.sub(a, tailstockFields)
	if s == nil {
		return nil
	}
	c := &p.lathe.Capacity
	c.Sleeve = s.get("sleeve").length(maxBar)
	c.Taper = strings.TrimPrefix(s.get("taper").word(tapers...), "MT")
	c.Centre = s.get("centre").word(CentreLive, CentreDead)
	for _, f := range dialFields {
		if s.given(f.key) {
			d, _ := p.ringOf(s)
			return &d
		}
	}
	return nil
}

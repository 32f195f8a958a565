package bench

import (
	"testing"

	"turncue/calc"
	"turncue/calc/gear"
	"turncue/sequence"
)

// The change gears turn through what stands in front of them and behind: 60 and 30
// driving 45 and 60 are two thirds, so a leadscrew of 1.5 mm cuts 1 mm through a half
// and a doubling, and not otherwise.
func TestGearbox(t *testing.T) {
	fitted := sequence.Gears{Drivers: []int{60, 30}, Driven: []int{45, 60}, Lead: calc.PerTurn(mm)}
	for _, c := range []struct {
		name, lever  string
		fixed        calc.Ratio
		levers       []gear.Lever
		consistently bool
	}{
		{"no gearbox", "", calc.Ratio{}, nil, true},
		{"a half and a doubling", "C", ratio(t, 1, 2), []gear.Lever{{Name: "A", Ratio: calc.Whole(1)}, {Name: "C", Ratio: calc.Whole(2)}}, true},
		{"the wrong position", "A", ratio(t, 1, 2), []gear.Lever{{Name: "A", Ratio: calc.Whole(1)}, {Name: "C", Ratio: calc.Whole(2)}}, false},
		{"no position named", "", ratio(t, 1, 2), []gear.Lever{{Name: "C", Ratio: calc.Whole(2)}}, false},
		{"a position of no gearbox", "C", calc.Ratio{}, nil, false},
		{"a half left out", "", ratio(t, 1, 2), nil, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := smallLathe()
			l.Fixed, l.Levers = c.fixed, c.levers
			p := studPlan(l, studDepths...)
			m := fitted
			m.Lever = c.lever
			at(t, p, "stem/gears/fit").Moves[0] = m
			if c.consistently {
				mustPass(t, Run(p, stud(), l))
				return
			}
			p.Steps = p.Steps[:p.Index("stem/gears/fit")+1]
			r := Run(p, stud(), l)
			for _, b := range r.Broken {
				if b.Rule == Consistent && b.StepID == "stem/gears/fit" {
					return
				}
			}
			t.Errorf("nothing said: %v", r.Err())
		})
	}
}

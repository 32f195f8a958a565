package bench

import (
	"testing"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence"
)

// Slack as in the published case of a slide with 0.15 mm: from 2.00 to 1.50 the
// ring goes out to 1.35 before it comes in again; worn, with 0.019 in, from 0.100
// to 0.080 it goes to 0.061 in. From 0.20 to 0.45 there is nothing to take up.
func TestSlideTakesUpItsSlack(t *testing.T) {
	for _, c := range []struct{ slack, from, to, ring calc.Length }{
		{150 * um, 2 * mm, 1500 * um, 1350 * um},
		{19 * calc.Thou, 100 * calc.Thou, 80 * calc.Thou, 61 * calc.Thou},
		{150 * um, 200 * um, 450 * um, 450 * um},
	} {
		s := slide{dial: setup.Dial{Travel: mm, Divisions: 50, Slack: c.slack}, scale: 1}
		s.place(c.from, sequence.In, nil)
		s = s.after(c.to, "", nil)
		if s.ring() != c.ring {
			t.Errorf("from %s to %s the ring goes to %s, want %s", c.from, c.to, s.ring(), c.ring)
		}
		s = s.after(c.to, sequence.In, nil)
		if s.ring() != c.to || s.stands != c.to || s.way != sequence.In {
			t.Errorf("in again the ring is at %s, the slide at %s, want %s", s.ring(), s.stands, c.to)
		}
	}
}

// Rings as they are marked. On a 1.25 mm ring with a 20 tpi screw 1.000 reads
// where 1.016 is moved; on a ring of diameter 5.6 off the diameter reads 5.6.
func TestRingsAreReadAsMarked(t *testing.T) {
	for _, c := range []struct {
		name    string
		dial    setup.Dial
		x       calc.Length
		turns   int
		reading calc.Length
	}{
		{"radius", setup.Dial{Travel: mm, Divisions: 50}, 16400 * um, 2, 800 * um},
		{"diameter", setup.Dial{Travel: mm, Divisions: 100, OnDiameter: true}, 16400 * um, 2, 1600 * um},
		{"metric ring on a 20 tpi screw", setup.Dial{Travel: 1270 * um, Marked: 1250 * um, Divisions: 50}, 22*mm - 2*1016*um, 0, mm},
		{"beyond zero, the slack first", setup.Dial{Travel: mm, Divisions: 50, Slack: 100 * um}, 23 * mm, -1, 400 * um},
	} {
		l, j := smallLathe(), spigot()
		l.Cross = c.dial
		w := begin(l, j)
		for _, off := range []calc.Length{0, 1, -1, 2} {
			p := &sequence.Plan{Steps: append([]sequence.Step{}, w.plan.Steps...)}
			way, lash := sequence.In, calc.Ratio{}
			if c.x > 22*mm {
				way, lash = sequence.Out, ratio(t, 1, 10)
			}
			d := &sequence.Dial{Turns: c.turns, Reading: c.reading + off*c.dial.MarkedDivision(), Division: c.dial.MarkedDivision(), Unit: mm, OnDiameter: c.dial.OnDiameter}
			p.Steps = append(p.Steps, sequence.Step{N: len(p.Steps) + 1, ID: "set", Moves: []sequence.Move{
				sequence.Shift{Slide: sequence.Cross, X: c.x, Dial: d, Approach: way, Lash: lash}}})
			broken := false
			for _, b := range Run(p, j, l).Broken {
				broken = broken || b.StepID == "set" && b.Rule == Consistent
			}
			if broken != (off != 0) {
				t.Errorf("%s ring, %d divisions off: found %v", c.name, off, broken)
			}
		}
	}
}

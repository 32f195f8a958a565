package planner_test

import (
	"slices"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
)

// dialOf alters a movement of the top slide of a step that goes one way.
func topOf(id string, way sequence.Way, alter func(*sequence.Shift)) func(*testing.T, *sequence.Plan) {
	return change(id, func(m *sequence.Shift) {
		if m.Slide == sequence.Top && m.Approach == way {
			alter(m)
		}
	})
}

// A groove put wrong in one way is found: the bench names the rule and the step, and the
// second checker finds it too.
func TestBothSeeWhatIsWrongWithAGroove(t *testing.T) {
	j, l := read(t, "cart-pin", "toolroom")
	if wrong, broken := opinion(t, plan(t, j, l, sequence.Readings{}), j, l); len(wrong)+len(broken) > 0 {
		t.Fatalf("the right plan: %v %v", wrong, broken)
	}
	for _, s := range []struct {
		name  string
		rule  int
		step  string
		spoil func(*testing.T, *sequence.Plan)
	}{
		{"not wound out before it goes on", bench.ToolClear, "pin/groove2/pass2/set", leave[sequence.Shift]("pin/groove2/pass1/cut")},
		{"top slide brought to its place outwards", bench.FromOneSide, "pin/groove2/pass1/set", topOf("pin/groove2/pass1/set", sequence.In, func(m *sequence.Shift) { m.Approach = sequence.Out })},
		{"cut in reverse", bench.Consistent, "pin/groove1/pass1/cut", put("pin/groove1/pass1/cut", still, back)},
		{"measured while it turns", bench.Standing, "pin/groove1/size1", leave[sequence.Spindle]("pin/groove1/size1")},
		{"no reading before the last cut", bench.TwoEqualCuts, "pin/groove1/last1/cut", gone("pin/groove1/size1")},
		{"the last cut left out", bench.ToSize, "pin/groove1/pass1/cut", gone("pin/groove1/last1/cut")},
		{"in the wrong place", bench.WithinLimits, "pin/groove1/pass1/cut", func(t *testing.T, p *sequence.Plan) {
			by := 4 * mm
			topOf("pin/groove1/pass1/set", sequence.In, func(m *sequence.Shift) {
				m.Z += by
				d := *m.Dial
				d.Turns += 2
				m.Dial = &d
			})(t, p)
			for _, id := range []string{"pin/groove1/pass1/cut", "pin/groove1/last1/cut"} {
				change(id, func(m *sequence.Plunge) { m.Z += by })(t, p)
			}
			change("pin/groove1/clear", func(m *sequence.Carriage) { m.From += by })(t, p)
			topOf("pin/groove1/clear", sequence.Out, func(m *sequence.Shift) { m.Z -= by })(t, p)
		}},
		{"along the bottom past its wall", bench.WithinLimits, "pin/groove2/last1/cut", func(t *testing.T, p *sequence.Plan) {
			topOf("pin/groove2/last1/cut", sequence.In, func(m *sequence.Shift) {
				m.Z += mm
				d := *m.Dial
				d.Turns, d.Reading = -8, mm
				m.Dial = &d
			})(t, p)
			change("pin/groove2/clear", func(m *sequence.Carriage) { m.From += mm })(t, p)
			topOf("pin/groove2/clear", sequence.In, func(m *sequence.Shift) { m.Z -= mm })(t, p)
		}},
		{"along with no feed", bench.ToolClear, "pin/groove2/last1/cut", topOf("pin/groove2/last1/cut", sequence.In, func(m *sequence.Shift) { m.PerRev = calc.Lead{} })},
	} {
		t.Run(s.name, func(t *testing.T) {
			p := plan(t, j, l, sequence.Readings{})
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule && b.StepID == s.step }) {
				t.Errorf("the bench does not name rule %d at %s: %v", s.rule, s.step, broken)
			}
			if len(wrong) == 0 {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

// The place of a groove is that of its nearest wall, its tool stands with the chuck side
// on the ring: 3.5 mm from the end, with a tool of 1.3 mm, it stands 4.8 mm from it. In a
// groove of 4 mm whose chuck side is 16 mm from the shoulder the tool of 2 mm goes from
// 18 mm to 16 mm.
func TestPlaceOfAGroove(t *testing.T) {
	j, l := read(t, "cart-pin", "toolroom")
	p := plan(t, j, l, sequence.Readings{})
	at := func(id string) calc.Length {
		for _, m := range step(t, p, id).Moves {
			if s, ok := m.(sequence.Shift); ok && s.Slide == sequence.Top && s.Approach == sequence.In {
				return s.Z
			}
		}
		t.Fatalf("%s does not move the top slide", id)
		return 0
	}
	shoulder := 40 * mm
	for id, want := range map[string]calc.Length{
		"pin/groove1/pass1/set": 4800 * um, "pin/groove2/pass1/set": shoulder - 18*mm, "pin/groove2/pass3/set": shoulder - 16*mm,
	} {
		if got := at(id); got != want {
			t.Errorf("%s: the tool stands at %s, wanted %s", id, got, want)
		}
	}
}

// A reading that shows the groove wider than the ring says changes the last cut by as
// much: 19.24 mm read at 19.14 mm leaves 0.15 mm on radius, not 0.1.
func TestReadingSetsTheLastCutOfAGroove(t *testing.T) {
	j, l := read(t, "cart-pin", "toolroom")
	p := plan(t, j, l, sequence.Readings{})
	cut := func(p *sequence.Plan, id string) sequence.Plunge {
		for _, m := range step(t, p, id).Moves {
			if m, ok := m.(sequence.Plunge); ok {
				return m
			}
		}
		t.Fatalf("%s is no plunge", id)
		return sequence.Plunge{}
	}
	first, last := cut(p, "pin/groove1/pass1/cut"), cut(p, "pin/groove1/last1/cut")
	r := sequence.Readings{Lengths: map[string]calc.Length{"pin/groove1/size1": first.To + 100*um}}
	q := plan(t, j, l, r)
	again := cut(q, "pin/groove1/last1/cut")
	if more := again.Dial.Reading - last.Dial.Reading; more != 50*um {
		t.Errorf("the last cut goes from %s to %s on the ring", last.Dial.Reading, again.Dial.Reading)
	}
	if err := sound(q, j, l); err != nil {
		t.Error(err)
	}
}

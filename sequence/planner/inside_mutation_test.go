package planner_test

import (
	"regexp"
	"slices"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
)

// shiftOf alters the movements of the cross slide of a step that go one way.
func shiftOf(id string, way sequence.Way, alter func(*sequence.Shift)) func(*testing.T, *sequence.Plan) {
	return change(id, func(m *sequence.Shift) {
		if m.Slide == sequence.Cross && m.Approach == way {
			alter(m)
		}
	})
}

// wider sets a bore's pass further out, on radius, and comes back in from there.
func wider(pass string, by calc.Length) func(*testing.T, *sequence.Plan) {
	ring := func(m *sequence.Shift) {
		m.X += 2 * by
		d := *m.Dial
		d.Reading -= by
		m.Dial = &d
	}
	return all(shiftOf(pass+"/set", sequence.Out, ring), shiftOf(pass+"/cut", sequence.In, ring))
}

// insideSpoilings are for parts with bores on the toolroom lathe: what is put wrong, and
// the rule and the step that have to be named.
var insideSpoilings = []struct {
	job, name string
	rule      int
	step      string
	spoil     func(*testing.T, *sequence.Plan)
}{
	{"ring", "bar not withdrawn before it comes back", bench.ToolClear, "bore1/rough/pass3/cut", leave[sequence.Shift]("bore1/rough/pass3/cut")},
	{"ring", "bar withdrawn until its back meets the wall", bench.ToolClear, "bore2/rough/pass1/cut", shiftOf("bore2/rough/pass1/cut", sequence.In, func(m *sequence.Shift) {
		m.X, m.Dial, m.WholeTurns = 4*mm, nil, 0
	})},
	{"ring", "last cut reached inwards, from beyond", bench.FromOneSide, "bore1/finish/pass3/set", shiftOf("bore1/finish/pass3/set", sequence.Out, func(m *sequence.Shift) { m.Approach = sequence.In })},
	{"ring", "slack forgotten on the way out", bench.Consistent, "bore1/rough/pass3/set", shiftOf("bore1/rough/pass3/set", sequence.Out, func(m *sequence.Shift) { m.Lash = calc.Ratio{} })},
	{"ring", "handle turned the way of outside work", bench.Consistent, "bore1/rough/pass3/set", shiftOf("bore1/rough/pass3/set", sequence.Out, func(m *sequence.Shift) { m.Handle = sequence.Clockwise })},
	{"ring", "seat bored past its step", bench.WithinLimits, "bore1/rough/pass10/cut", change("bore1/rough/pass10/cut", func(m *sequence.Carriage) {
		if m.Cutting {
			m.To, m.Dial = 8*mm, nil
		} else {
			m.From = 8 * mm
		}
	})},
	{"ring", "seat bored too wide", bench.ToSize, "bore1/finish/pass3/cut", wider("bore1/finish/pass3", 60*um)},
	{"ring", "last cut without a reading", bench.TwoEqualCuts, "bore1/finish/pass3/cut", gone("bore1/finish/size1")},
	{"ring", "last cuts not equal", bench.TwoEqualCuts, "bore1/finish/pass3/cut", wider("bore1/finish/pass2", 60*um)},
	{"ring", "measured while it turns", bench.Standing, "bore1/finish/size1", leave[sequence.Spindle]("bore1/finish/size1")},
	{"ring", "bored in reverse", bench.Consistent, "bore1/rough/pass2/cut", put("bore1/rough/pass2/cut", still, back)},
	{"ring", "step faced without a feed", bench.ToolClear, "bore1/depth/cut", change("bore1/depth/cut", func(m *sequence.Plunge) { m.PerRev = calc.Lead{} })},
	{"ring", "step not deep enough", bench.ToSize, "bore1/depth/size2", all(change("bore1/depth/cut", func(m *sequence.Shift) {
		if m.Slide == sequence.Top {
			m.Z, m.Dial = m.Z-300*um, nil
		}
	}), change("bore1/depth/cut", func(m *sequence.Plunge) { m.Z -= 300 * um }), change("bore1/depth/clear", func(m *sequence.Carriage) { m.From -= 300 * um }))},
	{"ring", "drilled without the pilot's drill fitted", bench.Consistent, "bore2/drill2/peck1", change("bore2/drill2/peck1", func(m *sequence.Tailstock) { m.Diameter = 13 * mm })},
	{"ring", "drilled on a bare end", bench.WithinLimits, "bore2/drill1/peck1", gone("bore2/centre/drill")},
	{"guide-bush", "reamer turned backward", bench.Consistent, "bore1/ream/cut", put("bore1/ream/cut", still, back)},
	{"guide-bush", "reamer in a hole too small for it", bench.WithinLimits, "bore1/ream/cut", func(t *testing.T, p *sequence.Plan) {
		change("bore1/drill1/tool", func(m *sequence.Mount) { m.Diameter = 6800 * um })(t, p)
		for i := range p.Steps {
			for k, m := range p.Steps[i].Moves {
				if m, ok := m.(sequence.Tailstock); ok && m.Kind == sequence.DrillTool {
					m.Diameter = 6800 * um
					p.Steps[i].Moves[k] = m
				}
			}
		}
	}},
	{"pillar", "tapped with the supply on", bench.Standing, "bore1/tap/cut", leave[sequence.Supply]("bore1/tap/isolate")},
	{"pillar", "tapped under power", bench.Standing, "bore1/tap/cut", func(t *testing.T, p *sequence.Plan) {
		leave[sequence.Supply]("bore1/tap/isolate")(t, p)
		put("bore1/tap/cut", ahead)(t, p)
	}},
	{"pillar", "tap driven into the end of the hole", bench.WithinLimits, "bore1/tap/cut", change("bore1/tap/cut", func(m *sequence.Tailstock) { m.To = 20 * mm })},
	{"pillar", "tap not deep enough", bench.ToSize, "bore1/tap/power", change("bore1/tap/cut", func(m *sequence.Tailstock) { m.To = 14 * mm })},
	{"pillar", "another pitch", bench.ToSize, "bore1/tap/cut", change("bore1/tap/cut", func(m *sequence.Tailstock) { m.PerRev = calc.PerTurn(750 * um) })},
	{"pillar", "tool left in the way of the wrench", bench.ToolClear, "bore1/tap/cut", func(t *testing.T, p *sequence.Plan) {
		s := step(t, p, "bore1/tap/clear")
		s.Moves = s.Moves[:0]
	}},
	{"gland-nut", "thread not cleared before the return", bench.ToolClear, "bore1/thread/pass3/return", gone("bore1/thread/pass3/clear")},
	{"gland-nut", "reversed with the tool in", bench.ToolClear, "bore1/thread/pass3/clear", put("bore1/thread/pass3/clear", back)},
	{"gland-nut", "wound back with the half-nuts shut", bench.InStep, "bore1/thread/pass3/return", change("bore1/thread/pass3/return", func(m *sequence.Carriage) { m.By = sequence.ByHandwheel })},
	{"gland-nut", "starts two millimetres in front", bench.InStep, "bore1/thread/pass3/return", all(
		change("bore1/thread/pass3/return", func(m *sequence.Carriage) { m.To = -2 * mm }),
		change("bore1/thread/pass4/cut", func(m *sequence.Carriage) { m.From = -2 * mm }))},
	{"gland-nut", "depth reached inwards, from beyond", bench.FromOneSide, "bore1/thread/pass4/set", shiftOf("bore1/thread/pass4/set", sequence.Out, func(m *sequence.Shift) { m.Approach = sequence.In })},
	{"gland-nut", "no recess", bench.WithinLimits, "bore1/thread/scratch/cut", all(leave[sequence.Plunge]("bore1/recess/pass1/cut"), leave[sequence.Plunge]("bore1/recess/pass2/cut"))},
	{"gland-nut", "thread past its recess", bench.WithinLimits, "bore1/thread/scratch/cut", all(
		change("bore1/thread/scratch/cut", func(m *sequence.Carriage) { m.To += 3 * mm }),
		change("bore1/thread/scratch/return", func(m *sequence.Carriage) { m.From += 3 * mm }))},
	{"gland-nut", "thread ends before its recess", bench.WithinLimits, "bore1/thread/scratch/cut", all(
		change("bore1/thread/scratch/cut", func(m *sequence.Carriage) { m.To = 9 * mm }),
		change("bore1/thread/scratch/return", func(m *sequence.Carriage) { m.From = 9 * mm }))},
	{"gland-nut", "thread too deep", bench.ToSize, "bore1/thread/spring1/cut", all(
		shiftOf("bore1/thread/spring1/set", sequence.Out, func(m *sequence.Shift) { m.X, m.Dial = m.X+400*um, nil }),
		shiftOf("bore1/thread/spring1/clear", sequence.In, func(m *sequence.Shift) { m.X, m.Dial = m.X+400*um, nil }))},
	{"gland-nut", "thread not deep enough", bench.ToSize, "bore1/thread/pass6/cut", gone(
		"bore1/thread/pass7/set", "bore1/thread/pass7/cut", "bore1/thread/pass7/clear", "bore1/thread/pass7/return",
		"bore1/thread/spring1/set", "bore1/thread/spring1/cut", "bore1/thread/spring1/clear", "bore1/thread/spring1/return")},
	{"gland-nut", "gears for another lead", bench.ToSize, "bore1/thread/scratch/cut", change("bore1/gears/fit", func(m *sequence.Gears) {
		m.Drivers, m.Driven, m.Idlers, m.Lead = []int{40}, []int{60}, []int{127}, calc.PerTurn(2*mm)
	})},
	{"gland-nut", "gauged while it turns", bench.Standing, "bore1/thread/gauge1", change("bore1/thread/gauge1", func(m *sequence.Spindle) { *m = ahead })},
	{"gland-nut", "reversed without standing still", bench.Standing, "bore1/thread/pass3/return", func(t *testing.T, p *sequence.Plan) {
		s := step(t, p, "bore1/thread/pass3/cut")
		s.Moves = s.Moves[:2]
	}},
	{"gland-nut", "recess beside its place", bench.WithinLimits, "bore1/thread/scratch/cut", all(
		change("bore1/recess/pass1/set", func(m *sequence.Shift) {
			if m.Approach == sequence.In {
				m.Z, m.Dial = m.Z-2*mm, nil
			} else {
				m.Z -= 2 * mm
			}
		}),
		change("bore1/recess/pass1/cut", func(m *sequence.Plunge) { m.Z -= 2 * mm }))},
	{"pillar", "drilled past the floor", bench.WithinLimits, "bore1/drill1/peck2", change("bore1/drill1/peck2", func(m *sequence.Tailstock) { m.To, m.Dial = 25*mm, nil })},
}

// below is a size, not a place, that is said with a minus.
var below = regexp.MustCompile(`(has|is|by|leaves) -[0-9]`)

// One thing put wrong inside a bore is named by its rule and its step, and the second
// checker finds it too.
func TestInsideSpoilingsAreNamed(t *testing.T) {
	for _, s := range insideSpoilings {
		t.Run(s.job+" "+s.name, func(t *testing.T) {
			j, l := read(t, s.job, "toolroom")
			p := plan(t, j, l, sequence.Readings{})
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Fatalf("the right plan: %v", err)
			}
			p.Steps = slices.Clone(p.Steps)
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			for _, b := range broken {
				if below.MatchString(b.Msg) {
					t.Errorf("nobody says a size below nothing: %s", b.Msg)
				}
			}
			if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule && b.StepID == s.step }) {
				t.Errorf("want rule %d at %s, got %v", s.rule, s.step, broken)
			}
			if len(wrong) == 0 {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

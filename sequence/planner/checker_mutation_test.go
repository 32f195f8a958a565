package planner_test

import (
	"encoding/json"
	"slices"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
)

// spoiling is one way to put a right plan wrong. rule is what the bench has to
// name; 0 is a plan that contradicts itself.
type spoiling struct {
	name  string
	rule  int
	spoil func(t *testing.T, p *sequence.Plan)
}

// change alters every move of a kind in a step.
func change[M sequence.Move](id string, alter func(*M)) func(*testing.T, *sequence.Plan) {
	return func(t *testing.T, p *sequence.Plan) {
		t.Helper()
		s, found := step(t, p, id), false
		for i, m := range s.Moves {
			if v, ok := m.(M); ok {
				alter(&v)
				s.Moves[i], found = v, true
			}
		}
		if !found {
			t.Fatalf("%s has no such move", id)
		}
	}
}

// leave takes the moves of a kind out of a step.
func leave[M sequence.Move](id string) func(*testing.T, *sequence.Plan) {
	return func(t *testing.T, p *sequence.Plan) {
		t.Helper()
		s := step(t, p, id)
		n := len(s.Moves)
		s.Moves = slices.DeleteFunc(s.Moves, func(m sequence.Move) bool { _, ok := m.(M); return ok })
		if len(s.Moves) == n {
			t.Fatalf("%s has no such move", id)
		}
	}
}

// put sets moves in front of those of a step.
func put(id string, m ...sequence.Move) func(*testing.T, *sequence.Plan) {
	return func(t *testing.T, p *sequence.Plan) {
		t.Helper()
		s := step(t, p, id)
		s.Moves = append(slices.Clone(m), s.Moves...)
	}
}

func all(f ...func(*testing.T, *sequence.Plan)) func(*testing.T, *sequence.Plan) {
	return func(t *testing.T, p *sequence.Plan) {
		t.Helper()
		for _, g := range f {
			g(t, p)
		}
	}
}

// deeper sets a cross-slide position and its ring further in, on radius, and comes
// out from there.
func deeper(set, out string, by calc.Length) func(*testing.T, *sequence.Plan) {
	ring := func(m *sequence.Shift) {
		m.X -= 2 * by
		d := *m.Dial
		d.Reading += by
		m.Dial = &d
	}
	return all(change(set, ring), change(out, ring))
}

// gone takes steps out of a plan.
func gone(ids ...string) func(*testing.T, *sequence.Plan) {
	return func(t *testing.T, p *sequence.Plan) {
		t.Helper()
		for _, id := range ids {
			step(t, p, id).Moves, step(t, p, id).Measure = nil, nil
			step(t, p, id).Needs = sequence.NeedPress
		}
	}
}

var (
	ahead = sequence.Spindle{Turn: sequence.Forward, RPM: 70 * calc.RPM}
	back  = sequence.Spindle{Turn: sequence.Reverse, RPM: 70 * calc.RPM}
	still = sequence.Spindle{Turn: sequence.Stop}
)

// spoilings are for the foot on the bench lathe.
var spoilings = []spoiling{
	{"thread not cleared before the return", bench.ToolClear, gone("s1/thread/pass3/clear")},
	{"reversed with the tool in", bench.ToolClear, put("s1/thread/pass3/clear", back)},
	{"turning tool not wound out", bench.ToolClear, leave[sequence.Shift]("s2/rough/pass2/cut")},
	{"groover not wound out", bench.ToolClear, all(leave[sequence.Shift]("s1/undercut/pass3/cut"))},
	{"half-nuts opened between passes", bench.InStep, put("s1/thread/pass4/set", sequence.HalfNut{}, sequence.HalfNut{Closed: true})},
	{"half-nuts never shut", bench.InStep, gone("s1/thread/halfnuts")},
	{"wound back with the half-nuts shut", bench.InStep, change("s1/thread/pass3/return", func(m *sequence.Carriage) { m.By = sequence.ByHandwheel })},
	{"comes back with the spindle forward", bench.InStep, change("s1/thread/pass3/return", func(m *sequence.Spindle) {
		if m.Turn == sequence.Reverse {
			m.Turn = sequence.Forward
		}
	})},
	{"starts two millimetres in front", bench.InStep, all(
		change("s1/thread/pass3/return", func(m *sequence.Carriage) { m.To = -2 * mm }),
		change("s1/thread/pass4/cut", func(m *sequence.Carriage) { m.From = -2 * mm }))},
	{"thread depth set outwards", bench.FromOneSide, change("s1/thread/pass4/set", func(m *sequence.Shift) { m.Approach = sequence.Out })},
	{"last cut set outwards", bench.FromOneSide, change("s2/finish/pass3/set", func(m *sequence.Shift) { m.Approach = sequence.Out })},
	{"shoulder set outwards", bench.FromOneSide, change("s1/shoulder/cut1", func(m *sequence.Shift) {
		if m.Slide == sequence.Top {
			m.Approach = sequence.Out
		}
	})},
	{"thread past its groove", bench.WithinLimits, all(
		change("s1/thread/pass6/cut", func(m *sequence.Carriage) { m.To += 4 * mm }),
		change("s1/thread/pass6/return", func(m *sequence.Carriage) { m.From += 4 * mm }))},
	{"thread ends before its groove", bench.WithinLimits, all(
		change("s1/thread/pass6/cut", func(m *sequence.Carriage) { m.To = 15 * mm }),
		change("s1/thread/pass6/return", func(m *sequence.Carriage) { m.From = 15 * mm }))},
	{"no undercut", bench.WithinLimits, all(leave[sequence.Plunge]("s1/undercut/pass1/cut"), leave[sequence.Plunge]("s1/undercut/pass2/cut"), leave[sequence.Plunge]("s1/undercut/pass3/cut"))},
	{"turned past the shoulder", bench.WithinLimits, func(t *testing.T, p *sequence.Plan) {
		s := step(t, p, "s1/finish/pass3/cut")
		a, b := s.Moves[0].(sequence.Carriage), s.Moves[2].(sequence.Carriage)
		a.To, a.Dial, b.From = 30*mm, nil, 30*mm
		s.Moves[0], s.Moves[2] = a, b
	}},
	{"into the jaws", bench.WithinLimits, func(t *testing.T, p *sequence.Plan) {
		s := step(t, p, "s2/rough/pass1/cut")
		a, b := s.Moves[0].(sequence.Carriage), s.Moves[2].(sequence.Carriage)
		a.To, a.Dial, b.From = 58*mm, nil, 58*mm
		s.Moves[0], s.Moves[2] = a, b
	}},
	{"parted inside the part", bench.WithinLimits, all(change("s2/part/place", func(m *sequence.Carriage) { m.To, m.Dial = 33*mm, nil }),
		change("s2/part/cut", func(m *sequence.Plunge) { m.Z = 33 * mm }))},
	{"measured while it turns", bench.Standing, leave[sequence.Spindle]("s2/finish/size1")},
	{"gauged while it turns", bench.Standing, change("s1/thread/gauge1", func(m *sequence.Spindle) { *m = ahead })},
	{"tool changed while it turns", bench.Standing, put("undercut/tool", ahead)},
	{"gears with the power on", bench.Standing, leave[sequence.Supply]("s1/gears/isolate")},
	{"gears through a shut cover", bench.Standing, gone("s1/gears/open")},
	{"started with the cover open", bench.Standing, leave[sequence.Guard]("s1/gears/shut")},
	{"started while isolated", bench.Standing, leave[sequence.Supply]("s1/gears/shut")},
	{"key left in the chuck", bench.Standing, gone("setup/key")},
	{"reversed without standing still", bench.Standing, func(t *testing.T, p *sequence.Plan) {
		s := step(t, p, "s1/thread/pass3/cut")
		s.Moves = s.Moves[:2]
	}},
	{"turned in reverse", bench.NoReverseCut, put("s2/rough/pass1/cut", still, back)},
	{"thread cut in reverse", bench.NoReverseCut, change("s1/thread/pass3/cut", func(m *sequence.Spindle) {
		if m.Turn == sequence.Forward {
			m.Turn = sequence.Reverse
		}
	})},
	{"no reading before the last cut", bench.TwoEqualCuts, gone("s2/finish/size1")},
	{"last cuts not equal", bench.TwoEqualCuts, deeper("s2/finish/pass2/set", "s2/finish/pass2/cut", 100*um)},
	{"under size", bench.ToSize, deeper("s2/finish/pass3/set", "s2/finish/pass3/cut", 60*um)},
	{"gears for another lead", bench.ToSize, all(
		change("s1/gears/fit", func(m *sequence.Gears) { m.Drivers, m.Driven, m.Lead = []int{40}, []int{30}, calc.PerTurn(2*mm) }))},
	{"thread too deep", bench.ToSize, deeper("s1/thread/spring1/set", "s1/thread/spring1/clear", 200*um)},
	{"chamfer too large", bench.ToSize, all(change("s1/chamfer/cut", func(m *sequence.Plunge) { m.To, m.Dial = m.To-mm, nil }),
		change("s1/chamfer/cut", func(m *sequence.Shift) { m.X, m.Dial = m.X-mm, nil }))},
	{"never parted off", bench.ToSize, leave[sequence.Plunge]("s2/part/cut")},
	{"groove too shallow", bench.WithinLimits, all(shallow("s1/undercut/pass1/cut"), shallow("s1/undercut/pass2/cut"), shallow("s1/undercut/pass3/cut"))},
	{"ring a division off", bench.Consistent, change("s2/rough/pass3/set", func(m *sequence.Shift) { d := *m.Dial; d.Reading += d.Division; m.Dial = &d })},
	{"ring a turn off", bench.Consistent, change("s2/rough/pass3/set", func(m *sequence.Shift) { d := *m.Dial; d.Turns++; m.Dial = &d })},
	{"slack forgotten", bench.Consistent, change("s2/rough/pass3/set", func(m *sequence.Shift) { m.Lash = calc.Ratio{} })},
	{"a turn more out than said", bench.Consistent, change("s1/thread/pass2/clear", func(m *sequence.Shift) { m.WholeTurns = 2 })},
	{"carriage ring off", bench.Consistent, change("s2/rough/pass3/cut", func(m *sequence.Carriage) {
		if m.Dial != nil {
			d := *m.Dial
			d.Reading += mm
			m.Dial = &d
		}
	})},
	{"starts from elsewhere", bench.Consistent, change("s1/thread/pass2/cut", func(m *sequence.Carriage) { m.From -= mm })},
	{"cut with a tool never zeroed", bench.Consistent, leave[sequence.Zero]("s1/thread/touch")},
	{"blade not wound off the end it was touched on", bench.ToolClear, leave[sequence.Shift]("s2/part/place")},
	{"a reading asked for and nothing measured", bench.Consistent, leave[sequence.Inspect]("s2/finish/size1")},
	{"a fit asked for and no gauge tried", bench.Consistent, leave[sequence.Gauge]("s1/thread/gauge1")},
	{"handle the other way, no ring read", bench.Consistent, change("face/pass1/set", func(m *sequence.Shift) {
		if m.Slide == sequence.Cross {
			m.Handle = sequence.Clockwise
		}
	})},
	{"fed in with no feed", bench.ToolClear, change("s1/undercut/pass1/cut", func(m *sequence.Plunge) { m.PerRev = calc.Lead{} })},
}

// shallow plunges 0.6 mm less deep, on diameter.
func shallow(id string) func(*testing.T, *sequence.Plan) {
	return all(change(id, func(m *sequence.Plunge) { m.To, m.Dial = m.To+600*um, nil }), change(id, func(m *sequence.Shift) {
		m.X += 600 * um
		d := *m.Dial
		d.Reading -= 300 * um
		m.Dial = &d
	}))
}

// A plan put wrong in one way is refused by both: the bench names the rule, and the
// second checker finds it too.
func TestBothSeeWhatIsWrong(t *testing.T) {
	j, l := read(t, "foot", "bench")
	l.Chuck = job.ChuckScrewed
	if wrong, broken := opinion(t, plan(t, j, l, sequence.Readings{}), j, l); len(wrong)+len(broken) > 0 {
		t.Fatalf("the right plan: %v %v", wrong, broken)
	}
	for _, s := range spoilings {
		t.Run(s.name, func(t *testing.T) {
			p := plan(t, j, l, sequence.Readings{})
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if len(broken) == 0 || !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule }) {
				t.Errorf("the bench does not name rule %d: %v", s.rule, broken)
			}
			if len(wrong) == 0 {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

// opinion is what both find wrong.
func opinion(t *testing.T, p *sequence.Plan, j *job.Job, l *job.Lathe) ([]string, []bench.Break) {
	t.Helper()
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return secondOpinion(text, drawing(j, l)), bench.Run(p, j, l).Broken
}

package bench

import (
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// reopened is the stud's plan with the half-nuts opened and shut between passes.
func reopened(t *testing.T, l *job.Lathe) *sequence.Plan {
	p := studPlan(l, studDepths...)
	s := at(t, p, "stem/thread/pass4/set")
	s.Moves = append(s.Moves, sequence.HalfNut{}, sequence.HalfNut{Closed: true})
	return p
}

// A leadscrew whose pitch is a whole multiple of the lead brings every closing of
// the half-nuts into step; 1.5 mm and 1 mm do not.
func TestReopenedHalfNuts(t *testing.T) {
	l := smallLathe()
	only(t, Run(reopened(t, l), stud(), l), InStep, "stem/thread/pass4/set")
	l.Leadscrew = calc.PerTurn(3 * mm)
	p := reopened(t, l)
	at(t, p, "stem/gears/fit").Moves[0] = sequence.Gears{Drivers: []int{20}, Driven: []int{60}, Lead: calc.PerTurn(mm)}
	mustPass(t, Run(p, stud(), l))
}

// By hand crank with the supply isolated nothing reverses under power.
func TestHandCrank(t *testing.T) {
	cranked := func(t *testing.T, isolate bool) *sequence.Plan {
		l := smallLathe()
		l.Reverse = job.ReverseNone
		p := studPlan(l, studDepths...)
		s := at(t, p, "stem/thread/shut")
		s.Moves = append(s.Moves, sequence.Supply{Isolated: isolate})
		for i := p.Index("stem/thread/shut"); i < len(p.Steps); i++ {
			for k, m := range p.Steps[i].Moves {
				if m, ok := m.(sequence.Spindle); ok && m.Turn != sequence.Stop {
					p.Steps[i].Moves[k] = sequence.Spindle{Turn: sequence.ByHand}
				}
			}
		}
		return p
	}
	l := smallLathe()
	l.Reverse = job.ReverseNone
	mustPass(t, Run(cranked(t, true), stud(), l))
	r := Run(cranked(t, false), stud(), l)
	if len(r.Broken) == 0 || r.Broken[0].Rule != Standing || r.Broken[0].StepID != "stem/thread/pass1/cut" {
		t.Errorf("cranked with the supply on: %v", r.Err())
	}
}

// Without an undercut only a cranked thread may end inside its section.
func TestThreadWithoutUndercut(t *testing.T) {
	l, j := smallLathe(), stud()
	j.Sections[0].Undercut = nil
	p := studPlan(l, studDepths...)
	from, to := p.Index("stem/undercut/tool"), p.Index("stem/chamfer/tool")
	p.Steps = append(p.Steps[:from], p.Steps[to:]...)
	for i := range p.Steps {
		p.Steps[i].N = i + 1
	}
	c := at(t, p, "stem/chamfer/tool")
	c.Moves = append([]sequence.Move{stop}, c.Moves...)
	only(t, Run(p, j, l), WithinLimits, "stem/thread/pass1/cut")
	s := at(t, p, "stem/thread/shut")
	s.Moves = append(s.Moves, sequence.Supply{Isolated: true})
	for i := p.Index("stem/thread/shut"); i < len(p.Steps); i++ {
		for k, m := range p.Steps[i].Moves {
			if m, ok := m.(sequence.Spindle); ok && m.Turn != sequence.Stop {
				p.Steps[i].Moves[k] = sequence.Spindle{Turn: sequence.ByHand}
			}
		}
	}
	mustPass(t, Run(p, j, l))
}

func TestReverseOnALatheWithout(t *testing.T) {
	l := smallLathe()
	l.Reverse = job.ReverseNone
	r := Run(studPlan(l, studDepths...), stud(), l)
	if len(r.Broken) == 0 || r.Broken[0].Rule != Consistent || r.Broken[0].StepID != "stem/thread/pass1/return" {
		t.Errorf("%v", r.Err())
	}
}

// 1.25 for 1.27: 20 tpi from gears for 1.25 mm is 1.6 % short, too much for any
// nut; 127 teeth or nothing.
func TestLeadErrorIsJudged(t *testing.T) {
	l := smallLathe()
	l.Wheels = append(l.Wheels, 63)
	for _, c := range []struct {
		drivers, driven []int
		wrong           bool
	}{
		{[]int{60, 30}, []int{45, 60}, false}, // exact
		{[]int{40, 65}, []int{63, 60}, true},  // 1.0317
		{[]int{60, 35}, []int{50, 63}, false}, // exact: 2/3
		{[]int{70, 60}, []int{80, 80}, true},  // wheels not owned: a contradiction
	} {
		p := studPlan(l, studDepths...)
		g := sequence.Gears{Drivers: c.drivers, Driven: c.driven}
		g.Lead = l.Leadscrew
		for i := range c.drivers {
			var err error
			if g.Lead, err = g.Lead.Times(ratio(t, int64(c.drivers[i]), int64(c.driven[i]))); err != nil {
				t.Fatal(err)
			}
		}
		at(t, p, "stem/gears/fit").Moves[0] = g
		if r := Run(p, stud(), l); (r.Err() != nil) != c.wrong {
			t.Errorf("%v driving %v: %v", c.drivers, c.driven, r.Err())
		}
	}
}

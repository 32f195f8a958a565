// Package practise makes exercises of the steps of a plan: what a learner may do next,
// right and wrong, and what a ring can be set to.
//
// A wrong answer is the same plan with that one thing done otherwise. What it would
// have done to the part and the tool is for the virtual lathe to say, which carries the
// changed plan out and knows nothing of exercises. Lengths are those of the part:
// diameters, and distances from the finished end; depth is on radius.
package practise

import (
	"slices"
	"strconv"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// An Exercise is what is asked at one step.
type Exercise struct {
	Step *sequence.Step
	// Choices are what could be done next, one of them right; none where there is
	// nothing to choose.
	Choices []Choice
	// Rings are the settings the step asks for, in the order of the hands.
	Rings []Ring
}

// Choice is one thing to do next.
type Choice struct {
	Text  string
	Right bool
	spoil func(p *sequence.Plan, i int)
}

// For is the exercise of step i of a plan, counted from zero.
func For(p *sequence.Plan, j *job.Job, l *job.Lathe, i int) Exercise {
	st := &p.Steps[i]
	x := Exercise{Step: st, Rings: ringsOf(st, l)}
	var wrong []Choice
	right := ""
	offer := func(good string, bad ...Choice) {
		if right == "" {
			right = good
		}
		wrong = append(wrong, bad...)
	}
	offerKey(st, offer)
	offerSupply(st, offer)
	offerSpeed(st, l, offer)
	offerBack(st, offer)
	offerClear(st, offer)
	offerReturn(p, i, offer)
	offerPass(st, l, offer)
	offerTurning(st, l, offer)
	offerMeasure(p, i, offer)
	if len(wrong) == 0 {
		return x
	}
	x.Choices = append(wrong, Choice{Text: right, Right: true})
	// The right one stands elsewhere from step to step, and at the same place each
	// time a step is met.
	turn := (st.N * 7) % len(x.Choices)
	x.Choices = append(x.Choices[turn:len(x.Choices):len(x.Choices)], x.Choices[:turn]...)
	return x
}

// With is the plan with a wrong choice taken at step i.
func (c Choice) With(p *sequence.Plan, i int) *sequence.Plan {
	q := clone(p)
	if c.spoil != nil {
		c.spoil(q, i)
	}
	return q
}

// clone is a plan whose steps and moves can be changed.
func clone(p *sequence.Plan) *sequence.Plan {
	q := *p
	q.Steps = slices.Clone(p.Steps)
	for i := range q.Steps {
		q.Steps[i].Moves = slices.Clone(q.Steps[i].Moves)
	}
	return &q
}

type offering func(good string, bad ...Choice)

// without takes move k out of step i.
func without(k int) func(*sequence.Plan, int) {
	return func(p *sequence.Plan, i int) { p.Steps[i].Moves = slices.Delete(p.Steps[i].Moves, k, k+1) }
}

func offerKey(st *sequence.Step, offer offering) {
	for k, m := range st.Moves {
		if m, ok := m.(sequence.ChuckKey); ok && !m.In {
			offer("take the key out and hang it up", Choice{Text: "leave the key in the chuck, it is needed again soon", spoil: without(k)})
		}
	}
}

func offerSupply(st *sequence.Step, offer offering) {
	for k, m := range st.Moves {
		switch m := m.(type) {
		case sequence.Supply:
			if m.Isolated {
				offer("unplug the lathe, or lock it off", Choice{Text: "leave the plug in, the switch is off", spoil: without(k)})
			}
		case sequence.Guard:
			if !m.Open {
				offer("shut the cover, then put the power back", Choice{Text: "put the power back and leave the cover open", spoil: without(k)})
			}
		}
	}
}

// offerSpeed offers the highest speed of the lathe in place of the one wanted.
func offerSpeed(st *sequence.Step, l *job.Lathe, offer offering) {
	top := l.Speeds.Fastest()
	for k, m := range st.Moves {
		m, ok := m.(sequence.Spindle)
		if !ok || !m.Changed || m.RPM <= 0 || top <= m.RPM {
			continue
		}
		fast := m
		fast.RPM = top
		offer("set the speed to "+m.RPM.String(), Choice{
			Text:  "leave it at " + top.String() + ", it cuts sooner",
			spoil: func(p *sequence.Plan, i int) { p.Steps[i].Moves[k] = fast },
		})
	}
}

// offerBack is the way back of a cut along: the tool is taken out first.
func offerBack(st *sequence.Step, offer offering) {
	out := -1
	for k, m := range st.Moves {
		switch m := m.(type) {
		case sequence.Shift:
			if m.Slide == sequence.Cross && m.Approach == sequence.Out {
				out = k
			}
		case sequence.Carriage:
			if out >= 0 && !m.Cutting && m.To < m.From {
				offer("wind the tool out, then bring the carriage back",
					Choice{Text: "bring the carriage straight back, the tool where it is", spoil: without(out)})
				return
			}
		}
	}
}

func offerClear(st *sequence.Step, offer offering) {
	if st.Op != sequence.OpThread || st.Phase != sequence.PhaseClear && st.RunsInto != sequence.IntoLine {
		return
	}
	for k, m := range st.Moves {
		if _, ok := m.(sequence.Withdraw); ok {
			offer("wind the tool out when it is at the line", Choice{Text: "switch off at the line, wind it out when the spindle stands", spoil: without(k)})
			return
		}
		if m, ok := m.(sequence.Shift); ok && m.Slide == sequence.Cross && m.Approach == sequence.Out {
			offer("wind the tool out before anything reverses", Choice{Text: "reverse with the tool in the groove, it finds its way", spoil: without(k)})
			return
		}
	}
}

// offerReturn is the way back of a thread pass.
func offerReturn(p *sequence.Plan, i int, offer offering) {
	st := &p.Steps[i]
	if st.Op != sequence.OpThread || st.Phase != sequence.PhaseReturn {
		return
	}
	for k, m := range st.Moves {
		along, ok := m.(sequence.Carriage)
		if !ok || along.By != sequence.ByHalfNut {
			continue
		}
		byHand := along
		byHand.By, byHand.PerRev = sequence.ByHandwheel, calc.Lead{}
		bad := []Choice{{
			Text: "open the half-nuts, wind back by hand, shut them again",
			spoil: func(p *sequence.Plan, i int) {
				p.Steps[i].Moves = []sequence.Move{sequence.HalfNut{}, byHand, sequence.HalfNut{Closed: true}}
			},
		}}
		if k > 0 {
			if s, ok := st.Moves[k-1].(sequence.Spindle); ok && s.Turn == sequence.Reverse {
				bad = append(bad, Choice{Text: "switch over to reverse while it still runs forward", spoil: unstopped})
			}
		}
		offer("half-nuts shut, from standstill back past the start", bad...)
		return
	}
}

// unstopped takes out every stop of the spindle since it was last started forward.
func unstopped(p *sequence.Plan, i int) {
	for n := i; n >= 0; n-- {
		moves := p.Steps[n].Moves
		for k := len(moves) - 1; k >= 0; k-- {
			s, ok := moves[k].(sequence.Spindle)
			switch {
			case !ok:
			case s.Turn == sequence.Forward:
				return
			case s.Turn == sequence.Stop && (n < i || k == 0):
				p.Steps[n].Moves = slices.Delete(p.Steps[n].Moves, k, k+1)
			}
		}
	}
}

// tooFar is how far past its end a pass is let run on.
const tooFar = 3 * calc.Millimetre

// offerPass is a thread pass under power.
func offerPass(st *sequence.Step, l *job.Lathe, offer offering) {
	if st.Op != sequence.OpThread || st.Phase != sequence.PhaseCut {
		return
	}
	for k, m := range st.Moves {
		along, ok := m.(sequence.Carriage)
		if !ok || k == 0 || !along.Cutting {
			continue
		}
		start, ok := st.Moves[k-1].(sequence.Spindle)
		if !ok || start.Turn != sequence.Forward {
			continue
		}
		turns := "so many turns"
		if r, err := along.PerRev.Turns((along.To - along.From).Abs()); err == nil {
			turns = strconv.FormatInt(r.Num()/r.Den(), 10) + " turns"
		}
		count := Choice{Text: "count the turns and switch off at " + turns, spoil: func(p *sequence.Plan, i int) {
			p.Steps[i].Cue = sequence.Cue{"stop", "after", sequence.Word(turns)}
		}}
		if along.To < along.From { // out into the open
			offer("forward, and power off when the eye sees the tool past the end", count)
			return
		}
		far := along
		far.To += tooFar
		bad := []Choice{
			count,
			{Text: "leave it running until the tool is through the groove", spoil: func(p *sequence.Plan, i int) { p.Steps[i].Moves[k] = far }},
		}
		if l.Chuck == job.ChuckScrewed {
			bad = append(bad, Choice{Text: "start it in reverse and cut outwards", spoil: func(p *sequence.Plan, i int) {
				back := start
				back.Turn = sequence.Reverse
				p.Steps[i].Moves[k-1] = back
			}})
		}
		offer("forward, and power off when the eye sees the tool in the groove", bad...)
		return
	}
}

// offerTurning is a cut along under a screwed chuck.
func offerTurning(st *sequence.Step, l *job.Lathe, offer offering) {
	if l.Chuck != job.ChuckScrewed || st.Op == sequence.OpThread {
		return
	}
	for k, m := range st.Moves {
		along, ok := m.(sequence.Carriage)
		if !ok || !along.Cutting {
			continue
		}
		offer("feed along with the spindle forward", Choice{Text: "run the spindle in reverse for a better finish", spoil: func(p *sequence.Plan, i int) {
			p.Steps[i].Moves = slices.Insert(p.Steps[i].Moves, k, sequence.Move(sequence.Spindle{Turn: sequence.Stop}), sequence.Move(sequence.Spindle{Turn: sequence.Reverse}))
		}})
		return
	}
}

// offerMeasure is a size that is read.
func offerMeasure(p *sequence.Plan, i int, offer offering) {
	st := &p.Steps[i]
	if st.Measure == nil || st.Measure.What != sequence.MeasureDiameter {
		return
	}
	var bad []Choice
	for k, m := range st.Moves {
		if m, ok := m.(sequence.Spindle); ok && m.Turn == sequence.Stop {
			bad = append(bad, Choice{Text: "hold the micrometer on while it runs slowly", spoil: without(k)})
			break
		}
	}
	if !st.Measure.Final {
		bad = append(bad, Choice{Text: "leave the reading out and take the last cut", spoil: func(p *sequence.Plan, i int) {
			p.Steps[i].Measure, p.Steps[i].Needs = nil, sequence.NeedPress
		}})
	}
	if len(bad) > 0 {
		offer("stop the spindle, wipe, measure", bad...)
	}
}

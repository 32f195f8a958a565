package runner

import (
	"fmt"
	"math/rand/v2"
	"strconv"

	"turncue/calc"
	"turncue/sequence"
)

// testPart is a made-up part, from which plan makes the steps: small, quick to make, and
// with every way of being confirmed.
type testPart struct {
	unit     calc.Length
	sections []testSection
	recuts   int // how often an over-size section can be cut again
	extra    int // how many passes a tight thread can be given
}

type testSection struct {
	name         string
	nominal, tol calc.Length
	length       calc.Length // of the shoulder; zero when none is measured
	passes       int         // of the thread; zero when there is none
	sign         bool
}

func randomPart(r *rand.Rand) testPart {
	p := testPart{unit: calc.Millimetre, recuts: r.IntN(3), extra: r.IntN(3)}
	if r.IntN(3) == 0 {
		p.unit = calc.Inch
	}
	for i := range 1 + r.IntN(3) {
		s := testSection{
			name:    fmt.Sprintf("s%d", i+1),
			nominal: calc.Length(6000+r.IntN(20000)) * calc.Micrometre,
			tol:     calc.Length(5+r.IntN(100)) * calc.Micrometre,
			sign:    r.IntN(3) == 0,
		}
		if r.IntN(2) == 0 {
			s.length = calc.Length(5+r.IntN(30)) * calc.Millimetre
		}
		if r.IntN(2) == 0 {
			s.passes = 1 + r.IntN(3)
		}
		p.sections = append(p.sections, s)
	}
	return p
}

// plan is pure: the same readings give the same steps.
func (p testPart) plan(got sequence.Readings) (*sequence.Plan, error) {
	b := &planBuilder{plan: &sequence.Plan{Part: "test part", Lathe: "test lathe", Unit: p.unit, Steps: make([]sequence.Step, 0, 48)}, got: got}
	b.add("", "setup/key", sequence.Step{Op: sequence.OpSetUp, Cue: sequence.Cue{sequence.WordKeyOut}, Moves: []sequence.Move{sequence.ChuckKey{}}})
	b.measure("", "setup/runout", sequence.Measure{What: sequence.MeasureRunOut, Max: 20 * calc.Micrometre, Unit: p.unit, Final: true})
	for _, s := range p.sections {
		if err := b.section(p, s); err != nil {
			return nil, err
		}
	}
	b.add("", "end", sequence.Step{Op: sequence.OpEnd, Cue: sequence.Cue{sequence.WordFinished}})
	return b.plan, nil
}

type planBuilder struct {
	plan *sequence.Plan
	got  sequence.Readings
}

func (b *planBuilder) add(section, id string, s sequence.Step) {
	s.N, s.ID, s.Section = len(b.plan.Steps)+1, id, section
	b.plan.Steps = append(b.plan.Steps, s)
}

func (b *planBuilder) measure(section, id string, m sequence.Measure) (calc.Length, bool) {
	v, ok := b.got.Lengths[id]
	if ok {
		m.Got = &v
	}
	b.add(section, id, sequence.Step{
		Op: sequence.OpFinish, Needs: sequence.NeedReading, Measure: &m,
		Cue: measureCue,
	})
	return v, ok
}

// cutMoves are shared by all cuts: moves are never changed.
var cutMoves = []sequence.Move{
	sequence.Shift{Slide: sequence.Cross, X: 10 * calc.Millimetre, Approach: sequence.In},
	sequence.Carriage{From: -calc.Millimetre, To: 20 * calc.Millimetre, By: sequence.ByHandwheel, Cutting: true},
	sequence.Carriage{From: 20 * calc.Millimetre, To: -calc.Millimetre, By: sequence.ByHandwheel},
}

var threadMoves = []sequence.Move{
	sequence.Carriage{From: -4 * calc.Millimetre, To: 20 * calc.Millimetre, By: sequence.ByHalfNut, Cutting: true},
	sequence.Carriage{From: 20 * calc.Millimetre, To: -4 * calc.Millimetre, By: sequence.ByHalfNut},
}

var (
	cutCue     = sequence.Cue{sequence.WordCrossInTo, "0.35"}
	measureCue = sequence.Cue{sequence.WordMeasureDiameter, sequence.FullStop, sequence.WordTypeReading}
	gaugeCue   = sequence.Cue{sequence.WordTryGauge}
)

func (b *planBuilder) cut(section, id string) {
	b.add(section, id, sequence.Step{Op: sequence.OpFinish, Cue: cutCue, Moves: cutMoves})
}

func (b *planBuilder) section(p testPart, s testSection) error {
	first := s.nominal + 200*calc.Micrometre
	b.cut(s.name, s.name+"/first")
	v, ok := b.measure(s.name, s.name+"/between", sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: first, Min: first - 150*calc.Micrometre, Max: first + 150*calc.Micrometre,
		Unit: p.unit, Division: 10 * calc.Micrometre,
	})
	if ok && v < s.nominal-s.tol {
		return fmt.Errorf("%s is already smaller than %s", v, s.nominal-s.tol)
	}
	for k := 0; ; k++ {
		b.cut(s.name, s.name+"/last"+strconv.Itoa(k))
		v, ok := b.measure(s.name, s.name+"/size"+strconv.Itoa(k), sequence.Measure{
			What: sequence.MeasureDiameter, Nominal: s.nominal, Min: s.nominal - s.tol, Max: s.nominal + s.tol,
			Unit: p.unit, Final: true, Division: 10 * calc.Micrometre,
		})
		if !ok || v <= s.nominal+s.tol {
			break
		}
		if k == p.recuts {
			if p.recuts == 1 {
				break // a planner that has nothing to add and does not say so
			}
			return fmt.Errorf("%s cannot be cut again", s.name)
		}
	}
	if s.length > 0 {
		b.measure(s.name, s.name+"/length", sequence.Measure{
			What: sequence.MeasureLength, Nominal: s.length, Min: s.length - 100*calc.Micrometre, Max: s.length + 100*calc.Micrometre,
			Unit: p.unit, Final: true, Division: 50 * calc.Micrometre, Grows: true,
		})
	}
	if s.passes > 0 {
		if err := b.thread(p, s); err != nil {
			return err
		}
	}
	if s.sign {
		b.add(s.name, s.name+"/seen", sequence.Step{Op: sequence.OpEnd, Needs: sequence.NeedSignOff, Cue: sequence.Cue{sequence.WordClean}})
	}
	return nil
}

func (b *planBuilder) thread(p testPart, s testSection) error {
	id := s.name + "/thread"
	pass := func(n, of int) {
		b.add(s.name, id+"/pass"+strconv.Itoa(n)+"/set", sequence.Step{
			Op: sequence.OpThread, Phase: sequence.PhaseSet, Pass: n, Of: of,
			Cue: sequence.Cue{sequence.WordPass, sequence.CountWord(n, of)},
		})
		b.add(s.name, id+"/pass"+strconv.Itoa(n)+"/cut", sequence.Step{
			Op: sequence.OpThread, Phase: sequence.PhaseCut, Pass: n, Of: of,
			Cue: cutCue, Moves: threadMoves,
		})
	}
	b.add(s.name, id+"/shut", sequence.Step{
		Op: sequence.OpThread, Cue: sequence.Cue{sequence.WordShutHalfNuts}, Moves: []sequence.Move{sequence.HalfNut{Closed: true}},
	})
	b.measure(s.name, id+"/scratch", sequence.Measure{
		What: sequence.MeasureThreads, Threads: 10, Nominal: 15 * calc.Millimetre, Min: 14700 * calc.Micrometre, Max: 15300 * calc.Micrometre,
		Unit: p.unit, Division: 500 * calc.Micrometre,
	})
	for n := range s.passes {
		pass(n+1, s.passes)
	}
	for k := 0; ; k++ {
		gauge := id + "/gauge" + strconv.Itoa(k)
		b.add(s.name, gauge, sequence.Step{Op: sequence.OpThread, Phase: sequence.PhaseCheck, Needs: sequence.NeedFit, Cue: gaugeCue})
		if b.got.Fits[gauge] != sequence.Tight {
			break
		}
		if k == p.extra {
			if p.extra == 1 {
				break // as above
			}
			return fmt.Errorf("another pass would make the thread undersize")
		}
		pass(s.passes+k+1, s.passes+k+1)
	}
	b.add(s.name, id+"/open", sequence.Step{
		Op: sequence.OpThread, Cue: sequence.Cue{sequence.WordOpenHalfNuts}, Moves: []sequence.Move{sequence.HalfNut{}},
	})
	return nil
}

// start is the state before the first step of a part.
func (p testPart) start(learner string) (State, error) {
	plan, err := p.plan(sequence.Readings{})
	if err != nil {
		return State{}, err
	}
	return Start(Setup{Plan: plan, Replan: p.plan, Teaching: Teaching{Learner: learner}})
}

// taughtStart is the state before the first step of a part made under instruction.
func (p testPart) taughtStart(who Teaching, w Words) (State, error) {
	plan, err := p.plan(sequence.Readings{})
	if err != nil {
		return State{}, err
	}
	return Start(Setup{Plan: who.Plan(plan), Teaching: who, Words: w, Replan: func(r sequence.Readings) (*sequence.Plan, error) {
		plan, err := p.plan(r)
		return who.Plan(plan), err
	}})
}

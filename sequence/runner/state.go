package runner

import (
	"fmt"
	"maps"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// Phase is where a run stands.
type Phase int

// The phases of a run. A ready one was never begun.
const (
	Ready Phase = iota
	Recheck
	Running
	Paused
	Stopped
	Done
)

func (p Phase) String() string {
	return [...]string{"ready", "re-check", "running", "paused", "stopped", "done"}[p]
}

// Setup is what a run is made of.
type Setup struct {
	Plan *sequence.Plan // made without readings
	// Replan makes the plan again from all accepted readings. It must be pure, must
	// leave the steps up to the one just answered as they were, and says in its
	// error why the part cannot be made with that reading. Nil keeps the plan.
	Replan func(sequence.Readings) (*sequence.Plan, error)
	// Teaching is who learns and who watches: the learner cannot sign a watched step
	// off. Plan and what Replan makes are then the taught ones.
	Teaching Teaching
	// Words is how much is spoken. No record depends on it.
	Words Words
}

// State is where a run is. It is a value: Next never changes one, it makes
// another. The zero State belongs to no plan; Start makes one.
type State struct {
	setup    *Setup
	plan     *sequence.Plan
	phase    Phase
	pos      int // the index of the step we are at
	far      int // how many steps from the start are confirmed
	repeated bool
	readings sequence.Readings
	signed   map[string]string
	tries    []try // what this step was answered with that was not accepted
	screen   screen
}

// screen is the part of a state that no journal keeps.
type screen struct {
	now, since time.Duration
	prompt     sequence.Cue // as it is shown
	spoken     sequence.Cue // as it was said
	notice     string
	refused    bool
	missing    []string
}

// try is a reading or an answer of a gauge that was not accepted.
type try struct {
	value   calc.Length
	fit     sequence.Fit
	verdict Result
	likely  calc.Length // what the reading was if the named slip was made; zero when none was
}

// Start is the state before the first step. A plan that cannot be run is an error.
func Start(s Setup) (State, error) {
	if s.Plan == nil {
		return State{}, fmt.Errorf("no plan to run")
	}
	if err := runnable(s.Plan); err != nil {
		return State{}, err
	}
	return State{setup: &s, plan: s.Plan}, nil
}

func runnable(p *sequence.Plan) error {
	if len(p.Steps) == 0 {
		return fmt.Errorf("the plan has no steps")
	}
	seen := make(map[string]bool, len(p.Steps))
	for i := range p.Steps {
		st := &p.Steps[i]
		switch {
		case st.ID == "":
			return fmt.Errorf("step %d has no id", i+1)
		case seen[st.ID]:
			return fmt.Errorf("two steps have the id %s", st.ID)
		case st.N != i+1:
			return fmt.Errorf("step %s is numbered %d but is the %dth", st.ID, st.N, i+1)
		case st.Needs == sequence.NeedReading && st.Measure == nil:
			return fmt.Errorf("step %s needs a reading but measures nothing", st.ID)
		case st.Needs == sequence.NeedReading && st.Measure.Min > st.Measure.Max:
			return fmt.Errorf("step %s has its limits the wrong way round", st.ID)
		}
		seen[st.ID] = true
	}
	return nil
}

// Phase is where the run stands.
func (s State) Phase() Phase { return s.phase }

// Plan is the plan as it now is. It must not be changed.
func (s State) Plan() *sequence.Plan { return s.plan }

// Step is the step the run is at. It must not be changed.
func (s State) Step() *sequence.Step { return &s.plan.Steps[s.pos] }

// Position is the number of the step the run is at, from 1, of how many.
func (s State) Position() (n, of int) { return s.pos + 1, len(s.plan.Steps) }

// Readings are the accepted answers so far.
func (s State) Readings() sequence.Readings {
	return sequence.Readings{Lengths: maps.Clone(s.readings.Lengths), Fits: maps.Clone(s.readings.Fits)}
}

// SignedBy is who signed a step off, or "".
func (s State) SignedBy(id string) string { return s.signed[id] }

// Frame is what a screen shows now.
func (s State) Frame() Frame {
	st := s.Step()
	f := Frame{
		Plan: s.plan, Step: st, N: s.pos + 1, Of: len(s.plan.Steps), Phase: s.phase, Prompt: s.screen.prompt,
		Notice: s.screen.notice, Refused: s.screen.refused,
		Confirmed: s.pos < s.far, NotConfirmed: s.repeated && s.phase == Running,
		Fit: s.readings.Fits[st.ID], Signed: s.signed[st.ID],
		Elapsed: s.screen.now, OnStep: s.screen.now - s.screen.since,
	}
	if v, ok := s.readings.Lengths[st.ID]; ok {
		f.Reading = &v
	}
	if s.phase == Recheck {
		f.Checks = s.checks()
	}
	f.Sizes, _ = s.plan.SizesAt(s.pos)
	if s.pos+1 < len(s.plan.Steps) {
		f.Next = &s.plan.Steps[s.pos+1]
	}
	return f
}

// over says that nothing but Resume has an effect any more.
func (s State) over() bool { return s.phase == Stopped || s.phase == Done }

// answered says that the step has what it needs.
func (s State) answered() bool {
	st := s.Step()
	switch st.Needs {
	case sequence.NeedPress:
		return true
	case sequence.NeedReading:
		_, ok := s.readings.Lengths[st.ID]
		return ok
	case sequence.NeedFit:
		return s.readings.Fits[st.ID] != ""
	case sequence.NeedSignOff:
		return s.signed[st.ID] != ""
	}
	return false
}

package runner

import (
	"slices"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// A History is a run as it was, told step by step.
type History struct {
	Found
	Steps []Told // in the order they were first come to
	N, Of int    // the step the run stands at, from 1, of how many; zero where unknown
	Phase Phase
	// Partial says why the steps have no texts: the plan could not be made again.
	Partial error
	SetBack []SetBack
}

// Told is one step as it was done. Answers keep everything that was answered, in order:
// a corrected reading stands beside the one that took its place.
type Told struct {
	N        int // zero where unknown
	ID       string
	Section  string
	Title    string
	Text     string // what was said, in short
	Measure  *sequence.Measure
	Needs    sequence.Need
	From, To time.Time // To is zero while the step is not confirmed
	// Spent is the time at the step, pauses and the time between sessions left out. It is
	// that of the running program, not of the clock on the wall.
	Spent   time.Duration
	Answers []Answered
	Notes   []Noted
	SignBy  string // who signed it off, where that still stands
}

// Answered is one reading, answer of a gauge or sign-off.
type Answered struct {
	Time    time.Time
	Reading *calc.Length
	More    []calc.Length
	Fit     sequence.Fit
	Name    string
	Result  Result
	Stands  bool // it is the one that counts
}

// Spread is how far the readings of one answer lie apart; false where there is one.
func (a Answered) Spread() (calc.Length, bool) {
	if a.Reading == nil || len(a.More) == 0 {
		return 0, false
	}
	all := append([]calc.Length{*a.Reading}, a.More...)
	return slices.Max(all) - slices.Min(all), true
}

// Noted is a remark.
type Noted struct {
	Time time.Time
	Text string
}

// SetBack is a place where the clock on the wall went backwards between two records.
// Nothing depends on it: the order of the records is that of their numbers.
type SetBack struct {
	Record int // the first record after it
	Step   string
	By     time.Duration
}

// Tell makes the history of a journal. start is the state before the first step of the
// plan the journal was begun with; its error leaves the texts out.
func Tell(f Found, start func() (State, error)) History {
	h := History{Found: f, SetBack: setBacks(f)}
	s, err := start()
	if err != nil {
		h.Partial = err
	}
	t := teller{h: &h, at: map[string]int{}}
	last, phase := int64(0), Ready
	for _, r := range f.Records {
		if h.Partial == nil && r.Step != s.Step().ID {
			h.Partial = errOther
		}
		known := h.Partial == nil
		d := t.step(r.Step, s, known, r.Time)
		opening := r.Event == Begin{}.name() || r.Event == Resume{}.name()
		if !opening && phase != Paused {
			d.Spent += time.Duration(r.Milliseconds-last) * time.Millisecond
		}
		last = r.Milliseconds
		t.note(d, r)
		if r.Moves() {
			d.To = r.Time
		}
		if !known {
			phase = phaseAfter(phase, r)
			continue
		}
		e, err := r.event()
		if err != nil {
			h.Partial = err
			continue
		}
		s, _ = Next(s, e)
		phase = s.phase
		if s.phase != Done && s.phase != Stopped {
			t.step(s.Step().ID, s, true, r.Time)
		}
	}
	if h.Partial == nil {
		h.N, h.Of = s.Position()
		t.settle(s)
	}
	h.Phase = phase
	return h
}

// errOther says that the plan made now is not the journal's.
var errOther = &Changed{What: "plan"}

// Moves says that a record confirmed its step.
func (r Record) Moves() bool {
	switch r.Event {
	case Advance{}.name():
		return r.Result == Accepted
	case Reading{}.name(), Answer{}.name(), SignOff{}.name():
		return r.Result == Accepted || r.Result == MoreCuts || r.Result == Confirmed
	}
	return false
}

// phaseAfter follows the phase where the plan is not known.
func phaseAfter(p Phase, r Record) Phase {
	switch {
	case r.Ended:
		return Done
	case r.Event == Pause{}.name():
		return Paused
	case r.Event == Halt{}.name() || r.Event == Fault{}.name():
		return Stopped
	case r.Event == Note{}.name():
		return p
	}
	return Running
}

type teller struct {
	h  *History
	at map[string]int // by step
}

// step is the entry of a step, made when it is first come to.
func (t *teller) step(id string, s State, known bool, now time.Time) *Told {
	i, ok := t.at[id]
	if !ok {
		i = len(t.h.Steps)
		t.at[id] = i
		t.h.Steps = append(t.h.Steps, Told{ID: id, From: now})
	}
	d := &t.h.Steps[i]
	if known {
		st := s.Step()
		d.N, d.Section, d.Title, d.Text = s.pos+1, st.Section, st.Title, st.Cue.Text()
		d.Measure, d.Needs = st.Measure, st.Needs
		if d.Title == "sign-off" {
			d.Text = st.Why
		}
	}
	return d
}

func (t *teller) note(d *Told, r Record) {
	switch r.Event {
	case Reading{}.name(), Answer{}.name(), SignOff{}.name():
		d.Answers = append(d.Answers, Answered{
			Time: r.Time, Reading: r.Reading, More: r.More, Fit: r.Fit, Name: r.Name, Result: r.Result,
		})
	case Note{}.name(), Fault{}.name():
		d.Notes = append(d.Notes, Noted{r.Time, r.Text})
	}
}

// settle marks the answers that count at the end.
func (t *teller) settle(s State) {
	for i := range t.h.Steps {
		d := &t.h.Steps[i]
		d.SignBy = s.signed[d.ID]
		_, reading := s.readings.Lengths[d.ID]
		fit := s.readings.Fits[d.ID]
		for k := len(d.Answers) - 1; k >= 0; k-- {
			a := &d.Answers[k]
			switch {
			case a.Result != Accepted && a.Result != MoreCuts && a.Result != Confirmed:
				continue
			case a.Reading != nil:
				a.Stands = reading
			case a.Fit != "":
				a.Stands = fit == a.Fit
			default:
				a.Stands = d.SignBy == a.Name
			}
			break
		}
	}
}

// setBacks are the places where the clock on the wall went backwards by more than a
// second.
func setBacks(f Found) []SetBack {
	var all []SetBack
	before := f.Begun
	for _, r := range f.Records {
		if by := before.Sub(r.Time); by > time.Second {
			all = append(all, SetBack{r.N, r.Step, by})
		}
		before = r.Time
	}
	return all
}

package runner

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"turncue/calc"
	"turncue/sequence"
)

// reading takes, questions or refuses what was measured.
func (s State) reading(e Event, k Reading) (State, []Effect) {
	st := s.Step()
	if st.Needs != sequence.NeedReading {
		return s.refuse(sequence.WordNotNow, "nothing is measured at this step")
	}
	m := st.Measure
	values := append([]calc.Length{k.Value}, k.More...)
	for _, v := range values {
		if j := judge(m, v, nil); j.result == Impossible {
			return s.stay(e, j, 0)
		}
	}
	if line := scatter(m, values); line != "" {
		return s.stay(e, judgement{result: Scattered, notice: line}, 0)
	}
	v := settle(m, values)
	j := s.weigh(m, v, judge(m, v, s.before()))
	var opening sequence.Cue
	switch j.result {
	case Accepted, Confirmed:
		if m.Final {
			opening = sequence.Cue{sequence.WordWithin}
		}
	case MoreCuts:
		opening = sequence.Cue{sequence.WordOverSize}
		if m.Grows {
			opening = nil
		}
	default:
		return s.stay(e, j, v)
	}
	if len(values) > 1 {
		spread := slices.Max(values) - slices.Min(values)
		j.notice = strings.TrimPrefix(j.notice+"; ", "; ") + fmt.Sprintf("%d readings, %s apart, taken as %s", len(values), size(spread, m.Unit), size(v, m.Unit))
	}
	return s.take(e, j.result, lengthAnswer(v), opening, j.notice)
}

// weigh looks at a judgement together with what was read here just before: a second
// reading that agrees settles a question, one that does not raises another.
func (s State) weigh(m *sequence.Measure, v calc.Length, j judgement) judgement {
	if len(s.tries) == 0 {
		return j
	}
	last := s.tries[len(s.tries)-1]
	same := (v - last.value).Abs() <= agree(m)
	switch j.result {
	case Accepted, MoreCuts:
		switch {
		case !m.Final, !doubtful(last.verdict):
			return j
		case same && last.verdict == Questioned:
			return j
		case last.likely != 0 && (v-last.likely).Abs() <= agree(m):
			return j // the slip that was named explains the reading before
		}
		return judgement{result: Questioned, firm: true, notice: fmt.Sprintf(
			"%s does not agree with %s just before: wipe both faces and measure once more", size(v, m.Unit), size(last.value, m.Unit))}
	case Questioned:
		if !same {
			if last.verdict == Questioned {
				j.notice = fmt.Sprintf("the readings scatter by %s; %s", size((v-last.value).Abs(), m.Unit), j.notice)
			}
			return j
		}
		if !j.firm || last.verdict != Questioned {
			return j
		}
		if m.Final {
			r := wrongSize(m, v < m.Min)
			return judgement{result: r, notice: fmt.Sprintf("%s, read twice%s", size(v, m.Unit), remedy(m, r))}
		}
		if r, why := s.spoilt(v); r != "" {
			return judgement{result: r, notice: why + ", read twice" + remedy(m, r)}
		}
		return judgement{result: Confirmed, notice: fmt.Sprintf("%s, read twice", size(v, m.Unit))}
	}
	return j
}

// spoilt says that a size between two cuts is already past what the drawing lets it be in
// the end, and why; the result is "" where it is not, or where it is not finished later.
func (s State) spoilt(v calc.Length) (Result, string) {
	st := s.Step()
	for i := s.pos + 1; i < len(s.plan.Steps); i++ {
		n := &s.plan.Steps[i]
		m := n.Measure
		if m == nil || !m.Final || !n.Beside(st) || m.What != st.Measure.What {
			continue
		}
		if v >= m.Min && v <= m.Max || wrongSize(m, v < m.Min) == MoreCuts {
			return "", ""
		}
		return wrongSize(m, v < m.Min), beyond(m, v)
	}
	return "", ""
}

// doubtful says that an answer with this result leaves the size in doubt, so that one
// good one after it is not enough at a finished size.
func doubtful(r Result) bool {
	return r == Questioned || r == UnderSize || r == OverSize || r == Scattered || r == TooLoose
}

// stay keeps the step and says why. An accepted reading of this step no longer
// counts: what was just read speaks against it.
func (s State) stay(e Event, j judgement, v calc.Length) (State, []Effect) {
	words := map[Result]sequence.Word{
		UnderSize: sequence.WordUnderSize, OverSize: sequence.WordOverSize, RunOutBad: sequence.WordRunOutBad,
		WrongLead: sequence.WordWrongLead, Refused: sequence.WordCannotGoOn,
		Misplaced: sequence.WordMoveBlade, Impossible: sequence.WordCannotGoOn,
	}
	w, ok := words[j.result]
	if !ok {
		w = sequence.WordReadAgain
	}
	r := record(s, e, j.result)
	if j.result != Impossible {
		s = s.withdraw()
		s.tries = append(slices.Clip(s.tries), try{value: v, verdict: j.result, likely: j.likely})
	}
	return s.refuse(w, j.notice, r)
}

// before is the size that the last accepted reading of the same place gave: the same
// section, the same kind of size. Nil when there is none.
func (s State) before() *calc.Length {
	st := s.Step()
	for i := s.pos - 1; i >= 0; i-- {
		b := &s.plan.Steps[i]
		if !b.Beside(st) || b.Measure == nil || b.Measure.What != st.Measure.What || b.Measure.At != st.Measure.At {
			continue
		}
		if v, ok := s.readings.Lengths[b.ID]; ok {
			return &v
		}
	}
	return nil
}

// given is an accepted answer of a step: a length or a fit.
type given struct {
	length *calc.Length
	fit    sequence.Fit
}

func lengthAnswer(v calc.Length) given { return given{length: &v} }
func fitAnswer(f sequence.Fit) given   { return given{fit: f} }

// take accepts an answer, has the rest planned again and goes on, or stays where
// the rest cannot be planned.
func (s State) take(e Event, result Result, g given, opening sequence.Cue, notice string) (State, []Effect) {
	st := s.Step()
	if s.holds(st.ID, g) {
		return s.forward(e.At, record(s, e, result), opening, notice)
	}
	next := s.withdrawLater()
	next.readings = with(next.readings, st.ID, g)
	if err := next.replan(); err != nil {
		return s.stay(e, judgement{result: Refused, notice: reason(err)}, measured(g))
	}
	wants := result == MoreCuts || g.fit == sequence.Tight
	if wants && !next.asksAgain() {
		j := judgement{result: OverSize, notice: notice + "; the plan has no cut left for it: go back to the cut before, take it a little deeper, and measure again"}
		if g.fit == sequence.Tight {
			j = judgement{result: Refused, notice: "tight, and the plan has no pass left: leave it in the chuck"}
		}
		return s.stay(e, j, measured(g))
	}
	next.far = s.pos + 1
	return next.forward(e.At, record(s, e, result), opening, notice)
}

// reason is an error as one line for whoever stands at the lathe: what it says and what
// would help, without the place in the file and its lines.
func reason(err error) string {
	var keep []string
	for line := range strings.Lines(err.Error()) {
		line = strings.TrimSpace(line)
		hint, ok := strings.CutPrefix(line, "hint: ")
		switch {
		case len(keep) == 0:
			keep = append(keep, filePlace.ReplaceAllString(line, ""))
		case ok:
			keep = append(keep, hint)
		}
	}
	return strings.Join(keep, "; ")
}

// filePlace is where in a file a fault is told to be.
var filePlace = regexp.MustCompile(`^.*?:\d+:\d+: `)

func measured(g given) calc.Length {
	if g.length == nil {
		return 0
	}
	return *g.length
}

// holds says that this very answer is already the accepted one.
func (s State) holds(id string, g given) bool {
	if g.length != nil {
		v, ok := s.readings.Lengths[id]
		return ok && v == *g.length
	}
	return s.readings.Fits[id] == g.fit
}

// with adds an answer to readings that are the caller's own.
func with(r sequence.Readings, id string, g given) sequence.Readings {
	if g.length != nil {
		if r.Lengths == nil {
			r.Lengths = map[string]calc.Length{}
		}
		r.Lengths[id] = *g.length
		return r
	}
	if r.Fits == nil {
		r.Fits = map[string]sequence.Fit{}
	}
	r.Fits[id] = g.fit
	return r
}

// replan makes the plan again. The steps up to this one must stay what they were.
func (s *State) replan() error {
	if s.setup.Replan == nil {
		return nil
	}
	p, err := s.setup.Replan(s.Readings())
	if err != nil {
		return err
	}
	if p == nil {
		return fmt.Errorf("the planner gave no plan")
	}
	if err := runnable(p); err != nil {
		return err
	}
	for i := range s.pos + 1 {
		if i >= len(p.Steps) || p.Steps[i].ID != s.plan.Steps[i].ID || p.Steps[i].Needs != s.plan.Steps[i].Needs {
			return fmt.Errorf("the new plan differs before this step, at %s", s.plan.Steps[i].ID)
		}
	}
	s.plan = p
	return nil
}

// asksAgain says that the size or the fit of this step is asked for once more later in
// its section.
func (s State) asksAgain() bool {
	st := s.Step()
	for i := s.pos + 1; i < len(s.plan.Steps); i++ {
		n := &s.plan.Steps[i]
		if !n.Beside(st) || n.Needs != st.Needs {
			continue
		}
		if st.Needs == sequence.NeedFit || n.Measure.What == st.Measure.What && n.Measure.Final {
			return true
		}
	}
	return false
}

// withdraw takes back the accepted answer of this step.
func (s State) withdraw() State {
	id := s.Step().ID
	_, measured := s.readings.Lengths[id]
	_, fitted := s.readings.Fits[id]
	if measured || fitted {
		s.readings = s.Readings()
		delete(s.readings.Lengths, id)
		delete(s.readings.Fits, id)
		s.far = min(s.far, s.pos)
	}
	return s
}

// withdrawLater takes back the answers and sign-offs of the later steps of this section:
// they were made on a part this step now says was different.
func (s State) withdrawLater() State {
	from := s.Step()
	s.readings = s.Readings()
	s.signed = maps.Clone(s.signed)
	for i := s.pos + 1; i < len(s.plan.Steps); i++ {
		if st := &s.plan.Steps[i]; st.Beside(from) {
			delete(s.readings.Lengths, st.ID)
			delete(s.readings.Fits, st.ID)
			delete(s.signed, st.ID)
		}
	}
	return s
}

package planner_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// outcome is what came of one random job.
type outcome struct {
	refused  string // by the files, by the planner; "" where it was planned
	answers  int    // readings and gauge answers given
	steps    int
	has      []string // what the plan has
	walked   bool     // answered to the end
	scrapped bool     // a reading said that too much had come off
	gaveUp   string   // why the planner refused to go on after an answer
}

// try plans one random job, answers what it asks, and looks at every plan. Every
// second job is answered one step at a time, the others all that is asked up to the
// next length at once. In the ordinary run only every third is answered at all.
func try(seed uint64) (out outcome, err error) {
	w := draw(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return outcome{refused: "file: " + reason(err)}, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return outcome{refused: "plan: " + reason(err)}, placed(err)
	}
	out.steps, out.has = len(p.Steps), features(p, j, l)
	if err := sound(p, j, l); err != nil {
		return out, err
	}
	if err := agreed(p, j, l); err != nil {
		return out, err
	}
	if seed%3 != 0 && !*long && *many != 1 {
		return out, nil
	}
	out.walked = true
	d := throw(seed ^ 1<<41)
	for {
		if err := sound(p, j, l); err != nil {
			return out, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			if err := agreed(p, j, l); err != nil {
				return out, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
			}
			return out, nil
		}
		scrap := false
		last := i
		for at := i; at < len(p.Steps) && !scrap; at++ {
			s := &p.Steps[at]
			if !asks(s, r) {
				continue
			}
			if m := p.Steps[last].Measure; at > i && (seed%2 == 0 || m != nil && m.What == sequence.MeasureLength) {
				break // what lies behind a shoulder is asked for when that is known
			}
			scrap = d.answer(s, r)
			if s.Measure != nil && s.Measure.What == sequence.MeasureDiameter {
				scrap = scrap || r.Lengths[s.ID] < sectionOf(j, s).Diameter.Min
			}
			out.answers++
			last = at
		}
		q, err := planner.Plan(j, l, r)
		if err != nil {
			out.gaveUp = "answer: " + reason(err)
			if !strings.Contains(out.gaveUp, " still ") { // tight, or not reached
				return out, fmt.Errorf("planned, then refused after %v %v: %w", r.Lengths, r.Fits, err)
			}
			return out, placed(err)
		}
		if err := sameBefore(p, q, i, last); err != nil {
			return out, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		if scrap {
			out.scrapped = true
			return out, nil
		}
		p = q
	}
}

// features are what a plan has, to see that all of it is tried.
func features(p *sequence.Plan, j *job.Job, l *job.Lathe) (has []string) {
	threads := 0
	for i := range j.Sections {
		if j.Sections[i].Thread != nil {
			threads++
		}
	}
	cranked := slices.ContainsFunc(p.Steps, func(s sequence.Step) bool { return strings.HasSuffix(s.ID, "thread/crank") })
	for _, f := range []struct {
		name string
		yes  bool
	}{
		{"a thread", threads > 0}, {"two threads or more", threads > 1}, {"hand crank", cranked}, {"centre", j.Centre}, {"parted", j.PartOff},
		{"three sections or more", len(j.Sections) > 2}, {"inch job", j.Unit == calc.Inch}, {"diameter ring", l.Cross.OnDiameter},
		{"a ring marked otherwise", l.Cross.Marked != 0}, {"carriage ring", l.Carriage != nil}, {"power feed", len(l.PowerFeeds) > 0},
		{"no slack", l.Cross.Slack < 10*um},
	} {
		if f.yes {
			has = append(has, f.name)
		}
	}
	return has
}

// sectionOf is the section of the job that a step serves.
func sectionOf(j *job.Job, s *sequence.Step) job.Section {
	return j.Sections[slices.IndexFunc(j.Sections, func(q job.Section) bool { return q.Name == s.Section })]
}

// asks says that a step waits for an answer that has not been given.
func asks(s *sequence.Step, r sequence.Readings) bool {
	switch s.Needs {
	case sequence.NeedReading:
		_, ok := r.Lengths[s.ID]
		return !ok
	case sequence.NeedFit:
		_, ok := r.Fits[s.ID]
		return !ok
	}
	return false
}

// answer gives a plausible answer: a reading to the resolution of the tool,
// mostly near what was expected, sometimes such that the step has to be done
// again, rarely beyond what can be put right; then scrap is true.
func (d dice) answer(s *sequence.Step, r sequence.Readings) (scrap bool) {
	if s.Needs == sequence.NeedFit {
		r.Fits[s.ID] = one(d, sequence.Fits, sequence.Fits, sequence.Tight)
		return false
	}
	m := s.Measure
	read := m.Nominal + calc.Length(d.IntN(2001)-1000)*min(m.Max-m.Min, 100*um)/2000
	if d.in(8) {
		read = m.Min + calc.Length(d.IntN(1001))*(m.Max-m.Min)/1000
	}
	if m.Final {
		read = m.Min + calc.Length(d.IntN(1001))*(m.Max-m.Min)/1000
		off := calc.Length(d.IntN(120)+10) * um
		past := read
		switch {
		case m.What == sequence.MeasureRunOut, m.What == sequence.MeasureThreads, m.What == sequence.MeasureEdge:
		case d.in(5): // not there yet
			past = m.Max + off
			if m.Grows {
				past = m.Min - off
			}
		case d.in(60): // too much has come off
			past, scrap = m.Min-off, true
			if m.Grows {
				past = m.Max + off
			}
		}
		if past != read {
			r.Lengths[s.ID] = past.Round(m.Division)
			if in := r.Lengths[s.ID]; in < m.Min || in > m.Max {
				return scrap
			}
		}
	}
	read = read.Round(m.Division)
	if m.Final || m.What == sequence.MeasureLength { // a reading is inside, however it is rounded
		for read < m.Min {
			read += um
		}
		for read > m.Max {
			read -= um
		}
	}
	r.Lengths[s.ID] = max(0, read)
	return false
}

// sound is the check of one plan: no rule broken on the bench, every size inside.
func sound(p *sequence.Plan, j *job.Job, l *job.Lathe) error {
	for i := range p.Steps {
		for _, m := range p.Steps[i].Moves {
			if s, ok := m.(sequence.Shift); ok && s.Approach == sequence.In && s.Dial == nil && !s.Inside {
				return fmt.Errorf("%s: the %s slide goes in to no reading: there are no words for that", p.Steps[i].ID, s.Slide)
			}
		}
	}
	res := bench.Run(p, j, l)
	if err := res.Err(); err != nil {
		return err
	}
	for _, s := range res.Sizes {
		if !s.OK {
			return fmt.Errorf("%s of %s is %s, wanted %s to %s", s.What, s.Section, s.Got, s.Min, s.Max)
		}
	}
	return nil
}

// agreed is the check that the second opinion is that of the bench: nothing wrong.
func agreed(p *sequence.Plan, j *job.Job, l *job.Lathe) error {
	text, err := json.Marshal(p)
	if err != nil {
		return err
	}
	if wrong := secondOpinion(text, drawing(j, l)); len(wrong) > 0 {
		return fmt.Errorf("the bench passes it, the second checker does not:\n%s", strings.Join(wrong, "\n"))
	}
	return nil
}

// sameBefore is the check that an answer at a step leaves the steps before it as
// they were, and changes no step of another section, but for one thing: the places
// along the work of what lies behind a shoulder are counted from where that
// shoulder was measured. Of several answers, up to the step last, only the steps
// before the first are looked at.
func sameBefore(p, q *sequence.Plan, at, last int) error {
	key := func(s sequence.Step) sequence.Step { s.N = 0; return s }
	for i := range at {
		if a, b := key(p.Steps[i]), key(q.Steps[i]); a.ID != b.ID || !reflect.DeepEqual(a, b) {
			return fmt.Errorf("the answer at %s changed the step %s before it", p.Steps[at].ID, a.ID)
		}
	}
	if last > at {
		return nil // several sections were answered
	}
	asked := &p.Steps[at]
	if asked.Measure != nil && asked.Measure.What == sequence.MeasureLength {
		key = across
	}
	others := func(of *sequence.Plan) (s []*sequence.Step) {
		for i := at + 1; i < len(of.Steps); i++ {
			if of.Steps[i].Section != asked.Section {
				s = append(s, &of.Steps[i])
			}
		}
		return s
	}
	a, b := others(p), others(q)
	if len(a) != len(b) {
		return fmt.Errorf("the answer at %s changed the number of steps in other sections from %d to %d", asked.ID, len(a), len(b))
	}
	for i := range a {
		if x, y := key(*a[i]), key(*b[i]); !reflect.DeepEqual(x, y) && !reflect.DeepEqual(asLeft(x), asLeft(y)) {
			return fmt.Errorf("the answer at %s changed the step %s of another section:\n%+v\n%+v", asked.ID, x.ID, x.Moves, y.Moves)
		}
	}
	return nil
}

// asLeft is a step without what only says how the step before it left the lathe: whether the
// speed it wants is set already, and where the carriage comes from.
func asLeft(s sequence.Step) sequence.Step {
	s.Moves = slices.Clone(s.Moves)
	moved := false
	for i, m := range s.Moves {
		switch m := m.(type) {
		case sequence.Spindle:
			m.Changed = false
			s.Moves[i], s.Cue, s.Hand = m, nil, 0
		case sequence.Carriage:
			if !moved && !m.Cutting {
				m.From = 0
				s.Moves[i] = m
			}
			moved = true
		}
	}
	return s
}

// across is a step without its places along the work and the words that say them.
func across(s sequence.Step) sequence.Step {
	moves := make([]sequence.Move, len(s.Moves))
	for i, m := range s.Moves {
		switch v := m.(type) {
		case sequence.Carriage:
			v.From, v.To, v.Dial = 0, 0, nil
			m = v
		case sequence.Line:
			v.Z = 0
			m = v
		case sequence.Withdraw:
			v.From, v.To = 0, 0
			m = v
		case sequence.Plunge:
			v.Z = 0
			m = v
		case sequence.Zero:
			v.Z = 0
			m = v
		case sequence.Shift:
			if v.Slide != sequence.Cross {
				v.Z, v.Dial = 0, nil
			}
			m = v
		}
		moves[i] = m
	}
	return sequence.Step{ID: s.ID, Section: s.Section, Op: s.Op, Phase: s.Phase, Pass: s.Pass, Of: s.Of, Needs: s.Needs, Moves: moves}
}

// placed is the check that a refusal says where and what would help.
func placed(err error) error {
	var faults job.Faults
	if !errors.As(err, &faults) || len(faults) == 0 {
		return fmt.Errorf("refused without faults: %w", err)
	}
	for i, f := range faults {
		if i > 0 && f.Pos == faults[i-1].Pos && f.Msg == faults[i-1].Msg {
			return fmt.Errorf("a refusal said twice: %s", f.Error())
		}
		if f.Source.Path == "" || f.Msg == "" || f.Hint == "" {
			return fmt.Errorf("a refusal without a place or a remedy: %s", f.Error())
		}
	}
	return nil
}

var figures = regexp.MustCompile(`M?[0-9][0-9.x-]*(?:\b[a-z]?[0-9]?)|\d/\d+`)

// reason is a refusal without its figures, to count it by.
func reason(err error) string {
	var faults job.Faults
	if !errors.As(err, &faults) || len(faults) == 0 {
		return err.Error()
	}
	return figures.ReplaceAllString(faults[0].Msg, "#")
}

// Random jobs on random lathes: each is refused with its place and a remedy, or
// every plan of it, from the first to the last answer, passes the bench.
func TestRandomJobs(t *testing.T) {
	c := newTally()
	walked, steps, scrapped, gaveUp := 0, 0, 0, 0
	n := eachSeed(t, 2000, 100_000, func(seed uint64) error {
		out, err := try(seed)
		c.add(out.refused, out.has, out.answers)
		c.Lock()
		defer c.Unlock()
		steps += out.steps
		walked += asNumber(out.walked)
		scrapped += asNumber(out.scrapped)
		if out.gaveUp != "" {
			c.reasons[out.gaveUp]++
			gaveUp++
		}
		if err != nil && *many == 1 {
			w := draw(seed)
			return fmt.Errorf("%w\nthe job:\n%s\nthe lathe:\n%s", err, w.job, w.lathe)
		}
		return err
	})
	planned, answers, having, reasons := c.planned, c.answers, c.having, c.reasons
	t.Logf("%d of %d planned, %.0f steps each, %d of them answered, %d answers given; %d scrapped, %d given up", planned, n, float64(steps)/float64(max(1, planned)), walked, answers, scrapped, gaveUp)
	for _, f := range slices.Sorted(maps.Keys(having)) {
		t.Logf("%5d planned with %s", having[f], f)
	}
	if n >= 2000 && len(having) < 12 {
		t.Errorf("only %d kinds of work were planned", len(having))
	}
	why := slices.SortedFunc(maps.Keys(reasons), func(a, b string) int { return reasons[b] - reasons[a] })
	for i, w := range why {
		if i < 12 || strings.HasPrefix(w, "answer:") {
			t.Logf("%5d %s", reasons[w], w)
		}
	}
	if n >= 200 && planned*10 < int(n)*4 {
		t.Errorf("only %d of %d random jobs were planned", planned, n)
	}
}

func asNumber(b bool) int {
	if b {
		return 1
	}
	return 0
}

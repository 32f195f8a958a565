package runner

import (
	"errors"
	"testing"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// telling keeps records as a journal does, with a clock of its own.
type telling struct {
	state State
	found Found
	clock time.Time
	ms    int64
	fresh State
}

func newTelling(t *testing.T, teaching Teaching) *telling {
	t.Helper()
	plan, err := taughtPart.plan(sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := Start(Setup{Plan: teaching.Plan(plan), Teaching: teaching, Replan: func(r sequence.Readings) (*sequence.Plan, error) {
		p, err := taughtPart.plan(r)
		return teaching.Plan(p), err
	}})
	if err != nil {
		t.Fatal(err)
	}
	return &telling{state: s, fresh: s, clock: time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC), found: Found{Begun: time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)}}
}

func (g *telling) do(after time.Duration, k Kind) {
	g.ms += after.Milliseconds()
	g.clock = g.clock.Add(after)
	s, effects := Next(g.state, Event{At: time.Duration(g.ms) * time.Millisecond, Kind: k})
	g.state = s
	for _, f := range effects {
		if r, ok := f.(Record); ok {
			r.N, r.Time = len(g.found.Records)+1, g.clock
			g.found.Records = append(g.found.Records, r)
		}
	}
}

func (g *telling) told() History {
	return Tell(g.found, func() (State, error) { return g.fresh, nil })
}

func (h History) step(t *testing.T, id string) Told {
	t.Helper()
	for _, d := range h.Steps {
		if d.ID == id {
			return d
		}
	}
	t.Fatalf("the history has no step %s", id)
	return Told{}
}

// Each step with its number, text, times, readings, results and who; a corrected reading
// keeps both values; a pause is not counted.
func TestC165History(t *testing.T) {
	g := newTelling(t, taught)
	g.do(0, Begin{})
	g.do(3*time.Second, Advance{}) // the key
	g.do(time.Second, SignOff{"T1"})
	g.do(time.Second, SignOff{"S1"})
	if g.state.Step().ID != "setup/runout" {
		t.Fatalf("at %s", g.state.Step().ID)
	}
	g.do(10*time.Second, Reading{Value: 30 * um}) // too much
	g.do(2*time.Second, Pause{})
	g.do(20*time.Minute, Go{})
	g.do(3*time.Second, Advance{}) // the re-check
	g.do(5*time.Second, Note{"jaws cleaned"})
	g.do(5*time.Second, Reading{Value: 10 * um})
	if g.state.Step().ID != "setup/runout"+watchedEnd {
		t.Fatalf("at %s", g.state.Step().ID)
	}
	g.do(time.Second, SignOff{"S1"})
	g.do(time.Second, Back{})
	g.do(time.Second, Back{})
	g.do(time.Second, Reading{Value: 15 * um}) // corrected
	h := g.told()
	if h.Partial != nil {
		t.Fatal(h.Partial)
	}
	d := h.step(t, "setup/runout")
	if d.N != 4 || d.Text == "" || d.Measure == nil || d.From.Sub(g.found.Begun) != 5*time.Second {
		t.Errorf("%+v", d)
	}
	if want := (10 + 2 + 3 + 5 + 5 + 1) * time.Second; d.Spent != want {
		t.Errorf("spent %s, want %s", d.Spent, want)
	}
	var got []string
	for _, a := range d.Answers {
		mark := ""
		if a.Stands {
			mark = " stands"
		}
		got = append(got, a.Reading.String()+" "+string(a.Result)+mark)
	}
	want := []string{"0.03 mm too much run-out", "0.01 mm accepted", "0.015 mm accepted stands"}
	if len(got) != len(want) || got[0] != want[0] || got[1] != want[1] || got[2] != want[2] {
		t.Errorf("answers %q, want %q", got, want)
	}
	if len(d.Notes) != 1 || d.Notes[0].Text != "jaws cleaned" {
		t.Errorf("notes %v", d.Notes)
	}
	// The correction took the sign-off back; who gave it stays to be read.
	w := h.step(t, "setup/runout"+watchedEnd)
	if w.SignBy != "" || len(w.Answers) != 1 || w.Answers[0].Name != "S1" || w.Answers[0].Stands {
		t.Errorf("%+v", w)
	}
	g.do(time.Second, SignOff{"S1"})
	if w := g.told().step(t, "setup/runout"+watchedEnd); w.SignBy != "S1" || !w.Answers[1].Stands || w.Answers[0].Stands {
		t.Errorf("%+v", w)
	}
}

// Maker and checker read 0.751 and 0.749 in: both are kept, 0.002 in apart.
func TestC166HistoryKeepsBothReadings(t *testing.T) {
	k := reads(t, "0.751 in", "0.749 in")
	a := Answered{Reading: &k.Value, More: k.More}
	if by, ok := a.Spread(); !ok || by != length(t, "0.002 in") {
		t.Errorf("spread %s", by)
	}
	v := 10 * calc.Millimetre
	if _, ok := (Answered{Reading: &v}).Spread(); ok {
		t.Error("one reading has a spread")
	}
}

// A clock set back by two hours changes no order and no time spent, and is told.
func TestClockSetBackInHistory(t *testing.T) {
	g := newTelling(t, Teaching{})
	g.do(0, Begin{})
	g.do(5*time.Second, Advance{})
	g.clock = g.clock.Add(-2 * time.Hour)
	g.do(5*time.Second, Reading{Value: 10 * um})
	h := g.told()
	if len(h.SetBack) != 1 || h.SetBack[0].Step != "setup/runout" || h.SetBack[0].By != 2*time.Hour-5*time.Second {
		t.Errorf("%+v", h.SetBack)
	}
	if d := h.step(t, "setup/runout"); d.Spent != 5*time.Second {
		t.Errorf("spent %s", d.Spent)
	}
}

// Without its plan a history still has its steps, times and readings.
func TestHistoryWithoutItsPlan(t *testing.T) {
	g := newTelling(t, Teaching{})
	g.do(0, Begin{})
	g.do(5*time.Second, Advance{})
	g.do(5*time.Second, Reading{Value: 10 * um})
	g.do(time.Second, Halt{})
	for name, start := range map[string]func() (State, error){
		"no plan": func() (State, error) { return State{}, errors.New("no plan") },
		"another plan": func() (State, error) {
			return fixed(t, pressed()), nil
		},
	} {
		h := Tell(g.found, start)
		if h.Partial == nil || h.Phase != Stopped || len(h.Steps) < 3 {
			t.Errorf("%s: %v, %s, %d steps", name, h.Partial, h.Phase, len(h.Steps))
		}
		if d := h.step(t, "setup/runout"); len(d.Answers) != 1 || *d.Answers[0].Reading != 10*um || d.To.IsZero() {
			t.Errorf("%s: %+v", name, d)
		}
	}
}

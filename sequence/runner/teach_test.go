package runner

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"turncue/sequence"
)

var taught = Teaching{Learner: "T1", Instructor: "S1"}

// taughtState is a taught run of the test part, begun.
func taughtState(t *testing.T, p testPart) State {
	t.Helper()
	plan, err := p.plan(sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := Start(Setup{Plan: taught.Plan(plan), Teaching: taught, Replan: func(r sequence.Readings) (*sequence.Plan, error) {
		plan, err := p.plan(r)
		return taught.Plan(plan), err
	}})
	if err != nil {
		t.Fatal(err)
	}
	return after(t, s, Begin{})
}

// confirm does what the step needs, signed by whoever must.
func confirm(t *testing.T, s State) State {
	t.Helper()
	st := s.Step()
	switch st.Needs {
	case sequence.NeedReading:
		return after(t, s, Reading{Value: st.Measure.Nominal})
	case sequence.NeedFit:
		return after(t, s, Answer{sequence.Fits})
	case sequence.NeedSignOff:
		if Signs(st) == RoleLearner {
			return after(t, s, SignOff{"T1"})
		}
		return after(t, s, SignOff{"S1"})
	}
	return after(t, s, Advance{})
}

var taughtPart = testPart{unit: mm, recuts: 2, extra: 2, sections: []testSection{
	{name: "s1", nominal: 16 * mm, tol: 50 * um, passes: 2},
	{name: "s2", nominal: 12 * mm, tol: 50 * um, passes: 2},
}}

// The learner alone gets past no watched step; the instructor's name does it; every
// block ends with two lines, one of each.
func TestC165TwoLinesEndEveryBlock(t *testing.T) {
	s := taughtState(t, taughtPart)
	lines := map[string][]string{}
	for n := 0; s.Phase() != Done; n++ {
		if n > 500 {
			t.Fatalf("no end, at %s", s.Step().ID)
		}
		st := s.Step()
		if st.Needs == sequence.NeedSignOff {
			wrong := "S1"
			if Signs(st) == RoleInstructor {
				wrong = "t1"
			}
			at(t, after(t, s, Advance{}, SignOff{wrong}, SignOff{""}, SignOff{"Somebody Else"}), st.ID)
			if BlockLine(st) {
				lines[st.Section] = append(lines[st.Section], string(Signs(st)))
			}
		}
		s = confirm(t, s)
		if got := s.SignedBy(st.ID); st.Needs == sequence.NeedSignOff && got == "" {
			t.Errorf("%s is passed but not signed", st.ID)
		}
	}
	for _, block := range []string{"s1", "s2"} {
		if got := strings.Join(lines[block], " "); got != "learner instructor" {
			t.Errorf("block %s ends with %q", block, got)
		}
	}
}

// A corrected size withdraws the sign-offs given after it in its section, and only
// those: they must be given again.
func TestCorrectionClearsTheSignOff(t *testing.T) {
	s := taughtState(t, taughtPart)
	for !strings.HasSuffix(s.Step().ID, "s1/signed/instructor") {
		s = confirm(t, s)
	}
	s = confirm(t, s)
	var signed, size string
	for i := range s.Plan().Steps {
		st := &s.Plan().Steps[i]
		if st.Measure != nil || !strings.HasSuffix(st.ID, watchedEnd) || st.Section != "s1" {
			continue
		}
		if of := s.Plan().Steps[i-1]; of.Measure != nil {
			signed, size = st.ID, strings.TrimSuffix(st.ID, watchedEnd)
		}
	}
	if s.SignedBy(signed) != "S1" || s.SignedBy("s1/signed/learner") != "T1" {
		t.Fatalf("%q is not signed", signed)
	}
	for s.Step().ID != size {
		s = after(t, s, Back{})
	}
	s = after(t, s, Reading{Value: s.Step().Measure.Nominal + 10*um})
	at(t, s, signed)
	for _, id := range []string{signed, "s1/signed/learner", "s1/signed/instructor"} {
		if by := s.SignedBy(id); by != "" {
			t.Errorf("%s still stands as signed by %s", id, by)
		}
	}
	at(t, after(t, s, Advance{}, Advance{}), signed)
}

// Taught and untaught runs of one job never meet in one journal.
func TestTaughtPlanHasItsOwnFingerprint(t *testing.T) {
	plan, err := taughtPart.plan(sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	before, err := json.Marshal(plan)
	if err != nil {
		t.Fatal(err)
	}
	a, err := NewHead("j", "job", "l", "lathe", plan)
	if err != nil {
		t.Fatal(err)
	}
	b, err := NewHead("j", "job", "l", "lathe", taught.Plan(plan))
	if err != nil {
		t.Fatal(err)
	}
	b.Learner, b.Instructor = taught.Learner, taught.Instructor
	if a.Plan == b.Plan || a.name() == b.name() {
		t.Error("a taught run cannot be told from an untaught one")
	}
	other := b
	other.Learner = "T2"
	if b.name() == other.name() {
		t.Error("two learners share one journal")
	}
	if now, err := json.Marshal(plan); err != nil || string(now) != string(before) {
		t.Error("the plan itself was changed")
	}
	if untaught := (Teaching{}).Plan(plan); untaught != plan {
		t.Error("nobody is taught, and the plan is another")
	}
}

func TestTeachingTakesTwo(t *testing.T) {
	for _, c := range []struct {
		Teaching
		want string
	}{
		{Teaching{}, ""}, {taught, ""},
		{Teaching{Learner: "T1"}, "takes two"}, {Teaching{Instructor: "S1"}, "takes two"},
		{Teaching{"Ann", " ann"}, "cannot watch themselves"},
		{Teaching{"Ann\nB", "S1"}, "is no name"}, {Teaching{strings.Repeat("x", 61), "S1"}, "is no name"},
	} {
		err := c.Check()
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%+v: %v, want %q", c.Teaching, err, c.want)
		}
	}
}

// What is watched, told by the moves.
func TestWatchedSteps(t *testing.T) {
	p := &sequence.Plan{Unit: mm, Steps: []sequence.Step{
		{ID: "hold", Op: sequence.OpSetUp, Moves: []sequence.Move{sequence.Hold{}}},
		{ID: "turn", Op: sequence.OpSetUp, Moves: []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}}},
		{ID: "go", Section: "a", Op: sequence.OpRough, Moves: []sequence.Move{sequence.Spindle{Turn: sequence.Forward}}},
		{ID: "cut1", Section: "a", Op: sequence.OpRough, Moves: []sequence.Move{sequence.Carriage{Cutting: true}}},
		{ID: "cut2", Section: "a", Op: sequence.OpRough, Moves: []sequence.Move{sequence.Carriage{Cutting: true}}},
		{ID: "size1", Section: "a", Op: sequence.OpFinish, Needs: sequence.NeedReading, Measure: &sequence.Measure{What: sequence.MeasureDiameter, Final: true}},
		{ID: "size2", Section: "a", Op: sequence.OpFinish, Needs: sequence.NeedReading, Measure: &sequence.Measure{What: sequence.MeasureDiameter, Final: true}},
		{ID: "stop", Op: sequence.OpGears, Moves: []sequence.Move{sequence.Spindle{Turn: sequence.Stop}, sequence.Supply{Isolated: true}}},
		{ID: "gears", Op: sequence.OpGears, Moves: []sequence.Move{sequence.Gears{}}},
		{ID: "power", Op: sequence.OpGears, Moves: []sequence.Move{sequence.Supply{}}},
		{ID: "scratch", Section: "a", Op: sequence.OpThread, Needs: sequence.NeedReading, Measure: &sequence.Measure{What: sequence.MeasureThreads}},
		{ID: "gauge1", Section: "a", Op: sequence.OpThread, Needs: sequence.NeedFit},
		{ID: "gauge2", Section: "a", Op: sequence.OpThread, Needs: sequence.NeedFit},
	}}
	for i := range p.Steps {
		p.Steps[i].N = i + 1
	}
	var got []string
	for _, st := range taught.Plan(p).Steps {
		if st.Needs == sequence.NeedSignOff {
			got = append(got, st.ID)
		}
	}
	want := "hold turn set-up/signed/learner set-up/signed/instructor cut1 size2/watched stop gears scratch/watched gauge2/watched a/signed/learner a/signed/instructor"
	if text := strings.Join(got, " "); text != want {
		t.Errorf("signed are\n%s\nwant\n%s", text, want)
	}
}

// The lines of a block that ends under power wait until the spindle stands.
func TestBlockLinesWaitForTheSpindle(t *testing.T) {
	p := &sequence.Plan{Unit: mm, Steps: []sequence.Step{
		{N: 1, ID: "cut", Section: "a", Op: sequence.OpPartOff, Moves: []sequence.Move{sequence.Spindle{Turn: sequence.Forward}, sequence.Plunge{From: 2, PerRev: millimetrePitch}}},
		{N: 2, ID: "end", Op: sequence.OpEnd, Moves: []sequence.Move{sequence.Spindle{Turn: sequence.Stop}}},
	}}
	steps := taught.Plan(p).Steps
	if n := len(steps); n != 4 || steps[1].ID != "end" || steps[3].ID != "a/signed/instructor" {
		t.Errorf("%d steps, the second %s", n, steps[1].ID)
	}
}

// Time, silence and a sound that ends sign nothing.
func TestNothingSignsByItself(t *testing.T) {
	s := taughtState(t, taughtPart)
	for s.Step().Needs != sequence.NeedSignOff {
		s = confirm(t, s)
	}
	id := s.Step().ID
	for range 50 {
		s, _ = Next(s, Event{At: s.screen.now + time.Hour, Kind: TimePassed{}})
		s, _ = Next(s, Event{At: s.screen.now + time.Hour, Kind: SoundEnded{}})
	}
	at(t, s, id)
}

// A job called by another path is the same job.
func TestFingerprintForgetsThePlace(t *testing.T) {
	plan, err := taughtPart.plan(sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	a, err := Fingerprint(plan)
	if err != nil {
		t.Fatal(err)
	}
	plan.Steps[0].Place = "elsewhere/pin.toml:3:1"
	b, err := Fingerprint(plan)
	if err != nil || a != b {
		t.Errorf("%s and %s (%v)", a, b, err)
	}
	plan.Steps[0].ID = "other"
	if c, err := Fingerprint(plan); err != nil || c == a {
		t.Errorf("another step, the same fingerprint (%v)", err)
	}
}

package main

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// The handle named beside a ring is the one that is turned to that setting: the last
// movement of the step that the ring belongs to, not the first.
func TestHandleBelongsToItsRing(t *testing.T) {
	w, err := load("", "")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for i := range w.plan.Steps {
		s := &w.plan.Steps[i]
		last := sequence.Rotation("")
		for _, m := range s.Moves {
			if m, ok := m.(sequence.Shift); ok && m.Dial != nil && m.WholeTurns == 0 {
				last = m.Handle
			}
		}
		if last == "" || s.Op != sequence.OpRough && s.Op != sequence.OpFinish && s.Op != sequence.OpFace && s.Op != sequence.OpThread {
			continue
		}
		if s.Phase != sequence.PhaseSet {
			continue
		}
		seen++
		if got := dialText(s); !strings.HasSuffix(got, ", handle "+string(last)) {
			t.Errorf("%s: %q, the handle goes %s", s.ID, got, last)
		}
	}
	if seen < 20 {
		t.Errorf("only %d settings seen", seen)
	}
}

// Nothing that must be read from three metres is longer than what fits there.
func TestHeadlinesFit(t *testing.T) {
	for _, job := range append(goodJobs(t), "") {
		w, err := load(job, "")
		if err != nil {
			t.Fatal(err)
		}
		for i := range w.plan.Steps {
			s := &w.plan.Steps[i]
			label, big := headline(s, w.plan.Unit)
			if big == "" || len([]rune(big)) > most {
				t.Errorf("%s %s: %q over %q", job, s.ID, big, label)
			}
			v := viewer{plan: w.plan}.view(runner.Frame{Step: s, N: s.N, Of: len(w.plan.Steps), Phase: runner.Running, Prompt: s.Cue})
			if len(v.Lines) == 0 {
				t.Errorf("%s %s shows no sentence", job, s.ID)
			}
		}
	}
}

// Where a pass along the work is cut, what is large is where to feed to, and not the turn
// out that follows.
func TestACutShowsWhereItEnds(t *testing.T) {
	w, err := load("", "")
	if err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]string{
		"s2/rough/pass1/cut":      "1 turn 19.60",
		"s1/finish/pass3/cut":     "1 turn 7.60",
		"s1/undercut/pass2/cut":   "1.28",
		"s1/thread/pass4/cut":     "FORWARD",
		"s1/thread/pass4/set":     "0.64",
		"s2/rough/pass2/set":      "0.84",
		"s1/thread/spring1/clear": "OUT 1 TURN",
	} {
		i := w.plan.Index(id)
		if i < 0 {
			t.Errorf("no step %s", id)
			continue
		}
		if _, got := headline(&w.plan.Steps[i], w.plan.Unit); got != want {
			t.Errorf("%s shows %q large, want %q", id, got, want)
		}
	}
}

// The screen says what the work is, what this cut leaves and what it is to be in the end.
func TestSizesOnTheScreen(t *testing.T) {
	for _, c := range []struct{ job, id, want string }{
		{"", "s2/rough/pass1/set", "now 22, then 21.16, end 15.979 mm"},
		{"", "s2/rough/pass1/cut", "now 22, then 21.16, end 15.979 mm"},
		{"", "s2/rough/pass2/set", "now 21.16, then 20.32, end 15.979 mm"},
		{"", "s1/thread/pass4/cut", "now 10.8, then 10.56, end 9.52 mm"},
		{"", "s1/thread/pass4/clear", ""},
		{"../../testdata/jobs/bush.toml", "bore1/rough/pass1/set", "now 20, then 20.88, end 25.011 mm"},
	} {
		w, err := load(c.job, "")
		if err != nil {
			t.Fatal(err)
		}
		i := w.plan.Index(c.id)
		if i < 0 {
			t.Errorf("no step %s", c.id)
			continue
		}
		f := runner.Frame{Step: &w.plan.Steps[i], Phase: runner.Running}
		f.Sizes, _ = w.plan.SizesAt(i)
		if got := (viewer{w.plan}).view(f).Size; got != c.want {
			t.Errorf("%s shows the size %q, want %q", c.id, got, c.want)
		}
	}
}

// A word of the title is not said twice.
func TestNextSaysItOnce(t *testing.T) {
	w, err := load("../../testdata/jobs/tripod-screw.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	if got := nextText(&w.plan.Steps[w.plan.Index("s1/thread/pass2/return")], w.plan.Unit); got != "thread: go back" {
		t.Errorf("%q", got)
	}
}

// What is next is understood without seeing its screen.
func TestNextIsUnderstood(t *testing.T) {
	w, err := load("", "")
	if err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]string{
		"setup/hold":          "set up, sticking out 60 mm",
		"setup/true":          "set up, run-out at most 0.05",
		"s2/rough/pass1/set":  "rough: set the depth 0.42",
		"s2/rough/pass1/cut":  "rough: cut 1 turn 19.60",
		"s2/finish/size1":     "finish: check, measure diameter 16.3",
		"s1/thread/pass4/cut": "thread: cut forward",
		"s1/gears/isolate":    "gears, power unplug",
	} {
		if got := nextText(&w.plan.Steps[w.plan.Index(id)], w.plan.Unit); got != want {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
	}
}

// Of several equal parts the screen says which one is on the lathe.
func TestWhichPartIsShown(t *testing.T) {
	w, err := load("../../testdata/jobs/four-pins.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	for id, want := range map[string]string{
		"part1/shank/rough/pass1/set": "part 1 of 4: rough, 12 mm h9",
		"part3/shank/finish/size1":    "part 3 of 4: finish, 12 mm h9",
	} {
		i := w.plan.Index(id)
		if i < 0 {
			t.Errorf("no step %s", id)
			continue
		}
		if got := (viewer{w.plan}).view(runner.Frame{Step: &w.plan.Steps[i], Phase: runner.Running}).Section; got != want {
			t.Errorf("%s: %q, want %q", id, got, want)
		}
	}
}

// Every part of several is cut from its own piece of bar: what the one before was cut to
// says nothing of it.
func TestSizesOfTheSecondPart(t *testing.T) {
	w, err := load("../../testdata/jobs/four-pins.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for i := range w.plan.Steps {
		st := &w.plan.Steps[i]
		s, ok := w.plan.SizesAt(i)
		if !ok || st.Op != sequence.OpRough || st.Pass != 1 || st.Phase != sequence.PhaseSet {
			continue
		}
		first := true // of its part: the later sections are cut from what is roughed already
		for k := range i {
			if q := &w.plan.Steps[k]; q.Op == sequence.OpRough && q.Part == st.Part && q.Pass > 0 {
				first = false
			}
		}
		if !first {
			continue
		}
		seen++
		if s.Now != w.job.Bar {
			t.Errorf("%s: now %s, and the bar is %s", st.ID, s.Now, w.job.Bar)
		}
	}
	if seen != 4 {
		t.Errorf("%d parts begun, want 4", seen)
	}
}

// A reading of one part corrected later leaves those of the next as they are.
func TestCorrectionStaysInItsPart(t *testing.T) {
	w, err := load("../../testdata/jobs/four-pins.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	s, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan})
	if err != nil {
		t.Fatal(err)
	}
	do := func(k runner.Kind) { s, _ = runner.Next(s, runner.Event{Kind: k}) }
	do(runner.Begin{})
	var first, later string // the last sizes of the same section in the first part and the second
	for s.Phase() == runner.Running && later == "" {
		st := s.Step()
		switch {
		case st.Needs != sequence.NeedReading:
			do(runner.Advance{})
			continue
		case first == "" && st.Part == 1 && st.Measure.What == sequence.MeasureDiameter && st.Measure.Final:
			first = st.ID
		case first != "" && st.Part == 2 && st.Measure.What == sequence.MeasureDiameter && st.Measure.Final:
			later = st.ID
		}
		do(runner.Reading{Value: st.Measure.Nominal})
	}
	if later == "" {
		t.Fatalf("no size of a second part after %s: at %s", first, s.Step().ID)
	}
	for s.Step().ID != first {
		do(runner.Back{})
	}
	do(runner.Reading{Value: s.Step().Measure.Nominal + calc.Micrometre})
	if _, kept := s.Readings().Lengths[later]; !kept {
		t.Errorf("a correction at %s took %s back", first, later)
	}
}

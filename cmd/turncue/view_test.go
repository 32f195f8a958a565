package main

import (
	"strings"
	"testing"

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

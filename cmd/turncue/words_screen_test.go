package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// In full the screen of a cut says what to look and listen for; elsewhere, and while the
// lathe is being checked again, it does not. A sign-off says in large type who signs.
func TestFullWordsOnTheScreen(t *testing.T) {
	w, err := load("../../testdata/jobs/foot.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	if err := w.teach(runner.Teaching{Learner: "T1", Instructor: "S1"}); err != nil {
		t.Fatal(err)
	}
	screen, err := os.Create(filepath.Join(t.TempDir(), "screen"))
	if err != nil {
		t.Fatal(err)
	}
	defer screen.Close()
	d := &display{screen: terminal.NewScreen(screen, terminal.ScreenOptions{Plain: true}), viewer: viewer{w.plan}, heed: true}
	shown := func(id string, phase runner.Phase) terminal.View {
		i := w.plan.Index(id)
		if i < 0 {
			t.Fatalf("no step %s", id)
		}
		st := &w.plan.Steps[i]
		d.Show(runner.Frame{Step: st, N: st.N, Of: len(w.plan.Steps), Phase: phase, Prompt: st.Cue, Checks: []string{"Look.", "Is the tool clear?"}})
		return d.view
	}
	cut := strings.Join(shown("s2/rough/pass1/cut", runner.Running).Lines, "\n")
	holds(t, cut, "Listen: an even hiss", "Look: swarf that curls", "A sign-off is needed here")
	if again := strings.Join(shown("s2/rough/pass1/cut", runner.Recheck).Lines, "\n"); strings.Contains(again, "Listen:") {
		t.Errorf("the re-check says %q", again)
	}
	d.heed = false
	if short := strings.Join(shown("s2/rough/pass1/cut", runner.Running).Lines, "\n"); strings.Contains(short, "Listen:") {
		t.Errorf("in short the screen says %q", short)
	}
	for id, who := range map[string]string{"s2/signed/learner": "LEARNER", "s2/signed/instructor": "INSTRUCTOR"} {
		if v := shown(id, runner.Running); v.BigLabel != who || v.Big != "SIGN" || !strings.Contains(v.Keys, "s, the name, enter") {
			t.Errorf("%s: %s %s, keys %q", id, v.BigLabel, v.Big, v.Keys)
		}
	}
}

// What there is to heed never tells when to stop a moving carriage, and every kind of
// step has something.
func TestHeedOfEveryStep(t *testing.T) {
	w, err := load("../../testdata/jobs/foot.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[sequence.Op]bool{}
	for i := range w.plan.Steps {
		s := &w.plan.Steps[i]
		for _, line := range runner.Heed(s) {
			seen[s.Op] = true
			if strings.ContainsAny(line, "0123456789") || !strings.HasPrefix(line, "Look:") && !strings.HasPrefix(line, "Listen:") && !strings.HasPrefix(line, "Feel:") {
				t.Errorf("%s: %q", s.ID, line)
			}
		}
	}
	for _, op := range []sequence.Op{sequence.OpSetUp, sequence.OpFace, sequence.OpRough, sequence.OpFinish, sequence.OpUndercut, sequence.OpGears, sequence.OpThread, sequence.OpPartOff} {
		if !seen[op] {
			t.Errorf("nothing to heed at %s", op)
		}
	}
}

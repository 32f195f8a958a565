package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/sequence/job"
)

// A whole job, by control lines: every step is shown and said in the order of the
// plan, and the run ends with the part finished.
func TestWholeJobByControlLines(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	h := newHands(t, "", "")
	s := startScript("run", "--control", "-", "--audio", "none")
	var order []string
	for {
		id, state := s.shown()
		if id == "" {
			break
		}
		if strings.HasPrefix(state, "done") || len(order) > 0 && order[len(order)-1] == id {
			continue
		}
		order = append(order, id)
		s.send(t, h.answer(t, id))
	}
	if code := <-s.done; code != exitDone {
		t.Fatalf("exit %d\n%s%s", code, strings.Join(s.said, "\n"), s.errs)
	}
	if len(order) != len(h.plan.Steps) {
		t.Fatalf("%d steps shown of %d", len(order), len(h.plan.Steps))
	}
	for i, id := range order {
		if h.plan.Steps[i].ID != id {
			t.Fatalf("step %d was %s, the plan has %s", i+1, id, h.plan.Steps[i].ID)
		}
	}
	text := strings.Join(s.said, "\n")
	for i := range h.plan.Steps {
		if say := h.plan.Steps[i].Cue.Text(); !strings.Contains(text, say) {
			t.Errorf("never said: %s", say)
		}
	}
}

// Stopped and begun again, a run is at the step it was left at, after a re-check, and
// the step is marked not confirmed.
func TestRunGoesOnWhereItStopped(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	h := newHands(t, "", "")
	s := startScript("run", "--control", "-", "--audio", "none")
	at := ""
	for range 12 {
		id, _ := s.shown()
		at = id
		if len(s.said) > 0 {
			s.send(t, h.answer(t, id))
		}
	}
	id, _ := s.shown()
	s.in.Close()
	for id != "" {
		at = id
		id, _ = s.shown()
	}
	if code := <-s.done; code != exitDone {
		t.Fatalf("exit %d: %s", code, s.errs)
	}
	again := startScript("resume", "--control", "-", "--audio", "none")
	id, state := again.shown()
	if id != at || !strings.HasPrefix(state, "re-check") {
		t.Fatalf("resumed at %s (%s), want a re-check at %s", id, state, at)
	}
	again.send(t, "next")
	id, state = again.shown()
	if id != at || !strings.Contains(state, "not confirmed") {
		t.Errorf("after the re-check: %s (%s), want %s, not confirmed", id, state, at)
	}
	again.in.Close()
	for id != "" {
		id, _ = again.shown()
	}
	<-again.done
}

// An edited job is not gone on with; what was edited is told.
func TestEditedJobIsRefused(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	job := filepath.Join(t.TempDir(), "foot.toml")
	text, err := os.ReadFile("../../testdata/jobs/foot.toml")
	if err != nil {
		t.Fatal(err)
	}
	write := func(s string) {
		if err := os.WriteFile(job, []byte(s), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(string(text))
	h := newHands(t, job, "")
	s := startScript("run", job, "--control", "-", "--audio", "none")
	for range 3 {
		id, _ := s.shown()
		s.send(t, h.answer(t, id))
	}
	s.in.Close()
	for id := "-"; id != ""; {
		id, _ = s.shown()
	}
	<-s.done
	write(strings.Replace(string(text), `"8 mm"`, `"9 mm"`, 1))
	out := call(t, exitRefused, "resume", "--control", "-", "--audio", "none")
	for _, want := range []string{"was changed since the run was begun", `was: length   = "8 mm"`, `now: length   = "9 mm"`} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in:\n%s", want, out)
		}
	}
	if out := call(t, exitRefused, "run", job, "--control", "-", "--audio", "none"); !strings.Contains(out, "--fresh") {
		t.Errorf("run says nothing of --fresh:\n%s", out)
	}
}

// Faults in the call: one line, exit 2, and what would do.
func TestUsage(t *testing.T) {
	for _, c := range []struct {
		args string
		want string
	}{
		{"plan a b", "takes one JOB file, got 2"},
		{"plan --jsn", "did you mean --json?"},
		{"paln", `unknown command "paln"`},
		{"run --control x", "only - (standard input)"},
		{"run --press fast", `"fast" is not known`},
		{"run --audio loud", "loud"},
	} {
		out := call(t, exitUsage, strings.Fields(c.args)...)
		if !strings.Contains(out, c.want) {
			t.Errorf("turncue %s: %q is not in %q", c.args, c.want, out)
		}
		if strings.Count(strings.TrimSpace(out), "\n") > 0 {
			t.Errorf("turncue %s: more than one line: %q", c.args, out)
		}
	}
}

func TestMissingFile(t *testing.T) {
	if out := call(t, exitRefused, "plan", "no-such.toml"); out != "turncue: no-such.toml: there is no such file\n" {
		t.Errorf("got %q", out)
	}
}

// A job of a material that only its lathe's file names is gone on with like any other.
func TestResumeOfAShopsOwnMaterial(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	dir := t.TempDir()
	jobText, latheText := job.ExampleText()
	jobText = strings.Replace(jobText, `"free-machining steel"`, `"axle steel"`, 1)
	latheText += "\n[[material]]\nname = \"axle steel\"\nlike = \"mild steel\"\n"
	jobPath, lathePath := filepath.Join(dir, "job.toml"), filepath.Join(dir, "lathe.toml")
	for path, text := range map[string]string{jobPath: jobText, lathePath: latheText} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	s := startScript("run", jobPath, "--lathe", lathePath, "--control", "-", "--audio", "none")
	at, _ := s.shown()
	s.send(t, "next")
	for id := at; id != ""; {
		if id, _ = s.shown(); id != "" && id != at {
			at = id
			s.in.Close()
		}
	}
	<-s.done
	again := startScript("resume", "--control", "-", "--audio", "none")
	id, _ := again.shown()
	if id != at {
		t.Errorf("resumed at %q, want %s\n%s", id, at, again.errs)
	}
	again.in.Close()
	for id != "" {
		id, _ = again.shown()
	}
	<-again.done
}

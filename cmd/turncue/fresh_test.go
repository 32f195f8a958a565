package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/sequence/runner"
)

// What a job was begun with can have changed in a way that the journal's name does not
// tell: another version of the program plans otherwise, or the file is damaged. A fresh
// start puts the old journal aside whatever is in it.
func TestFreshStartWhateverWasBegun(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(t *testing.T, path string, h runner.Head) error
		says  string // by a run that is not to be fresh
	}{
		{"another plan", func(*testing.T, string, runner.Head) error { return nil }, "start again"},
		{"damage", func(t *testing.T, path string, _ runner.Head) error {
			b, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			lines := strings.SplitAfterN(string(b), "\n", 2)
			return os.WriteFile(path, []byte(strings.Replace(lines[0], "turncue", "turncve", 1)+lines[1]), 0o600)
		}, "put the file away"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Setenv("XDG_STATE_HOME", t.TempDir())
			w, err := load("", "")
			if err != nil {
				t.Fatal(err)
			}
			head, err := w.head()
			if err != nil {
				t.Fatal(err)
			}
			head.Plan = strings.Repeat("0", 64)
			dir, err := runner.StateDir()
			if err != nil {
				t.Fatal(err)
			}
			j, err := runner.OpenJournal(dir, head)
			if err != nil {
				t.Fatal(err)
			}
			if err := errors.Join(j.Append(runner.Record{Event: "begin", Step: w.plan.Steps[0].ID, Result: runner.Accepted}), j.Sync(), j.Close()); err != nil {
				t.Fatal(err)
			}
			found, err := filepath.Glob(filepath.Join(dir, "*.jsonl"))
			if err != nil || len(found) != 1 {
				t.Fatal(found, err)
			}
			if err := c.spoil(t, found[0], head); err != nil {
				t.Fatal(err)
			}
			if out := call(t, exitRefused, "run", "--control", "-", "--audio", "none"); !strings.Contains(out, c.says) {
				t.Errorf("not fresh: %s", out)
			}
			s := startScript("run", "--fresh", "--control", "-", "--audio", "none")
			id, state := s.shown()
			s.in.Close()
			for next := id; next != ""; next, _ = s.shown() {
				continue
			}
			if code := <-s.done; code != exitDone || id != w.plan.Steps[0].ID || !strings.HasPrefix(state, "running") {
				t.Errorf("fresh: exit %d at %q (%s)\n%s", code, id, state, s.errs)
			}
			if now, _ := filepath.Glob(filepath.Join(dir, "*.jsonl")); len(now) != 2 {
				t.Errorf("journals kept: %v, want the old and the new", now)
			}
		})
	}
}

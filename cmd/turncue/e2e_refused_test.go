//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/sequence/runner"
)

// A run that cannot begin says why in one line that tells what to do, with an exit code
// of its own.
func TestRunsThatCannotBegin(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, []byte("in the way"), 0o600); err != nil {
		t.Fatal(err)
	}
	busy := []string{"XDG_STATE_HOME=" + t.TempDir()}
	w := newTwin(t, example(t))
	first := lead(t, busy, "run", "--control", "-", "--audio", "none")
	first.must(w.does(runner.Begin{}))
	for _, c := range []struct {
		name string
		env  []string
		args string
		code int
		want string
	}{
		{"no terminal", []string{"XDG_STATE_HOME=" + t.TempDir()}, "run --audio none", exitNoTerminal,
			"no terminal to read keys from: start it in a terminal, or send it events with --control -"},
		{"no terminal, large type asked", []string{"XDG_STATE_HOME=" + t.TempDir()}, "run --light --audio none", exitNoTerminal, "no terminal to read keys from"},
		{"second run of one job", busy, "run --control - --audio none", exitLocked, "another turncue is running this job"},
		{"resume of a run that is going on", busy, "resume --control - --audio none", exitLocked, "another turncue is running this job"},
		{"fresh run of one that is going on", busy, "run --fresh --control - --audio none", exitLocked, "another turncue is running this job"},
		{"no home", []string{"HOME", "XDG_STATE_HOME"}, "run --control - --audio none", exitRefused,
			"no home directory to keep the place in: set HOME, or XDG_STATE_HOME to a directory"},
		{"no home to resume from", []string{"HOME", "XDG_STATE_HOME"}, "resume --control - --audio none", exitRefused, "set HOME, or XDG_STATE_HOME"},
		{"home is relative", []string{"HOME=here", "XDG_STATE_HOME=there"}, "run --control - --audio none", exitRefused, "set HOME, or XDG_STATE_HOME"},
		{"a file in the way", []string{"XDG_STATE_HOME=" + file}, "run --control - --audio none", exitRefused,
			filepath.Join(file, "turncue") + " cannot be listed: not a directory"},
		{"nothing to resume", []string{"XDG_STATE_HOME=" + t.TempDir()}, "resume --control - --audio none", exitRefused,
			"there is no run to go on with: start one with turncue run"},
	} {
		second := lead(t, c.env, strings.Fields(c.args)...)
		line, printed := second.next()
		code := second.ended()
		errs := second.errs.String()
		if code != c.code || !strings.HasPrefix(errs, "turncue: ") || !strings.Contains(errs, c.want) || strings.Count(errs, "\n") != 1 {
			t.Errorf("%s: exit %d %q, want exit %d and one line with %q", c.name, code, errs, c.code, c.want)
		}
		if printed || line != "" {
			t.Errorf("%s: printed %q as well", c.name, line)
		}
	}
	first.tell(w.commandFor(runner.Advance{}))
	first.must(w.does(runner.Advance{}))
	first.in.Close()
	if code := first.ended(); code != exitDone {
		t.Errorf("the first run ends with %d: %s", code, first.errs.String())
	}
	for _, path := range []string{"here", "there"} {
		if _, err := os.Stat(path); err == nil {
			t.Errorf("%s was made in the working directory", path)
		}
	}
}

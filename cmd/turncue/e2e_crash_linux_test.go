package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// The built program crashes in the middle of a run, by a fault on whatever thread the
// signal meets or killed outright: the terminal is as it was found, the code is that of a
// crash, and the place is kept.
func TestCrashAtATerminal(t *testing.T) {
	for _, c := range []struct {
		name   string
		signal syscall.Signal
		says   string
	}{
		{"a fault", syscall.SIGSEGV, "SIGSEGV"},
		{"killed", syscall.SIGKILL, "signal: killed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			o, w, env := begun(t)
			o.press("space")
			o.press("pgdn")
			if err := syscall.Kill(childOf(t, o.cmd.Process.Pid), c.signal); err != nil {
				t.Fatal(err)
			}
			o.ends(exitCrashed)
			o.says("your place is saved: turncue resume")
			o.mu.Lock()
			written := o.raw.String()
			o.mu.Unlock()
			if _, after, _ := strings.Cut(written, "\x1b[?1049l"); !strings.Contains(after, c.says) {
				t.Errorf("the reason, %q, is not told", c.says)
			}
			kept(t, w, env)
			if n, _ := w.state.Position(); n != 3 {
				t.Errorf("kept at step %d", n)
			}
		})
	}
}

// childOf is the process that a guard guards: any of its threads may have started it.
func childOf(t *testing.T, pid int) int {
	t.Helper()
	lists, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", pid))
	if err != nil {
		t.Fatal(err)
	}
	for _, list := range lists {
		b, err := os.ReadFile(list)
		if err != nil {
			continue // the thread has ended
		}
		if child, err := strconv.Atoi(strings.TrimSpace(string(b))); err == nil {
			return child
		}
	}
	t.Fatalf("process %d has no child", pid)
	return 0
}

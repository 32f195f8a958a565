//go:build unix

package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os/exec"
	"syscall"
	"testing"

	"turncue/sequence/runner"
)

// A client leads the built program by control lines, away from any terminal.
type client struct {
	t    testing.TB
	cmd  *exec.Cmd
	in   io.WriteCloser
	out  *bufio.Reader
	errs bytes.Buffer // complete once it has ended
	done bool
}

// lead starts the program with control lines.
func lead(t testing.TB, env []string, args ...string) *client {
	t.Helper()
	cmd := exec.Command(program(t), args...)
	cmd.Env = surroundings(env...)
	return started(t, cmd)
}

func started(t testing.TB, cmd *exec.Cmd) *client {
	t.Helper()
	c := &client{t: t, cmd: cmd}
	cmd.Stderr = &c.errs
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	var err error
	if c.in, err = cmd.StdinPipe(); err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	c.out = bufio.NewReader(out)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if !c.done {
			c.cmd.Process.Kill()
			c.ended()
		}
	})
	return c
}

// next is the next whole line, or false at the end of the output.
func (c *client) next() (string, bool) {
	line, err := c.out.ReadString('\n')
	if err != nil {
		return line, false // what a killed program had begun to write counts for nothing
	}
	return line[:len(line)-1], true
}

// gives reads the lines that must come and reports whether the program lived to print
// them all.
func (c *client) gives(want []string) bool {
	c.t.Helper()
	for i, w := range want {
		got, ok := c.next()
		if !ok {
			return false
		}
		if got != w {
			c.t.Fatalf("line %d is %q, want %q", i+1, got, w)
		}
	}
	return true
}

// must is gives for a program that is not killed.
func (c *client) must(want []string) {
	c.t.Helper()
	if !c.gives(want) {
		code := c.ended()
		c.t.Fatalf("ended with %d before it gave %q: %s", code, want, c.errs.String())
	}
}

// tell writes a control line. Whether a killed program still read it shows later.
func (c *client) tell(line string) { _, _ = io.WriteString(c.in, line+"\n") }

// ended waits for the end of the program and gives its exit code.
func (c *client) ended() int {
	if !c.done {
		c.done = true
		c.in.Close()
		_, _ = io.Copy(io.Discard, c.out)
		_ = c.cmd.Wait() // how it ended is in its state
	}
	return c.cmd.ProcessState.ExitCode()
}

// commandFor is the control line for an event, guarded where that is a press.
func (w *twin) commandFor(k runner.Kind) string {
	n, _ := w.state.Position()
	switch k := k.(type) {
	case runner.Advance:
		return fmt.Sprintf("next @%d", n)
	case runner.Reading:
		return "reading " + k.Value.String()
	case runner.Answer:
		return "fits"
	case runner.Back:
		return "back"
	case runner.Status:
		return "status"
	}
	panic(fmt.Sprintf("no control line for %T", k))
}

// leave begins a run and leaves it at the first step that wants what is asked for.
func leave(t testing.TB, w *twin, env []string, at func(*twin) bool, args ...string) {
	t.Helper()
	c := lead(t, env, append([]string{"run", "--control", "-", "--quiet"}, args...)...)
	c.must(w.does(runner.Begin{}))
	for !at(w) {
		k := w.wants()
		c.tell(w.commandFor(k))
		c.must(w.does(k))
	}
	c.in.Close()
	c.must(w.does(runner.Halt{}))
	if code := c.ended(); code != exitDone {
		t.Fatalf("exit %d: %s", code, c.errs.String())
	}
}

// kept resumes a run by control lines and compares where it is; the run is left there.
func kept(t testing.TB, w *twin, env []string) {
	t.Helper()
	c := lead(t, env, "resume", "--control", "-", "--quiet")
	c.must(w.does(runner.Resume{}))
	c.in.Close()
	if code := c.ended(); code != exitDone {
		t.Errorf("exit %d: %s", code, c.errs.String())
	}
	if w.state.Phase() != runner.Recheck {
		t.Errorf("goes on with %v, not with a re-check", w.state.Phase())
	}
}

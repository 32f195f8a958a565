//go:build unix

package terminal

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"golang.org/x/sys/unix"
)

const saved = "your place is saved: turncue resume"

func TestGuardMendsTheTerminal(t *testing.T) {
	for _, c := range []struct{ name, key, says string }{
		{"panic", "p", "on purpose, with the keys open"},
		{"panic on another goroutine", "g", "on purpose, elsewhere"},
		{"kill -9", "k", "signal: killed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			r := start(t, rigOptions{mode: "guard", onPty: true, cols: 200, rows: 60})
			r.shows(counted(0, "none"))
			r.send(c.key)
			r.ends(Crashed)
			r.leftScreen()
			r.sees(saved)
			r.until("the reason", func() bool { // a trace is long: it may have scrolled
				_, after, _ := strings.Cut(r.written(), "\x1b[?1049l")
				return strings.Contains(after, c.says)
			})
		})
	}
}

func TestGuardPassesOnHowItEnded(t *testing.T) {
	for _, c := range []struct {
		name string
		end  func(r *rig)
		code int
	}{
		{"an exit code", func(r *rig) { r.send("x") }, 7},
		{"control C", func(r *rig) { r.send("\x03") }, 0},
		{"SIGTERM to the guard", func(r *rig) { unix.Kill(r.cmd.Process.Pid, unix.SIGTERM) }, 0},
		{"SIGHUP to the guard", func(r *rig) { unix.Kill(r.cmd.Process.Pid, unix.SIGHUP) }, 0},
		{"SIGINT to the guard", func(r *rig) { unix.Kill(r.cmd.Process.Pid, unix.SIGINT) }, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			r := start(t, rigOptions{mode: "guard", onPty: true})
			r.shows(counted(0, "none"))
			c.end(r)
			r.ends(c.code)
			r.leftScreen()
			if strings.Contains(r.written(), "crashed") {
				t.Errorf("an orderly end called a crash: %q", r.written())
			}
		})
	}
}

// A panic without a guard: the deferred Close puts the terminal back.
func TestPanicWithoutAGuard(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "screen", onPty: true})
	r.shows(counted(0, "none"))
	r.send("p")
	r.ends(2)
	r.leftScreen()
}

func TestNoTerminal(t *testing.T) {
	t.Parallel()
	for _, mode := range []string{"keys", "guard"} {
		self, err := os.Executable()
		if err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(self)
		cmd.Env = environment([]string{childMark + "=" + mode})
		cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
		var out bytes.Buffer
		cmd.Stdout = &out
		err = cmd.Run()
		if want := "error: " + ErrNoTerminal.Error() + "\n"; out.String() != want || cmd.ProcessState.ExitCode() != 3 {
			t.Errorf("%s: %v, printed %q, want %q", mode, err, out.String(), want)
		}
	}
}

// shell starts an interactive shell on a terminal, which controls jobs.
func shell(t *testing.T, mode string) (r *rig, program string) {
	t.Helper()
	r = start(t, rigOptions{
		mode: mode, onPty: true, command: []string{"bash", "--norc", "--noprofile", "-i"},
		env: []string{"PS1=prompt> ", "PS0", "PROMPT_COMMAND", "HISTFILE=/dev/null", "INPUTRC=/dev/null"},
	})
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	r.sees("prompt>")
	return r, "'" + self + "'"
}

func (r *rig) leaveShell() {
	r.t.Helper()
	r.until("the prompt", func() bool { return strings.HasSuffix(strings.TrimSpace(r.text()), "prompt>") })
	r.send("exit 5\r")
	r.ends(5)
}

// Control Z gives the terminal to the shell, fg takes it again, as often as one
// likes, with and without a guard.
func TestSuspendAndGoOn(t *testing.T) {
	for _, mode := range []string{"screen", "guard"} {
		t.Run(mode, func(t *testing.T) {
			t.Parallel()
			r, program := shell(t, mode)
			r.send(program + "\r")
			r.shows(counted(0, "none"))
			for i := range 3 {
				r.send("b")
				r.shows(counted(i+1, "b"))
				r.send("\x1a")
				r.leftScreen()
				r.until("the prompt", func() bool { return strings.HasSuffix(strings.TrimSpace(r.text()), "prompt>") })
				if !strings.Contains(r.text(), "Stopped") {
					t.Fatalf("not stopped:\n%s", r.text())
				}
				r.send("fg\r")
				r.shows(counted(i+1, "resumed"))
			}
			r.send("\x03")
			r.leftScreen()
			r.send("echo code $?\r")
			r.sees("code 0")
			r.leaveShell()
		})
	}
}

// Where no shell could let the program go on, control Z is a key like others and
// the signal does nothing.
func TestSuspendWithoutAShell(t *testing.T) {
	t.Parallel()
	for _, mode := range []string{"screen", "guard"} {
		r := start(t, rigOptions{mode: mode, onPty: true})
		r.shows(counted(0, "none"))
		r.send("\x1a")
		r.shows(counted(0, "ctrl+z"))
		unix.Kill(r.cmd.Process.Pid, unix.SIGTSTP)
		r.send("b")
		r.shows(counted(1, "b"))
		r.send("\x03")
		r.ends(0)
	}
}

func TestBackground(t *testing.T) {
	t.Parallel()
	r, program := shell(t, "screen")
	r.send(program + " &\r")
	r.sees("running in the background")
	r.send("wait\r")
	r.leaveShell()
}

// A guard that is killed takes the program with it, in good order.
func TestGuardKilled(t *testing.T) {
	t.Parallel()
	r, program := shell(t, "guard pids")
	r.send(program + "\r")
	r.sees("process")
	var child, guard int
	r.until("the process numbers", func() bool {
		_, after, _ := strings.Cut(r.text(), "process ")
		n, _ := fmt.Sscanf(after, "%d of %d", &child, &guard)
		return n == 2
	})
	if err := unix.Kill(guard, unix.SIGKILL); err != nil {
		t.Fatal(err)
	}
	r.leftScreen()
	r.until("the program to end", func() bool { return unix.Kill(child, 0) == unix.ESRCH })
	r.send("\r")
	r.leaveShell()
}

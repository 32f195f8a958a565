//go:build unix

package terminal

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// patience is how long a test waits for something that must come. It is polled
// for, so a busy computer makes a test slow, not wrong.
const patience = 30 * time.Second

// A rig is a program under test with a terminal of its own: what it writes goes
// through an emulator, what it prints through a pipe.
type rig struct {
	t      *testing.T
	master *os.File
	slave  *os.File // kept open, so that the settings outlive the program
	emu    *vt.SafeEmulator
	cmd    *exec.Cmd
	found  unix.Termios
	shell  bool // the program is a shell

	mu     sync.Mutex
	raw    bytes.Buffer  // all that reached the terminal
	lines  chan string   // what was printed to the pipe
	over   atomic.Bool   // the reading of the terminal is to end
	read   chan struct{} // it has ended
	exited chan struct{}
	code   int
}

type rigOptions struct {
	mode    string
	env     []string // beside childMark; TERM is xterm-256color unless given
	cols    int
	rows    int
	onPty   bool     // standard output is the terminal, else a pipe
	before  string   // typed before the program starts
	command []string // instead of the test program
}

func start(t *testing.T, o rigOptions) *rig {
	t.Helper()
	if o.cols == 0 {
		o.cols, o.rows = 80, 24
	}
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	if err := pty.Setsize(master, &pty.Winsize{Cols: uint16(o.cols), Rows: uint16(o.rows)}); err != nil {
		t.Fatal(err)
	}
	r := &rig{t: t, master: master, slave: slave, emu: vt.NewSafeEmulator(o.cols, o.rows), shell: o.command != nil, lines: make(chan string, 4096), read: make(chan struct{}), exited: make(chan struct{})}
	r.found = r.settings()
	go io.Copy(io.Discard, r.emu) // answers to queries would block it
	go func() {
		defer close(r.read)
		buf, ready := make([]byte, 4096), []unix.PollFd{{Fd: int32(master.Fd()), Events: unix.POLLIN}}
		for !r.over.Load() {
			if n, _ := unix.Poll(ready, 50); n < 1 {
				continue
			}
			n, err := master.Read(buf)
			r.mu.Lock()
			r.raw.Write(buf[:n])
			r.emu.Write(buf[:n])
			r.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	if o.before != "" {
		r.send(o.before)
		r.until("typed bytes to be queued", func() bool { return r.queued() > 0 })
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if o.command == nil {
		o.command = []string{self}
	}
	r.cmd = exec.Command(o.command[0], o.command[1:]...)
	r.cmd.Env = environment(append([]string{"TERM=xterm-256color", "GORACE=atexit_sleep_ms=0", childMark + "=" + o.mode}, o.env...)) // a race build waits a second otherwise
	r.cmd.Stdin, r.cmd.Stderr = slave, slave
	r.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if o.onPty {
		r.cmd.Stdout = slave
	} else {
		out, err := r.cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		go func() {
			text, buf := "", make([]byte, 4096)
			for {
				n, err := out.Read(buf)
				text += string(buf[:n])
				for {
					line, rest, ok := strings.Cut(text, "\n")
					if !ok {
						break
					}
					r.lines <- line
					text = rest
				}
				if err != nil {
					close(r.lines)
					return
				}
			}
		}()
	}
	if err := r.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		state, _ := r.cmd.Process.Wait()
		r.code = state.ExitCode()
		close(r.exited)
	}()
	t.Cleanup(func() {
		select {
		case <-r.exited:
		default:
			r.cmd.Process.Kill()
			<-r.exited
		}
		r.hangUp()
	})
	if !o.onPty {
		r.line("ready")
	}
	return r
}

// environment is the test's own with some set anew; "NAME" alone unsets.
func environment(set []string) (env []string) {
	names := map[string]string{}
	for _, e := range set {
		name, _, _ := strings.Cut(e, "=")
		names[name] = e
	}
	for _, e := range os.Environ() {
		name, _, _ := strings.Cut(e, "=")
		if _, ours := names[name]; !ours && name != "NO_COLOR" && name != "COLORTERM" && name != "TMUX" {
			env = append(env, e)
		}
	}
	for _, e := range names {
		if strings.Contains(e, "=") {
			env = append(env, e)
		}
	}
	return env
}

func (r *rig) settings() unix.Termios {
	r.t.Helper()
	now, err := unix.IoctlGetTermios(int(r.slave.Fd()), ioctlGet)
	if err != nil {
		r.t.Fatal(err)
	}
	return *now
}

// queued is how many bytes are typed and not yet read.
func (r *rig) queued() int {
	n, err := unix.IoctlGetInt(int(r.slave.Fd()), inputQueued)
	if err != nil {
		r.t.Fatal(err)
	}
	return n
}

func (r *rig) send(s string) {
	r.t.Helper()
	if _, err := io.WriteString(r.master, s); err != nil {
		r.t.Fatal(err)
	}
}

// hangUp closes the terminal, so that whatever still uses it is told. A file that is
// being read stays open, so the reading is ended first.
func (r *rig) hangUp() {
	if r.over.Swap(true) {
		return
	}
	<-r.read
	r.slave.Close()
	r.master.Close()
}

// until polls for something.
func (r *rig) until(what string, ok func() bool) {
	r.t.Helper()
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	limit := time.After(patience)
	for !ok() {
		select {
		case <-tick.C:
		case <-limit:
			r.t.Fatalf("waited in vain for %s; the screen is\n%s", what, r.text())
		}
	}
}

// line takes the next printed line and compares it.
func (r *rig) line(want string) {
	r.t.Helper()
	if got := r.nextLine(); got != want {
		r.t.Fatalf("printed %q, want %q", got, want)
	}
}

func (r *rig) nextLine() string {
	r.t.Helper()
	select {
	case l, ok := <-r.lines:
		if !ok {
			r.t.Fatalf("nothing more printed; the terminal has\n%s", r.text())
		}
		return l
	case <-time.After(patience):
		r.t.Fatal("nothing printed")
	}
	return ""
}

// key takes the next printed key.
func (r *rig) key() string {
	r.t.Helper()
	f := strings.Fields(r.nextLine())
	if len(f) != 4 || f[0] != "key" || f[3] != "true" {
		r.t.Fatalf("printed %q, want a key with a time in the past", f)
	}
	return f[1]
}

// text is the emulator's screen, as people see it.
func (r *rig) text() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	var lines []string
	for y := range r.emu.Height() {
		var b strings.Builder
		for x := range r.emu.Width() {
			if c := r.emu.CellAt(x, y); c != nil && c.Content != "" {
				b.WriteString(c.Content)
			} else {
				b.WriteByte(' ')
			}
		}
		lines = append(lines, strings.TrimRight(b.String(), " "))
	}
	return strings.Join(lines, "\n")
}

func (r *rig) sees(text string) {
	r.t.Helper()
	r.until(fmt.Sprintf("%q on the screen", text), func() bool { return strings.Contains(r.text(), text) })
}

// resize changes the window.
func (r *rig) resize(cols, rows int) {
	r.t.Helper()
	r.mu.Lock()
	r.emu.Resize(cols, rows)
	r.mu.Unlock()
	if err := pty.Setsize(r.master, &pty.Winsize{Cols: uint16(cols), Rows: uint16(rows)}); err != nil {
		r.t.Fatal(err)
	}
}

func (r *rig) written() string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.raw.String()
}

// ends waits for the program and checks its exit code and that the terminal is as
// it was found.
func (r *rig) ends(code int) {
	r.t.Helper()
	select {
	case <-r.exited:
	case <-time.After(patience):
		r.t.Fatalf("does not end; the screen is\n%s", r.text())
	}
	if r.code != code {
		r.t.Errorf("exit code %d, want %d; the screen is\n%s", r.code, code, r.text())
	}
	if now := r.settings(); now != r.found {
		r.t.Errorf("terminal settings are not as found: %+v, was %+v", now, r.found)
	}
}

// leftScreen waits until the screen has been given back with all its modes. A
// shell marks pastes itself.
func (r *rig) leftScreen() {
	r.t.Helper()
	modes := map[string]string{"\x1b[?1049h": "\x1b[?1049l", "\x1b[?25l": "\x1b[?25h", "\x1b[?7l": "\x1b[?7h"}
	if !r.shell {
		modes["\x1b[?2004h"] = "\x1b[?2004l"
	}
	r.until("the screen to be given back", func() bool {
		r.mu.Lock()
		defer r.mu.Unlock()
		w := r.raw.String()
		for on, off := range modes {
			if strings.LastIndex(w, on) > strings.LastIndex(w, off) {
				return false
			}
		}
		return !r.emu.IsAltScreen()
	})
}

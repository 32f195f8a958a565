//go:build unix

package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"reflect"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
	"golang.org/x/term"

	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
)

// longWait is how long something that must come is polled for: a busy computer makes a
// test slow, not wrong.
const longWait = 20 * time.Second

// An operator sits at a terminal of 100 by 30 with the program on it, and knows what
// the screen must show.
type operator struct {
	t      *testing.T
	twin   *twin
	master *os.File
	slave  *os.File // kept open, so that the settings outlive the program
	found  *term.State
	emu    *vt.SafeEmulator
	cmd    *exec.Cmd
	exited chan struct{}

	mu      sync.Mutex
	raw     bytes.Buffer // all that reached the terminal
	stop    atomic.Bool  // the reading of the terminal is to end
	stopped chan struct{}

	last   time.Time            // of any press, once it was seen to be taken
	lastOf map[string]time.Time // of each key
}

// seat starts the program at a terminal. The twin is where the run will be; nil when
// nothing is shown.
func seat(t *testing.T, w *twin, env []string, args ...string) *operator {
	t.Helper()
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	const cols, rows = 100, 30
	if err := pty.Setsize(master, &pty.Winsize{Cols: cols, Rows: rows}); err != nil {
		t.Fatal(err)
	}
	found, err := term.GetState(int(slave.Fd()))
	if err != nil {
		t.Fatal(err)
	}
	o := &operator{
		t: t, twin: w, master: master, slave: slave, found: found,
		emu: vt.NewSafeEmulator(cols, rows), lastOf: map[string]time.Time{},
		exited: make(chan struct{}), stopped: make(chan struct{}),
	}
	go io.Copy(io.Discard, o.emu) // answers to queries would block it
	go o.watch()
	o.cmd = exec.Command(program(t), args...)
	o.cmd.Env = surroundings(append([]string{"TERM=xterm-256color"}, env...)...)
	o.cmd.Stdin, o.cmd.Stdout, o.cmd.Stderr = slave, slave, slave
	o.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if err := o.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	go func() {
		_ = o.cmd.Wait() // how it ended is in its state
		close(o.exited)
	}()
	t.Cleanup(func() {
		select {
		case <-o.exited:
		default:
			o.cmd.Process.Kill()
			<-o.exited
		}
		o.hangUp()
	})
	return o
}

// watch feeds what the program writes to the emulator.
func (o *operator) watch() {
	defer close(o.stopped)
	buf := make([]byte, 4096)
	for !o.stop.Load() {
		n, err := o.master.Read(buf)
		o.mu.Lock()
		o.raw.Write(buf[:n])
		o.emu.Write(buf[:n])
		o.mu.Unlock()
		if err != nil {
			return
		}
	}
}

// hangUp closes the terminal. A file that is being read stays open, so the reading is
// ended first.
func (o *operator) hangUp() {
	if o.stop.Swap(true) {
		return
	}
	o.slave.WriteString(".")
	<-o.stopped
	o.slave.Close()
	o.master.Close()
}

func (o *operator) send(s string) {
	o.t.Helper()
	if _, err := io.WriteString(o.master, s); err != nil {
		o.t.Fatal(err)
	}
}

// text is the screen as people see it.
func (o *operator) text() string {
	o.mu.Lock()
	defer o.mu.Unlock()
	lines := make([]string, o.emu.Height())
	for y := range lines {
		var b strings.Builder
		for x := range o.emu.Width() {
			if c := o.emu.CellAt(x, y); c != nil && c.Content != "" {
				b.WriteString(c.Content)
			} else {
				b.WriteByte(' ')
			}
		}
		lines[y] = strings.TrimRight(b.String(), " ")
	}
	return strings.Join(lines, "\n")
}

// until polls for something.
func (o *operator) until(what string, ok func() bool) {
	o.t.Helper()
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	limit := time.NewTimer(longWait)
	defer limit.Stop()
	for !ok() {
		select {
		case <-tick.C:
		case <-limit.C:
			o.t.Fatalf("waited in vain for %s; the screen is\n%s", what, o.text())
		}
	}
}

// sees waits until the screen is exactly the frame of where the run must be.
func (o *operator) sees() { o.t.Helper(); o.seesWith("", "") }

// seesWith is sees with what is being typed and what there is to say about a key.
func (o *operator) seesWith(entry, notice string) {
	o.t.Helper()
	v := o.twin.view()
	v.Entry = entry
	if notice != "" {
		v.Notice = notice
	}
	want := terminal.Frame(v, o.emu.Width(), o.emu.Height())
	o.until("the frame\n"+want, func() bool { return o.text() == want })
}

// pause waits until a moment has come.
func (o *operator) pause(until time.Time) {
	timer := time.NewTimer(time.Until(until))
	defer timer.Stop()
	<-timer.C
}

// bytesOf are what a terminal sends for the keys that go on, for "say again", and for
// a byte that is no key.
var bytesOf = map[string]string{
	"space": " ", "enter": "\r", "pgdn": "\x1b[6~", "right": "\x1b[C", "down": "\x1b[B", "b": "b",
	"r": "r", "bad": "\xff",
}

// apart is longer than two keys of one burst can be, also for the filter.
const apart = 130 * time.Millisecond

// touch presses a key as soon as the default filter can take it for a press. The time
// counts from when the press before was seen to be taken, which is later than it was
// made: however busy the computer, the filter sees a gap at least as long as this one.
func (o *operator) touch(key string) {
	o.t.Helper()
	after := o.last.Add(apart)
	if same := o.lastOf[key].Add(pedal.Safe().Silence() + 5*time.Millisecond); same.After(after) {
		after = same
	}
	o.pause(after)
	o.send(bytesOf[key])
}

// does presses a key that means something and waits until that is seen.
func (o *operator) does(key string, k runner.Kind) {
	o.t.Helper()
	o.touch(key)
	o.twin.does(k)
	o.sees()
	o.last = time.Now()
	o.lastOf[key] = o.last
}

// press presses a key and waits until the run has gone on.
func (o *operator) press(key string) { o.t.Helper(); o.does(key, runner.Advance{}) }

// types types a figure at a measured step, key after key as each shows, and enters it.
func (o *operator) types(figure string) {
	o.t.Helper()
	for i := range figure {
		o.send(figure[i : i+1])
		o.seesWith("reading "+figure[:i+1], "")
	}
	o.send("\r")
}

// ends waits for the program and checks its exit code and that the terminal is as it
// was found: settings, screen, cursor.
func (o *operator) ends(code int) {
	o.t.Helper()
	limit := time.NewTimer(longWait)
	defer limit.Stop()
	select {
	case <-o.exited:
	case <-limit.C:
		o.t.Fatalf("does not end; the screen is\n%s", o.text())
	}
	if got := o.cmd.ProcessState.ExitCode(); got != code {
		o.t.Errorf("exit code %d, want %d; the screen is\n%s", got, code, o.text())
	}
	now, err := term.GetState(int(o.slave.Fd()))
	if err != nil {
		o.t.Fatal(err)
	}
	if !reflect.DeepEqual(now, o.found) {
		o.t.Errorf("terminal settings are not as found: %+v, was %+v", now, o.found)
	}
	o.until("the screen to be given back", func() bool {
		o.mu.Lock()
		defer o.mu.Unlock()
		w := o.raw.String()
		for on, off := range map[string]string{"\x1b[?1049h": "\x1b[?1049l", "\x1b[?25l": "\x1b[?25h", "\x1b[?7l": "\x1b[?7h", "\x1b[?2004h": "\x1b[?2004l"} {
			if strings.LastIndex(w, on) > strings.LastIndex(w, off) {
				return false
			}
		}
		return !o.emu.IsAltScreen()
	})
}

// says waits for a text on the screen.
func (o *operator) says(text string) {
	o.t.Helper()
	o.until(fmt.Sprintf("%q on the screen", text), func() bool { return strings.Contains(o.text(), text) })
}

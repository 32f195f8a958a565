package main

import (
	"encoding/binary"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"turncue/sequence/runner"
)

// pipePedal is a named pipe that stands for a pedal, held open so that nothing written
// is lost before the program reads it.
type pipePedal struct {
	t    *testing.T
	path string
	file *os.File
	at   time.Duration
}

func newPipePedal(t *testing.T) *pipePedal {
	t.Helper()
	path := filepath.Join(t.TempDir(), "foot")
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return &pipePedal{t: t, path: path, file: f}
}

// key writes a change of a key as the kernel does (Linux, input_event): seconds,
// microseconds, kind 1, code, value.
func (p *pipePedal) key(code uint16, value uint32) {
	p.t.Helper()
	var b []byte
	for _, w := range []time.Duration{p.at / time.Second, p.at % time.Second / time.Microsecond} {
		if strconv.IntSize == 32 {
			b = binary.NativeEndian.AppendUint32(b, uint32(w))
		} else {
			b = binary.NativeEndian.AppendUint64(b, uint64(w))
		}
	}
	b = binary.NativeEndian.AppendUint16(b, 1)
	b = binary.NativeEndian.AppendUint16(b, code)
	b = binary.NativeEndian.AppendUint32(b, value)
	if _, err := p.file.Write(b); err != nil {
		p.t.Fatal(err)
	}
}

// press is a press of a bouncing switch, for a tenth of a second by the clock of the
// device.
func (p *pipePedal) press(code uint16) {
	p.t.Helper()
	for _, value := range []uint32{1, 0, 1} {
		p.key(code, value)
		p.at += 4 * time.Millisecond
	}
	p.at += 100 * time.Millisecond
	for _, value := range []uint32{0, 1, 0} {
		p.key(code, value)
		p.at += 4 * time.Millisecond
	}
	p.at += 100 * time.Millisecond
}

// Codes of keys, from Linux, input-event-codes.h.
const (
	codeOfA, codeOfB, codeOfC = 30, 48, 46
)

// A pedal read from its device leads a run beside control lines: each press counts
// once, quick ones and bouncing ones too.
func TestPedalLeadsBesideControlLines(t *testing.T) {
	t.Parallel()
	p := newPipePedal(t)
	w := newTwin(t, example(t))
	c := lead(t, []string{"XDG_STATE_HOME=" + t.TempDir()}, "run", "--control", "-", "--audio", "none", "--pedal", p.path)
	c.must(w.does(runner.Begin{}))
	p.press(codeOfB)
	c.must(w.does(runner.Advance{}))
	p.press(codeOfB)
	c.must(w.does(runner.Advance{}))
	p.press(codeOfA)
	c.must(w.does(runner.Back{}))
	p.press(codeOfC)
	c.must(w.does(runner.Again{}))
	c.tell("next")
	c.must(w.does(runner.Advance{}))
	p.press(codeOfB)
	c.must(w.does(runner.Advance{}))
	if code := c.ended(); code != exitDone {
		t.Errorf("exit %d: %s", code, c.errs.String())
	}
}

// A pedal leads without a terminal, in plain lines.
func TestPedalLeadsWithoutATerminal(t *testing.T) {
	t.Parallel()
	p := newPipePedal(t)
	cmd := exec.Command(program(t), "run", "--plain", "--audio", "none", "--pedal", p.path)
	cmd.Env = surroundings("XDG_STATE_HOME=" + t.TempDir())
	c := started(t, cmd)
	w := newTwin(t, example(t))
	sees := func() {
		t.Helper()
		want := "step " + strconv.Itoa(w.step().N) + " of"
		for {
			line, ok := c.next()
			if !ok {
				code := c.ended()
				t.Fatalf("ended with %d before it showed %q: %s", code, want, c.errs.String())
			}
			if strings.Contains(strings.ToLower(line), want) {
				return
			}
		}
	}
	w.does(runner.Begin{})
	sees()
	for range 3 {
		p.press(codeOfB)
		w.does(runner.Advance{})
		sees()
	}
	cmd.Process.Signal(syscall.SIGTERM)
	if code := c.ended(); code != exitStopped || !strings.Contains(c.errs.String(), "stopped at step 4 of") {
		t.Errorf("exit %d: %s", code, c.errs.String())
	}
}

// A pedal that is not there is told once and waited for; the run goes on.
func TestPedalThatIsNotThere(t *testing.T) {
	t.Parallel()
	w := newTwin(t, example(t))
	c := lead(t, []string{"XDG_STATE_HOME=" + t.TempDir()}, "run", "--control", "-", "--audio", "none", "--pedal", "/no/such/foot")
	c.must(w.does(runner.Begin{}))
	const note = "pedal foot is not there: plug it in"
	c.must(w.does(runner.Missing{Text: note}))
	c.tell("next")
	c.must(w.does(runner.Advance{}))
	if code := c.ended(); code != exitDone || strings.Count(c.errs.String(), note) != 1 {
		t.Errorf("exit %d: %s", code, c.errs.String())
	}
}

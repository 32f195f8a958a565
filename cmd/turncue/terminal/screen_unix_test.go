//go:build unix

package terminal

import (
	"io"
	"os"
	"strings"
	"testing"

	"github.com/creack/pty"
)

// shows waits until the screen is exactly the frame of a view.
func (r *rig) shows(v View) {
	r.t.Helper()
	r.mu.Lock()
	want := Frame(v, r.emu.Width(), r.emu.Height())
	r.mu.Unlock()
	r.until("the frame\n"+want, func() bool { return r.text() == want })
}

func TestScreenShowsTheFrame(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "screen", onPty: true})
	r.shows(counted(0, "none"))
	r.mu.Lock()
	if !r.emu.IsAltScreen() {
		t.Error("the frame is not on a screen of its own")
	}
	r.mu.Unlock()
	r.until("the frame to end", func() bool { return strings.HasSuffix(r.written(), endFrame) })
	before := len(r.written())
	r.send("b")
	r.shows(counted(1, "b"))
	r.until("the frame to end", func() bool { return strings.HasSuffix(r.written(), endFrame) })
	if second := r.written()[before:]; strings.Contains(second, "Press.") || strings.Contains(second, "CAUTION") || !strings.HasPrefix(second, beginFrame) {
		t.Errorf("rows that have not changed were written again: %q", second)
	}
	r.send("\x03")
	r.ends(0)
	r.leftScreen()
	for _, query := range []string{"\x1b]11;?", "\x1b]10;?", "\x1b[c", "\x1b[6n", "\x1b[?2026$p"} {
		if strings.Contains(r.written(), query) {
			t.Errorf("the terminal was asked %q: the answer eats keys", query)
		}
	}
}

func TestScreenFollowsTheWindow(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "screen", onPty: true})
	r.shows(counted(0, "none"))
	for _, s := range [][2]int{{40, 20}, {12, 5}, {200, 60}, {1, 1}, {80, 24}} {
		r.resize(s[0], s[1])
		r.shows(counted(0, "none"))
	}
	r.send("b")
	r.shows(counted(1, "b"))
	r.send("\x03")
	r.ends(0)
	r.leftScreen()
}

// Every cell has letters and ground of its own colour, or, without colours, none
// has; the words are the same.
func TestScreenColours(t *testing.T) {
	for _, c := range []struct {
		name, mode string
		env        []string
		colour     bool
	}{
		{"dark", "screen", nil, true},
		{"light", "screen light", nil, true},
		{"true colour", "screen", []string{"COLORTERM=truecolor"}, true},
		{"sixteen colours", "screen", []string{"TERM=linux"}, true},
		{"NO_COLOR", "screen", []string{"NO_COLOR=1"}, false},
		{"NO_COLOR of any value", "screen", []string{"NO_COLOR=please", "COLORTERM=truecolor"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			r := start(t, rigOptions{mode: c.mode, env: c.env, onPty: true})
			r.shows(counted(0, "none"))
			r.until("the frame to end", func() bool { return strings.HasSuffix(r.written(), endFrame) })
			r.mu.Lock()
			for y := range 24 {
				for x := range 80 {
					cell := r.emu.CellAt(x, y)
					if both := cell.Style.Fg != nil && cell.Style.Bg != nil; both != c.colour || !c.colour && (cell.Style.Fg != nil || cell.Style.Bg != nil) {
						r.mu.Unlock()
						t.Fatalf("cell %d,%d %q: letters %v on %v", x, y, cell.Content, cell.Style.Fg, cell.Style.Bg)
					}
				}
			}
			r.mu.Unlock()
			r.send("\x03")
			r.ends(0)
		})
	}
}

func TestPlainScreenOnATerminal(t *testing.T) {
	for _, c := range []struct {
		mode string
		env  []string
	}{{"screen plain", nil}, {"screen", []string{"TERM=dumb"}}, {"screen", []string{"TERM"}}} {
		r := start(t, rigOptions{mode: c.mode, env: c.env, onPty: true})
		r.sees("Step 0 of 99, section, last none: presses 0. Press. CAUTION: mind the chuck.")
		r.send("b")
		r.sees("Step 1 of 99, section, last b: presses 1.")
		r.send("\x03")
		r.ends(0)
		if w := r.written(); strings.Contains(w, "1049") || c.mode == "screen" && strings.Contains(w, "\x1b") {
			t.Errorf("escapes on a plain screen: %q", w)
		}
	}
}

// piped gives a plain screen that writes to a pipe, and a function that closes it
// and returns what was written.
func piped(t *testing.T) (*Screen, func() string) {
	t.Helper()
	in, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { in.Close() })
	return NewScreen(out, ScreenOptions{}), func() string {
		out.Close()
		text, err := io.ReadAll(in)
		if err != nil {
			t.Error(err)
		}
		return string(text)
	}
}

func TestPlainScreenIsALineAStep(t *testing.T) {
	s, written := piped(t)
	if !s.Plain() {
		t.Fatal("a pipe is not plain")
	}
	s.Enter()
	v := View{Where: "step 1 of 2", Big: "0.350"}
	for range 3 {
		s.Show(v)
	}
	v.Entry = "1"
	s.Show(v)
	v.Entry, v.Notice = "", "too fast: lift your foot"
	s.Show(v)
	s.Show(v)
	v.Where, v.Notice = "step 2 of 2", ""
	s.Show(v)
	s.Leave()
	if got, want := written(), "Step 1 of 2: 0.350.\ntoo fast: lift your foot\nStep 2 of 2: 0.350.\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// What is typed can be followed by ear: only new characters are written, a
// correction begins a new line.
func TestPlainScreenEchoes(t *testing.T) {
	s, written := piped(t)
	s.echo = true
	v := View{Where: "step 1 of 2", Big: "0.350"}
	s.Show(v)
	for _, e := range []string{"reading 1", "reading 16", "reading 1", "reading 1.", ""} {
		v.Entry = e
		s.Show(v)
	}
	v.Entry = "reading 2"
	s.Show(v)
	v.Entry, v.Where = "", "step 2 of 2"
	s.Show(v)
	if got, want := written(), "Step 1 of 2: 0.350.\nreading 16\nreading 1.\nreading 2\nStep 2 of 2: 0.350.\n"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestScreenReportsThatItCannotWrite(t *testing.T) {
	in, out, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	in.Close()
	s := NewScreen(out, ScreenOptions{})
	if err := s.Show(View{Big: "1"}); err == nil {
		t.Error("nothing said of a closed pipe")
	}
	out.Close()
}

// A screen can be left from anywhere, and only once, even while a frame is being
// written.
func TestLeaveDoesNotWaitForAFrame(t *testing.T) {
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer master.Close()
	defer slave.Close()
	s := NewScreen(slave, ScreenOptions{Environ: []string{"TERM=xterm"}})
	s.Enter()
	s.mu.Lock() // a frame that never ends
	s.Leave()
	s.Leave()
	s.mu.Unlock()
	if s.Entered() {
		t.Error("not left")
	}
	slave.WriteString("end")
	var got []byte
	for !strings.Contains(string(got), "end") {
		buf := make([]byte, 4096)
		n, err := master.Read(buf)
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, buf[:n]...)
	}
	if n := strings.Count(string(got), "\x1b[?1049l"); n != 1 {
		t.Errorf("left %d times: %q", n, got)
	}
}

func BenchmarkFrame(b *testing.B) {
	for b.Loop() {
		Frame(threadPass, 120, 40)
	}
}

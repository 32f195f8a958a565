//go:build unix

package terminal

import (
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// terms are terminals with and without a description on this computer.
var terms = []string{"xterm-256color", "tmux-256color", "screen", "linux", "rxvt-unicode-256color", "vt100", "alacritty", "foot", "wezterm", "dumb", ""}

// Every key that a terminal sends is the same key under every TERM, in both
// cursor modes, and a byte that is no text does not make the keys deaf.
func TestKeysUnderEveryTerminal(t *testing.T) {
	for _, name := range terms {
		t.Run("TERM="+name, func(t *testing.T) {
			t.Parallel()
			env := "TERM=" + name
			if name == "" {
				env = "TERM"
			}
			r := start(t, rigOptions{mode: "keys patient", env: []string{env}})
			for _, s := range sequences {
				if s.name == "ctrl+c" || strings.HasPrefix(s.name, "alt+") || s.bytes == "\x1bP1+r\x1b\\" {
					continue
				}
				r.send(s.bytes)
				want := s.name
				if want == "paste" {
					want = "(paste)"
				}
				if got := r.key(); got != want {
					t.Fatalf("%q is %s, want %s", s.bytes, got, want)
				}
			}
			r.send("\x03")
			if got := r.key(); got != "ctrl+c" {
				t.Fatalf("%s, want ctrl+c", got)
			}
			r.ends(0)
		})
	}
}

// With the reader's own tables, what they know is right in the mode that was
// chosen, and what they lose does nothing.
func TestKeysByTable(t *testing.T) {
	for name, arrows := range map[string]string{"xterm-256color": "\x1b[", "tmux-256color": "\x1bO", "linux": "\x1b[", "rxvt-unicode": "\x1b[", "alacritty": "\x1b[", "dumb": "\x1b["} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := start(t, rigOptions{mode: "keys table", env: []string{"TERM=" + name}})
			for _, s := range []struct{ bytes, want string }{
				{arrows + "A", "up"}, {arrows + "B", "down"}, {arrows + "C", "right"}, {arrows + "D", "left"},
				{"\x1b[5~", "pgup"}, {"\x1b[6~", "pgdn"}, {"b", "b"}, {" ", "space"}, {"\r", "enter"}, {"\x7f", "backspace"},
				{"\x1b[1;5C", "unknown"}, {"\x1b[27~", "unknown"}, {"\x1b", "esc"},
				{"\xff", "\x7f"}, {"b", "b"},
			} {
				r.send(s.bytes)
				want := s.want
				if want == "\x7f" {
					want = "backspace" // 0xFF in seven bits
				}
				if got := r.key(); got != want {
					t.Fatalf("%q is %s, want %s", s.bytes, got, want)
				}
			}
			r.send("\x03")
			r.key()
			r.ends(0)
		})
	}
}

func TestKeysAreNeverDeaf(t *testing.T) {
	t.Parallel()
	for _, table := range []string{"", " table"} {
		r := start(t, rigOptions{mode: "keys" + table})
		for _, bad := range []string{"\xff", "\xef\xbf\xbd", "\xc3", "é", "\x80", "\xf0\x9f"} {
			r.send(bad)
			r.until("the bytes to be read", func() bool { return r.queued() == 0 })
			r.send("\x1b[6~")
			for got := r.key(); got != "pgdn" && got != "(pgdn)"; got = r.key() {
			}
			r.send("b")
			if got := r.key(); got != "b" {
				t.Fatalf("b after %q: %s", bad, got)
			}
		}
		r.send("\x03")
		r.ends(0)
	}
}

// A sequence that arrives in pieces is put together; each piece is sent when the
// one before has been read.
func TestKeysArrivingInPieces(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "keys patient"})
	for _, s := range []struct{ bytes, want string }{{"\x1b[6~", "pgdn"}, {"\x1b[25~", "f13"}, {"\x1bOB", "down"}, {"\x1b[1;5C", "ctrl+right"}} {
		for _, c := range s.bytes {
			r.send(string(c))
			r.until("a byte to be read", func() bool { return r.queued() == 0 })
		}
		if got := r.key(); got != s.want {
			t.Fatalf("%q in pieces is %s, want %s", s.bytes, got, s.want)
		}
	}
	r.send("\x03")
	r.ends(0)
}

func TestPastedTextIsNotActedOn(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "keys patient"})
	r.send("\x1b[200~b b\rb\x1b[6~\x1b[201~")
	if got := r.key(); got != "(paste)" {
		t.Errorf("marked paste: %s", got)
	}
	// a pedal that types, or a terminal that does not mark
	text := "b16.02\rb"
	r.send(text)
	for range text {
		if got := r.key(); !strings.HasPrefix(got, "(") {
			t.Errorf("unmarked paste: %s would be acted on", got)
		}
	}
	r.send("\x03")
	r.ends(0)
}

// A key typed before the program started must not come along with the first one
// after.
func TestOldKeysAreForgotten(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "keys", before: "b \n"})
	r.send("\x1b[6~")
	if got := r.key(); got != "pgdn" {
		t.Errorf("first key is %s, want pgdn", got)
	}
	r.send("\x03")
	if got := r.key(); got != "ctrl+c" {
		t.Errorf("second key is %s, want ctrl+c", got)
	}
	r.ends(0)
}

// C149: the first press is there at once, not with the second.
func TestFirstPressIsNotLate(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "keys"})
	r.send("b")
	if got := r.key(); got != "b" {
		t.Errorf("first key is %s", got)
	}
	r.send("\x03")
	r.ends(0)
}

// C142, C143, C144: function keys above 12, and a gap in the table, arrive as one
// event each, without stray characters.
func TestCasesOfSequences(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "keys patient"})
	for _, s := range []struct{ bytes, want string }{
		{"\x1b\x5b\x32\x35\x7e", "f13"},
		{"\x1b\x5b\x32\x38\x7e", "f15"},
		{"\x1b\x5b\x32\x37\x7e", "unknown"},
		{"b", "b"},
	} {
		r.send(s.bytes)
		if got := r.key(); got != s.want {
			t.Errorf("%q is %s, want %s", s.bytes, got, s.want)
		}
	}
	r.send("\x03")
	r.ends(0)
}

// C148: two hundred keys in a second, nobody asking for them, and it still ends.
func TestFloodDoesNotHang(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "keys"})
	r.send(strings.Repeat("\x1b[6~", 200))
	if got := r.key(); got != "pgdn" {
		t.Errorf("first of the flood is %s", got)
	}
	r.send("\x03")
	for got := r.key(); got != "ctrl+c"; got = r.key() { // it may overtake the last of them
		if got != "pgdn" && got != "(pgdn)" {
			t.Errorf("%s in a flood of page down", got)
		}
	}
	r.ends(0)
}

// C147, C150: control C and the signals that ask to end arrive as keys, and the
// terminal is as it was found.
func TestEndingPutsTheTerminalBack(t *testing.T) {
	for _, c := range []struct {
		name string
		end  func(r *rig)
		want string
	}{
		{"control C", func(r *rig) { r.send("\x03") }, "ctrl+c"},
		{"SIGTERM", func(r *rig) { unix.Kill(r.cmd.Process.Pid, unix.SIGTERM) }, "terminate"},
		{"SIGHUP", func(r *rig) { unix.Kill(r.cmd.Process.Pid, unix.SIGHUP) }, "hangup"},
		{"SIGINT", func(r *rig) { unix.Kill(r.cmd.Process.Pid, unix.SIGINT) }, "interrupt"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			r := start(t, rigOptions{mode: "keys"})
			if r.settings() == r.found {
				t.Fatal("the terminal is not raw while keys are read")
			}
			c.end(r)
			if got := r.key(); got != c.want {
				t.Errorf("arrives as %s, want %s", got, c.want)
			}
			r.ends(0)
			r.leftScreen()
		})
	}
}

// The terminal goes away: the run ends.
func TestTerminalGone(t *testing.T) {
	t.Parallel()
	r := start(t, rigOptions{mode: "keys"})
	r.hangUp()
	if got := r.key(); got != "hangup" {
		t.Errorf("arrives as %s, want hangup", got)
	}
	select {
	case <-r.exited:
	case <-time.After(patience):
		t.Error("does not end")
	}
}

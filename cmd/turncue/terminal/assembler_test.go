package terminal

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// sequences are what terminals send for their keys, from xterm's control
// sequences document, terminfo(5) entries of screen, rxvt and linux, and the
// key table of the VT220.
var sequences = []struct{ bytes, name string }{
	{"b", "b"}, {"B", "B"}, {"7", "7"}, {".", "."}, {"/", "/"}, {"-", "-"},
	{" ", "space"}, {"\r", "enter"}, {"\t", "tab"}, {"\x7f", "backspace"}, {"\b", "backspace"},
	{"\x03", "ctrl+c"}, {"\x01", "ctrl+a"}, {"\n", "ctrl+j"},
	{"\x1b[A", "up"}, {"\x1b[B", "down"}, {"\x1b[C", "right"}, {"\x1b[D", "left"},
	{"\x1bOA", "up"}, {"\x1bOB", "down"}, {"\x1bOC", "right"}, {"\x1bOD", "left"},
	{"\x1b[5~", "pgup"}, {"\x1b[6~", "pgdn"}, {"\x1b[2~", "ins"}, {"\x1b[3~", "del"},
	{"\x1b[H", "home"}, {"\x1b[F", "end"}, {"\x1b[1~", "home"}, {"\x1b[4~", "end"}, {"\x1b[7~", "home"}, {"\x1b[8~", "end"}, {"\x1bOH", "home"},
	{"\x1bOP", "f1"}, {"\x1b[11~", "f1"}, {"\x1b[[A", "f1"}, {"\x1b[[E", "f5"}, {"\x1b[15~", "f5"}, {"\x1b[24~", "f12"},
	{"\x1b[25~", "f13"}, {"\x1b[26~", "f14"}, {"\x1b[28~", "f15"}, {"\x1b[34~", "f20"},
	{"\x1b[27~", "unknown"}, {"\x1b[16~", "unknown"}, {"\x1b[9~", "unknown"},
	{"\x1b[1;5C", "ctrl+right"}, {"\x1b[1;2B", "shift+down"}, {"\x1b[6;5~", "ctrl+pgdn"}, {"\x1b[1;2P", "shift+f1"}, {"\x1b[Z", "shift+tab"}, {"\x1bO5C", "ctrl+right"},
	{"\x1bb", "alt+b"}, {"\x1b\r", "unknown"},
	{"\x1bOp", "0"}, {"\x1bOy", "9"}, {"\x1bOn", "."}, {"\x1bOM", "enter"},
	{"\x1b[I", "unknown"}, {"\x1b[O", "unknown"}, {"\x1b[?1;2c", "unknown"}, {"\x1b[24;80R", "unknown"}, {"\x1b[98;5u", "unknown"},
	{"\x1b]11;rgb:0000/0000/0000\x1b\\", "unknown"}, {"\x1b]11;rgb:ffff/ffff/ffff\a", "unknown"}, {"\x1bP1+r\x1b\\", "unknown"},
	{"\x1b[200~go b\r\x1b[Bnow\x1b[201~", "paste"},
}

// read feeds bytes, all at one time, then lets all windows close.
func (a *assembler) read(bytes string, at time.Duration) (names []string) {
	var keys []Key
	for i := range len(bytes) {
		keys = append(keys, a.add(bytes[i], at)...)
	}
	if due, ok := a.due(); ok {
		keys = append(keys, a.expire(due)...)
	}
	for _, k := range keys {
		names = append(names, k.Name)
	}
	return names
}

func TestSequences(t *testing.T) {
	for _, s := range sequences {
		a := assembler{gap: sequenceGap}
		if got := a.read(s.bytes, time.Second); fmt.Sprint(got) != "["+s.name+"]" {
			t.Errorf("%q: %v, want %s", s.bytes, got, s.name)
		}
		if got := a.read("b", 2*time.Second); fmt.Sprint(got) != "[b]" {
			t.Errorf("b after %q: %v", s.bytes, got)
		}
	}
}

// Two sequences in one read are two keys, whatever the first is.
func TestSequencesBackToBack(t *testing.T) {
	for _, s := range sequences {
		a := assembler{gap: sequenceGap}
		if got := a.read(s.bytes+"\x1b[6~b", 0); fmt.Sprint(got) != "["+s.name+" pgdn b]" {
			t.Errorf("%q, page down and b in one read: %v", s.bytes, got)
		}
	}
}

// A sequence may be split at any byte if the rest follows in time; if it does
// not, no part of it may be another key that has a meaning.
func TestSequencesSplit(t *testing.T) {
	for _, s := range sequences {
		for cut := 1; cut < len(s.bytes); cut++ {
			a := assembler{gap: sequenceGap}
			var keys []Key
			for i := range len(s.bytes) {
				at := time.Duration(0)
				if i >= cut {
					at = sequenceGap - 1
				}
				keys = append(keys, a.add(s.bytes[i], at)...)
			}
			if len(keys) != 1 || keys[0].Name != s.name || keys[0].At != 0 && s.bytes[0] == 0x1b {
				t.Errorf("%q split at %d: %v, want %s at 0", s.bytes, cut, keys, s.name)
			}
		}
	}
	a := assembler{gap: sequenceGap}
	late := append(a.add(0x1b, 0), a.expire(sequenceGap)...)
	for i, c := range []byte("[6~") {
		late = append(late, a.add(c, sequenceGap+time.Duration(i))...)
	}
	var names []string
	for _, k := range late {
		names = append(names, k.Name)
	}
	if fmt.Sprint(names) != "[esc [ 6 ~]" {
		t.Errorf("page down split by too long: %v", names)
	}
}

func TestEscape(t *testing.T) {
	a := assembler{gap: sequenceGap}
	if keys := a.add(0x1b, 0); len(keys) != 0 {
		t.Fatalf("escape at once: %v", keys)
	}
	if keys := a.expire(sequenceGap - 1); len(keys) != 0 {
		t.Fatalf("escape before its window closed: %v", keys)
	}
	if keys := a.expire(sequenceGap); len(keys) != 1 || keys[0].Name != "esc" || keys[0].At != 0 {
		t.Fatalf("escape: %v", keys)
	}
}

func TestControlCGetsThroughAnySequence(t *testing.T) {
	for _, before := range []string{"\x1b", "\x1b[", "\x1b[1;", "\x1bO", "\x1b]11;x", "\x1b[["} {
		a := assembler{gap: sequenceGap}
		got := a.read(before+"\x03", 0)
		if len(got) == 0 || got[len(got)-1] != "ctrl+c" {
			t.Errorf("control c after %q: %v", before, got)
		}
	}
}

func TestPasteWithoutAnEnd(t *testing.T) {
	a := assembler{gap: sequenceGap}
	if got := a.read("\x1b[200~bbb\rbb", 0); fmt.Sprint(got) != "[paste]" {
		t.Errorf("paste that never ends: %v", got)
	}
	if got := a.read("b", time.Second); fmt.Sprint(got) != "[b]" {
		t.Errorf("key after it: %v", got)
	}
}

// The reader lost the rest of a sequence: nothing that follows at once is a key.
func TestSwallowedSequence(t *testing.T) {
	for _, tail := range []string{"~", "6~", "B", "5B", ""} {
		a := assembler{gap: sequenceGap}
		keys := a.swallowed(0)
		for _, c := range []byte(tail) {
			keys = append(keys, a.add(c, ms(5))...)
		}
		keys = append(keys, a.expire(ms(100))...)
		if len(keys) != 1 || keys[0].Name != "unknown" {
			t.Errorf("lost sequence with the tail %q: %v, want unknown", tail, keys)
		}
	}
	a := assembler{gap: sequenceGap}
	keys := append(a.swallowed(0), a.whole("pgdn", ms(1))...)
	if len(keys) != 2 || keys[0].Name != "unknown" || keys[1].Name != "pgdn" {
		t.Errorf("lost sequence, then page down: %v", keys)
	}
}

// Garbage never panics, never leaves the keys deaf, and never makes a key with a
// control character for a rune or a name.
func TestAnyBytes(t *testing.T) {
	const seed = 4
	r := rand.New(rand.NewPCG(seed, 6))
	alphabet := "\x1b\x1b\x1b[[O]P0123456789;~ABCDMHuRb\x00\x03\x07\x7f\\?<"
	for round := range 5000 {
		a := assembler{gap: sequenceGap}
		at := time.Duration(0)
		var sent strings.Builder
		for range r.IntN(40) {
			c := alphabet[r.IntN(len(alphabet))]
			at += time.Duration(r.IntN(3)*r.IntN(30)) * time.Millisecond
			sent.WriteByte(c)
			for _, k := range a.add(c, at) {
				if k.Name == "" || k.Rune != 0 && k.Rune < ' ' && k.Rune != '\r' && k.Rune != '\t' || strings.ContainsAny(k.Name, "\x1b\x03\x00") {
					t.Fatalf("seed %d round %d: %q made %+v", seed, round, sent.String(), k)
				}
			}
		}
		a.expire(at + time.Second)
		if got := a.read("b", at+2*time.Second); fmt.Sprint(got) != "[b]" {
			t.Fatalf("seed %d round %d: b after %q: %v", seed, round, sent.String(), got)
		}
	}
}

func ms(n int) time.Duration { return time.Duration(n) * time.Millisecond }

// typed runs keys through the burst rule and gives them as delivered, text in
// brackets.
func typed(keys ...Key) string {
	var b burst
	var out []Key
	for _, k := range keys {
		out = append(out, b.expire(k.At)...)
		out = append(out, b.add(k)...)
	}
	out = append(out, b.expire(time.Hour)...)
	var s []string
	for _, k := range out {
		if k.Text {
			s = append(s, "("+k.Name+")")
		} else {
			s = append(s, k.Name)
		}
	}
	return strings.Join(s, " ")
}

func TestBurst(t *testing.T) {
	key := func(name string, at int) Key { return Key{Name: name, At: ms(at)} }
	for _, c := range []struct {
		name string
		keys []Key
		want string
	}{
		{"typing", []Key{key("1", 0), key("6", 60), key(".", 120)}, "1 6 ."},
		{"8 ms apart", []Key{key("a", 0), key("b", 8)}, "a b"},
		{"7 ms apart", []Key{key("a", 0), key("b", 7)}, "(a) (b)"},
		{"a bouncing switch", []Key{key("b", 0), key("b", 3), key("b", 7)}, "b b b"},
		{"a paste", []Key{key("b", 0), key("b", 0), key("a", 0), key("b", 1), key("b", 2)}, "(b) (b) (a) (b) (b)"},
		{"a key after a paste", []Key{key("a", 0), key("b", 1), key("b", 20)}, "(a) (b) b"},
		{"a long run that turns out to be text", []Key{key("b", 0), key("b", 5), key("b", 10), key("x", 13)}, "b b (b) (x)"},
	} {
		if got := typed(c.keys...); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	var b burst
	b.add(key("b", 100))
	if due, ok := b.due(); !ok || due != ms(108) {
		t.Errorf("a key is due at %v, want 108 ms", due)
	}
	if got := b.expire(ms(107)); len(got) != 0 {
		t.Errorf("delivered after 7 ms: %v", got)
	}
	if got := b.expire(ms(108)); len(got) != 1 {
		t.Errorf("after 8 ms: %v", got)
	}
}

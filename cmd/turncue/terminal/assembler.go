package terminal

import (
	"strconv"
	"strings"
	"time"
)

const (
	// sequenceGap is how long the bytes of one sequence may be apart. A network or
	// a busy computer can split a sequence between any two of them.
	sequenceGap = 40 * time.Millisecond
	// pasteGap ends a paste whose closing mark never came.
	pasteGap = 300 * time.Millisecond
	// sequenceMax bounds what is collected for one sequence.
	sequenceMax = 256
)

// An assembler puts keys together from the bytes of a terminal, seven bits each.
// It reads no clock: bytes carry their times, and expire closes what has been
// open too long.
type assembler struct {
	gap time.Duration // how far apart the bytes of a sequence may be

	seq   []byte // the sequence so far, without the escape
	open  bool   // an escape has been seen
	since time.Duration
	last  time.Duration
	eaten bool // bytes of this sequence were lost: whatever it ends as is unknown

	paste bool
	tail  string // end of the pasted text, to find its closing mark
}

// add takes one byte and returns the keys it completes.
func (a *assembler) add(c byte, at time.Duration) []Key {
	out := a.expire(at)
	if a.paste {
		a.last = at
		a.tail += string(rune(c))
		if strings.HasSuffix(a.tail, "\x1b[201~") {
			a.paste, a.tail = false, ""
			return append(out, Key{Name: "paste", Text: true, At: a.since})
		}
		if n := len(a.tail); n > 8 {
			a.tail = a.tail[n-8:]
		}
		return out
	}
	switch {
	case c == 0:
		return out // the reader gives the same when it is closed
	case c == 0x1b && a.open && isString(a.seq):
		// may be the start of the closing mark of a string
	case c == 0x1b:
		out = append(out, a.cut()...)
		a.open, a.since, a.last = true, at, at
		return out
	case !a.open:
		k := plain(c)
		k.At = at
		return append(out, k)
	case c < 0x20 && !isString(a.seq) && len(a.seq) > 0, c == 0x03:
		// a control key in the midst of a sequence: the sequence is broken, the key counts
		out = append(out, a.cut()...)
		k := plain(c)
		k.At = at
		return append(out, k)
	}
	a.seq, a.last = append(a.seq, c), at
	if name, r, done := decode(a.seq); done {
		k := Key{Name: name, Rune: r, At: a.since}
		if a.eaten {
			k.Name, k.Rune = "unknown", 0
		}
		a.reset()
		if k.Name == "paste" {
			a.paste, a.since, a.last = true, k.At, at
			return out
		}
		return append(out, k)
	}
	if len(a.seq) >= sequenceMax {
		out = append(out, a.cut()...)
	}
	return out
}

// swallowed takes note that the reader lost the rest of a sequence: what follows
// at once may be its end, and is never a key.
func (a *assembler) swallowed(at time.Duration) []Key {
	out := append(a.expire(at), a.cut()...)
	a.open, a.eaten, a.since, a.last = true, true, at, at
	a.seq = []byte{'['}
	return out
}

// whole is told of a key that came complete.
func (a *assembler) whole(name string, at time.Duration) []Key {
	out := append(a.expire(at), a.cut()...)
	if a.paste {
		a.last = at
		return out
	}
	return append(out, Key{Name: name, At: at})
}

// expire closes a sequence or a paste that has been silent too long at the time now.
func (a *assembler) expire(now time.Duration) []Key {
	due, ok := a.due()
	if !ok || now < due {
		return nil
	}
	if a.paste {
		a.paste, a.tail = false, ""
		return []Key{{Name: "paste", Text: true, At: a.since}}
	}
	return a.cut()
}

// due is when expire has something to do.
func (a *assembler) due() (time.Duration, bool) {
	switch {
	case a.paste:
		return a.last + pasteGap, true
	case a.open:
		return a.last + a.gap, true
	}
	return 0, false
}

// cut ends an open sequence where it stands.
func (a *assembler) cut() []Key {
	if !a.open {
		return nil
	}
	k := Key{Name: "unknown", At: a.since}
	switch {
	case a.eaten:
	case len(a.seq) == 0:
		k.Name = "esc"
	case len(a.seq) == 1:
		k.Name = "alt+" + string(rune(a.seq[0]))
	}
	a.reset()
	return []Key{k}
}

func (a *assembler) reset() { a.open, a.eaten, a.seq = false, false, nil }

// plain is the key of one byte outside a sequence.
func plain(c byte) Key {
	switch {
	case c == '\r':
		return Key{Name: "enter", Rune: '\r'}
	case c == '\t':
		return Key{Name: "tab", Rune: '\t'}
	case c == 0x08 || c == 0x7f:
		return Key{Name: "backspace"}
	case c == ' ':
		return Key{Name: "space", Rune: ' '}
	case c < 27:
		return Key{Name: "ctrl+" + string(rune(c+'a'-1))}
	case c < ' ' || c > 0x7f:
		return Key{Name: "unknown"}
	}
	return Key{Name: string(rune(c)), Rune: rune(c)}
}

// isString tells whether the sequence is one that carries a string: an answer of
// the terminal, ended by a bell or by escape and backslash.
func isString(seq []byte) bool {
	return len(seq) > 0 && strings.IndexByte("]P_^X", seq[0]) >= 0
}

// decode names a sequence, or says that more of it is to come.
func decode(seq []byte) (name string, r rune, done bool) {
	first, last := seq[0], seq[len(seq)-1]
	switch {
	case isString(seq):
		closed := last == 0x07 || last == '\\' && len(seq) > 1 && seq[len(seq)-2] == 0x1b
		return "unknown", 0, closed
	case first == 'O':
		if len(seq) == 1 {
			return "", 0, false
		}
		if last >= '0' && last <= '9' { // a modifier, as some terminals send it
			return "", 0, false
		}
		name, r = singleShift(string(seq[1:]))
		return name, r, true
	case first != '[':
		if first < 0x20 || first >= 0x7f {
			return "unknown", 0, true
		}
		return "alt+" + string(rune(first)), 0, true
	case len(seq) == 1:
		return "", 0, false
	case seq[1] == '[': // the Linux console: one byte more
		if len(seq) < 3 {
			return "", 0, false
		}
		if last >= 'A' && last <= 'E' {
			return "f" + strconv.Itoa(int(last-'A')+1), 0, true
		}
		return "unknown", 0, true
	case last < 0x40 || last > 0x7e:
		return "", 0, false
	}
	return control(string(seq[1:len(seq)-1]), last), 0, true
}

// finals are the keys named by the last byte of a sequence.
var finals = map[byte]string{
	'A': "up", 'B': "down", 'C': "right", 'D': "left", 'H': "home", 'F': "end",
	'P': "f1", 'Q': "f2", 'R': "f3", 'S': "f4",
}

// numbers are the keys named by the number before a tilde. The gaps are the
// terminal's own.
var numbers = map[string]string{
	"1": "home", "2": "ins", "3": "del", "4": "end", "5": "pgup", "6": "pgdn", "7": "home", "8": "end",
	"11": "f1", "12": "f2", "13": "f3", "14": "f4", "15": "f5",
	"17": "f6", "18": "f7", "19": "f8", "20": "f9", "21": "f10",
	"23": "f11", "24": "f12", "25": "f13", "26": "f14",
	"28": "f15", "29": "f16", "31": "f17", "32": "f18", "33": "f19", "34": "f20",
	"200": "paste",
}

// numberPad holds the keys of the number pad in its application mode.
const numberPad = "*+,-./0123456789"

// singleShift names what follows escape O.
func singleShift(s string) (string, rune) {
	final := s[len(s)-1]
	name, ok := finals[final]
	switch {
	case ok && len(s) == 1:
		return name, 0
	case ok && len(s) == 2:
		return modifier(s[:1]) + name, 0
	case s == "M":
		return "enter", '\r'
	case len(s) == 1 && final >= 'j' && int(final-'j') < len(numberPad):
		c := numberPad[final-'j']
		return string(rune(c)), rune(c)
	}
	return "unknown", 0
}

// control names what stands between escape [ and its last byte.
func control(params string, final byte) string {
	fields := strings.Split(params, ";")
	mod := ""
	if len(fields) == 2 {
		mod = modifier(fields[1])
		if mod == "" && fields[1] != "1" {
			return "unknown"
		}
	}
	if len(fields) > 2 {
		return "unknown"
	}
	switch {
	case final == '~':
		name, ok := numbers[fields[0]]
		if !ok || name == "paste" && len(fields) > 1 {
			return "unknown"
		}
		return mod + name
	case final == 'Z' && params == "":
		return "shift+tab"
	}
	name, ok := finals[final]
	if !ok || params != "" && fields[0] != "1" {
		return "unknown"
	}
	return mod + name
}

// modifier spells the modifier number of a sequence: one more than the sum of
// shift 1, alt 2, control 4.
func modifier(s string) string {
	n, err := strconv.Atoi(s)
	if err != nil || n < 2 || n > 8 {
		return ""
	}
	n--
	mod := ""
	if n&4 != 0 {
		mod += "ctrl+"
	}
	if n&2 != 0 {
		mod += "alt+"
	}
	if n&1 != 0 {
		mod += "shift+"
	}
	return mod
}

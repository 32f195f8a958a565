package job

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// The limits on what is read.
const (
	maxBytes    = 64 << 10 // of a file
	maxLine     = 400      // characters in a line
	maxFaults   = 50       // listed before the rest is left out
	maxSections = 100
	maxTools    = 100
	maxText     = 60 // characters in a name
)

// replaced stands in the text for a character that is none.
const replaced = '\uFFFD'

// fingerprint is the SHA-256 of the text in hexadecimal digits.
func (s Source) fingerprint() string {
	sum := sha256.Sum256([]byte(s.Text))
	return hex.EncodeToString(sum[:])
}

// Fingerprint is the SHA-256 of the job's text, in hexadecimal digits. A byte
// order mark and the kind of line ending do not count; a changed comment does.
func (j *Job) Fingerprint() string { return j.Source.fingerprint() }

// Fingerprint is the SHA-256 of the lathe's text; see [Job.Fingerprint].
func (l *Lathe) Fingerprint() string { return l.Source.fingerprint() }

// clean makes a text fit to parse and to show: no byte order mark, "\n" at the
// end of lines, common spaces for unbroken ones, and [replaced] for what is no
// character. The first such place on each line is passed to bad.
func clean(text string, bad func(p Pos, what string)) string {
	text = strings.TrimPrefix(text, "\uFEFF")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	var b strings.Builder
	b.Grow(len(text))
	line, col, told := 1, 0, false
	for i := 0; i < len(text); {
		c, n := utf8.DecodeRuneInString(text[i:])
		col++
		what := ""
		switch {
		case c == utf8.RuneError && n == 1:
			what = fmt.Sprintf("byte 0x%02X", text[i])
		case c == replaced:
			what = "the replacement character U+FFFD"
		case c == '\n':
			line, col, told = line+1, 0, false
		case c == '\u00A0' || c == '\u202F':
			c = ' '
		case c != '\t' && !unicode.IsPrint(c):
			what = fmt.Sprintf("the invisible character U+%04X", c)
		}
		if what != "" {
			c = replaced
			if !told {
				bad(Pos{line, col, 1}, what)
				told = true
			}
		}
		b.WriteRune(c)
		i += n
	}
	return b.String()
}

// places turns offsets in a text into lines and columns.
type places struct {
	text   string
	starts []int // offset of each line's first byte
}

func newPlaces(text string) *places {
	p := &places{text: text, starts: []int{0}}
	for i := range len(text) {
		if text[i] == '\n' {
			p.starts = append(p.starts, i+1)
		}
	}
	return p
}

// line is the number of the line an offset is in, from 1.
func (p *places) line(off int) int {
	return sort.Search(len(p.starts), func(i int) bool { return p.starts[i] > off })
}

// end is the offset of the end of a line, before its newline.
func (p *places) end(line int) int {
	if line < len(p.starts) {
		return p.starts[line] - 1
	}
	return len(p.text)
}

// at is the place of a stretch of the text; where it runs over several lines,
// the part on the first.
func (p *places) at(from, to int) Pos {
	n := p.line(from)
	to = max(from, min(to, p.end(n)))
	return Pos{
		Line:  n,
		Col:   utf8.RuneCountInString(p.text[p.starts[n-1]:from]) + 1,
		Width: max(1, utf8.RuneCountInString(p.text[from:to])),
	}
}

package job

import (
	"fmt"
	"slices"
	"strings"
)

// Pos is a place in a file: line and column from 1, in characters. The zero Pos is
// the file as a whole.
type Pos struct{ Line, Col, Width int }

// Source is a file as it was read.
type Source struct {
	Path string
	Text string
}

// Place is "foot.job:7:1", or the path alone for the zero Pos.
func (s Source) Place(p Pos) string {
	if p.Line == 0 {
		return s.Path
	}
	return fmt.Sprintf("%s:%d:%d", s.Path, p.Line, p.Col)
}

// longestShown is how much of a line is shown with a fault, in characters.
const longestShown = 120

// Fault is one thing wrong with a file: where, what, and what to do instead.
type Fault struct {
	Source Source
	Pos    Pos
	Msg    string // lower case, no full stop, values with their units
	Hint   string // what would make it possible; may be empty

	key string // which of the wordings it is
}

// Error is the fault in full: place and message, the line with a caret under the
// offending word, and the hint.
func (f Fault) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s", f.Source.Place(f.Pos), f.Msg)
	lines := strings.Split(f.Source.Text, "\n")
	if f.Pos.Line >= 1 && f.Pos.Line <= len(lines) {
		line := []rune(strings.TrimRight(lines[f.Pos.Line-1], "\r"))
		col := min(max(f.Pos.Col, 1), len(line)+1) - 1
		width := min(max(1, f.Pos.Width), max(1, len(line)-col))
		from, to := 0, len(line)
		if to > longestShown {
			from = max(0, min(col-longestShown/4, len(line)-longestShown))
			to = from + longestShown
			width = min(width, to-col)
		}
		before := []rune(string(line[from:col]))
		for i, r := range before {
			if r != '\t' {
				before[i] = ' '
			}
		}
		fmt.Fprintf(&b, "\n    %s\n    %s%s", string(line[from:to]), string(before), strings.Repeat("^", width))
	}
	if f.Hint != "" {
		fmt.Fprintf(&b, "\nhint: %s", f.Hint)
	}
	return b.String()
}

// Faults are all the faults found, in the order of their places.
type Faults []Fault

// Error is every fault, one after the other.
func (f Faults) Error() string {
	s := make([]string, len(f))
	for i := range f {
		s[i] = f[i].Error()
	}
	return strings.Join(s, "\n")
}

// Sorted puts the faults in the order of file, line and column.
func (f Faults) Sorted() Faults {
	slices.SortStableFunc(f, func(a, b Fault) int {
		if c := strings.Compare(a.Source.Path, b.Source.Path); c != 0 {
			return c
		}
		if a.Pos.Line != b.Pos.Line {
			return a.Pos.Line - b.Pos.Line
		}
		return a.Pos.Col - b.Pos.Col
	})
	return f
}

// Err is nil when there are no faults: a nil Faults in an error is not a nil error.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	return f.Sorted()
}

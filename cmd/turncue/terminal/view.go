package terminal

import "strings"

// A View is all that one moment shows. Empty fields leave their place empty; a
// field never changes where another stands. The texts are complete: the screen adds
// the names of its rows and nothing else.
type View struct {
	Where    string   // "step 12 of 88"
	Section  string   // "thread M12x1.75, 28 mm long"
	Pass     string   // "pass 3 of 9"
	State    string   // "paused", "not confirmed"
	BigLabel string   // whose number it is: "CROSS SLIDE"; up to 13 letters are seen from 3 m
	Big      string   // the number or the word that matters, up to 12 characters
	Dial     string   // "3 turns + 0.35"
	Size     string   // "now 16.62 -> 16.02"
	Limits   string   // "15.97 to 16.02"
	Lines    []string // what to do, in sentences
	Cautions []string // each a sentence
	Next     string   // "wind out one turn"
	Entry    string   // what is being typed: "reading 16.0"
	Notice   string   // "too fast: lift your foot"
	Keys     string   // "space next   pgup back"
}

// Plain is the step on one line, without escapes, for screen readers, logs and
// pipes. What is being typed, notices and the help are not part of it.
func Plain(v View) string {
	var parts []string
	add := func(before, text string) {
		text = strings.TrimRight(clean(text), " .")
		if text != "" {
			parts = append(parts, before+text+".")
		}
	}
	head := clean(v.Where)
	if v.Section != "" {
		head = join(head, ", ", clean(v.Section))
	}
	if v.Pass != "" {
		head = join(head, ", ", clean(v.Pass))
	}
	if v.State != "" {
		head = join(head, ", ", strings.ToUpper(clean(v.State)))
	}
	if head != "" {
		parts = append(parts, capital(head)+":")
	}
	add("", join(clean(v.BigLabel), " ", clean(v.Big)))
	add("Dial ", v.Dial)
	for _, l := range unsaid(v.Lines, v.Cautions) {
		add("", l)
	}
	add("Size ", v.Size)
	add("Limits ", v.Limits)
	for _, c := range v.Cautions {
		add("CAUTION: ", c)
	}
	add("Next: ", v.Next)
	return strings.Join(parts, " ")
}

func join(a, between, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// clean takes everything out of a text that could move a cursor: it becomes one
// line of printable characters.
func clean(s string) string {
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 || r == 0x2028 || r == 0x2029 || r >= 0x200b && r <= 0x200f || r >= 0x202a && r <= 0x202e {
			return ' '
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

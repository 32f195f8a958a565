package job

import (
	"strconv"
	"unicode"
	"unicode/utf8"
)

// maxNote is how long a note of the author's may be: what a person reads at a glance.
const maxNote = 160

// noteField is the key of a note wherever one may stand.
var noteField = field{"note", `"mind the burr on this edge"`}

// threadNote is the note at the first step of a section's or bore's thread.
func (p *jobParser) threadNote(s *scope) string {
	a := s.get("thread_note")
	note := a.note()
	if a.value != nil && s.get("thread").value == nil {
		a.fault("thread-note")
		return ""
	}
	return note
}

// note is what the author of a job has to say to whoever follows it: one line of readable
// characters. It is shown and printed as it stands and never spoken.
func (a arg) note() string {
	s, ok := a.written()
	if !ok {
		return ""
	}
	if n := utf8.RuneCountInString(s); n > maxNote {
		a.fault("long-text", a.f.key, strconv.Itoa(n), strconv.Itoa(maxNote))
		return ""
	}
	for _, r := range s {
		if !unicode.IsPrint(r) { // a space is; tabs, line breaks and what turns writing round are not
			a.fault("note-characters", a.f.key, strconv.QuoteRuneToASCII(r))
			return ""
		}
	}
	return s
}

package main

import (
	"slices"

	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
	"turncue/sounds"
)

// translated shows the prompt and the cautions in a language and writes every number
// its way. Titles, keys and notices stay in English.
func translated(t terminal.View, f runner.Frame, l *sounds.Language) terminal.View {
	if l == nil || l == sounds.English {
		return t
	}
	cue, english := f.Prompt, sentences(f.Prompt.Text())
	if len(cue) == 0 {
		cue, english = f.Step.Cue, sentences(f.Step.Cue.Text())
	}
	// The prompt's sentences stand first, behind the author's note, unless the re-check
	// shows its own lines.
	at := 0
	if len(t.Lines) > 0 && f.Step.Note != "" && t.Lines[0] == f.Step.Noted() {
		at = 1
	}
	if text, err := l.Written(cue.Parts()); err == nil && len(t.Lines) >= at+len(english) && slices.Equal(t.Lines[at:at+len(english)], english) {
		t.Lines = slices.Concat(t.Lines[:at], sentences(text), t.Lines[at+len(english):])
	}
	if len(t.Cautions) > 0 && len(t.Cautions) == len(f.Step.Cautions) {
		t.Cautions = slices.Clone(t.Cautions)
		for i, w := range f.Step.Cautions {
			if text, err := l.Part(string(w)); err == nil {
				t.Cautions[i] = capital(text)
			}
		}
	}
	for _, field := range []*string{&t.Section, &t.Big, &t.Dial, &t.Size, &t.Limits, &t.Next, &t.Notice} {
		*field = l.Figures(*field)
	}
	lines := make([]string, len(t.Lines))
	for i, line := range t.Lines {
		if lines[i] = line; i >= at { // the author's words stay as they are
			lines[i] = l.Figures(line)
		}
	}
	t.Lines = lines
	return t
}

package main

import (
	"strings"

	"turncue/calc"
	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// entry turns keys into events: presses through the pedal's filter, figures typed at
// a step that is measured, and the few letters that answer a gauge. Typing a figure
// opens a line; enter takes it, escape leaves it.
type entry struct {
	*presses
	unit   calc.Length
	step   *sequence.Step // the one shown
	typed  string
	burst  string // characters that came faster than a hand types
	spoilt bool   // and something that belongs to no figure
	hint   string
	paused bool
	signs  bool // the name of a sign-off is being typed
}

func newEntry(p pedal.Profile, unit calc.Length) *entry {
	return &entry{presses: newPresses(p, defaultSettings()), unit: unit}
}

// longest is how many characters a reading may have.
const longest = 32

// show is told which step is on the screen.
func (e *entry) show(f runner.Frame) {
	if e.step == nil || e.step.ID != f.Step.ID {
		e.typed, e.burst, e.spoilt, e.hint, e.signs = "", "", false, "", false
	}
	e.step, e.paused = f.Step, f.Phase == runner.Paused
}

// text is the line being typed; the screen puts the cursor behind it.
func (e *entry) text() string {
	if e.signs {
		return "sign " + e.typed
	}
	if e.typed == "" {
		return ""
	}
	return "reading " + e.typed
}

// key takes a key and gives the event it makes, or nil.
func (e *entry) key(k terminal.Key) runner.Kind {
	e.hint = ""
	if k.Ends() {
		return runner.Halt{}
	}
	if k.Text {
		return e.tool(k)
	}
	e.burst, e.spoilt = "", false
	if kind, taken := e.signing(k); taken {
		return kind
	}
	if kind, taken := e.typing(k); taken {
		return kind
	}
	if e.layout.Action(k.Name) == pedal.None {
		return e.letter(k)
	}
	kind, hint := e.edge(pedal.Edge{Key: k.Name, At: k.At}, e.step)
	e.hint = hint
	return kind
}

// letter is a key that is no press: the answers of a gauge, pause and go.
func (e *entry) letter(k terminal.Key) runner.Kind {
	gauge := e.step != nil && e.step.Needs == sequence.NeedFit
	switch {
	case gauge && k.Name == "f":
		return runner.Answer{Fit: sequence.Fits}
	case gauge && k.Name == "t":
		return runner.Answer{Fit: sequence.Tight}
	case gauge && k.Name == "l":
		return runner.Answer{Fit: sequence.Loose}
	case k.Name == "p" && e.paused:
		return runner.Go{}
	case k.Name == "p":
		return runner.Pause{}
	}
	return nil
}

// typing takes the keys of a reading at a step that is measured.
func (e *entry) typing(k terminal.Key) (runner.Kind, bool) {
	if e.step == nil || e.step.Needs != sequence.NeedReading || e.paused {
		return nil, false
	}
	switch {
	case k.Name == "enter" && e.typed != "":
		return e.take(e.typed), true
	case k.Name == "backspace" && e.typed != "":
		e.typed = e.typed[:len(e.typed)-1]
		return nil, true
	case k.Name == "esc" && e.typed != "":
		e.typed = ""
		return nil, true
	case k.Name == "space" && e.typed != "":
		if len(e.typed) < longest {
			e.typed += " "
		}
		return nil, true
	case figure(k.Rune) || e.typed != "" && unitLetter(k.Rune):
		if len(e.typed) < longest {
			e.typed += string(k.Rune)
		}
		return nil, true
	}
	return nil, false
}

// tool takes what came faster than a hand types. A measuring tool that types its
// figure and enter is taken at a step that is measured; everything else, a paste or a
// pedal that types a text, does nothing, and the end of it is no figure.
func (e *entry) tool(k terminal.Key) runner.Kind {
	e.hint = "a burst of keys was ignored"
	if e.typed != "" {
		// A hand's own figures, held up on the way, can look like a burst: half a
		// reading must not stay behind.
		e.typed, e.spoilt = "", true
		e.hint = "the figures came too close together: type the reading again"
	}
	switch {
	case k.Name == "enter":
		text, spoilt := e.burst, e.spoilt
		e.burst, e.spoilt = "", false
		if text != "" && !spoilt && e.step != nil && e.step.Needs == sequence.NeedReading && !e.paused {
			return e.take(text)
		}
	case k.Rune != 0 && k.Rune < 0x7f && len(e.burst) < longest:
		e.burst += string(k.Rune)
	default:
		e.spoilt = true
	}
	return nil
}

// take makes a reading of what was typed: one size, or several of the same with blanks
// between them. A bare figure is in the unit of the job.
func (e *entry) take(text string) runner.Kind {
	e.typed, e.hint = "", ""
	v, err := e.length(text)
	if err == nil {
		return runner.Reading{Value: v}
	}
	several := apartFigures(text)
	if len(several) < 2 {
		e.hint = err.Error()
		return nil
	}
	var r runner.Reading
	for i, text := range several {
		v, err := e.length(text)
		if err != nil {
			e.hint = err.Error()
			return nil
		}
		if i == 0 {
			r.Value = v
		} else {
			r.More = append(r.More, v)
		}
	}
	return r
}

func (e *entry) length(text string) (calc.Length, error) {
	text = strings.TrimSpace(text)
	last := text[max(0, len(text)-1):]
	if last != "" && strings.ContainsAny(last, "0123456789.") {
		text += unitSuffix(e.unit)
	}
	return calc.ParseLength(text)
}

// apartFigures are the sizes in a text, each with the unit behind it, if there is one.
func apartFigures(text string) (all []string) {
	for _, word := range strings.Fields(text) {
		if len(all) > 0 && !figure(rune(word[0])) {
			all[len(all)-1] += " " + word
		} else {
			all = append(all, word)
		}
	}
	return all
}

func unitSuffix(unit calc.Length) string {
	if unit == calc.Inch {
		return " in"
	}
	return " mm"
}

func figure(r rune) bool     { return r >= '0' && r <= '9' || r == '.' || r == ',' || r == '-' }
func unitLetter(r rune) bool { return strings.ContainsRune(`miunchtoh/"`, r) && r != 0 }

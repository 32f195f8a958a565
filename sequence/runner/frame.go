package runner

import (
	"fmt"
	"strings"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// A Frame is all that a screen shows at one moment.
type Frame struct {
	Plan  *sequence.Plan // as it now is, with what was read so far
	Step  *sequence.Step // the step we are at; never nil
	N, Of int            // its number, from 1, of how many
	Phase Phase
	// Prompt is what was last asked, and what Again repeats; Text reads it.
	Prompt sequence.Cue
	// Checks are the lines of the re-check; nil outside it.
	Checks []string
	// Notice is one line about what was just entered: why it was not taken, what it
	// most likely is. Empty when there is nothing to say.
	Notice string
	// Refused says that what was entered was not taken.
	Refused bool
	// Confirmed says that this step was confirmed before and is seen again.
	Confirmed bool
	// NotConfirmed says that this step is prompted a second time because the run
	// was left before it was confirmed.
	NotConfirmed bool
	Reading      *calc.Length   // the accepted reading of this step, or nil
	Fit          sequence.Fit   // the accepted answer of this step, or ""
	Signed       string         // who signed this step off, or ""
	Next         *sequence.Step // nil at the last step
	Sizes        sequence.Sizes // of the work, where a cut along it is set or taken; else zero
	Elapsed      time.Duration  // since the run was opened
	OnStep       time.Duration  // since this step was first shown
}

// String is the frame as one line, without its times.
func (f Frame) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "step %d of %d, %s, %s", f.N, f.Of, f.Step.ID, f.Phase)
	for _, m := range []struct {
		on   bool
		text string
	}{
		{f.Confirmed, "confirmed"}, {f.NotConfirmed, "not confirmed"},
		{f.Reading != nil, "reading " + lengthText(f.Reading)}, {f.Fit != "", "answer " + string(f.Fit)},
		{f.Signed != "", "signed " + f.Signed}, {f.Refused, "refused"},
	} {
		if m.on {
			b.WriteString(", " + m.text)
		}
	}
	for _, c := range f.Checks {
		b.WriteString(" | " + c)
	}
	if f.Notice != "" {
		b.WriteString(" | " + f.Notice)
	}
	return b.String()
}

func lengthText(l *calc.Length) string {
	if l == nil {
		return ""
	}
	return l.String()
}

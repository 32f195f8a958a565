package runner

import (
	"strconv"
	"strings"

	"turncue/sequence"
)

// An Effect is one thing to be done at an edge, in the order given. String is the
// effect as one line.
type Effect interface{ String() string }

// Hush silences the voice at once. One stands before every Say.
type Hush struct{}

// Say speaks a cue.
type Say struct {
	Cue    sequence.Cue
	StepID string
}

// Show puts a frame on the screen.
type Show struct{ Frame Frame }

// Finish ends the run.
type Finish struct {
	How  Ending
	Text string // the fault, or empty
}

// Beep is a sound with one meaning. The names are those of the sounds.
type Beep string

// The beeps.
const (
	BeepAdvance   Beep = "advance"   // the press was taken, the next step follows
	BeepBack      Beep = "back"      // gone back one step
	BeepMeasure   Beep = "measure"   // a reading is wanted
	BeepLastPass  Beep = "last pass" // the next cut is the last of its passes
	BeepAttention Beep = "attention" // listen before you go on
	BeepRefused   Beep = "refused"   // the press or entry was not taken
	BeepDone      Beep = "done"      // the part is finished
	BeepFault     Beep = "fault"     // the program itself has failed
)

// Ending is how a run ended. The zero value means that it did not.
type Ending int

// The endings.
const (
	NotEnded Ending = iota
	Finished        // the last step was confirmed
	Halted          // stopped, the place is kept
	Failed          // a fault in the program, the place is kept
)

func (e Ending) String() string {
	return [...]string{"not ended", "finished", "stopped", "fault"}[e]
}

func (Hush) String() string     { return "hush" }
func (s Say) String() string    { return "say " + s.Cue.Text() }
func (b Beep) String() string   { return "beep " + string(b) }
func (s Show) String() string   { return "show " + s.Frame.String() }
func (f Finish) String() string { return strings.TrimSpace("finish " + f.How.String() + " " + f.Text) }

// String is the record without its time: what happened, at which step, and what
// came of it.
func (r Record) String() string {
	parts := []string{"record", r.Event}
	for _, p := range []struct{ key, value string }{
		{"at", r.Step}, {"reading", r.lengths()}, {"fit", string(r.Fit)},
		{"name", r.Name}, {"text", quoted(r.Text)}, {"result", string(r.Result)},
	} {
		if p.value != "" {
			parts = append(parts, p.key+"="+p.value)
		}
	}
	return strings.Join(parts, " ")
}

func quoted(s string) string {
	if s == "" {
		return ""
	}
	return strconv.Quote(s)
}

package runner

import (
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// An Event is one thing that happened.
type Event struct {
	// At is the time since the run was opened, taken as whole milliseconds. [Run]
	// fills it where it is zero.
	At time.Duration
	// Guard, when it is not zero, is the number of the step (from 1) the event is
	// meant for: at any other step it does nothing.
	Guard int
	// Scripted says that the event is a line of a script, which waits its turn. A
	// press of a person belongs to the step that was shown when it was made.
	Scripted bool
	Kind     Kind
}

// Kind is what happened: one of the types of this file.
type Kind interface{ name() string }

// The kinds of events.
type (
	// Begin opens a run that was never begun. [Run] sends it.
	Begin struct{}
	// Resume opens a run that was left. [Run] sends it.
	Resume struct{}
	// Advance is a press: the step is done.
	Advance struct{}
	// Back goes one step back, to be seen or corrected.
	Back struct{}
	// Again repeats what was last said.
	Again struct{}
	// Reading is what was measured. More holds further readings of the same size,
	// where it was measured in several places or by several people.
	Reading struct {
		Value calc.Length
		More  []calc.Length
	}
	// Answer is what the gauge or the nut did.
	Answer struct{ Fit sequence.Fit }
	// Pause leaves the step where it is until Go.
	Pause struct{}
	// Go ends a pause.
	Go struct{}
	// Note keeps a remark in the journal.
	Note struct{ Text string }
	// SignOff is the name of who watched the step.
	SignOff struct{ Name string }
	// Halt ends the run and keeps the place. After it there is silence.
	Halt struct{}
	// Fault says that the program itself has failed. After it there is silence.
	Fault struct{ Text string }
	// Missing says that something the run can do without is not there: the sound,
	// the pedal. It is shown once.
	Missing struct{ Text string }
	// SoundEnded says that the voice came to its end. It moves nothing.
	SoundEnded struct{}
	// TimePassed brings the shown times up to date. It moves nothing.
	TimePassed struct{}
	// Status asks for the step to be shown again, in silence.
	Status struct{}
)

func (Begin) name() string      { return "begin" }
func (Resume) name() string     { return "resume" }
func (Advance) name() string    { return "advance" }
func (Back) name() string       { return "back" }
func (Again) name() string      { return "again" }
func (Reading) name() string    { return "reading" }
func (Answer) name() string     { return "answer" }
func (Pause) name() string      { return "pause" }
func (Go) name() string         { return "go" }
func (Note) name() string       { return "note" }
func (SignOff) name() string    { return "sign-off" }
func (Halt) name() string       { return "stop" }
func (Fault) name() string      { return "fault" }
func (Missing) name() string    { return "missing" }
func (SoundEnded) name() string { return "sound ended" }
func (TimePassed) name() string { return "time passed" }
func (Status) name() string     { return "status" }

package sequence

import (
	"time"

	"turncue/calc"
)

// A Step is one thing a person does with their hands and then confirms.
type Step struct {
	N       int    // from 1, in the order of the plan
	ID      string // stable when the plan is made again: "s1/thread/pass3/cut"
	Section string // the job's section this serves, "" for the set-up
	Op      Op
	Phase   Phase
	Pass    int    // this pass, from 1; zero where passes are not counted
	Of      int    // passes in all
	Opening Cue    // words before those of the moves: "scratch pass"
	Closing Cue    // words after them: "keep the half-nuts shut"
	Title   string // filled by [Compose]
	Cue     Cue    // filled by [Compose]
	Why     string
	// Note is what the author of the job has to say here; "" for none. It is shown and
	// printed as it was written. The voice only says that there is one.
	Note string
	// Cautions are the things to mind, each a fragment that can be spoken.
	Cautions []Word
	// Brief says that steps of this kind have been heard before in the plan:
	// cautions, handle directions and how to answer stay on the screen and are
	// not spoken again.
	Brief   bool
	Hand    time.Duration // expected time of the hands
	Machine time.Duration // expected time of the cut
	Needs   Need          // zero waits for a press
	Moves   []Move
	// Parts are the steps this one joins, whose words it says one after the other; nil
	// where it joins none.
	Parts   []Step
	Measure *Measure // nil when nothing is measured
	// RunsInto is what the tool of a thread pass or of its way back comes to: one of
	// the names below, or "" for the place in front of the end.
	RunsInto string
	Place    string // the job line that asked for it, "foot.job:7:1"
	// Part is which of OfParts equal parts the step is for, from 1; zero where there is
	// one part, and for what is done once for all of them.
	Part, OfParts int
	// Setting is 2 where the part has been turned round, else zero.
	Setting int
}

// Beside says that two steps serve the same section of the same part.
func (s *Step) Beside(other *Step) bool {
	return s.Section == other.Section && s.Part == other.Part
}

// Op is the operation a step belongs to.
type Op string

// The operations of a plan, in their usual order.
const (
	OpSetUp    Op = "set up"
	OpFace     Op = "face"
	OpCentre   Op = "centre"
	OpDrill    Op = "drill"
	OpReam     Op = "ream"
	OpRough    Op = "rough"
	OpFinish   Op = "finish"
	OpBore     Op = "bore"
	OpTap      Op = "tap"
	OpShoulder Op = "shoulder"
	OpUndercut Op = "undercut"
	OpGroove   Op = "groove"
	OpChamfer  Op = "chamfer"
	OpRound    Op = "round edge"
	OpTaper    Op = "taper"
	OpGears    Op = "gears"
	OpThread   Op = "thread"
	OpDeburr   Op = "deburr"
	OpPartOff  Op = "part off"
	OpEnd      Op = "end"
)

// Phase is the part of a pass, or "" outside passes.
type Phase string

// The phases of a pass.
const (
	PhaseSet    Phase = "set"
	PhaseCut    Phase = "cut"
	PhaseClear  Phase = "clear"
	PhaseReturn Phase = "return"
	PhaseCheck  Phase = "check"
	PhasePass   Phase = "pass" // all of a pass in one step
)

// Need is what confirms a step. The zero value, a press, is the safe one: nothing
// goes on by itself.
type Need int

// The ways a step is confirmed.
const (
	NeedPress Need = iota
	NeedReading
	NeedFit
	NeedSignOff
)

func (n Need) String() string {
	return [...]string{"press", "reading", "fit", "sign-off"}[n]
}

// What a thread pass runs into.
const (
	IntoGroove = "groove" // the groove at the shoulder
	IntoOpen   = "open"   // past the free end
	InBore     = "bore"   // its end in a bore, where nobody sees it
	IntoLine   = "line"   // a line on the work, where nothing is cut away
	IntoAir    = "air"    // out of the metal, where it fades out on a cylinder
	Beside     = "thread" // beside a thread that is there, clear of it
)

// What a measure can be of.
const (
	MeasureDiameter = "diameter"
	MeasureGroove   = "groove"
	MeasureLength   = "length"
	MeasureEdge     = "length to the blade"
	MeasureRunOut   = "run-out"
	MeasureThreads  = "threads" // over a count of threads: the scratch pass
	MeasureBore     = "bore"
	MeasureDepth    = "depth" // from the end to the step in a bore
	MeasureOverAll  = "length over all"
	MeasureRing     = "ring"                  // what the cross-slide ring says from zero, whole turns counted in
	MeasureSmall    = "small end"             // of a taper: the diameter at its free end
	MeasureAlong    = "diameter on the taper" // at a place, see At
	MeasureMouth    = "mouth of the bore"     // of a cone in it
	MeasureWithin   = "diameter in the taper" // of a cone in a bore, at a depth, see At
	MeasureRingOn   = "ring gauge"            // of a taper thread: how far the ring gauge goes on by hand
)

// Measure is what is measured at a step and what it may be. Min and Max are the
// limits that must hold before the run goes past it: for a last measurement the
// drawing's, for one between cuts the plausible band.
type Measure struct {
	What              string      // one of the names above
	Threads           int         // how many threads are measured over; zero otherwise
	At                calc.Length // how far from the end it is measured on a taper; zero otherwise
	Nominal, Min, Max calc.Length
	Unit              calc.Length // calc.Millimetre or calc.Inch: how it is shown and spoken
	// Final says that Min and Max are the drawing's limits: a reading outside
	// them is not a slip but a wrong size.
	Final bool
	// Grows says that cutting on makes the reading larger, as the length to a
	// shoulder or a bore does; an outside diameter gets smaller.
	Grows bool
	// Division is the resolution worth reading to.
	Division calc.Length
	// Got is the accepted reading when the plan was made with one.
	Got *calc.Length
}

// Fit is the answer of a gauge.
type Fit string

// The answers of a gauge.
const (
	Fits  Fit = "fits"
	Tight Fit = "tight"
	Loose Fit = "loose"
)

// Readings are the accepted answers so far, by step id. The planner makes the same
// plan again from the same readings.
type Readings struct {
	Lengths map[string]calc.Length
	Fits    map[string]Fit
}

// Stretch names a section of the part: what it is made to.
type Stretch struct{ Name, What string }

// Plan is the whole job as steps.
type Plan struct {
	Part     string
	Lathe    string
	Sections []Stretch   // from the free end
	Unit     calc.Length // calc.Millimetre or calc.Inch: what the job speaks
	Steps    []Step
	Warnings []string
	// LayOut lists what to have at hand before the start.
	LayOut []string
	// Settings are the holdings of the work one after the other; nil where there is one.
	Settings []Setting
}

// Setting is one holding of the work.
type Setting struct {
	How           string // "soft jaws"
	LayOut        []string
	Steps         int
	Hand, Machine time.Duration
}

// Index finds a step by id; -1 when there is none.
func (p *Plan) Index(id string) int {
	for i := range p.Steps {
		if p.Steps[i].ID == id {
			return i
		}
	}
	return -1
}

// What is what a section is made to, by its name; "" for the set-up.
func (p *Plan) What(section string) string {
	for _, s := range p.Sections {
		if s.Name == section {
			return s.What
		}
	}
	return ""
}

// Times adds up the expected times of the hands and of the cuts.
func (p *Plan) Times() (hand, machine time.Duration) {
	for i := range p.Steps {
		hand += p.Steps[i].Hand
		machine += p.Steps[i].Machine
	}
	return hand, machine
}

// Package job reads what a person writes down: the job (what the part is) and the
// lathe (what the machine is). Neither says how to do the work.
//
// Files are TOML. Every length carries its unit. Parsing is strict: an unknown
// word, a wrong type, a missing unit or impossible geometry is a fault with its
// place and its remedy, and all faults of a file are reported at once. Nothing is
// guessed: a value left out has a stated default or is asked for by name.
package job

import (
	"slices"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/calc/gear"
	"turncue/calc/setup"
	"turncue/calc/thread"
)

// Job is the part wanted.
type Job struct {
	Source    Source
	Part      string
	Material  cutting.Material
	Unit      calc.Length // calc.Millimetre or calc.Inch: the unit of the bar as written, or what "units" says
	Bar       calc.Length // diameter
	StickOut  calc.Length // from the jaws to the raw end of the bar
	Face      calc.Length // to come off the raw end; 0.5 mm unless given
	Centre    bool        // the free end is held on the tailstock centre
	PartOff   bool        // the finished part is parted off; default true
	Sawn      bool        // in [Job.First]: it comes off by the saw, not by the blade
	Lathe     string      // path of the lathe file, from the job's folder; "" names none
	Tip       string      // tip of the threading tool; "" takes the lathe's tool
	PickUp    bool        // the part is finished and back in the chuck; its thread, cut too full, is picked up
	Threading Way         // how threads are cut; "" leaves it to the lathe and the thread
	Quantity  int         // how many of it are made with stops set once; 1 unless given
	Sections  []Section   // from the free end towards the chuck
	Bores     []Bore      // from the free end inwards, each smaller than the one before; none: a solid part

	Overall fit.Limits // length over all; zero where only the sections have theirs
	Second  *Second    // nil for a part made in one setting

	BarLength calc.Length // of the piece of bar; zero is not known

	Note  string // the author's, at the first step; "" for none
	Order []Pin  // of the work, as the author fixes it; nil leaves it to the planner
}

// Section is one stretch of the part.
type Section struct {
	Name       string // as given, or "s1", "s2" ... from the free end
	Pos        Pos
	Diameter   fit.Limits     // the size it is turned to; of a thread, the major diameter
	Thread     *thread.Thread // nil for a plain stretch
	Length     fit.Limits     // from its free end to its shoulder
	Undercut   *Undercut      // at its chuck end; nil for none
	RunOut     *RunOut        // how its thread ends instead; nil for none
	Grooves    []Groove       // in its plain length, from the free end towards the shoulder
	Chamfer    calc.Length    // leg of the 45 degree chamfer at its free end; zero for none
	Round      calc.Length    // radius of the edge at its free end, instead of a chamfer; zero for none
	Corner     calc.Length    // radius left in the corner at its shoulder; zero takes what the tool leaves
	AsBar      bool           // left at the bar's diameter, not turned
	Taper      *Taper         // nil for a cylinder; Diameter is then its large end
	Knurl      *Knurl         // pressed into it; nil for none
	Note       string         // the author's, at its first step; "" for none
	ThreadNote string         // the author's, at the first step of its thread
}

// Undercut is a groove at the shoulder for a thread to run out into.
type Undercut struct {
	Form     string     // "regular", "short" or "own"
	Width    fit.Limits // along the work, up to the shoulder
	Diameter fit.Limits // at its bottom
	Source   string
}

// Total is the nominal length of the finished part.
func (j *Job) Total() calc.Length {
	var t calc.Length
	for _, s := range j.Sections {
		t += s.Length.Nominal
	}
	return t
}

// Lathe is the machine.
type Lathe struct {
	Source     Source
	Name       string
	Leadscrew  calc.Lead
	Wheels     gear.Wheels
	Banjo      gear.Banjo
	Fixed      calc.Ratio       // turns of the first driver per turn of the spindle; zero: one
	Levers     []gear.Lever     // positions of a gearbox behind the change gears; none: no gearbox
	Tumbler    bool             // the lathe can reverse the leadscrew; default true
	Mounted    gear.Train       // the change gears on the lathe now; none: not known
	Dial       *gear.ThreadDial // nil when there is no threading dial
	Cross      setup.Dial
	Top        setup.Dial
	Carriage   *setup.Dial // nil when the carriage wheel has no ring
	Tailstock  *setup.Dial // nil when the tailstock wheel has no ring
	TaperSlide *TaperSlide // nil when there is none
	TopStroke  calc.Length // how far the top slide goes from end to end; zero: not known
	// CrossClockwiseIn says that turning the cross-slide handle clockwise
	// moves the tool in; the same for the top slide.
	CrossClockwiseIn bool
	TopClockwiseIn   bool
	Speeds           cutting.Speeds
	Power            int        // at the motor's plate, watts
	BaseSpeed        calc.Speed // of the spindle, below which the motor gives only its torque; zero: full power at every speed
	Reverse          Reverse
	Chuck            Chuck
	ChuckLimit       calc.Speed    // highest speed of the chuck; zero for none given
	Coast            cutting.Coast // spindle turns after the power is cut, and from which speed
	Delay            time.Duration // from seeing to power off; 600 ms unless given
	PowerFeeds       []calc.Lead   // carriage feeds per turn; empty: fed by hand
	DepthOfCut       calc.Length   // roughing depth on radius; zero: from the table for this size of lathe
	Tools            []Tool
	Materials        []cutting.Material // the shop's own
	Threading        Way                // how threads are cut; "" leaves it to the thread
	Measures         []Instrument       // measuring tools owned; none listed: whatever a plan asks for
	Capacity         Capacity
}

// Gearing is what the lathe brings to the choice of change gears: everything but
// the thread.
func (l *Lathe) Gearing() gear.Want {
	return gear.Want{
		Leadscrew: l.Leadscrew, Wheels: l.Wheels, Banjo: l.Banjo, Fixed: l.Fixed, Levers: l.Levers, Tumbler: l.Tumbler, Present: l.Mounted,
	}
}

// Drive is what reaches the spindle of the motor's power: less on a small
// variable-speed drive than through belts from an induction motor, and below the
// base speed only its torque.
func (l *Lathe) Drive() cutting.Drive {
	share := cutting.Induction
	for _, band := range l.Speeds {
		if band.Min != band.Max {
			share = cutting.SmallDirectCurrent
		}
	}
	return cutting.Drive{Power: cutting.Power(share * float64(l.Power)), Base: l.BaseSpeed}
}

// Material finds a material among the shop's own and then the built-in ones; l may
// be nil.
func (l *Lathe) Material(name string) (cutting.Material, error) {
	if l == nil {
		return cutting.FindMaterial(name)
	}
	return findMaterial(name, l.Materials)
}

func findMaterial(name string, own []cutting.Material) (cutting.Material, error) {
	return cutting.Find(name, append(slices.Clone(own), cutting.Materials()...))
}

// Reverse says how the spindle is turned backwards.
type Reverse string

// The ways to reverse.
const (
	ReverseMotor Reverse = "motor"
	ReverseNone  Reverse = "none"
)

// Chuck says how the chuck is held to the spindle.
type Chuck string

// The ways a chuck is held.
const (
	ChuckScrewed Chuck = "screwed"
	ChuckBolted  Chuck = "bolted"
	ChuckCamlock Chuck = "camlock"
)

// Tool is a tool owned.
type Tool struct {
	Kind  string      // "turning", "grooving", "parting", "threading", "chamfer", "rounding", "centre drill", "drill", "reamer", "boring bar", "tap", "inside threading", "inside grooving", "knurling"
	Steel string      // "HSS" or "carbide"
	Width calc.Length // of a groover or blade; of a threading tool, its full width where it enters a groove
	Tip   string      // threading and turning tool, boring bar: "sharp", "flat 0.1 mm", "radius 0.1 mm"
	Reach calc.Length // how deep a blade can go, zero: from its width; how far a boring bar may stand out, zero: four times its size
	Size  calc.Length // of a drill or reamer; pilot diameter of a centre drill; radius of a rounding tool; thickness of a boring bar or of the bar of an inside tool; diameter of knurling wheels
	Edge  calc.Length // length of the edge of a chamfer tool; 8 mm unless given
	Hand  string      // turning tool: "right", which cuts towards the chuck, "left" or "neutral"; "right" unless given
	// UpsideDown says that a threading tool can be clamped upside down.
	UpsideDown bool
	Thread     *thread.Thread // of a tap; nil for the others
	LeadIn     calc.Length    // length of a tap's tapered end; zero: four pitches, as a second tap
	Angle      calc.Angle     // of a threading tool, between its flanks; 60 degrees unless given
	Pattern    string         // of a knurling tool: "straight" or "diamond"
	Pitch      calc.Length    // of a knurling tool, across the teeth
	Holder     string         // of a knurling tool: "bump", pressed from the side, or "clamp"
	Closing    calc.Length    // of a knurling clamp: how much its wheels close, on diameter, in one turn of its nut
	Pos        Pos
}

package sequence

import "turncue/calc"

// A Move is one thing the hands do. The concrete types are the structs of this
// file; the order of a step's moves is the order of the hands.
type Move interface{ Do() string }

// Turn says which way the spindle goes.
type Turn string

// What the spindle can be told.
const (
	Forward Turn = "forward"
	Reverse Turn = "reverse"
	Stop    Turn = "stop" // power off, and wait until it stands still
	ByHand  Turn = "hand" // turned by hand with the power off, or by the hand crank when isolated
)

// Slide names one of the three ways a tool is moved.
type Slide string

// The slides.
const (
	Cross        Slide = "cross"
	Top          Slide = "top"
	CarriageWays Slide = "carriage"
	Sleeve       Slide = "tailstock" // of the tailstock, by its wheel
)

// Way is the direction a slide moves when it arrives. In is the way the handle goes
// to turn an outside smaller or to cut across an end: away from whoever stands at the
// lathe for the cross slide, towards the chuck for the others. Out is the other way,
// towards the person or the tailstock. Inside a bore the tool points at the person, so
// the cross slide cuts on its way out and is withdrawn on its way in.
type Way string

// The two ways.
const (
	In  Way = "in"
	Out Way = "out"
)

// Drive is what carries the carriage along.
type Drive string

// The drives of the carriage.
const (
	ByHalfNut   Drive = "halfnut"
	ByPowerFeed Drive = "powerfeed"
	ByHandwheel Drive = "hand"
)

// Spindle starts, stops or reverses the spindle, or has it turned by hand. RPM
// is the speed to set before starting; zero when stopping or by hand.
type Spindle struct {
	Turn Turn
	RPM  calc.Speed
	// Changed says that this is not the speed the spindle last ran at.
	Changed bool
}

// Hold takes the work in the lathe.
type Hold struct {
	How         string      // "three-jaw chuck"
	StickOut    calc.Length // from the jaws to the raw end
	Support     string      // "" or "centre": the tailstock centre is brought up
	RunOutLimit calc.Length // full swing of the indicator; zero when not judged here
	Load        Load        // what is held again; "" for the first hold
	On          string      // the section or bore a part turned round is held by; "" for a bar
}

// Load is what is held when the work is held again.
type Load string

// The ways work is held again.
const (
	PullOut Load = "bar"   // one more part: the bar is pulled out to the stop
	Blank   Load = "blank" // one more part: a fresh piece of bar is put in against it
	Round   Load = "round" // the part that is off the bar, with its other end outwards
)

// How a part turned round is held.
const (
	HowThreeJaw = "three-jaw chuck"
	HowFourJaw  = "four-jaw chuck"
	HowSoftJaws = "soft jaws"
	HowMandrel  = "expanding mandrel"
)

// Mount puts a tool in the post. The tool stands clear of the work afterwards and
// its place is not known until it is touched and zeroed.
type Mount struct {
	Kind  ToolKind
	Width calc.Length // of a groover or parting blade; zero otherwise
	Tip   string      // "radius 0.1 mm", as the lathe file has it
	Hand  string      // "right", "left" or "neutral"
	Edge  string      // what X and Z mean for this tool: "tip", "chuck side", "tailstock side", "edge at the corner", "inner end of the hollow", "corners"
	// Inside says that the tool works inside a bore: it cuts as the cross slide
	// moves out, and its slack is taken up that way.
	Inside bool
	// Diameter is that of a drill or reamer, or the thickness of a boring bar; zero
	// otherwise.
	Diameter calc.Length
	Overhang calc.Length // how far a boring bar stands out of its clamp; zero otherwise
	// Angle is that between the flanks of a threading tool.
	Angle calc.Angle
	// Radius is that of the nose of a turning tool, zero where it does not matter, and of
	// the hollow of a rounding tool.
	Radius calc.Length
	// UpsideDown says that a tool is clamped upside down: it cuts with the spindle
	// in reverse.
	UpsideDown bool
	// Pitch is that of a knurl, across its teeth; Angle is then that of its teeth to the
	// axis, Diameter and Width are those of its wheels, and Clamp says that two of them
	// hold the work between them.
	Pitch calc.Length
	Clamp bool
}

// ToolKind names a tool by what it is for.
type ToolKind string

// The tools a plan asks for.
const (
	TurningTool     ToolKind = "turning"
	GroovingTool    ToolKind = "grooving"
	ChamferTool     ToolKind = "chamfer"  // a straight edge at 45 degrees
	RoundingTool    ToolKind = "rounding" // a form tool, hollow by a quarter of a circle
	ThreadingTool   ToolKind = "threading"
	PartingTool     ToolKind = "parting"
	CentreDrillTool ToolKind = "centre drill"
	DrillTool       ToolKind = "drill"
	ReamerTool      ToolKind = "reamer"
	BoringTool      ToolKind = "boring bar"
	TapTool         ToolKind = "tap" // turned by hand, its other end on the tailstock centre

	InsideThreadingTool ToolKind = "inside threading" // on a bar, as the next
	InsideGroovingTool  ToolKind = "inside grooving"

	NoTool ToolKind = "none" // the post is emptied
)

// InTailstock says that a kind of tool is held in the tailstock, not in the post.
func (k ToolKind) InTailstock() bool {
	return k == CentreDrillTool || k == DrillTool || k == ReamerTool || k == TapTool
}

// Gears fits a change-gear train: drivers and driven in the order of the pairs,
// idlers apart.
type Gears struct {
	Drivers, Driven, Idlers []int
	Lever                   string // position of the gearbox lever; "" without a gearbox
	Lead                    calc.Lead
	// Backward says that the leadscrew turns against the spindle, by the tumbler or by
	// one idler more: with the spindle forward the carriage goes to the tailstock, and
	// the thread is left-hand.
	Backward bool
}

// HalfNut shuts or opens the half-nuts.
type HalfNut struct {
	Closed bool
	// Marks says which lines of the threading dial they may be shut on.
	Marks Marks
}

// Marks are the lines of a threading dial on which the half-nuts find the groove
// again. The zero Marks are none: what was opened is out of step.
type Marks struct {
	Lines []int // rising, from 1
	// Any says that all lines serve, Anywhere that between lines serves too.
	Any, Anywhere bool
}

// None says that no dial is used.
func (m Marks) None() bool { return len(m.Lines) == 0 && !m.Anywhere }

// PowerFeed engages or drops the power feed.
type PowerFeed struct{ Engaged bool }

// Supply isolates the lathe (plug pulled or locked off) or puts the power back.
type Supply struct{ Isolated bool }

// Guard opens or shuts the cover of the change gears.
type Guard struct{ Open bool }

// ChuckKey puts the key in the chuck or takes it out.
type ChuckKey struct{ In bool }

// Zero touches the tool on a known place and sets the ring there to zero. For the
// cross slide X is that place, for the others Z. The tip stands there afterwards,
// slack taken up inwards; on the cross slide of a tool that works inside, outwards.
// The tailstock's ring is zeroed with the corners of the drill at Z.
type Zero struct {
	Slide Slide
	X, Z  calc.Length
	On    Touch
}

// Touch is what the tool is laid against when a ring is zeroed.
type Touch string

// The places a tool is touched on.
const (
	OnDiameter Touch = "diameter"
	OnEnd      Touch = "end"      // the end of the bar
	OnShoulder Touch = "shoulder" // a shoulder of the part
	OnCorner   Touch = "corner"   // the edge between end and diameter
	InPlace    Touch = "in place" // nothing is touched: the tip stands where the last cut left it
	OnBore     Touch = "bore"     // the wall of a bore, from inside
	OnMouth    Touch = "mouth"    // the edge between end and bore
	OnStep     Touch = "step"     // the step to the smaller bore behind
)

// Seat lays the point of a threading tool in the groove of a thread that is there, with
// the spindle standing, by cross slide and top slide together until both flanks touch
// alike. The tip stands at X and Z then, the slack of both slides taken up inwards.
type Seat struct {
	X, Z calc.Length
	Dial *Dial // what the cross-slide ring says there
}

// Shift moves the cross slide or the top slide to a position, X or Z being where the
// tool then stands. After a movement out the ring is ahead of the tool by the slack:
// one turn of the handle moves the tool one turn less the slack. Dial is nil where the ring does not matter
// (winding clear before the first zero).
type Shift struct {
	Slide    Slide
	X, Z     calc.Length // X for the cross slide, Z for the top slide
	Dial     *Dial
	Approach Way
	// WholeTurns is how many whole turns of the handle the move is, where it is
	// whole and that is how it is best said ("out one full turn"); else zero.
	WholeTurns int
	Handle     Rotation
	// Lash is the handle travel, in turns, lost on the way because the
	// direction changes; zero when it does not.
	Lash calc.Ratio
	// Inside says that the tool works inside a bore, for the words: Approach Out
	// then brings it to a cut, towards the person, and In clears it, away.
	Inside bool
	// Angle is the half angle the top slide is swivelled to when it is the one moved:
	// X and Z are then both where the tool stands afterwards. Zero: it stands parallel
	// to the bed, or the cross slide is moved.
	Angle calc.Angle
	// Narrows says that the swivelled top slide goes along a cone in a bore: X gets
	// smaller towards the chuck.
	Narrows bool
	// Led says that the taper slide leads the cross slide: X holds where the carriage
	// stands now, and changes as it goes along.
	Led bool
	// PerRev is the intended hand feed where the swivelled top slide cuts; zero where it
	// takes no metal.
	PerRev calc.Lead
}

// Swivel sets the top slide to a half angle and clamps it: small end of the cone towards
// the tailstock, or with Narrows, in a bore, towards the chuck. The tool has to be touched again afterwards. Zero sets it parallel to the
// bed. The angle is read on an indicator: over Travel of the top slide along a true bar
// it changes by Rise; where the work has shown that the cone is out, Angle and Rise are
// put right by as much.
type Swivel struct {
	Angle calc.Angle
	// Narrows says which way it is swung: seen from above clockwise, the end with its
	// handle towards the person; else anticlockwise, away.
	Narrows      bool
	Travel, Rise calc.Length
}

// TaperSlide clamps the taper slide to the bed, so that it leads the cross slide as the
// carriage goes along, or frees it. Its bar stands at Angle to the bed, the end nearer the
// tailstock further in; the cross slide has to be touched again afterwards. The angle is
// read on an indicator: over Travel of the carriage the cross slide goes Rise; Travel is
// zero where it is set already.
type TaperSlide struct {
	Clamped      bool
	Angle        calc.Angle
	Travel, Rise calc.Length
}

// Rotation is which way a handle is turned.
type Rotation string

// The two ways a handle turns.
const (
	Clockwise     Rotation = "clockwise"
	Anticlockwise Rotation = "anticlockwise"
)

// Dial is what a ring says: an absolute position as whole turns from zero and the
// reading. Unit is the unit the ring is marked in; OnDiameter says what a marked
// length means. Turns can be negative (wound out beyond zero). Outward says that the
// ring is counted outwards from its zero, as inside a bore: the setting is the same,
// its words and its picture differ.
type Dial struct {
	Turns      int
	Reading    calc.Length // as marked, from 0 up to less than one turn
	Division   calc.Length // what one division of the ring is marked as
	Unit       calc.Length // calc.Millimetre or calc.Inch
	OnDiameter bool
	Outward    bool
}

// Carriage moves the carriage along the bed.
type Carriage struct {
	From, To calc.Length // z
	// X is the diameter at which the tip stands at To where the taper slide leads the
	// cross slide; zero where the cross slide stays, and before its ring has a zero.
	X       calc.Length
	By      Drive
	Dial    *Dial     // what the carriage ring says at To; nil without a ring or where it does not matter
	PerRev  calc.Lead // zero when moved by hand with no feed meant
	Cutting bool      // the tool is meant to take metal
}

// Plunge feeds the cross slide at one z: facing, grooving, parting, chamfering,
// a shoulder. Outwards (To greater than From) it takes no metal; with Inside it is the
// other way round.
type Plunge struct {
	From, To calc.Length // x, diameters
	Z        calc.Length
	Dial     *Dial     // what the cross-slide ring says at To; nil where it does not matter
	PerRev   calc.Lead // intended hand feed; zero where no metal is meant to be taken
	Handle   Rotation
	Inside   bool
}

// Deeper says that the feed is in the direction in which the tool cuts.
func (m Plunge) Deeper() bool { return m.From != m.To && (m.To > m.From) == m.Inside }

// Tailstock drills, reams or centre-drills the end. The tool is drawn back out of the
// hole after each.
type Tailstock struct {
	Kind     ToolKind
	Diameter calc.Length
	From, To calc.Length // z: of the tip of a centre drill, of the corners of a drill, of the end of a reamer's full size, of the tip of a tap
	Dial     *Dial       // what the tailstock's ring says at To; nil without a ring or where it does not matter
	PerRev   calc.Lead   // intended hand feed; zero where none is given
}

// Saw cuts the bar through with a hacksaw, the spindle standing: Z is the side of the cut
// towards the free end.
type Saw struct{ Z calc.Length }

// Gauge tries a gauge or the mating part.
type Gauge struct {
	What, With string
	Inside     bool // the thread is in a bore: a plug gauge or the screw is tried
}

// Inspect measures; the limits are the step's Measure.
type Inspect struct{ What, With string }

// Do names the move in a written plan.
func (Spindle) Do() string    { return "spindle" }
func (Hold) Do() string       { return "hold" }
func (Mount) Do() string      { return "tool" }
func (Gears) Do() string      { return "gears" }
func (HalfNut) Do() string    { return "halfnut" }
func (PowerFeed) Do() string  { return "powerfeed" }
func (Supply) Do() string     { return "supply" }
func (Guard) Do() string      { return "guard" }
func (ChuckKey) Do() string   { return "key" }
func (Zero) Do() string       { return "zero" }
func (Shift) Do() string      { return "slide" }
func (Seat) Do() string       { return "seat" }
func (Swivel) Do() string     { return "swivel" }
func (TaperSlide) Do() string { return "taper slide" }
func (Carriage) Do() string   { return "carriage" }
func (Plunge) Do() string     { return "plunge" }
func (Tailstock) Do() string  { return "tailstock" }
func (Saw) Do() string        { return "saw" }
func (Gauge) Do() string      { return "gauge" }
func (Inspect) Do() string    { return "measure" }

// Cuts says that a move takes metal.
func Cuts(m Move) bool {
	switch m := m.(type) {
	case Clamp:
		return m.Turns.Sign() > 0
	case Carriage:
		return m.Cutting
	case Plunge:
		return m.To != m.From && m.Inside == (m.To > m.From) && !m.PerRev.IsZero()
	case Shift:
		return !m.PerRev.IsZero()
	case Tailstock:
		return true
	}
	return false
}

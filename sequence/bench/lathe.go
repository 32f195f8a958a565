package bench

import (
	"fmt"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	um = calc.Micrometre
	mm = calc.Millimetre

	// same is how far two statements of one place may differ.
	same = um
	// margin is the air a tool must have before anything goes back, the slack
	// already taken off.
	margin = 100 * um
	// jawRoom is what stays free in front of the jaws.
	jawRoom = 2 * mm
	// longest is the largest length a move may name.
	longest = 10_000 * mm
)

// lathe is the virtual lathe with the work in it, between two moves.
type lathe struct {
	job    *job.Job
	own    *job.Lathe
	layout layout

	work, spare Profile // spare is the old work's memory
	rest        Profile
	hole        Profile // full less the diameter of the hole in the work
	relics      Profile // of it what the part before has left
	bores       []boreZone
	boreCuts    []history
	tapped      []calc.Length // how deep the thread of each bore is full
	thin        bool          // a wall has been said to be too thin
	parted      bool

	turn     sequence.Turn
	lastTurn sequence.Turn // the last powered direction since it stood still
	rpm      calc.Speed
	isolated bool
	cover    bool // open
	key      bool // in the chuck
	held     bool
	centre   bool
	mouth    calc.Length // diameter of the centre hole at the end face

	tool     *tool
	quill    *sequence.Mount // what is in the tailstock; nil for nothing known
	sleeve   slide           // of the tailstock
	cross    slide
	top      slide
	carriage slide // its ring; the work's z is carriage and top slide together

	put map[string]calc.Length // what readings of a section put the cross slide right by, since its zero

	nut     bool
	feed    bool
	gears   *sequence.Gears
	grip    grip
	drove   drove // the way the leadscrew last moved the carriage
	touched bool  // the tip lies against a diameter it was zeroed on
	against bool  // it lies against an end or a shoulder
	crashed bool  // it is in the work, and that has been said

	sections []history
	cones    []history // the cuts along the cone of each section
	dug      map[[2]int]*groove
	swing    swung
	led      led
	nosed    calc.Length // the roundest nose that turned
	pass     *lastPass
	lines    []calc.Length // scribed round the work, z
	run      *running      // a pass that ends at one of them, the carriage driven on
	nutZero  calc.Length   // diameter at which the wheels of a clamp touched the work
	nutSet   bool

	plan     *sequence.Plan
	begun    int // index of the first step of the part being made
	at       int // and of the step carried out
	part     int // how many parts were finished before it
	setting  int // counts what ends a setting of the cross slide: a tool changed, its ring zeroed
	proven   map[string]int
	feeding  calc.Lead // per turn, of the move under way
	along    bool      // it goes along the work, not across
	pressing pressing
	spans    []cutting.Span // the memory of a beam
	other    *other         // the second setting; nil for none
	round    bool           // the part has been turned round

	warned  warned
	step    *sequence.Step
	result  Result
	seen    map[fault]bool
	broken  bool
	spoiled map[string]bool
	machine time.Duration
}

type fault struct{ rule, step int }

// grip is one hold of the half-nuts on the leadscrew: passes made in different
// ones are out of step, unless the leadscrew brings them together again.
type grip struct {
	n       int
	lost    *sequence.Step // what ended the one before
	how     string
	refound bool // ended by opening the half-nuts alone
	marks   sequence.Marks
}

// lastPass is the thread pass the tool has not yet come back from.
type lastPass struct {
	ring calc.Length // of the cross slide, in the cut
}

// Run carries out a plan on the job's bar in the lathe.
func Run(plan *sequence.Plan, j *job.Job, l *job.Lathe) Result {
	b := &lathe{job: j, own: l, seen: map[fault]bool{}, spoiled: map[string]bool{}, put: map[string]calc.Length{}, proven: map[string]int{}}
	switch {
	case plan == nil || j == nil || l == nil:
		b.fault(Consistent, "nothing to run: a plan, a job and a lathe are needed")
		return b.result
	case len(j.Sections) == 0:
		b.fault(Consistent, "the job has no sections")
		return b.result
	case j.Bar <= 0 || j.Bar > longest || j.StickOut <= 0 || j.StickOut > longest || j.Face < 0 || j.Face >= j.StickOut:
		b.fault(Consistent, "no such bar: %s sticking out %s with %s to face off", j.Bar, j.StickOut, j.Face)
		return b.result
	}
	for _, d := range []setup.Dial{l.Cross, l.Top} {
		if err := d.Check(); err != nil {
			b.fault(Consistent, "%v", err)
			return b.result
		}
	}
	for _, s := range j.Sections {
		if s.Length.Nominal <= 0 || !b.sane(s.Length.Nominal, s.Length.Min, s.Length.Max, s.Diameter.Min, s.Diameter.Max, s.Chamfer, s.Round, s.Corner) {
			b.fault(Consistent, "section %s has no length that can be made: %s", s.Name, s.Length.Nominal)
			return b.result
		}
	}
	for _, c := range j.Bores {
		if (c.Depth.Nominal <= 0) != c.Through || c.Diameter.Nominal <= 0 || !b.sane(c.Depth.Min, c.Depth.Max, c.Diameter.Min, c.Diameter.Max, c.Chamfer) {
			b.fault(Consistent, "bore %s has no size that can be made: %s, %s deep", c.Name, c.Diameter.Nominal, c.Depth.Nominal)
			return b.result
		}
	}
	if j.Second != nil {
		b.other, b.job = &other{drawing: j}, j.First()
	}
	b.prepare()
	b.plan = plan
	section := ""
	for i := range plan.Steps {
		s := &plan.Steps[i]
		b.step, b.at = s, i
		if s.Section != section {
			b.put[section] = b.cross.off
			section = s.Section
			b.cross.forget()
			b.cross.correct(b.put[section])
			b.carriage.forget()
		}
		for _, m := range s.Moves {
			b.move(m)
			b.result.Time += b.machine
			b.machine = 0
		}
		b.runsOn(nil)
		b.measure()
		b.words()
		b.cautions()
		b.result.Time += s.Hand
	}
	b.step = nil
	if n := len(plan.Steps); n > 0 {
		b.step = &plan.Steps[n-1]
	}
	b.at = len(plan.Steps)
	b.endPart()
	if want := max(1, j.Quantity); b.part != want {
		b.fault(ToSize, "%d of %d parts are made", b.part, want)
	}
	if b.led.clamped {
		b.fault(Consistent, "the taper slide is left clamped")
	}
	if b.other != nil && !b.round {
		b.fault(ToSize, "the part is never turned round")
	}
	b.result.sort()
	return b.result
}

func (b *lathe) prepare() {
	b.layout = lay(b.job)
	b.work = Profile{{From: -b.job.Face, To: b.job.StickOut - b.job.Face, Left: b.job.Bar, Right: b.job.Bar}}
	if b.job.PickUp {
		b.work = finished(b.job)
	}
	b.turn, b.lastTurn = sequence.Stop, sequence.Stop
	b.cross = slide{dial: b.own.Cross, scale: 2}
	b.top = slide{dial: b.own.Top, scale: 1, known: true}
	b.carriage = slide{scale: 1}
	if b.own.Carriage != nil && b.own.Carriage.Check() == nil {
		b.carriage.dial = *b.own.Carriage
	}
	b.sections = make([]history, len(b.job.Sections))
	b.cones = make([]history, len(b.job.Sections))
	b.dug = map[[2]int]*groove{}
	b.hole = Profile{{From: -b.job.Face, To: far, Left: full, Right: full}}
	b.bores = layBores(b.job)
	b.boreCuts = make([]history, len(b.bores))
	b.tapped = make([]calc.Length, len(b.bores))
	b.sleeve = slide{scale: 1}
	if b.own.Tailstock != nil && b.own.Tailstock.Check() == nil {
		b.sleeve.dial = *b.own.Tailstock
	}
}

// fault records a broken rule at the step being carried out.
func (b *lathe) fault(rule int, format string, args ...any) {
	b.faultAt(b.step, rule, format, args...)
}

// faultAt records a broken rule once per step. A contradiction that comes after
// a broken rule is left out: it follows from it.
func (b *lathe) faultAt(s *sequence.Step, rule int, format string, args ...any) {
	br := Break{Rule: rule, Msg: fmt.Sprintf(format, args...)}
	if s != nil {
		br.StepN, br.StepID = s.N, s.ID
	}
	if rule == Consistent && b.broken {
		return
	}
	b.broken = b.broken || rule != Consistent
	if rule <= WithinLimits && s != nil {
		b.spoiled[s.Section] = true
	}
	if k := (fault{rule, br.StepN}); !b.seen[k] {
		b.seen[k] = true
		b.result.Broken = append(b.result.Broken, br)
	}
}

// sane refuses lengths no lathe has, before anything is worked out with them.
func (b *lathe) sane(ls ...calc.Length) bool {
	for _, l := range ls {
		if l > longest || l < -longest {
			b.fault(Consistent, "%s is longer than any lathe", l)
			return false
		}
	}
	return true
}

func (b *lathe) move(m sequence.Move) {
	b.feeding, b.along = rate(m)
	b.runsOn(m)
	switch m := m.(type) {
	case sequence.Spindle:
		b.spindle(m)
	case sequence.Hold:
		b.hold(m)
	case sequence.Mount:
		b.mount(m)
	case sequence.Gears:
		b.fitGears(m)
	case sequence.HalfNut:
		b.halfNut(m)
	case sequence.PowerFeed:
		b.powerFeed(m)
	case sequence.Supply:
		b.supply(m)
	case sequence.Guard:
		b.guard(m)
	case sequence.ChuckKey:
		b.chuckKey(m)
	case sequence.Zero:
		b.setZero(m)
	case sequence.Shift:
		b.shift(m)
	case sequence.Seat:
		b.seat(m)
	case sequence.Swivel:
		b.setSwivel(m)
	case sequence.TaperSlide:
		b.taperSlide(m)
	case sequence.Carriage:
		b.moveCarriage(m)
	case sequence.Plunge:
		b.plunge(m)
	case sequence.Tailstock:
		b.tailstock(m)
	case sequence.Clamp:
		b.clamp(m)
	case sequence.Line:
		b.scribe(m)
	case sequence.Withdraw:
		b.withdraw(m)
	case sequence.Saw:
		b.saw(m)
	case sequence.Gauge:
		b.standing("trying a gauge")
	case sequence.Inspect:
		b.standing("measuring")
	default:
		b.fault(Consistent, "no such move: %T", m)
	}
}

// x is the diameter at which the tip stands.
func (b *lathe) x() calc.Length { return -b.cross.stands }

// z is where the reference edge stands.
func (b *lathe) z() calc.Length { return b.carriage.stands + b.top.stands }

// standAt puts the carriage where the tool then stands at z.
func (b *lathe) standAt(z calc.Length) {
	b.carriage.stands, b.carriage.known = z-b.top.stands, true
}

// placed says that both x and z of the tool are known.
func (b *lathe) placed() bool { return b.tool != nil && b.cross.known && b.carriage.known }

// jaws is where the chuck begins.
func (b *lathe) jaws() calc.Length {
	if b.round {
		return b.other.jaws
	}
	return b.job.StickOut - b.job.Face
}

// lost marks the hold of the half-nuts as ended.
func (b *lathe) lost(how string, refound bool) {
	b.grip = grip{n: b.grip.n + 1, lost: b.step, how: how, refound: refound}
}

func (b *lathe) mount(m sequence.Mount) {
	b.standing("changing the tool")
	if !b.sane(m.Width, m.Diameter, m.Overhang, m.Radius) || m.Width < 0 || m.Diameter < 0 {
		return
	}
	if m.Kind == sequence.DrillTool || m.Kind == sequence.ReamerTool || m.Kind == sequence.TapTool {
		b.quill = &m // what is in the post stays where it is
		b.sleeve.known, b.sleeve.zeroed = false, false
		return
	}
	b.cross.off, b.carriage.off = 0, 0
	b.cross.known, b.carriage.known = false, false
	b.touched, b.against, b.crashed, b.pass = false, false, false, nil
	b.nutSet = false
	if m.Kind == sequence.CentreDrillTool {
		return // it goes in the tailstock: what is in the post stays
	}
	b.cross.zeroed, b.top.zeroed, b.carriage.zeroed = false, false, false
	b.cross.way, b.top.way, b.cross.lag, b.top.lag = "", "", 0, 0
	b.swing.low, b.swing.high = b.top.stands, b.top.stands
	if m.Kind == sequence.NoTool {
		b.tool = nil
		return
	}
	t := &tool{Mount: m, width: m.Width}
	if m.Kind == sequence.ThreadingTool && t.width == 0 {
		t.width = b.threadingWidth(m)
	}
	if m.Kind == sequence.ChamferTool {
		t.edge = b.chamferEdge()
	}
	if m.Kind == sequence.InsideThreadingTool && t.width == 0 {
		t.width = b.insideWidth()
	}
	b.tool = t
	b.ownsRadius(m)
	if m.Kind == sequence.TurningTool {
		b.nosed = max(b.nosed, t.Radius)
	}
	b.setting++
	b.lost("the tool was changed", false)
}

// threadingWidth is how wide the threading tool is where it enters a groove: as
// the lathe file says, or 0.7 of the coarsest pitch of the job, a vee of 60
// degrees at full depth.
func (b *lathe) threadingWidth(m sequence.Mount) calc.Length {
	for _, t := range b.own.Tools {
		ground := t.Angle
		if ground == 0 {
			ground = 60 * calc.Degree
		}
		if t.Kind == string(m.Kind) && t.Width > 0 && (t.Tip == m.Tip || m.Tip == "") && (m.Angle == 0 || ground == m.Angle) {
			return min(t.Width, longest)
		}
	}
	var w calc.Length
	for _, s := range b.job.Sections {
		if s.Thread != nil {
			w = max(w, s.Thread.Pitch.Length()*7/10)
		}
	}
	return w
}

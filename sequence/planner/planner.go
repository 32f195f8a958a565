package planner

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// Plan makes the plan of a job on a lathe with the readings accepted so far. An
// error is [job.Faults]: all that stands in the way, each with its place. An
// answer that leaves nothing to do but stop (a thread still tight at its last
// depth) is an error too, and names the step.
func Plan(j *job.Job, l *job.Lathe, r sequence.Readings) (*sequence.Plan, error) {
	b := newBuild(j.First(), l, r)
	b.drawing = j
	b.checkAll()
	b.checkSecond()
	if len(b.faults) > 0 {
		return nil, b.faults.Err()
	}
	b.setUp()
	for k := 1; k <= max(1, j.Quantity) && len(b.faults) == 0; k++ {
		b.begin(k)
		if j.PickUp {
			b.pickUp()
			b.deburr()
			break
		}
		b.make()
		b.finishPart(k)
	}
	b.part = 0
	b.makeSecond()
	b.end()
	if len(b.faults) > 0 {
		return nil, b.faults.Err()
	}
	b.regard()
	b.finish()
	return b.plan, nil
}

// make makes one part of the bar that is held.
func (b *build) make() {
	b.face()
	b.centre()
	b.work(b.inOrder())
	b.deburr()
	b.partOff()
}

// Replan is [Plan] with job and lathe bound, as the runner wants it.
func Replan(j *job.Job, l *job.Lathe) func(sequence.Readings) (*sequence.Plan, error) {
	return func(r sequence.Readings) (*sequence.Plan, error) { return Plan(j, l, r) }
}

// build is the plan in the making: the steps so far, and where the hands have
// left the lathe.
type build struct {
	job      *job.Job
	lathe    *job.Lathe
	readings sequence.Readings
	plan     *sequence.Plan
	faults   job.Faults

	levels   []level
	cavities []cavity
	made     making      // how the bores are made
	x, z     calc.Length // where the tip stands
	cross    ring
	top      ring
	carriage *ring // nil without a ring on the carriage wheel
	sleeve   *ring // nil without a ring on the tailstock wheel
	turning  sequence.Turn
	rpm      calc.Speed
	doubt    []calc.Speed // what the spindle may be set to, where that depends on what is read
	isolated bool
	parked   parked
	wires    string       // the thread wires a thread is measured over; "" where none are owned
	sawn     calc.Length  // what the bar has to be sawn to, where it does not go through the spindle
	boredOut bool         // the bores have their size
	begun    bool         // something was done before what is being done, beyond facing
	afresh   bool         // the next setting inside comes from where nothing depends on a reading
	led      calc.Ratio   // growth of the diameter over the carriage's way while the taper slide is clamped; zero: it is free
	blind    bool         // since then the cross-slide ring has had no zero
	deepest  calc.Length  // where the last pass of a thread was set, where it starts
	bottom   calc.Length  // where the cross-slide ring stood at the bottom of the groove
	section  *job.Section // whose steps are being made; nil for the set-up
	hole     *job.Bore    // or whose, inside
	op       sequence.Op
	pass, of int

	part      int // of several equal ones, from 1; zero for a single one and for what is done once
	announce  sequence.Cue
	keep      bool // the turning tool has not left the post since the part before
	found     proven
	cutoff    calc.Length    // z where the last part came off the bar
	relic     relic          // what its bore has left in the end of the bar
	fitted    sequence.Gears // the change gears of the last thread
	barNeeded calc.Length    // for all parts; zero for a single one

	drawing *job.Job    // with its second setting
	second  *job.Second // in the build of the second setting; else nil
	raw     calc.Length // length over all when it is turned round
	front   calc.Length // z of the finished new end
	there   *existing   // the hole of the first setting; nil for none
}

// level is one section with its places along the work and the sizes on the way.
type level struct {
	sec      *job.Section
	n        int         // 1 for the section at the free end
	from, to calc.Length // z of its free end and of its shoulder
	aim      calc.Length // diameter aimed at
	stock    calc.Length // diameter it is cut from, once those behind it are finished
	end      calc.Length // z where turning passes end
	shoulder bool        // a shoulder follows that is faced to length
	least    calc.Length // diameter behind its shoulder, the least it may be
	most     calc.Length // and the most
	size     calc.Length // diameter as measured, or as planned until it is
	thin     calc.Length // that of the small end of a taper thread
	last     calc.Length // ring setting of its last cut, as planned without a reading
	ringZero calc.Length // where the cross-slide ring stood for this section's last cut
	rpm      calc.Speed  // for its shoulder
	feed     calc.Lead   // and the feed across it
	wide     calc.Length // and the widest cut across it
	place    calc.Length // z of its shoulder as drawn, whatever is measured in front
	rough    calc.Length // diameter after roughing
	done     bool        // knurled, and so finished before the others
	stub     calc.Length // the most that the passes along leave on its shoulder
}

func newBuild(j *job.Job, l *job.Lathe, r sequence.Readings) *build {
	b := &build{
		job: j, lathe: l, readings: r,
		plan:    &sequence.Plan{Part: j.Part, Lathe: l.Name, Unit: j.Unit},
		cross:   newRing(sequence.Cross, l.Cross, l.CrossClockwiseIn),
		top:     newRing(sequence.Top, l.Top, l.TopClockwiseIn),
		turning: sequence.Stop,
		found:   proven{},
	}
	if l.Carriage != nil {
		c := newRing(sequence.CarriageWays, *l.Carriage, true)
		b.carriage = &c
	}
	if l.Tailstock != nil {
		c := newRing(sequence.Sleeve, *l.Tailstock, true)
		b.sleeve = &c
	}
	for i := range j.Sections {
		s := &j.Sections[i]
		b.plan.Sections = append(b.plan.Sections, sequence.Stretch{Name: s.Name, What: b.what(s)})
	}
	b.sections()
	b.ends()
	b.hollow()
	for i := range b.cavities {
		d := b.cavities[i].bore
		b.plan.Sections = append(b.plan.Sections, sequence.Stretch{Name: d.Name, What: b.boreText(d)})
	}
	return b
}

// sections lays the sections out along the work.
func (b *build) sections() {
	j := b.job
	z := b.front
	for i := range j.Sections {
		s := &j.Sections[i]
		b.levels = append(b.levels, level{
			sec: s, n: i + 1, from: z, to: z + s.Length.Mid(), aim: s.Diameter.Mid(), shoulder: true, least: j.Bar, most: j.Bar,
		})
		z += s.Length.Mid()
	}
	for i := range b.levels {
		v := &b.levels[i]
		if v.sec.AsBar {
			v.aim = j.Bar
		}
		v.size = v.aim
		if v.sec.Tapered() {
			v.thin = v.sec.Taper.Small.Mid()
		}
		if i+1 < len(b.levels) {
			if w := b.levels[i+1].sec; !w.AsBar {
				v.least, v.most = w.Diameter.Min, w.Diameter.Max
				if w.Knurl != nil {
					v.most = max(v.most, w.Knurl.Over.Max)
				}
			}
		}
	}
}

// what is a section in the words of the drawing.
func (b *build) what(s *job.Section) string {
	switch {
	case s.Tapered():
		return s.Thread.String()
	case s.Taper != nil && s.Taper.Mates:
		return "taper " + s.Taper.Name
	case s.Taper != nil:
		return s.Taper.Name + " cone"
	case s.Thread != nil:
		return s.Thread.String()
	case s.Knurl != nil:
		return fmt.Sprintf("%s knurl %s, %s over it", s.Knurl.Pattern, b.show(s.Knurl.Pitch), b.show(s.Knurl.Over.Nominal))
	case s.AsBar:
		return b.show(b.job.Bar) + " as the bar is"
	case s.Diameter.Class != fit.None && s.Diameter.Class != fit.Written && s.Diameter.Class != fit.Default:
		return b.show(s.Diameter.Nominal) + " " + s.Diameter.Class
	}
	return b.show(s.Diameter.Min) + " to " + b.show(s.Diameter.Max)
}

// refuse notes what cannot be made, at a section's place in the job, once.
func (b *build) refuse(s *job.Section, hint, format string, args ...any) {
	var at job.Pos
	if s != nil {
		at = s.Pos
	}
	b.refuseAt(at, hint, format, args...)
}

// refuseAt is [build.refuse] at any place in the job.
func (b *build) refuseAt(at job.Pos, hint, format string, args ...any) {
	f := job.Fault{Source: b.job.Source, Pos: at, Msg: fmt.Sprintf(format, args...), Hint: hint}
	for _, g := range b.faults {
		if g.Pos == f.Pos && g.Msg == f.Msg {
			return
		}
	}
	b.faults = append(b.faults, f)
}

func (b *build) warn(format string, args ...any) {
	b.plan.Warnings = append(b.plan.Warnings, fmt.Sprintf(format, args...))
}

// prefix is the first part of the ids of the steps now being made.
func (b *build) prefix() string {
	switch {
	case b.second != nil:
		return "second/" + b.within()
	case b.part > 0:
		return fmt.Sprintf("part%d/", b.part) + b.within()
	}
	return b.within()
}

// within is what of it says the section or the bore.
func (b *build) within() string {
	if b.hole != nil {
		return b.hole.Name + "/"
	}
	if b.section == nil {
		return ""
	}
	return strings.ReplaceAll(b.section.Name, " ", "-") + "/"
}

// add appends a step. The id is the section's name, then what is given.
func (b *build) add(id string, s sequence.Step) {
	s.ID = b.prefix() + id
	s.Op, s.Pass, s.Of = b.op, b.pass, b.of
	if b.part > 0 {
		s.Part, s.OfParts = b.part, b.parts()
	}
	if b.second != nil {
		s.Setting = 2
	}
	if b.announce != nil {
		s.Opening = append(b.announce, append(sequence.Cue{sequence.FullStop}, s.Opening...)...)
		b.announce = nil
	}
	if b.section != nil {
		s.Section = b.section.Name
		s.Place = b.job.Source.Place(b.section.Pos)
	}
	if b.hole != nil {
		s.Section, s.Place = b.hole.Name, b.job.Source.Place(b.hole.Pos)
	}
	if s.Hand == 0 {
		s.Hand = hand("dial_set")
	}
	b.tellInstrument(&s)
	b.plan.Steps = append(b.plan.Steps, s)
}

// finish numbers the steps and composes their words.
func (b *build) finish() {
	b.layOut()
	b.notes()
	heard := map[string]bool{}
	for i := range b.plan.Steps {
		s := &b.plan.Steps[i]
		s.N = i + 1
		kind := fmt.Sprint(s.Op, s.Phase, s.Needs, len(s.Opening) > 0, s.Setting)
		if s.Phase != "" {
			s.Brief = heard[kind]
			heard[kind] = true
		}
		sequence.Compose(s, b.job.Unit)
	}
}

// hand is the typical time of one thing done by hand.
func hand(ids ...string) time.Duration {
	var t time.Duration
	for _, id := range ids {
		if h, ok := cutting.HandlingOf(id); ok {
			t += h.Typical
		}
	}
	return t
}

// spindle gives the moves that bring the spindle to a state: it stands still
// before it turns the other way.
func (b *build) spindle(turn sequence.Turn, rpm calc.Speed) []sequence.Move {
	if b.turning == turn && (turn == sequence.Stop || b.rpm == rpm) {
		return nil
	}
	var m []sequence.Move
	if b.turning != sequence.Stop && turn != sequence.Stop {
		m = append(m, sequence.Spindle{Turn: sequence.Stop})
	}
	b.turning = turn
	change := false
	if turn == sequence.Forward || turn == sequence.Reverse {
		change = b.rpm != rpm || slices.ContainsFunc(b.doubt, func(s calc.Speed) bool { return s != rpm })
		b.rpm, b.doubt = rpm, nil
	}
	return append(m, sequence.Spindle{Turn: turn, RPM: rpm, Changed: change})
}

// slip brings the spindle to a stop where it is not standing.
func (b *build) stop() []sequence.Move { return b.spindle(sequence.Stop, 0) }

// along is a movement of the carriage by hand with nothing cut.
func (b *build) along(to calc.Length) sequence.Carriage {
	m := b.follow(sequence.Carriage{From: b.z, To: to, By: sequence.ByHandwheel})
	b.z = to
	return m
}

// crossTo brings the cross slide in to a diameter.
func (b *build) crossTo(x calc.Length, half bool) sequence.Shift {
	m := b.cross.to(x, half)
	m.Led = b.led.Sign() != 0
	b.x = m.X
	return m
}

// crossOut winds the cross slide out by whole turns that clear a depth.
func (b *build) crossOut(depth calc.Length) sequence.Shift {
	m := b.cross.out(depth)
	m.Led = b.led.Sign() != 0
	b.x = m.X
	return m
}

// clearOfBar winds the cross slide out before its ring has a zero.
func (b *build) clearOfBar() sequence.Shift {
	m := b.cross.away(b.job.Bar + 4*calc.Millimetre)
	m.Lash = calc.Ratio{}
	b.x = m.X
	return m
}

// farOut winds the cross slide out of wherever the last thread or groove has left it: a
// turn and its slack beyond the bar at most.
func (b *build) farOut() sequence.Shift {
	d := b.cross.dial
	m := b.cross.away(b.job.Bar + 4*calc.Millimetre + 2*(d.Travel+d.Slack))
	m.Lash = calc.Ratio{}
	b.x = m.X
	return m
}

// mount fits a tool; its place is not known afterwards.
func (b *build) mount(t job.Tool, kind sequence.ToolKind, edge string) sequence.Mount {
	b.keep = false
	m := sequence.Mount{Kind: kind, Tip: t.Tip, Hand: t.Hand, Edge: edge}
	if m.Hand == "" {
		m.Hand = job.HandRight
	}
	if kind == sequence.GroovingTool || kind == sequence.PartingTool {
		m.Width = t.Width
	}
	if kind != sequence.TurningTool {
		m.Hand = "neutral"
	}
	if kind == sequence.RoundingTool || kind == sequence.TurningTool && b.cornered() {
		m.Radius, m.Tip = t.Nose(), ""
	}
	return m
}

// tool finds a tool owned, or asks for one by name.
func (b *build) tool(kind sequence.ToolKind, s *job.Section, for_ string) (job.Tool, bool) {
	for _, t := range b.lathe.Tools {
		if t.Kind == string(kind) && t.Hand != job.HandLeft && (kind != sequence.TurningTool || b.leavesCorners(t)) { // every cut goes towards the chuck
			return t, true
		}
	}
	if kind == sequence.TurningTool && b.noNose() {
		return job.Tool{}, false
	}
	hand := ""
	if kind == sequence.TurningTool {
		hand = "right-hand "
	}
	b.refuse(s, fmt.Sprintf("add it to %s: [[tool]] kind = %q", b.lathe.Source.Path, kind), "no %s%s tool is listed for the lathe, and %s needs one", hand, kind, for_)
	return job.Tool{}, false
}

// half says whether a diameter is set on half a division of the cross-slide ring: a
// whole one serves when it lies in the middle half of the limits. ok is false when
// even half a division is too coarse for them.
func (b *build) half(x, min, max calc.Length) (half, ok bool) {
	inside := func(h bool, room calc.Length) bool {
		at := b.cross.snap(x, h)
		return at >= min+room && at <= max-room
	}
	switch {
	case inside(false, (max-min)/4):
		return false, true
	case inside(true, 0):
		return true, true
	}
	return false, inside(false, 0)
}

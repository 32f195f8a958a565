package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	// runOn is how many leads a thread that goes through is bored and cut on behind the
	// part: room to stop in (common practice: three to five).
	runOn = 4
	// standsOut is the share of the bar's thickness by which the tip of an inside
	// threading or grooving tool stands out of it (common practice).
	standsOut = 3
	// barBeside is what the bar of such a tool keeps from the wall when its tip is in.
	barBeside = 300 * calc.Micrometre
	// gaugeRoom is how far an inside threading tool is run back for a gauge.
	gaugeRoom = 60 * calc.Millimetre
)

// insideCut is how a thread is cut in a bore.
type insideCut struct {
	c     *cavity
	whole bool // it is withdrawn by whole turns
	why   string
}

// behindBar is how thick a bar is with the tip of an inside threading or grooving tool.
func behindBar(t *job.Tool) calc.Length { return t.Size * (standsOut + 1) / standsOut }

// vee is how wide a threading tool is where it enters: as listed, or a vee at full depth.
func vee(t *job.Tool, th *thread.Thread) calc.Length {
	if t.Width > 0 {
		return t.Width
	}
	return th.Pitch.Length() * 7 / 10
}

// boreEnd is where boring passes end.
func (b *build) boreEnd(d *job.Bore) calc.Length {
	end := b.front + d.Depth.Mid() - shoulderStock
	if d.Through {
		end = b.throughEnd()
		if d.Thread != nil && d.By == job.ByBore {
			p := d.Thread.Pitch.Length()
			on := runOn * d.Thread.Lead.Length()
			if d.Thread.Starts > 1 { // steep: it is cranked, and that stops anywhere
				on = p
			}
			end = (end + on + p + stopSafety).Ceil(calc.Millimetre)
		}
	}
	if b.lathe.Carriage != nil {
		end = b.front + b.lathe.Carriage.SnapIn(end-b.front)
	}
	return end
}

// cutInside is the bore whose thread is cut with a threading tool; nil for none.
func (b *build) cutInside() *cavity {
	for i := range b.cavities {
		if c := &b.cavities[i]; c.bore.Thread != nil && c.bore.By == job.ByBore {
			return c
		}
	}
	return nil
}

// chooseInside settles the tools for the thread that is cut in a bore and for its
// recess, and refuses what they cannot cut.
func (b *build) chooseInside() bool {
	c := b.cutInside()
	if c == nil {
		return true
	}
	d := c.bore
	n := 0
	for i := range b.cavities {
		if b.cavities[i].bore.Thread != nil {
			n++
		}
	}
	if n > 1 {
		b.refuseAt(d.Pos, "make the other one in a job of its own", "only one bore of a part gets a thread")
		return false
	}
	if d.Thread.Angle == 0 {
		b.refuseAt(d.Pos, "turncue calc thread gives its sizes and depths", "%s: square threads are not planned", d.Thread)
		return false
	}
	if d.Recess != nil {
		if from, to := b.wall(c); to-from < d.Thread.Pitch.Length() {
			b.refuseAt(d.Pos, "a deeper bore or a narrower recess", "the recess of up to %s leaves %s of thread between %s and its end at %s", b.show(d.Recess.Width.Max), b.show(max(0, to-from)), b.show(from), b.show(d.Depth.Nominal))
			return false
		}
	}
	out := (c.end + boreBehind).Ceil(calc.Millimetre)
	more := "tip = \"radius 0.1 mm\""
	if a := d.Thread.Angle; a != 60*calc.Degree {
		more = fmt.Sprintf("angle = %q and its tip", a)
	}
	t, ok := b.insideTool(c, job.KindInsideThreading, out, func(t *job.Tool) bool { return flanks(*t) == d.Thread.Angle }, more)
	if !ok {
		return false
	}
	b.made.threading, b.made.out = t, out
	if d.Recess == nil {
		return true
	}
	w := d.Recess.Width
	g, ok := b.insideTool(c, job.KindInsideGrooving, out, func(t *job.Tool) bool { return t.Width <= w.Max }, fmt.Sprintf("width = %q", b.show((w.Min/2).Floor(calc.Millimetre/2))))
	if !ok {
		return false
	}
	b.made.groover = g
	if deep := (d.Recess.Diameter.Max - d.Diameter.Min) / 2; deep+barBeside > g.Size/standsOut {
		b.refuseAt(d.Pos, fmt.Sprintf("a recess of %s or less, or a stouter tool", b.show(d.Diameter.Min+2*(g.Size/standsOut-barBeside))),
			"the recess is %s deep, and the tip of an inside grooving tool on a bar of %s stands out %s", b.show(deep), b.show(g.Size), b.show(g.Size/standsOut))
		return false
	}
	return true
}

// insideTool is the stoutest tool of a kind that goes into a bore and may stand out as
// far as it has to.
func (b *build) insideTool(c *cavity, kind string, out calc.Length, fits func(*job.Tool) bool, more string) (best *job.Tool, ok bool) {
	most := ((c.bore.Diameter.Min - barAir) * standsOut / (standsOut + 1)).Floor(calc.Millimetre / 2)
	for i := range b.lathe.Tools {
		t := &b.lathe.Tools[i]
		if t.Kind == kind && fits(t) && behindBar(t)+barAir <= c.bore.Diameter.Min && out <= barMost(t) && (best == nil || t.Size > best.Size) {
			best = t
		}
	}
	if best == nil {
		what := kind
		if a := c.bore.Thread.Angle; kind == job.KindInsideThreading && a != 60*calc.Degree {
			what = fmt.Sprintf("%s of %s", kind, a)
		}
		b.refuseAt(c.bore.Pos, fmt.Sprintf("list one in %s: [[tool]] kind = %q size = %q %s, or a shallower bore", b.lathe.Source.Path, kind, b.show(most), more),
			"no %s tool listed goes into %s and may stand out %s: its bar can be %s thick at most, and stands out four times that", what, b.show(c.bore.Diameter.Min), b.show(out), b.show(most))
		return nil, false
	}
	return best, true
}

// prepareInside settles all that is fixed before the passes, or refuses it.
func (b *build) prepareInside(c *cavity) (*threading, bool) {
	d, tool := c.bore, *b.made.threading
	tip, err := thread.ParseTip(tool.Tip, d.Thread.Pitch)
	if err != nil {
		b.refuseAt(d.Pos, "write the tip of the tool as measured, such as tip = \"radius 0.1 mm\"", "%v", err)
		return nil, false
	}
	depth, err := d.Thread.Depth(tip, c.size)
	if err != nil {
		b.refuseAt(d.Pos, "grind or buy a finer tip, and write it down: tip = \"radius 0.1 mm\"", "%v", err)
		return nil, false
	}
	root := c.size + 2*depth.Limit
	for i := range b.cavities {
		w := &b.cavities[i]
		if w == c {
			break
		}
		if w.bore.Diameter.Min < root+2*margin {
			b.refuseAt(d.Pos, fmt.Sprintf("make it %s or more", b.show((root+2*margin).Ceil(100*calc.Micrometre))), "the passes of %s would cut into %s in front of it", d.Thread, w.bore.Name)
			return nil, false
		}
	}
	if depth.Limit+barBeside > tool.Size/standsOut {
		b.refuseAt(d.Pos, "a stouter inside threading tool", "%s is %s deep, and the tip on a bar of %s stands out %s", d.Thread, b.show(depth.Limit), b.show(tool.Size), b.show(tool.Size/standsOut))
		return nil, false
	}
	tool.Width = vee(&tool, d.Thread)
	groove, long, to := d.Recess, d.Depth, c.deep
	if d.RunOut != nil {
		groove = nil
	}
	if d.Through {
		long.Nominal = b.levels[len(b.levels)-1].to
		to = c.end - tool.Width/2
		groove = &job.Undercut{Form: "own"}
		groove.Width.Nominal = to - b.throughEnd()
		groove.Width.Min, groove.Width.Max = groove.Width.Nominal, groove.Width.Nominal
	}
	long.Min, long.Max = long.Nominal, long.Nominal
	sec := &job.Section{Name: d.Name, Pos: d.Pos, Thread: d.Thread, Length: long, Undercut: groove, RunOut: d.RunOut}
	b.helix(sec)
	t := &threading{
		v: &level{sec: sec, n: 1, to: to, place: long.Nominal, aim: c.aim, size: c.size}, tool: tool, depth: depth, graduate: b.cross.dial.Division(),
		inside: &insideCut{c: c, why: "Power off when you see the mark on the bar at the end of the work, and let it coast in the recess. Nothing here tells you when: your eye does."},
	}
	if d.Through {
		t.inside.why = "Power off when you see the mark on the bar at the end of the work: the tool is then behind the part, and coasts on there. Nothing here tells you when: your eye does."
	}
	if !b.train(t) {
		return nil, false
	}
	if d.RunOut != nil {
		return t, b.insideFade(t)
	}
	if tool.Width > groove.Width.Mid() {
		b.refuseAt(d.Pos, fmt.Sprintf("grind the tool to %s or less and list its width, or ask for a wider recess", b.show(groove.Width.Mid().Floor(100*calc.Micrometre))),
			"the inside threading tool is %s wide and the recess of %s only %s", b.show(tool.Width), d.Thread, b.show(groove.Width.Mid()))
		return nil, false
	}
	if !b.insideWay(t) {
		return nil, false
	}
	b.clearsWhole(t)
	return t, true
}

// clearsWhole settles whether the tool is taken off the wall by whole turns.
func (b *build) clearsWhole(t *threading) {
	tool, depth, c := t.tool, t.depth, t.inside.c
	out := calc.Length(b.cross.dial.WholeTurnsClear(depth.Limit, margin)) * b.cross.dial.Travel
	t.inside.whole = behindBar(&tool)+out-b.cross.dial.Slack+barAir/4 <= c.size
}

// insideWay settles how the passes in a bore are made: as the job says, as the lathe says
// where that can be, else in reverse, or by the crank.
func (b *build) insideWay(t *threading) bool {
	d, width := t.inside.c.bore, t.tool.Width
	if asked := b.job.Threading; asked != "" {
		why, hint := b.tryWay(t, asked, width)
		if why != "" {
			b.refuseAt(d.Pos, hint, "%s cannot be cut with threading = %q: %s", d.Thread, asked, why)
		}
		return why == ""
	}
	if asked := b.lathe.Threading; asked != "" && asked != job.WayReverse {
		why, _ := b.tryWay(t, asked, width)
		if why == "" {
			return true
		}
		b.warn("%s is not cut with threading = %q, as the lathe has it: %s", d.Thread, asked, why)
	}
	if why, _ := b.tryWay(t, job.WayReverse, width); why != "" {
		b.warn("%s: %s; the spindle is turned by the hand crank", d.Thread, why)
		_, _ = b.tryWay(t, job.WayCrank, width)
	}
	return true
}

// insideThread cuts the thread of a bore with a threading tool, the half-nuts shut from
// the first pass to the last.
func (b *build) insideThread() {
	c := b.cutInside()
	if c == nil || b.made.threading == nil || len(b.faults) > 0 {
		return
	}
	b.cross.inside = true
	defer func() { b.cross.inside, b.hole = false, nil }()
	b.op, b.section, b.hole = sequence.OpThread, nil, c.bore
	b.pass, b.of = 0, 0
	t, ok := b.prepareInside(c)
	if !ok {
		return
	}
	b.add("thread/tool", sequence.Step{
		Moves: append(b.stop(), b.insideMount(&t.tool, sequence.InsideThreadingTool, "tip")), Closing: sequence.Cue{sequence.WordSquareByGauge},
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Hand: hand("tool_plain"),
		Why: "The thread gauge against the finished end. It clears the far wall when it is withdrawn: try it by hand.",
	})
	rpm := t.rpm
	if t.cranked {
		rpm = b.speed(cutting.Thread, c.aim, t.tool.Steel)
	}
	b.enterBore(c, &t.tool, rpm, "thread/touch", fmt.Sprintf("Depth is counted from here: %s on radius to the middle of the limits, with a tip of %s.", b.show(t.depth.Aim), t.tool.Tip))
	out, _ := b.clearThread(t, 0)
	moves := []sequence.Move{out, b.along(t.start)}
	if t.starts() > 1 {
		moves = append(moves, b.zeroIndex(t)...)
	}
	b.add("thread/place", sequence.Step{
		Moves: append(moves, b.stop()...), Hand: hand("dial_set", "start_stop"),
		Closing: sequence.Cue{sequence.WordMarkBar, sequence.WordAt, sequence.LengthWord(t.end, b.job.Unit, 1), sequence.WordFromTip},
		Why:     fmt.Sprintf("The start of every pass: %s in front of the end, enough to take up all slack. The mark shows at the end of the work where the tip is.", b.show(-t.start)),
	})
	b.fitted = b.gears(t, b.fitted)
	b.cutThread(t)
}

// insideMount is an inside tool on its bar.
func (b *build) insideMount(t *job.Tool, kind sequence.ToolKind, edge string) sequence.Mount {
	m := sequence.Mount{Kind: kind, Tip: t.Tip, Width: t.Width, Hand: "neutral", Edge: edge, Inside: true, Diameter: t.Size, Overhang: b.made.out}
	if kind == sequence.InsideThreadingTool {
		m.Angle = flanks(*t)
	}
	return m
}

// enterBore brings an inside tool into a bore and zeroes the cross slide on its wall.
func (b *build) enterBore(c *cavity, t *job.Tool, rpm calc.Speed, id, why string) {
	enter := b.cross.enter(calc.Mid(c.size, behindBar(t)))
	b.x = enter.X
	b.add(id, sequence.Step{
		Moves:   append(b.spindle(sequence.Forward, rpm), b.along(b.start()), enter, b.along(b.wallAt(c)), b.cross.set(c.size, sequence.OnBore)),
		Closing: sequence.Cue{sequence.WordOtherSide}, Hand: hand("start_stop", "touch_off"), Cautions: []sequence.Word{sequence.WordNoFinger}, Why: why,
	})
	b.x = c.size
}

// wallAt is a place on the plain wall of a bore.
func (b *build) wallAt(c *cavity) calc.Length {
	from, to := b.wall(c)
	return calc.Mid(from, to)
}

// wall is the plain wall of a bore, behind its chamfer or the bore in front of it and in
// front of its recess.
func (b *build) wall(c *cavity) (from, to calc.Length) {
	from, to = c.bore.Chamfer, c.end
	for i := range b.cavities {
		if w := &b.cavities[i]; w != c {
			from = max(from, w.bore.Depth.Max)
			continue
		}
		break
	}
	if c.bore.Recess != nil {
		to -= c.bore.Recess.Width.Max
	} else if c.bore.Through {
		to = b.levels[len(b.levels)-1].to
	}
	return from, to
}

// clearThread takes the tool off a thread: out by whole turns, or in a bore that has no
// room for them in by enough.
func (b *build) clearThread(t *threading, depth calc.Length) (sequence.Shift, string) {
	before := " Before anything reverses."
	if t.way == job.WayDial {
		before = " Before the carriage goes back."
	}
	if t.inside == nil || t.inside.whole {
		return b.crossOut(depth), "Whole turns, so the ring comes back to the same reading." + before
	}
	m := b.cross.clearOf(t.v.size - 2*boreClear)
	b.x = m.X
	return m, "In, away from the thread, as far as the bar has room: no whole turn fits." + before
}

// makeRoom runs the carriage back, the half-nuts shut, until a gauge can be brought to
// the bore. Outside there is room as it is.
func (b *build) makeRoom(t *threading, id string) {
	if t.inside == nil {
		return
	}
	b.pass, b.of = 0, 0
	_, s := b.passSteps(t)
	far := t.start - gaugeRoom
	for i, m := range s.Moves {
		if m, ok := m.(sequence.Carriage); ok {
			m.From, m.To = b.z, far
			s.Moves[i] = m
		}
	}
	s.Opening, s.Why = sequence.Cue{sequence.WordMakeRoom}, fmt.Sprintf("The half-nuts stay shut: the spindle takes the bar back, about %s in front of the work.", b.show(-far))
	switch t.way {
	case job.WayCrank:
		s.Hand = hand("reverse_setup") + crankTime(t, gaugeRoom)
	case job.WayDial:
		s.Why = fmt.Sprintf("The half-nuts are open: by hand, about %s in front of the work.", b.show(-far))
	default:
		s.Machine = t.passTime(gaugeRoom)
	}
	b.add(id, s)
	b.z = far
}

// gaugeOf is what a thread is tried with.
func (b *build) gaugeOf(t *threading) sequence.Gauge {
	if t.inside != nil {
		return sequence.Gauge{What: t.v.sec.Thread.String(), With: b.plugGauge(t.v.sec.Thread), Inside: true}
	}
	return sequence.Gauge{What: t.v.sec.Thread.String(), With: b.ringGauge(t.v.sec)}
}

// orWires is what an outside thread reads over wires.
func (b *build) orWires(t *threading) string {
	if t.inside != nil {
		return " Swarf out of the bore before every trial."
	}
	return b.overWires(t.v.sec)
}

// recess cuts the groove at the end of a blind thread.
func (b *build) recess() {
	c := b.cutInside()
	if c == nil || b.made.groover == nil || len(b.faults) > 0 {
		return
	}
	d, t := c.bore, *b.made.groover
	bottom, low, ok := b.recessTo(c)
	if !ok {
		return
	}
	b.cross.inside = true
	defer func() { b.cross.inside, b.hole = false, nil; b.pass, b.of = 0, 0 }()
	b.op, b.section, b.hole = sequence.OpUndercut, nil, d
	b.pass, b.of = 0, 0
	b.add("recess/tool", sequence.Step{
		Opening: sequence.Cue{sequence.WordRecess}, Moves: append(b.stop(), b.insideMount(&t, sequence.InsideGroovingTool, "chuck side")),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Hand: hand("tool_plain"),
		Why: "The thread runs out into a recess: the tool has to stop there unseen.",
	})
	rpm, feed := b.acrossInside(d, t, d.Recess.Diameter.Max, t.Width, c.deep, false)
	b.enterBore(c, &t, rpm, "recess/wall", "A light touch with the slack taken up towards you: the recess is counted from the wall.")
	in := func() sequence.Shift {
		m := b.cross.clearOf(c.size - 2*boreClear)
		b.x = m.X
		return m
	}
	behind := b.made.hole
	for i := range b.cavities {
		if &b.cavities[i] == c {
			behind = b.behind(i)
		}
	}
	b.add("recess/clear", sequence.Step{Moves: []sequence.Move{in(), b.along(b.start())}, Hand: hand("dial_set"), Why: "Out of the hole: the next place is reached from in front."})
	depth := c.deep
	// Where the tip meets the step the back of the bar must have room too.
	meet := max(calc.Mid(behind, c.size), 2*behindBar(&t)-c.size+barAir/2)
	moves := b.boreTo(meet, false)
	b.add("recess/step", sequence.Step{
		Moves: append(moves, b.along(depth), b.top.set(depth, sequence.OnStep)), Closing: sequence.Cue{sequence.WordLockCarriage},
		Hand: hand("touch_off"), Cautions: []sequence.Word{sequence.WordNoFinger},
		Why: "The chuck side of the tool against the step.",
	})
	width := max(d.Recess.Width.Mid(), t.Width)
	room := width - t.Width
	step := t.Width * 9 / 10 // neighbouring cuts overlap by a tenth of the tool (common practice)
	n := int(room.Ceil(step)/step) + 1
	half, _ := b.half(bottom, low, d.Recess.Diameter.Max)
	for i := range n {
		b.pass, b.of = i+1, n
		z := depth
		if n > 1 {
			z -= room * calc.Length(n-1-i) / calc.Length(n-1)
		}
		var moves []sequence.Move
		b.z = depth
		if n > 1 {
			if i == 0 {
				moves = append(moves, b.top.away(z-b.top.dial.Slack-calc.Millimetre/2))
			}
			to := b.top.to(z, true)
			b.z = to.Z
			moves = append(moves, to)
			b.add(fmt.Sprintf("recess/pass%d/set", i+1), sequence.Step{
				Phase: sequence.PhaseSet, Moves: moves, Hand: hand("dial_set"),
				Why: fmt.Sprintf("The recess reaches from here to the step, %s to %s wide.", b.show(d.Recess.Width.Min), b.show(d.Recess.Width.Max)),
			})
		}
		from := b.x
		shift := b.crossTo(bottom, half)
		cut := sequence.Plunge{From: from, To: shift.X, Z: b.z, Dial: shift.Dial, PerRev: feed, Handle: shift.Handle, Inside: true}
		b.add(fmt.Sprintf("recess/pass%d/cut", i+1), sequence.Step{
			Phase: sequence.PhaseCut, Moves: []sequence.Move{cut, in()}, Cautions: []sequence.Word{sequence.WordOilSteel},
			Hand: hand("feed_engage", "dial_set"), Machine: b.cutTime((shift.X-from)/2, feed),
			Why: fmt.Sprintf("To %s, behind the root of the thread; the ring tells it, no gauge reaches it.", b.show(shift.X)),
		})
	}
	b.pass, b.of = 0, 0
	b.add("recess/free", sequence.Step{
		Opening: sequence.Cue{sequence.WordFreeCarriage}, Moves: []sequence.Move{b.along(b.start())}, Hand: hand("dial_set"),
		Why: "In front of the work for the next tool.",
	})
}

// recessTo is the diameter of the recess that is cut and the least it may have: as the
// job has it, and behind the root the tip of the threading tool may reach.
func (b *build) recessTo(c *cavity) (bottom, least calc.Length, ok bool) {
	d := c.bore
	least = d.Recess.Diameter.Min
	if tip, err := thread.ParseTip(b.made.threading.Tip, d.Thread.Pitch); err == nil {
		if depth, err := d.Thread.Depth(tip, c.size); err == nil {
			least = max(least, c.size+2*depth.Limit)
		}
	}
	if d.Recess.Diameter.Max-least < 2*b.cross.dial.Division() {
		b.refuseAt(d.Pos, fmt.Sprintf("write recess = { width = %q, diameter = %q }, or take a finer tip", b.show(d.Recess.Width.Mid()), b.show((least+500*calc.Micrometre).Ceil(100*calc.Micrometre))),
			"a recess of %s to %s is not safely behind the root of %s, which may lie at %s", b.show(d.Recess.Diameter.Min), b.show(d.Recess.Diameter.Max), d.Thread, b.show(least))
		return 0, 0, false
	}
	return calc.Mid(least, d.Recess.Diameter.Max), least, true
}

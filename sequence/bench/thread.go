package bench

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/thread"
	"turncue/sequence"
)

// threadPass is one cut of a thread with the half-nuts shut.
func (b *lathe) threadPass(m sequence.Carriage) {
	k := b.ownSection()
	if k < 0 || b.job.Sections[k].Thread == nil {
		b.fault(Consistent, "a thread is cut in a step of section %q, which has none", b.step.Section)
		return
	}
	if !b.cross.known {
		b.fault(Consistent, "a thread is cut with a tool whose diameter is not known: it was never zeroed")
		return
	}
	t := b.job.Sections[k].Thread
	h := &b.sections[k]
	if b.job.PickUp && h.passes == 0 {
		b.fault(InStep, "the thread that is there is cut before the tool was laid in its groove")
	}
	b.direction(m, t)
	b.tapers(m, t)
	b.fromOneSide("the thread is cut")
	b.runUp(m, k)
	if !h.leadSaid {
		h.leadSaid = !b.checkLead(m, t, k)
	}
	if a := b.tool.Angle; a != t.Angle && (a != 0 || t.Angle != 60*calc.Degree) && !h.depthSaid {
		h.depthSaid = true
		b.fault(ToSize, "%s is cut with a tool of %s between its flanks, it has %s", t, a, t.Angle)
	}
	turned := b.crest(b.work, k)
	at := b.atGauge(m, k)
	h.limits(t, b.tool.Tip, turned)
	if h.depthErr != nil && !h.depthSaid {
		h.depthSaid = true
		b.fault(ToSize, "%v", h.depthErr)
	}
	if fades := b.job.Sections[k].RunOut != nil; !fades && !h.endSaid && h.depthErr == nil {
		h.endSaid = !b.runOut(m, k, turned)
	}
	b.inStep(h, t, b.job.Sections[k].Name)
	if b.job.Sections[k].RunOut != nil {
		b.fades(m, k, turned)
	}
	path := b.path(m)
	b.gouges([]edge{path})
	b.threadLoad(t.Angle/2, (turned-h.deepest(turned))/2, (turned-at)/2, turned, b.work.bites([]edge{path}))
	b.cutThread(m, k, turned)
	if b.cross.way != sequence.Out {
		b.pass = &lastPass{ring: b.cross.ring()}
	}
}

// deepest is the diameter the tip has reached in the start of a thread that is cut now,
// turned to a diameter.
func (h *history) deepest(turned calc.Length) calc.Length {
	if h.cut == nil || h.start >= len(h.starts) || h.starts[h.start].passes == 0 {
		return turned
	}
	return min(h.starts[h.start].root, turned)
}

// direction is the check that the spindle turns the way that cuts this thread: the
// leadscrew carries the tool as the gears say, and the tool cuts the way it is clamped.
func (b *lathe) direction(m sequence.Carriage, t *thread.Thread) {
	if b.turn == sequence.Reverse && b.screwed() {
		b.fault(NoReverseCut, "the thread is cut in reverse with a screwed chuck")
		return
	}
	if b.turn != sequence.ByHand && b.turn != b.cutsIn() && b.turn != sequence.Stop {
		b.fault(Consistent, "the thread is cut with the spindle %s and the tool clamped to cut in %s", b.turn, b.cutsIn())
	}
	if b.wrongWay(m) {
		b.fault(InStep, "with the spindle %s the leadscrew carries the tool the other way than from %s to %s", b.turn, m.From, m.To)
	}
}

// cutsIn is the way of the spindle in which the tool cuts as it is clamped.
func (b *lathe) cutsIn() sequence.Turn {
	if b.tool != nil && b.tool.UpsideDown {
		return sequence.Reverse
	}
	return sequence.Forward
}

// wrongWay says that the leadscrew turns against a move of the carriage. By hand the
// spindle can be turned either way.
func (b *lathe) wrongWay(m sequence.Carriage) bool {
	towards := b.turn == sequence.Forward
	if b.gears != nil && b.gears.Backward {
		towards = !towards
	}
	return (b.turn == sequence.Forward || b.turn == sequence.Reverse) && m.To != m.From && (m.To > m.From) != towards
}

// outward says that a pass runs from the shoulder to the tailstock.
func outward(m sequence.Carriage) bool { return m.To < m.From }

// runUp is the check that a pass starts far enough before the metal for all
// slack to be run out: three leads, or the carriage's slack where that is more. A pass
// out of a groove starts in its air, which [lathe.runOut] looks at.
func (b *lathe) runUp(m sequence.Carriage, k int) {
	start := b.layout.from[k]
	if k == 0 && len(b.work) > 0 {
		start = b.work[0].From
	}
	if outward(m) {
		if over := m.To + b.tool.width/2 - start; over > same {
			b.fault(InStep, "the pass ends %s before the tool is past the end of the thread", over)
		}
		return
	}
	need := max(3*b.job.Sections[k].Thread.Lead.Length(), b.carriage.dial.Slack)
	short := need - (start - m.From)
	if short > same {
		at := b.step
		if b.sections[k].passes > 0 && b.carriage.since != nil {
			at = b.carriage.since
		}
		b.faultAt(at, InStep, "the pass starts %s before the metal, %s short of what takes up the slack", start-m.From, short)
		b.spoiled[b.step.Section] = true
	}
}

// checkLead compares what the gears cut with what the thread wants; false when a
// fault was found.
func (b *lathe) checkLead(m sequence.Carriage, t *thread.Thread, k int) bool {
	if b.gears == nil {
		b.fault(Consistent, "no gears are fitted to cut %s", t)
		return false
	}
	if b.gears.Backward != t.LeftHand {
		hand := map[bool]string{true: "left", false: "right"}
		b.fault(ToSize, "the leadscrew is set for a %s-hand thread, %s is %s-hand", hand[b.gears.Backward], t, hand[t.LeftHand])
		return false
	}
	if m.PerRev != t.Lead && m.PerRev != b.gears.Lead {
		b.fault(Consistent, "a pass of %s a turn, but the gears cut %s", m.PerRev, b.gears.Lead)
	}
	q, err := b.gears.Lead.Over(t.Lead)
	if err != nil {
		b.fault(ToSize, "the lead of the gears, %s, is no lead for %s", b.gears.Lead, t)
		return false
	}
	// A lead error over the length a nut engages acts like a thicker thread,
	// by its cotangent: more than a third of the pitch diameter's tolerance is
	// too much (common practice).
	ppm := math.Abs(q.Float()-1) * 1e6
	l, err := t.Limits()
	if err != nil || ppm == 0 {
		return true
	}
	engaged := min(b.job.Sections[k].Length.Nominal, t.Nominal)
	fatter := calc.Millimetres(ppm * 1e-6 * engaged.Millimetres() / math.Tan((t.Angle / 2).Radians()))
	if fatter*3 > l.Pitch.Tolerance() {
		b.fault(ToSize, "the gears cut a lead of %s where %s wants %s: %.0f parts per million off, %s on the pitch diameter of a nut",
			b.gears.Lead, t, t.Lead, ppm, fatter)
		return false
	}
	return true
}

// runOut is the check that a thread has where to end: a groove deep and wide
// enough, the whole tool in it. A thread without an undercut may be cranked by
// hand to a stop inside its section. False when a fault was found.
func (b *lathe) runOut(m sequence.Carriage, k int, turned calc.Length) bool {
	s, h := b.job.Sections[k], &b.sections[k]
	half := b.tool.width / 2
	if s.Undercut == nil && b.turn == sequence.ByHand {
		if over := m.To + half - b.layout.from[k+1]; over > same {
			b.fault(WithinLimits, "the thread is cut %s past the end of its section", over)
			return false
		}
		return true
	}
	if s.Undercut == nil && b.led.clamped {
		return b.fadesOut(m, k)
	}
	root := turned - 2*h.window.Limit
	if b.led.clamped { // what of it lies at the end of the pass
		root += b.led.widens(m.To - half - b.gaugePlane(b.work, k))
	}
	end, ends, stops := m.To, "ends", "stops"
	if outward(m) {
		end, ends, stops = m.From, "starts", "starts"
	}
	from, to, deepest := b.groove(end, root)
	switch {
	case from >= to:
		b.fault(WithinLimits, "the thread "+ends+" at z %s, where the work is %s: a groove of %s or less is needed there first", end, deepest, root)
	case s.Undercut != nil && to-from < s.Undercut.Width.Min-same:
		b.fault(WithinLimits, "the groove at the end of the thread is %s wide, it must be %s", to-from, s.Undercut.Width.Min)
	case end+half-to > same:
		b.fault(WithinLimits, "the tool runs %s past the groove", end+half-to)
		b.remove([]edge{flat(to, end+half, b.x())})
	case from-(end-half) > same:
		b.fault(WithinLimits, "the tool "+stops+" %s before it is clear in the groove", from-(end-half))
	default:
		if !outward(m) {
			b.stops(m, to-from)
		}
		return true
	}
	return false
}

// groove is the stretch around z where the work is no thicker than a diameter;
// past the end of the work there is nothing in the way. Where there is none, the
// work's diameter at z comes back.
func (b *lathe) groove(z, diameter calc.Length) (from, to, found calc.Length) {
	low := func(q Piece) bool { return q.Left <= diameter && q.Right <= diameter }
	for i, q := range b.work {
		if z < q.From || z > q.To || !low(q) {
			continue
		}
		from, to = q.From, q.To
		for j := i - 1; j >= 0 && low(b.work[j]); j-- {
			from = b.work[j].From
		}
		for j := i + 1; j < len(b.work) && low(b.work[j]); j++ {
			to = b.work[j].To
		}
		return from, to, 0
	}
	if n := len(b.work); n == 0 || z > b.work[n-1].To || z < b.work[0].From {
		return -far, far, 0
	}
	return 0, 0, b.work.At(z)
}

// inStep is the check that this pass of a thread, of the section or bore of a name,
// follows the ones before it in their groove.
func (b *lathe) inStep(h *history, t *thread.Thread, name string) {
	if h.passes == 0 {
		h.grip, h.top, h.marks = b.grip.n, b.top.stands, b.grip.marks
		return
	}
	lead := t.Lead
	if b.gears != nil {
		lead = b.gears.Lead
	}
	if b.grip.n != h.grip {
		h.grip = b.grip.n
		apart := lead.Length()
		if b.grip.refound {
			apart = b.apart(h.marks, b.grip.marks, lead)
		}
		if apart != 0 {
			b.faultAt(b.grip.lost, InStep, "%s before the thread was finished: pass %d is out of step with the ones before, by %s or more",
				b.grip.how, h.passes+1, apart)
			b.spoiled[name] = true
		}
	}
	b.beside(h, t, lead)
}

// beside settles which of a thread's starts a pass cuts: the top slide stands a whole
// number of pitches from where the first was cut, give or take what makes the thread
// thicker, by its cotangent, than a third of the pitch diameter's tolerance (common
// practice). With one start it stands where it stood.
func (b *lathe) beside(h *history, t *thread.Thread, lead calc.Lead) {
	turn, pitch := lead.Length(), t.Pitch.Length()
	if turn <= 0 || pitch <= 0 {
		return
	}
	moved := ((b.top.stands-h.top)%turn + turn) % turn
	start := int((moved + pitch/2) / pitch)
	off := (moved - calc.Length(start)*pitch).Abs()
	h.start = start % max(1, t.Starts)
	least := 10 * same
	if t.Starts > 1 {
		if l, err := t.Limits(); err == nil {
			least = max(least, calc.Millimetres(l.Pitch.Tolerance().Millimetres()*math.Tan((t.Angle/2).Radians())/3))
		}
	}
	if off > least {
		b.fault(InStep, "the top slide was moved: this pass is %s beside the ones before", off)
		if t.Starts <= 1 {
			h.top = b.top.stands
		}
	}
}

// reach notes that the tip of a pass reached a diameter in the start it cuts.
func (h *history) reach(t *thread.Thread, x calc.Length, inside bool, by *sequence.Step) {
	if len(h.starts) == 0 {
		h.starts = make([]startCut, max(1, t.Starts))
	}
	s := &h.starts[h.start]
	if s.passes == 0 || x != s.root && (x > s.root) == inside {
		s.root, s.by = x, by
	}
	s.passes++
}

// cutThread marks the thread on the work where the tool is below the surface.
func (b *lathe) cutThread(m sequence.Carriage, k int, turned calc.Length) {
	h := &b.sections[k]
	x, path := b.atGauge(m, k), b.path(m)
	h.passes++
	h.tip = b.tool.Tip
	if h.cut == nil {
		h.cut = &Thread{}
		h.root, h.cutAt = x, b.step
	}
	if x < h.root {
		h.root, h.cutAt = x, b.step
	}
	h.reach(b.job.Sections[k].Thread, x, false, b.step)
	if b.job.Sections[k].RunOut != nil {
		b.noteEnd(m, k)
	}
	h.cut.root = h.root
	h.cut.Depth, h.cut.Passes = (turned-h.root)/2, h.passes
	h.cut.From, h.cut.To = min(m.From, m.To), max(m.From, m.To)
	if b.gears != nil {
		h.cut.Lead = b.gears.Lead
	}
	left := b.spare[:0]
	for _, q := range b.work {
		a, c := max(q.From, h.cut.From), min(q.To, h.cut.To)
		if a >= c || max(q.edge().at(a)-path.at(a), q.edge().at(c)-path.at(c)) <= 0 || q.Thread == h.cut {
			left = left.add(q)
			continue
		}
		mid := q.part(a, c)
		mid.Thread = h.cut
		left = left.add(q.part(q.From, a))
		left = left.add(mid)
		left = left.add(q.part(c, q.To))
	}
	b.spare, b.work = b.work, left
}

// returns is the check of a way back with the half-nuts shut.
func (b *lathe) returns(m sequence.Carriage) {
	if b.wrongWay(m) || b.turn == sequence.Stop {
		what := "only reverse or the hand crank brings it"
		if b.turn == sequence.Reverse {
			what = "only forward or the hand crank brings it"
		}
		b.fault(InStep, "the carriage is to go from %s to %s by the leadscrew with the spindle %s: %s", m.From, m.To, b.turn, what)
	}
	b.overruns(m)
	if b.pass == nil || !b.cross.known {
		return
	}
	out := (b.pass.ring - b.cross.ring()) / 2
	if turn := b.cross.dial.Travel; out > 0 && (out-out.Round(turn)).Abs() > same+b.cross.off.Abs() && b.cross.since != nil {
		b.faultAt(b.cross.since, ToolClear, "the handle was wound out %s, which is no whole number of turns of %s: the ring does not come back to its reading", out, turn)
	}
	b.pass = nil
}

// overruns is the check that a tool that comes back to a groove under power is clear
// of what stands behind it: it runs on by what the lathe takes to stop.
func (b *lathe) overruns(m sequence.Carriage) {
	if outward(m) || b.led.clamped || b.gears == nil || b.turn != sequence.Forward && b.turn != sequence.Reverse {
		return
	}
	on := cutting.Stop{Lead: b.gears.Lead, Delay: b.own.Delay, Coast: b.own.Coast}.Travel(b.rpm)
	b.clearOfWork(m.To, m.To+on, fmt.Sprintf("it runs on by up to %s past the groove", on))
	b.obstacles(b.x(), m.To, m.To+on)
}

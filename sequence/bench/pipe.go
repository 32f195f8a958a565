package bench

import (
	"math"

	"turncue/calc"
	"turncue/calc/thread"
	"turncue/sequence"
)

// led is the taper slide: clamped to the bed it leads the cross slide as the carriage
// goes along.
type led struct {
	clamped bool
	set     calc.Angle // its bar to the bed
	// shoe is the place along the bed that the cross slide has followed to. Towards the
	// chuck it is where the tool is; on the way back it stays behind by the slack.
	shoe  calc.Length
	known bool
	low   calc.Length
	high  calc.Length // how far the carriage has been since it was clamped
	found Profile     // the work as it was then
	end   calc.Length // z where the last cut on the cone ended
}

// widens is how much further out, on diameter, the tool stands after a way of the carriage.
func (l *led) widens(along calc.Length) calc.Length {
	return calc.Millimetres(2 * along.Millimetres() * math.Tan(l.set.Radians()))
}

func (b *lathe) taperSlide(m sequence.TaperSlide) {
	b.standing("setting the taper slide")
	if !b.sane(m.Travel, m.Rise) {
		return
	}
	own := b.own.TaperSlide
	if own == nil {
		b.fault(Consistent, "the lathe has no taper slide")
		return
	}
	if m.Angle <= 0 || m.Angle > own.Greatest {
		b.fault(WithinLimits, "the taper slide is set to %s, its most is %s", m.Angle, own.Greatest)
		return
	}
	switch {
	case own.ByTop:
		b.fault(Consistent, "the cross slide has no screw while the taper slide leads it")
	case b.led.clamped == m.Clamped:
		b.fault(Consistent, "the taper slide is clamped or freed, and it is so already")
	case m.Clamped && m.Travel == 0 && b.led.set != m.Angle:
		b.fault(Consistent, "the taper slide is clamped at %s, it was set to %s", m.Angle, b.led.set)
	case m.Travel > 0:
		if rise := calc.Millimetres(m.Travel.Millimetres() * math.Tan(m.Angle.Radians())); (rise - m.Rise).Abs() > same {
			b.fault(Consistent, "over %s of the carriage at %s the cross slide goes %s, the plan says %s", m.Travel, m.Angle, rise, m.Rise)
		}
	}
	if b.nut {
		b.fault(InStep, "the taper slide is clamped or freed with the half-nuts shut")
	}
	b.led = led{clamped: m.Clamped, set: m.Angle, found: append(Profile{}, b.work...)}
	b.cross.off, b.cross.known, b.cross.zeroed, b.cross.way, b.cross.lag = 0, false, false, "", 0
	b.touched, b.crashed = false, false
	b.setting++
}

// path is what the tip travels along in a move of the carriage.
func (b *lathe) path(m sequence.Carriage) edge {
	x, other := b.x(), b.x()
	if b.led.clamped {
		other += b.led.widens(m.To - m.From)
	}
	if m.To < m.From {
		return edge{m.To, m.From, other, x}
	}
	return edge{m.From, m.To, x, other}
}

// leads moves the cross slide as the taper slide does while the carriage went along, and
// its shoe.
func (b *lathe) leads(m sequence.Carriage) {
	if !b.led.clamped {
		if m.X != 0 {
			b.fault(Consistent, "the tool is to come to diameter %s along the bed, and no taper slide leads it", m.X)
		}
		return
	}
	l := &b.led
	if !l.known { // where its slack lies is not known before it has gone one way
		l.known, l.low, l.high = true, m.From, m.From
		l.shoe = m.From + b.own.TaperSlide.Slack
	}
	l.shoe = min(max(l.shoe, m.To), m.To+b.own.TaperSlide.Slack)
	l.low, l.high = min(l.low, m.From, m.To), max(l.high, m.From, m.To)
	if went := l.high - l.low; went > b.own.TaperSlide.Stroke {
		b.fault(WithinLimits, "the carriage goes %s while the taper slide leads over %s", went, b.own.TaperSlide.Stroke)
	}
	if !b.cross.known {
		return
	}
	by := l.widens(m.To - m.From)
	b.cross.stands -= by
	b.cross.zero -= by
	if b.pass != nil {
		b.pass.ring -= by
	}
	if (b.x()-m.X).Abs() > 2*same+b.cross.off.Abs() && (b.cross.zeroed || m.X != 0) {
		b.fault(Consistent, "led by the taper slide the tool comes to diameter %s, the plan says %s", b.x(), m.X)
	}
}

// followsNow is the check that the slack of the taper slide is taken up where the tool is.
func (b *lathe) followsNow(what string) {
	if b.led.clamped && (!b.led.known || b.led.shoe-b.z() > same) {
		b.fault(FromOneSide, "%s with the slack of the taper slide not taken up: the carriage has to come %s more towards the chuck first", what, b.led.shoe-b.z())
	}
}

// followsBefore is the check that it is taken up where a cut meets the work.
func (b *lathe) followsBefore(m sequence.Carriage, what string) {
	if !b.led.clamped || len(b.work) == 0 {
		return
	}
	if short := b.led.shoe - max(b.work[0].From, m.From); !b.led.known || short > same {
		at := b.step
		if b.carriage.since != nil {
			at = b.carriage.since
		}
		b.faultAt(at, FromOneSide, "%s starts %s before the metal, %s short of what takes up the slack of the taper slide", what, b.work[0].From-m.From, short)
		b.spoiled[b.step.Section] = true
	}
}

// turnLed is a cut along the work led by the taper slide.
func (b *lathe) turnLed(m sequence.Carriage) {
	k := b.ownSection()
	switch {
	case k < 0 || !b.job.Sections[k].Tapered():
		b.fault(Consistent, "a cone is turned in no section that has one")
		return
	case !b.cross.known:
		b.fault(Consistent, "a cut with a tool whose diameter is not known: it was never zeroed")
		return
	case b.tool == nil || b.tool.Kind != sequence.TurningTool || m.To < m.From:
		b.fault(Consistent, "a cone is cut from %s to %s, and not with a turning tool towards the chuck", m.From, m.To)
		return
	}
	b.followsBefore(m, "the cut along the cone")
	near := b.nearSmallEnd(k)
	before := b.work.At(near)
	line := b.path(m)
	b.take([]edge{line}, "turning the cone")
	b.led.end = line.to
	if after := b.work.At(near); after < before && after > 0 {
		b.cones[k].note(before-after, b.setting, b.step)
	}
}

// redrawLed gives the cone the diameter that was read at its small end, as far as it takes
// off what was there when the taper slide was clamped.
func (b *lathe) redrawLed(cone Piece, got calc.Length) {
	to := max(b.led.end, cone.From+mm)
	b.work, _ = b.led.found.cut(nil, edge{cone.From, to, got, got + b.led.widens(to-cone.From)}, cone.Step)
}

// clearAlong is the check of rule 1 for a way that the taper slide leads.
func (b *lathe) clearAlong(m sequence.Carriage) {
	if !b.placed() || b.crashed {
		return
	}
	line := b.path(m)
	edges := []edge{line, flat(-far, line.from, line.left)} // a turning tool is behind its tip
	if b.tool.Kind == sequence.ThreadingTool {
		half := b.tool.width / 2
		edges = []edge{{line.from + half, line.to + half, line.left, line.right}, flat(line.from-half, line.from+half, line.left)}
	}
	for _, e := range edges {
		room, ok := b.work.room(e)
		if !ok || room >= 2*margin {
			continue
		}
		b.crashed = true
		b.fault(ToolClear, "the carriage goes from %s to %s with the tool clear of the work by %s, it needs %s", m.From, m.To, room/2, margin)
		return
	}
}

// tapers is the check that the tool goes along as the thread tapers.
func (b *lathe) tapers(m sequence.Carriage, t *thread.Thread) {
	if !b.led.clamped {
		if t.Taper != (calc.Ratio{}) {
			b.fault(ToSize, "%s is cut straight: the taper slide is free", t)
		}
		return
	}
	b.followsBefore(m, "the pass")
	over := 100 * mm
	if off := b.led.widens(over) - over.Scale(t.Taper); off.Abs() > 2*same {
		b.fault(ToSize, "%s grows by %s over %s, the taper slide leads the tool out by %s", t, over.Scale(t.Taper), over, b.led.widens(over))
	}
}

// gaugePlane is where the gauge plane of a taper thread lies, from its small end.
func (b *lathe) gaugePlane(p Profile, k int) calc.Length {
	s, err := b.job.Sections[k].Thread.TaperSizes()
	if err != nil || len(p) == 0 {
		return 0
	}
	return p[0].From + s.Gauge
}

// crest is the diameter over the crests of a section's thread: on a taper at its gauge
// plane.
func (b *lathe) crest(p Profile, k int) calc.Length {
	if !b.job.Sections[k].Tapered() {
		return p.At(b.layout.body[k])
	}
	return p.At(b.gaugePlane(p, k))
}

// atGauge is the diameter at which the tip of a pass stands where the size of the thread
// is judged.
func (b *lathe) atGauge(m sequence.Carriage, k int) calc.Length {
	if !b.led.clamped || !b.job.Sections[k].Tapered() {
		return b.x()
	}
	return b.x() + b.led.widens(b.gaugePlane(b.work, k)-m.From)
}

// fadesOut is the check that a taper thread without a groove ends in air: the tip has come
// out of the cylinder, and behind it the tool has room to stop before it meets anything
// thicker.
func (b *lathe) fadesOut(m sequence.Carriage, k int) bool {
	path, half := b.path(m), b.tool.width/2
	h := &b.sections[k]
	deeper := (b.atGauge(m, k) - (b.crest(b.work, k) - 2*h.window.Limit)) // until its last pass
	if room, ok := b.work.room(edge{m.To - same, m.To + same, path.right - deeper, path.right - deeper}); ok && room < -same {
		b.fault(WithinLimits, "the pass ends %s from the end with the tool %s deep in the work", m.To, -room/2)
		return false
	}
	thicker := calc.Length(far)
	for _, q := range b.work {
		if q.From >= m.To && q.Left > path.right-deeper {
			thicker = min(thicker, q.From)
		}
	}
	thicker = min(thicker, b.jaws()-jawRoom)
	if over := m.To + half - thicker; over > same {
		b.fault(WithinLimits, "the tool runs %s into what is thicker behind the thread", over)
		return false
	}
	b.stops(m, thicker-m.To+half)
	return true
}

// believeRing gives a taper thread the size at which the ring gauge went on so far: by so
// much less than its gauge length the thread is thicker, by its taper.
func (b *lathe) believeRing(k int, got calc.Length) {
	t, h := b.job.Sections[k].Thread, &b.sections[k]
	if !b.job.Sections[k].Tapered() || h.cut == nil || h.depthErr != nil {
		b.fault(Consistent, "the ring gauge is tried where no taper thread is cut")
		return
	}
	sizes, err := t.TaperSizes()
	if err != nil {
		return
	}
	// The pitch diameter grows and falls with the root.
	full := b.crest(b.work, k) - 2*h.window.Aim
	root := full + (sizes.Gauge - got).Scale(t.Taper)
	by := root - h.root
	h.root, h.cut.root = root, root
	// The ring has passed root and crest too: from now on its flanks alone are judged.
	h.window.Start = min(h.window.Start, h.window.Aim-t.Turn().Scale(t.Taper)/2)
	for i := range h.starts {
		h.starts[i].root += by
	}
	b.cross.correct(-by)
}

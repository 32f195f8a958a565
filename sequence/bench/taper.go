package bench

import (
	"math"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// swung is the top slide set to an angle.
type swung struct {
	// narrows says which way it is swung: the tool comes to smaller diameters towards the
	// chuck, as in a bore, not to larger ones.
	narrows bool

	set   calc.Angle // as told; zero: parallel to the bed
	out   calc.Angle // how much more it is in truth, as two readings of a cone showed
	low   calc.Length
	high  calc.Length // how far the slide has been, since it was set
	end   calc.Length // z where the last cut on the cone ended
	found Profile     // the work as it was when the slide was set
	bare  Profile     // and before it was swung at all
}

// half is the angle the tool moves at.
func (s *swung) half() float64 { return (s.set + s.out).Radians() }

// widens is how much larger a cone is at a distance from its small end.
func (s *swung) widens(along calc.Length) calc.Length {
	return calc.Millimetres(2 * along.Millimetres() * math.Tan(s.half()))
}

// steepest is the most a top slide is swivelled for a cone.
const steepest = 60 * calc.Degree

func (b *lathe) setSwivel(m sequence.Swivel) {
	b.standing("swivelling the top slide")
	if !b.sane(m.Travel, m.Rise) {
		return
	}
	if m.Angle < 0 || m.Angle > steepest {
		b.fault(Consistent, "the top slide is swivelled to %s", m.Angle)
		return
	}
	if rise := calc.Millimetres(m.Travel.Millimetres() * math.Sin(m.Angle.Radians())); (rise - m.Rise).Abs() > same {
		b.fault(Consistent, "over %s at %s the indicator changes by %s, the plan says %s", m.Travel, m.Angle, rise, m.Rise)
	}
	straight := b.swing.set == 0
	b.swing.set, b.swing.narrows = m.Angle, m.Narrows
	if m.Angle == 0 {
		b.swing = swung{}
	}
	b.cross.off, b.carriage.off = 0, 0
	b.cross.known, b.carriage.known = false, false
	b.cross.zeroed, b.top.zeroed, b.carriage.zeroed = false, false, false
	b.cross.way, b.top.way, b.cross.lag, b.top.lag = "", "", 0, 0
	b.touched, b.against, b.crashed = false, false, false
	b.swing.low, b.swing.high = b.top.stands, b.top.stands
	b.swing.found = append(Profile{}, b.work...)
	if m.Narrows {
		b.swing.found = append(Profile{}, b.hole...)
	}
	if straight {
		b.swing.bare = b.swing.found
	}
	b.setting++
}

// topGoes is the check that the top slide has the stroke for where it was since it was
// swivelled or the tool was changed.
func (b *lathe) topGoes() {
	b.swing.low, b.swing.high = min(b.swing.low, b.top.stands), max(b.swing.high, b.top.stands)
	if went := b.swing.high - b.swing.low; b.own.TopStroke > 0 && went > b.own.TopStroke {
		b.fault(WithinLimits, "the top slide is to go %s from end to end, it has %s", went, b.own.TopStroke)
	}
}

// slope is a movement of the swivelled top slide: the tool goes along and across at
// once.
func (b *lathe) slope(m sequence.Shift) {
	if !b.sane(m.X, m.Z) {
		return
	}
	b.touched = false
	if m.Angle != b.swing.set {
		b.fault(Consistent, "the top slide stands at %s, the plan moves it as if at %s", b.swing.set, m.Angle)
		return
	}
	if !b.carriage.known {
		b.fault(Consistent, "the swivelled top slide is moved before the tool was touched on the end")
		return
	}
	if m.Narrows != b.swing.narrows || m.Narrows != b.inside() {
		b.fault(Consistent, "the top slide is moved as if its cone %s towards the chuck; it is swung so that it %s, and the tool works %s", grows(m.Narrows), grows(b.swing.narrows), side(b.inside()))
		return
	}
	from, x := b.z(), b.x()
	along := m.Z - from
	b.turnHandle(&b.top, m, b.top.stands+calc.Millimetres(along.Millimetres()/math.Cos(b.swing.half())), b.own.TopClockwiseIn, "top slide")
	b.carriage.stands = m.Z - b.top.stands
	b.topGoes()
	b.pushes(along)
	if !b.placed() {
		b.obstacles(b.x(), m.Z, m.Z)
		return
	}
	by := b.swing.widens(along)
	if b.swing.narrows {
		by = -by
	}
	b.cross.stands -= by
	b.cross.zero -= by
	if (b.x() - m.X).Abs() > 2*same+b.cross.off.Abs() {
		b.fault(Consistent, "on the slope the tool comes to diameter %s, the plan says %s", b.x(), m.X)
	}
	if b.inside() {
		b.slopeInside(m, x, from)
		return
	}
	b.obstacles(min(x, b.x()), min(from, m.Z), max(from, m.Z))
	line := edge{from, m.Z, x, b.x()}
	if along < 0 {
		line = edge{m.Z, from, b.x(), x}
	}
	if !m.PerRev.IsZero() {
		b.turnCone(m, line)
		return
	}
	for _, e := range []edge{line, flat(-far, line.from, line.left)} {
		if room, ok := b.work.room(e); ok && room < 2*margin && !b.crashed {
			b.crashed = true
			b.fault(ToolClear, "the top slide goes %s with the tool clear of the work by %s, it needs %s", m.Approach, room/2, margin)
		}
	}
}

// turnCone is a cut along the slope.
func (b *lathe) turnCone(m sequence.Shift, line edge) {
	k := b.ownSection()
	if k < 0 || b.job.Sections[k].Taper == nil {
		b.fault(Consistent, "a cone is turned in no section that has one")
		return
	}
	if b.tool.Kind != sequence.TurningTool || m.Approach != sequence.In {
		b.fault(Consistent, "a cone is cut by a %s tool going %s", b.tool.Kind, m.Approach)
		return
	}
	if end, ok := b.coneEnd(b.work, k); ok && line.to > end+same && line.right < b.work.At(line.to)-same {
		b.fault(WithinLimits, "the cut along the cone ends at %s, %s past the end of its section", line.to, line.to-end)
	}
	near := b.nearSmallEnd(k)
	before := b.work.At(near)
	b.take([]edge{line}, "turning the cone")
	b.swing.end = line.to
	if after := b.work.At(near); after < before && after > 0 {
		b.cones[k].note(before-after, b.setting, b.step)
	}
	b.clock(line.to-line.from, m.PerRev, true)
}

// nearSmallEnd is where the cuts of a cone are watched.
func (b *lathe) nearSmallEnd(k int) calc.Length { return b.layout.from[k] + mm/10 }

// smallEnd is the cone at the free end, which may lie there in several pieces, and how
// many they are; none where a cylinder or nothing is behind it.
func (p Profile) smallEnd() (cone Piece, n int) {
	for n < len(p)-1 && p[n].Left < p[n].Right && p[n].To == p[n+1].From {
		n++
	}
	if n == 0 || p[n].Left != p[n].Right {
		return cone, 0
	}
	cone = p[0]
	cone.To, cone.Right = p[n-1].To, p[n-1].Right
	return cone, n
}

// redraw gives the cone of a profile, of the work or of the hole, other diameters at the
// end and further on, as far as they take off what was there when the top slide was set: that
// stays as it was, unless it is thinner than what was read now, at a distance read.
func (b *lathe) redraw(p Profile, left, right, apart, read calc.Length) Profile {
	cone, n := p.smallEnd()
	if n == 0 || apart <= 0 {
		return p
	}
	before := b.swing.found
	if before.right(cone.From) < left || read > 0 && before.At(cone.From+read) < right {
		before = b.swing.bare
	}
	e := edge{from: cone.From, to: max(b.swing.end, cone.From+mm), left: left}
	e.right = left + calc.Millimetres((right-left).Millimetres()/apart.Millimetres()*(e.to-e.from).Millimetres())
	p, _ = before.cut(nil, e, cone.Step)
	return p
}

// believeSmall gives the cone the diameter that was read at its small end, and the
// cross slide the difference.
func (b *lathe) believeSmall(k int, got calc.Length) {
	cone, n := b.work.smallEnd()
	if n == 0 {
		return
	}
	by := got - cone.Left
	if b.led.clamped {
		b.redrawLed(cone, got)
	} else {
		b.work = b.redraw(b.work, got, got+b.swing.widens(100*mm), 100*mm, 0)
	}
	b.cross.correct(-by)
	b.cones[k].corrected = by.Abs()
}

// believeAlong gives the cone the diameter that was read at a distance from its small
// end: the top slide stands at another angle than it was set to.
func (b *lathe) believeAlong(at, got calc.Length) {
	cone, n := b.work.smallEnd()
	if n == 0 || at <= 0 || got <= cone.Left || b.swing.set == 0 {
		return
	}
	small := cone.Left
	b.work = b.redraw(b.work, small, got, at, at)
	b.swungBy(got-small, at)
}

// swungBy takes the top slide to stand at the angle of a cone whose diameter changes by so
// much along a length: the tool, where it is now, stands elsewhere than was thought.
func (b *lathe) swungBy(change, along calc.Length) {
	z := b.z()
	was := b.swing.widens(z)
	b.swing.out = calc.Radians(math.Atan(change.Millimetres()/2/along.Millimetres())) - b.swing.set
	by := b.swing.widens(z) - was
	if b.swing.narrows {
		by = -by
	}
	b.cross.stands -= by
	b.cross.zero -= by
}

// coneEnd is where a tapered section ends: at the last step of the work in front of
// the middle of the next section.
func (b *lathe) coneEnd(p Profile, k int) (calc.Length, bool) {
	limit, end, ok := calc.Length(far), calc.Length(0), false
	if k+1 < len(b.job.Sections) {
		limit = b.layout.body[k+1]
	}
	for i := 1; i < len(p); i++ {
		q, before := p[i], p[i-1]
		edge := q.Left < q.Right && before.Left == before.Right // a chamfer as high as the step, behind a cylinder
		if q.From < limit && (q.Left > before.Right+same || edge) {
			end, ok = q.From, true
		}
	}
	return end, ok
}

// taper judges the cone of a section: both ends and the angle.
func (j judge) taper(k int) {
	t := j.job.Sections[k].Taper
	if t == nil {
		return
	}
	from, ok := j.freeEnd(j.p, k)
	q := j.p.piece(from + mm/10)
	if !ok || q == nil {
		return
	}
	j.size(k, "small end", j.p.right(from), t.Small, q.Step)
	end, _ := j.shoulder(j.p, k)
	got, want, n := slopes(j.p, from, end, t)
	j.size(k, "taper in 100 mm", got, want, max(n, q.Step))
}

// slopes is how much the diameter of a cone changes over 100 mm, between two places of a
// profile: where its pieces differ that which is furthest off. It is the angle as a length.
func slopes(p Profile, from, end calc.Length, t *job.Taper) (got calc.Length, want fit.Limits, n int) {
	over := func(a float64) calc.Length { return calc.Millimetres(200 * math.Tan(a)) }
	half := t.By.HalfAngle()
	want = fit.Limits{Min: over((half - t.Half).Radians()) - um, Max: over((half + t.Half).Radians()) + um}
	for i := 0; i < len(p); i++ {
		q := p[i]
		for i+1 < len(p) && p[i+1].Step == q.Step && p[i+1].From == q.To { // one cut may lie in several pieces
			i++
			q.To, q.Right = p[i].To, p[i].Right
		}
		if q.From < from || q.To > end || q.To-q.From < mm || q.Left == q.Right {
			continue // too short to tell an angle by, or what is left of the cylinder
		}
		if a := calc.Millimetres(100 * (q.Right - q.Left).Millimetres() / (q.To - q.From).Millimetres()); got == 0 || want.Over(a) != 0 {
			got, n = a, q.Step
		}
	}
	return got, want, n
}

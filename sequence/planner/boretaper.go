package planner

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// What a cone in a bore keeps to (common practice).
const (
	// coneDepth is how close the depth of a cone comes by the end that was touched and the
	// top slide's ring, either way.
	coneDepth = calc.Millimetre / 10
	// coneEnd is how far its end may come to lie elsewhere, either way, where the angle
	// turns out to be another one.
	coneEnd = 50 * calc.Micrometre
	// beyondHole is how far a pass goes on behind the place where it meets the hole.
	beyondHole = calc.Millimetre / 2
)

// coned is the bore with a cone; nil for none.
func (b *build) coned() *cavity {
	if len(b.cavities) > 0 && b.cavities[0].bore.Taper != nil {
		return &b.cavities[0]
	}
	return nil
}

// coneEnds is how long a cone in a bore is, and where the passes along it end.
func (b *build) coneEnds(c *cavity) (long, to calc.Length) {
	if c.bore.Through {
		for i := range b.job.Sections {
			long += b.job.Sections[i].Length.Nominal
		}
		return long, b.throughEnd()
	}
	return c.bore.Depth.Nominal, c.bore.Depth.Max - c.bore.Depth.Tolerance()/4
}

// checkBoreTaper refuses a cone in a bore that the top slide does not reach over, that is
// finer than the rings can be set, or whose angle nothing would tell.
func (b *build) checkBoreTaper() {
	c := b.coned()
	if c == nil {
		return
	}
	d, t := c.bore, c.bore.Taper
	half := t.By.HalfAngle()
	long, to := b.coneEnds(c)
	front := b.lengthOfTurns(b.turnsInFront())
	need := (calc.Millimetres((to+front).Millimetres()/math.Cos(half.Radians())) + b.lathe.Top.Slack + 2*calc.Millimetre).Ceil(calc.Millimetre)
	switch stroke := b.lathe.TopStroke; {
	case stroke == 0:
		b.refuseAt(d.Pos, fmt.Sprintf("measure how far the top slide goes from end to end and write it in %s below [top_slide], such as stroke = %q", b.lathe.Source.Path, need.Ceil(5*calc.Millimetre)),
			"the cone of %s needs %s of the top slide, and the lathe file does not say how far it goes", d.Name, b.show(need))
	case stroke < need:
		b.refuseAt(d.Pos, "make the cone less deep, or ream it with a taper reamer", "the cone of %s needs %s of the top slide, which goes %s", d.Name, b.show(need), b.show(stroke))
	}
	if line := b.cross.dial.Division(); d.Diameter.Tolerance() < line {
		b.refuseAt(d.Pos, "widen the tolerance of the mouth", "a mouth of %s to %s is finer than the cross-slide ring can be set: half a division moves the diameter by %s",
			b.show(d.Diameter.Min), b.show(d.Diameter.Max), b.show(line))
	}
	if least := max(2*coneDepth, 3*b.top.dial.Division()); !d.Through && d.Depth.Tolerance() < least {
		b.refuseAt(d.Pos, fmt.Sprintf("allow %s or more between its limits", b.show(least)),
			"a cone %s to %s deep: its depth comes from the end as it was touched and the top-slide ring", b.show(d.Depth.Min), b.show(d.Depth.Max))
	}
	if t.Mates && long < leastApart+2*calc.Millimetre {
		b.refuseAt(d.Pos, fmt.Sprintf("make it %s deep or more, or write its two diameters: diameter and small", b.show(leastApart+2*calc.Millimetre)),
			"%s, %s deep: two diameters so close together do not tell its angle, and it has to fit", t.Name, b.show(long))
	}
}

// boreCone bores the cone of the first bore with the top slide swivelled.
func (b *build) boreCone() {
	h := b.coned()
	if h == nil || len(b.faults) > 0 {
		return
	}
	tool := *b.made.bar
	b.hole, b.section = h.bore, nil
	b.pass, b.of = 0, 0
	b.op = sequence.OpBore
	b.cross.inside = true
	b.fitBar(tool)
	b.op = sequence.OpTaper
	long, to := b.coneEnds(h)
	c := &cone{hole: h, taper: h.bore.Taper, long: long, to: to, stock: -b.made.hole, tool: tool, half: h.bore.Taper.By.HalfAngle(), last: -b.made.hole, far: -b.made.hole}
	b.swivel(c, c.half)
	b.touchCone(c)
	b.turnCone(c)
	b.pass, b.of = 0, 0
	if len(b.faults) == 0 {
		h.size = c.size(c.last)
		b.endCone(c)
	}
	b.cross.inside = false
	b.hole = nil
}

// touchInside lays the tip on the wall of the hole, as far in as the way there keeps clear
// of the edge.
func (b *build) touchInside(c *cone, again string) {
	b.cross.last = sequence.Out
	b.x = 0
	back := b.slope(c, c.start, sequence.Out, calc.Lead{})
	clear := calc.Mid(b.made.hole, thick(&c.tool)) // on the way in, at the wall
	room := (b.made.hole-clear)/2 - 3*margin/2
	deep := min(b.touchAt(), calc.Millimetres(room.Millimetres()/math.Tan(c.half.Radians())))
	at := max(c.ring.dial.SnapIn(min(b.onSlide(c, deep), c.stop)), c.ring.dial.Division())
	enter := b.cross.enter(clear + change(c.half, b.alongWork(c, at)-b.z))
	b.x = enter.X
	in := b.slope(c, at, sequence.In, calc.Lead{})
	on := b.made.hole
	if c.n > 1 {
		on = c.size(c.last + change(c.worked, b.z))
	}
	b.add("taper/touch"+again, sequence.Step{
		Opening: sequence.Cue{sequence.WordTouching}, Moves: []sequence.Move{back, enter, in, b.cross.set(on, sequence.OnBore)},
		Closing: sequence.Cue{sequence.WordOtherSide}, Hand: hand("touch_off"), Cautions: []sequence.Word{sequence.WordNoFinger},
		Why: fmt.Sprintf("A light touch on the wall, %s from the end: the cross-slide ring now counts from %s there.", b.show(b.z), b.show(on)),
	})
	b.x = on
	// Clear of the edge too, on the way back: the slide goes on towards the person.
	out := b.cross.clearOf(on - 4*margin - change(c.half, max(0, b.z)))
	b.x = out.X
	b.add("taper/clear"+again, sequence.Step{
		Moves: append([]sequence.Move{out}, b.frontOf(c)...), Hand: hand("dial_set"), Why: "Away from the wall, then in front of the work for the next cut.",
	})
}

// coneStop is where on the top-slide ring a pass ends that leaves a size at the mouth: a
// little behind the place where it meets the hole, for further in its bar would come to the
// wall opposite.
func (b *build) coneStop(c *cone, size calc.Length) calc.Length {
	meets := calc.Millimetres((c.stock - size).Millimetres() / 2 / math.Tan(c.half.Radians()))
	return min(c.stop, c.ring.dial.SnapIn(b.onSlide(c, meets+beyondHole)))
}

// mouthBand is what the mouth may be, as sizes, for both ends of the cone to be inside their
// limits at the angle it has.
func (b *build) mouthBand(c *cone) (low, high calc.Length) {
	end := b.alongWork(c, c.stop)
	near, deep := end-coneEnd, end+coneEnd // the small end, wherever it comes to lie
	if c.hole.bore.Through {
		near, deep = 0, 0
		for i := range b.job.Sections {
			near += b.job.Sections[i].Length.Min
			deep += b.job.Sections[i].Length.Max
		}
	}
	mouth, small := c.hole.bore.Diameter, c.taper.Small
	return max(-mouth.Max, -small.Max-change(c.half, near)), min(-mouth.Min, -small.Min-change(c.half, deep))
}

// aimInside settles what the mouth is bored to: the middle of what keeps both ends inside
// their limits.
func (b *build) aimInside(c *cone) {
	low, high := b.mouthBand(c)
	room := (high - low) / 4
	if low > high || 2*room < b.cross.dial.Division() {
		b.refuseAt(c.pos(), "widen the tolerance of either end", "a mouth of %s or less keeps the small end inside its limits, and it has to be %s at least", b.show(-low), b.show(-high))
	}
	c.low, c.high = low, high
	c.aim = min(calc.Mid(low, high), b.clean(c))
}

// acrossCone is what a diameter in a cone is measured with; tolerance zero where any step
// will do.
func (b *build) acrossCone(c *cone, what string, size, tolerance calc.Length) (with string, division calc.Length) {
	kinds, other := []string{job.KindTelescopic, job.KindInsideMic}, job.KindSmallHole
	if size < leastTelescopic {
		kinds[0], other = other, kinds[0]
	}
	if b.lathe.Finest(size, other) != nil { // one that reaches a little further than usual
		kinds = append(kinds, other)
	}
	return b.instrument(asked{c.pos(), what, size, tolerance, kinds}, boreGauge(size), b.readingDivision())
}

// behindCone makes the hole behind a cone: it was drilled before, and is reamed now.
func (b *build) behindCone() {
	c := &b.cavities[len(b.cavities)-1]
	switch c.bore.By {
	case job.ByDrill:
		b.hole = c.bore
		b.checkDrilled(c)
		b.hole = nil
	case job.ByReam:
		b.reamBehind(c)
	}
	b.pass, b.of = 0, 0
}

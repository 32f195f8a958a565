package bench

import (
	"turncue/calc"
	"turncue/sequence"
)

// sliver is a stretch along the work too short to be a cut.
const sliver = 50 * um

// grows says which way a cone goes.
func grows(narrows bool) string {
	if narrows {
		return "gets narrower"
	}
	return "gets wider"
}

// inFront gives a profile from a place on.
func (p Profile) inFront(from calc.Length) (rest Profile) {
	for _, q := range p {
		if q.To > from {
			rest = append(rest, q.part(max(q.From, from), q.To))
		}
	}
	return rest
}

// slopeInside is a movement of the swivelled top slide in a bore, from where the tip stood.
func (b *lathe) slopeInside(m sequence.Shift, x, from calc.Length) {
	line := edge{from, m.Z, full - x, full - b.x()}
	if m.Z < from {
		line = edge{m.Z, from, full - b.x(), full - x}
	}
	if !m.PerRev.IsZero() {
		b.boreCone(m, line)
		return
	}
	for _, e := range []edge{line, flat(-far, line.from, line.left)} {
		if room, ok := b.roomInside(e); ok && room < 2*margin && !b.crashed {
			b.crashed = true
			b.fault(ToolClear, "the top slide goes %s with the tool clear of the wall of the bore by %s, it needs %s", m.Approach, room/2, margin)
		}
	}
	b.barFits(m.Z, margin)
}

// boreCone is a cut along the cone of a bore.
func (b *lathe) boreCone(m sequence.Shift, line edge) {
	const doing = "boring the cone"
	k := b.ownBore()
	if k < 0 || b.bores[k].Taper == nil {
		b.fault(Consistent, "a cone is bored in no bore that has one")
		return
	}
	if b.tool.Kind != sequence.BoringTool || m.Approach != sequence.In {
		b.fault(Consistent, "a cone is bored by a %s going %s", b.tool.Kind, m.Approach)
		return
	}
	if past := line.to - b.bores[k].past; past > same && full-line.right > b.boreAt(line.to)+same {
		b.fault(WithinLimits, "the cut along the cone ends at %s, %s past the end of its bore", line.to, past)
		b.spoiled[b.bores[k].Name] = true
	}
	b.cutting(doing)
	b.fromOneSide(doing)
	cut := line // where a pass ends is known to no more than this
	cut.to, cut.right = line.to-sliver, line.at(line.to-sliver)
	c := b.bitesInside([]edge{cut})
	c.wide = full - line.at(max(c.from, line.from))
	b.bears(c, true, doing)
	b.barFits(line.to, 0)
	b.enlarge([]edge{line}, true)
	b.swing.end = line.to
	b.clock(line.to-line.from, m.PerRev, true)
}

// mouthOf is the cone at the mouth of the hole, as a profile of it.
func (b *lathe) mouthOf() (p Profile, cone Piece, ok bool) {
	if len(b.work) == 0 {
		return nil, cone, false
	}
	p = b.hole.inFront(b.work[0].From)
	cone, n := p.smallEnd()
	return p, cone, n > 0
}

// redrawHole is [lathe.redraw] of the hole.
func (b *lathe) redrawHole(p Profile, mouth, further, apart, read calc.Length) {
	found, bare := b.swing.found, b.swing.bare
	b.swing.found, b.swing.bare = found.inFront(b.work[0].From), bare.inFront(b.work[0].From)
	drawn := b.redraw(p, full-mouth, full-further, apart, read)
	b.swing.found, b.swing.bare = found, bare
	front := b.hole[:0:0]
	for _, q := range b.hole {
		if q.From < b.work[0].From {
			front = append(front, q.part(q.From, min(q.To, b.work[0].From)))
		}
	}
	b.hole = append(front, drawn...)
}

// believeMouth gives the cone in a bore the diameter that was read at its mouth, and the
// cross slide the difference.
func (b *lathe) believeMouth(k int, got calc.Length) {
	p, cone, ok := b.mouthOf()
	if !ok {
		return
	}
	by := got - (full - cone.Left)
	b.redrawHole(p, got, got-b.swing.widens(100*mm), 100*mm, 0)
	b.cross.correct(-by)
	b.boreCuts[k].corrected = by.Abs()
}

// believeWithin gives the cone in a bore the diameter that was read at a depth: the top
// slide stands at another angle than it was set to.
func (b *lathe) believeWithin(at, got calc.Length) {
	p, cone, ok := b.mouthOf()
	mouth := full - cone.Left
	if !ok || at <= 0 || got >= mouth || b.swing.set == 0 {
		return
	}
	b.redrawHole(p, mouth, got, at, at)
	b.swungBy(mouth-got, at)
}

// coneIn judges the cone of a bore: its mouth, its small end, its depth and the angle.
func (j judge) coneIn(k int) {
	z := j.bores[k]
	if len(j.p) == 0 {
		return
	}
	front, end := j.p[0].From, j.p[len(j.p)-1].To
	p := j.hole.inFront(front)
	n := 0
	if len(p) > 0 {
		n = p[0].Step
	}
	j.boreSize(k, "mouth", full-j.hole.right(front), z.Diameter, n)
	if !z.Through {
		if end = j.coneFloor(front); end <= front {
			j.boreSize(k, "depth", 0, z.Depth, n)
			return
		}
		j.boreSize(k, "depth", end-front, z.Depth, n)
	}
	got, want, by := slopes(p.upTo(end), front, end, z.Taper)
	j.boreSize(k, "small end", full-j.hole.left(end), z.Taper.Small, n)
	j.boreSize(k, "taper in 100 mm", got, want, max(by, n))
	j.equalCuts(z.Name, &j.boreCuts[k])
}

// upTo gives a profile up to a place.
func (p Profile) upTo(to calc.Length) (rest Profile) {
	for _, q := range p {
		if q.From < to {
			rest = append(rest, q.part(q.From, min(q.To, to)))
		}
	}
	return rest
}

// coneFloor is where the cone at the mouth ends: at its step to the hole behind, or where it
// meets that.
func (b *lathe) coneFloor(front calc.Length) (end calc.Length) {
	end = front
	for _, q := range b.hole.inFront(front) {
		if q.From > end || q.Right <= q.Left || end > front && q.Left > b.hole.left(end)+same {
			break // a gap, a cylinder, or a step inwards
		}
		end = q.To
	}
	return end
}

package bench

import (
	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// widestLand is the middle of the longest stretch of a grooved section that keeps its
// diameter.
func widestLand(s *job.Section, at, end calc.Length) calc.Length {
	var middle, wide calc.Length
	from := at + s.Leg()
	see := func(to calc.Length) {
		if to-from > wide {
			middle, wide = calc.Mid(from, to), to-from
		}
	}
	for i := range s.Grooves {
		a, b := s.Grooves[i].Span(end - at)
		see(at + a)
		from = at + b
	}
	see(end - s.Corner)
	return middle
}

// grooved is the zone of a section parted by its grooves; free and shoulder are the
// places its ends may have. A groove's zone is as wide as its limits let it lie.
func grooved(body zone, grooves []job.Groove, free, shoulder [2]calc.Length) (zones []zone) {
	for i := range grooves {
		g := &grooves[i]
		cut := zone{section: body.section, groove: true, least: g.Diameter.Min, from: free[0] + g.At.Min, to: free[1] + g.At.Max + g.Width.Max}
		if g.From == job.Shoulder {
			cut.from, cut.to = shoulder[0]-g.At.Max-g.Width.Max, shoulder[1]-g.At.Min
		}
		land := body
		land.to = min(cut.from, body.to)
		zones = append(zones, land, cut)
		body.from = max(body.from, cut.to)
	}
	return append(zones, body)
}

// feedsTop is a cut along the work with the top slide parallel to the bed.
func (b *lathe) feedsTop(m sequence.Shift, from calc.Length) {
	switch {
	case !b.placed():
		b.fault(Consistent, "the top slide feeds a tool whose place is not known")
	case b.inside() || b.tool.Kind == sequence.ThreadingTool || b.tool.Kind == sequence.ChamferTool || b.tool.Kind == sequence.PartingTool:
		b.fault(Consistent, "a %s tool is fed along with the top slide", b.tool.Kind)
	default:
		b.take(b.tool.sweeps(b.x(), from, b.z()), "feeding along with the top slide")
		b.clock((b.z() - from).Abs(), m.PerRev, true)
	}
}

// grooveAt is where groove i of a section lies in the work; ok is false where nothing
// is cut there.
func (b *lathe) grooveAt(p Profile, k, i int) (from, to calc.Length, ok bool) {
	g := &b.job.Sections[k].Grooves[i]
	edge, ok := b.freeEnd(p, k)
	z := edge + g.At.Mid() + g.Width.Mid()/2
	if g.From == job.Shoulder {
		if edge, ok = b.shoulder(p, k); !ok {
			return 0, 0, false
		}
		z = edge - g.At.Mid() - g.Width.Mid()/2
	}
	if !ok {
		return 0, 0, false
	}
	return p.below(z, p.At(b.layout.body[k])-same)
}

// below is the stretch around z in which the work is thinner than a diameter.
func (p Profile) below(z, d calc.Length) (from, to calc.Length, ok bool) {
	at := -1
	for i, q := range p {
		if q.From <= z && z <= q.To && max(q.Left, q.Right) < d {
			at = i
		}
	}
	if at < 0 {
		return 0, 0, false
	}
	from, to = p[at].From, p[at].To
	for i := at - 1; i >= 0 && p[i].To == from && max(p[i].Left, p[i].Right) < d; i-- {
		from = p[i].From
	}
	for i := at + 1; i < len(p) && p[i].From == to && max(p[i].Left, p[i].Right) < d; i++ {
		to = p[i].To
	}
	return from, to, true
}

// lands is the smallest and largest diameter between two places of a section, its
// grooves left out.
func (j judge) lands(k int, from, to calc.Length) (low, high calc.Length, ok bool) {
	see := func(to calc.Length) {
		l, h, some := j.p.span(from, to)
		switch {
		case !some:
		case !ok:
			low, high, ok = l, h, true
		default:
			low, high = min(low, l), max(high, h)
		}
	}
	for i := range j.job.Sections[k].Grooves {
		if a, b, cut := j.grooveAt(j.p, k, i); cut {
			see(min(a, to))
			from = max(from, b)
		}
	}
	see(to)
	return low, high, ok
}

// groove is what was done to one groove of a section.
type groove struct {
	bottom calc.Length // the last cut left; zero before the first
	by     *sequence.Step
	read   bool // a reading was asked for just before that cut
	asked  bool // and since
	inside bool // that was the finished size and inside its limits
}

// underTool is the groove of the step's section that the grooving tool stands over.
func (b *lathe) underTool() *groove {
	k := b.ownSection()
	if k < 0 || !b.placed() || b.tool.Kind != sequence.GroovingTool {
		return nil
	}
	at := b.z() - b.tool.width/2
	for i := range b.job.Sections[k].Grooves {
		if from, to, ok := b.grooveAt(b.work, k, i); ok && at > from-same && at < to+same {
			key := [2]int{k, i}
			if b.dug[key] == nil {
				b.dug[key] = &groove{}
			}
			return b.dug[key]
		}
	}
	return nil
}

// noteGroove remembers a cut of the grooving tool.
func (b *lathe) noteGroove() {
	if g := b.underTool(); g != nil && (g.bottom == 0 || b.x() < g.bottom-same) {
		*g = groove{bottom: b.x(), by: b.step, read: g.asked}
	}
}

// readGroove notes a reading of the groove the tool stands over.
func (b *lathe) readGroove(m *sequence.Measure) {
	if g := b.underTool(); g != nil {
		g.asked = true
		g.inside = m.Final && m.Got != nil && *m.Got >= m.Min && *m.Got <= m.Max
		if m.Got != nil {
			g.bottom = *m.Got
		}
	}
}

// grooves judges the grooves of a section: place, width and diameter.
func (j judge) grooves(k int) {
	for i := range j.job.Sections[k].Grooves {
		g := &j.job.Sections[k].Grooves[i]
		from, to, ok := j.grooveAt(j.p, k, i)
		if !ok {
			j.size(k, "groove width", 0, g.Width, 0)
			continue
		}
		n := 0
		if q := j.p.piece(calc.Mid(from, to)); q != nil {
			n = q.Step
		}
		place := from
		if edge, there := j.freeEnd(j.p, k); there {
			place -= edge
		}
		if g.From == job.Shoulder {
			place, _ = j.shoulder(j.p, k)
			place -= to
		}
		j.size(k, "groove place", place, g.At, n)
		j.size(k, "groove width", to-from, g.Width, n)
		low, high, _ := j.p.span(from, to)
		j.size(k, "groove diameter", worse(low, high, g.Diameter), g.Diameter, n)
		if d := j.dug[[2]int{k, i}]; d != nil && !d.read && !d.inside && !j.spoiled[j.job.Sections[k].Name] {
			j.faultAt(d.by, TwoEqualCuts, "the last cut of groove %d of %s has no reading before it", i+1, j.job.Sections[k].Name)
		}
	}
}

// worse is that of two ends of a range which is outside its limits.
func worse(low, high calc.Length, want fit.Limits) calc.Length {
	if low < want.Min {
		return low
	}
	return high
}

// believeGroove gives the groove the tool stands over the diameter that was read, and the
// cross slide the difference.
func (b *lathe) believeGroove(k int, got calc.Length) {
	if !b.placed() {
		return
	}
	at := b.z() - b.tool.width/2
	for i := range b.job.Sections[k].Grooves {
		from, to, ok := b.grooveAt(b.work, k, i)
		if !ok || at < from-same || at > to+same {
			continue
		}
		old := b.work.piece(calc.Mid(from, to)).Left
		for n := range b.work {
			if q := &b.work[n]; q.From >= from && q.To <= to && q.Left == old && q.Right == old {
				q.Left, q.Right = got, got
			}
		}
		b.cross.correct(-(got - old))
		return
	}
}

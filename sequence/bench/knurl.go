package bench

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// Knurl is what wheels have pressed into a piece: its diameter is then that over the
// crests. What is sunk is raised again between the teeth, as much outwards as inwards,
// until a reading says how much it was.
type Knurl struct {
	Blank, Root calc.Length // diameters before, and at the bottom of the teeth
	Pitch       calc.Length // across the teeth
	rise        float64     // what was raised of each depth sunk
}

const (
	// cheek is what the holder of the wheels needs beside them where the work is thicker.
	cheek = mm
	// tracks is the part of a tooth round the blank it may be short or over.
	tracks = 0.25
	// crushed is how high teeth of 90 degrees are when their crests are long sharp: 0.6
	// of the pitch.
	crushed = 0.6
	// shallow is how deep teeth are sunk at least, in pitches.
	shallow = 0.1
	// leastRise is the least of what is sunk that comes up again, whatever is read.
	leastRise = 0.1
	// seamRoom is what may stay plain of a knurled section before a shoulder.
	seamRoom = 3 * mm
)

// over is the diameter over the crests.
func (k *Knurl) over() calc.Length {
	return k.Blank + calc.Length(float64(k.Blank-k.Root)*k.rise)*calc.Nanometre
}

// touchClamp closes the clamp of a knurling tool until its wheels touch the work.
func (b *lathe) touchClamp(m sequence.Zero) {
	switch {
	case b.tool.Kind != sequence.KnurlingTool || !b.tool.Clamp:
		b.fault(Consistent, "the %s tool has no clamp to close", b.tool.Kind)
	case m.On != sequence.OnDiameter:
		b.fault(Consistent, "a clamp is not closed on the %s", m.On)
	case !b.carriage.known:
		b.fault(Consistent, "the clamp is closed where nobody knows")
	default:
		b.touchDiameter(m.X)
	}
	b.cross.place(-m.X, sequence.In, b.step)
	b.nutZero, b.nutSet = m.X, true
}

// clamp turns the nut of a knurling tool.
func (b *lathe) clamp(m sequence.Clamp) {
	if !b.sane(m.From, m.To) {
		return
	}
	if b.tool == nil || b.tool.Kind != sequence.KnurlingTool || !b.tool.Clamp {
		b.fault(Consistent, "a nut is turned, and there is no clamp in the post")
		return
	}
	if b.cross.known && (m.From-b.x()).Abs() > same {
		b.fault(Consistent, "the wheels stand at diameter %s, the plan turns the nut from %s", b.x(), m.From)
	}
	b.cross.place(-m.To, sequence.In, b.step)
	b.crashed = false
	if m.To >= m.From {
		return
	}
	if want := calc.Length(m.Turns.Float()*float64(b.closing())) * calc.Nanometre; !b.nutSet || (b.nutZero-want-m.To).Abs() > 2*same {
		b.fault(Consistent, "the nut at %s turns closes the wheels to %s, the plan says %s", m.Turns, b.nutZero-want, m.To)
	}
	b.press(b.z(), m.From, m.PerRev)
	b.clock((m.From-m.To)/2, m.PerRev, true)
}

// knurler is the tool owned that is in the post.
func (b *lathe) knurler() job.Tool {
	for _, t := range b.own.Tools {
		if t.Kind == job.KindKnurling && t.Pitch == b.tool.Pitch && job.HelixOf(t.Pattern) == b.tool.Angle && (t.Holder == job.HolderClamp) == b.tool.Clamp {
			return t
		}
	}
	b.fault(Consistent, "the lathe has no such knurling tool: pitch %s, teeth at %s to the axis", b.tool.Pitch, b.tool.Angle)
	return job.Tool{}
}

// closing is how much the wheels close in a turn of the nut.
func (b *lathe) closing() calc.Length { return b.knurler().Closing }

// press is the wheels going in at one place of z, from a diameter, so much a turn.
func (b *lathe) press(z, from calc.Length, perRev calc.Lead) {
	const doing = "knurling"
	b.cutting(doing)
	if !b.tool.Clamp {
		b.fromOneSide(doing)
	}
	if perRev.IsZero() {
		b.fault(Consistent, "the wheels are pressed in with no feed")
		return
	}
	low := z - b.tool.width
	thick, deep := b.underWheels(low, z)
	if deep <= 0 {
		return
	}
	b.fast(cutting.Knurl, sequence.KnurlingTool, thick, doing)
	b.wheelsAlone(thick)
	var on bite
	for _, q := range b.work {
		if a, e := max(low, q.From), min(z, q.To); a < e && q.Right > b.x() {
			if on.width == 0 {
				on.from, on.to = a, e
			}
			on.to, on.width = e, on.width+e-a
		}
	}
	wheel := b.knurler().Size
	f := b.job.Material.Knurling(cutting.Pressing{Width: on.width, Pitch: b.tool.Pitch, Deep: deep, Step: perRev.Length(), Work: thick, Wheel: wheel})
	wheels := cutting.Force(1)
	if b.tool.Clamp || b.tool.Angle > 0 {
		wheels = 2
	}
	l := load{doing: doing, force: wheels * cutting.RollShare * f, push: wheels * f, diameter: thick, at: fmt.Sprintf("%s deep", deep)}
	l.torque = l.force.Torque(thick)
	b.driven(l)
	if !b.tool.Clamp {
		b.springs(on, l, cutting.Give)
	}
	b.sink(low, z)
}

// underWheels is the thickest blank under the wheels and how deep they go into it.
func (b *lathe) underWheels(from, to calc.Length) (thick, deep calc.Length) {
	for _, q := range b.work {
		if a, e := max(from, q.From), min(to, q.To); a >= e {
			continue
		}
		d := max(q.Left, q.Right)
		if q.Knurl != nil {
			d = q.Knurl.Blank
		}
		if d > thick {
			thick, deep = d, (d-b.x())/2
		}
	}
	return thick, deep
}

// wheelsAlone is the check that nothing else has its finished size yet: it would be
// pushed about.
func (b *lathe) wheelsAlone(thick calc.Length) {
	k := b.ownSection()
	if k < 0 || b.job.Sections[k].Knurl == nil {
		b.fault(WithinLimits, "a knurl is pressed into %s, where none is wanted", thick)
		return
	}
	for i, s := range b.job.Sections {
		if d := b.work.At(b.layout.body[i]); i != k && !s.AsBar && d <= s.Diameter.Max {
			b.fault(TwoEqualCuts, "section %s has its finished size of %s before the knurl beside it is pressed: it is pushed about", s.Name, d)
			return
		}
	}
}

// knurlAlong is a feed of the wheels along the work.
func (b *lathe) knurlAlong(m sequence.Carriage) {
	const doing = "knurling along"
	b.cutting(doing)
	switch {
	case !b.cross.known:
		b.fault(Consistent, "%s with wheels that were never laid on the work", doing)
		return
	case m.PerRev.IsZero():
		b.fault(Consistent, "%s with no feed", doing)
	}
	low := min(m.From, m.To) - b.tool.width
	if thick, deep := b.underWheels(low, max(m.From, m.To)); deep > 0 {
		b.fast(cutting.Knurl, sequence.KnurlingTool, thick, doing)
		b.wheelsAlone(thick)
	}
	b.sink(low, max(m.From, m.To))
}

// sink raises the knurl under the wheels between two places, and looks at what they meet.
func (b *lathe) sink(from, to calc.Length) {
	x, n := b.x(), 0
	thick, _ := b.underWheels(from, to)
	if b.step != nil {
		n = b.step.N
	}
	around := b.tool.Pitch.Millimetres() / math.Cos(b.tool.Angle.Radians())
	left := b.spare[:0]
	double, crush := "", ""
	for _, q := range b.work {
		a, e := max(from, q.From), min(to, q.To)
		if a >= e || max(q.Left, q.Right) <= x {
			left = left.add(q)
			continue
		}
		k := Knurl{Blank: q.Left, Root: x, Pitch: b.tool.Pitch, rise: 1}
		if q.Knurl != nil {
			k.Blank, k.rise = q.Knurl.Blank, q.Knurl.rise
			if q.Knurl.Root <= x { // no deeper than it is
				left = left.add(q)
				continue
			}
		}
		teeth := math.Pi * k.Blank.Millimetres() / around
		if off := math.Abs(teeth - math.Round(teeth)); off > tracks {
			double = fmt.Sprintf("%.2f teeth of %s go round a blank of %s: the knurl tracks double", teeth, b.tool.Pitch, k.Blank)
		}
		if high := float64(k.over()-k.Root) / 2; q.Left != q.Right || high > crushed*float64(k.Pitch) {
			crush = fmt.Sprintf("the wheels go to diameter %s in work of %s: teeth of %s are full before", x, max(q.Left, q.Right), b.tool.Pitch)
		}
		mid := q.part(a, e)
		mid.Left, mid.Right, mid.Knurl, mid.Step, mid.latest = k.over(), k.over(), &k, n, n
		if m := len(left); m > 0 && left[m-1].Knurl != nil && *left[m-1].Knurl == k {
			mid.Knurl = left[m-1].Knurl
		}
		left = left.add(q.part(q.From, a)).add(mid).add(q.part(e, q.To))
	}
	b.spare, b.work = b.work, left
	switch {
	case crush != "":
		b.fault(WithinLimits, "%s", crush)
	case double != "":
		b.fault(WithinLimits, "%s", double)
	}
	for _, q := range b.work {
		if d := max(q.Left, q.Right); q.Knurl == nil && max(q.From, to) < min(q.To, to+cheek) && d > thick+same {
			b.fault(WithinLimits, "the holder of the wheels at z %s meets work of %s beside them", to, d)
			break
		}
	}
	b.obstacles(x, from, from)
}

// believeKnurl gives the knurl of a section the diameter that was read over it.
func (b *lathe) believeKnurl(got calc.Length) {
	k := b.ownSection()
	if k < 0 {
		return
	}
	from, to := b.layout.from[k], b.layout.from[k+1]
	for i := range b.work {
		q := &b.work[i]
		if q.Knurl == nil || q.To <= from || q.From >= to || q.Left != q.Right {
			continue
		}
		own := *q.Knurl
		if own.Blank > own.Root {
			own.rise = max(leastRise, float64(got-own.Blank)/float64(own.Blank-own.Root))
		}
		d := max(got, own.Blank) // what is pressed gets no thinner
		q.Knurl, q.Left, q.Right = &own, d, d
		if i > 0 && b.work[i-1].Knurl != nil && *b.work[i-1].Knurl == own {
			q.Knurl = b.work[i-1].Knurl
		}
	}
}

// knurl holds a knurled section against the job: its blank, the diameter over the crests,
// and that it reaches from the free end to the shoulder, the room of the holder less.
func (j judge) knurl(k int) {
	s := j.job.Sections[k]
	from, to := j.stretch(k)
	var low, high, at, end calc.Length
	var blank, deep calc.Length
	n := 0
	for _, q := range j.p {
		if q.Knurl == nil || q.To <= from || q.From >= to {
			continue
		}
		if n == 0 {
			low, high, at, blank, deep = q.Left, q.Left, q.From, q.Knurl.Blank, far
		}
		n, end = max(n, q.latest), q.To
		deep = min(deep, (q.Knurl.Blank-q.Knurl.Root)/2)
		low, high = min(low, q.Left, q.Right), max(high, q.Left, q.Right)
		if q.Knurl.Pitch != s.Knurl.Pitch {
			j.faultAt(j.by(k, n), ToSize, "the knurl of %s has a pitch of %s, wanted %s", s.Name, q.Knurl.Pitch, s.Knurl.Pitch)
		}
	}
	j.size(k, "blank", blank, turned(j.job, s), n)
	got := high
	if low < s.Knurl.Over.Min {
		got = low
	}
	j.size(k, "over the knurl", got, s.Knurl.Over, n)
	if n > 0 && float64(deep) < shallow*float64(s.Knurl.Pitch) && !j.follows(k) {
		j.faultAt(j.by(k, n), ToSize, "the knurl of %s is %s deep, hardly a knurl at a pitch of %s", s.Name, deep, s.Knurl.Pitch)
	}
	room := calc.Length(seamRoom)
	if k == len(j.job.Sections)-1 && j.parted {
		room = same
	}
	if n > 0 && !j.follows(k) && (at > from+same || end < to-room) {
		j.faultAt(j.by(k, n), ToSize, "the knurl of %s is from %s to %s, the section from %s to %s", s.Name, at, end, from, to)
	}
}

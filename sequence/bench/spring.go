package bench

import (
	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
)

// beam is the work as it stands out of the jaws, with a cut at diameter x done from its
// free end up to z.
func (b *lathe) beam(x, z calc.Length) cutting.Beam {
	out := cutting.Beam{Material: b.job.Material, Centre: b.centre, Spans: b.spans[:0]}
	add := func(q, h Piece, from, to calc.Length) {
		if from >= to {
			return
		}
		d := q.thinnest(from, to)
		if q.Thread != nil {
			d = min(d, q.Thread.root)
		}
		if q.Knurl != nil {
			d = min(d, q.Knurl.Root)
		}
		if to <= z {
			d = min(d, x)
		}
		out.Spans = append(out.Spans, cutting.Span{Length: to - from, Diameter: max(d, um), Bore: full - h.thinnest(from, to)})
	}
	mandrel := b.mandrel()
	if n := len(b.work); mandrel > 0 && n > 0 && b.work[n-1].To < b.jaws() {
		out.Spans = append(out.Spans, cutting.Span{Length: b.jaws() - b.work[n-1].To, Diameter: mandrel})
	}
	for i := len(b.work) - 1; i >= 0; i-- {
		q := b.work[i]
		if mandrel > 0 { // it fills the bore
			from, to := q.From, min(q.To, b.jaws())
			at := min(max(z, from), to)
			none := Piece{From: from, To: to, Left: full, Right: full}
			add(q, none, at, to)
			add(q, none, from, at)
			continue
		}
		for n := len(b.hole) - 1; n >= 0; n-- {
			h := b.hole[n]
			from, to := max(q.From, h.From), min(q.To, h.To, b.jaws())
			at := min(max(z, from), to)
			add(q, h, at, to)
			add(q, h, from, at)
		}
	}
	b.spans = out.Spans
	return out
}

// thinnest is the smaller diameter of a piece between two places in it.
func (q Piece) thinnest(from, to calc.Length) calc.Length {
	return min(q.edge().at(from), q.edge().at(to))
}

// bent is how far the work gives under a force at z, where a cut at diameter x has come
// from its free end.
func (b *lathe) bent(f cutting.Force, x, z calc.Length) calc.Length {
	return b.beam(x, z).Bend(f, b.jaws()-z)
}

// springs is the check that the work does not give too far under a cut, wherever the
// tool stands in it.
func (b *lathe) springs(c bite, l load, give calc.Length) {
	b.pressing = pressing{push: l.push, x: b.x(), from: c.from, to: c.to}
	var most, where calc.Length
	for _, z := range b.pressing.places() {
		if v := b.bent(l.push, b.pressing.x, z); v > most {
			most, where = v, z
		}
	}
	if most > give {
		held := ""
		if b.centre {
			held = " with the centre"
		}
		b.fault(WithinPower, "%s %s pushes with %.0f N %s from the jaws: the work gives %s there%s, %s too much", l.doing, l.at, float64(l.push), b.jaws()-where, most, held, most-give)
	}
}

// pressing is the last cut as a force that goes along the work.
type pressing struct {
	push     cutting.Force
	x        calc.Length
	from, to calc.Length
}

// places are where along a cut it is looked at.
func (p pressing) places() []calc.Length {
	if p.to <= p.from {
		return []calc.Length{p.from}
	}
	const steps = 6
	out := make([]calc.Length, steps+1)
	for i := range out {
		out[i] = p.from + (p.to-p.from)*calc.Length(i)/steps
	}
	return out
}

// taper is how much the diameter between two places differs along the work because it
// gives more here than there under the last cut; to be taken before the cut is made.
func (b *lathe) taper(from, to calc.Length) calc.Length {
	p := b.pressing
	p.from, p.to = max(p.from, from), min(p.to, to)
	if p.push <= 0 || p.to <= p.from {
		return 0
	}
	var low, high calc.Length
	for i, z := range p.places() {
		v := b.bent(p.push, p.x, z)
		if i == 0 {
			low, high = v, v
		}
		low, high = min(low, v), max(high, v)
	}
	return 2 * (high - low)
}

// straight is the check of the last cut of a section or a bore of a name: what the work
// gives along it stays inside the tolerance.
func (b *lathe) straight(name string, h *history, tolerance calc.Length) {
	if len(h.cuts) == 0 || b.spoiled[name] {
		return
	}
	if last := h.cuts[len(h.cuts)-1]; last.taper > tolerance {
		b.faultAt(last.step, WithinPower, "the last cut of %s is %s deep, and the work springs from it by %s more on diameter at one end than at the other: %s more than the %s between its limits",
			name, last.depth/2, last.taper, last.taper-tolerance, tolerance)
	}
}

// barSprings is the check of a bar inside: how far it stands out, and gives, twice as much
// in the passes of a thread.
func (b *lathe) barSprings(l load) {
	t, give := b.tool, cutting.Give
	if t.Kind == sequence.InsideThreadingTool {
		give = cutting.GiveThread
	} else if t.Kind != sequence.BoringTool {
		return
	}
	if t.Diameter <= 0 || t.Overhang <= 0 {
		return
	}
	carbide := b.steel(t.Kind) == cutting.Carbide
	if err := cutting.BoringBar(t.Diameter, t.Overhang, false); err != nil && !carbide {
		b.fault(WithinPower, "%v", err)
		return
	}
	if v, err := cutting.Boring(t.Diameter, t.Overhang, 0, l.push); err == nil && v > give {
		b.fault(WithinPower, "%s %s pushes with %.0f N: the bar of %s, %s out of its clamp, gives %s, %s too much", l.doing, l.at, float64(l.push), t.Diameter, t.Overhang, v, v-give)
	}
}

// plain is the stretch of a section that its last cut has to leave straight.
func (b *lathe) plain(k int) (from, to calc.Length) {
	s := b.job.Sections[k]
	from, to = b.layout.from[k]+s.Leg(), b.layout.from[k+1]-s.Corner
	if s.Undercut != nil {
		to -= s.Undercut.Width.Max
	}
	return from, to
}

// heldBy is the check that the jaws have enough of the bar to hold, where its length is
// known: its diameter, or a centre (common practice).
func (b *lathe) heldBy(out calc.Length) {
	long := b.job.BarLength
	if long <= 0 || b.job.Centre {
		return
	}
	if in := long - out; in < b.job.Bar-same {
		b.fault(WithinPower, "%s of the bar stand in the jaws: they hold it by its diameter of %s at least", in, b.job.Bar)
	}
}

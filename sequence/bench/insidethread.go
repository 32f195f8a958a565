package bench

import (
	"math"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/thread"
	"turncue/sequence"
)

// insideWidth is how wide an inside threading tool is where it enters its groove: 0.7 of
// the coarsest pitch in a bore, a vee at full depth.
func (b *lathe) insideWidth() (w calc.Length) {
	for _, c := range b.job.Bores {
		if c.Thread != nil {
			w = max(w, c.Thread.Pitch.Length()*7/10)
		}
	}
	return w
}

// insidePass is one cut of a thread in a bore with the half-nuts shut.
func (b *lathe) insidePass(m sequence.Carriage) {
	k := b.ownBore()
	if k < 0 || b.bores[k].Thread == nil || len(b.work) == 0 {
		b.fault(Consistent, "a thread is cut in a step of %q, which has none", b.step.Section)
		return
	}
	if !b.cross.known {
		b.fault(Consistent, "a thread is cut with a tool whose diameter is not known: it was never zeroed")
		return
	}
	z, h := &b.bores[k], &b.boreCuts[k]
	t := z.Thread
	switch {
	case b.turn == sequence.Reverse && b.screwed():
		b.fault(NoReverseCut, "the thread is cut in reverse with a screwed chuck")
	case (b.turn == sequence.Reverse) == (m.To > m.From):
		b.fault(InStep, "with the spindle turning %s the leadscrew does not carry the tool from %s to %s", b.turn, m.From, m.To)
	}
	b.fromOneSide("the thread is cut")
	if short := max(3*t.Lead.Length(), b.carriage.dial.Slack) - (b.work[0].From - m.From); short > same {
		at := b.step
		if h.passes > 0 && b.carriage.since != nil {
			at = b.carriage.since
		}
		b.faultAt(at, InStep, "the pass starts %s before the metal, %s short of what takes up the slack", b.work[0].From-m.From, short)
	}
	if !h.leadSaid {
		h.leadSaid = !b.insideLead(m, t, z)
	}
	bored := b.boreAt(z.body)
	h.limits(t, b.tool.Tip, bored)
	if h.depthErr != nil && !h.depthSaid {
		h.depthSaid = true
		b.fault(ToSize, "%v", h.depthErr)
	}
	if !h.endSaid && h.depthErr == nil {
		h.endSaid = !b.insideEnd(m, k, bored+2*h.window.Limit)
	}
	switch {
	case h.passes == 0:
		h.grip, h.top = b.grip.n, b.top.stands
	case b.grip.n != h.grip:
		h.grip = b.grip.n
		b.faultAt(b.grip.lost, InStep, "%s before the thread was finished: pass %d is out of step with the ones before", b.grip.how, h.passes+1)
		b.spoiled[z.Name] = true
	case (b.top.stands - h.top).Abs() > 10*same:
		b.fault(InStep, "the top slide was moved: this pass is %s beside the ones before", (b.top.stands - h.top).Abs())
		h.top = b.top.stands
	}
	b.barFits(max(m.From, m.To), margin)
	// In front of its bore the passes go through wider ones.
	for i := range k {
		if w := &b.bores[i]; b.boreAt(w.body) < b.x()-same {
			b.fault(WithinLimits, "the pass at diameter %s cuts into %s of %s", b.x(), w.Name, b.boreAt(w.body))
			b.spoiled[w.Name] = true
		}
	}
	h.passes++
	h.tip = b.tool.Tip
	if h.cut == nil {
		h.cut = &Thread{}
	}
	if b.x() > h.root {
		h.root, h.cutAt = b.x(), b.step
	}
}

// insideLead compares what the gears cut with what the thread wants; false when a fault
// was found. A wrong lead over the length of a nut acts like a thicker thread, by the
// cotangent of its half angle: a third of the pitch diameter's tolerance is the most
// (common practice).
func (b *lathe) insideLead(m sequence.Carriage, t *thread.Thread, z *boreZone) bool {
	if b.gears == nil {
		b.fault(Consistent, "no gears are fitted to cut %s", t)
		return false
	}
	if b.gears.Backward {
		b.fault(ToSize, "the leadscrew is set for a left-hand thread, %s is right-hand", t)
		return false
	}
	if m.PerRev != t.Lead && m.PerRev != b.gears.Lead {
		b.fault(Consistent, "a pass of %s a turn, but the gears cut %s", m.PerRev, b.gears.Lead)
	}
	q, err := b.gears.Lead.Over(t.Lead)
	l, err2 := t.Limits()
	if err != nil || err2 != nil {
		b.fault(ToSize, "the lead of the gears, %s, is no lead for %s", b.gears.Lead, t)
		return false
	}
	off := math.Abs(q.Float() - 1)
	engaged := min(z.to-z.from, t.Nominal)
	fatter := calc.Millimetres(off * engaged.Millimetres() / math.Tan((t.Angle / 2).Radians()))
	if fatter*3 > l.Pitch.Tolerance() {
		b.fault(ToSize, "the gears cut a lead of %s where %s wants %s", b.gears.Lead, t, t.Lead)
		return false
	}
	return true
}

// insideEnd is the check that a pass in a bore has where to end: the whole tool in a
// recess behind the root, or behind a part the thread goes through, the hole as wide
// there as it was bored. False when a fault was found.
func (b *lathe) insideEnd(m sequence.Carriage, k int, root calc.Length) bool {
	z, half := &b.bores[k], b.tool.width/2
	from, to := m.To-half, m.To+half
	small, _ := b.bored(from, to)
	switch {
	case z.Through && from < z.to-same:
		b.fault(WithinLimits, "the tool stops at %s, %s before it is out of a part of %s", m.To, z.to-from, z.to)
	case z.Through && small < b.boreAt(z.body)-same:
		b.fault(WithinLimits, "the tool runs on to %s, where the hole is %s and not as wide as it was bored", to, small)
	case z.Through:
		return true
	case small < root-same:
		b.fault(WithinLimits, "the thread ends at %s, where the hole is %s: a recess of %s or more is needed from %s to %s", m.To, small, root, from, to)
	default:
		return true
	}
	return false
}

// recessed is where the recess at the end of a bore of a diameter begins; its end where
// there is none.
func (b *lathe) recessed(k int, d, end calc.Length) calc.Length {
	from := end
	for _, q := range b.hole {
		if q.From >= b.bores[k].body && q.From < from && q.To <= end+same && full-max(q.Left, q.Right) > d+same {
			from = q.From
		}
	}
	return from
}

// cutThreadInside judges a thread cut in a bore and its recess.
func (j judge) cutThreadInside(k int) {
	z, h := &j.bores[k], &j.boreCuts[k]
	d := j.boreAt(z.body)
	if z.Recess != nil {
		end, ok := j.boreEnd(k)
		if !ok {
			end = z.to
		}
		from := j.recessed(k, d, end)
		j.boreSize(k, "recess width", end-from, z.Recess.Width, 0)
		small, large := j.bored(from, end)
		got := small
		if z.Recess.Diameter.Contains(small) {
			got = large
		}
		j.boreSize(k, "recess diameter", got, z.Recess.Diameter, 0)
	}
	if h.passes == 0 {
		j.boreSize(k, "thread depth", 0, fit.Limits{Min: calc.Nanometre, Max: z.Thread.Pitch.Length()}, 0)
		return
	}
	h.limits(z.Thread, h.tip, d)
	if h.depthErr != nil {
		return // said when it was cut
	}
	n := 0
	if h.cutAt != nil {
		n = h.cutAt.N
	}
	j.boreSize(k, "thread depth", (h.root-d)/2, fit.Limits{Min: h.window.Start, Max: h.window.Limit}, n)
}

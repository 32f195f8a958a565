package bench

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/cutting"
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
	if a := b.tool.Angle; a != t.Angle && (a != 0 || t.Angle != 60*calc.Degree) && !h.depthSaid {
		h.depthSaid = true
		b.fault(ToSize, "%s is cut with a tool of %s between its flanks, it has %s", t, a, t.Angle)
	}
	if h.depthErr != nil && !h.depthSaid {
		h.depthSaid = true
		b.fault(ToSize, "%v", h.depthErr)
	}
	if !h.endSaid && h.depthErr == nil {
		h.endSaid = !b.insideEnd(m, k, bored+2*h.window.Limit)
	}
	b.inStep(h, t, z.Name)
	b.barFits(max(m.From, m.To), margin)
	b.insideLoad(m, t, z, h, bored)
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
	h.reach(t, b.x(), true, b.step)
	if z.RunOut != nil {
		h.endsAt(m.To, m.To, b.x())
	}
}

// insideLoad is the check of rule 5 for a thread pass in a bore: the drive, the speed of
// the tool, and what bar and work give.
func (b *lathe) insideLoad(m sequence.Carriage, t *thread.Thread, z *boreZone, h *history, bored calc.Length) {
	major := b.x()
	b.fast(cutting.Thread, sequence.InsideThreadingTool, major, "threading")
	before := bored
	if len(h.starts) > 0 && h.starts[h.start].passes > 0 {
		before = max(bored, h.starts[h.start].root)
	}
	from, to := (before-bored)/2, (b.x()-bored)/2
	l := load{doing: "a thread pass", diameter: major, at: fmt.Sprintf("from %s to %s deep", max(0, from), to)}
	l.force = b.job.Material.Threading(max(0, from), to, t.Angle/2, b.factor(sequence.InsideThreadingTool)*cutting.BothFlanks)
	if l.force <= 0 {
		return
	}
	l.push = cutting.Spread * l.force
	l.torque = l.force.Torque(major)
	b.driven(l)
	b.barSprings(l)
	b.springs(bite{from: max(z.from, m.From), to: min(z.to, m.To)}, l, cutting.GiveThread)
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
	case z.RunOut != nil:
		return b.insideFades(m, k, small)
	case z.Through && from < z.to-same:
		b.fault(WithinLimits, "the tool stops at %s, %s before it is out of a part of %s", m.To, z.to-from, z.to)
	case z.Through && small < b.boreAt(z.body)-same:
		b.fault(WithinLimits, "the tool runs on to %s, where the hole is %s and not as wide as it was bored", to, small)
	case z.Through:
		a, c := b.openAround(m.To, b.boreAt(z.body))
		b.stops(m, c-max(a, z.to))
		return true
	case small < root-same:
		b.fault(WithinLimits, "the thread ends at %s, where the hole is %s: a recess of %s or more is needed from %s to %s", m.To, small, root, from, to)
	default:
		a, c := b.openAround(m.To, root)
		b.stops(m, c-a)
		return true
	}
	return false
}

// openAround is the stretch around z where the hole is as wide as a diameter.
func (b *lathe) openAround(z, d calc.Length) (from, to calc.Length) {
	from, to = z, z
	for grew := true; grew; {
		grew = false
		for _, q := range b.hole {
			switch wide := full-max(q.Left, q.Right) >= d-same; {
			case wide && q.From <= to && q.To > to:
				to, grew = q.To, true
			case wide && q.To >= from && q.From < from:
				from, grew = q.From, true
			}
		}
	}
	return from, to
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
	for i, c := range h.starts {
		what, n, got := "thread depth", 0, calc.Length(0)
		if len(h.starts) > 1 {
			what = fmt.Sprintf("thread depth of start %d", i+1)
		}
		if c.passes > 0 {
			got, n = (c.root-d)/2, c.by.N
		}
		j.boreSize(k, what, got, fit.Limits{Min: h.window.Start, Max: h.window.Limit}, n)
	}
	j.insideRunOut(k)
}

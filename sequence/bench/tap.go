package bench

import (
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// tapTaper is the tapered end of a tap in pitches where the lathe file does not give
// it: a second tap (common practice).
const tapTaper = 4

// tap turns a tap in by hand: what its tapered end has passed is a full thread.
func (b *lathe) tap(m sequence.Tailstock) {
	b.standing("a tap is turned by hand")
	if !b.isolated {
		b.fault(Standing, "a tap is turned by hand with the supply on")
	}
	k := b.ownBore()
	switch q := b.quill; {
	case k < 0 || b.bores[k].Thread == nil:
		b.fault(Consistent, "a thread is tapped in a step of %q, which has none", b.step.Section)
		return
	case q == nil || q.Kind != m.Kind || q.Diameter != m.Diameter:
		b.fault(Consistent, "there is no tap of %s at the work", m.Diameter)
		return
	case b.placed() && b.x() < 3*m.Diameter:
		b.fault(ToolClear, "the tool in the post stands at diameter %s, in the way of the wrench of a tap of %s", b.x(), m.Diameter)
	}
	t := b.bores[k].Thread
	var own *job.Tool
	for i := range b.own.Tools {
		o := &b.own.Tools[i]
		if o.Kind == job.KindTap && o.Thread != nil && o.Thread.Nominal == t.Nominal && o.Thread.Lead == t.Lead && o.Thread.Angle == t.Angle && o.Thread.LeftHand == t.LeftHand {
			own = o
		}
	}
	switch {
	case own == nil:
		b.fault(Consistent, "the lathe has no tap for %s", t)
		return
	case m.Diameter != t.Nominal || m.PerRev != t.Lead:
		b.fault(ToSize, "a tap of %s and %s a turn does not cut %s", m.Diameter, m.PerRev, t)
		return
	}
	small, _ := b.bored(max(b.bores[k].from, 0), m.To)
	if lim, err := t.Limits(); err == nil && small < lim.Minor.Min-same {
		b.fault(WithinLimits, "the tap for %s jams at %s in a hole of %s: it needs %s", t, m.To, small, lim.Minor.Min)
	}
	taper := own.LeadIn
	if taper == 0 {
		taper = tapTaper * t.Pitch.Length()
	}
	b.tapped[k] = max(b.tapped[k], m.To-taper)
}

// boreThread judges the thread of a bore.
func (j judge) boreThread(k int) {
	z := &j.bores[k]
	if z.Thread == nil || len(j.p) == 0 {
		return
	}
	if z.By == job.ByTap && (!z.Free || j.boreCuts[k].passes == 0) { // left free, it may have been cut instead
		want := z.Full
		if z.Through {
			end := j.p[len(j.p)-1].To
			want = fit.Limits{Nominal: end, Min: end, Max: far}
		}
		j.boreSize(k, "length of full thread", j.tapped[k], want, 0)
		return
	}
	j.cutThreadInside(k)
}

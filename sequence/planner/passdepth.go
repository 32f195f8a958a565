package planner

import (
	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/calc/thread"
)

// passDepths are the depths of a thread's passes on radius: as on any lathe, or more of
// them where drive, jaws or work do not bear those. One whose passes they would not bear at
// another size inside its limits, or when a gauge is tight, is refused as well: an answer
// never makes a thread one that cannot be finished. Nothing comes back then, and it has
// been said.
func (b *build) passDepths(t *threading) []calc.Length {
	u := b.bears(t)
	depths := b.passesTo(t, t.depth, u)
	tip, err := thread.ParseTip(t.tool.Tip, t.v.sec.Thread.Pitch)
	if depths == nil || err != nil { // which has been said where the tool was chosen
		return nil
	}
	limits := t.limits()
	step := max(min(t.graduate/4, b.readingDivision()), limits.Tolerance()/mostSizes)
	for size := limits.Min; step > 0 && size <= limits.Max; size += step {
		deep, err := t.v.sec.Thread.Depth(tip, size)
		if err != nil {
			continue // no reading takes a blunt tip this far
		}
		if b.passesTo(t, deep, u) == nil {
			return nil
		}
	}
	return depths
}

// What holds passes back.
const (
	springOfWork = "by the spring of the work"
	springOfBar  = "by the spring of the bar"
)

// mostSizes is how many sizes inside the limits a thread is looked at for.
const mostSizes = 64

// limits are those of the diameter a thread is cut on.
func (t *threading) limits() fit.Limits {
	if t.inside != nil {
		return t.inside.c.bore.Diameter
	}
	return t.v.sec.Diameter
}

// passesTo are the depths of the passes to a depth that drive, jaws and work bear, or none
// and a refusal.
func (b *build) passesTo(t *threading, deep thread.Depth, u bearing) []calc.Length {
	s := t.v.sec
	total, half := b.total(deep)
	if total < deep.Start || total > deep.Limit {
		b.refuse(s, "set the top slide over and feed the last passes with it", "the depth of %s may be %s to %s, finer than the cross-slide ring",
			s.Thread, b.show(deep.Start), b.show(deep.Limit))
		return nil
	}
	law := thread.ConstantArea
	if s.Thread.Angle < 45*calc.Degree { // the chip is wide from the first pass on
		law = thread.Falling
	}
	for first := b.threadCut(s.Thread.Pitch); ; first = first * 4 / 5 {
		depths, err := thread.Passes(thread.PassPlan{Total: deep.Aim, First: first, Smallest: leastCut, Graduation: t.graduate, Law: law})
		if err != nil {
			b.refuse(s, "a finer ring or a deeper first pass is needed", "%v", err)
			return nil
		}
		if half {
			depths[len(depths)-1] = total
		}
		share, ruled := b.passShare(t, depths, u)
		more, by := b.moreShare(t, total, deep.Limit, u)
		if more *= loadShare; more > share {
			share, ruled = more, by
		}
		if share <= 1 {
			return depths
		}
		if least := max(leastCut, t.graduate); first*4/5 >= least {
			continue
		}
		if share*loadShare <= 1 {
			return depths // the ring is no finer, and it bears them
		}
		if first < leastCut || first*4/5 < t.graduate {
			b.refuse(s, lighter(ruled), "the passes of %s are held back %s", s.Thread, ruled)
			return nil
		}
	}
}

// lighter is what helps where passes are held back.
func lighter(ruled string) string {
	switch ruled {
	case springOfWork:
		return "a shorter thread, a thicker one, or a die"
	case springOfBar:
		return "a stouter inside threading tool, a shallower bore, or a tap"
	}
	return "a cross slide with a finer ring, a slower speed, or more power"
}

// total is the depth of the last pass as the cross-slide ring can be set, and whether that
// is between two of its lines.
func (b *build) total(deep thread.Depth) (total calc.Length, half bool) {
	if total = b.cross.dial.Snap(deep.Aim); total >= deep.Start && total <= deep.Limit {
		return total, false
	}
	return b.cross.lines(true).Snap(deep.Aim), true
}

// afterTight is the depth of the pass after a gauge was tight.
func (b *build) afterTight(t *threading, depth calc.Length) calc.Length {
	next := b.cross.dial.Snap(depth + max(t.graduate, leastCut/2))
	if next <= depth {
		next = depth + t.graduate
	}
	return next
}

// bearing is what the passes of a thread work against, the worst that answers can make it.
type bearing struct {
	work   float64     // how far the work gives under a newton, in nanometres
	bar    float64     // and the bar inside
	widest calc.Length // the largest diameter cut on
}

// bears is that of a thread.
func (b *build) bears(t *threading) bearing {
	const push = 100 // newtons; it gives in proportion
	u := bearing{widest: max(t.widest(), t.limits().Max)}
	m, end := b.weakest(t)
	u.work = float64(m.Bend(push, b.job.StickOut-b.job.Face-end)) / push
	if t.inside != nil {
		u.widest = t.widest()
		if bend, err := cutting.Boring(t.tool.Size, b.made.out, 0, push); err == nil {
			u.bar = float64(bend) / push
		}
	}
	return u
}

// passShare is the most of what drive, jaws and work bear that one of some passes takes.
func (b *build) passShare(t *threading, depths []calc.Length, u bearing) (share float64, ruled string) {
	var before calc.Length
	for _, d := range depths {
		if s, by := b.shareOf(t, before, d, u); s > share {
			share, ruled = s, by
		}
		before = d
	}
	return share, ruled
}

// moreShare is that of the passes that follow where a gauge stays tight.
func (b *build) moreShare(t *threading, depth, limit calc.Length, u bearing) (share float64, ruled string) {
	for next := b.afterTight(t, depth); next <= limit; depth, next = next, b.afterTight(t, next) {
		if s, by := b.shareOf(t, depth, next, u); s > share {
			share, ruled = s, by
		}
	}
	return share, ruled
}

// shareOf is that of one pass.
func (b *build) shareOf(t *threading, from, to calc.Length, u bearing) (share float64, ruled string) {
	f := b.job.Material.Threading(from, to, t.v.sec.Thread.Angle/2, cutting.Usual*cutting.BothFlanks)
	share, ruled = b.asks(f.Torque(u.widest), t.rpm)
	push := float64(cutting.Spread * f)
	if s := push * u.work / float64(cutting.GiveThread) / loadShare; s > share {
		share, ruled = s, springOfWork
	}
	if s := push * u.bar / float64(cutting.GiveThread) / loadShare; s > share {
		share, ruled = s, springOfBar
	}
	return share, ruled
}

// weakest is the work as it stands out of the jaws while a thread is cut, all finished, the
// weakest its limits allow: everything as thin as it may be, and what is thinner than its
// neighbour as long. end is where the passes meet it first.
func (b *build) weakest(t *threading) (m cutting.Beam, end calc.Length) {
	m.Material, m.Centre = b.job.Material, b.job.Centre
	jaws := b.job.StickOut - b.job.Face
	var out []cutting.Span // from the free end
	at := b.front
	add := func(to, thick calc.Length) {
		if to = min(to, jaws); to > at {
			out = append(out, cutting.Span{Length: to - at, Diameter: thick, Bore: b.hollowAt(at, true)})
			at = to
		}
	}
	var late, early calc.Length
	end = at
	for i := range b.levels {
		v := &b.levels[i]
		if v.sec == t.v.sec {
			end = v.place - v.sec.Length.Mid() - early
		}
		late += v.sec.Length.Max - v.sec.Length.Mid()
		early += v.sec.Length.Mid() - v.sec.Length.Min
		thick, behind := b.thinnest(v, t), b.job.Bar
		if i+1 < len(b.levels) {
			behind = b.thinnest(&b.levels[i+1], t)
		}
		to := v.place + late
		if thick > behind {
			to = v.place - early
		}
		switch u := v.sec.Undercut; {
		case u != nil:
			add(to-u.Width.Max, thick)
			add(to, u.Diameter.Min)
		case len(v.sec.Grooves) > 0:
			from := v.place - v.sec.Length.Mid()
			for k := range v.sec.Grooves {
				g := &v.sec.Grooves[k]
				left, right := g.Span(v.sec.Length.Mid())
				add(from+left, thick)
				add(from+right, g.Diameter.Min)
			}
			add(to, thick)
		default:
			add(to, thick)
		}
	}
	if last := &b.levels[len(b.levels)-1]; b.job.PartOff && !last.sec.AsBar { // it is turned on behind it, for the blade
		add(last.end+late, b.thinnest(last, t))
	}
	add(jaws, b.job.Bar)
	for i := len(out) - 1; i >= 0; i-- {
		m.Spans = append(m.Spans, out[i])
	}
	return m, end
}

// thinnest is the diameter a section resists bending with, the least it may be: of a thread
// its root.
func (b *build) thinnest(v *level, t *threading) calc.Length {
	switch {
	case v.sec.AsBar:
		return b.job.Bar
	case v.sec == t.v.sec:
		return v.size - 2*t.depth.Limit
	case v.sec.Thread != nil: // no tip leaves less than a sharp one
		return v.sec.Diameter.Min - v.sec.Thread.Pitch.Length()*155/100
	case v.sec.Knurl != nil:
		return b.core(v)
	}
	return v.sec.Diameter.Min
}

package bench

import (
	"turncue/calc"
	"turncue/sequence"
)

func (b *lathe) setZero(m sequence.Zero) {
	if !b.sane(m.X, m.Z) {
		return
	}
	if m.Slide == sequence.Sleeve {
		b.zeroSleeve(m)
		return
	}
	if b.tool == nil {
		b.fault(Consistent, "a ring is zeroed with no tool in the post")
		return
	}
	if m.On != sequence.InPlace && b.turn != b.cutsIn() {
		b.fault(Consistent, "the tool is touched on the work with the spindle %s, not %s", b.turn, b.cutsIn())
	}
	switch m.Slide {
	case sequence.Cross:
		b.zeroCross(m)
	case sequence.Top, sequence.CarriageWays:
		b.zeroAlong(m)
	case sequence.ClampNut:
		b.touchClamp(m)
	default:
		b.fault(Consistent, "no slide %q to zero", m.Slide)
	}
}

func (b *lathe) zeroCross(m sequence.Zero) {
	b.setting++
	switch m.On {
	case sequence.OnDiameter:
		b.touchDiameter(m.X)
	case sequence.OnCorner:
		if d := b.work.right(m.Z); (d - m.X).Abs() > 2*same {
			b.fault(Consistent, "there is no corner of diameter %s at z %s: the work is %s there", m.X, m.Z, d)
		}
		b.standAt(m.Z)
	case sequence.OnBore:
		b.touchBore(m.X)
	case sequence.OnMouth:
		b.touchMouth(m.X, m.Z)
		b.standAt(m.Z)
	case sequence.InPlace:
		b.inPlace(&b.cross, -m.X, "cross slide")
	default:
		b.fault(Consistent, "the cross slide cannot be zeroed on the %s", m.On)
	}
	b.followsNow("the ring of the cross slide is zeroed")
	b.touched, b.against = m.On == sequence.OnDiameter, false
	b.crashed = false
	b.cross.off = 0
	clear(b.put)
	way := sequence.In
	if b.inside() {
		way = sequence.Out
	}
	if outside := m.On == sequence.OnDiameter || m.On == sequence.OnCorner; outside == b.inside() && m.On != sequence.InPlace {
		b.fault(Consistent, "a tool that works %s is touched on the %s", side(b.inside()), m.On)
	}
	b.cross.place(-m.X, way, b.step)
	b.cross.zero, b.cross.zeroed = b.cross.ring(), true
}

// meetsAt is the diameter at which the tool meets a face it is moved along against: with
// a round nose its foremost point is beside the tip.
func (b *lathe) meetsAt() calc.Length {
	if b.tool.Kind == sequence.TurningTool {
		return b.x() + 2*b.tool.Radius
	}
	return b.x()
}

// right is the diameter just on the chuck side of z.
func (p Profile) right(z calc.Length) calc.Length {
	if q := p.piece(z); q != nil && z < q.To {
		return q.edge().at(z)
	}
	return 0
}

// left is the diameter just on the tailstock side of z.
func (p Profile) left(z calc.Length) calc.Length {
	for _, q := range p {
		if q.From < z && z <= q.To {
			return q.edge().at(z)
		}
	}
	return 0
}

// touchDiameter is the check that there is a surface of that diameter under the
// tool.
func (b *lathe) touchDiameter(x calc.Length) {
	if !b.carriage.known {
		for _, q := range b.work {
			if q.Left == q.Right && (q.Left-x).Abs() <= 2*same {
				return
			}
		}
		b.fault(Consistent, "no part of the work has a diameter of %s to touch on", x)
		return
	}
	var got calc.Length
	for _, e := range b.tool.covers(x, b.z(), b.z()) {
		if _, d, ok := b.work.span(e.from, e.to); ok {
			got = max(got, d)
		}
	}
	if b.led.clamped && b.tool.Kind == sequence.ThreadingTool {
		got = b.work.At(b.z()) // its point lies on the slope of a cone
	}
	if (got - x).Abs() > 2*same {
		b.fault(Consistent, "the tool is touched on a diameter of %s, but at z %s the work is %s", x, b.z(), got)
	}
}

func (b *lathe) zeroAlong(m sequence.Zero) {
	switch m.On {
	case sequence.OnEnd:
		if len(b.work) == 0 {
			b.fault(Consistent, "there is no end to touch on")
			break
		}
		b.touchRound(m.Z)
		b.roughEnd(m)
		b.rawEnd(m.Z)
		end := b.work[0]
		if off := min((end.From - m.Z).Abs(), (end.From - m.Z - b.tool.chuckSide()).Abs()); off > 2*same {
			b.fault(Consistent, "the tool is touched on an end at z %s, but the work ends at %s", m.Z, end.From)
		}
		if b.cross.known && b.inside() && b.x() < b.boreAt(m.Z+um) {
			b.fault(Consistent, "the tool at diameter %s is in the bore of the end it is touched on", b.x())
		}
		if b.cross.known && b.x() > end.Left {
			b.fault(Consistent, "the tool at diameter %s is outside the end it is touched on, %s thick", b.x(), end.Left)
		}
	case sequence.OnShoulder:
		small, large := b.work.left(m.Z), b.work.right(m.Z)
		switch {
		case large <= small:
			b.fault(Consistent, "there is no shoulder at z %s to touch on", m.Z)
		case b.cross.known && (b.meetsAt() < small-same || b.meetsAt() > large):
			b.fault(Consistent, "the tool at diameter %s does not meet the shoulder from %s to %s", b.x(), small, large)
		}
	case sequence.OnStep:
		b.touchStep(m.Z)
	case sequence.InPlace:
		if b.carriage.known {
			b.inPlace(&b.top, m.Z-b.carriage.stands, "top slide")
		} else {
			b.fault(Consistent, "a ring is zeroed where the tool stands, but that is not known")
		}
	case sequence.OnCorner:
		if d := b.work.right(m.Z); d == 0 {
			b.fault(Consistent, "there is no corner at z %s to touch on", m.Z)
		}
	default:
		b.fault(Consistent, "the %s cannot be zeroed on the %s", m.Slide, m.On)
	}
	if m.On != sequence.InPlace { // setting a ring moves nothing
		b.against = m.On == sequence.OnEnd || m.On == sequence.OnShoulder || m.On == sequence.OnStep
	}
	b.obstacles(b.x(), m.Z, m.Z)
	b.carriage.off = 0
	if m.Slide == sequence.Top {
		b.top.place(b.top.stands, sequence.In, b.step)
	}
	b.standAt(m.Z)
	b.carriage.way = ""
	if m.Slide == sequence.Top {
		b.top.zero, b.top.zeroed = b.top.stands, true
	} else {
		b.carriage.zero, b.carriage.zeroed = b.carriage.stands, true
	}
}

// roughEnd lets the sawn end of the bar be where it is touched first, within a
// division of the ring: what comes off it is set on that ring, and the finished end
// is where the last cut across stands.
func (b *lathe) roughEnd(m sequence.Zero) {
	end := &b.work[0]
	if m.Slide == sequence.Top && end.Step == 0 && end.From == -b.job.Face && (end.From-m.Z).Abs() <= b.top.dial.Division() {
		end.From = m.Z
	}
}

// rawEnd takes the end of the bar, as long as nothing was cut, to be where the
// plan says it touches it: what comes off is rounded to a division of the ring.
func (b *lathe) rawEnd(z calc.Length) {
	end := &b.work[0]
	if end.latest == 0 && end.From == -b.job.Face && (z-end.From).Abs() <= b.own.Top.Division() {
		end.From = z
	}
}

// inPlace is the check for a ring zeroed without touching: the slide stands at
// the place named, its slack taken up inwards.
func (b *lathe) inPlace(s *slide, at calc.Length, name string) {
	switch {
	case !s.known:
		b.fault(Consistent, "the ring of the %s is zeroed where the tool stands, but that is not known", name)
	case (s.stands - at).Abs() > same+s.off.Abs()+b.carriage.off.Abs():
		b.fault(Consistent, "the ring of the %s is zeroed %s from where the tool stands", name, s.travel((s.stands - at).Abs()))
	case s.way == sequence.Out:
		b.fault(FromOneSide, "the ring of the %s is zeroed with its slack of %s not taken up", name, s.dial.Slack)
	}
}

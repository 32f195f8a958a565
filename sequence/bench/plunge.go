package bench

import (
	"turncue/calc"
	"turncue/sequence"
)

func (b *lathe) plunge(m sequence.Plunge) {
	if !b.sane(m.From, m.To, m.Z) {
		return
	}
	if b.tool == nil {
		b.fault(Consistent, "the cross slide is fed with no tool in the post")
		return
	}
	if b.carriage.known {
		if off := (m.Z - b.z()).Abs(); off > same+b.carriage.off.Abs() {
			b.fault(Consistent, "the tool stands at z %s, the plan feeds in at %s", b.z(), m.Z)
		}
	}
	b.standAt(m.Z)
	if b.cross.known {
		if off := (m.From - b.x()).Abs(); off > same+b.cross.off.Abs() {
			b.fault(Consistent, "the tool stands at diameter %s, the plan feeds from %s", b.x(), m.From)
		}
		b.cross.stands = -m.From
	} else if b.inside() {
		b.cross.place(-m.From, sequence.In, b.step)
	} else {
		b.cross.place(-m.From, sequence.Out, b.step)
	}
	if m.Inside != b.inside() {
		b.fault(Consistent, "the plan feeds a tool %s that works %s", side(m.Inside), side(b.inside()))
	}
	b.handle(m.Handle, m.To < m.From, b.own.CrossClockwiseIn, "cross slide", m.To != m.From)
	b.cross = b.cross.after(-m.To, "", b.step)
	if m.Dial != nil {
		b.readable(&b.cross, m.Dial, "cross slide")
	}
	b.touched, b.against, b.crashed = false, false, false
	b.obstacles(min(b.x(), m.From), m.Z, m.Z)
	if b.inside() {
		b.plungeInside(m)
		return
	}
	if m.To >= m.From {
		return
	}
	if b.tool.Kind == sequence.KnurlingTool {
		b.carriageFromOneSide()
		b.press(b.z(), m.From, m.PerRev)
		b.clock((m.From-m.To)/2, m.PerRev, true)
		return
	}
	edges := b.tool.covers(b.x(), b.z(), b.z())
	if m.PerRev.IsZero() {
		b.meets(edges, "the cross slide goes in without a feed")
		return
	}
	b.carriageFromOneSide()
	b.take(edges, "feeding in")
	b.clock((m.From-m.To).Abs()/2, m.PerRev, true)
}

// side names where a tool works.
func side(inside bool) string {
	if inside {
		return "inside"
	}
	return "outside"
}

// plungeInside feeds a tool in a bore: out it cuts, in it is cleared.
func (b *lathe) plungeInside(m sequence.Plunge) {
	switch {
	case m.To <= m.From:
		b.barFits(b.z(), margin)
	case m.PerRev.IsZero():
		b.meetsInside("the cross slide goes out without a feed")
	default:
		b.carriageFromOneSide()
		b.takeInside(b.z(), "feeding out")
		b.clock((m.From-m.To).Abs()/2, m.PerRev, true)
	}
}

// meetsInside is the check that a move which is no cut does not run into the bore.
func (b *lathe) meetsInside(how string) {
	for _, e := range b.tool.tipEdges(b.x(), b.z(), b.z()) {
		if room, ok := b.roomInside(e); ok && room < -2*same {
			b.crashed = true
			b.fault(ToolClear, "%s and runs %s into the wall of the bore", how, -room/2)
			return
		}
	}
	b.barFits(b.z(), margin)
}

// carriageFromOneSide is the check that a carriage brought to a reading of its
// ring came there inwards.
func (b *lathe) carriageFromOneSide() {
	if b.carriage.way == sequence.Out && b.carriage.dial.Slack > 0 {
		b.faultAt(b.carriage.since, FromOneSide, "the carriage was brought to its reading outwards, up to %s short of it", b.carriage.dial.Slack)
	}
}

// pushes is the check that a tool lying against an end or a shoulder is not moved
// on into it.
func (b *lathe) pushes(by calc.Length) {
	if b.against && by > same {
		b.fault(ToolClear, "the tool lies against the work and is moved %s on into it: wind it out first", by)
	}
	b.against = b.against && by == 0
}

// meets is the check that a move which is no cut does not run into the work.
func (b *lathe) meets(edges []edge, how string) {
	for _, e := range edges {
		if room, ok := b.work.room(e); ok && room < -2*same {
			b.crashed = true
			b.fault(ToolClear, "%s and runs %s into the work", how, -room/2)
			return
		}
	}
}

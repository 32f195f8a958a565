package bench

import (
	"time"

	"turncue/calc"
	"turncue/sequence"
)

func (b *lathe) moveCarriage(m sequence.Carriage) {
	if !b.sane(m.From, m.To) {
		return
	}
	if b.carriage.known {
		if off := (m.From - b.z()).Abs(); off > same+b.carriage.off.Abs() {
			b.fault(Consistent, "the tool stands at z %s, the plan starts from %s", b.z(), m.From)
		}
	}
	b.standAt(m.From)
	b.drives(m)
	b.pushes(m.To - m.From)
	b.obstacles(b.x(), m.From, m.To)
	switch {
	case m.Cutting && b.inside() && b.tool.Kind == sequence.InsideThreadingTool:
		b.insidePass(m)
	case m.Cutting && b.inside():
		b.boring(m)
	case m.Cutting && b.tool != nil && b.tool.Kind == sequence.ThreadingTool:
		b.threadPass(m)
	case m.Cutting && b.tool != nil && b.tool.Kind == sequence.KnurlingTool:
		b.knurlAlong(m)
	case m.Cutting && b.led.clamped:
		b.turnLed(m)
	case m.Cutting:
		b.turning(m)
	default:
		b.travels(m)
	}
	if m.By == sequence.ByHalfNut && m.To != m.From {
		b.drove = drove{grip: b.grip.n, moved: true, outwards: outward(m)}
	}
	b.leads(m)
	b.arrive(m)
	b.clock((m.To - m.From).Abs(), m.PerRev, m.By != sequence.ByHandwheel || m.Cutting)
}

// drives is the check that what is to move the carriage can.
func (b *lathe) drives(m sequence.Carriage) {
	switch m.By {
	case sequence.ByHandwheel:
		switch {
		case b.nut:
			b.fault(InStep, "the carriage is moved %s by hand with the half-nuts shut", (m.To - m.From).Abs())
		case b.feed:
			b.fault(Consistent, "the carriage is moved by hand with the power feed in")
		}
	case sequence.ByPowerFeed:
		if b.nut {
			b.fault(InStep, "the carriage is fed by power with the half-nuts shut")
		}
		if b.turn != sequence.Forward && !m.Cutting {
			b.fault(Consistent, "the power feed does not move the carriage with the spindle %s", b.turn)
		}
		listed := false
		for _, f := range b.own.PowerFeeds {
			listed = listed || f == m.PerRev
		}
		if !listed {
			b.fault(Consistent, "the lathe has no power feed of %s a turn", m.PerRev)
		}
	case sequence.ByHalfNut:
		if !b.nut {
			b.fault(InStep, "the carriage cannot move %s by the leadscrew: the half-nuts are open", (m.To - m.From).Abs())
		}
		if b.turn == sequence.ByHand && !b.isolated {
			b.fault(Standing, "the spindle is cranked by hand with the supply on")
		}
		if b.turn == sequence.Stop && m.Cutting {
			b.fault(Consistent, "the leadscrew does not turn: the spindle stands still")
		}
	default:
		b.fault(Consistent, "nothing moves the carriage by %q", m.By)
	}
}

// arrive brings the carriage to the end of a move and looks at its ring.
func (b *lathe) arrive(m sequence.Carriage) {
	way := sequence.In
	if m.To < m.From {
		way = sequence.Out
	}
	b.standAt(m.To)
	if m.Dial != nil {
		switch {
		case b.own.Carriage == nil || b.carriage.dial.Divisions == 0:
			b.fault(Consistent, "the lathe has no ring on its carriage wheel")
		case !b.carriage.zeroed:
			b.fault(Consistent, "the carriage ring is read before it is zeroed for this tool")
		default:
			b.ring(&b.carriage, m.Dial, "carriage")
		}
	}
	if m.To != m.From {
		b.carriage.since, b.carriage.way = b.step, ""
		if m.By == sequence.ByHandwheel && m.Dial != nil {
			b.carriage.way = way
		}
		b.touched = false
	}
}

// turning is a cut along the work.
func (b *lathe) turning(m sequence.Carriage) {
	if b.tool == nil {
		b.fault(Consistent, "a cut with no tool in the post")
		return
	}
	if !b.cross.known {
		b.fault(Consistent, "a cut with a %s tool whose diameter is not known: it was never zeroed", b.tool.Kind)
		return
	}
	if m.To < m.From && b.tool.Kind == sequence.TurningTool && b.tool.Hand != "left" {
		b.fault(Consistent, "a %s-hand turning tool cuts towards the chuck, not from %s to %s", b.tool.Hand, m.From, m.To)
	}
	b.take(b.tool.sweeps(b.x(), m.From, m.To), "turning")
}

// boring is a cut along the wall of a bore.
func (b *lathe) boring(m sequence.Carriage) {
	switch {
	case !b.cross.known:
		b.fault(Consistent, "a cut with a %s whose diameter is not known: it was never zeroed", b.tool.Kind)
	case b.tool.Kind != sequence.BoringTool || m.To < m.From:
		b.fault(Consistent, "a %s is fed along a bore from %s to %s: only a boring bar cuts there, towards the chuck", b.tool.Kind, m.From, m.To)
	default:
		b.takeInside(m.To, "boring")
	}
}

// travels is a move without a cut: the tool keeps clear of the work.
func (b *lathe) travels(m sequence.Carriage) {
	if m.By == sequence.ByHalfNut {
		b.returns(m)
	}
	if b.led.clamped {
		b.clearAlong(m)
		return
	}
	b.clearOfWork(m.From, m.To, "the carriage goes back")
}

// clearOfWork is the check of rule 1 for the way between two places of z.
func (b *lathe) clearOfWork(from, to calc.Length, before string) {
	if !b.placed() || b.crashed {
		return
	}
	if b.inside() {
		b.clearInside(from, to, before)
		return
	}
	for _, e := range b.tool.covers(b.x(), from, to) {
		room, ok := b.work.room(e)
		if !ok || room >= 2*margin {
			continue
		}
		if b.touched && room >= -same && to <= from {
			continue // sliding off a diameter it was touched on
		}
		b.crashed = true
		if room <= 0 {
			b.fault(ToolClear, "the tool stands %s deep in the work before %s; wind the handle out %s first, its slack of %s included", -room/2, before, margin-room/2+b.own.Cross.Slack, b.own.Cross.Slack)
		} else {
			b.fault(ToolClear, "the tool is clear by %s before %s, it needs %s beyond the slack of %s", room/2, before, margin, b.own.Cross.Slack)
		}
		return
	}
}

// take lets the tool cut along some edges. The spindle, the slides and what the
// part needs elsewhere are looked at first.
func (b *lathe) take(edges []edge, doing string) {
	b.cutting(doing)
	b.fromOneSide(doing)
	b.gouges(edges)
	b.spares(edges)
	b.bears(b.work.bites(edges), false, doing)
	if k := b.ownSection(); k >= 0 && b.along && b.tool.Kind == sequence.TurningTool {
		b.sections[k].awaiting.taper = b.taper(b.plain(k))
	}
	b.remove(edges)
	b.noteGroove()
}

// cutting is the check that the spindle turns the right way for a cut.
func (b *lathe) cutting(doing string) {
	switch b.turn {
	case sequence.Forward:
	case sequence.Reverse:
		if b.screwed() {
			b.fault(NoReverseCut, "%s in reverse with a screwed chuck", doing)
		} else {
			b.fault(Consistent, "%s in reverse with the tool the right way up", doing)
		}
	default:
		b.fault(Consistent, "%s with the spindle not turning", doing)
	}
}

// fromOneSide is the check that both slides were brought to their places inwards.
func (b *lathe) fromOneSide(doing string) {
	for _, s := range []*slide{&b.cross, &b.top} {
		name := "cross slide"
		if s == &b.top {
			name = "top slide"
		}
		wrong, how := sequence.Out, "outwards"
		if s == &b.cross && b.inside() {
			wrong, how = sequence.In, "inwards, away from the cut,"
		}
		if s.way != wrong {
			continue
		}
		b.faultAt(s.since, FromOneSide, "the %s was brought to its place %s before %s: it is loose by its slack of %s", name, how, doing, s.dial.Slack)
		if b.step != nil {
			b.spoiled[b.step.Section] = true
		}
	}
}

// remove takes the metal off and notes it for the sections.
func (b *lathe) remove(edges []edge) calc.Length {
	before := b.sample()
	var most calc.Length
	n := 0
	if b.step != nil {
		n = b.step.N
	}
	for _, e := range edges {
		left, off := b.work.cut(b.spare[:0], e, n)
		b.spare, b.work = b.work, left
		most = max(most, off)
		b.breakThrough(e, n)
	}
	if len(b.bores) > 0 || b.round {
		b.walls()
	}
	b.noteCuts(before)
	b.severed()
	return most
}

// severed parts what a cut through the middle left hanging in the air.
func (b *lathe) severed() {
	i := b.work.gap()
	if i == 0 {
		return
	}
	if b.tool.Kind != sequence.PartingTool || b.parted {
		b.fault(WithinLimits, "the %s tool cuts the work in two at z %s", b.tool.Kind, b.work[i-1].To)
	}
	// The stock stays in the chuck and can be worked on; the part is put by.
	b.rest = append(Profile{}, b.work[i:]...)
	if !b.parted {
		b.result.Profile = append(Profile{}, b.work[:i]...)
	}
	b.parted = true
	b.spare, b.work = nil, append(Profile{}, b.rest...)
}

// clock adds the time a travel takes at the present speed.
func (b *lathe) clock(travel calc.Length, perTurn calc.Lead, driven bool) {
	per := perTurn.Length()
	if !driven || per <= 0 || b.rpm <= 0 || (b.turn != sequence.Forward && b.turn != sequence.Reverse) {
		return
	}
	b.machine += time.Duration(float64(travel) / float64(per) / b.rpm.PerMinute() * float64(time.Minute))
}

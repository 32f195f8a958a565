package bench

import (
	"turncue/calc"
	"turncue/sequence"
)

func (b *lathe) shift(m sequence.Shift) {
	switch m.Slide {
	case sequence.Cross:
		b.shiftCross(m)
	case sequence.Top:
		if m.Angle != 0 || b.swing.set != 0 {
			b.slope(m)
			return
		}
		b.shiftTop(m)
	default:
		b.fault(Consistent, "the %s is not moved by a slide's handle", m.Slide)
	}
}

func (b *lathe) shiftCross(m sequence.Shift) {
	if !b.sane(m.X) {
		return
	}
	b.touched, b.against, b.crashed = false, false, false
	if !b.cross.known {
		b.handle(m.Handle, m.Approach == sequence.In, b.own.CrossClockwiseIn, "cross slide", true)
		b.cross.place(-m.X, m.Approach, b.step)
		if m.Dial != nil {
			b.readable(&b.cross, m.Dial, "cross slide")
		}
	} else {
		b.turnHandle(&b.cross, m, -m.X, b.own.CrossClockwiseIn, "cross slide")
	}
	if m.Inside != b.inside() {
		b.fault(Consistent, "the plan moves a tool %s that works %s", side(m.Inside), side(b.inside()))
	}
	if b.placed() && b.inside() {
		b.meetsInside("the cross slide goes " + string(m.Approach))
	} else if b.placed() && m.Approach == sequence.In {
		b.meets(b.tool.covers(b.x(), b.z(), b.z()), "the cross slide goes in")
	}
	if b.carriage.known {
		b.obstacles(b.x(), b.z(), b.z())
	}
}

func (b *lathe) shiftTop(m sequence.Shift) {
	if !b.sane(m.Z) {
		return
	}
	b.touched = false
	if !b.carriage.known {
		b.handle(m.Handle, m.Approach == sequence.In, b.own.TopClockwiseIn, "top slide", true)
		b.top.place(b.top.stands, m.Approach, b.step)
		b.standAt(m.Z)
		if m.Dial != nil {
			b.readable(&b.top, m.Dial, "top slide")
		}
		b.obstacles(b.x(), m.Z, m.Z)
		return
	}
	from := b.z()
	b.turnHandle(&b.top, m, m.Z-b.carriage.stands, b.own.TopClockwiseIn, "top slide")
	b.obstacles(b.x(), m.Z, m.Z)
	b.pushes(b.z() - from)
	b.topGoes()
	switch {
	case !m.PerRev.IsZero():
		b.feedsTop(m, from)
	case b.placed() && b.inside():
		b.meetsInside("the top slide goes along")
	case b.placed():
		b.meets(b.tool.covers(b.x(), from, b.z()), "the top slide goes along")
	}
}

// turnHandle moves a slide whose place is known, and looks at the direction, the
// slack, the turns, the handle and the ring.
func (b *lathe) turnHandle(s *slide, m sequence.Shift, to calc.Length, clockwiseIn bool, name string) {
	d := to - s.stands
	slip := same + s.off.Abs()
	switch {
	case m.Approach == sequence.In && d < -slip:
		b.fault(FromOneSide, "the %s is to come in to its place but stands %s further in: back off beyond the slack of %s first", name, s.travel(-d), s.dial.Slack)
	case m.Approach == sequence.Out && d > slip:
		b.fault(FromOneSide, "the %s is to go out to its place but has to come %s in", name, s.travel(d))
	case m.Approach != sequence.In && m.Approach != sequence.Out:
		b.fault(Consistent, "the %s goes neither in nor out", name)
	}
	next := s.after(to, m.Approach, b.step)
	lost := 0.0
	if s.way != "" && next.way != s.way {
		lost = float64(s.dial.Slack) / float64(s.dial.Travel)
	}
	counted := m.Dial != nil || m.WholeTurns != 0 || m.Lash.Sign() != 0
	if off := m.Lash.Float() - lost; counted && s.way != "" && (off > lashSlip || off < -lashSlip) {
		b.fault(Consistent, "the %s loses %.3f turns to slack here, the plan says %.3f", name, lost, m.Lash.Float())
	}
	if m.WholeTurns != 0 {
		n := max(m.WholeTurns, -m.WholeTurns)
		want, turned := calc.Length(n)*s.dial.Travel, s.travel((next.ring() - s.ring()).Abs())
		if n > mostTurns || (turned-want).Abs() > slip {
			b.fault(Consistent, "%d whole turns of the %s are %s, the plan turns it %s", n, name, want, turned)
		}
	}
	b.handle(m.Handle, d > 0, clockwiseIn, name, d != 0)
	*s = next
	if m.Dial != nil {
		b.readable(s, m.Dial, name)
	}
}

// mostTurns is more than any slide's screw has.
const mostTurns = 1000

// lashSlip is how far a stated loss of slack may be off, in turns.
const lashSlip = 0.001

// handle is the check that a handle is turned the way that moves the slide.
func (b *lathe) handle(r sequence.Rotation, in, clockwiseIn bool, name string, moves bool) {
	if r == "" || !moves {
		return
	}
	want := sequence.Anticlockwise
	if in == clockwiseIn {
		want = sequence.Clockwise
	}
	if r != want {
		b.fault(Consistent, "the %s handle is to be turned %s, that moves it the other way", name, r)
	}
}

// readable is the check of a ring that must have been zeroed for this tool.
func (b *lathe) readable(s *slide, d *sequence.Dial, name string) {
	if !s.zeroed {
		b.fault(Consistent, "the ring of the %s is read before it is zeroed for this tool", name)
		return
	}
	b.ring(s, d, name)
}

// ring is the check that the ring shows what the plan says, within half a
// division.
func (b *lathe) ring(s *slide, d *sequence.Dial, name string) {
	if d.OnDiameter != s.dial.OnDiameter || (d.Division-s.dial.MarkedDivision()).Abs() > calc.Nanometre {
		b.fault(Consistent, "the ring of the %s has divisions of %s, the plan reads one of %s", name, s.dial.MarkedDivision(), d.Division)
		return
	}
	if d.Turns > mostTurns || d.Turns < -mostTurns || !b.sane(d.Reading) {
		b.fault(Consistent, "%d turns of the %s: no slide has so many", d.Turns, name)
		return
	}
	if off := s.shows(d); off.Abs() > s.dial.Division()/2+2*calc.Nanometre {
		set := s.dial.Setting(s.travel(s.ring() - s.zero))
		b.fault(Consistent, "the ring of the %s stands at %d turns and %s there, the plan says %d turns and %s, %s off",
			name, set.Turns, set.Reading, d.Turns, d.Reading, off.Abs())
	}
}

package planner

import (
	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence"
)

// margin is how far a tool is taken clear of the work beyond depth and slack
// (common practice).
const margin = calc.Millimetre / 10

// ring is a dial with its zero set: where the slide stands, as the ring says it.
type ring struct {
	slide sequence.Slide
	dial  setup.Dial
	zero  calc.Length  // x of the zero on the cross slide, z on the others
	at    calc.Length  // travel from zero as the ring shows it, inwards positive
	last  sequence.Way // the way of the last movement
	// in is which way the handle turns to go in.
	in sequence.Rotation
	// inside says that the tool works in a bore: it is brought to a cut outwards.
	inside bool
}

func newRing(slide sequence.Slide, d setup.Dial, clockwiseIn bool) ring {
	r := ring{slide: slide, dial: d, last: sequence.In, in: sequence.Anticlockwise}
	if clockwiseIn {
		r.in = sequence.Clockwise
	}
	return r
}

// offset is the travel from zero that brings the slide to a position. The cross
// slide's position is a diameter and falls as the slide goes in.
func (r *ring) offset(position calc.Length) calc.Length {
	if r.slide == sequence.Cross {
		return (r.zero - position) / 2
	}
	return position - r.zero
}

// position is where the slide stands at a travel from zero, slack taken up
// inwards.
func (r *ring) position(offset calc.Length) calc.Length {
	if r.slide == sequence.Cross {
		return r.zero - 2*offset
	}
	return r.zero + offset
}

// snap is the position on the nearest line of the ring, or with half on the
// nearest half division.
func (r *ring) snap(position calc.Length, half bool) calc.Length {
	return r.position(r.lines(half).Snap(r.offset(position)))
}

// lines is the dial read to whole or to half divisions.
func (r *ring) lines(half bool) setup.Dial {
	d := r.dial
	if half {
		d.Divisions *= 2
	}
	return d
}

// shown is what the ring says at a travel from zero.
func (r *ring) shown(offset calc.Length) *sequence.Dial {
	s := r.dial.Setting(offset)
	if s.Rest != 0 {
		s = r.lines(true).Setting(offset)
	}
	return &sequence.Dial{
		Turns: s.Turns, Reading: s.Reading, Division: r.dial.MarkedDivision(),
		Unit: markedIn(r.dial.MarkedDivision()), OnDiameter: r.dial.OnDiameter, Outward: r.inside,
	}
}

// markedIn is the unit a ring is marked in: a division that is a whole number of
// tenths of a thou and no whole number of five micrometres is an inch one. 1.27
// mm and its multiples are inch divisions too, no metric ring has them.
func markedIn(division calc.Length) calc.Length {
	tenth := calc.Thou / 10
	if division%tenth == 0 && (division%(5*calc.Micrometre) != 0 || division%(calc.Inch/20) == 0) {
		return calc.Inch
	}
	return calc.Millimetre
}

// lash is the handle travel lost when the direction changes to a way.
func (r *ring) lash(way sequence.Way) calc.Ratio {
	if r.last == way || r.dial.Travel <= 0 {
		return calc.Ratio{}
	}
	lost, err := calc.NewRatio(int64(r.dial.Slack), int64(r.dial.Travel))
	if err != nil {
		return calc.Ratio{}
	}
	return lost
}

// turn is the way the handle goes.
func (r *ring) turn(way sequence.Way) sequence.Rotation {
	if (way == sequence.In) == (r.in == sequence.Clockwise) {
		return sequence.Clockwise
	}
	return sequence.Anticlockwise
}

// cutting is the way the slide goes to a cut.
func (r *ring) cutting() sequence.Way {
	if r.inside {
		return sequence.Out
	}
	return sequence.In
}

// to is the movement to a position in the cutting direction, rounded to a line of the
// ring.
func (r *ring) to(position calc.Length, half bool) sequence.Shift {
	off := r.lines(half).Snap(r.offset(position))
	way := r.cutting()
	m := sequence.Shift{
		Slide: r.slide, Dial: r.shown(off), Approach: way,
		Lash: r.lash(way), Handle: r.turn(way), Inside: r.inside,
	}
	r.at, r.last = off, way
	r.stand(&m, r.position(off))
	return m
}

// out is the movement out of the work by whole turns that clears a depth, the slack
// and a margin, so that the ring comes back to the same reading.
func (r *ring) out(depth calc.Length) sequence.Shift {
	n := r.dial.WholeTurnsClear(depth, margin)
	if r.inside {
		m := r.inwards(r.at + calc.Length(n)*r.dial.Travel)
		m.WholeTurns = n
		return m
	}
	lash := r.lash(sequence.Out)
	at := r.at - calc.Length(n)*r.dial.Travel
	m := sequence.Shift{
		Slide: r.slide, Dial: r.shown(at), Approach: sequence.Out,
		Lash: lash, WholeTurns: n, Handle: r.turn(sequence.Out),
	}
	r.at, r.last = at, sequence.Out
	r.stand(&m, r.position(at+r.dial.Slack))
	return m
}

// clearOf is the movement in, inside a bore, to a line of the ring at which the tip
// stands no further out than a position.
func (r *ring) clearOf(position calc.Length) sequence.Shift {
	off := r.offset(position) + r.dial.Slack
	at := r.dial.SnapIn(off)
	if at < off {
		at = r.dial.Snap(at + r.dial.Division())
	}
	return r.inwards(at)
}

// inwards is the movement in, inside a bore, to a travel from zero: the tip stays
// behind by the slack.
func (r *ring) inwards(at calc.Length) sequence.Shift {
	m := sequence.Shift{
		Slide: r.slide, Dial: r.shown(at), Approach: sequence.In,
		Lash: r.lash(sequence.In), Handle: r.turn(sequence.In), Inside: true,
	}
	r.at, r.last = at, sequence.In
	r.stand(&m, r.position(at-r.dial.Slack))
	return m
}

// enter is the place of the tip in front of a bore before the ring has a zero there.
func (r *ring) enter(position calc.Length) sequence.Shift {
	r.last = sequence.In
	return sequence.Shift{Slide: r.slide, X: position, Approach: sequence.In, Handle: r.turn(sequence.In), Inside: true}
}

// away is a movement out beyond the slack to no particular reading.
func (r *ring) away(position calc.Length) sequence.Shift {
	m := sequence.Shift{Slide: r.slide, Approach: sequence.Out, Lash: r.lash(sequence.Out), Handle: r.turn(sequence.Out)}
	r.at, r.last = r.offset(position)-r.dial.Slack, sequence.Out
	r.stand(&m, position)
	return m
}

func (r *ring) stand(m *sequence.Shift, position calc.Length) {
	if r.slide == sequence.Cross {
		m.X = position
		return
	}
	m.Z = position
}

// set zeroes the ring at a position, slack taken up in the cutting direction.
func (r *ring) set(position calc.Length, on sequence.Touch) sequence.Zero {
	r.zero, r.at, r.last = position, 0, r.cutting()
	m := sequence.Zero{Slide: r.slide, On: on}
	if r.slide == sequence.Cross {
		m.X = position
	} else {
		m.Z = position
	}
	return m
}

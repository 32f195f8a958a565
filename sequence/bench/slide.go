package bench

import (
	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence"
)

// slide is one slide with its ring and its slack. Everything is in the unit of
// its coordinate: the cross slide counts on diameter, so its scale is two.
// Inwards is positive: the place of the cross slide is -x.
type slide struct {
	dial   setup.Dial
	scale  int64
	known  bool
	stands calc.Length // where the slide stands
	lag    calc.Length // how far the ring is outwards of that: the slack, after going out
	way    sequence.Way
	zero   calc.Length
	zeroed bool
	since  *sequence.Step // the step that moved it last
	off    calc.Length    // what a reading put it right by
}

func (s *slide) slack() calc.Length { return s.dial.Slack * calc.Length(s.scale) }

// travel is a difference of places as true travel of the slide, rounded towards
// zero to the nanometre.
func (s *slide) travel(d calc.Length) calc.Length { return d / calc.Length(s.scale) }

// ring is where the ring puts the slide.
func (s *slide) ring() calc.Length { return s.stands - s.lag }

// after is the slide once it was brought to a place. To stay where it is and take
// the slack up one way is a move too.
func (s slide) after(to calc.Length, way sequence.Way, by *sequence.Step) slide {
	switch d := to - s.stands; {
	case d > 0 || (d == 0 && way == sequence.In):
		s.lag, s.way = 0, sequence.In
	case d < 0 || (d == 0 && way == sequence.Out):
		s.lag, s.way = s.slack(), sequence.Out
	}
	s.stands, s.known, s.since = to, true, by
	return s
}

// place puts the slide somewhere by touching or by eye, slack taken up that way.
func (s *slide) place(at calc.Length, way sequence.Way, by *sequence.Step) {
	s.stands, s.known, s.way, s.since, s.lag = at, true, way, by, 0
	if way == sequence.Out {
		s.lag = s.slack()
	}
}

// correct moves the whole scale, ring and zero with it, by what a reading showed.
func (s *slide) correct(by calc.Length) {
	s.stands += by
	s.zero += by
	s.off += by
}

// forget takes the reading's correction back.
func (s *slide) forget() { s.correct(-s.off) }

// shows is how far a ring setting lies from where the ring is, in the slide's own
// travel: above zero the setting is further in.
func (s *slide) shows(d *sequence.Dial) calc.Length {
	return s.dial.Position(d.Turns, d.Reading) - s.travel(s.ring()-s.zero)
}

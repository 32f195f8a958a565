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
	scale  calc.Length
	known  bool
	at     calc.Length // where the ring puts it
	lag    calc.Length // how much further in it stands, because the slack was not taken up
	way    sequence.Way
	zero   calc.Length
	zeroed bool
	since  *sequence.Step // the step that moved it last
	off    calc.Length    // what a reading put it right by
}

func (s *slide) slack() calc.Length { return s.dial.Slack * s.scale }

// stands is where the slide really is.
func (s *slide) stands() calc.Length { return s.at + s.lag }

// move brings the ring to a place; the slide follows when the slack is taken up.
func (s *slide) move(to calc.Length, by *sequence.Step) {
	switch d := to - s.at; {
	case d > 0:
		s.lag, s.way = max(0, s.lag-d), sequence.In
	case d < 0:
		s.lag, s.way = min(s.slack(), s.lag-d), sequence.Out
	}
	s.at, s.known, s.since = to, true, by
}

// place puts the slide somewhere by touching or by eye, slack taken up that way.
func (s *slide) place(at calc.Length, way sequence.Way, by *sequence.Step) {
	s.at, s.known, s.way, s.since, s.lag = at, true, way, by, 0
	if way == sequence.Out {
		s.lag = s.slack()
	}
}

// correct moves the whole scale, ring and zero with it, by what a reading showed.
func (s *slide) correct(by calc.Length) {
	s.at += by
	s.zero += by
	s.off += by
}

// forget takes the reading's correction back.
func (s *slide) forget() { s.correct(-s.off) }

// shows is how far a ring setting lies from a place, in the slide's own travel:
// above zero the ring would stand further in.
func (s *slide) shows(d *sequence.Dial, place calc.Length) calc.Length {
	return (s.dial.Position(d.Turns, d.Reading)*s.scale - (place - s.zero)) / s.scale
}

package gear

import (
	"errors"
	"fmt"

	"turncue/calc"
)

// Want is what is asked of the gears, and what there is to make it of.
type Want struct {
	Lead      calc.Lead  // lead of the thread, or feed per turn
	Leadscrew calc.Lead  // lead of the leadscrew
	Wheels    Wheels     // wheels owned; not needed by Check
	Banjo     Banjo      // what they hang on
	Fixed     calc.Ratio // turns of the first driver per turn of the spindle; 0 is 1
	Levers    []Lever    // positions of a gearbox between; none is no gearbox
	LeftHand  bool       // the thread, or the feed, goes the other way
	Tumbler   bool       // the lathe has a tumbler, or another reverse, for the leadscrew
	Present   Train      // what is mounted now; none is not known

	Length    calc.Length // of the thread, for the drift; 0 is not known
	Pitch     calc.Length // of a multi-start thread; 0 is the lead
	Diameter  calc.Length // nominal, of the thread; 0 takes eight pitches
	Tolerance calc.Length // of the pitch diameter; 0 is PitchTolerance
	Angle     calc.Angle  // between its flanks; 0 is 60 degrees
	Engaged   calc.Length // length a nut engages; 0 is one diameter, or the thread where that is shorter

	Most int // trains returned; 0 is 40
}

// Lever is one position of a gearbox between the change gears and the leadscrew.
type Lever struct {
	Name  string
	Ratio calc.Ratio // turns of the leadscrew per turn of its input
}

const (
	defaultMost = 40
	maxMost     = 5000
	maxLevers   = 200
)

func (w Want) check() error {
	switch {
	case w.Lead.Nanometres().Num() <= 0:
		return errors.New("no lead wanted: give one such as 1.5 mm or 16 tpi")
	case w.Leadscrew.Nanometres().Num() <= 0:
		return errors.New("no leadscrew: give its lead, such as 1.5 mm or 16 tpi")
	case w.Fixed.Num() < 0:
		return fmt.Errorf("fixed ratio %s is below zero", w.Fixed)
	case w.Length < 0 || w.Pitch < 0 || w.Diameter < 0 || w.Tolerance < 0 || w.Engaged < 0:
		return errors.New("a length of the thread is below zero")
	case w.Most < 0 || w.Most > maxMost:
		return fmt.Errorf("%d trains wanted: give 1 to %d", w.Most, maxMost)
	case len(w.Levers) > maxLevers:
		return fmt.Errorf("%d gearbox positions: at most %d", len(w.Levers), maxLevers)
	}
	for _, l := range w.Levers {
		if l.Ratio.Sign() <= 0 {
			return fmt.Errorf("gearbox position %q has ratio %s: give one above zero", l.Name, l.Ratio)
		}
	}
	return w.Banjo.Check()
}

func (w Want) most() int {
	if w.Most == 0 {
		return defaultMost
	}
	return w.Most
}

func (w Want) fixed() calc.Ratio {
	if w.Fixed.Num() == 0 {
		return one
	}
	return w.Fixed
}

// levers is the gearbox positions, at least a direct one.
func (w Want) levers() []Lever {
	if len(w.Levers) == 0 {
		return []Lever{{Ratio: one}}
	}
	return w.Levers
}

// ratio is what the change gears have to do in a gearbox position.
func (w Want) ratio(l Lever) (calc.Ratio, error) {
	r, err := w.Lead.Over(w.Leadscrew)
	for _, f := range [2]calc.Ratio{w.fixed(), l.Ratio} {
		if err == nil && f != one {
			r, err = r.Over(f)
		}
	}
	return r, err
}

func (w Want) pitch() calc.Length {
	if w.Pitch != 0 {
		return w.Pitch
	}
	nm := w.Lead.Nanometres()
	return calc.Length((nm.Num()+nm.Den()/2)/nm.Den()) * calc.Nanometre
}

func (w Want) diameter(pitch calc.Length) calc.Length {
	if w.Diameter != 0 {
		return w.Diameter
	}
	return 8 * pitch
}

func (w Want) engaged(pitch calc.Length) calc.Length {
	d := w.diameter(pitch)
	switch {
	case w.Engaged != 0:
		return w.Engaged
	case w.Length != 0:
		return min(w.Length, d)
	default:
		return d
	}
}

// half is the angle of a flank from square.
func (w Want) half() calc.Angle {
	if w.Angle <= 0 {
		return 30 * calc.Degree
	}
	return w.Angle / 2
}

func (w Want) tolerance(pitch calc.Length) calc.Length {
	if w.Tolerance != 0 {
		return w.Tolerance
	}
	return PitchTolerance(pitch, w.diameter(pitch))
}

package setup

import (
	"errors"
	"fmt"
	"math"

	"turncue/calc"
)

// Taper is a cone by its change of diameter in a length. The zero Taper is none.
type Taper struct {
	Change calc.Length // of diameter
	Length calc.Length // along the axis
}

// OneIn is a taper of 1 in n on diameter: 1 in 16 is [OneIn] of 16.
func OneIn(n calc.Ratio) (Taper, error) {
	if n.Sign() <= 0 {
		return Taper{}, fmt.Errorf("a taper of 1 in %s: give a number above zero", n)
	}
	// A length of n times a round change keeps both whole for any n in use.
	return Taper{calc.Length(n.Den()) * 1000 * calc.Millimetre, calc.Length(n.Num()) * 1000 * calc.Millimetre}, nil
}

// Between is the taper of two diameters a length apart, whichever is larger.
func Between(d1, d2, length calc.Length) (Taper, error) {
	t := Taper{(d1 - d2).Abs(), length}
	return t, t.Check()
}

// Check refuses what is no taper.
func (t Taper) Check() error {
	switch {
	case t.Length <= 0:
		return errors.New("a taper without a length: give the length the diameter changes over")
	case t.Change <= 0:
		return errors.New("a taper without a change of diameter: give two different diameters")
	case t.Change > 20*t.Length:
		return fmt.Errorf("a taper of %s in %s is steeper than a face", t.Change, t.Length)
	}
	return nil
}

// PerLength is the change of diameter for a unit of length.
func (t Taper) PerLength() float64 { return float64(t.Change) / float64(t.Length) }

// HalfAngle is the angle a top slide is set to, from the axis, rounded to the
// milliarcsecond. The included angle is twice it.
func (t Taper) HalfAngle() calc.Angle { return calc.Radians(math.Atan(t.PerLength() / 2)) }

// SetOver is how far the tailstock is moved across for a bar of that length
// between its centres, exactly (length x sine of the half angle), rounded to the
// nanometre. Towards the operator makes the small end at the tailstock. Beyond a
// fiftieth of the length the centres should be balls.
func (t Taper) SetOver(centres calc.Length) calc.Length {
	return calc.Millimetres(centres.Millimetres() * math.Sin(math.Atan(t.PerLength()/2)))
}

// SetOverUsual is the set-over by the rule in use, length x change / twice the
// taper's length; it is a little more than [Taper.SetOver]. Rounded half away from
// zero to the nanometre.
func (t Taper) SetOverUsual(centres calc.Length) calc.Length {
	if t.Length <= 0 {
		return 0
	}
	return scale(centres, int64(t.Change), 2*int64(t.Length))
}

// Steep says that the set-over of a bar wants centres with ball ends (common
// practice: beyond a fiftieth of its length).
func (t Taper) Steep(centres calc.Length) bool { return t.SetOver(centres) > centres/50 }

// Depth is how much further a plug goes in for a change of diameter, rounded half
// away from zero to the nanometre.
func (t Taper) Depth(change calc.Length) calc.Length {
	if t.Change <= 0 {
		return 0
	}
	return scale(change, int64(t.Length), int64(t.Change))
}

// Gauge is what a dial gauge on the top slide changes by over a travel of the slide
// against a true bar, to set the angle by, rounded to the nanometre.
func (t Taper) Gauge(travel calc.Length) calc.Length {
	return TopSlide{t.HalfAngle()}.In(travel)
}

// Align is how far a tailstock has to be moved, and where to, so that a bar between
// centres is turned parallel, from the diameters turned at the head and at the tail
// a length apart on a bar of a length between centres: half the difference, by the
// whole length. Positive is towards the tool: the tail end came out large. Rounded
// half away from zero to the nanometre.
func Align(head, tail, apart, centres calc.Length) (calc.Length, error) {
	if apart <= 0 || centres < apart {
		return 0, fmt.Errorf("collars %s apart on a bar of %s: give a distance above zero and not above the bar's length", apart, centres)
	}
	return scale(tail-head, int64(centres), 2*int64(apart)), nil
}

package setup

import (
	"fmt"
	"math"

	"turncue/calc"
)

// Knurl is a knurl by its pitch round the work. A diagonal or diamond knurl runs at
// an angle, and its pitch round the work is longer.
type Knurl struct {
	Pitch calc.Length // across the teeth
	Helix calc.Angle  // of the teeth to the axis; 0 is straight, 30 degrees is usual
}

// Around is the pitch round the work, rounded to the nanometre.
func (k Knurl) Around() calc.Length {
	return calc.Millimetres(k.Pitch.Millimetres() / math.Cos(k.Helix.Radians()))
}

// Teeth is how many teeth a diameter would take, not rounded: only whole numbers
// track well.
func (k Knurl) Teeth(diameter calc.Length) float64 {
	p := k.Pitch.Millimetres() / math.Cos(k.Helix.Radians())
	if p <= 0 {
		return 0
	}
	return math.Pi * diameter.Millimetres() / p
}

// Blank is the diameter to turn for a number of teeth, rounded to the nanometre.
func (k Knurl) Blank(teeth int) calc.Length {
	return calc.Millimetres(float64(teeth) * k.Pitch.Millimetres() / math.Cos(k.Helix.Radians()) / math.Pi)
}

// Blanks is the diameters with a whole number of teeth next below and next above a
// wanted one; between them a knurl is likely to track double.
func (k Knurl) Blanks(diameter calc.Length) (below, above calc.Length, err error) {
	if k.Pitch <= 0 || diameter < 2*k.Pitch {
		return 0, 0, fmt.Errorf("a knurl of %s pitch on a diameter of %s: give a pitch above zero and a diameter of at least two", k.Pitch, diameter)
	}
	if k.Helix < 0 || k.Helix >= 60*calc.Degree {
		return 0, 0, fmt.Errorf("a knurl at %s to the axis: give an angle from 0 to 60 degrees", k.Helix)
	}
	n := int(math.Floor(k.Teeth(diameter)))
	return k.Blank(n), k.Blank(n + 1), nil
}

// Wheel is a straight knurl pressed in from the side by its own diameter and teeth.
type Wheel struct {
	Diameter calc.Length
	Teeth    int
}

// TeethOn is how many teeth a wheel presses round a diameter, not rounded.
func (w Wheel) TeethOn(diameter calc.Length) float64 {
	if w.Diameter <= 0 {
		return 0
	}
	return float64(diameter) / float64(w.Diameter) * float64(w.Teeth)
}

// BumpAllowance is what a maker of knurls adds to the wheel's diameter when sizing
// blanks to be pressed: 0.007 in.
const BumpAllowance = 7 * calc.Thou

// Blank is the diameter to turn for a number of teeth with an allowance on the
// wheel's diameter, rounded half away from zero to the nanometre.
func (w Wheel) Blank(teeth int, allowance calc.Length) calc.Length {
	if w.Teeth <= 0 {
		return 0
	}
	return scale(w.Diameter+allowance, int64(teeth), int64(w.Teeth))
}

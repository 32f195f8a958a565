package setup

import (
	"errors"
	"fmt"
	"math"

	"turncue/calc"
)

// Packing is the thickness of the shim that trues a round bar in a three-jaw
// chuck, under the jaw nearest the high spot, from the total swing of the
// indicator in one turn and the bar's diameter. The jaws are taken as narrow,
// each touching on its own radial line: t = 1.5 e + (sqrt(d^2 - 3 e^2) - d) / 2
// with e = tir / 2 (derived from the contact geometry). Rounded to the
// nanometre. An offset beyond a quarter of the diameter is refused.
func Packing(tir, diameter calc.Length) (calc.Length, error) {
	return PackingFor(Eccentricity(tir), diameter)
}

// PackingFor is [Packing] for a wanted offset of the bar's centre.
func PackingFor(offset, diameter calc.Length) (calc.Length, error) {
	switch {
	case diameter <= 0:
		return 0, fmt.Errorf("bar diameter %s is not above zero", diameter)
	case offset < 0:
		return 0, errors.New("run-out below zero: give the total swing of the indicator in one turn")
	case offset > diameter/4:
		return 0, fmt.Errorf("an offset of %s on a bar of %s is more than packing can hold: use a four-jaw chuck", offset, diameter)
	}
	e, d := offset.Millimetres(), diameter.Millimetres()
	return calc.Millimetres(1.5*e + 0.5*(math.Sqrt(d*d-3*e*e)-d)), nil
}

// FlatPacking is [PackingFor] for jaws with flat faces wider than the offset:
// exactly one and a half times the offset.
func FlatPacking(offset calc.Length) calc.Length { return scale(offset, 3, 2) }

// Offset is the offset that a packing under one narrow jaw gives on a bar: the
// inverse of [PackingFor], rounded to the nanometre.
func Offset(packing, diameter calc.Length) (calc.Length, error) {
	if diameter <= 0 || packing < 0 {
		return 0, fmt.Errorf("packing %s on a bar of %s: both must be above zero", packing, diameter)
	}
	// t = 1.5 e + (sqrt(d^2 - 3 e^2) - d)/2 is solved for e: with u = 2t + d,
	// (u - 3e)^2 = d^2 - 3e^2 is a quadratic whose smaller root is the offset.
	u, d := 2*packing.Millimetres()+diameter.Millimetres(), diameter.Millimetres()
	root := 36*u*u - 48*(u*u-d*d)
	if root < 0 {
		return 0, fmt.Errorf("packing %s is more than a bar of %s can be offset by", packing, diameter)
	}
	e := calc.Millimetres((6*u - math.Sqrt(root)) / 24)
	if e > diameter/4 {
		return 0, fmt.Errorf("packing %s is more than a bar of %s can be held on", packing, diameter)
	}
	return e, nil
}

// Eccentricity is half the total swing of the indicator in one turn, rounded
// towards minus infinity to the nanometre: how far the centre is off.
func Eccentricity(tir calc.Length) calc.Length { return calc.Mid(0, tir) }

// Clean is the largest diameter that cleans up all round on a bar running out by
// a total swing.
func Clean(stock, tir calc.Length) calc.Length { return stock - tir.Abs() }

// RunOut is how a bar runs out, judged from two readings.
type RunOut int

// The kinds of run-out. True is below the smaller of what the indicator shows
// reliably.
const (
	RunsTrue   RunOut = iota // within the limit at both places
	RunsOffset               // about the same swing at both: packing helps
	RunsTilted               // the swing grows along the bar: packing does not help
)

// String is the verdict in words.
func (r RunOut) String() string {
	switch r {
	case RunsOffset:
		return "off centre"
	case RunsTilted:
		return "tilted"
	default:
		return "true"
	}
}

// Judge tells an offset bar from a tilted one by the swing near the jaws and
// further out. An offset bar swings alike at both; where the outer swing is
// half as much again as the inner one and more than the limit apart from it, the
// bar is tilted and packing a jaw would not put it right (common practice).
func Judge(atJaws, further, limit calc.Length) RunOut {
	near, far := atJaws.Abs(), further.Abs()
	diff := (far - near).Abs()
	switch {
	case near <= limit && far <= limit:
		return RunsTrue
	case 2*diff > near && diff > limit:
		return RunsTilted
	default:
		return RunsOffset
	}
}

// Shims is the packing under each of three flat jaws, at 0, 120 and 240 degrees,
// that trues a bar whose high spot stands at an angle from the first jaw. First
// order: right for run-out, not for offset turning. At least one of the three is
// zero. Rounded to the nanometre.
func Shims(tir calc.Length, highSpot calc.Angle) [3]calc.Length {
	e := tir.Millimetres() / 2
	var v [3]float64
	top := math.Inf(-1)
	for i := range v {
		v[i] = -e * math.Cos(highSpot.Radians()-float64(i)*2*math.Pi/3)
		top = math.Max(top, v[i])
	}
	var out [3]calc.Length
	for i := range v {
		out[i] = calc.Millimetres(top - v[i])
	}
	return out
}

// FourJaw is how far to move a bar held in a four-jaw chuck when two opposite
// jaws read differently: half the difference, away from the high side.
func FourJaw(difference calc.Length) calc.Length { return calc.Mid(0, difference) }

// JawTurn is the turn of a jaw screw that moves the jaw so far, rounded to the
// milliarcsecond. A lead that is not above zero is an error.
func JawTurn(move calc.Length, screw calc.Lead) (calc.Angle, error) {
	if screw.Sign() <= 0 {
		return 0, errors.New("jaw screw without a pitch: give its travel in one turn")
	}
	turns, err := screw.Turns(move)
	if err != nil {
		return 0, err
	}
	return calc.Angle(math.Round(turns.Float()*360*3_600_000)) * calc.Milliarcsecond, nil
}

package setup

import (
	"fmt"

	"turncue/calc"
)

// What a lathe's screws and wheels are made with, for telling what a measured figure
// stands for (common practice). Metric and inch screws as near as 1.25 mm and 20 tpi
// (1.6 % apart) are told apart when a measured figure is within half that.
var (
	feedScrews = []calc.Length{
		microns(500), microns(750), microns(1000), microns(1250), microns(1500), microns(1750), microns(2000), microns(2500), microns(3000), microns(4000), microns(5000), microns(6000),
		calc.Inch / 40, calc.Inch / 25, calc.Inch / 20, calc.Inch / 16, calc.Inch / 10, calc.Inch / 8, calc.Inch / 5, calc.Inch / 4,
	}
	leadPitches = []calc.Length{
		microns(1000), microns(1250), microns(1500), microns(1750), microns(2000), microns(2500), microns(3000), microns(4000), microns(5000), microns(6000), microns(8000), microns(10000), microns(12000),
	}
	leadCounts = []int64{20, 16, 14, 12, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2}
	modules    = []calc.Length{
		microns(500), microns(600), microns(800), microns(1000), microns(1250), microns(1500), microns(1750), microns(2000), microns(2500), microns(3000),
	}
	pitches = []int64{32, 24, 20, 18, 16, 14, 12, 10} // diametral
)

// near is how far a measured figure may lie from what it stands for: 1 in 125, half of
// what separates 1.25 mm from 20 tpi.
const near = 125

// OneTurn is the travel of one turn of a handwheel from the travel of several, rounded
// half away from zero to the nanometre. No turns or no travel is an error.
func OneTurn(turns calc.Ratio, moved calc.Length) (calc.Length, error) {
	if turns.Sign() <= 0 || moved <= 0 {
		return 0, fmt.Errorf("%s in %s turns is no travel: give both above zero", moved, turns)
	}
	each, err := calc.Whole(1).Over(turns)
	if err != nil {
		return 0, err
	}
	return moved.Scale(each), nil
}

// Screw is the travel per turn of the usual feed screw that a measured travel stands
// for; ok is false where none is within 0.8 % of it.
func Screw(travel calc.Length) (screw calc.Length, ok bool) { return nearestOf(travel, feedScrews) }

// Module is the module of a wheel from its teeth and its diameter over the tips, and
// the usual module or diametral pitch it stands for; the measured one is returned, with
// ok false, where none is within 0.8 % of it. Tips stand a module above the pitch circle
// on each side. Fewer than 8 teeth or no diameter is an error.
func Module(teeth int, overTips calc.Length) (module calc.Length, ok bool, err error) {
	if teeth < 8 || overTips <= 0 {
		return 0, false, fmt.Errorf("%d teeth and %s over the tips are no change wheel", teeth, overTips)
	}
	m, err := OneTurn(calc.Whole(int64(teeth+2)), overTips)
	if err != nil {
		return 0, false, err
	}
	m = m.Round(calc.Micrometre)
	usual := append([]calc.Length(nil), modules...)
	for _, dp := range pitches {
		usual = append(usual, (calc.Inch / calc.Length(dp)).Round(calc.Micrometre))
	}
	if found, ok := nearestOf(m, usual); ok {
		return found, true, nil
	}
	return m, false, nil
}

// nearestOf is the usual length nearest to a measured one.
func nearestOf(l calc.Length, usual []calc.Length) (best calc.Length, ok bool) {
	for _, u := range usual {
		if best == 0 || (u-l).Abs() < (best-l).Abs() {
			best = u
		}
	}
	if (best - l).Abs() > best/near {
		return 0, false
	}
	return best, true
}

// Leadscrew is the usual leadscrew that a travel over a count of threads stands for.
// Another one that is within 2 % of it is returned beside it: a rule does not tell 2.5 mm
// from 10 tpi. ok is false where none is within 0.8 %.
func Leadscrew(threads calc.Ratio, over calc.Length) (best, other calc.Lead, ok bool) {
	one, err := OneTurn(threads, over)
	if err != nil {
		return best, other, false
	}
	var usual []calc.Lead
	for _, p := range leadPitches {
		usual = append(usual, calc.PerTurn(p))
	}
	for _, n := range leadCounts {
		if l, err := calc.PerInch(calc.Whole(n)); err == nil {
			usual = append(usual, l)
		}
	}
	off := func(l calc.Lead) calc.Length { return (l.Length() - one).Abs() }
	for _, l := range usual {
		switch {
		case best.IsZero() || off(l) < off(best):
			best, other = l, best
		case other.IsZero() || off(l) < off(other):
			other = l
		}
	}
	if off(best) > best.Length()/near {
		return calc.Lead{}, calc.Lead{}, false
	}
	if off(other) > other.Length()/50 {
		other = calc.Lead{}
	}
	return best, other, true
}

// ShowsDiameter says, from two cuts, whether a ring shows the change of diameter: what
// the ring moved between them and what the diameter changed by. About the same is a
// ring that shows the diameter, about twice as much one that shows what the tool moves.
// Anything else is an error, as is a change too small to tell.
func ShowsDiameter(ring, diameter calc.Length) (onDiameter bool, err error) {
	ring, diameter = ring.Abs(), diameter.Abs()
	switch {
	case ring == 0:
		return false, fmt.Errorf("the ring stood at the same figure for both cuts: set it on for the second")
	case diameter < 100*calc.Micrometre:
		return false, fmt.Errorf("the diameter changed by %s, too little to tell: set the ring on by at least 0.2 mm", diameter)
	case (diameter - ring).Abs() <= ring/5:
		return true, nil
	case (diameter - 2*ring).Abs() <= 2*ring/5:
		return false, nil
	}
	return false, fmt.Errorf("the ring moved %s and the diameter changed by %s: neither as much nor twice as much; look for slack, and measure again", ring, diameter)
}

package gear

import (
	"math"

	"turncue/calc"
)

// Verdict is what a train's error means for the thread.
type Verdict int

// The verdicts, by the share of the pitch-diameter tolerance the error takes up
// over the length a nut engages: under a tenth, up to a third, more.
const (
	VerdictUnknown Verdict = iota
	FitsAnyNut
	ShortThreadsOnly
	NoFit
)

// String is the verdict in words.
func (v Verdict) String() string {
	switch v {
	case FitsAnyNut:
		return "fits any nut"
	case ShortThreadsOnly:
		return "short threads only"
	case NoFit:
		return "no"
	default:
		return "not judged"
	}
}

// judge is the share of the pitch-diameter tolerance that an error takes up over
// the engaged length, and what it means. A pitch error of dP over the length acts
// like a screw fatter by dP over the tangent of its flanks' half angle.
func judge(err float64, engaged, tolerance calc.Length, half calc.Angle) (float64, Verdict) {
	if engaged <= 0 || tolerance <= 0 {
		return 0, VerdictUnknown
	}
	share := math.Abs(err) * engaged.Millimetres() / math.Tan(half.Radians()) / tolerance.Millimetres()
	switch {
	case share <= 0.10:
		return share, FitsAnyNut
	case share <= 1.0/3:
		return share, ShortThreadsOnly
	default:
		return share, NoFit
	}
}

// PitchTolerance is the pitch-diameter tolerance of an outside thread of grade 6
// by the formula of ISO 965-1, 90 P^0.4 d^0.1 micrometres with P and d in
// millimetres, before the rounding of the printed table (within 5 % of it).
func PitchTolerance(pitch, diameter calc.Length) calc.Length {
	if pitch <= 0 || diameter <= 0 {
		return 0
	}
	um := 90 * math.Pow(pitch.Millimetres(), 0.4) * math.Pow(diameter.Millimetres(), 0.1)
	return calc.Millimetres(um / 1000)
}

package setup

import (
	"fmt"
	"math"

	"turncue/calc"
)

// What a knurl raises of its pitch on diameter in mild steel, and how far a blank may be
// from a whole number of teeth (common practice): within a sixth of a tooth it is nearer
// to a good size than half way to the worst between two.
const (
	// LeastRise and MostRise are hundredths of the pitch by which the diameter grows
	// when the crests are neither flat nor crushed.
	LeastRise = 30
	MostRise  = 50
	// TrackShare is the part of a tooth round the blank it may be short or over.
	TrackShare = 6
)

// Rise is the diameters by which a knurl lets the work grow, least and most.
func (k Knurl) Rise() (least, most calc.Length) {
	return k.Pitch * LeastRise / 100, k.Pitch * MostRise / 100
}

// Track is how far a blank's diameter may be from one with a whole number of teeth.
func (k Knurl) Track() calc.Length {
	return calc.Millimetres(k.Around().Millimetres() / TrackShare / math.Pi)
}

// Tracked is a blank to be knurled to a diameter.
type Tracked struct {
	Teeth int
	Blank calc.Length // diameter with that many teeth
	// Least and Most are the part of the diameters wanted that the knurl reaches from it.
	Least, Most calc.Length
}

// For is the blank from which a knurl comes to a diameter between two limits: of those
// with a whole number of teeth the one whose reach has the most of the limits in it, the
// thicker of two alike. What leaves less than a tenth of the pitch to hit is an error that
// names the nearest diameters that can be reached.
func (k Knurl) For(low, high calc.Length) (Tracked, error) {
	if _, _, err := k.Blanks(low); err != nil {
		return Tracked{}, err
	}
	rise, most := k.Rise()
	var best Tracked
	room := -calc.Nanometre
	var below, above calc.Length
	for n := max(1, int(k.Teeth(low-2*most))-1); ; n++ {
		blank := k.Blank(n)
		t := Tracked{Teeth: n, Blank: blank, Least: max(low, blank+rise), Most: min(high, blank+most)}
		if mid := blank + (rise+most)/2; mid <= (low+high)/2 {
			below = mid
		} else if above == 0 {
			above = mid
		}
		if blank > high && above > 0 {
			break
		}
		if got := t.Most - t.Least; got >= room {
			best, room = t, got
		}
	}
	if room < k.Pitch/10 {
		return Tracked{}, fmt.Errorf("a knurl of %s pitch tracks on blanks that bring it to %s or %s over the knurl: write one of the two, or a wider tolerance",
			k.Pitch, below.Round(10*calc.Micrometre), above.Round(10*calc.Micrometre))
	}
	return best, nil
}

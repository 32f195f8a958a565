package gear

import (
	"fmt"

	"turncue/calc"
)

// Starts is a thread of several starts. Gears are chosen for the lead, depth for
// the pitch.
type Starts struct {
	Count int        // starts; 1 is an ordinary thread
	Lead  calc.Lead  // travel in one turn
	First calc.Ratio // turns of the first driver per turn of the spindle; 0 is 1
}

// StartsOf is a thread by its pitch.
func StartsOf(count int, pitch calc.Lead) (Starts, error) {
	if count < 1 || count > 100 {
		return Starts{}, fmt.Errorf("a thread of %d starts: give 1 to 100", count)
	}
	lead, err := pitch.Times(calc.Whole(int64(count)))
	if err != nil || lead.Sign() <= 0 {
		return Starts{}, fmt.Errorf("a thread of %d starts needs a pitch above zero", count)
	}
	return Starts{Count: count, Lead: lead}, nil
}

// Shift is how far the top slide, parallel to the bed, goes from one start to the
// next: the pitch, rounded to the nanometre.
func (s Starts) Shift() calc.Length {
	r, err := calc.NewRatio(1, int64(max(1, s.Count)))
	if err != nil {
		return 0
	}
	return s.Lead.Travel(r)
}

// Turn is how far the work turns from one start to the next.
func (s Starts) Turn() calc.Angle { return 360 * calc.Degree / calc.Angle(max(1, s.Count)) }

// Teeth is how many teeth of the first driver are skipped from one start to the
// next, with the train out of mesh. A wheel whose teeth do not divide is refused.
func (s Starts) Teeth(driver int) (int, error) {
	if err := checkTeeth(driver); err != nil {
		return 0, err
	}
	first := s.First
	if first.Sign() == 0 {
		first = one
	}
	n := int64(driver) * first.Num()
	d := int64(max(1, s.Count)) * first.Den()
	if n%d != 0 {
		return 0, fmt.Errorf("a first driver of %d teeth does not divide by %d starts: use one of %d or %d teeth, or the top slide", driver, s.Count, n/d*d/first.Num(), (n/d+1)*d/first.Num())
	}
	return int(n / d), nil
}

package thread

import (
	"fmt"

	"turncue/calc"
)

// IndexSlide is how far to move the top slide, set along the work, from one start
// to the next: the pitch, exactly. A thread of one start has nothing to index.
func (t Thread) IndexSlide() (calc.Lead, error) {
	if t.Starts < 2 {
		return calc.Lead{}, fmt.Errorf("%s has one start: there is nothing to index", t)
	}
	return t.Pitch, nil
}

// IndexTeeth is how many teeth to turn the first driver on from one start to the
// next, with the gear behind it disengaged: its teeth over the number of starts.
// It holds where that driver turns once with the spindle. A wheel whose teeth do
// not divide is refused with the nearest that do.
func (t Thread) IndexTeeth(driver int) (int, error) {
	switch {
	case t.Starts < 2:
		return 0, fmt.Errorf("%s has one start: there is nothing to index", t)
	case driver < t.Starts || driver > 1000:
		return 0, fmt.Errorf("a driver of %d teeth cannot be divided by %d starts", driver, t.Starts)
	case driver%t.Starts != 0:
		low := driver / t.Starts * t.Starts
		return 0, fmt.Errorf("a driver of %d teeth does not divide by %d starts: use one of %d or %d, or index with the top slide by %s",
			driver, t.Starts, low, low+t.Starts, t.Pitch)
	}
	return driver / t.Starts, nil
}

// Chamfer is the height, on radius, of the 45 degree chamfer at the end of a
// thread: from the crest to just under the root of an outside one, or from the
// bore to the major diameter of an inside one, rounded up to 0.1 mm (common
// practice).
func (t Thread) Chamfer() (calc.Length, error) {
	b, err := t.Basic()
	if err != nil {
		return 0, err
	}
	if t.External {
		return ((b.Major - b.Root) / 2).Ceil(100 * um), nil
	}
	return ((b.InsideRoot - b.Minor) / 2).Ceil(100 * um), nil
}

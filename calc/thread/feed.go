package thread

import (
	"fmt"
	"math"

	"turncue/calc"
)

// Style is the way a tool is fed into a groove.
type Style int

// The styles. The zero Style is Straight.
const (
	Straight      Style = iota // square to the axis: both flanks cut
	Flank                      // along one flank, or a slide at any angle: the other flank cuts
	ModifiedFlank              // a little steeper than the flank, so that it is shaved clean
	Alternating                // along one flank and the other in turn
)

// Feed is where the tool stands in one pass: depth on radius from the surface,
// and along the work from the middle of the finished groove, above zero towards
// the side the tool comes from.
type Feed struct{ Depth, Shift calc.Length }

// shave is how much steeper than the flank a modified flank infeed goes (common
// practice: 29.5 for 30 degrees).
const shave = 30 * calc.Arcminute

// Feeds gives the tool's place in each pass for cumulative depths such as
// [Passes] makes, rounded to the nanometre. The last pass always stands in the
// middle. slide is the angle of the infeed from square for [Flank]; zero there
// means the flank's own. It must not be over half the form's angle: the tool
// would cut beyond the flank.
func (t Thread) Feeds(depths []calc.Length, style Style, slide calc.Angle) ([]Feed, error) {
	half := t.Angle / 2
	switch {
	case slide < 0 || slide > half:
		return nil, fmt.Errorf("a slide at %s would cut beyond the flank of %s: set it between 0 and %s from square", slide, t, half)
	case style == Straight:
		slide = 0
	case style == Flank && slide == 0, style == Alternating:
		slide = half
	case style == ModifiedFlank:
		slide = max(half-shave, 0)
	case style != Flank:
		return nil, fmt.Errorf("infeed style %d is not known", style)
	}
	if len(depths) == 0 {
		return nil, nil
	}
	last := depths[len(depths)-1]
	out := make([]Feed, len(depths))
	for i, d := range depths {
		shift := Shift(last-d, slide)
		if style == Alternating && i%2 == 1 {
			shift = -shift
		}
		out[i] = Feed{Depth: d, Shift: shift}
	}
	return out, nil
}

// SideShifts are the places, along the work from the middle of the groove, a flat
// tool narrower than a square or trapezoidal groove has to cut it in: the middle
// first, then one side and the other. width is the groove's width at its root;
// overlap is the least each cut overlaps its neighbour.
func SideShifts(width, tool, overlap calc.Length) ([]calc.Length, error) {
	switch {
	case tool <= 0 || width <= 0 || overlap < 0 || overlap >= tool:
		return nil, fmt.Errorf("a tool of %s with an overlap of %s cuts no groove of %s", tool, overlap, width)
	case tool > width:
		return nil, fmt.Errorf("a tool of %s is wider than the groove of %s: use a narrower one", tool, width)
	case tool == width:
		return []calc.Length{0}, nil
	}
	reach := (width - tool) / 2 // of the outermost cuts from the middle
	step := tool - overlap
	n := int64(reach.Ceil(step) / step) // cuts on each side
	if n > 50 {
		return nil, fmt.Errorf("a tool of %s would need %d cuts for a groove of %s: use a wider one", tool, 2*n+1, width)
	}
	if 2*reach <= step { // two cuts meet: none in the middle
		return []calc.Length{-reach, width - tool - reach}, nil
	}
	out := []calc.Length{0}
	for i := int64(1); i <= n; i++ {
		at := nearest(math.Round(float64(reach) * float64(i) / float64(n)))
		out = append(out, -at, at)
	}
	if odd := width - tool - 2*reach; odd != 0 {
		out[len(out)-1] += odd
	}
	return out, nil
}

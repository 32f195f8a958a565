package thread

import (
	"math"

	"turncue/calc"
)

// rounded says that the form's root is an arc, not a flat.
func (t Thread) rounded() bool {
	switch t.Family {
	case Metric, Unified, Valve:
		return t.External
	case Whitworth, Association, Pipe, SealingPipe, Cycle:
		return true
	}
	return false
}

// DesignTip is the tool tip that leaves the root of the standard's design
// profile: a radius where the form is rounded, a flat where it is not, rounded
// down to the nanometre. H/6 on an outside ISO metric thread, a flat of P/8 on an
// inside one; the width of the groove on a square thread.
func (t Thread) DesignTip() (Tip, error) {
	b, err := t.Basic()
	if err != nil {
		return Tip{}, err
	}
	if t.Angle == 0 {
		return Tip{Flat: nearest(math.Floor(t.Pitch.Nanometres().Float() / 2))}, nil
	}
	half := t.half()
	root := (b.Pitch - b.Root) / 2
	if !t.External {
		root = (b.InsideRoot - b.Pitch) / 2
	}
	// The unrounded profile where it is known: printed diameters are a little off.
	switch {
	case (t.Family == Metric || t.Family == Valve) && t.External:
		return Tip{Radius: nearest(math.Floor(math.Sqrt(3) / 12 * t.Pitch.Nanometres().Float()))}, nil
	case t.Family == Metric || t.Family == Valve || t.Family == Unified && !t.External:
		return Tip{Flat: nearest(math.Floor(t.Pitch.Nanometres().Float() / 8))}, nil
	}
	below := float64(root)
	if share, ok := roundedForms[t.Family]; ok {
		below = share / 2 * t.Pitch.Nanometres().Float()
	}
	short := math.Max(0, t.Pitch.Nanometres().Float()/(4*math.Tan(half))-below)
	if t.rounded() {
		return Tip{Radius: nearest(math.Floor(short / (1/math.Sin(half) - 1)))}, nil
	}
	return Tip{Flat: nearest(math.Floor(2 * short * math.Tan(half)))}, nil
}

// slack is how far the root may miss its edge because the standard prints its
// diameters rounded: nothing for metric sizes, two digits for inch ones.
func (t Thread) slack() calc.Length {
	switch t.Family {
	case Metric, Trapezoidal:
		return 0
	case Own, Square:
		return um
	}
	return 2 * tenth
}

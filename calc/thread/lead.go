package thread

import (
	"math"

	"turncue/calc"
)

// LeadAngle is the angle of the helix at the basic pitch diameter, from square
// to the axis, rounded to the milliarcsecond.
func (t Thread) LeadAngle() calc.Angle {
	b, err := t.Basic()
	if err != nil {
		return 0
	}
	return helix(t.Lead, b.Pitch)
}

// Clearance is the least angle each side of a threading tool must lie over from
// square to its cutting edge so as not to rub: the helix is steepest at the root.
// Leading is the side that goes first along the work and needs the helix angle
// and the tool's own clearance; Trailing needs the clearance less the helix at the
// crest, and may be below zero.
type Clearance struct{ Leading, Trailing calc.Angle }

// SideClearance is the side clearance of a tool with so much clearance of its
// own (three to five degrees, common practice).
func (t Thread) SideClearance(own calc.Angle) (Clearance, error) {
	b, err := t.Basic()
	if err != nil {
		return Clearance{}, err
	}
	root, crest := b.Root, b.Major
	if !t.External {
		root, crest = b.Minor, b.InsideRoot // the steepest helix is at the smallest diameter
	}
	return Clearance{Leading: own + helix(t.Lead, root), Trailing: own - helix(t.Lead, crest)}, nil
}

func helix(lead calc.Lead, diameter calc.Length) calc.Angle {
	if diameter <= 0 {
		return 0
	}
	return calc.Radians(math.Atan(lead.Nanometres().Float() / (math.Pi * float64(diameter))))
}

package setup

import (
	"fmt"
	"math"

	"turncue/calc"
)

// PartingDepth is how deep on radius a parting blade of a width may go in steel:
// eight times its width on a stiff lathe (a maker's figure), five times on a small
// one (common practice).
func PartingDepth(width calc.Length, small bool) calc.Length {
	if small {
		return 5 * width
	}
	return 8 * width
}

// Blade is the width of a high-speed steel blade for parting a bar of a diameter:
// 1.5 mm to 12 mm, 2 mm to 25, 3 mm to 40 (common practice).
func Blade(diameter calc.Length) (calc.Length, error) {
	switch {
	case diameter <= 0:
		return 0, fmt.Errorf("bar diameter %s is not above zero", diameter)
	case diameter <= 12*calc.Millimetre:
		return 1500 * calc.Micrometre, nil
	case diameter <= 25*calc.Millimetre:
		return 2 * calc.Millimetre, nil
	case diameter <= 40*calc.Millimetre:
		return 3 * calc.Millimetre, nil
	}
	return 0, fmt.Errorf("a bar of %s is too thick to part on a small lathe: saw it, blades serve to 40 mm", diameter)
}

// Widen says that a parting cut is to be widened on the way in for its swarf: deeper
// than 10 mm on radius (common practice).
func Widen(depth calc.Length) bool { return depth > 10*calc.Millimetre }

// Ring is the section of a static O-ring and the gland it sits in, by a published
// table of inch sections: for outside and inside cylindrical glands without motion.
type Ring struct {
	Section            calc.Length // of the ring, nominal
	DepthMin, DepthMax calc.Length // gland depth on radius, to the mating surface
	WidthMin, WidthMax calc.Length // of the groove
	Gap                calc.Length // largest clearance on diameter between the parts
	SqueezeMin         int         // printed, per cent
	SqueezeMax         int
}

var rings = []Ring{
	ring(1780, 1270, 1320, 2360, 2490, 130, 22, 32), ring(2620, 2060, 2110, 3560, 3680, 130, 17, 24), ring(3530, 2820, 2870, 4750, 4880, 150, 16, 23),
	ring(5330, 4320, 4390, 7140, 7260, 150, 15, 21), ring(6990, 5740, 5820, 9520, 9650, 180, 15, 20),
}

// ring is a row of the table: micrometres, and per cent.
func ring(section, dMin, dMax, wMin, wMax, gap int64, sMin, sMax int) Ring {
	return Ring{microns(section), microns(dMin), microns(dMax), microns(wMin), microns(wMax), microns(gap), sMin, sMax}
}

// RingFor is the table's row for a section, within 0.1 mm. Metric sections are not
// in the table: take the seal maker's groove.
func RingFor(section calc.Length) (Ring, error) {
	for _, r := range rings {
		if (r.Section - section).Abs() <= 100*calc.Micrometre {
			return r, nil
		}
	}
	return Ring{}, fmt.Errorf("no groove for an O-ring of %s section: the table has 1.78, 2.62, 3.53, 5.33 and 6.99 mm, take the seal maker's", section)
}

// GrooveDiameter is the diameter at the bottom of a groove on a shaft whose ring
// seals in a bore, for a gland depth on radius.
func GrooveDiameter(bore, depth calc.Length) calc.Length { return bore - 2*depth }

// GrooveDepth is how deep on radius the groove is cut into a shaft for a gland
// depth: the depth is to the mating surface, so half the clearance comes off.
func GrooveDepth(depth, bore, shaft calc.Length) calc.Length { return depth - calc.Mid(0, bore-shaft) }

// Squeeze is how much a ring of a section is pressed together in a gland, in per
// cent of its section.
func Squeeze(section, depth calc.Length) float64 {
	if section <= 0 {
		return 0
	}
	return 100 * float64(section-depth) / float64(section)
}

// ChamferLength is how far along the axis a chamfer goes for a depth on radius and an
// angle from the axis, rounded to the nanometre: 45 degrees as far as it is deep, 30
// longer but easier for a nut to start on.
func ChamferLength(depth calc.Length, fromAxis calc.Angle) (calc.Length, error) {
	if fromAxis <= 0 || fromAxis >= 90*calc.Degree {
		return 0, fmt.Errorf("a chamfer at %s from the axis: give an angle between 0 and 90 degrees", fromAxis)
	}
	return calc.Millimetres(depth.Millimetres() / math.Tan(fromAxis.Radians())), nil
}

// Helix is the angle a thread's flank runs at on a diameter, rounded to the
// milliarcsecond: the clearance the leading side of the tool must exceed.
func Helix(lead calc.Lead, diameter calc.Length) calc.Angle {
	if diameter <= 0 {
		return 0
	}
	return calc.Radians(math.Atan(lead.Millimetres() / (math.Pi * diameter.Millimetres())))
}

package cutting

import (
	"fmt"
	"math"

	"turncue/calc"
)

// Support is how a bar is held.
type Support int

// The ways of holding.
const (
	ChuckOnly Support = iota
	ChuckAndCentre
	BetweenCentres
)

// String is "chuck only".
func (s Support) String() string {
	switch s {
	case ChuckAndCentre:
		return "chuck and centre"
	case BetweenCentres:
		return "between centres"
	default:
		return "chuck only"
	}
}

// Bar is a round bar under a tool. The chuck and the centres are taken as rigid,
// which they are not: a deflection is the least there will be.
type Bar struct {
	Support  Support
	Diameter calc.Length
	StickOut calc.Length // from the chuck to the end or the centre, or between the centres
	At       calc.Length // the tool, from the chuck or the driven centre; 0 is where it bends most: the end, or the middle
	Material Material
}

func inertia(diameter float64) float64 { return math.Pi * math.Pow(diameter, 4) / 64 }

// Inertia is the second moment of area of a round bar in mm4.
func Inertia(diameter calc.Length) float64 { return inertia(diameter.Millimetres()) }

// Bend is how far the bar gives way under a radial force at the tool, rounded to
// the nanometre. The work is left larger by twice as much on diameter.
func (b Bar) Bend(f Force) (calc.Length, error) {
	if b.Diameter <= 0 || b.StickOut <= 0 || b.Material.Stiffness <= 0 {
		return 0, fmt.Errorf("a bar of %s sticking out %s: both must be above zero and its material known", b.Diameter, b.StickOut)
	}
	if b.At < 0 || b.At > b.StickOut {
		return 0, fmt.Errorf("a tool at %s is off a bar of %s", b.At, b.StickOut)
	}
	l, a := b.StickOut.Millimetres(), b.At.Millimetres()
	ei := b.Material.Stiffness * inertia(b.Diameter.Millimetres())
	var mm float64
	switch b.Support {
	case ChuckOnly:
		if a == 0 {
			a = l
		}
		mm = float64(f) * a * a * a / (3 * ei)
	case ChuckAndCentre:
		if a == 0 {
			a = l / 2
		}
		c := l - a
		mm = float64(f) * a * a * a * c * c * (3*a + 4*c) / (12 * ei * l * l * l)
	default:
		if a == 0 {
			a = l / 2
		}
		c := l - a
		mm = float64(f) * a * a * c * c / (3 * ei * l)
	}
	return calc.Millimetres(mm), nil
}

// MaxStickOut is how far a bar may stand out of the chuck for an error on
// diameter under a radial force, rounded down to the nanometre.
func MaxStickOut(m Material, diameter calc.Length, f Force, onDiameter calc.Length) (calc.Length, error) {
	if diameter <= 0 || f <= 0 || onDiameter <= 0 || m.Stiffness <= 0 {
		return 0, fmt.Errorf("stick-out for %s on a bar of %s: both must be above zero and the force too", onDiameter, diameter)
	}
	return down(math.Cbrt(1.5 * m.Stiffness * inertia(diameter.Millimetres()) * onDiameter.Millimetres() / float64(f))), nil
}

// Boring is how far a boring bar of a diameter gives way under a force at its
// tip, by its overhang from the clamp and the stiffness of its material in N/mm2 (0
// is steel). Carbide is about three times as stiff.
func Boring(diameter, overhang calc.Length, stiffness float64, f Force) (calc.Length, error) {
	if stiffness == 0 {
		stiffness = steelStiffness
	}
	return Bar{Diameter: diameter, StickOut: overhang, Material: Material{Stiffness: stiffness}}.Bend(f)
}

const (
	steelStiffness   = 206000
	CarbideStiffness = 3 * steelStiffness
)

// Hold is what the length of a bar asks for.
type Hold int

// The verdicts, from the length in diameters: three unsupported is the usual
// limit, five the last; with a centre ten (common practice beyond the first).
const (
	HoldsItself Hold = iota
	LightCuts
	NeedsCentre
	NeedsSteady
)

// String is the verdict in words.
func (h Hold) String() string {
	switch h {
	case LightCuts:
		return "light cuts only"
	case NeedsCentre:
		return "needs a centre"
	case NeedsSteady:
		return "needs a steady"
	default:
		return "stands by itself"
	}
}

// StickOut judges how a bar stands by its length in diameters. The ratio is not
// enough on thin bars: [Bar.Bend] says more.
func StickOut(stickOut, diameter calc.Length, s Support) (Hold, error) {
	if stickOut <= 0 || diameter <= 0 {
		return 0, fmt.Errorf("a bar of %s sticking out %s: both must be above zero", diameter, stickOut)
	}
	if s != ChuckOnly {
		if stickOut > 10*diameter {
			return NeedsSteady, nil
		}
		return HoldsItself, nil
	}
	switch {
	case stickOut <= 3*diameter:
		return HoldsItself, nil
	case stickOut <= 5*diameter:
		return LightCuts, nil
	default:
		return NeedsCentre, nil
	}
}

// Taper is how much larger on diameter a cut leaves the work at one place than at
// another by bending alone, both from the chuck or the driven centre, under the
// same radial force; positive where to is the larger. Rounded to the nanometre.
func (b Bar) Taper(f Force, from, to calc.Length) (calc.Length, error) {
	var bend [2]calc.Length
	for i, at := range [2]calc.Length{from, to} {
		if at <= 0 {
			continue // at the chuck nothing gives
		}
		here := b
		here.At = at
		v, err := here.Bend(f)
		if err != nil {
			return 0, err
		}
		bend[i] = v
	}
	return 2 * (bend[1] - bend[0]), nil
}

// BoringBar judges the overhang of a boring bar in its own diameters: steel to four,
// solid carbide to six (from memory), beyond that the next stouter bar or a shorter
// one. It is an error that says so.
func BoringBar(diameter, overhang calc.Length, carbide bool) error {
	if diameter <= 0 || overhang <= 0 {
		return fmt.Errorf("a boring bar of %s standing out %s: both must be above zero", diameter, overhang)
	}
	limit, name := int64(4), "steel"
	if carbide {
		limit, name = 6, "carbide"
	}
	if overhang <= calc.Length(limit)*diameter {
		return nil
	}
	return fmt.Errorf("a %s boring bar of %s stands out %s, %.3g diameters: at most %d, so %s, or take a stouter bar", name, diameter, overhang, float64(overhang)/float64(diameter), limit, calc.Length(limit)*diameter)
}

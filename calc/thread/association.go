package thread

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/fit"
)

const (
	sourceBS93       = "BS 93:2008"
	sourceBS93Memory = "BS 93 (from memory)"
)

// associationSizes are the BA sizes 0 to 16: pitch and diameter in hundredths of
// a millimetre. 13 to 16 are from memory.
var associationSizes = [17][2]int{
	{100, 600}, {90, 530}, {81, 470}, {73, 410}, {66, 360}, {59, 320}, {53, 280}, {48, 250}, {43, 220},
	{39, 190}, {35, 170}, {31, 150}, {28, 130}, {25, 120}, {23, 100}, {21, 90}, {19, 79},
}

// associationNumber is the BA number of a thread.
func associationNumber(t Thread) int {
	for n, s := range associationSizes {
		if t.Nominal == calc.Length(s[1])*10*um {
			return n
		}
	}
	return -1
}

// associationBasic has the depth 0.6 P rounded to 0.005 mm, as BS 93 prints it.
func associationBasic(t Thread) Basic {
	depth := nearest(0.6 * t.Pitch.Nanometres().Float()).Round(5 * um)
	minor := t.Nominal - 2*depth
	return Basic{Major: t.Nominal, Pitch: t.Nominal - depth, Minor: minor, Root: minor, InsideRoot: t.Nominal}
}

// associationLimits are those of the normal class and of nuts: the bolt has an
// allowance of 0.025 mm up to number 10; tolerances by the standard's rules.
func associationLimits(t Thread) (Limits, error) {
	if t.External != (t.Class == "normal") {
		return Limits{}, fmt.Errorf("%q is no class of this side of a BA thread: write normal for a bolt, nothing for a nut", t.Class)
	}
	n := associationNumber(t)
	if n < 0 {
		return Limits{}, fmt.Errorf("no BA size has a diameter of %s", t.Nominal)
	}
	b := associationBasic(t)
	p := t.Pitch.Length()
	pitch := p/10 + 25*um
	band := func(nominal, low, high calc.Length) fit.Limits {
		return fit.Limits{Nominal: nominal, Min: nominal + low, Max: nominal + high, Class: t.Class, Source: sourceBS93}
	}
	l := Limits{Sources: []string{sourceBS93}}
	if n > 12 {
		l.Sources = []string{sourceBS93Memory}
	}
	if !t.External {
		l.Major = band(b.Major, 0, pitch)
		l.Pitch = band(b.Pitch, 0, pitch*6/5)
		l.Minor = band(b.Minor, 0, p*3/8)
		return l, nil
	}
	major, allowance := p/5, 25*um
	if n > 10 {
		major, allowance = p/4, 0
	}
	l.Major = band(b.Major, -allowance-major, -allowance)
	l.Pitch = band(b.Pitch, -allowance-pitch, -allowance)
	l.Minor = band(b.Minor, -allowance-2*pitch, -allowance)
	l.DesignRoot = b.Minor - allowance
	return l, nil
}

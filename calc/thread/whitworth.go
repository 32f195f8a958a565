package thread

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/fit"
)

const (
	sourceBS84       = "BS 84"
	sourceBS84Limits = "BS 84 tolerances, engagement one diameter (from memory)"
)

// whitworthSeries are the standard sizes of BS 84 by series: diameter, then
// threads per inch in quarters. From 1-1/8 in on they are from memory.
var whitworthSeries = map[string]map[calc.Length]int{
	"BSW": quarters(map[calc.Length]int{
		sixteenths(2): 40, sixteenths(3): 24, sixteenths(4): 20, sixteenths(5): 18, sixteenths(6): 16, sixteenths(7): 14, sixteenths(8): 12, sixteenths(9): 12,
		sixteenths(10): 11, sixteenths(11): 11, sixteenths(12): 10, sixteenths(14): 9, sixteenths(16): 8, sixteenths(18): 7, sixteenths(20): 7,
		sixteenths(24): 6, sixteenths(28): 5, sixteenths(36): 4, sixteenths(40): 4,
	}, map[calc.Length]int{sixteenths(32): 18, sixteenths(44): 14, sixteenths(48): 14}),
	"BSF": quarters(map[calc.Length]int{
		sixteenths(3): 32, calc.Inch * 7 / 32: 28, sixteenths(4): 26, calc.Inch * 9 / 32: 26, sixteenths(5): 22, sixteenths(6): 20, sixteenths(7): 18,
		sixteenths(8): 16, sixteenths(9): 16, sixteenths(10): 14, sixteenths(11): 14, sixteenths(12): 12, sixteenths(13): 12, sixteenths(14): 11,
		sixteenths(16): 10, sixteenths(18): 9, sixteenths(20): 9, sixteenths(22): 8, sixteenths(24): 8, sixteenths(28): 7, sixteenths(32): 7,
	}, nil),
}

// inWhitworth is the standard number of threads per inch of a size, in quarters.
func inWhitworth(series string, d calc.Length) (int, bool) {
	q, ok := whitworthSeries[series][d]
	return q, ok
}

// roundedForms are the families with the same radius at crest and root: the
// depth as a share of the pitch.
var roundedForms = map[Family]float64{
	Whitworth: 0.640327, Pipe: 0.640327, SealingPipe: 0.640327, Cycle: 0.5327, Association: 0.6,
}

// roundedBasic is the profile of a form whose crests and roots are rounded
// alike: the pitch line is half way down, the minor diameter the full depth.
func roundedBasic(t Thread, digit calc.Length) Basic {
	depth := roundedForms[t.Family] * t.Pitch.Nanometres().Float()
	minor := (t.Nominal - nearest(2*depth)).Round(digit)
	return Basic{Major: t.Nominal, Pitch: (t.Nominal - nearest(depth)).Round(digit), Minor: minor, Root: minor, InsideRoot: t.Nominal}
}

// whitworthClasses scale the pitch diameter tolerance.
var whitworthClasses = map[string]struct {
	factor   float64
	external bool
}{"close": {2.0 / 3, true}, "medium": {1, true}, "free": {1.5, true}, "medium nut": {1, false}, "normal nut": {1.5, false}}

// whitworthLimits are the tolerances of BS 84, with the unit
// T = 0.002 D^(1/3) + 0.003 L^(1/2) + 0.005 P^(1/2) in and L one diameter.
func whitworthLimits(t Thread) (Limits, error) {
	c, ok := whitworthClasses[t.Class]
	if !ok || c.external != t.External {
		return Limits{}, fmt.Errorf("%q is no class of this side of a Whitworth thread: write %s", t.Class,
			map[bool]string{true: "close, medium or free", false: "medium nut or normal nut"}[t.External])
	}
	b := roundedBasic(t, tenth)
	d, p := t.Nominal.Inches(), t.Pitch.Nanometres().Float()/float64(calc.Inch)
	unit := c.factor * (0.002*math.Cbrt(d) + 0.003*math.Sqrt(d) + 0.005*math.Sqrt(p))
	band := func(nominal calc.Length, low, high float64) fit.Limits {
		return fit.Limits{Nominal: nominal, Min: nominal + printed(low), Max: nominal + printed(high), Class: t.Class, Source: sourceBS84Limits}
	}
	l := Limits{Pitch: band(b.Pitch, -unit, 0), Sources: []string{sourceBS84, sourceBS84Limits}}
	if t.External {
		root := 0.02
		if t.Class == "close" {
			root = 0.013
		}
		l.Major = band(b.Major, -(unit + 0.01*math.Sqrt(p)), 0)
		l.Minor = band(b.Minor, -(unit + root*math.Sqrt(p)), 0)
		l.DesignRoot = b.Minor
		return l, nil
	}
	minor := 0.2*p + 0.007
	switch tpi := 1 / p; {
	case tpi > 25:
		minor = 0.2*p + 0.004
	case tpi > 21:
		minor = 0.2*p + 0.005
	}
	l.Pitch = band(b.Pitch, 0, unit)
	l.Minor = band(b.Minor, 0, minor)
	l.Major = band(b.Major, 0, unit)
	return l, nil
}

package thread

import (
	"fmt"
	"math"
	"slices"

	"turncue/calc"
	"turncue/calc/fit"
)

// tenth is the last printed digit of an inch thread: 0.0001 in.
const tenth = calc.Inch / 10_000

// The sources of inch thread limits.
const (
	sourceB11     = "ASME B1.1"
	sourceB11Near = "ASME B1.1 formulas, length of engagement 9P (special size)"
)

// unifiedSeries are the standard sizes by series: diameter, then threads per
// inch in quarters, so that 4-1/2 is 18.
var unifiedSeries = map[string]map[calc.Length]int{
	"UNC": quarters(map[calc.Length]int{
		number(1): 64, number(2): 56, number(3): 48, number(4): 40, number(5): 40, number(6): 32, number(8): 32, number(10): 24, number(12): 24,
		sixteenths(4): 20, sixteenths(5): 18, sixteenths(6): 16, sixteenths(7): 14, sixteenths(8): 13, sixteenths(9): 12, sixteenths(10): 11,
		sixteenths(12): 10, sixteenths(14): 9, sixteenths(16): 8, sixteenths(18): 7, sixteenths(20): 7, sixteenths(22): 6, sixteenths(24): 6,
		sixteenths(28): 5, sixteenths(40): 4, sixteenths(44): 4, sixteenths(48): 4, sixteenths(52): 4, sixteenths(56): 4, sixteenths(60): 4, sixteenths(64): 4,
	}, map[calc.Length]int{sixteenths(32): 18, sixteenths(36): 18}),
	"UNF": quarters(map[calc.Length]int{
		number(0): 80, number(1): 72, number(2): 64, number(3): 56, number(4): 48, number(5): 44, number(6): 40, number(8): 36, number(10): 32, number(12): 28,
		sixteenths(4): 28, sixteenths(5): 24, sixteenths(6): 24, sixteenths(7): 20, sixteenths(8): 20, sixteenths(9): 18, sixteenths(10): 18,
		sixteenths(12): 16, sixteenths(14): 14, sixteenths(16): 12, sixteenths(18): 12, sixteenths(20): 12, sixteenths(22): 12, sixteenths(24): 12,
	}, nil),
	"UNEF": quarters(map[calc.Length]int{
		number(12): 32, sixteenths(4): 32, sixteenths(5): 32, sixteenths(6): 32, sixteenths(7): 28, sixteenths(8): 28, sixteenths(9): 24, sixteenths(10): 24,
		sixteenths(11): 24, sixteenths(12): 20, sixteenths(13): 20, sixteenths(14): 20, sixteenths(15): 20, sixteenths(16): 20, sixteenths(17): 18,
		sixteenths(18): 18, sixteenths(19): 18, sixteenths(20): 18, sixteenths(21): 18, sixteenths(22): 18, sixteenths(23): 18, sixteenths(24): 18,
		sixteenths(25): 18, sixteenths(26): 18, sixteenths(27): 18,
	}, nil),
}

// constantPitch are the constant-pitch series and the smallest diameter each
// begins at (common practice; the standard lists its sizes one by one).
var constantPitch = []struct {
	tpi  int64
	from calc.Length
	upTo calc.Length
}{
	{4, sixteenths(40), sixteenths(96)}, {6, sixteenths(22), sixteenths(96)}, {8, sixteenths(16), sixteenths(96)}, {12, sixteenths(9), sixteenths(96)},
	{16, sixteenths(6), sixteenths(96)}, {20, sixteenths(4), sixteenths(48)}, {28, number(12), sixteenths(24)}, {32, number(6), sixteenths(16)},
}

// number is the diameter of a numbered size: 0.060 in and 0.013 in for each.
func number(n int) calc.Length { return 60*calc.Thou + calc.Length(n)*13*calc.Thou }

// sixteenths is a diameter in sixteenths of an inch.
func sixteenths(n int) calc.Length { return calc.Length(n) * calc.Inch / 16 }

func quarters(whole, quarter map[calc.Length]int) map[calc.Length]int {
	out := make(map[calc.Length]int, len(whole)+len(quarter))
	for d, n := range whole {
		out[d] = 4 * n
	}
	for d, n := range quarter {
		out[d] = n
	}
	return out
}

// inSeries says whether a size with so many threads per inch is in a series.
func inSeries(series string, d calc.Length, tpi calc.Ratio) bool {
	q, ok := unifiedSeries[series][d]
	if !ok {
		return false
	}
	p, err := calc.NewRatio(int64(q), 4)
	return err == nil && p == tpi
}

// seriesOf is the Unified series of a size: UNC, UNF, UNEF, UN or UNS.
func seriesOf(d calc.Length, tpi calc.Ratio) string {
	for _, s := range []string{"UNC", "UNF", "UNEF"} {
		if inSeries(s, d, tpi) {
			return s
		}
	}
	for _, c := range constantPitch {
		if tpi == calc.Whole(c.tpi) && d >= c.from && d <= c.upTo && d%(calc.Inch/16) == 0 {
			return "UN"
		}
	}
	return "UNS"
}

// unifiedClasses are the classes with what scales the pitch diameter tolerance
// of class 2A.
var unifiedClasses = map[string]float64{"1A": 1.5, "2A": 1, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}

// inch is what a formula in inches gives, rounded half up to so many places.
func inches(x float64, places int) float64 {
	scale := math.Pow10(places)
	return math.Floor(x*scale+0.5+1e-7) / scale
}

// printed is a figure in inches as a length, rounded to 0.0001 in.
func printed(x float64) calc.Length { return calc.Inches(x).Round(tenth) }

// unifiedEngagement is the length of engagement the tolerances are for, inches:
// one diameter for coarse, fine and the constant pitches 4, 6 and 8, nine pitches
// for the others.
func unifiedEngagement(t Thread, d, p float64) (length float64, special bool) {
	switch t.Series {
	case "UNC", "UNF":
		return d, false
	case "UN":
		if t.Pitch.Cmp(calc.PerTurn(calc.Inch/8)) >= 0 {
			return d, false
		}
	case "UNS":
		return 9 * p, true
	}
	return 9 * p, false
}

func unifiedBasic(t Thread) Basic {
	p := t.Pitch.Nanometres().Float() / float64(calc.Inch)
	d := t.Nominal.Inches()
	return Basic{
		Major: t.Nominal, Pitch: printed(d - 0.64951905*p), Minor: printed(d - 1.08253175*p),
		Root: printed(d - 1.19078493*p), InsideRoot: t.Nominal,
	}
}

// unifiedLimits follow the rounding chain of ASME B1.1: the allowance to four
// places first, then everything else from the major diameter it leaves.
func unifiedLimits(t Thread) (Limits, error) {
	factor, ok := unifiedClasses[t.Class]
	if !ok || (t.Class[1] == 'A') != t.External {
		return Limits{}, fmt.Errorf("%q is no class of this side of a Unified thread: write one such as %s", t.Class, map[bool]string{true: "2A", false: "2B"}[t.External])
	}
	d := t.Nominal.Inches()
	tpi, err := t.Pitch.PerInch()
	if err != nil {
		return Limits{}, err
	}
	p := inches(t.Pitch.Nanometres().Float()/float64(calc.Inch), 8)
	engaged, special := unifiedEngagement(t, d, p)
	tolerance := 0.0015*math.Cbrt(d) + 0.0015*math.Sqrt(engaged) + 0.015*math.Pow(p, 2.0/3)
	l := Limits{Sources: []string{sourceB11}}
	if special {
		l.Sources = []string{sourceB11Near}
	}
	band := func(nominal calc.Length, low, high float64) fit.Limits {
		return fit.Limits{Nominal: nominal, Min: printed(low), Max: printed(high), Class: t.Class, Source: sourceB11}
	}
	b := unifiedBasic(t)
	if t.External {
		allowance, majorTolerance := 0.0, 0.060*math.Pow(p, 2.0/3)
		if t.Class != "3A" {
			allowance = inches(0.3*tolerance, 4)
		}
		if t.Class == "1A" {
			majorTolerance *= 1.5
		}
		major := inches(d-allowance, 4)
		pitch := inches(major-0.64951905*p, 4)
		low := inches(pitch-factor*tolerance, 4)
		l.Major = band(b.Major, major-majorTolerance, major)
		l.Pitch = band(b.Pitch, low, pitch)
		// The lowest root the flat form allows: a flat of P/8 at the lowest pitch
		// line, as B1.1 gives for reference.
		l.Minor = band(b.Minor, low-0.64951905*p, major-1.08253175*p)
		l.DesignRoot = printed(major - 1.19078493*p)
		return l, nil
	}
	minor := d - 1.08253175*p
	least, most := minor, inches(minor+unifiedMinorTolerance(t.Class, d, p, tpi.Float()), 4)
	if d >= 0.138 { // from number 6 up: three places, written with a nought
		least = inches(least, 3)
		if t.Class != "3B" {
			most = inches(most, 3)
		}
	}
	pitch := inches(d-0.64951905*p, 4)
	high := inches(pitch+factor*tolerance, 4)
	l.Pitch = band(b.Pitch, pitch, high)
	l.Minor = band(b.Minor, least, most)
	l.Major = band(b.Major, d, high+0.793857*p) // upper end for reference
	return l, nil
}

// unifiedMinorTolerance is the tolerance of an inside thread's minor diameter.
func unifiedMinorTolerance(class string, d, p, tpi float64) float64 {
	base := 0.05*math.Pow(p, 2.0/3) + 0.03*p/d - 0.002
	if class != "3B" && d >= 0.25 {
		if tpi >= 4 {
			return 0.25*p - 0.4*p*p
		}
		return 0.15 * p
	}
	floor := 0.25*p - 0.4*p*p
	if class == "3B" {
		floor = 0.12 * p
		if tpi >= 13 {
			floor = 0.23*p - 1.5*p*p
		}
	}
	return math.Max(math.Min(base, 0.394*p), floor)
}

// unifiedNumbers are the numbered sizes.
var unifiedNumbers = []int{0, 1, 2, 3, 4, 5, 6, 8, 10, 12}

// unifiedNumber says whether a whole number with so many threads per inch is a
// numbered size rather than whole inches.
func unifiedNumber(n int, tpi calc.Ratio) bool {
	if !slices.Contains(unifiedNumbers, n) {
		return false
	}
	for _, s := range []string{"UNC", "UNF", "UNEF"} {
		if inSeries(s, number(n), tpi) {
			return true
		}
	}
	return false
}

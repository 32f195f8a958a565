package thread

import (
	"fmt"
	"math"
	"strconv"

	"turncue/calc"
	"turncue/calc/fit"
)

const (
	sourceISO2904 = "ISO 2904"
	sourceISO2903 = "ISO 2903 by its rules (from memory)"
	sourceB15     = "ASME B1.5"
	sourceB15Tol  = "ASME B1.5 class 2G tolerances (from memory)"
)

// clearance is ac of ISO 2904: 0.15 mm at P 1.5, then by range of pitch.
func clearance(p calc.Length) calc.Length {
	switch {
	case p <= 1500*um:
		return 150 * um
	case p <= 5*mm:
		return 250 * um
	case p <= 12*mm:
		return 500 * um
	}
	return mm
}

func trapezoidalBasic(t Thread) Basic {
	p := t.Pitch.Length()
	ac := clearance(p)
	return Basic{Major: t.Nominal, Pitch: t.Nominal - p/2, Minor: t.Nominal - p, Root: t.Nominal - p - 2*ac, InsideRoot: t.Nominal + 2*ac}
}

// trapezoidalShift are the deviations c and e of ISO 2903, micrometres by pitch,
// from memory.
var trapezoidalShift = map[calc.Length]struct{ c, e int }{
	1500 * um: {140, 67}, 2 * mm: {150, 71}, 3 * mm: {170, 85}, 4 * mm: {190, 95}, 5 * mm: {212, 106}, 6 * mm: {236, 118},
	7 * mm: {250, 125}, 8 * mm: {265, 132}, 9 * mm: {280, 140}, 10 * mm: {300, 150}, 12 * mm: {335, 160},
}

// trapezoidalLimits follow the rules of ISO 2903: the tolerances of ISO 965-1
// with grade 4 for the crests, and 1.25 times the pitch tolerance for the root
// of the outside thread.
func trapezoidalLimits(t Thread) (Limits, error) {
	if len(t.Class) != 2 || t.External != (t.Class[1] == 'e' || t.Class[1] == 'c') || (t.Class[1] != 'H') != t.External ||
		t.Class[0] < '7' || t.Class[0] > '9' {
		return Limits{}, fmt.Errorf("%q is no class of this side of a trapezoidal thread: write one such as %s", t.Class, map[bool]string{true: "7e", false: "7H"}[t.External])
	}
	grade, err := strconv.Atoi(t.Class[:1])
	if err != nil {
		return Limits{}, err
	}
	var s metricSource
	tolerance, err := s.pitch(t.Nominal, t.Pitch, grade, t.External)
	if err != nil {
		return Limits{}, err
	}
	p := t.Pitch.Length()
	shift := calc.Length(0)
	if t.External {
		row, ok := trapezoidalShift[p]
		base := map[byte]float64{'c': 95, 'e': 50}[t.Class[1]]
		v := map[byte]int{'c': row.c, 'e': row.e}[t.Class[1]]
		if !ok {
			v = r40At(r40Index(base + 11*t.Pitch.Millimetres()))
		}
		shift = calc.Length(v) * um
	}
	b := trapezoidalBasic(t)
	band := func(nominal, low, high calc.Length) fit.Limits {
		return fit.Limits{Nominal: nominal, Min: nominal + low, Max: nominal + high, Class: t.Class, Source: sourceISO2903}
	}
	crest := s.crest(t.Pitch, 4, t.External)
	l := Limits{Sources: []string{sourceISO2904, sourceISO2903}}
	if t.External {
		l.Major = band(b.Major, -crest, 0)
		l.Pitch = band(b.Pitch, -shift-tolerance, -shift)
		l.Minor = band(b.Root, -(tolerance*5/4 + shift).Round(um), 0)
		l.DesignRoot = b.Root
		return l, nil
	}
	l.Major = band(b.InsideRoot, 0, tolerance) // upper end for reference
	l.Pitch = band(b.Pitch, 0, tolerance)
	l.Minor = band(b.Minor, 0, crest)
	return l, nil
}

// acmeAllowance is the clearance on diameter at the root: 0.020 in at 10 threads
// per inch and coarser, 0.010 in finer.
func acmeAllowance(p calc.Lead) calc.Length {
	if p.Cmp(calc.PerTurn(calc.Inch/10)) >= 0 {
		return 20 * calc.Thou
	}
	return 10 * calc.Thou
}

func acmeBasic(t Thread) Basic {
	p := t.Pitch.Nanometres().Float()
	minor := (t.Nominal - nearest(p)).Round(tenth)
	return Basic{Major: t.Nominal, Pitch: (t.Nominal - nearest(p/2)).Round(tenth), Minor: minor,
		Root: minor - acmeAllowance(t.Pitch), InsideRoot: t.Nominal + acmeAllowance(t.Pitch)}
}

// acmeLimits are those of class 2G: pitch allowance 0.008 D^(1/2), tolerance
// 0.030 P^(1/2) + 0.006 D^(1/2) in.
func acmeLimits(t Thread) (Limits, error) {
	if t.Class != "2G" {
		return Limits{}, fmt.Errorf("class %q of an Acme thread is not known here: write 2G", t.Class)
	}
	b := acmeBasic(t)
	d, p := t.Nominal.Inches(), t.Pitch.Nanometres().Float()/float64(calc.Inch)
	allowance, tolerance := printed(0.008*math.Sqrt(d)), printed(0.030*math.Sqrt(p)+0.006*math.Sqrt(d))
	crest := max(printed(0.05*p), 5*calc.Thou)
	band := func(nominal, low, high calc.Length) fit.Limits {
		return fit.Limits{Nominal: nominal, Min: nominal + low, Max: nominal + high, Class: t.Class, Source: sourceB15Tol}
	}
	l := Limits{Sources: []string{sourceB15, sourceB15Tol}}
	if t.External {
		l.Major = band(b.Major, -crest, 0)
		l.Pitch = band(b.Pitch, -allowance-tolerance, -allowance)
		l.Minor = band(b.Root, -(tolerance * 3 / 2).Round(tenth), 0)
		l.DesignRoot = b.Root
		return l, nil
	}
	l.Major = band(b.InsideRoot, 0, acmeAllowance(t.Pitch))
	l.Pitch = band(b.Pitch, 0, tolerance)
	l.Minor = band(b.Minor, 0, crest)
	return l, nil
}

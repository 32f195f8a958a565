package thread

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/fit"
)

// Limits are the bands of a thread's three diameters. Where a standard limits
// only one side of a diameter, the other end of the band is what the form
// allows, as the field says.
type Limits struct {
	// Major is the diameter over the crests of an outside thread. On an inside
	// thread its upper end is a reference only.
	Major fit.Limits
	// Pitch is the pitch diameter, which decides the fit.
	Pitch fit.Limits
	// Minor is the diameter at the root of an outside thread: from the lowest
	// root a rounded tip of the standard's least radius leaves to the highest a
	// GO gauge passes. On an inside thread it is the bore.
	Minor fit.Limits
	// DesignRoot is the root diameter of an outside thread cut with the design
	// root radius, at the upper limit of the pitch diameter; zero where the
	// standard has none.
	DesignRoot calc.Length
	// Sources name the standards and tables; what is from memory or by formula
	// instead of a printed table says so.
	Sources []string
}

// Basic are the diameters of the basic profile.
type Basic struct {
	Major, Pitch, Minor calc.Length
	// Root is the minor diameter of the design profile of an outside thread,
	// with its rounded or cleared root.
	Root calc.Length
	// InsideRoot is the major diameter of the design profile of an inside
	// thread.
	InsideRoot calc.Length
}

// Basic is the basic profile's diameters, rounded half away from zero as the
// standard prints them (0.001 mm, or 0.0001 in). On a taper thread they stand at
// the gauge plane.
func (t Thread) Basic() (Basic, error) {
	switch t.Family {
	case Metric, Valve:
		return metricBasic(t), nil
	case Unified:
		return unifiedBasic(t), nil
	case Whitworth, Cycle:
		return roundedBasic(t, tenth), nil
	case Association:
		return associationBasic(t), nil
	case Pipe, SealingPipe:
		return pipeBasic(t)
	case AmericanPipe:
		return americanBasic(t)
	case Trapezoidal:
		return trapezoidalBasic(t), nil
	case Acme:
		return acmeBasic(t), nil
	case Square:
		return squareBasic(t), nil
	case Own:
		return ownBasic(t), nil
	}
	return Basic{}, fmt.Errorf("no basic profile is known for %q", t.Designation)
}

// Limits are the limits of size, all on diameter. Where no tolerances are known
// for a family, the bands are of no width and the sources say so; on a taper
// thread they stand at the gauge plane.
func (t Thread) Limits() (Limits, error) {
	switch t.Family {
	case Metric:
		return metricLimits(t)
	case Unified:
		return unifiedLimits(t)
	case Whitworth:
		return whitworthLimits(t)
	case Association:
		return associationLimits(t)
	case Pipe:
		return pipeLimits(t)
	case SealingPipe:
		return taperLimits(t, sourceISO7, sourceISO7Turn)
	case AmericanPipe:
		return taperLimits(t, sourceB1201, sourceB1201Turn)
	case Trapezoidal:
		return trapezoidalLimits(t)
	case Acme:
		return acmeLimits(t)
	case Valve:
		return basicLimits(t, sourceISO4570)
	case Cycle:
		return basicLimits(t, sourceBS811)
	case Square:
		return basicLimits(t, sourcePractice)
	case Own:
		return basicLimits(t, sourceOwn)
	}
	return Limits{}, fmt.Errorf("no limits are known for %q", t.Designation)
}

// The sources of families without tolerances here.
const (
	sourceISO7     = "ISO 7-1 basic sizes at the gauge plane (no tolerances here)"
	sourceB1201    = "ASME B1.20.1 basic sizes at the gauge plane (no tolerances here)"
	sourceISO4570  = "ISO 4570 nominal sizes with the ISO 68-1 profile (no tolerances here)"
	sourceBS811    = "BS 811 form, common practice (no tolerances here)"
	sourcePractice = "common practice (no tolerances here)"
	sourceOwn      = "sizes as given (no tolerances here)"
)

// basicLimits are bands of no width at the basic sizes.
func basicLimits(t Thread, source string) (Limits, error) {
	b, err := t.Basic()
	if err != nil {
		return Limits{}, err
	}
	at := func(l calc.Length) fit.Limits { return fit.Limits{Nominal: l, Min: l, Max: l, Source: source} }
	l := Limits{Major: at(b.Major), Pitch: at(b.Pitch), Minor: at(b.Minor), Sources: []string{source}}
	if t.External {
		l.Minor = at(b.Root)
		l.DesignRoot = b.Root
	} else {
		l.Major = at(b.InsideRoot)
	}
	return l, nil
}

// TurnTo is the diameter to turn an outside thread's blank to, or to bore an
// inside one to, before threading: the band of the crest diameter, with its
// middle as Nominal. M10x1-6g gives 9.794 to 9.974, nominal 9.884 mm.
func (t Thread) TurnTo() (fit.Limits, error) {
	l, err := t.Limits()
	if err != nil {
		return fit.Limits{}, err
	}
	band := l.Minor
	if t.External {
		band = l.Major
	}
	band.Nominal = band.Mid()
	return band, nil
}

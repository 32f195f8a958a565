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
	// with its rounded root; zero where the standard has none.
	Root calc.Length
}

// Basic is the basic profile's diameters, rounded half away from zero as the
// standard prints them (ISO metric: 0.001 mm).
func (t Thread) Basic() (Basic, error) {
	switch t.Family {
	case Metric:
		return metricBasic(t), nil
	}
	return Basic{}, fmt.Errorf("no basic profile is known for %q", t.Designation)
}

// Limits are the limits of size, all on diameter.
func (t Thread) Limits() (Limits, error) {
	switch t.Family {
	case Metric:
		return metricLimits(t)
	}
	return Limits{}, fmt.Errorf("no limits are known for %q", t.Designation)
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

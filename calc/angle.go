package calc

import (
	"fmt"
	"math"
	"math/big"
	"strings"
)

// Angle is in whole milliarcseconds, so degrees, halves, minutes and seconds of
// arc are all exact. Radians appear only inside functions that need a sine.
type Angle int64

// The units an angle is written in.
const (
	Milliarcsecond Angle = 1
	Arcsecond            = 1000 * Milliarcsecond
	Arcminute            = 60 * Arcsecond
	Degree               = 60 * Arcminute
)

// Radians makes an angle of radians, rounded to the milliarcsecond.
func Radians(r float64) Angle { return Angle(math.Round(r * 180 / math.Pi * float64(Degree))) }

// Radians is the angle in radians.
func (a Angle) Radians() float64 { return float64(a) / float64(Degree) * math.Pi / 180 }

// Degrees is the angle as a floating point number of degrees.
func (a Angle) Degrees() float64 { return float64(a) / float64(Degree) }

// String is the angle in degrees: "29.5 deg". Seven places hold every
// milliarcsecond, so that [ParseAngle] reads it back to the same angle.
func (a Angle) String() string {
	s := big.NewRat(int64(a), int64(Degree)).FloatString(7)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s + " deg"
}

// MarshalText is [Angle.String].
func (a Angle) MarshalText() ([]byte, error) { return []byte(a.String()), nil }

// UnmarshalText is [ParseAngle].
func (a *Angle) UnmarshalText(b []byte) error {
	v, err := ParseAngle(string(b))
	if err == nil {
		*a = v
	}
	return err
}

// ParseAngle reads "29.5 deg", "29.5°" or "47-1/2 deg", rounded to the
// milliarcsecond.
func ParseAngle(s string) (Angle, error) {
	t := strings.TrimSpace(s)
	for _, unit := range []string{"degrees", "deg", "°"} {
		if n, ok := strings.CutSuffix(t, unit); ok {
			r, err := parseNumber(strings.TrimSpace(n), s)
			if err != nil {
				return 0, err
			}
			return Angle(fromRat(r.Mul(r, big.NewRat(int64(Degree), 1)))), nil
		}
	}
	return 0, fmt.Errorf("%q has no unit: write an angle such as 29.5 deg", s)
}

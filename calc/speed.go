package calc

import (
	"fmt"
	"math"
	"math/big"
	"strings"
	"time"
)

// Speed is a spindle speed in thousandths of a turn per minute.
type Speed int64

// RPM is one turn per minute.
const RPM Speed = 1000

// PerMinute is the speed as a floating point number of turns per minute.
func (s Speed) PerMinute() float64 { return float64(s) / float64(RPM) }

// String is "250 rpm".
func (s Speed) String() string {
	t := big.NewRat(int64(s), int64(RPM)).FloatString(3)
	return strings.TrimRight(strings.TrimRight(t, "0"), ".") + " rpm"
}

// MarshalText is [Speed.String].
func (s Speed) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText is [ParseSpeed].
func (s *Speed) UnmarshalText(b []byte) error {
	v, err := ParseSpeed(string(b))
	if err == nil {
		*s = v
	}
	return err
}

// ParseSpeed reads "250 rpm". Zero or less is an error.
func ParseSpeed(text string) (Speed, error) {
	n, ok := strings.CutSuffix(strings.TrimSpace(text), "rpm")
	if !ok {
		return 0, fmt.Errorf("%q has no unit: write a spindle speed such as 250 rpm", text)
	}
	r, err := parseNumber(strings.TrimSpace(n), text)
	if err != nil {
		return 0, err
	}
	v := Speed(fromRat(r.Mul(r, big.NewRat(int64(RPM), 1))))
	if v <= 0 {
		return 0, fmt.Errorf("spindle speed %q is not above zero", text)
	}
	return v, nil
}

// Time is how long so many turns take at this speed, rounded to the
// millisecond; zero at a speed of zero or less.
func (s Speed) Time(turns Ratio) time.Duration {
	if s <= 0 {
		return 0
	}
	minutes := turns.Float() / s.PerMinute()
	return time.Duration(math.Round(minutes*60*1000)) * time.Millisecond
}

// SurfaceSpeed is a cutting speed in micrometres per minute, so that metres and
// feet are both exact.
type SurfaceSpeed int64

// The units a cutting speed is written in.
const (
	MetrePerMinute SurfaceSpeed = 1_000_000
	FootPerMinute  SurfaceSpeed = 304_800
)

// ParseSurfaceSpeed reads "30 m/min" or "100 ft/min". Zero or less is an error.
func ParseSurfaceSpeed(text string) (SurfaceSpeed, error) {
	t := strings.TrimSpace(text)
	for _, u := range []struct {
		name string
		one  SurfaceSpeed
	}{{"m/min", MetrePerMinute}, {"ft/min", FootPerMinute}} {
		n, ok := strings.CutSuffix(t, u.name)
		if !ok {
			continue
		}
		r, err := parseNumber(strings.TrimSpace(n), text)
		if err != nil {
			return 0, err
		}
		v := SurfaceSpeed(fromRat(r.Mul(r, big.NewRat(int64(u.one), 1))))
		if v <= 0 {
			return 0, fmt.Errorf("cutting speed %q is not above zero", text)
		}
		return v, nil
	}
	return 0, fmt.Errorf("%q has no unit: write a cutting speed such as 30 m/min or 100 ft/min", text)
}

// Spindle is the spindle speed that gives this cutting speed on a diameter,
// rounded down to a thousandth of a turn; zero on a diameter of zero or less.
func (v SurfaceSpeed) Spindle(diameter Length) Speed {
	if diameter <= 0 {
		return 0
	}
	return Speed(float64(v) / 1000 / (math.Pi * diameter.Millimetres()) * float64(RPM))
}

// Surface is the cutting speed this spindle speed gives on a diameter, rounded
// to a micrometre per minute.
func (s Speed) Surface(diameter Length) SurfaceSpeed {
	return SurfaceSpeed(math.Round(s.PerMinute() * math.Pi * diameter.Millimetres() * 1000))
}

// String is "30 m/min".
func (v SurfaceSpeed) String() string {
	t := big.NewRat(int64(v), int64(MetrePerMinute)).FloatString(1)
	return strings.TrimSuffix(t, ".0") + " m/min"
}

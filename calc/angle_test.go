package calc_test

import (
	"math"
	"strings"
	"testing"

	"turncue/calc"
)

// Degrees, halves, minutes and seconds of arc are whole.
func TestAngle(t *testing.T) {
	for text, want := range map[string]calc.Angle{
		"29.5 deg": 29*calc.Degree + 30*calc.Arcminute, "29.5°": 29*calc.Degree + 30*calc.Arcminute, "47-1/2 deg": 47*calc.Degree + 30*calc.Arcminute,
		"60 degrees": 60 * calc.Degree, "0 deg": 0, "-5 deg": -5 * calc.Degree, "14.25 deg": 14*calc.Degree + 15*calc.Arcminute,
	} {
		a, err := calc.ParseAngle(text)
		if err != nil || a != want {
			t.Errorf("%q is %s, %v; want %s", text, a, err, want)
		}
		if again, err := calc.ParseAngle(a.String()); err != nil || again != a {
			t.Errorf("%s reads back as %s, %v", a, again, err)
		}
	}
	for _, bad := range []string{"", "30", "x deg", "deg", "30 rad", "1/0 deg"} {
		if a, err := calc.ParseAngle(bad); err == nil {
			t.Errorf("%q is taken as %s", bad, a)
		}
	}
	if a := 30 * calc.Degree; math.Abs(math.Sin(a.Radians())-0.5) > 1e-15 || calc.Radians(a.Radians()) != a || a.Degrees() != 30 {
		t.Errorf("the sine of %s is %g", a, math.Sin(a.Radians()))
	}
	rng := seeded(t, 20260330)
	for range 5000 {
		a := calc.Angle(rng.Int63n(int64(360 * calc.Degree)))
		if again, err := calc.ParseAngle(a.String()); err != nil || again != a {
			t.Fatalf("%d mas prints as %s, which reads back as %d, %v", a, a, again, err)
		}
	}
}

func TestSpeed(t *testing.T) {
	for text, want := range map[string]calc.Speed{"250 rpm": 250 * calc.RPM, "250rpm": 250 * calc.RPM, "62.5 rpm": 62*calc.RPM + calc.RPM/2} {
		s, err := calc.ParseSpeed(text)
		if err != nil || s != want {
			t.Errorf("%q is %s, %v", text, s, err)
		}
		if again, err := calc.ParseSpeed(s.String()); err != nil || again != s {
			t.Errorf("%s reads back as %s, %v", s, again, err)
		}
	}
	for _, bad := range []string{"", "250", "0 rpm", "-5 rpm", "x rpm", "0.0001 rpm"} {
		if s, err := calc.ParseSpeed(bad); err == nil {
			t.Errorf("%q is taken as %s", bad, s)
		}
	}
	// v = pi d n: 30 m/min on 20 mm is 477.46 rpm.
	v := 30 * calc.MetrePerMinute
	if n := v.Spindle(20 * calc.Millimetre); n != calc.Speed(477_464) {
		t.Errorf("30 m/min on 20 mm is %s", n)
	}
	if back := v.Spindle(20 * calc.Millimetre).Surface(20 * calc.Millimetre); back > v || back < v-calc.MetrePerMinute/10_000 {
		// A thousandth of a turn on 20 mm is 63 um a minute.
		t.Errorf("and back %s", back)
	}
	// 1000 feet are 304.8 m by definition (the inch is 25.4 mm).
	if 1000*calc.FootPerMinute != 3048*calc.MetrePerMinute/10 {
		t.Errorf("1000 feet a minute are %s", 1000*calc.FootPerMinute)
	}
	if v.Spindle(0) != 0 || v.Spindle(-1) != 0 {
		t.Error("a diameter of nothing has a speed")
	}
	// 100 turns at 60 rpm take 100 seconds.
	if got := (60 * calc.RPM).Time(calc.Whole(100)); got.Seconds() != 100 {
		t.Errorf("100 turns at 60 rpm take %s", got)
	}
	if calc.Speed(0).Time(calc.Whole(1)) != 0 {
		t.Error("standing still takes time")
	}
	if s := v.String(); !strings.HasPrefix(s, "30 m/min") {
		t.Errorf("30 m/min prints as %s", s)
	}
}

func TestSurfaceSpeeds(t *testing.T) {
	for text, want := range map[string]calc.SurfaceSpeed{
		"30 m/min": 30 * calc.MetrePerMinute, "100ft/min": 100 * calc.FootPerMinute, " 12.5 m/min ": 25 * calc.MetrePerMinute / 2,
	} {
		if v, err := calc.ParseSurfaceSpeed(text); err != nil || v != want {
			t.Errorf("%q is %s, %v", text, v, err)
		}
	}
	for _, bad := range []string{"", "30", "0 m/min", "-5 m/min", "x m/min", "30 m/s", "m/min"} {
		if v, err := calc.ParseSurfaceSpeed(bad); err == nil {
			t.Errorf("%q is taken as %s", bad, v)
		}
	}
}

package setup

import (
	"math"
	"testing"

	"turncue/calc"
)

// The blanks of a knurl hold whole teeth: n = pi D cos a / p; what is pressed raises 0.3 to
// 0.5 of the pitch on diameter in steel (common practice).
func TestBlankForAKnurl(t *testing.T) {
	mm := calc.Millimetre
	for _, c := range []struct {
		pitch, low, high calc.Length
		helix            calc.Angle
		teeth            int
		blank            calc.Length
	}{
		// 63 teeth of 1 mm are 20.054 mm; to 20.4 mm they are one of two that reach.
		{mm, 20354 * um, 20554 * um, 0, 63, 20054 * um},
		{mm, 19800 * um, 20200 * um, 30 * calc.Degree, 53, 19480 * um}, // 53 x 1.1547 / pi
		{800 * um, 12800 * um, 13200 * um, 0, 50, 12732 * um},          // 50 x 0.8 / pi
	} {
		got, err := Knurl{Pitch: c.pitch, Helix: c.helix}.For(c.low, c.high)
		must(t, err)
		if got.Teeth != c.teeth || (got.Blank-c.blank).Abs() > um {
			t.Errorf("%s to %s: %d teeth on %s, want %d on %s", c.low, c.high, got.Teeth, got.Blank, c.teeth, c.blank)
		}
		if got.Least < c.low || got.Most > c.high || got.Most-got.Least < c.pitch/10 {
			t.Errorf("%s to %s: reaches %s to %s", c.low, c.high, got.Least, got.Most)
		}
	}
	if _, err := (Knurl{Pitch: mm, Helix: 30 * calc.Degree}).For(20*mm-20*um, 20*mm+20*um); err == nil {
		t.Error("20 mm between two blanks: accepted")
	}
	if _, err := (Knurl{}).For(20*mm, 21*mm); err == nil {
		t.Error("no pitch: accepted")
	}
	// A sixth of a tooth round the blank is p / (6 pi) on diameter.
	if got, want := (Knurl{Pitch: mm}).Track().Millimetres(), 1/(6*math.Pi); math.Abs(got-want) > 1e-6 {
		t.Errorf("tracks within %g mm, want %g", got, want)
	}
}

// Every diameter with room for a knurl is reached or refused with two that are.
func TestEveryBlankTracks(t *testing.T) {
	for _, p := range []calc.Length{500 * um, 600 * um, 800 * um, calc.Millimetre, 1600 * um} {
		for d := 8 * calc.Millimetre; d < 40*calc.Millimetre; d += 130 * um {
			k := Knurl{Pitch: p, Helix: 30 * calc.Degree}
			got, err := k.For(d-p*35/100, d+p*35/100)
			if err != nil {
				t.Fatalf("%s of %s: %v", d, p, err)
			}
			if n := k.Teeth(got.Blank); math.Abs(n-math.Round(n)) > 1e-4 {
				t.Errorf("%s of %s: %g teeth", d, p, n)
			}
			if rise, most := k.Rise(); got.Least < got.Blank+rise || got.Most > got.Blank+most {
				t.Errorf("%s of %s: %s to %s from %s", d, p, got.Least, got.Most, got.Blank)
			}
		}
	}
}

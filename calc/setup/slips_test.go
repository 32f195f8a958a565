package setup

import (
	"math"
	"testing"

	"turncue/calc"
)

// TestPublishedSlips: figures in print that are wrong stay apart from ours, each by
// name.
func TestPublishedSlips(t *testing.T) {
	apart := func(name string, got, wrong, least calc.Length) {
		t.Helper()
		if (got - wrong).Abs() < least {
			t.Errorf("%s: %s is the slip in print, %s", name, got, wrong)
		}
	}
	// Packing: an approximate form in circulation takes off a quarter of the right
	// correction, 3/16 e2/d where it is 3/4. On 30 mm with an offset of 2 mm that is
	// 2.975, and 2.8997 by the contact geometry.
	p, err := PackingFor(2*calc.Millimetre, 30*calc.Millimetre)
	must(t, err)
	apart("packing", p, calc.Millimetres(1.5*2-3.0/16*4/30), 70*calc.Micrometre)
	if math.Abs(p.Millimetres()-2.8997) > 0.0005 {
		t.Errorf("packing %s", p)
	}
	// Parting: a blade of 3 mm parts a bar of 48 mm, 1.890 in; the maker's page has
	// 1.190 in beside it.
	bar := 2 * PartingDepth(3*calc.Millimetre, false)
	apart("parting", bar, calc.Inches(1.190), calc.Inches(0.5))
	if bar != 48*calc.Millimetre {
		t.Errorf("parting %s", bar)
	}
	// Fine feed: 5.74 degrees is ten to one on radius; on diameter ten to one is 2.87.
	tenth, err := calc.NewRatio(1, 10)
	must(t, err)
	s, err := FineFeed(tenth)
	must(t, err)
	if d := s.FromAxis.Degrees(); math.Abs(d-5.739) > 0.001 || math.Abs(d-2.866) < 1 {
		t.Errorf("ten to one is %.3f degrees", d)
	}
	// O-ring: a gland's depth is to the mating surface; taken as the depth of the cut it
	// is too deep by half the clearance.
	apart("o-ring", GrooveDepth(2060*calc.Micrometre, 25*calc.Millimetre, 249*calc.Millimetre/10), 2060*calc.Micrometre, 50*calc.Micrometre)
}

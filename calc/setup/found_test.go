package setup

import (
	"testing"

	"turncue/calc"
)

func parsed(t *testing.T, s string) calc.Length {
	t.Helper()
	l, err := calc.ParseLength(s)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// A ring of 1.25 mm a turn on a screw of 20 tpi moves 1.27 mm, and one of 0.040 in on a
// screw of 1 mm moves 1 mm (checked shop figures: 1.000 on the ring moves 1.016, 0.500
// moves 0.4921): ten turns tell them apart, though they are 1.6 % from each other.
func TestOneTurnAndItsScrew(t *testing.T) {
	for _, c := range []struct {
		turns       int64
		moved, want string
		ok          bool
	}{
		{10, "12.70 mm", "0.05 in", true}, {10, "12.50 mm", "1.25 mm", true}, {10, "12.73 mm", "0.05 in", true}, {10, "12.58 mm", "1.25 mm", true}, {10, "12.66 mm", "0.05 in", true},
		{10, "10.01 mm", "1 mm", true}, {5, "0.5000 in", "0.1 in", true}, {5, "9.98 mm", "2 mm", true}, {5, "25.4 mm", "0.2 in", true}, {2, "0.2497 in", "0.125 in", true},
		{10, "14.00 mm", "", false}, {10, "22.00 mm", "", false},
	} {
		one, err := OneTurn(calc.Whole(c.turns), parsed(t, c.moved))
		if err != nil {
			t.Fatal(err)
		}
		got, ok := Screw(one)
		if ok != c.ok || ok && got != parsed(t, c.want) {
			t.Errorf("%d turns move %s: a screw of %s, %v", c.turns, c.moved, got, ok)
		}
	}
	for _, turns := range []int64{0, -1} {
		if _, err := OneTurn(calc.Whole(turns), calc.Millimetre); err == nil {
			t.Errorf("%d turns", turns)
		}
	}
}

// Ten threads of the usual leadscrews, as a rule shows them to 0.25 mm; 2.5 mm and 10 tpi
// are named together.
func TestLeadscrew(t *testing.T) {
	for _, c := range []struct {
		threads           int64
		over, best, other string
	}{
		{10, "15.0 mm", "1.5 mm", ""}, {10, "30 mm", "3 mm", ""}, {10, "31.75 mm", "8 tpi", ""}, {10, "31.5 mm", "8 tpi", ""}, {10, "25.4 mm", "10 tpi", "2.5 mm"}, {10, "25.0 mm", "2.5 mm", "10 tpi"},
		{10, "40 mm", "4 mm", ""}, {10, "1-1/4 in", "8 tpi", ""}, {8, "1/2 in", "16 tpi", ""}, {10, "21.2 mm", "12 tpi", ""},
	} {
		best, other, ok := Leadscrew(calc.Whole(c.threads), parsed(t, c.over))
		lead := func(s string) (l calc.Lead) {
			if err := l.UnmarshalText([]byte(s)); err != nil {
				t.Fatal(err)
			}
			return l
		}
		if !ok || best != lead(c.best) || other != lead(c.other) {
			t.Errorf("%d threads over %s: %s, or %s (%v)", c.threads, c.over, best, other, ok)
		}
	}
	if best, _, ok := Leadscrew(calc.Whole(10), 35*calc.Millimetre); ok {
		t.Errorf("3.5 mm is %s", best)
	}
}

// Over the tips a wheel of z teeth measures (z + 2) modules: 40 teeth of module 1 are
// 42 mm (ISO 53: addendum of one module).
func TestModuleOverTips(t *testing.T) {
	for _, c := range []struct {
		teeth      int
		over, want string
		ok         bool
	}{
		{40, "42 mm", "1 mm", true}, {40, "41.9 mm", "1 mm", true}, {60, "77.5 mm", "1.25 mm", true}, {60, "3.1 in", "1.27 mm", true}, {30, "2 in", "1.588 mm", true}, {80, "82.1 mm", "1 mm", true},
		{40, "56.2 mm", "1.338 mm", false},
	} {
		got, ok, err := Module(c.teeth, parsed(t, c.over))
		if err != nil || ok != c.ok || got != parsed(t, c.want) {
			t.Errorf("%d teeth, %s over the tips: module %s, %v, %v", c.teeth, c.over, got, ok, err)
		}
	}
	if _, _, err := Module(4, calc.Millimetre); err == nil {
		t.Error("a wheel of four teeth")
	}
}

// The change of diameter is what a diameter ring says, and twice what a radius ring says.
func TestShowsDiameter(t *testing.T) {
	for _, c := range []struct {
		ring, diameter string
		want, ok       bool
	}{
		{"0.5 mm", "1.0 mm", false, true}, {"0.5 mm", "0.97 mm", false, true}, {"0.5 mm", "0.5 mm", true, true}, {"0.5 mm", "0.46 mm", true, true}, {"20 thou", "40 thou", false, true},
		{"0.5 mm", "0.75 mm", false, false}, {"0 mm", "0.5 mm", false, false}, {"0.04 mm", "0.08 mm", false, false}, {"0.5 mm", "0 mm", false, false}, {"-0.5 mm", "1 mm", false, true},
	} {
		got, err := ShowsDiameter(parsed(t, c.ring), parsed(t, c.diameter))
		if (err == nil) != c.ok || got != c.want {
			t.Errorf("ring %s, diameter %s: %v, %v", c.ring, c.diameter, got, err)
		}
	}
}

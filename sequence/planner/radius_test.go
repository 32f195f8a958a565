package planner_test

import (
	"math"
	"slices"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
)

// A radius put wrong in one way is found: the bench names the rule and the step, and the
// second checker finds it too.
func TestBothSeeWhatIsWrongWithARadius(t *testing.T) {
	j, l := read(t, "idler-stub", "toolroom")
	if wrong, broken := opinion(t, plan(t, j, l, sequence.Readings{}), j, l); len(wrong)+len(broken) > 0 {
		t.Fatalf("the right plan: %v %v", wrong, broken)
	}
	for _, s := range []struct {
		name  string
		rule  int
		step  string
		spoil func(*testing.T, *sequence.Plan)
	}{
		{"turned with a sharp tool", bench.ToSize, "seat/shoulder/cut1", change("face/tool", func(m *sequence.Mount) { m.Radius = 0 })},
		{"turned with a nose that is not owned", bench.Consistent, "face/tool", change("face/tool", func(m *sequence.Mount) { m.Radius = 2 * mm })},
		{"the hollow not fed in to its end", bench.ToSize, "flange/round/cut", all(change("flange/round/cut", func(m *sequence.Plunge) {
			m.To += 800 * um
			d := *m.Dial
			d.Reading -= 400 * um
			m.Dial = &d
		}), shiftOf("flange/round/cut", sequence.Out, func(m *sequence.Shift) {
			m.X += 800 * um
			d := *m.Dial
			d.Reading -= 400 * um
			m.Dial = &d
		}))},
		{"the hollow fed in with no feed", bench.ToolClear, "flange/round/cut", change("flange/round/cut", func(m *sequence.Plunge) { m.PerRev = calc.Lead{} })},
		{"an edge left sharp", bench.ToSize, "flange/finish/pass3/cut", all(gone("flange/round/touch"), gone("flange/round/edge"), gone("flange/round/cut"), gone("flange/round/clear"))},
	} {
		t.Run(s.name, func(t *testing.T) {
			p := plan(t, j, l, sequence.Readings{})
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule && b.StepID == s.step }) {
				t.Errorf("the bench does not name rule %d at %s: %v", s.rule, s.step, broken)
			}
			if len(wrong) == 0 && s.rule != bench.Consistent {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

// What the bench leaves in the corner is the round of the nose: 0.8 mm from the wall the
// seat begins, and at 45 degrees 0.8 (1 - 1/sqrt 2) = 0.234 mm are left of both.
func TestCornerIsRound(t *testing.T) {
	j, l := read(t, "idler-stub", "toolroom")
	got := bench.Run(plan(t, j, l, sequence.Readings{}), j, l)
	at := func(z calc.Length) float64 { return got.Profile.At(z).Millimetres() }
	seat := at(8 * mm)
	for back, high := range map[calc.Length]float64{
		900 * um: 0, 800 * um: 0,
		234 * um: 0.8 * (1 - math.Sqrt2/2),
		400 * um: 0.8 - math.Sqrt(0.8*0.8-0.4*0.4),
	} {
		if h := (at(14*mm-back) - seat) / 2; math.Abs(h-high) > 0.004 {
			t.Errorf("%s in front of the shoulder the work stands %.4f out, wanted %.4f", back, h, high)
		}
	}
}

// A face is cut past the middle by the nose, or a pip is left; a tool whose nose does not
// matter stops at the middle.
func TestFacedPastTheMiddle(t *testing.T) {
	for name, want := range map[string]calc.Length{"idler-stub": -1600 * um, "cart-pin": 0} {
		j, l := read(t, name, "toolroom")
		found := false
		for _, m := range step(t, plan(t, j, l, sequence.Readings{}), "face/pass1/cut").Moves {
			if m, ok := m.(sequence.Plunge); ok && m.To < m.From {
				found = true
				if m.To != want {
					t.Errorf("%s: faced to %s, wanted %s", name, m.To, want)
				}
			}
		}
		if !found {
			t.Errorf("%s is never faced", name)
		}
	}
}

// The general tolerances of external radii, ISO 2768-1 table 2 class m: 0.2 mm from 0.5 to
// 3 mm, 0.5 mm to 6 mm, 1 mm above (from memory).
func TestRadiusLimits(t *testing.T) {
	for r, give := range map[calc.Length]calc.Length{300 * um: 100 * um, 500 * um: 200 * um, 3 * mm: 200 * um, 4 * mm: 500 * um, 8 * mm: mm} {
		if got := job.RadiusLimits(r); got.Min != r-give || got.Max != r+give {
			t.Errorf("%s: %s to %s", r, got.Min, got.Max)
		}
	}
}

// The radius in a corner goes with the diameter it was turned with, whatever that is read at;
// a shoulder that is long enough as it was left is not faced again.
func TestCornerOfADiameterReadOtherwise(t *testing.T) {
	_, l := read(t, "idler-stub", "toolroom")
	j, err := job.ParseJob("found.toml", `part = "found"
material = "free-machining steel"
bar = "30 mm"
stickout = "50 mm"
part_off = false
[[section]]
diameter = "20 ±0.2 mm"
length = "12 ±0.3 mm"
corner = "0.8 mm"
[[section]]
as_bar = true
length = "10 mm"
`)
	if err != nil {
		t.Fatal(err)
	}
	for size := 19800 * um; size <= 20200*um; size += 50 * um {
		r := sequence.Readings{Lengths: map[string]calc.Length{"s1/finish/size2": size, "s1/shoulder/size1": 12 * mm}}
		if err := sound(plan(t, j, l, r), j, l); err != nil {
			t.Errorf("read at %s: %v", size, err)
		}
	}
}

package bench

import (
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

// centred is a start with the tailstock centre up, then one step more.
func centred(more ...sequence.Move) *sequence.Plan {
	l, j := smallLathe(), spigot()
	w := begin(l, j)
	w.step("drill", sequence.OpCentre, stop, sequence.Mount{Kind: sequence.CentreDrillTool}, fwd,
		sequence.Tailstock{Kind: sequence.CentreDrillTool, Diameter: 2 * mm, From: -mm, To: 4 * mm}, stop)
	w.step("centre", sequence.OpCentre, sequence.Hold{Support: "centre", StickOut: j.StickOut})
	w.step("tool", sequence.OpRough, mounted(sequence.TurningTool, 0, "", "tip"), fwd, hand(-2*mm, 5*mm), w.touchX(22*mm, 5*mm, sequence.OnDiameter))
	w.step("more", sequence.OpRough, more...)
	return w.plan
}

func rulesAt(r Result, id string) (rules []int) {
	for _, b := range r.Broken {
		if b.StepID == id && b.Rule != ToSize {
			rules = append(rules, b.Rule)
		}
	}
	return rules
}

// The mouth of a 2 mm centre hole is 4.24 mm, the cone is 6.55 mm thick 2 mm in
// front of the end.
func TestCentreIsInTheWay(t *testing.T) {
	in := func(x calc.Length) sequence.Move {
		return sequence.Shift{Slide: sequence.Cross, X: x, Dial: dialAt(smallLathe().Cross, (22*mm-x)/2), Approach: sequence.In}
	}
	for _, c := range []struct {
		name  string
		moves []sequence.Move
		wrong bool
	}{
		{"depth for 10 mm, 2 mm in front", []sequence.Move{hand(5*mm, -2*mm), in(10 * mm)}, false},
		{"depth for 6 mm, 2 mm in front", []sequence.Move{hand(5*mm, -2*mm), in(6 * mm)}, true},
		{"depth for 10 mm, 10 mm in front", []sequence.Move{hand(5*mm, -10*mm), in(10 * mm)}, true},
		{"at 18 mm, 40 mm in front", []sequence.Move{hand(5*mm, -40*mm), in(18 * mm)}, false},
		{"facing to the centre", []sequence.Move{hand(5*mm, 0), sequence.Plunge{From: 22 * mm, To: 0, PerRev: calc.PerTurn(50 * um)}}, true},
	} {
		r := Run(centred(c.moves...), spigot(), smallLathe())
		if got := rulesAt(r, "more"); (len(got) > 0) != c.wrong || (c.wrong && got[0] != WithinLimits) {
			t.Errorf("%s: %v", c.name, r.Err())
		}
	}
}

func TestFacingThroughTheCentreHoleStillFaces(t *testing.T) {
	r := Run(centred(), spigot(), smallLathe())
	if got := rulesAt(r, "more"); len(got) > 0 {
		t.Errorf("%v", r.Err())
	}
	if r.Profile[0].From != 0 {
		t.Errorf("the end is at %s, want 0", r.Profile[0].From)
	}
}

// The bar sticks out 60, faced by 0.5: the jaws are at 59.5, and nothing comes
// past 57.5.
func TestJawsAreKeptFrom(t *testing.T) {
	for z, wrong := range map[calc.Length]bool{57500 * um: false, 57600 * um: true} {
		l, j := smallLathe(), spigot()
		w := begin(l, j)
		w.step("out", sequence.OpRough, w.clear(30*mm))
		w.step("near", sequence.OpRough, hand(-2*mm, z))
		r := Run(w.plan, j, l)
		if got := rulesAt(r, "near"); (len(got) > 0) != wrong {
			t.Errorf("at %s: %v", z, r.Err())
		}
	}
	// A blade reaches further by its width.
	for z, wrong := range map[calc.Length]bool{55500 * um: false, 55600 * um: true} {
		l, j := smallLathe(), spigot()
		w := begin(l, j)
		w.step("blade", sequence.OpPartOff, stop, mounted(sequence.PartingTool, 2*mm, "", "tailstock side"))
		w.step("near", sequence.OpPartOff, hand(-2*mm, z))
		r := Run(w.plan, j, l)
		if got := rulesAt(r, "near"); (len(got) > 0) != wrong {
			t.Errorf("blade at %s: %v", z, r.Err())
		}
	}
}

// After touching, the tool may slide off along the surface it lies on, towards
// the tailstock and no further in.
func TestSlidingOffATouch(t *testing.T) {
	for _, c := range []struct {
		name  string
		moves []sequence.Move
		wrong bool
	}{
		{"off the end", []sequence.Move{hand(5*mm, -2*mm)}, false},
		{"along to the chuck", []sequence.Move{hand(5*mm, 10*mm)}, true},
		{"off the end and on again", []sequence.Move{hand(5*mm, -2*mm), hand(-2*mm, 5*mm)}, true},
	} {
		l, j := smallLathe(), spigot()
		w := begin(l, j)
		s := at(t, w.plan, "turn/touch")
		s.Moves = append(s.Moves[:1], c.moves...)
		if got := rulesAt(Run(w.plan, j, l), "turn/touch"); (len(got) > 0) != c.wrong {
			t.Errorf("%s: rules %v", c.name, got)
		}
	}
}

func TestTouchingNeedsSomethingThere(t *testing.T) {
	for _, c := range []struct {
		name string
		zero sequence.Zero
		ok   bool
	}{
		{"bar", sequence.Zero{Slide: sequence.Cross, X: 22 * mm, On: sequence.OnDiameter}, true},
		{"thinner than the bar", sequence.Zero{Slide: sequence.Cross, X: 21 * mm, On: sequence.OnDiameter}, false},
		{"faced end", sequence.Zero{Slide: sequence.Top, Z: 0, On: sequence.OnEnd}, false}, // the tool stands outside it
		{"shoulder that is not there", sequence.Zero{Slide: sequence.Top, Z: 20 * mm, On: sequence.OnShoulder}, false},
		{"corner", sequence.Zero{Slide: sequence.Cross, X: 22 * mm, On: sequence.OnCorner}, true},
		{"corner elsewhere", sequence.Zero{Slide: sequence.Cross, X: 22 * mm, Z: -mm, On: sequence.OnCorner}, false},
		{"in place", sequence.Zero{Slide: sequence.Top, Z: 5 * mm, On: sequence.InPlace}, true},
		{"not in place", sequence.Zero{Slide: sequence.Top, Z: 6 * mm, On: sequence.InPlace}, false},
	} {
		l, j := smallLathe(), spigot()
		w := begin(l, j)
		at(t, w.plan, "turn/touch").Moves = []sequence.Move{c.zero}
		if got := rulesAt(Run(w.plan, j, l), "turn/touch"); (len(got) == 0) != c.ok {
			t.Errorf("%s: rules %v", c.name, got)
		}
	}
}

// What comes off the raw end is rounded to a division of the top slide's ring: the
// end is where it is touched. More than that is a contradiction.
func TestRawEndIsWhereItIsTouched(t *testing.T) {
	for z, ok := range map[calc.Length]bool{-500 * um: true, -508 * um: true, -490 * um: true, -520 * um: false} {
		l, j := smallLathe(), spigot()
		w := begin(l, j)
		at(t, w.plan, "face/touch").Moves[0] = sequence.Zero{Slide: sequence.Top, Z: z, On: sequence.OnEnd}
		if got := rulesAt(Run(w.plan, j, l), "face/touch"); (len(got) == 0) != ok {
			t.Errorf("touched at %s: rules %v", z, got)
		}
	}
}

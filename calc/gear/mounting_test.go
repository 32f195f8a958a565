package gear

import (
	"math"
	"strings"
	"testing"

	"turncue/calc"
)

const (
	um = calc.Micrometre
)

// TestSaysWhatTouches: one train for each reason, with the figures by hand. All in
// module 1.
func TestSaysWhatTouches(t *testing.T) {
	mmm := func(n calc.Length) calc.Length { return n * calc.Millimetre }
	for _, c := range []struct {
		name, train string
		b           Banjo
		say         string // nothing for a train that fits
	}{
		{"fits", "40-50-45-60", Banjo{}, ""},
		// centres (20+45)/2 = 32.5, tip of the 80 is 41 out: 8.5 past the middle
		{"shaft before", "20-45-80-60", Banjo{}, "the 80 wheel touches the shaft of the 20: tip to shaft centre -8.5 mm, 6 mm needed: 14.5 mm short"},
		// centres (20+30)/2 = 25, tip of the 80 is 41 out
		{"shaft after", "40-80-20-30", Banjo{}, "the 80 wheel touches the shaft of the 30: tip to shaft centre -16 mm, 6 mm needed: 22 mm short"},
		// a shaft of 9 mm radius needs 10: centres (21+50)/2 = 35.5, tip of the 60 is 31
		{"stout first shaft", "21-50-60-40", Banjo{First: mmm(9)}, "tip to shaft centre 4.5 mm, 10 mm needed"},
		{"thin first shaft", "21-50-60-40", Banjo{First: 3 * calc.Millimetre}, ""},
		{"too far", "40-50-45-60", Banjo{Span: mmm(110)}, "together 97.5 mm, 110 mm needed: 12.5 mm short"},
		{"too near", "20-80-80-20", Banjo{Span: mmm(110), Clearance: 1}, "do not reach"},
		// circles of 65 and 40: their difference is 25
		{"inside", "65-65-40-40", Banjo{Span: mmm(20)}, "too large"},
		{"reaches", "40-50-45-60", Banjo{Span: mmm(80)}, ""},
		{"slot too long", "40-50-45-60", Banjo{Near: mmm(60)}, "too near the leadscrew for the slot: 52.5 mm, 60 mm needed: 7.5 mm short"},
		{"slot too short", "40-50-45-60", Banjo{Far: mmm(50)}, "52.5 mm, at most 50 mm: 2.5 mm too far"},
		{"cover", "40-50-45-80", Banjo{Cover: mmm(80)}, "the 80 wheel is too large for the gear cover: 82 mm across, 80 mm covered: 2 mm too much"},
		{"studs", "40-idler65-50-45-60", Banjo{Studs: 1}, "needs 2 studs, the banjo has 1"},
		// 100 between the shafts: tip of the 190 is 96, 4 left
		{"first driver and screw", "190-20-20-20", Banjo{Span: mmm(100), Clearance: 5 * calc.Millimetre}, "the 190 wheel on the first shaft touches the leadscrew: tip to shaft centre 4 mm"},
		{"screw's wheel and first shaft", "20-20-20-190", Banjo{Span: mmm(100), Clearance: 5 * calc.Millimetre}, "the 190 wheel on the leadscrew touches the first shaft: tip to shaft centre 4 mm"},
		// 80 and 70 in one plane: tips 41 + 36 = 77
		{"wheels in one plane", "80-idler20-70", Banjo{Span: mmm(76)}, "the 80 wheel on the first shaft touches the 70 on the leadscrew: 76 mm between the shafts, 77 mm needed: 1 mm short"},
		{"an idler between", "40-idler65-60", Banjo{Span: mmm(90)}, ""},
		// no idler and just the distance
		{"two wheels alone", "80-60", Banjo{Span: mmm(70)}, ""},
		{"two wheels, not the distance", "80-60", Banjo{Span: mmm(69)}, "too large"},
		// CG22's lathe: 24.5 degrees
		{"swing", "50-55-45-45", Banjo{Span: mmm(90), SwingFrom: 30 * calc.Degree, SwingTo: 60 * calc.Degree}, "the banjo would have to stand at 24.5 degrees, 5.5 degrees outside its swing"},
		{"swings", "50-55-45-45", Banjo{Span: mmm(90), SwingFrom: 20 * calc.Degree, SwingTo: 60 * calc.Degree}, ""},
		{"two studs with room", "30-40-35-45-40-50", Banjo{Span: mmm(100), Studs: 2}, ""},
		{"two studs, no swing", "30-40-35-45-40-50", Banjo{Span: mmm(100), Studs: 2, SwingFrom: 170 * calc.Degree, SwingTo: 180 * calc.Degree}, "no position of the studs"},
	} {
		t.Run(c.name, func(t *testing.T) {
			tr, err := Parse(c.train)
			must(t, err)
			must(t, c.b.Check())
			got, err := Check(tr, Want{Lead: lead(t, "1 mm"), Leadscrew: lead(t, "1.5 mm"), Banjo: c.b, Tumbler: true})
			must(t, err)
			if got.Fits != (c.say == "") || !strings.Contains(strings.Join(got.Notes, "\n"), c.say) {
				t.Errorf("fits %v, %q, want %q", got.Fits, got.Notes, c.say)
			}
		})
	}
	if a, err := (Banjo{Span: mmm(110)}).Angle(Train{Drivers: []int{40, 45}, Driven: []int{50, 60}}); err == nil {
		t.Errorf("a train that does not reach stands at %s", a)
	}
	if a, err := (Banjo{}).Angle(Train{Drivers: []int{40, 45}, Driven: []int{50, 60}}); err == nil {
		t.Errorf("without a span the banjo stands at %s", a)
	}
	for _, bad := range []Banjo{
		{Module: -1}, {Module: 20 * calc.Millimetre}, {Clearance: -1}, {Studs: 3}, {Span: -1}, {Near: 5, Far: 4}, {First: -1},
		{SwingFrom: 5, SwingTo: 4}, {SwingTo: 200 * calc.Degree}, {StepUpLimit: -1},
	} {
		if bad.Check() == nil {
			t.Errorf("accepted: %+v", bad)
		}
	}
}

// TestGearbox: a lathe with levers and a fixed pair before the first driver.
func TestGearbox(t *testing.T) {
	w := Want{
		Lead: lead(t, "1.75 mm"), Leadscrew: lead(t, "8 tpi"), Wheels: Wheels{27, 30, 35, 40, 45, 60, 127, 120}, Fixed: ratioOf(t, "1/2"),
		Levers: []Lever{{"A", one}, {"B", ratioOf(t, "8/7")}, {"C", ratioOf(t, "2")}}, Tumbler: true,
	}
	res, err := Search(w)
	must(t, err)
	if len(res.Trains) == 0 {
		t.Fatalf("nothing: %q", res.Hints)
	}
	levers := map[string]bool{}
	for _, tr := range res.Trains {
		levers[tr.Lever] = true
		if got, err := tr.Cuts(w); err != nil || got != tr.Lead {
			t.Errorf("%s at %s cuts %s, said %s", tr, tr.Lever, got, tr.Lead)
		}
	}
	if len(levers) < 2 {
		t.Errorf("levers used: %v", levers)
	}
	if !res.Trains[0].Exact() {
		t.Errorf("%s at %s is %g ppm off: with a 127 there is an exact one", res.Trains[0], res.Trains[0].Lever, res.Trains[0].PPM())
	}
	for _, bad := range []Want{
		{}, {Lead: w.Lead}, {Lead: w.Lead, Leadscrew: w.Leadscrew, Fixed: ratioOf(t, "-1")}, {Lead: w.Lead, Leadscrew: w.Leadscrew, Most: -1},
		{Lead: w.Lead, Leadscrew: w.Leadscrew, Length: -1}, {Lead: w.Lead, Leadscrew: w.Leadscrew, Levers: []Lever{{}}},
		{Lead: w.Lead, Leadscrew: w.Leadscrew}, {Lead: w.Lead, Leadscrew: w.Leadscrew, Wheels: Wheels{20}},
		{Lead: w.Lead, Leadscrew: w.Leadscrew, Wheels: Wheels{20, 0}}, {Lead: w.Lead, Leadscrew: w.Leadscrew, Wheels: Wheels{20, -5}},
		{Lead: w.Lead, Leadscrew: w.Leadscrew, Wheels: make(Wheels, 100)},
	} {
		if r, err := Search(bad); err == nil {
			t.Errorf("accepted %+v: %+v", bad, r)
		}
	}
}

// TestFewestChanges: among equals the train that leaves most wheels where they are
// comes first.
func TestFewestChanges(t *testing.T) {
	w := Want{Lead: lead(t, "0.8 mm"), Leadscrew: lead(t, "1.5 mm"), Wheels: fifteen, Most: 200}
	res, err := Search(w)
	must(t, err)
	var other Train
	for _, tr := range res.Trains[1:] {
		if tr.Exact() && len(tr.Drivers) == 2 && tr.changesFrom(res.Trains[0]) >= 3 && w.rank(tr, 0, 0).rough == 0 && w.rank(tr, 0, 0).tight == 0 {
			other = tr
		}
	}
	if len(other.Drivers) == 0 {
		t.Fatal("no other exact train")
	}
	now := other.copy()
	now.Driven[1] = 57
	w.Present = now
	again, err := Search(w)
	must(t, err)
	if got := again.Trains[0].changesFrom(now); got > 1 {
		t.Errorf("first is %s, %d changes from %s; %s has 1", again.Trains[0], got, now, other)
	}
}

// TestExtraWheel: one more wheel of any size named makes an exact train, and of no
// other size does.
func TestExtraWheel(t *testing.T) {
	w := Want{Lead: lead(t, "19 tpi"), Leadscrew: lead(t, "8 tpi"), Wheels: Wheels{20, 30, 40, 50, 60, 65, 80}}
	res, err := Search(w)
	must(t, err)
	if len(res.Extra) == 0 || res.Trains[0].Exact() {
		t.Fatalf("%+v", res)
	}
	named := map[int]bool{}
	for _, z := range res.Extra {
		named[z] = true
	}
	for z := extraFrom; z <= extraTo; z++ {
		more := w
		more.Wheels = append(append(Wheels(nil), w.Wheels...), z)
		got, err := Search(more)
		must(t, err)
		if exact := len(got.Trains) > 0 && got.Trains[0].Exact(); exact != named[z] {
			t.Errorf("with a %d: exact %v, named %v of %v", z, exact, named[z], res.Extra)
		}
	}
}

// TestThreePairsByLoops: on two studs too nothing better is found by nested loops.
func TestThreePairsByLoops(t *testing.T) {
	for _, l := range []string{"1 mm", "0.7 mm", "13 tpi", "2.3 mm"} {
		w := Want{Lead: lead(t, l), Leadscrew: lead(t, "8 tpi"), Wheels: Wheels{20, 28, 35, 40, 50, 57, 63, 80}, Tumbler: true, Banjo: Banjo{Studs: 2}}
		res, err := Search(w)
		must(t, err)
		best := math.Inf(1)
		n := len(w.Wheels)
		var idx [6]int
		var loop func(k int)
		loop = func(k int) {
			if k == 2 || k == 4 || k == 6 {
				tr := Train{}
				for i := 0; i < k; i += 2 {
					tr.Drivers = append(tr.Drivers, w.Wheels[idx[i]])
					tr.Driven = append(tr.Driven, w.Wheels[idx[i+1]])
				}
				if k > 2 || n > 2 {
					ratio := 1.0
					for i := range tr.Drivers {
						ratio *= float64(tr.Drivers[i]) / float64(tr.Driven[i])
					}
					if e := math.Abs(ratio*w.Leadscrew.Millimetres()/w.Lead.Millimetres() - 1); e < best-1e-13 {
						if _, faults := w.Banjo.mounting(tr); len(faults) == 0 {
							best = e
						}
					}
				}
			}
			if k == 6 {
				return
			}
		next:
			for i := range n {
				for _, j := range idx[:k] {
					if i == j {
						continue next
					}
				}
				idx[k] = i
				loop(k + 1)
			}
		}
		loop(0)
		if got := math.Abs(res.Trains[0].Error.Float()); math.Abs(got-best) > 1e-12 {
			t.Errorf("%s: first is %s at %g, the loops find %g", l, res.Trains[0], got, best)
		}
	}
}

// TestVerdicts: the cases worked out by hand for 6g threads of 1.5 mm pitch, whose
// pitch-diameter tolerance is 132 um in the table of ISO 965-1.
func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		ppm     float64
		engaged calc.Length
		share   float64
		want    Verdict
	}{
		{606, 12 * calc.Millimetre, 0.095, FitsAnyNut}, {2148, 12 * calc.Millimetre, 0.34, NoFit}, {606, 42 * calc.Millimetre, 0.334, NoFit},
		{606, 30 * calc.Millimetre, 0.239, ShortThreadsOnly}, {-125, 12 * calc.Millimetre, 0.0197, FitsAnyNut}, {0, 12 * calc.Millimetre, 0, FitsAnyNut},
		{606, 0, 0, VerdictUnknown},
	} {
		share, v := judge(c.ppm/1e6, c.engaged, 132*um, 30*calc.Degree)
		if math.Abs(share-c.share) > 0.005 || v != c.want {
			t.Errorf("%g ppm over %s: %.3f, %s; want %.3f, %s", c.ppm, c.engaged, share, v, c.share, c.want)
		}
	}
}

// TestPitchTolerance: against ISO 965-1, 6g, at the geometric mean of the size
// range 5.6 to 11.2 and 11.2 to 22.4, within 3 %.
func TestPitchTolerance(t *testing.T) {
	for _, c := range []struct {
		pitch, mean float64
		um          float64
	}{{1, 7.92, 112}, {1.25, 7.92, 118}, {1.5, 7.92, 132}, {1.75, 15.84, 150}, {2, 15.84, 160}, {2.5, 15.84, 170}} {
		got := PitchTolerance(calc.Millimetres(c.pitch), calc.Millimetres(c.mean)).Millimetres() * 1000
		if math.Abs(got/c.um-1) > 0.03 {
			t.Errorf("P %g: %.1f um, the table prints %g", c.pitch, got, c.um)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"80-45-20-60", "40-idler65-30", "20-30", "28-80-63-70-35-50", "", "-", "idler20", "20-idler30-idler40-50", "9999999999-1", "20--30"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		tr, err := Parse(s)
		if err != nil {
			return
		}
		again, err := Parse(tr.String())
		if err != nil || again.String() != tr.String() {
			t.Errorf("%q reads back as %q: %v", tr, again, err)
		}
		w := Want{Lead: calc.PerTurn(calc.Millimetre), Leadscrew: calc.PerTurn(3 * calc.Millimetre), Banjo: Banjo{Span: 100 * calc.Millimetre}}
		if _, err := Check(tr, w); err != nil {
			t.Errorf("%s: %v", tr, err)
		}
	})
}

func FuzzParseWheels(f *testing.F) {
	for _, s := range []string{"20,20,30", "20 30", "", ",", "0,1", "-5,20", "1e3,20", "20,30,40,x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		w, err := ParseWheels(s)
		if err != nil {
			return
		}
		again, err := ParseWheels(w.String())
		if err != nil || again.String() != w.String() {
			t.Errorf("%q reads back as %q: %v", w, again, err)
		}
	})
}

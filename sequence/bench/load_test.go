package bench

import (
	"math"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// standing is a bar in the jaws as it comes, of mild steel.
func standing(bar, out calc.Length) *lathe {
	m, err := cutting.FindMaterial("mild steel")
	if err != nil {
		panic(err)
	}
	l := smallLathe()
	b := &lathe{job: &job.Job{Material: m, Bar: bar, StickOut: out, Unit: mm, Sections: []job.Section{{Name: "s", Length: plusMinus(out/2, 0)}}},
		own: l, seen: map[fault]bool{}, spoiled: map[string]bool{}, put: map[string]calc.Length{}}
	b.prepare()
	b.turn, b.rpm = sequence.Forward, 400*calc.RPM
	return b
}

// The bending of the work as it stands: DE4 to DE6 and DE8 of examples.csv.
func TestWorkBends(t *testing.T) {
	for _, c := range []struct {
		id              string
		bar, out, at    calc.Length
		centre          bool
		want, tolerance float64
	}{
		{"DE4", 12 * mm, 48 * mm, 0, false, 0.01767, 5e-5},
		{"DE5", 12 * mm, 36 * mm, 0, false, 0.00745, 5e-5},
		{"DE6", 6 * mm, 24 * mm, 0, false, 0.03534, 1e-4},
		{"DE8", 20 * mm, 150 * mm, 75 * mm, true, 0.001910587, 2e-5},
	} {
		b := standing(c.bar, c.out)
		b.centre = c.centre
		if got := b.bent(100, c.bar, c.at).Millimetres(); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%s: %.6f mm, want %.6f", c.id, got, c.want)
		}
	}
	// Half as thick in front of the tool does not matter without a centre; behind it would.
	b := standing(12*mm, 48*mm)
	if got, want := b.bent(100, 6*mm, 24*mm), b.bent(100, 12*mm, 24*mm); got != want {
		t.Errorf("turned thin in front of the tool it gives %s, before %s", got, want)
	}
}

// What a cut takes is read off the profile: FO4, FO7 and FO8 with the factor of HSS and
// wear, and FO18 with that of a chip held in on both sides.
func TestForceOfACut(t *testing.T) {
	b := standing(30*mm, 40*mm)
	b.tool = &tool{Mount: sequence.Mount{Kind: sequence.TurningTool}}
	b.along, b.feeding = true, calc.PerTurn(100*um)
	c := b.work.bites([]edge{flat(-2*mm, 10*mm, 29*mm)})
	if c.deep != 500*um || c.width != 10*mm || c.thick != 30*mm || c.from != 0 || c.to != 10*mm {
		t.Errorf("the cut is %+v", c)
	}
	f := b.job.Material.Turning(cutting.Cut{Depth: c.deep, Feed: b.fed(cutting.Turn, c.thick), Factor: b.factor(sequence.TurningTool)})
	if math.Abs(float64(f)-205.3594) > 0.05 {
		t.Errorf("turning takes %.3f N, FO4 says 205.36", float64(f))
	}
	if m := f.Torque(c.thick); math.Abs(float64(m)-3.08) > 0.005 {
		t.Errorf("at the spindle %.3f N m, FO8 says 3.08", float64(m))
	}
	b.along, b.feeding = false, calc.PerTurn(40*um)
	p := b.work.bites([]edge{flat(10*mm, 12*mm, 0)})
	f = b.job.Material.Turning(cutting.Cut{Depth: p.width, Feed: 40 * um, Factor: b.factor(sequence.PartingTool)})
	if math.Abs(float64(f)/cutting.Hemmed-383.9586) > 0.5 {
		t.Errorf("parting takes %.2f N, FO18 says 383.96 before the share of a hemmed chip", float64(f)/cutting.Hemmed)
	}
	chamfer := b.work.bites([]edge{{0, 2 * mm, 26 * mm, 30 * mm}})
	if chamfer.width != 2*mm || !chamfer.slope || chamfer.deep != 2*mm {
		t.Errorf("a chamfer of 2 mm is %+v", chamfer)
	}
}

// A bar that the jaws hold by less than its diameter is named where it is held.
func TestJawsHoldEnough(t *testing.T) {
	l := smallLathe()
	j := spigot()
	p := spigotPlan(l)
	j.BarLength = 83 * mm
	if err := Run(p, j, l).Err(); err != nil {
		t.Errorf("23 mm in the jaws: %v", err)
	}
	j.BarLength = 80 * mm
	if r := Run(p, j, l); len(r.Broken) != 1 || r.Broken[0].Rule != WithinPower || r.Broken[0].StepID != "hold" {
		t.Errorf("20 mm of 22 in the jaws: %v", r.Broken)
	}
}

// A last cut whose spring differs along the section by more than its tolerance is named:
// work of a made-up softness that gives 0.1 mm at the end of a roughing cut.
func TestLastCutLeavesItStraight(t *testing.T) {
	l := smallLathe()
	j := spigot()
	j.Material.Stiffness = 2200
	r := Run(spigotPlan(l), j, l)
	if len(r.Broken) == 0 {
		t.Fatal("nothing is named")
	}
	for _, b := range r.Broken {
		if b.Rule != WithinPower {
			t.Errorf("%v", b)
		}
	}
	if !slices.ContainsFunc(r.Broken, func(b Break) bool { return b.StepID == "nose/finish2/cut" }) {
		t.Errorf("the last cut of the nose is not named: %v", r.Broken)
	}
}

// A chamfer by an edge at 45 degrees fed straight in takes the force of a blade as wide as
// that edge is in the metal, 1.41 times the leg: for 1 mm in mild steel at 0.04 mm a turn
// 384 N x 1.41 / 2, FO18 being for a blade of 2 mm. A recess inside takes what a groove
// outside takes, a fifth more for being inside.
func TestForceOfAFormTool(t *testing.T) {
	said := func(b *lathe, c bite, inside bool) string {
		b.own.Power = 1 // anything is too much
		b.bears(c, inside, "cut")
		if len(b.result.Broken) == 0 {
			t.Fatal("nothing is said")
		}
		return b.result.Broken[0].Msg
	}
	form := func(kind sequence.ToolKind, feed calc.Length) *lathe {
		b := standing(30*mm, 40*mm)
		b.tool = &tool{Mount: sequence.Mount{Kind: kind, Inside: kind == sequence.InsideGroovingTool}}
		b.feeding = calc.PerTurn(feed)
		return b
	}
	b := form(sequence.ChamferTool, 40*um)
	if msg, want := said(b, b.work.bites([]edge{{0, mm, 28 * mm, 30 * mm}}), false), "takes 272 N"; !strings.Contains(msg, want) {
		t.Errorf("a chamfer of 1 mm %s: %s", want, msg)
	}
	b = form(sequence.GroovingTool, 40*um)
	if msg, want := said(b, b.work.bites([]edge{flat(10*mm, 12*mm, 20*mm)}), false), "takes 500 N"; !strings.Contains(msg, want) { // 383.96 x 1.3
		t.Errorf("a groove of 2 mm %s: %s", want, msg)
	}
	b = form(sequence.InsideGroovingTool, 40*um)
	b.hole = Profile{{From: 0, To: 20 * mm, Left: full - 10*mm, Right: full - 10*mm}}
	b.cross = slide{dial: b.own.Cross, scale: 2, known: true, stands: -12 * mm}
	if msg, want := said(b, b.hole.bites([]edge{flat(10*mm, 12*mm, full-12*mm)}), true), "takes 599 N"; !strings.Contains(msg, want) { // x 1.2
		t.Errorf("a recess of 2 mm %s: %s", want, msg)
	}
}

// How wide a threading tool is where it enters a groove is looked up by its flanks too: a
// tool of 55 degrees without a width beside one of 60 degrees and the same tip that has one.
func TestThreadingToolsOfOneTip(t *testing.T) {
	b := standing(30*mm, 40*mm)
	b.own.Tools = []job.Tool{
		{Kind: job.KindThreading, Tip: "radius 0.1 mm", Angle: 60 * calc.Degree, Width: 2 * mm},
		{Kind: job.KindThreading, Tip: "radius 0.1 mm", Angle: 55 * calc.Degree},
	}
	m := sequence.Mount{Kind: sequence.ThreadingTool, Tip: "radius 0.1 mm", Angle: 55 * calc.Degree}
	if w := b.threadingWidth(m); w == 2*mm {
		t.Errorf("the tool of 55 degrees is %s wide", w)
	}
	m.Angle = 60 * calc.Degree
	if w := b.threadingWidth(m); w != 2*mm {
		t.Errorf("the tool of 60 degrees is %s wide", w)
	}
}

package planner_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

func TestPickUpSpoilt(t *testing.T) {
	j, l := read(t, "vice-screw-again", "bench")
	spoilt(t, j, l, []spoiling{
		{"not laid in the groove", bench.InStep, leave[sequence.Seat]("s1/thread/seat")},
		{"laid in before the slack is run out", bench.InStep, leave[sequence.Carriage]("s1/thread/beside")},
		{"half-nuts shut only after it is laid in", bench.InStep, all(leave[sequence.HalfNut]("s1/thread/halfnuts"), put("s1/thread/seat/clear", sequence.HalfNut{Closed: true}))},
		{"half-nuts opened after it is laid in", bench.InStep, put("s1/thread/seat/return", sequence.HalfNut{}, sequence.HalfNut{Closed: true})},
		{"laid in with the spindle turning", bench.Standing, put("s1/thread/seat", sequence.Spindle{Turn: sequence.Forward, RPM: 70 * calc.RPM})},
		{"not cleared", bench.ToolClear, gone("s1/thread/seat/clear")},
		{"too deep", bench.ToSize, deeper("s1/thread/spring1/set", "s1/thread/spring1/clear", 200*um)},
	})
}

// The depth read in the groove decides what is cut: light passes to where the thread is
// just inside its limit, one line more where it is there already, nothing past the depth
// at which it would be too thin.
func TestPickUpFromTheReading(t *testing.T) {
	j, l := read(t, "vice-screw-again", "bench")
	depths := func(ring calc.Length) (out []calc.Length, err error) {
		p, err := planner.Plan(j, l, sequence.Readings{Lengths: map[string]calc.Length{"s1/thread/crest": 11840 * um, "s1/thread/seat": ring}})
		if err != nil {
			return nil, err
		}
		if err := bench.Run(p, j, l).Err(); err != nil {
			t.Fatal(err)
		}
		for i := range p.Steps {
			if s := &p.Steps[i]; s.Pass > 0 && s.Phase == sequence.PhaseSet {
				out = append(out, (11840*um-s.Moves[0].(sequence.Shift).X)/2)
			}
		}
		return out, nil
	}
	for _, c := range []struct {
		ring calc.Length
		want []calc.Length
	}{
		{1000 * um, []calc.Length{1040 * um, 1080 * um, 1120 * um}},
		{1110 * um, []calc.Length{1120 * um}},
		{1130 * um, []calc.Length{1140 * um}},
	} {
		got, err := depths(c.ring)
		if err != nil || !slices.Equal(got, c.want) {
			t.Errorf("from %s: %v, %v", c.ring, got, err)
		}
	}
	if _, err := depths(1400 * um); err == nil || !strings.Contains(err.Error(), "deep already") {
		t.Errorf("deeper than it may be: %v", err)
	}
}

// A thread read thinner than the middle of its limits is thinner behind its chamfer too.
func TestPickUpThinWithAChamfer(t *testing.T) {
	_, l := read(t, "vice-screw-again", "bench")
	l.Cross.Travel, l.Cross.Divisions, l.Cross.Slack = 1500*um, 60, 100*um
	j, err := job.ParseJob("again.toml", `part = "screw"
material = "mild steel"
bar = "18 mm"
stickout = "54 mm"
pick_up = true
[[section]]
thread = "M14x2-6g"
length = "20 mm"
undercut = "regular"
chamfer = "0.5 mm"
[[section]]
as_bar = true
length = "10 mm"
`)
	if err != nil {
		t.Fatal(err)
	}
	p := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s1/thread/crest": 13740 * um, "s1/thread/seat": 1275 * um}})
	if err := sound(p, j, l); err != nil {
		t.Error(err)
	}
}

// On slender work the light passes are one line each, or it is refused before it begins.
func TestPickUpSlender(t *testing.T) {
	_, l := read(t, "vice-screw-again", "bench")
	l.Cross.Travel, l.Cross.Divisions = mm, 40
	planned, refused := 0, 0
	for long := 20.0; long < 24.2; long += 0.2 {
		j, err := job.ParseJob("again.toml", fmt.Sprintf(`part = "screw"
material = "304 stainless"
bar = "13.5 mm"
stickout = "%.1f mm"
pick_up = true
[[section]]
thread = "M5x0.8-6g"
length = "%.1f mm"
undercut = "regular"
[[section]]
as_bar = true
length = "10 mm"
`, long+26, long))
		if err != nil {
			t.Fatal(err)
		}
		p, err := planner.Plan(j, l, sequence.Readings{})
		if err != nil {
			if refused++; placed(err) != nil || !strings.Contains(err.Error(), "spring of the work") {
				t.Errorf("%.1f mm long: %v", long, err)
			}
			continue
		}
		planned++
		if err := sound(p, j, l); err != nil {
			t.Errorf("%.1f mm long: %v", long, err)
		}
	}
	if planned == 0 {
		t.Errorf("%d planned, %d refused", planned, refused)
	}
}

// drawPickUp draws a finished threaded part that is back in the chuck.
func drawPickUp(seed uint64) drawn {
	d := throw(seed ^ 1<<54)
	var b strings.Builder
	t := threads[d.IntN(22)]
	collar := t.d + d.between(1, 10, 0.5)
	fmt.Fprintf(&b, "part = \"drawn again\"\nmaterial = \"mild steel\"\nbar = \"%g mm\"\nstickout = \"%g mm\"\npick_up = true\n", collar, 4*t.p+46)
	if d.in(3) {
		fmt.Fprintf(&b, "threading = %q\n", one(d, "reverse", "crank", "dial", "away"))
	}
	fmt.Fprintf(&b, "\n[[section]]\nthread = \"M%gx%g-6g%s\"\nlength = \"%g mm\"\nundercut = \"regular\"\n", t.d, t.p, one(d, "", "-LH"), 4*t.p+d.between(8, 20, 0.5))
	if d.in(2) {
		b.WriteString("chamfer = \"0.5 mm\"\n")
	}
	fmt.Fprintf(&b, "\n[[section]]\n%s\nlength = \"10 mm\"\n", one(d, "as_bar = true", fmt.Sprintf("diameter = \"%g mm\"", collar)))
	return drawn{lathe: d.threadingLathe(), job: b.String()}
}

// Random parts back in the chuck: refused with a place and a remedy, or every plan from
// the first to the last answer passes the bench and the second checker.
func TestRandomPickUp(t *testing.T) {
	n, c := eachDrawn(t, 120, 5_000, drawPickUp, tryPickUp)
	if c.ample && (c.planned*4 < int(n) || c.having["left-hand"] == 0) {
		t.Errorf("only %d of %d were planned, %d left-hand", c.planned, n, c.having["left-hand"])
	}
}

func tryPickUp(seed uint64) (refused string, has []string, answers int, err error) {
	j, l, err := drawPickUp(seed).read(seed)
	if err != nil {
		return "", nil, 0, err
	}
	if j.Sections[0].Thread.LeftHand {
		has = append(has, "left-hand")
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	d := throw(seed ^ 1<<45)
	for {
		p, err := planner.Plan(j, l, r)
		if err != nil {
			return "plan: " + reason(err), nil, answers, placed(err)
		}
		if err := sound(p, j, l); err != nil {
			return "", nil, answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", nil, answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 || d.answer(&p.Steps[i], r) {
			return "", has, answers, nil
		}
		answers++
	}
}

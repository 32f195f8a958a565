package planner_test

import (
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/gear"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// What the lathe file says of its gearbox, its banjo and what hangs on it decides
// which train is planned, and the virtual lathe cuts the right thread with it.
func TestTrainFollowsTheLatheFile(t *testing.T) {
	fit := func(change func(l *job.Lathe)) (sequence.Gears, *sequence.Plan, sequence.Cue) {
		t.Helper()
		j, l := read(t, "m10x1", "bench")
		change(l)
		p := plan(t, j, l, sequence.Readings{})
		if err := bench.Run(p, j, l).Err(); err != nil {
			t.Fatal(err)
		}
		for _, s := range p.Steps {
			for _, m := range s.Moves {
				if m, ok := m.(sequence.Gears); ok {
					return m, p, s.Closing
				}
			}
		}
		t.Fatal("no gears")
		return sequence.Gears{}, nil, nil
	}
	// 1.5 mm to 1 mm is two thirds; with half a turn of the first driver four thirds.
	ratio := func(m sequence.Gears) calc.Ratio {
		t.Helper()
		r, err := gear.Train{Drivers: m.Drivers, Driven: m.Driven}.Ratio()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	half, err := calc.NewRatio(1, 2)
	if err != nil {
		t.Fatal(err)
	}
	plain, _, closing := fit(func(*job.Lathe) {})
	if got := ratio(plain).String(); got != "2/3" || !slices.Contains(closing, sequence.WordTumbler) {
		t.Errorf("plain: %s, %v", got, closing)
	}
	m, _, _ := fit(func(l *job.Lathe) { l.Fixed = half })
	if got := ratio(m).String(); got != "4/3" {
		t.Errorf("through a half: %s", got)
	}
	m, p, _ := fit(func(l *job.Lathe) { l.Levers = []gear.Lever{{Name: "C", Ratio: calc.Whole(2)}} })
	if got := ratio(m).String(); got != "1/3" || m.Lever != "C" {
		t.Errorf("through the gearbox: %s at %q", got, m.Lever)
	}
	if !slices.ContainsFunc(p.Warnings, func(s string) bool { return strings.Contains(s, "gearbox lever at C") }) {
		t.Errorf("nothing said of the lever: %q", p.Warnings)
	}
	_, p, _ = fit(func(l *job.Lathe) { l.Fixed, l.Banjo.StepUpLimit = half, 1.2 })
	if !slices.ContainsFunc(p.Warnings, func(s string) bool { return strings.Contains(s, "1.33 times as fast as the first driver") }) {
		t.Errorf("nothing said of the step-up: %q", p.Warnings)
	}
	m, _, closing = fit(func(l *job.Lathe) { l.Tumbler = false })
	if n := len(m.Drivers) + len(m.Idlers); n%2 != 0 || slices.Contains(closing, sequence.WordTumbler) {
		t.Errorf("without a tumbler: %v, %v", m, closing)
	}
	m, _, _ = fit(func(l *job.Lathe) {
		l.Banjo = gear.Banjo{Module: calc.Millimetre, Clearance: 4 * calc.Millimetre, Cover: 52 * calc.Millimetre}
	})
	for _, z := range slices.Concat(m.Drivers, m.Driven, m.Idlers) {
		if z > 50 { // (50 + 2) x 1 mm is 52 mm
			t.Errorf("a wheel of %d teeth under a cover of 52 mm", z)
		}
	}
}

// An error of the lead makes a thread thicker by the cotangent of its half angle: flanks
// of 30 degrees stand less of it than those of 60, and gears are refused in time.
func TestGearsForSteepFlanks(t *testing.T) {
	_, l := read(t, "press-screw", "toolroom")
	l.Leadscrew = lead(t, "16 tpi")
	l.Wheels = []int{20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 60, 65, 80, 80}
	for _, thread := range []string{"Tr 14x4(P2)", "Tr 22x6(P3)", "Tr 20x12(P4)", "Tr 22x9(P3)"} {
		d := thread[3:5]
		j, err := job.ParseJob("screw.toml", "part = \"screw\"\nmaterial = \"free-machining steel\"\nbar = \"25 mm\"\nstickout = \"75 mm\"\npart_off = false\ntip = \"flat 0.5 mm\"\n"+
			"[[section]]\nthread = \""+thread+"\"\nlength = \"45 mm\"\nundercut = { width = \"8 ±0.2 mm\", diameter = \""+map[string]string{"14": "10", "22": "17", "20": "14"}[d]+" ±0.1 mm\" }\n[[section]]\nas_bar = true\nlength = \"12 mm\"\n")
		if err != nil {
			t.Fatal(err)
		}
		p, err := planner.Plan(j, l, sequence.Readings{})
		if err != nil {
			if placed(err) != nil || !strings.Contains(err.Error(), "no train of the wheels owned") {
				t.Errorf("%s: %v", thread, err)
			}
			continue
		}
		if err := bench.Run(p, j, l).Err(); err != nil {
			t.Errorf("%s: %v", thread, err)
		}
	}
}

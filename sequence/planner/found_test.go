package planner_test

import (
	"os"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// What random jobs have found wrong once, each as the smallest job that shows it:
// refused with these words, or planned and passed by the bench where there are none.
var found = []struct{ name, head, sections, refused string }{
	{"a thread behind a thicker section", "", `
[[section]]
diameter = "11 mm"
length   = "10 mm"
[[section]]
thread   = "M12x1.75-6g"
length   = "20 mm"
undercut = "regular"
[[section]]
as_bar = true
length = "6 mm"
`, "the passes of M12x1.75-6g would cut into section s1 in front of it"},
	{"a thread behind a thinner section", "", `
[[section]]
diameter = "8 mm"
length   = "10 mm"
[[section]]
thread   = "M12x1.75-6g"
length   = "20 mm"
undercut = "regular"
[[section]]
as_bar = true
length = "6 mm"
`, ""},
	{"an undercut with no shoulder behind it", "", `
[[section]]
thread   = "M12x1.75-6g"
length   = "25 mm"
undercut = "regular"
`, "no shoulder behind it"},
	{"two threads and two grooves", "", `
[[section]]
thread   = "M8x1.25-6g"
length   = "16 mm"
undercut = "regular"
[[section]]
thread   = "M16x1.5-6g"
length   = "18 mm"
undercut = "regular"
[[section]]
as_bar = true
length = "4 mm"
`, ""},
	{"a tolerance finer than half a division", "", `
[[section]]
diameter = "12 +0.000/-0.015 mm"
length   = "10 mm"
`, "finer than the cross-slide ring can be set"},
	{"a section hardly thinner than the one behind it", "", `
[[section]]
diameter = "15.4 ±0.05 mm"
length   = "10 mm"
[[section]]
diameter = "16 ±0.05 mm"
length   = "10 mm"
`, ""},
	{"a length that may only be longer", "", `
[[section]]
diameter = "12 mm"
length   = "10 +0.2/-0.0 mm"
[[section]]
diameter = "16 mm"
length   = "10 +0.2/-0.0 mm"
`, ""},
	{"a length finer than the top slide", "", `
[[section]]
diameter = "12 mm"
length   = "10 ±0.002 mm"
[[section]]
diameter = "16 mm"
length   = "10 mm"
`, "finer than the top-slide ring can be set"},
	{"a chamfer edge that meets the shoulder", "", `
[[section]]
diameter = "6 mm"
length   = "5 mm"
chamfer  = "0.6 mm"
[[section]]
as_bar = true
length = "10 mm"
`, "would run into the shoulder behind section s1"},
	{"a chamfer on a short spigot in front of a large shoulder", "", `
[[section]]
diameter = "8 mm"
length   = "6 mm"
chamfer  = "1 mm"
[[section]]
as_bar   = true
length   = "4 mm"
`, ""},
	{"a chamfer edge that meets the last shoulder", "", `
[[section]]
diameter = "6 mm"
length   = "3 mm"
chamfer  = "0.6 mm"
[[section]]
diameter = "8 mm"
length   = "2 mm"
[[section]]
diameter = "19 mm"
length   = "10 mm"
`, "would run into the shoulder behind section s2"},
	{"a free end too thin for its centre", "support = \"centre\"\npart_off = false\n", `
[[section]]
diameter = "4.5 mm"
length   = "10 mm"
[[section]]
diameter = "16 mm"
length   = "10 mm"
`, "the centre hole of a drill of 2 mm is 4.24 mm wide at the end"},
	{"a pointed tip below the undercut", "tip = \"sharp\"\n", `
[[section]]
thread   = "M12x1.75-6g"
length   = "25 mm"
undercut = { width = "5 mm", diameter = "9.55 ±0.05 mm" }
[[section]]
as_bar = true
length = "6 mm"
`, "is not below the root of M12x1.75-6g"},
}

func TestFoundOnce(t *testing.T) {
	text, err := os.ReadFile("../../testdata/lathes/bench.toml")
	if err != nil {
		t.Fatal(err)
	}
	l, err := job.ParseLathe("bench.toml", string(text))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range found {
		t.Run(c.name, func(t *testing.T) {
			j, err := job.ParseJob("found.toml", "part = \"found\"\nmaterial = \"mild steel\"\nbar = \"20 mm\"\nstickout = \"60 mm\"\n"+c.head+c.sections)
			if err != nil {
				t.Fatal(err)
			}
			p, err := planner.Plan(j, l, sequence.Readings{})
			switch {
			case c.refused != "":
				if err == nil || !strings.Contains(err.Error(), c.refused) || placed(err) != nil {
					t.Errorf("not refused with %q: %v", c.refused, err)
				}
			case err != nil:
				t.Error(err)
			default:
				if err := sound(p, j, l); err != nil {
					t.Error(err)
				}
			}
		})
	}
}

// A threading tool wider than the groove it has to end in is refused.
func TestToolWiderThanItsGroove(t *testing.T) {
	j, l := read(t, "foot", "bench")
	for i := range l.Tools {
		if l.Tools[i].Kind == job.KindThreading {
			l.Tools[i].Width = 8 * mm
		}
	}
	_, err := planner.Plan(j, l, sequence.Readings{})
	if err == nil || !strings.Contains(err.Error(), "the threading tool is 8 mm wide and the undercut of M12x1.75-6g only 5 mm") {
		t.Error(err)
	}
}

// A shoulder that is as long as it may be when it is first measured is not faced
// again; the reading is then the last one.
func TestShoulderLongEnoughAtOnce(t *testing.T) {
	j, l := read(t, "foot", "bench")
	p := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s1/shoulder/size1": 28100 * um}})
	if p.Index("s1/shoulder/cut1") >= 0 || !step(t, p, "s1/shoulder/size1").Measure.Final {
		t.Error("a shoulder at 28.1 of 28 ±0.2 is faced again")
	}
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Error(err)
	}
}

// The tool that cuts the coarsest thread of a part is as wide in the groove of a
// finer one.
func TestToolOfTheCoarsestThread(t *testing.T) {
	_, l := read(t, "foot", "bench")
	j, err := job.ParseJob("found.toml", `
part = "found"
material = "brass"
bar = "32 mm"
stickout = "80 mm"
[[section]]
thread   = "M24x3-6g"
length   = "32 mm"
undercut = "regular"
[[section]]
thread   = "M30x1-6g"
length   = "14 mm"
undercut = { width = "2.05 ±0.04 mm", diameter = "27.5 ±0.1 mm" }
[[section]]
as_bar = true
length = "6 mm"
`)
	if err != nil {
		t.Fatal(err)
	}
	_, err = planner.Plan(j, l, sequence.Readings{})
	if err == nil || !strings.Contains(err.Error(), "the threading tool is 2.1 mm wide and the undercut of M30x1-6g only 2.05 mm") {
		t.Error(err)
	}
}

// Where no one groover is narrow enough for all undercuts, each gets its own.
func TestTwoGroovers(t *testing.T) {
	_, l := read(t, "foot", "bench")
	l.Tools = append(l.Tools, job.Tool{Kind: job.KindGrooving, Steel: "HSS", Width: mm})
	j, err := job.ParseJob("found.toml", `
part = "found"
material = "brass"
bar = "22 mm"
stickout = "60 mm"
[[section]]
thread   = "M8x1.25-6g"
length   = "16 mm"
undercut = "regular"
[[section]]
thread   = "M16x1-6g"
length   = "18 mm"
undercut = { width = "1.4 ±0.1 mm", diameter = "14 ±0.2 mm" }
[[section]]
as_bar = true
length = "4 mm"
`)
	if err != nil {
		t.Fatal(err)
	}
	p := plan(t, j, l, sequence.Readings{})
	if err := sound(p, j, l); err != nil {
		t.Error(err)
	}
}

// A blade has to reach through the thickest the section may be, not the middle.
func TestBladeReachesTheLargestSize(t *testing.T) {
	_, l := read(t, "foot", "bench")
	j, err := job.ParseJob("found.toml", "part = \"found\"\nmaterial = \"brass\"\nbar = \"26 mm\"\nstickout = \"40 mm\"\n[[section]]\ndiameter = \"24 ±0.2 mm\"\nlength = \"16 mm\"\n")
	if err != nil {
		t.Fatal(err)
	}
	_, err = planner.Plan(j, l, sequence.Readings{})
	if err == nil || !strings.Contains(err.Error(), "a parting blade of 2 mm reaches 12 mm deep, and half of 24.2 mm is more") {
		t.Error(err)
	}
}

// While a short piece is centre-drilled the tool waits beside it, clear of the jaws.
func TestToolWaitsClearOfTheJaws(t *testing.T) {
	_, l := read(t, "foot", "bench")
	j, err := job.ParseJob("found.toml", "part = \"found\"\nmaterial = \"brass\"\nbar = \"20 mm\"\nstickout = \"11.5 mm\"\nsupport = \"centre\"\npart_off = false\n[[section]]\ndiameter = \"16 mm\"\nlength = \"5 mm\"\n")
	if err != nil {
		t.Fatal(err)
	}
	p := plan(t, j, l, sequence.Readings{})
	if err := sound(p, j, l); err != nil {
		t.Error(err)
	}
}

// The speed of parting off is that of the diameter the section was left at: where a speed
// is just slow enough for the one aimed at, it is not chosen for a larger one.
func TestPartingSpeedAsMeasured(t *testing.T) {
	_, l := read(t, "plain-pin", "toolroom")
	l.Speeds = cutting.Fixed(110*calc.RPM, 180*calc.RPM, 320*calc.RPM)
	j, err := job.ParseJob("found.toml", "part = \"found\"\nmaterial = \"bronze\"\nbar = \"39 mm\"\nstickout = \"50 mm\"\n[[section]]\ndiameter = \"36 mm\"\nlength = \"15 mm\"\n[[bore]]\ndiameter = \"20 mm\"\nthrough = true\n")
	if err != nil {
		t.Fatal(err)
	}
	p, err := planner.Plan(j, l, sequence.Readings{Lengths: map[string]calc.Length{"s1/finish/size2": 36270 * um}})
	if err != nil {
		if placed(err) != nil || !strings.Contains(err.Error(), "to part bronze") {
			t.Error(err)
		}
		return
	}
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Error(err)
	}
}

// A section in front that came out long moves the blade towards the chuck, into what was
// not turned: the speed of parting off is that of the bar there.
func TestBladeBehindALongSection(t *testing.T) {
	text := `part = "found"
material = "aluminium"
bar = "32 mm"
stickout = "34.5 mm"
quantity = 2
[[section]]
diameter = "16.5 mm"
length = "10 mm"
[[section]]
diameter = "24 mm"
length = "9.5 mm ±0.05 mm"
`
	_, l := read(t, "foot", "bench")
	l.Speeds = cutting.Speeds{{Min: 80 * calc.RPM, Max: 2000 * calc.RPM}}
	for i := range l.Tools {
		if l.Tools[i].Kind == job.KindParting {
			l.Tools[i].Width, l.Tools[i].Reach = 2381250*calc.Nanometre, 0
		}
	}
	j, err := job.ParseJob("found.job", text)
	if err != nil {
		t.Fatal(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{"part1/s1/shoulder/size2": 10190 * um, "part2/s1/shoulder/size2": 10190 * um}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		t.Fatal(err)
	}
	if got := bench.Run(p, j, l); len(got.Broken) > 0 {
		t.Errorf("%v", got.Broken)
	}
}

// A threading tool exactly as wide as its groove is refused: the groove is set by the lines of
// a ring, and the tool would stop before it is clear in it.
func TestToolAsWideAsItsGroove(t *testing.T) {
	j, l := read(t, "foot", "bench")
	u := &j.Sections[0].Undercut.Width
	for i := range l.Tools {
		if l.Tools[i].Kind == job.KindThreading {
			l.Tools[i].Width = u.Mid()
		}
	}
	l.Top.Travel, l.Top.Divisions = calc.Inch/10, 100
	_, err := planner.Plan(j, l, sequence.Readings{})
	if err == nil || !strings.Contains(err.Error(), "wide and the undercut of M12x1.75-6g only") || placed(err) != nil {
		t.Error(err)
	}
}

package planner_test

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
)

// printed is the value of a row of a published table, by the fields before it.
func printed(t *testing.T, file string, key ...string) string {
	t.Helper()
	b, err := os.ReadFile("../../testdata/standards/" + file)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Join(key, ",") + ","
	for line := range strings.Lines(string(b)) {
		if rest, ok := strings.CutPrefix(line, want); ok {
			return strings.Split(rest, ",")[0]
		}
	}
	t.Fatalf("%s has no row %s", file, want)
	return ""
}

// A tapped hole is drilled with the published drill where it is owned with its
// neighbours, and the plan says the published share of a full thread.
func TestTapDrillAsPublished(t *testing.T) {
	for _, thread := range []string{"M6x1", "M8x1.25", "M10x1.5", "M12x1.75"} {
		_, l := read(t, "pillar", "toolroom")
		drill := printed(t, "tapdrill.csv", thread, "drill")
		d, err := strconv.ParseFloat(drill, 64)
		if err != nil {
			t.Fatal(err)
		}
		tap, err := job.ParseLathe("lathe.toml", latheText(t, "toolroom")+fmt.Sprintf("\n[[tool]]\nkind = \"tap\"\nthread = %q\n", thread))
		if err != nil {
			t.Fatal(err)
		}
		l.Tools = tap.Tools
		for _, mm := range []float64{2, 3, d - 0.2, d, d + 0.2} {
			l.Tools = append(l.Tools, job.Tool{Kind: job.KindDrill, Steel: "HSS", Size: calc.Millimetres(mm)})
		}
		text := fmt.Sprintf("part = \"case\"\nmaterial = \"brass\"\nbar = \"30 mm\"\nstickout = \"60 mm\"\n[[section]]\ndiameter = \"28 mm\"\nlength = \"40 mm\"\n[[bore]]\nthread = %q\ndepth = \"14 mm\"\n", thread)
		j, err := job.ParseJob("case.toml", text)
		if err != nil {
			t.Fatal(err)
		}
		p := plan(t, j, l, sequence.Readings{})
		if err := bench.Run(p, j, l).Err(); err != nil {
			t.Fatal(err)
		}
		last := calc.Length(0)
		for _, s := range p.Steps {
			for _, m := range s.Moves {
				if m, ok := m.(sequence.Tailstock); ok && m.Kind == sequence.DrillTool {
					last = m.Diameter
				}
			}
		}
		if last != calc.Millimetres(d) {
			t.Errorf("%s is drilled %s, published is %s mm", thread, last, drill)
		}
		share, err := strconv.ParseFloat(printed(t, "tapdrill.csv", thread, "percent_of_ISO_height_1.0825P"), 64)
		if err != nil {
			t.Fatal(err)
		}
		if why := step(t, p, "bore1/tap/tool").Why; !strings.Contains(why, fmt.Sprintf("%.0f per cent", share)) {
			t.Errorf("%s: published is %.1f per cent: %s", thread, share, why)
		}
	}
}

// latheText is a lathe file of testdata/lathes.
func latheText(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile("../../testdata/lathes/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Before an inside thread its bore is brought within the published limits of its minor
// diameter.
func TestBoredToMinorDiameter(t *testing.T) {
	j, l := read(t, "gland-nut", "toolroom")
	p := plan(t, j, l, sequence.Readings{})
	m := step(t, p, "bore1/finish/size2").Measure
	for what, got := range map[string]calc.Length{"minor_min": m.Min, "minor_max": m.Max} {
		if want := printed(t, "iso_metric_internal.csv", "M20x1.5", "fine", "20", "1.5", "6H", what); got.Decimal(calc.Millimetre, 3) != want {
			t.Errorf("%s: %s, published %s", what, got, want)
		}
	}
}

// Cases C050, C071 and C074 inside a bore: every retract goes in, away from the person,
// and nothing says "tool out"; a reading is come to outwards, with the slack taken up on
// that side and counted only where the direction changes.
func TestInsideCases(t *testing.T) {
	for _, name := range []string{"gland-nut", "ring", "bush"} {
		j, l := read(t, name, "toolroom")
		p := plan(t, j, l, sequence.Readings{})
		if err := saidInside(p); err != nil {
			t.Errorf("C050: %s: %v", name, err)
		}
		last := sequence.Way("")
		for _, s := range p.Steps {
			for _, m := range s.Moves {
				switch m := m.(type) {
				case sequence.Mount:
					last = ""
				case sequence.Zero:
					if m.Slide == sequence.Cross {
						last = sequence.Out
					}
				case sequence.Plunge:
					last = sequence.Out
				case sequence.Shift:
					if !m.Inside || m.Slide != sequence.Cross {
						break
					}
					if turned := last != "" && last != m.Approach; m.Dial != nil && turned != (m.Lash.Sign() > 0) {
						t.Errorf("C071, C074: %s %s: the slide goes %s after %s with a loss of %s turns", name, s.ID, m.Approach, last, m.Lash)
					}
					last = m.Approach
				}
			}
		}
	}
}

// A gauge that is tight adds a pass, never beyond the depth where the thread would be
// too wide; then the plan says so.
func TestInsideThreadTight(t *testing.T) {
	j, l := read(t, "gland-nut", "toolroom")
	r := sequence.Readings{Fits: map[string]sequence.Fit{"bore1/thread/gauge1": sequence.Tight}}
	p := plan(t, j, l, r)
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	a, b := step(t, p, "bore1/thread/spring1/set").Moves[0].(sequence.Shift), step(t, p, "bore1/thread/more1/set").Moves[0].(sequence.Shift)
	if b.X <= a.X {
		t.Errorf("one more pass goes from %s to %s", a.X, b.X)
	}
	step(t, p, "bore1/thread/gauge2")
}

// Where the slack is a hair and the slide stands a hair inside of the middle of a step
// that is touched again, the ring is there already: no slack is lost where nothing turns.
func TestStepTouchedWhereTheRingStands(t *testing.T) {
	_, l := read(t, "bush", "toolroom")
	l.Cross.Slack = 2 * um
	j, err := job.ParseJob("step.toml", `part = "step"
material = "brass"
bar = "40 mm"
stickout = "50 mm"
part_off = true
[[section]]
diameter = "38 mm"
length = "20 mm"
[[bore]]
diameter = "24 mm ±0.2 mm"
depth = "8 mm"
[[bore]]
diameter = "16 mm +0.2/-0"
through = true
`)
	if err != nil {
		t.Fatal(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{"bore1/finish/size2": 23986 * um, "bore1/depth/size2": 7700 * um}}
	p := plan(t, j, l, r)
	step(t, p, "bore1/depth/touch2")
	if err := sound(p, j, l); err != nil {
		t.Error(err)
	}
}

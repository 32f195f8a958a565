package planner_test

import (
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// hub is a flanged hub held by its nave in soft jaws: with some bores from its first end
// and some from the second.
func hub(first, second string) string {
	return "part = \"hub\"\nmaterial = \"mild steel\"\nbar = \"40 mm\"\nstickout = \"62 mm\"\n" +
		"[[section]]\nname = \"nave\"\ndiameter = \"34 mm h9\"\nlength = \"24 mm\"\n[[section]]\nname = \"flange\"\ndiameter = \"38 mm\"\nlength = \"10 mm\"\n" +
		first + "[second]\nheld = \"nave\"\nby = \"soft jaws\"\n" + second
}

// A hole of the first setting gets its far edge broken or a counterbore; a blind one is
// met by a drill, a reamer or a bar from the other end; and in what is solid there a bore
// is drilled and bored. The bench finds every size.
func TestBoresFromTheOtherEnd(t *testing.T) {
	_, l := read(t, "pulley-hub", "toolroom")
	const through, blind = "[[bore]]\ndiameter = \"20 mm H8\"\nthrough = true\n", "[[bore]]\ndiameter = \"20 mm\"\ndepth = \"14 mm\"\n"
	for _, c := range []struct {
		name, first, second string
		has, none           []string // steps
		sizes               int      // judged of the bores of the second setting
	}{
		{"an edge", through, "bore_chamfer = \"0.5 mm\"\n", []string{"far-bore1/chamfer/cut"}, []string{"boring/tool", "far-bore1/centre/drill"}, 2},
		{"a counterbore", through, "[[second.bore]]\ndiameter = \"28 mm H8\"\ndepth = \"6 mm\"\n", []string{"far-bore1/depth/cut"}, []string{"far-bore1/centre/drill"}, 2},
		{"two steps", through, "[[second.bore]]\ndiameter = \"30 mm H8\"\ndepth = \"6 mm\"\nchamfer = \"0.5 mm\"\n[[second.bore]]\ndiameter = \"26 mm\"\ndepth = \"9 mm\"\n",
			[]string{"far-bore1/depth/cut", "far-bore2/depth/cut"}, []string{"far-bore1/centre/drill"}, 5},
		{"met by a drill", blind, "[[second.bore]]\ndiameter = \"12 mm\"\nthrough = true\nchamfer = \"0.5 mm\"\n", []string{"far-bore1/drill2/peck1"}, []string{"boring/tool"}, 2},
		{"met by a reamer", blind, "[[second.bore]]\ndiameter = \"8 mm H7\"\nthrough = true\n", []string{"far-bore1/ream/cut"}, []string{"boring/tool"}, 1},
		{"met by a bar", blind, "[[second.bore]]\ndiameter = \"16 mm H8\"\nthrough = true\n", []string{"far-bore1/finish/pass3/cut"}, []string{"far-bore1/depth/cut"}, 1},
		{"in the solid", "", "[[second.bore]]\ndiameter = \"16 mm H8\"\ndepth = \"12 mm\"\n", []string{"far-bore1/drill1/peck1", "far-bore1/depth/cut"}, nil, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, err := job.ParseJob("hub.toml", hub(c.first, c.second))
			if err != nil {
				t.Fatal(err)
			}
			p := plan(t, j, l, sequence.Readings{})
			for _, id := range c.has {
				step(t, p, "second/"+id)
			}
			for _, id := range c.none {
				if p.Index("second/"+id) >= 0 {
					t.Errorf("there is a step second/%s", id)
				}
			}
			r := bench.Run(p, j, l)
			if err := r.Err(); err != nil {
				t.Fatal(err)
			}
			n := 0
			for _, s := range r.Sizes {
				if strings.HasPrefix(s.Section, "far-bore") {
					n++
				}
			}
			if n != c.sizes {
				t.Errorf("%d sizes of the second setting's bores are judged, wanted %d", n, c.sizes)
			}
		})
	}
}

// Depths from the other end are counted from the end as it was faced at last.
func TestFarBoreAfterFacingAgain(t *testing.T) {
	j, l := read(t, "pulley-hub", "toolroom")
	r := sequence.Readings{Lengths: map[string]calc.Length{"second/face/size1": 34330 * um, "second/face/size2": 34 * mm}}
	p := plan(t, j, l, r)
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	z := step(t, p, "second/boring/end").Moves[1].(sequence.Zero).Z
	if z != 330*um {
		t.Errorf("depths are counted from %s", z)
	}
	m := step(t, p, "second/far-bore1/depth/size2").Measure
	if m.Nominal != 9*mm || m.Min != 8900*um || m.Max != 9100*um {
		t.Errorf("the depth is measured as %s, %s to %s", m.Nominal, m.Min, m.Max)
	}
}

// One thing put wrong in a bore from the other end is named.
func TestFarBoreSpoilt(t *testing.T) {
	seat, l := read(t, "pulley-hub", "toolroom")
	met, err := job.ParseJob("hub.toml", hub("[[bore]]\ndiameter = \"20 mm\"\ndepth = \"14 mm\"\n", "[[second.bore]]\ndiameter = \"12 mm\"\nthrough = true\n"))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []struct {
		name  string
		job   *job.Job
		rule  int
		at    string
		spoil func(*testing.T, *sequence.Plan)
	}{
		{"bored past its step", seat, bench.WithinLimits, "second/far-bore1/rough/pass3/cut", change("second/far-bore1/rough/pass3/cut", func(m *sequence.Carriage) {
			if m.Cutting {
				m.To, m.Dial = 12*mm, nil
			} else {
				m.From = 12 * mm
			}
		})},
		{"bored too wide", seat, bench.ToSize, "second/far-bore1/finish/pass3/cut", all(wider("second/far-bore1/finish/pass3", 60*um), gone("second/far-bore1/chamfer/tool", "second/far-bore1/chamfer/touch", "second/far-bore1/chamfer/cut"))},
		{"bar not withdrawn", seat, bench.ToolClear, "second/far-bore1/rough/pass3/cut", leave[sequence.Shift]("second/far-bore1/rough/pass3/cut")},
		{"last cut without a reading", seat, bench.TwoEqualCuts, "second/far-bore1/finish/pass3/cut", gone("second/far-bore1/finish/size1")},
		{"last cut reached inwards", seat, bench.FromOneSide, "second/far-bore1/finish/pass3/set", shiftOf("second/far-bore1/finish/pass3/set", sequence.Out, func(m *sequence.Shift) { m.Approach = sequence.In })},
		{"measured while it turns", seat, bench.Standing, "second/far-bore1/finish/size1", leave[sequence.Spindle]("second/far-bore1/finish/size1")},
		{"not bored at all", seat, bench.ToSize, "second/far-bore1/chamfer/cut", func(t *testing.T, p *sequence.Plan) {
			var ids []string
			for i := range p.Steps {
				if s := p.Steps[i].ID; strings.HasPrefix(s, "second/far-bore1/") || strings.HasPrefix(s, "second/boring/") {
					ids = append(ids, s)
				}
			}
			gone(ids...)(t, p)
		}},
		{"edge broken too wide", seat, bench.ToSize, "second/far-bore1/chamfer/cut", all(
			change("second/far-bore1/chamfer/cut", func(m *sequence.Plunge) { m.To, m.Dial = m.To+mm, nil }),
			change("second/far-bore1/chamfer/cut", func(m *sequence.Shift) { m.X, m.Dial = m.X+mm, nil }))},
		{"does not meet the other", met, bench.ToSize, "second/far-bore1/drill2/peck1", change("second/far-bore1/drill2/peck1", func(m *sequence.Tailstock) { m.To, m.Dial = 14*mm, nil })},
		{"too large a drill", met, bench.ToSize, "second/far-bore1/drill2/peck1", all(
			change("second/far-bore1/drill2/tool", func(m *sequence.Mount) { m.Diameter = 16 * mm }),
			change("second/far-bore1/drill2/zero", func(m *sequence.Tailstock) { m.Diameter = 16 * mm }),
			change("second/far-bore1/drill2/peck1", func(m *sequence.Tailstock) { m.Diameter = 16 * mm }))},
	} {
		t.Run(s.name, func(t *testing.T) {
			p := plan(t, s.job, l, sequence.Readings{})
			if err := bench.Run(p, s.job, l).Err(); err != nil {
				t.Fatal(err)
			}
			named(t, spoiltBy(t, p, s.spoil), s.job, l, s.rule, s.at)
		})
	}
}

// Where the hole that is there was bored near its upper limit, a bore hardly larger leaves
// no step to touch.
func TestFarBoreTooClose(t *testing.T) {
	_, l := read(t, "pulley-hub", "toolroom")
	j, err := job.ParseJob("hub.toml", hub("[[bore]]\ndiameter = \"20 mm +0.4/-0\"\nthrough = true\n", "[[second.bore]]\ndiameter = \"20.7 mm +0.03/-0\"\ndepth = \"6 mm\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	if err := bench.Run(plan(t, j, l, sequence.Readings{}), j, l).Err(); err != nil {
		t.Error(err)
	}
	_, err = planner.Plan(j, l, sequence.Readings{Lengths: map[string]calc.Length{"bore1/finish/size2": 20390 * um}})
	if err == nil || !strings.Contains(err.Error(), "a step from 20.7 mm to 20.39 mm is too small") || placed(err) != nil {
		t.Error(err)
	}
}

// A note at a bore from the other end stands at its first step, and one at a bore that
// only gets its far edge broken is not said again there.
func TestFarBoreNotes(t *testing.T) {
	_, l := read(t, "pulley-hub", "toolroom")
	const first = "[[bore]]\ndiameter = \"20 mm H8\"\nthrough = true\nnote = \"for the pin\"\n"
	for second, want := range map[string][]string{
		"[[second.bore]]\ndiameter = \"28 mm H8\"\ndepth = \"6 mm\"\nnote = \"for the seal\"\n": {"bore1/centre/clear: for the pin", "second/far-bore1/rough/pass1/set: for the seal"},
		"bore_chamfer = \"0.5 mm\"\n": {"bore1/centre/clear: for the pin"},
	} {
		j, err := job.ParseJob("hub.toml", hub(first, second))
		if err != nil {
			t.Fatal(err)
		}
		p := plan(t, j, l, sequence.Readings{})
		var got []string
		for _, s := range p.Steps {
			if s.Note != "" {
				got = append(got, s.ID+": "+s.Note)
			}
		}
		if !slices.Equal(got, want) || len(p.Warnings) > 0 {
			t.Errorf("notes %v, warnings %v", got, p.Warnings)
		}
	}
}

// A bore from the new end that stops right at the shoulder behind which the part is no thicker
// than it is refused: it would come through there.
func TestSecondBoreToAShoulder(t *testing.T) {
	for depth, want := range map[string]string{"8 mm": "", "9.5 mm": "leaves a wall of 0 mm in section 1", "10 mm": "leaves a wall of 0 mm in section 1"} {
		_, err := job.ParseJob("hub.toml", `part = "hub"
material = "aluminium"
bar = "28 mm"
stickout = "48 mm"
[[section]]
name = "nave"
diameter = "18 mm"
length = "17 mm"
[[section]]
name = "flange"
diameter = "25 mm"
length = "10 mm"
[[bore]]
diameter = "6 mm H11"
through = true
[second]
held = "nave"
by = "three-jaw chuck"
[[second.bore]]
diameter = "18 mm H11"
depth = "`+depth+` ±0.1 mm"
`)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s deep: %v", depth, err)
		}
	}
}

package planner_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// C133: 29 repeats are said as n of 29, with a count of what lies there half way and at
// the end.
func TestCountCase(t *testing.T) {
	_, l := read(t, "spacers", "toolroom")
	p := made(t, "bar = \"20 mm\"\nstickout = \"35 mm\"\nquantity = 29\n", "\n[[section]]\nas_bar = true\nlength = \"8 mm\"\n", l)
	begun, counted := 0, []string{}
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.Part > begun {
			begun = s.Part
			if want := fmt.Sprintf("Part %d of 29", begun); !strings.HasPrefix(s.Cue.Text(), want) || s.OfParts != 29 {
				t.Errorf("%s begins part %d and says %q", s.ID, begun, s.Cue.Text())
			}
		}
		if strings.HasSuffix(s.ID, "/count") {
			if s.Needs != sequence.NeedPress {
				t.Errorf("%s needs %s", s.ID, s.Needs)
			}
			counted = append(counted, regexp.MustCompile(`there should be \d+`).FindString(s.Cue.Text()))
		}
	}
	if begun != 29 || !slices.Equal(counted, []string{"there should be 14", "there should be 29"}) {
		t.Errorf("%d parts, counted at %v", begun, counted)
	}
}

// A tool that never leaves the post keeps its ring: the parts after the first are cut
// without a reading between, at what the first has shown, and each is measured.
func TestFoundForAll(t *testing.T) {
	j, l := read(t, "four-pins", "bench")
	r := sequence.Readings{Lengths: map[string]calc.Length{}}
	p := plan(t, j, l, r)
	first := setting(t, p, "part1/shank/finish/pass3/set")
	if again := setting(t, p, "part2/shank/finish/pass3/set"); again != first {
		t.Errorf("part 2 is cut at %+v, part 1 at %+v", again, first)
	}
	// The first cut left 0.06 mm more than the ring says: every part's last cut goes
	// 0.03 mm further in.
	between := step(t, p, "part1/shank/finish/size1").Measure
	r.Lengths["part1/shank/finish/size1"] = between.Nominal + 60*um
	p = plan(t, j, l, r)
	for k := 1; k <= 4; k++ {
		got := setting(t, p, fmt.Sprintf("part%d/shank/finish/pass3/set", k))
		if by := l.Cross.Position(got.Turns, got.Reading) - l.Cross.Position(first.Turns, first.Reading); by != 30*um && by != 20*um && by != 40*um {
			t.Errorf("part %d is cut %s further in, wanted 0.03 mm", k, by)
		}
		m := step(t, p, fmt.Sprintf("part%d/shank/finish/size%d", k, map[bool]int{true: 2, false: 1}[k == 1])).Measure
		if !m.Final {
			t.Errorf("part %d is not measured at its size", k)
		}
	}
	if p.Index("part2/turn/touch") >= 0 || p.Index("part2/face/tool") >= 0 {
		t.Error("a tool that was not moved is fitted or touched again")
	}
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Error(err)
	}
}

// What a part of several must not do, and the bench and its step say so.
func TestSpoiledParts(t *testing.T) {
	for _, c := range []struct {
		spoiling
		job, lathe, at string
	}{
		{spoiling{"tool in the way of the bar", bench.ToolClear, leave[sequence.Shift]("part2/load")}, "spacers", "toolroom", "part2/load"},
		{spoiling{"loaded while it turns", bench.Standing, leave[sequence.Spindle]("part3/load")}, "spacers", "toolroom", "part3/load"},
		{spoiling{"key left in the chuck", bench.Standing, gone("part2/key")}, "spacers", "toolroom", "part2/face/touch"},
		{spoiling{"pulled out with the part on it", bench.ToSize, leave[sequence.Plunge]("part4/spacer/part/cut")}, "spacers", "toolroom", "part5/load"},
		{spoiling{"touched again and not measured", bench.TwoEqualCuts, put("part2/turn/clear", sequence.Spindle{Turn: sequence.Forward, RPM: 200 * calc.RPM}, sequence.Carriage{From: -2 * mm, To: -2 * mm, By: sequence.ByHandwheel}, sequence.Zero{Slide: sequence.Cross, X: 20 * mm, On: sequence.InPlace})}, "four-pins", "bench", "part2/shank/finish/pass3/cut"},
		{spoiling{"one part too few", bench.ToSize, func(t *testing.T, p *sequence.Plan) {
			p.Steps = slices.DeleteFunc(p.Steps, func(s sequence.Step) bool { return s.Part == 10 })
		}}, "spacers", "toolroom", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, l := read(t, c.job, c.lathe)
			p := plan(t, j, l, sequence.Readings{})
			c.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == c.rule && (c.at == "" || b.StepID == c.at) }) {
				t.Errorf("rule %d is not named at %s:\n%v", c.rule, c.at, broken)
			}
			if len(wrong) == 0 {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

// The plan of n parts has n times the steps of one: a tenth more parts cost a tenth
// more.
func TestPartsGrowStraight(t *testing.T) {
	steps := func(n int) int {
		j, l := read(t, "spacers", "toolroom")
		j.Quantity = n
		return len(plan(t, j, l, sequence.Readings{}).Steps)
	}
	if a, b, c := steps(10), steps(20), steps(30); b-a != c-b {
		t.Errorf("%d, %d and %d steps", a, b, c)
	}
}

// drawSeveral draws a job for two to four equal parts.
func drawSeveral(seed uint64) drawn {
	d := throw(seed ^ 1<<50)
	w := drawn{lathe: d.boringLathe()}
	if d.in(2) {
		w.job = d.job()
	} else {
		w.job = d.boredJob()
	}
	w.job = fmt.Sprintf("quantity = %d\n", d.IntN(3)+2) + w.job
	return w
}

// Random jobs of several parts: refused with a place and a remedy, or every plan, from
// the first to the last answer, passes the bench, and an answer changes no step before
// it.
func TestRandomParts(t *testing.T) {
	n, c := eachDrawn(t, 120, 5_000, drawSeveral, func(seed uint64) (refused string, has []string, answers int, err error) {
		answers, planned, err := trySeveral(seed)
		if !planned {
			refused = "not planned"
		}
		return refused, nil, answers, err
	})
	if c.ample && c.planned*5 < int(n) {
		t.Errorf("only %d of %d jobs were planned", c.planned, n)
	}
}

func trySeveral(seed uint64) (answers int, planned bool, err error) {
	w := drawSeveral(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return 0, false, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return 0, false, placed(err)
	}
	d := throw(seed ^ 1<<44)
	for k := 0; ; k++ {
		// Each plan holds all parts: not every one is carried out.
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if k%5 == 0 || i < 0 {
			if err := sound(p, j, l); err != nil {
				return answers, true, fmt.Errorf("after %v: %w", r.Lengths, err)
			}
			if err := agreed(p, j, l); err != nil {
				return answers, true, fmt.Errorf("after %v: %w", r.Lengths, err)
			}
		}
		if i < 0 || k > 0 && seed%3 != 0 {
			return answers, true, nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return answers, true, placed(err)
		}
		if err := sameBefore(p, q, i, i+1); err != nil {
			return answers, true, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if scrap {
			return answers, true, nil
		}
		p = q
	}
}

// A bore that goes through is left in the end of the bar: the next part is touched behind
// what is left of it, and its mouth has that diameter.
func TestBoreLeftInTheNextPart(t *testing.T) {
	_, l := read(t, "bush", "toolroom")
	for _, c := range []struct {
		name, bores string
		lengths     map[string]calc.Length
	}{
		{"touched in the drilled hole", `[[bore]]
diameter = "29.5 mm ±0.1 mm"
depth = "1.6 mm"
[[bore]]
diameter = "22.5 mm H9"
through = true
`, map[string]calc.Length{"part1/s1/part/size1": 20350 * um}},
		{"and read larger than the part before", `[[bore]]
diameter = "22.5 mm ±0.1 mm"
through = true
chamfer = "0.5 mm"
`, map[string]calc.Length{"part1/bore1/finish/size2": 22540 * um, "part2/bore1/finish/size1": 22350 * um, "part2/bore1/finish/size2": 22550 * um}},
		{"and read smaller than the part before", `[[bore]]
diameter = "22.5 mm ±0.1 mm"
through = true
chamfer = "0.5 mm"
`, map[string]calc.Length{"part1/bore1/finish/size2": 22520 * um, "part2/bore1/finish/size2": 22480 * um, "part3/bore1/finish/size2": 22460 * um}},
		{"touched at the mouth", `[[bore]]
diameter = "22.5 mm ±0.1 mm"
through = true
chamfer = "0.5 mm"
`, map[string]calc.Length{"part1/bore1/finish/size2": 22580 * um}},
	} {
		j, err := job.ParseJob("rings.toml", `part = "ring"
quantity = 3
material = "brass"
bar = "40 mm"
stickout = "40 mm"
[[section]]
diameter = "38 mm h11"
length = "20.5 mm"
`+c.bores)
		if err != nil {
			t.Fatal(err)
		}
		p := plan(t, j, l, sequence.Readings{Lengths: c.lengths})
		if err := sound(p, j, l); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

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

// The parts finished on both ends: the bench and the second opinion agree.
func TestSecondSettings(t *testing.T) {
	for _, name := range []string{"flange", "roller", "axle", "boss"} {
		j, l := read(t, name, "toolroom")
		p := plan(t, j, l, sequence.Readings{})
		if err := sound(p, j, l); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := agreed(p, j, l); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if len(p.Settings) != 2 || p.Settings[0].Steps+p.Settings[1].Steps != len(p.Steps) {
			t.Errorf("%s: settings %+v", name, p.Settings)
		}
		hand, machine := p.Times()
		if a, b := p.Settings[0], p.Settings[1]; a.Hand+b.Hand != hand || a.Machine+b.Machine != machine {
			t.Errorf("%s: the settings do not add up to %s and %s", name, hand, machine)
		}
	}
}

// The length over all is faced to from what is measured in the hand, and faced again
// where it is still over.
func TestFacedToLength(t *testing.T) {
	j, l := read(t, "flange", "toolroom")
	r := sequence.Readings{Lengths: map[string]calc.Length{"second/measure": 38450 * um}}
	p := plan(t, j, l, r)
	top := func(id string) (turns int, reading calc.Length) {
		for _, m := range step(t, p, id).Moves {
			if m, ok := m.(sequence.Shift); ok && m.Slide == sequence.Top {
				return m.Dial.Turns, m.Dial.Reading
			}
		}
		return -1, 0
	}
	// 38.45 mm to 38 mm, on a ring of 0.02 mm a line: 0.45 mm, set on half a line.
	if n, at := top("second/face/pass1/set"); n != 0 || at != 450*um {
		t.Errorf("faced to %d turns and %s, wanted 0.45 mm", n, at)
	}
	r.Lengths["second/face/size1"] = 38130 * um
	p = plan(t, j, l, r)
	if n, at := top("second/face/again1/pass1/set"); n != 0 || at != 130*um {
		t.Errorf("faced again to %d turns and %s, wanted 0.13 mm", n, at)
	}
	r.Lengths["second/face/size2"] = 38 * mm
	p = plan(t, j, l, r)
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Error(err)
	}
}

// What a second setting must not do, and the bench and its step say so.
func TestSpoiledSecond(t *testing.T) {
	for _, c := range []struct {
		spoiling
		job, at string
	}{
		{spoiling{"held while it turns", bench.Standing, put("second/hold", ahead)}, "flange", "second/hold"},
		{spoiling{"key left in the chuck", bench.Standing, gone("second/key")}, "flange", "second/face/touch"},
		{spoiling{"jaws over the shoulder", bench.WithinLimits, change("second/hold", func(m *sequence.Hold) { m.StickOut -= 2 * mm })}, "flange", "second/hold"},
		{spoiling{"held by a ring of it", bench.WithinLimits, change("second/hold", func(m *sequence.Hold) { m.StickOut += 22 * mm })}, "flange", "second/hold"},
		{spoiling{"never turned round", bench.ToSize, func(t *testing.T, p *sequence.Plan) {
			p.Steps = slices.DeleteFunc(p.Steps, func(s sequence.Step) bool { return s.Setting == 2 })
		}}, "flange", ""},
		{spoiling{"faced too short", bench.WithinLimits, all(
			change("second/face/pass2/set", func(m *sequence.Shift) { m.Z += 100 * um; d := *m.Dial; d.Reading += 100 * um; m.Dial = &d }),
			change("second/face/pass2/cut", func(m *sequence.Plunge) { m.Z += 100 * um }),
			change("second/face/zero", func(m *sequence.Zero) { m.Z += 100 * um }))}, "flange", "second/face/pass2/cut"},
		{spoiling{"into what is finished", bench.WithinLimits, func(t *testing.T, p *sequence.Plan) {
			s := step(t, p, "second/far-journal/rough/pass6/cut")
			a, b := s.Moves[0].(sequence.Carriage), s.Moves[2].(sequence.Carriage)
			a.To, a.Dial, b.From = 20*mm, nil, 20*mm
			s.Moves[0], s.Moves[2] = a, b
		}}, "axle", "second/far-journal/rough/pass6/cut"},
		{spoiling{"into the jaws", bench.WithinLimits, func(t *testing.T, p *sequence.Plan) {
			s := step(t, p, "second/far-journal/rough/pass1/cut")
			a, b := s.Moves[0].(sequence.Carriage), s.Moves[2].(sequence.Carriage)
			a.To, a.Dial, b.From = 27*mm, nil, 27*mm
			s.Moves[0], s.Moves[2] = a, b
		}}, "axle", "second/far-journal/rough/pass1/cut"},
		{spoiling{"no reading before the last cut", bench.TwoEqualCuts, gone("second/far-journal/finish/size1")}, "axle", "second/far-journal/finish/pass3/cut"},
		{spoiling{"sawn while it turns", bench.Standing, put("flange/saw", ahead)}, "boss", "flange/saw"},
		{spoiling{"sawn into the jaws", bench.WithinLimits, change("flange/saw", func(m *sequence.Saw) { m.Z += 23 * mm })}, "boss", "flange/saw"},
		{spoiling{"sawn too short", bench.ToSize, change("flange/saw", func(m *sequence.Saw) { m.Z -= 3 * mm })}, "boss", "flange/saw"},
		{spoiling{"into the chuck on the mandrel", bench.WithinLimits, change("second/hold", func(m *sequence.Hold) { m.StickOut -= 16 * mm })}, "roller", "second/hold"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, l := read(t, c.job, "toolroom")
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

// drawBothEnds draws a part that is turned round.
func drawBothEnds(seed uint64) drawn {
	d := throw(seed ^ 1<<49)
	var b strings.Builder
	bar := d.between(14, 28, 1)
	held, collar := bar-d.between(3, 8, 0.5), d.between(6, 30, 0.5)
	long := d.between(8, 30, 0.5)
	fmt.Fprintf(&b, "part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\n",
		one(d, "mild steel", "brass", "aluminium", "free-machining steel"), bar, long+collar+d.between(8, 18, 1))
	if d.in(3) {
		b.WriteString("part_off = false\n")
	}
	bored := d.in(3)
	whole := bored && d.in(2)
	if d.in(3) {
		total := long + collar
		if whole {
			total = collar
		}
		fmt.Fprintf(&b, "overall = \"%g mm %s\"\n", total, one(d, "±0.05 mm", "±0.1 mm", "+0.1/-0"))
	}
	if !whole {
		fmt.Fprintf(&b, "\n[[section]]\nname = \"held\"\ndiameter = \"%g mm %s\"\nlength = \"%g mm\"\n", held, one(d, "h7", "h9", ""), long)
	}
	fmt.Fprintf(&b, "\n[[section]]\nname = \"rest\"\n%s\nlength = \"%g mm\"\n", one(d, "as_bar = true", fmt.Sprintf("diameter = \"%g mm\"", bar-1)), collar)
	by, on := one(d, "soft jaws", "four-jaw chuck", "three-jaw chuck"), "held"
	if bored {
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm H8\"\nthrough = true\n", one(d, 6.0, 8, 10, 12))
		if whole || d.in(2) {
			by, on = "expanding mandrel", "bore1"
		}
	}
	fmt.Fprintf(&b, "\n[second]\nheld = %q\nby = %q\n", on, by)
	if d.in(3) {
		fmt.Fprintf(&b, "face = \"%g mm\"\n", one(d, 0.3, 1, 2))
	}
	if !whole && d.in(3) {
		b.WriteString("chamfer = \"0.5 mm\"\n")
		return drawn{lathe: d.boringLathe(), job: b.String()}
	}
	size := held - d.between(1, 5, 0.5)
	if !whole && !bored && held > 13 && collar > 12 && d.in(4) {
		fmt.Fprintf(&b, "\n[[second.section]]\nthread = %q\nlength = \"10 mm\"\nundercut = \"regular\"\n", one(d, "M8x1", "M10x1", "M12x1"))
		return drawn{lathe: d.boringLathe(), job: b.String()}
	}
	if whole {
		fmt.Fprintf(&b, "\n[[second.section]]\ndiameter = \"%g mm %s\"\nlength = \"%g mm\"\nchamfer = \"0.5 mm\"\n", bar-2, one(d, "h8", "h9", ""), collar)
		return drawn{lathe: d.boringLathe(), job: b.String()}
	}
	first := max(2, (collar-d.between(1, 8, 0.5))/2)
	for range one(d, 1, 1, 2) {
		fmt.Fprintf(&b, "\n[[second.section]]\ndiameter = \"%g mm %s\"\nlength = \"%g mm\"\n", size, one(d, "h7", "h9", "±0.1 mm", ""), first)
		if d.in(3) {
			b.WriteString("chamfer = \"0.5 mm\"\n")
		}
		size += d.between(0.5, 4, 0.5)
	}
	return drawn{lathe: d.boringLathe(), job: b.String()}
}

// Random parts finished on both ends: refused with a place and a remedy, or every plan,
// from the first to the last answer, passes the bench, and an answer changes no step
// before it.
func TestRandomSecond(t *testing.T) {
	n, c := eachDrawn(t, 200, 5_000, drawBothEnds, func(seed uint64) (refused string, has []string, answers int, err error) {
		answers, refused, err = tryBothEnds(seed)
		return refused, nil, answers, err
	})
	if c.ample && c.planned*5 < int(n) {
		t.Errorf("only %d of %d jobs were planned", c.planned, n)
	}
}

func tryBothEnds(seed uint64) (answers int, refused string, err error) {
	w := drawBothEnds(seed)
	j, l, err := job.ParsePair("drawn.toml", w.job, "drawn.lathe", w.lathe) // as written: the two ends have to agree
	if err != nil {
		return 0, "file: " + reason(err), placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return 0, "plan: " + reason(err), placed(err)
	}
	d := throw(seed ^ 1<<45)
	for {
		if err := sound(p, j, l); err != nil {
			return answers, "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return answers, "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 || seed%2 != 0 {
			return answers, "", nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return answers, "", placed(err)
		}
		if err := sameBefore(p, q, i, i+1); err != nil {
			return answers, "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if scrap {
			return answers, "", nil
		}
		p = q
	}
}

package planner_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// The thumb screw: the blank closes round a whole number of teeth, it is pressed before
// anything else has its size, at a quarter to a half of the turning speed, looked at after
// a turn, pressed to depth at once, fed along at 0.2 to 0.5 mm a turn (common practice).
func TestThumbScrew(t *testing.T) {
	j, l := read(t, "thumb-screw", "toolroom")
	p := plan(t, j, l, sequence.Readings{})
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	// n = pi D cos 30 / p: 53 teeth of 1 mm are 19.480 mm; 0.3 to 0.5 mm more is inside 20 mm ±0.2.
	k := j.Sections[1].Knurl
	if b := j.Sections[1].Diameter; k.Teeth != 53 || (b.Nominal-19480*um).Abs() > um || b.Max-b.Min > 124*um {
		t.Errorf("%d teeth on %s to %s", k.Teeth, b.Min, b.Max)
	}
	order := []string{"shank/rough/pass1/cut", "head/finish/size2", "knurl/tool", "head/knurl/touch", "head/knurl/mark", "head/knurl/look", "head/knurl/press", "head/knurl/cut",
		"head/knurl/size1", "turn/again/tool", "shank/finish/pass1/cut", "shank/shoulder/cut1", "head/chamfer/cut", "shank/thread/scratch/cut", "head/part/cut"}
	at := -1
	for _, id := range order {
		n := p.Index(id)
		if n <= at {
			t.Errorf("%s is step %d, after step %d", id, n+1, at+1)
		}
		at = n
	}
	look := step(t, p, "head/knurl/look")
	if !strings.Contains(look.Cue.Text(), "single lines, not double") || !strings.Contains(look.Why, "quarter of a tooth") {
		t.Errorf("%s\n%s", look.Cue.Text(), look.Why)
	}
	turning, knurling := calc.Speed(0), calc.Speed(0)
	for _, m := range step(t, p, "face/touch").Moves {
		if m, ok := m.(sequence.Spindle); ok {
			turning = m.RPM
		}
	}
	for _, m := range step(t, p, "head/knurl/touch").Moves {
		switch m := m.(type) {
		case sequence.Spindle:
			knurling = m.RPM
		case sequence.Carriage:
			if want := 17700*um + 4*mm; (m.To - want).Abs() > mm/2 { // half of a wheel of 8 mm on the head
				t.Errorf("the wheels stand at %s, not about %s", m.To, want)
			}
		}
	}
	if knurling > turning/2 {
		t.Errorf("knurled at %s, turned at %s", knurling, turning)
	}
	for _, m := range step(t, p, "head/knurl/cut").Moves {
		if m, ok := m.(sequence.Carriage); ok && m.Cutting {
			if f := m.PerRev.Length(); f < 200*um || f > 500*um {
				t.Errorf("fed at %s a turn", f)
			}
		}
	}
	if !slices.ContainsFunc(p.LayOut, func(s string) bool {
		return strings.HasPrefix(s, "knurling tool with a clamp, diamond, pitch 1 mm")
	}) {
		t.Errorf("lay out: %v", p.LayOut)
	}
}

// A knurl under size is pressed deeper in its own lines, by what it has shown to raise; one
// that is full and still under size is given up.
func TestKnurlPressedDeeper(t *testing.T) {
	j, l := read(t, "scriber-grip", "toolroom")
	r := sequence.Readings{Lengths: map[string]calc.Length{"grip/knurl/size1": 12880 * um}}
	p := plan(t, j, l, r)
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	root := func(id string) calc.Length {
		for _, m := range step(t, p, id).Moves {
			if m, ok := m.(sequence.Plunge); ok {
				return m.To
			}
		}
		t.Fatalf("%s presses nothing", id)
		return 0
	}
	// The blank of 12.74 mm has grown by 0.14 for 0.31 sunk on diameter: for the 0.16 that a
	// knurl of 0.8 mm grows at least, and a little more, 0.42 has to be sunk. Had it grown by
	// 0.04 it would be 1.5, past 0.35 of the pitch on radius.
	if a, b := root("grip/knurl/press"), root("grip/knurl/again1"); b >= a || (b-12310*um).Abs() > 30*um {
		t.Errorf("pressed to %s, then to %s", a, b)
	}
	r.Lengths["grip/knurl/size1"] = 12780 * um
	var faults job.Faults
	if _, err := planner.Plan(j, l, r); !errors.As(err, &faults) || !strings.Contains(faults[0].Msg, "still not reached with its teeth full") {
		t.Errorf("%v", err)
	}
}

// The refusals name what would make a knurl possible.
func TestKnurlRefused(t *testing.T) {
	const grip = "\n[[section]]\nname = \"grip\"\ndiameter = \"20 mm\"\nlength = \"10 mm\"\nknurl = { pattern = \"diamond\", pitch = \"%\" }\n"
	for _, c := range []struct{ name, head, sections, want, remedy string }{
		{"no wheels", "", strings.Replace(grip, "%", "1.2 mm", 1), "no diamond knurling tool of 1.2 mm pitch", `kind = "knurling" pattern = "diamond" pitch = "1.2 mm"`},
		{"a thick front", "", "\n[[section]]\ndiameter = \"18.6 mm\"\nlength = \"10 mm\"\n" + strings.Replace(grip, "%", "1 mm", 1), "the wheels stand half over section s1", "or thinner"},
		{"a thin wall", "", strings.Replace(grip, "%", "1 mm", 1) + "\n[[bore]]\ndiameter = \"17 mm\"\nthrough = true\nby = \"drill\"\n", "needs a wall of 2 mm", "a smaller bore"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, l := read(t, "thumb-screw", "toolroom")
			l.Tools = append(l.Tools, job.Tool{Kind: job.KindDrill, Size: 17 * mm, Steel: "HSS"}, job.Tool{Kind: job.KindDrill, Size: 8 * mm, Steel: "HSS"})
			j, err := job.ParseJob("case.toml", "part = \"case\"\nmaterial = \"mild steel\"\nbar = \"22 mm\"\nstickout = \"45 mm\"\n"+c.head+c.sections)
			if err != nil {
				t.Fatal(err)
			}
			_, err = planner.Plan(j, l, sequence.Readings{})
			if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), c.remedy) {
				t.Errorf("got %v", err)
			}
		})
	}
	// Pressed from the side the bar bends; with the centre or a clamp it does not.
	_, l := read(t, "scriber-grip", "toolroom")
	text := "part = \"case\"\nmaterial = \"mild steel\"\nbar = \"12 mm\"\nstickout = \"55 mm\"\npart_off = false\n\n[[section]]\ndiameter = \"11 mm\"\nlength = \"20 mm\"\nknurl = { pattern = \"straight\", pitch = \"0.8 mm\" }\n\n[[section]]\nas_bar = true\nlength = \"25 mm\"\n"
	j, err := job.ParseJob("case.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := planner.Plan(j, l, sequence.Readings{}); err == nil || !strings.Contains(err.Error(), "held back by the spring of the work") || !strings.Contains(err.Error(), `holder = "clamp"`) {
		t.Errorf("got %v", err)
	}
	for i := range l.Tools {
		if t := &l.Tools[i]; t.Kind == job.KindKnurling {
			t.Holder, t.Closing = job.HolderClamp, mm
		}
	}
	if _, err := planner.Plan(j, l, sequence.Readings{}); err != nil {
		t.Errorf("with a clamp: %v", err)
	}
}

// knurlSpoilings are one thing put wrong in a knurl: the rule and the step that have to be
// named.
var knurlSpoilings = []struct {
	job, lathe, name string
	rule             int
	step             string
	spoil            func(*testing.T, *sequence.Plan)
}{
	{"thumb-screw", "toolroom", "wheels not taken off before the way back", bench.ToolClear, "head/knurl/cut", leave[sequence.Clamp]("head/knurl/cut")},
	{"scriber-grip", "toolroom", "not wound out before the way back", bench.ToolClear, "grip/knurl/cut", leave[sequence.Shift]("grip/knurl/cut")},
	{"scriber-grip", "toolroom", "reversed with the wheels in", bench.ToolClear, "grip/knurl/look", change("grip/knurl/look", func(m *sequence.Spindle) { *m = back })},
	{"thumb-screw", "toolroom", "blank between two sizes", bench.WithinLimits, "head/knurl/mark", all(
		deeper("head/finish/pass3/set", "head/finish/pass3/cut", 80*um),
		change("head/knurl/touch", func(m *sequence.Zero) {
			if m.Slide == sequence.ClampNut {
				m.X -= 160 * um
			}
		}),
		change("head/knurl/mark", func(m *sequence.Clamp) { m.From -= 160 * um; m.To -= 160 * um }),
		change("head/knurl/press", func(m *sequence.Clamp) { m.From -= 160 * um; m.To -= 160 * um }),
		change("head/knurl/cut", func(m *sequence.Clamp) { m.From -= 160 * um }))},
	{"thumb-screw", "toolroom", "neighbour finished before the knurl", bench.TwoEqualCuts, "head/knurl/mark", deeper("shank/rough/pass6/set", "shank/rough/pass6/cut", 420*um)},
	{"thumb-screw", "toolroom", "too fast", bench.WithinPower, "head/knurl/mark", change("head/knurl/touch", func(m *sequence.Spindle) { m.RPM = 1000 * calc.RPM })},
	{"thumb-screw", "toolroom", "pressed at once too deep", bench.WithinLimits, "head/knurl/press", change("head/knurl/press", func(m *sequence.Clamp) {
		m.To, m.Turns = m.From-750*um, calc.Whole(1) // from 0.1 turns and so no whole one: said too
	})},
	{"scriber-grip", "toolroom", "bent, for want of the centre", bench.WithinPower, "grip/knurl/mark", leave[sequence.Hold]("centre/support")},
	{"thumb-screw", "toolroom", "pressed with the spindle standing", bench.Consistent, "head/knurl/press", leave[sequence.Spindle]("head/knurl/press")},
	{"thumb-screw", "toolroom", "another nut setting", bench.Consistent, "head/knurl/press", change("head/knurl/press", func(m *sequence.Clamp) { m.Turns = calc.Whole(2) })},
	{"scriber-grip", "toolroom", "wheels into the shoulder", bench.WithinLimits, "grip/knurl/cut", change("grip/knurl/cut", func(m *sequence.Carriage) {
		if m.Cutting {
			m.To, m.Dial = 40*mm, nil
		} else {
			m.From = 40 * mm
		}
	})},
	{"thumb-screw", "toolroom", "not fed to the end", bench.ToSize, "head/knurl/cut", change("head/knurl/cut", func(m *sequence.Carriage) {
		if m.Cutting {
			m.To, m.Dial = 23*mm, nil
		} else {
			m.From = 23 * mm
		}
	})},
	{"scriber-grip", "toolroom", "hardly pressed", bench.ToSize, "grip/knurl/cut", all(gone("grip/knurl/press"),
		put("grip/knurl/cut", sequence.Spindle{Turn: sequence.Forward, RPM: 125 * calc.RPM}),
		change("grip/knurl/cut", func(m *sequence.Shift) { m.X, m.Dial, m.WholeTurns = 15*mm, nil, 0 }))},
	{"thumb-screw", "toolroom", "measured while it turns", bench.Standing, "head/knurl/size1", leave[sequence.Spindle]("head/knurl/size1")},
	{"scriber-grip", "toolroom", "never knurled", bench.ToSize, "grip/knurl/size1", gone("grip/knurl/mark", "grip/knurl/press", "grip/knurl/cut")},
	{"thumb-screw", "toolroom", "other wheels", bench.Consistent, "head/knurl/mark", change("knurl/tool", func(m *sequence.Mount) { m.Pitch = 800 * um })},
}

// One thing put wrong in a knurl is named by its rule and its step, and the second checker
// sees that something is wrong.
func TestKnurlSpoilingsAreNamed(t *testing.T) {
	blind := map[string]bool{"too fast": true, "bent, for want of the centre": true, "wheels into the shoulder": true} // it has no forces, and no holders
	for _, s := range knurlSpoilings {
		t.Run(s.job+" "+s.name, func(t *testing.T) {
			j, l := read(t, s.job, s.lathe)
			p := plan(t, j, l, sequence.Readings{})
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Fatalf("the right plan: %v", err)
			}
			p.Steps = slices.Clone(p.Steps)
			for i := range p.Steps {
				p.Steps[i].Moves = slices.Clone(p.Steps[i].Moves)
			}
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule && b.StepID == s.step }) {
				t.Errorf("want rule %d at %s, got %v", s.rule, s.step, broken)
			}
			if len(wrong) == 0 && !blind[s.name] {
				t.Errorf("the second checker sees nothing")
			}
		})
	}
}

// A nut is set by twentieths of a turn: of those near the depth that is wanted one is taken
// that leaves the diameter over the knurl inside its limits.
func TestKnurlSetInsideItsLimits(t *testing.T) {
	_, l := read(t, "scriber-grip", "toolroom")
	for i := range l.Tools {
		if t := &l.Tools[i]; t.Kind == job.KindKnurling {
			t.Pattern, t.Pitch, t.Holder, t.Closing = job.Straight, mm/2, job.HolderClamp, calc.Inch/16
		}
	}
	j, err := job.ParseJob("grip.toml", "part = \"grip\"\nmaterial = \"mild steel\"\nbar = \"17.5 mm\"\nstickout = \"40 mm\"\npart_off = false\n\n[[section]]\ndiameter = \"14 mm ±0.05 mm\"\nlength = \"12 mm\"\nknurl = { pattern = \"straight\", pitch = \"0.5 mm\" }\n\n[[section]]\nas_bar = true\nlength = \"10 mm\"\n")
	if err != nil {
		t.Fatal(err)
	}
	for size := j.Sections[0].Diameter.Min.Ceil(10 * um); size <= j.Sections[0].Diameter.Max; size += 10 * um {
		p := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s1/finish/size2": size}})
		if err := sound(p, j, l); err != nil {
			t.Errorf("blank read at %s: %v", size, err)
		}
	}
}

// A knurl that is still too thin is not pressed so deep that its wheels come down on what
// stands in front of it.
func TestKnurlDeeperOverTheSectionInFront(t *testing.T) {
	w := drawKnurled(302114)
	j, l, err := w.read(302114)
	if err != nil {
		t.Fatal(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{"grip/finish/size1": 15880 * um, "grip/finish/size2": 15620 * um, "grip/finish/size3": 15430 * um, "grip/finish/size4": 15290 * um, "grip/knurl/size1": 15420 * um}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		if !strings.Contains(err.Error(), "still not reached") || placed(err) != nil {
			t.Error(err)
		}
		return
	}
	if err := agreed(p, j, l); err != nil {
		t.Error(err)
	}
}

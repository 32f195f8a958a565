package practise

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	mm = calc.Millimetre
	um = calc.Micrometre
)

var (
	metric = setup.Dial{Travel: 2 * mm, Divisions: 100, Slack: 150 * um}
	inches = setup.Dial{Travel: 100 * calc.Thou, Divisions: 100, Slack: 5 * calc.Thou}
)

func ring(d setup.Dial, unit calc.Length, turns int, reading calc.Length) Ring {
	return Ring{Slide: sequence.Cross, Want: sequence.Dial{Turns: turns, Reading: reading, Division: d.MarkedDivision(), Unit: unit}, dial: d, way: sequence.In}
}

// bored is a ring counted outwards, as inside a bore.
func bored(turns int, reading calc.Length) Ring {
	r := ring(metric, mm, turns, reading)
	r.Want.Outward, r.way = true, sequence.Out
	return r
}

func TestParseSettings(t *testing.T) {
	m, in := ring(metric, mm, 1, 420*um), ring(inches, calc.Inch, 2, 85*calc.Thou)
	for _, c := range []struct {
		ring Ring
		text string
		want Setting
	}{
		{m, "0.42 in", Setting{0, 420 * um, sequence.In}},
		{m, "1 turn 0.42 in", Setting{1, 420 * um, sequence.In}},
		{m, "1 turn and 0.42, in", Setting{1, 420 * um, sequence.In}},
		{m, "-2 turns 0.50 out", Setting{-2, 500 * um, sequence.Out}},
		{in, "2 turns 85 in", Setting{2, 85 * calc.Thou, sequence.In}},
		{in, "2 turns 85.5 thou in", Setting{2, 855 * calc.Thou / 10, sequence.In}},
	} {
		if got, err := c.ring.Parse(c.text); err != nil || got != c.want {
			t.Errorf("%q: %+v, %v", c.text, got, err)
		}
	}
	for _, text := range []string{"", "in", "0.42", "0.42 inwards", "turns 0.42 in", "x turns 0.42 in", "1 turn in", "1.2.3 in", "+0.4 in", "-0.4 in", "9999999 turns 0 in", "1 spin 0.42 in", "NaN in", "0x10 in"} {
		if s, err := m.Parse(text); err == nil || !strings.Contains(err.Error(), "1 turn 0.42 in") {
			t.Errorf("%q is taken as %+v, %v", text, s, err)
		}
	}
	for _, r := range []Ring{m, in, ring(metric, mm, -3, 0), ring(metric, mm, 0, 1980*um), bored(-1, 1560*um), bored(-2, 1560*um), bored(-1, 0), bored(0, 300*um)} {
		s, err := r.Parse(r.Text() + " " + string(r.Way()))
		if err != nil || !r.Right(s) || r.Beyond(s) != 0 {
			t.Errorf("%q: %+v, %v", r.Text(), s, err)
		}
		s.Way = map[sequence.Way]sequence.Way{sequence.In: sequence.Out, sequence.Out: sequence.In}[r.Way()]
		if r.Right(s) {
			t.Errorf("%q brought up against the cut is right", r.Text())
		}
	}
	// 1.56 of 2 mm, wound outwards: 0.44 mm from zero; a turn further it says the same.
	for text, want := range map[string]int{"1.56 out": -1, "1 turn 1.56 out": -2, "0 turns 1.56 out": -1, "1 turn 0 out": -1} {
		if s, err := bored(-1, 1560*um).Parse(text); err != nil || s.Turns != want {
			t.Errorf("%q: %+v, %v, want %d turns", text, s, err, want)
		}
	}
}

// A division of 0.02 mm too far is 0.02 mm of travel and 0.04 mm of diameter; a turn is
// one turn of the screw.
func TestBeyond(t *testing.T) {
	r := ring(metric, mm, 1, 420*um)
	for s, want := range map[Setting]calc.Length{
		{1, 440 * um, sequence.In}: 20 * um, {0, 420 * um, sequence.In}: -2 * mm, {2, 420 * um, sequence.In}: 2 * mm,
	} {
		if got := r.Beyond(s); got != want || r.Right(s) {
			t.Errorf("%+v: %s, want %s", s, got, want)
		}
	}
}

func cutPlan() *sequence.Plan {
	dial := func(r calc.Length) *sequence.Dial {
		return &sequence.Dial{Reading: r, Division: 20 * um, Unit: mm}
	}
	return &sequence.Plan{Unit: mm, Steps: []sequence.Step{
		{N: 1, ID: "set", Op: sequence.OpRough, Moves: []sequence.Move{
			sequence.Shift{Slide: sequence.Cross, X: 20 * mm, Dial: dial(500 * um), Approach: sequence.In, Handle: sequence.Clockwise},
		}},
		{N: 2, ID: "cut", Op: sequence.OpRough, Moves: []sequence.Move{
			sequence.Carriage{From: -2 * mm, To: 30 * mm, Cutting: true, By: sequence.ByHandwheel},
			sequence.Shift{Slide: sequence.Cross, X: 24 * mm, Dial: dial(500 * um), WholeTurns: 1, Approach: sequence.Out},
			sequence.Carriage{From: 30 * mm, To: -2 * mm, By: sequence.ByHandwheel},
		}},
		{N: 3, ID: "next", Op: sequence.OpRough, Moves: []sequence.Move{
			sequence.Shift{Slide: sequence.Cross, X: 19 * mm, Dial: dial(1000 * um), Approach: sequence.In},
		}},
	}}
}

// A mistake changes the plan that is carried out and nothing else: the way out counts
// from where the slide stands, the next reading is where it always was.
func TestSettingOtherwise(t *testing.T) {
	p := cutPlan()
	l := &job.Lathe{Cross: metric}
	r := ringsOf(&p.Steps[0], l)[0]
	q := r.With(p, 0, Setting{0, 600 * um, sequence.In})
	set := q.Steps[0].Moves[0].(sequence.Shift)
	out := q.Steps[1].Moves[1].(sequence.Shift)
	next := q.Steps[2].Moves[0].(sequence.Shift)
	if set.X != 19800*um || set.Dial.Reading != 600*um || out.X != 23800*um || next.X != 19*mm {
		t.Errorf("set %s, out %s, next %s", set.X, out.X, next.X)
	}
	q = r.With(p, 0, Setting{0, 500 * um, sequence.Out})
	if len(q.Steps[0].Moves) != 2 {
		t.Fatalf("%d moves", len(q.Steps[0].Moves))
	}
	past, back := q.Steps[0].Moves[0].(sequence.Shift), q.Steps[0].Moves[1].(sequence.Shift)
	if back.Approach != sequence.Out || back.X != 20*mm-2*metric.Slack || past.X >= back.X || back.Handle != sequence.Anticlockwise {
		t.Errorf("past to %s, back to %s %s %s", past.X, back.X, back.Approach, back.Handle)
	}
	if first := p.Steps[0].Moves[0].(sequence.Shift); first.X != 20*mm || first.Dial.Reading != 500*um || len(p.Steps[0].Moves) != 1 {
		t.Error("the plan itself was changed")
	}
}

// Inside a bore deeper is further out: the tool points at the person. A reading come to
// inwards leaves it deeper by the slack.
func TestSettingInsideABore(t *testing.T) {
	dial := func(turns int, r calc.Length) *sequence.Dial {
		return &sequence.Dial{Turns: turns, Reading: r, Division: 20 * um, Unit: mm, Outward: true}
	}
	p := &sequence.Plan{Unit: mm, Steps: []sequence.Step{
		{N: 1, ID: "set", Op: sequence.OpBore, Moves: []sequence.Move{
			sequence.Shift{Slide: sequence.Cross, X: 21 * mm, Dial: dial(-1, 1560*um), Approach: sequence.Out, Inside: true, Handle: sequence.Anticlockwise},
		}},
		{N: 2, ID: "cut", Op: sequence.OpBore, Moves: []sequence.Move{
			sequence.Carriage{From: -2 * mm, To: 30 * mm, Cutting: true, By: sequence.ByHandwheel},
			sequence.Shift{Slide: sequence.Cross, X: 17 * mm, Dial: dial(0, 1560*um), WholeTurns: 1, Approach: sequence.In, Inside: true},
		}},
		{N: 3, ID: "next", Op: sequence.OpBore, Moves: []sequence.Move{
			sequence.Shift{Slide: sequence.Cross, X: 22 * mm, Dial: dial(-1, 1060*um), Approach: sequence.Out, Inside: true},
		}},
	}}
	all := ringsOf(&p.Steps[0], &job.Lathe{Cross: metric})
	if len(all) != 1 || len(ringsOf(&p.Steps[1], &job.Lathe{Cross: metric})) != 0 {
		t.Fatalf("%d rings", len(all))
	}
	r := all[0]
	deep := Setting{-1, 1460 * um, sequence.Out}
	if got := r.Deeper(deep); got != 100*um {
		t.Errorf("%+v is %s deeper, want 0.1 mm", deep, got)
	}
	q := r.With(p, 0, deep)
	set, in, next := q.Steps[0].Moves[0].(sequence.Shift), q.Steps[1].Moves[1].(sequence.Shift), q.Steps[2].Moves[0].(sequence.Shift)
	if set.X != 21200*um || in.X != 17200*um || next.X != 22*mm {
		t.Errorf("set %s, in %s, next %s", set.X, in.X, next.X)
	}
	q = r.With(p, 0, Setting{-1, 1560 * um, sequence.In})
	if len(q.Steps[0].Moves) != 2 {
		t.Fatalf("%d moves", len(q.Steps[0].Moves))
	}
	past, back := q.Steps[0].Moves[0].(sequence.Shift), q.Steps[0].Moves[1].(sequence.Shift)
	if back.Approach != sequence.In || back.X != 21*mm+2*metric.Slack || past.X <= back.X || back.Handle != sequence.Clockwise {
		t.Errorf("past to %s, back to %s %s %s", past.X, back.X, back.Approach, back.Handle)
	}
}

// Exactly one choice is right, the wrong ones change the plan, and the order does not
// give it away.
func TestChoices(t *testing.T) {
	p := cutPlan()
	places := map[int]bool{}
	for n := range 8 {
		p.Steps[1].N = n + 1
		x := For(p, &job.Job{}, &job.Lathe{Cross: metric, Chuck: job.ChuckScrewed}, 1)
		right := 0
		for k, c := range x.Choices {
			if c.Right {
				right++
				places[k] = true
				continue
			}
			q := c.With(p, 1)
			if len(q.Steps[1].Moves) == len(p.Steps[1].Moves) {
				t.Errorf("%q changes nothing", c.Text)
			}
		}
		if right != 1 || len(x.Choices) != 3 {
			t.Fatalf("%d right of %d", right, len(x.Choices))
		}
	}
	if len(places) < 3 {
		t.Errorf("the right one stands only at %v", places)
	}
	if x := For(p, &job.Job{}, &job.Lathe{Cross: metric}, 0); len(x.Choices) != 0 || len(x.Rings) != 1 {
		t.Errorf("%d choices and %d rings where a ring is set", len(x.Choices), len(x.Rings))
	}
}

// A micrometer of half a millimetre a turn: 12.84 is 12.5 and 34; one of 25 thou a turn:
// 0.4312 in is 0.425 and 6.2.
func TestShown(t *testing.T) {
	step := func(unit calc.Length) *sequence.Step {
		return &sequence.Step{Moves: []sequence.Move{sequence.Inspect{With: "micrometer"}}, Measure: &sequence.Measure{Unit: unit}}
	}
	for _, c := range []struct {
		unit, size calc.Length
		want       string
	}{
		{mm, 12840 * um, "12.5 on the sleeve, and the thimble stands at 34 of 50"},
		{mm, 9980 * um, "9.5 on the sleeve, and the thimble stands at 48 of 50"},
		{mm, 10 * mm, "10.0 on the sleeve, and the thimble stands at 0 of 50"},
		{calc.Inch, 4312 * calc.Thou / 10, "0.425 on the sleeve, and the thimble stands at 6.2 of 25"},
	} {
		if got := Shown(step(c.unit), c.size); !strings.HasSuffix(got, c.want) {
			t.Errorf("%s: %s", c.size, got)
		}
	}
	if got := Shown(&sequence.Step{Moves: []sequence.Move{sequence.Inspect{With: "caliper"}}}, 12*mm); got != "the caliper shows 12.000 mm" {
		t.Error(got)
	}
}

func TestScore(t *testing.T) {
	var s Score
	if got := strings.Join(s.Lines(), "\n"); got != "nothing was answered" {
		t.Error(got)
	}
	s.Right(SetRing)
	s.Wrong(SetRing, 9)
	s.Wrong(NextAction, 1, 6)
	s.Wrong(ReadSize, 99, -1)
	want := []string{
		"1 of 4 answers right", "  what comes next    0 right   1 wrong", "  setting a ring     1 right   1 wrong",
		"  reading a size     0 right   1 wrong", "  shop rule  1, tool clear: 1", "  shop rule  6, standing still: 1", "  shop rule  9, to size: 1",
	}
	if got := s.Lines(); strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("%s", strings.Join(got, "\n"))
	}
	for n := range Rules + 1 {
		if Rule(n) == "" || Does(n) == "" {
			t.Errorf("rule %d has no words", n)
		}
	}
	if Rule(11) != "rule 11" || Does(-1) != "" || s.Broken(11) != 0 {
		t.Error("a rule that is none")
	}
}

func FuzzParseSetting(f *testing.F) {
	for _, text := range []string{"1 turn 0.42 in", "-2 turns 0.50 out", "85 thou in", "0.42", "1 turn in"} {
		f.Add(text)
	}
	m := ring(metric, mm, 1, 420*um)
	f.Fuzz(func(t *testing.T, text string) {
		s, err := m.Parse(text)
		if err == nil && (s.Way == "" || s.Turns > mostTurns || s.Turns < -mostTurns || s.Reading < 0) {
			t.Errorf("%q gives %+v", text, s)
		}
		if err == nil {
			m.With(cutPlan(), 0, s)
		}
	})
}

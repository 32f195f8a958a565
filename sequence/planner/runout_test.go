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

// endsLater moves the end of a pass, and all that follows from it, along the work.
func endsLater(pass string, by calc.Length) func(*testing.T, *sequence.Plan) {
	return func(t *testing.T, p *sequence.Plan) {
		t.Helper()
		change(pass+"/cut", func(m *sequence.Carriage) { m.To += by })(t, p)
		if slices.ContainsFunc(step(t, p, pass+"/cut").Moves, func(m sequence.Move) bool { return m.Do() == "withdraw" }) {
			change(pass+"/cut", func(m *sequence.Withdraw) { m.From, m.To = m.From+by, m.To+by })(t, p)
		}
		change(pass+"/return", func(m *sequence.Carriage) { m.From += by })(t, p)
	}
}

// allEndLater does so with every pass.
func allEndLater(by calc.Length) func(*testing.T, *sequence.Plan) {
	return func(t *testing.T, p *sequence.Plan) {
		t.Helper()
		for i := range p.Steps {
			if pass, ok := strings.CutSuffix(p.Steps[i].ID, "/cut"); ok && p.Steps[i].RunsInto == sequence.IntoLine {
				endsLater(pass, by)(t, p)
			}
		}
	}
}

// fadingSpoilings are for an eye bolt: what is put wrong, and the rule and the step that
// have to be named. On the electronic lathe it is cranked, on the toolroom lathe cut by
// the threading dial.
var fadingSpoilings = []struct {
	lathe, name string
	rule        int
	step        string
	spoil       func(*testing.T, *sequence.Plan)
}{
	{"bench", "not taken out at the line", bench.WithinLimits, "shank/thread/pass3/cut", leave[sequence.Withdraw]("shank/thread/pass3/cut")},
	{"bench", "taken out so late that it meets the shoulder", bench.WithinLimits, "shank/thread/pass3/cut", endsLater("shank/thread/pass3", 2*mm)},
	{"bench", "a later pass ends later", bench.WithinPower, "shank/thread/pass5/cut", endsLater("shank/thread/pass5", 150*um)},
	{"bench", "spindle too fast for the hand", bench.WithinPower, "shank/thread/pass3/cut", change("shank/thread/pass3/cut", func(m *sequence.Spindle) {
		if m.Turn == sequence.Forward {
			m.RPM = 200 * calc.RPM
		}
	})},
	{"bench", "spindle too fast for the shoulder", bench.WithinLimits, "shank/thread/scratch/cut", change("shank/thread/scratch/cut", func(m *sequence.Spindle) {
		if m.Turn == sequence.Forward {
			m.RPM = 115 * calc.RPM
		}
	})},
	{"bench", "not far enough out", bench.ToolClear, "shank/thread/pass3/cut", change("shank/thread/pass3/cut", func(m *sequence.Withdraw) {
		m.X, m.Dial, m.WholeTurns, m.Lash = 9*mm, nil, 0, calc.Ratio{}
	})},
	{"bench", "handle turned the wrong way", bench.Consistent, "shank/thread/pass3/cut", change("shank/thread/pass3/cut", func(m *sequence.Withdraw) { m.Handle = sequence.Clockwise })},
	{"bench", "line and passes too near the shoulder", bench.WithinLimits, "shank/thread/scratch/cut", all(allEndLater(2*mm), change("shank/thread/line", func(m *sequence.Line) { m.Z += 2 * mm }))},
	{"electronic", "line and crank too near the shoulder", bench.WithinLimits, "shank/thread/scratch/cut", all(allEndLater(3500*um), change("shank/thread/line", func(m *sequence.Line) { m.Z += 3500 * um }))},
	{"bench", "power left on", bench.WithinLimits, "shank/thread/pass3/cut", func(t *testing.T, p *sequence.Plan) {
		s := step(t, p, "shank/thread/pass3/cut")
		s.Moves = s.Moves[:len(s.Moves)-1]
	}},
	{"bench", "no line", bench.WithinLimits, "shank/thread/scratch/cut", leave[sequence.Line]("shank/thread/line")},
	{"bench", "line scribed with the spindle turning", bench.Standing, "shank/thread/line", put("shank/thread/line", ahead)},
	{"bench", "full thread ends too early", bench.ToSize, "shank/thread/pass8/cut", all(allEndLater(-1500*um), change("shank/thread/line", func(m *sequence.Line) { m.Z -= 1500 * um }))},
	{"toolroom", "half-nuts left shut", bench.WithinLimits, "shank/thread/pass3/cut", func(t *testing.T, p *sequence.Plan) {
		s := step(t, p, "shank/thread/pass3/cut")
		s.Moves = s.Moves[:len(s.Moves)-1]
	}},
	{"toolroom", "half-nuts opened and the tool left in", bench.WithinLimits, "shank/thread/pass3/cut", leave[sequence.Withdraw]("shank/thread/pass3/cut")},
	{"electronic", "cranked into the shoulder", bench.WithinLimits, "shank/thread/pass3/cut", endsLater("shank/thread/pass3", 3500*um)},
	{"electronic", "cranked back with the tool in", bench.ToolClear, "shank/thread/pass3/return", gone("shank/thread/pass3/clear")},
}

// One thing put wrong at the end of a thread without a groove is named by its rule and its
// step, and the second checker finds it too.
func TestFadingSpoilingsAreNamed(t *testing.T) {
	for _, s := range fadingSpoilings {
		t.Run(s.lathe+" "+s.name, func(t *testing.T) {
			j, l := read(t, "eye-bolt", s.lathe)
			p := plan(t, j, l, sequence.Readings{})
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Fatalf("the right plan: %v", err)
			}
			p.Steps = slices.Clone(p.Steps)
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule && b.StepID == s.step }) {
				t.Errorf("want rule %d at %s, got %v", s.rule, s.step, broken)
			}
			if len(wrong) == 0 {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

// insideFadingSpoilings are for a cap on the toolroom lathe, its thread cranked.
var insideFadingSpoilings = []struct {
	name  string
	rule  int
	step  string
	spoil func(*testing.T, *sequence.Plan)
}{
	{"cranked into the floor", bench.WithinLimits, "bore1/thread/pass3/cut", endsLater("bore1/thread/pass3", 7*mm)},
	{"a later pass ends later", bench.WithinPower, "bore1/thread/pass5/cut", endsLater("bore1/thread/pass5", 300*um)},
	{"cut under power", bench.WithinLimits, "bore1/thread/pass3/cut", func(t *testing.T, p *sequence.Plan) {
		put("bore1/thread/pass3/set", sequence.Supply{})(t, p)
		change("bore1/thread/pass3/cut", func(m *sequence.Spindle) { *m = sequence.Spindle{Turn: sequence.Forward, RPM: 45 * calc.RPM} })(t, p)
	}},
	{"cranked back with the tool in", bench.ToolClear, "bore1/thread/pass3/return", gone("bore1/thread/pass3/clear")},
	{"full thread ends too early", bench.ToSize, "bore1/thread/pass7/cut", func(t *testing.T, p *sequence.Plan) {
		for i := range p.Steps {
			if pass, ok := strings.CutSuffix(p.Steps[i].ID, "/cut"); ok && strings.HasPrefix(pass, "bore1/thread/") {
				endsLater(pass, -1500*um)(t, p)
			}
		}
	}},
}

func TestInsideFadingSpoilingsAreNamed(t *testing.T) {
	for _, s := range insideFadingSpoilings {
		t.Run(s.name, func(t *testing.T) {
			j, l := read(t, "oiler-cap", "toolroom")
			p := plan(t, j, l, sequence.Readings{})
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Fatalf("the right plan: %v", err)
			}
			p.Steps = slices.Clone(p.Steps)
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule && b.StepID == s.step }) {
				t.Errorf("want rule %d at %s, got %v", s.rule, s.step, broken)
			}
			if len(wrong) == 0 {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

// What the bench measures of the end of a thread: full to 4.5 mm before the shoulder, and
// faded out within 3.8 mm (DIN 76-1 for a pitch of 1.5 mm), its root rising there.
func TestFadingThreadIsMeasured(t *testing.T) {
	for lathe, way := range map[string]string{"bench": "reverse", "toolroom": "dial", "electronic": "crank"} {
		j, l := read(t, "eye-bolt", lathe)
		p := plan(t, j, l, sequence.Readings{})
		if got := fadesBy(p); got != way {
			t.Errorf("%s: cut by %s, want %s", lathe, got, way)
		}
		r := bench.Run(p, j, l)
		sizes := map[string]bench.Size{}
		for _, s := range r.Sizes {
			sizes[s.What] = s
		}
		if s := sizes["full thread to shoulder"]; s.Max != 4500*um || s.Got <= 3*mm || s.Got > 4500*um {
			t.Errorf("%s: %+v, want up to 4.5 mm", lathe, s)
		}
		if s := sizes["run-out"]; s.Max != 3800*um || s.Got <= 0 || s.Got > 3800*um {
			t.Errorf("%s: %+v, want up to 3.8 mm", lathe, s)
		}
		for _, q := range r.Profile {
			c := q.Thread
			if c == nil {
				continue
			}
			full, mid, end := c.Root(q.Right, c.Full), c.Root(q.Right, calc.Mid(c.Full, c.Faded)), c.Root(q.Right, c.Faded)
			if full != q.Right-2*c.Depth || end != q.Right || mid <= full || mid >= end {
				t.Errorf("%s: root %s, %s, %s over the run-out of a thread on %s", lathe, full, mid, end, q.Right)
			}
		}
	}
}

// A way that cannot be is refused with the figures, and what would help.
func TestFadingRefusals(t *testing.T) {
	for _, c := range []struct{ was, is, want, hint string }{
		{`runout   = "DIN 76"`, `runout   = "1.2 mm"`, "the full thread of M10x1.5-6g may end 1.2 mm before the shoulder; half the tool's 1.05 mm of width, half a pitch and 0.2 mm to spare take", `runout = "1.6 mm"`},
		{`bar      = "20 mm"`, "bar      = \"20 mm\"\nthreading = \"away\"", "its passes would start at the shoulder", "undercut"},
		{`runout   = "DIN 76"`, "runout   = \"short\"\n# reverse", "taken out by hand at the line, the tool is clear in time up to", "crank"},
	} {
		j, l := read(t, "eye-bolt", "bench")
		text := strings.Replace(j.Source.Text, c.was, c.is, 1)
		j, err := job.ParseJob("eye-bolt.toml", text)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(c.is, "# reverse") {
			j.Threading = job.WayReverse
		}
		_, err = planner.Plan(j, l, sequence.Readings{})
		if err == nil || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), c.hint) {
			t.Errorf("%s: %v\nwant %q and %q", c.is, err, c.want, c.hint)
		}
	}
}

// A threading tool of 30 degrees does not cut a thread of 60: it was taken where no other
// is listed.
func TestThreadingToolOfOtherFlanksIsRefused(t *testing.T) {
	j, l := read(t, "eye-bolt", "bench")
	for i := range l.Tools {
		if l.Tools[i].Kind == job.KindThreading {
			l.Tools[i].Angle = 30 * calc.Degree
		}
	}
	_, err := planner.Plan(j, l, sequence.Readings{})
	if err == nil || !strings.Contains(err.Error(), "no threading tool with flanks of 60 deg") {
		t.Errorf("planned with a tool of 30 degrees: %v", err)
	}
}

package planner_test

import (
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/planner"
)

// A taper thread put wrong in one way is refused by both: the bench names the rule, and
// the second checker finds it too.
func TestBothSeeWhatIsWrongWithATaperThread(t *testing.T) {
	j, l := read(t, "tank-stem", "toolroom")
	if wrong, broken := opinion(t, plan(t, j, l, sequence.Readings{}), j, l); len(wrong)+len(broken) > 0 {
		t.Fatalf("the right plan: %v %v", wrong, broken)
	}
	out := func(id string) func(*testing.T, *sequence.Plan) {
		return func(t *testing.T, p *sequence.Plan) {
			step(t, p, id)
			p.Steps = slices.DeleteFunc(p.Steps, func(s sequence.Step) bool { return s.ID == id })
		}
	}
	sixteenth := ratio(t, 1, 16)
	shallower := func(m *sequence.Carriage) { m.X -= 400 * um }
	// near moves the start of the passes or cuts of some steps nearer to the end.
	near := func(by calc.Length, ids ...string) func(*testing.T, *sequence.Plan) {
		return func(t *testing.T, p *sequence.Plan) {
			hit := 0
			for i := range p.Steps {
				s := &p.Steps[i]
				if !slices.ContainsFunc(ids, func(id string) bool { return strings.HasPrefix(s.ID, id) }) {
					continue
				}
				for k, m := range s.Moves {
					c, ok := m.(sequence.Carriage)
					switch {
					case ok && c.To < 0:
						c.To += by
						if c.X != 0 {
							c.X += by.Scale(sixteenth)
						}
						hit++
					case ok && c.From < 0:
						c.From += by
						hit++
					}
					if ok {
						s.Moves[k] = c
					}
					if x, ok := m.(sequence.Shift); ok && x.Led && x.Approach == sequence.In {
						x.X += by.Scale(sixteenth)
						s.Moves[k] = x
					}
				}
			}
			if hit == 0 {
				t.Fatal("nothing moved")
			}
		}
	}
	for _, s := range []spoiling{
		{"gone back with the tool in the thread", bench.ToolClear, out("thread/thread/pass4/clear")},
		{"gone back with the tool in the cone", bench.ToolClear, func(t *testing.T, p *sequence.Plan) {
			s := step(t, p, "thread/taper/pass2/cut")
			s.Moves = slices.DeleteFunc(s.Moves, func(m sequence.Move) bool {
				x, ok := m.(sequence.Shift)
				return ok && x.Approach == sequence.Out
			})
		}},
		{"cut with the taper slide free", bench.ToSize, all(out("thread/thread/slide"), out("thread/thread/free"), func(t *testing.T, p *sequence.Plan) {
			for i := range p.Steps {
				for k, m := range p.Steps[i].Moves {
					if c, ok := m.(sequence.Carriage); ok && strings.HasPrefix(p.Steps[i].ID, "thread/thread/") {
						c.X = 0
						p.Steps[i].Moves[k] = c
					}
				}
			}
		})},
		{"the slack of the taper slide left in the cone", bench.FromOneSide, near(2*mm, "thread/taper/")},
		{"the slack of the taper slide left where the tool is touched", bench.FromOneSide, func(t *testing.T, p *sequence.Plan) {
			s := step(t, p, "thread/thread/touch")
			s.Moves = slices.DeleteFunc(s.Moves, func(m sequence.Move) bool {
				c, ok := m.(sequence.Carriage)
				return ok && c.To < 0
			})
			for k, m := range s.Moves {
				if c, ok := m.(sequence.Carriage); ok {
					c.From = 2 * mm
					s.Moves[k] = c
				}
			}
			for i := p.Index(s.ID) - 1; i >= 0; i-- {
				for k := len(p.Steps[i].Moves) - 1; k >= 0; k-- {
					if c, ok := p.Steps[i].Moves[k].(sequence.Carriage); ok {
						c.To = 2 * mm
						p.Steps[i].Moves[k] = c
						return
					}
				}
			}
		}},
		{"the taper slide set to the whole angle of the cone", bench.ToSize, func(t *testing.T, p *sequence.Plan) {
			for i := range p.Steps {
				for k, m := range p.Steps[i].Moves {
					switch m := m.(type) {
					case sequence.TaperSlide:
						m.Angle = 3576334 * calc.Degree / 1000000
						m.Rise = m.Travel / 16
						p.Steps[i].Moves[k] = m
					}
				}
			}
		}},
		{"the indicator changes by as much as the diameter", bench.Consistent, change("thread/taper/slide", func(m *sequence.TaperSlide) { m.Rise *= 2 })},
		{"set with the spindle turning", bench.Standing, put("thread/taper/slide", sequence.Spindle{Turn: sequence.Forward, RPM: 500 * calc.RPM})},
		{"freed with the half-nuts shut", bench.InStep, func(t *testing.T, p *sequence.Plan) {
			i := p.Index("thread/thread/open")
			p.Steps[i], p.Steps[i+1] = p.Steps[i+1], p.Steps[i]
		}},
		{"left clamped", bench.Consistent, out("thread/thread/free")},
		{"half-nuts opened between passes", bench.InStep, put("thread/thread/pass3/set", sequence.HalfNut{}, sequence.HalfNut{Closed: true})},
		{"no reading before the last cut", bench.TwoEqualCuts, out("thread/taper/size1")},
		{"the last cut left out", bench.Consistent, all(out("thread/taper/pass3/set"), out("thread/taper/pass3/cut"))},
		{"no undercut", bench.WithinLimits, func(t *testing.T, p *sequence.Plan) {
			p.Steps = slices.DeleteFunc(p.Steps, func(s sequence.Step) bool { return strings.HasPrefix(s.ID, "thread/undercut/") })
		}},
		{"too deep", bench.ToSize, all(deeper("thread/thread/spring1/set", "thread/thread/spring1/clear", 200*um),
			change("thread/thread/spring1/cut", shallower), change("thread/thread/spring1/return", shallower))},
	} {
		t.Run(s.name, func(t *testing.T) {
			p := plan(t, j, l, sequence.Readings{})
			s.spoil(t, p)
			wrong, broken := opinion(t, p, j, l)
			if len(broken) == 0 || !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == s.rule }) {
				t.Errorf("the bench does not name rule %d: %v", s.rule, broken)
			}
			if len(wrong) == 0 {
				t.Error("the second checker finds nothing")
			}
		})
	}
}

// C100: the taper slide for 1 in 16 stands at 1.790 degrees, atan 1/32; over 50 mm of the
// carriage the cross slide goes 50/32 = 1.5625 mm.
func TestC100(t *testing.T) {
	j, l := read(t, "tank-stem", "toolroom")
	m := step(t, plan(t, j, l, sequence.Readings{}), "thread/taper/slide").Moves
	s, ok := m[len(m)-1].(sequence.TaperSlide)
	if off := s.Angle.Degrees() - 1.790; !ok || !s.Clamped || off > 0.005 || off < -0.005 || s.Travel != 50*mm || s.Rise != 1562500*calc.Nanometre {
		t.Errorf("the taper slide is set: %+v", s)
	}
}

// C101: a lathe without a taper slide is refused, and what helps is named, the set-over
// among it.
func TestC101(t *testing.T) {
	j, l := read(t, "tank-stem", "toolroom")
	l.TaperSlide = nil
	_, err := planner.Plan(j, l, sequence.Readings{})
	if err == nil {
		t.Fatal("planned")
	}
	for _, want := range []string{"R 1/2 is a taper thread", "no taper slide is listed", "[taper_slide]", "a die", "tailstock set over"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("%q is not in: %v", want, err)
		}
	}
}

// C103: the length shifts by 16 times what the diameter is over. A ring gauge of R 1/2
// that goes on 5.0 mm instead of 8.2 (ISO 7-1) leaves 3.2/16 = 0.2 mm on diameter, 0.1 mm
// on radius; and 1/2 in of it would be 1/32 in.
func TestC103(t *testing.T) {
	j, l := read(t, "tank-stem", "toolroom")
	r := sequence.Readings{Lengths: map[string]calc.Length{}}
	p := plan(t, j, l, r)
	m := step(t, p, "thread/thread/gauge1").Measure
	if m.Nominal != 8200*um || m.Min != 6400*um || m.Max != 10*mm || !m.Final || !m.Grows {
		t.Errorf("the ring gauge is asked for %s to %s, %s", m.Min, m.Max, m.Nominal)
	}
	r.Lengths["thread/thread/gauge1"] = 5 * mm
	p = plan(t, j, l, r)
	was, is := setting(t, p, "thread/thread/spring1/set"), setting(t, p, "thread/thread/more1/pass2/set")
	if more := is.Reading - was.Reading; is.Turns != was.Turns || (more-100*um).Abs() > 5*um {
		t.Errorf("the ring goes on by %s after a ring gauge 3.2 mm short", more)
	}
	if p.Index("thread/thread/more1/pass3/set") >= 0 || p.Index("thread/thread/gauge2") < 0 {
		t.Error("two passes of 0.05 mm and the gauge again are wanted")
	}
	if err := sound(p, j, l); err != nil {
		t.Error(err)
	}
	if err := agreed(p, j, l); err != nil {
		t.Error(err)
	}
	// Inside a turn either way nothing is cut any more.
	r.Lengths["thread/thread/gauge1"] = 6400 * um
	if p = plan(t, j, l, r); p.Index("thread/thread/gauge2") >= 0 {
		t.Error("cut on inside its limits")
	}
}

// The crest of R 1/2 is 20.955 mm at its gauge plane, 8.2 mm from the end (ISO 7-1): the
// small end is 20.955 - 8.2/16 = 20.4425 mm or less, by no more than a turn of 1.8 mm
// makes of it, and the cylinder is no thinner than the crest at the end of the useful
// thread, 20.4425 + 13.2/16 = 21.2675 mm.
func TestBlankOfATaperThread(t *testing.T) {
	j, l := read(t, "tank-stem", "toolroom")
	p := plan(t, j, l, sequence.Readings{})
	small, large := step(t, p, "thread/taper/size2").Measure, step(t, p, "thread/finish/size2").Measure
	if (small.Max-20442500*calc.Nanometre).Abs() > um || (small.Max-small.Min-112500*calc.Nanometre).Abs() > um {
		t.Errorf("the small end is %s to %s", small.Min, small.Max)
	}
	if (large.Min-21267500*calc.Nanometre).Abs() > um || large.Max-large.Min != 100*um {
		t.Errorf("the cylinder is %s to %s", large.Min, large.Max)
	}
}

// Without a groove the thread fades out on the cylinder, and the plan says where; a
// section too short for that is refused with the length and the groove that would do.
func TestTaperThreadFadesOut(t *testing.T) {
	j, l := read(t, "bleed-screw", "toolroom")
	p := plan(t, j, l, sequence.Readings{})
	cut := step(t, p, "thread/thread/pass1/cut")
	if cut.RunsInto != sequence.IntoAir || !strings.Contains(cut.Why, "out of the metal") {
		t.Errorf("runs into %q: %s", cut.RunsInto, cut.Why)
	}
	j.Sections[0].Length.Nominal, j.Sections[0].Length.Min, j.Sections[0].Length.Max = 24*mm, 23800*um, 24200*um
	_, err := planner.Plan(j, l, sequence.Readings{})
	if err == nil || !strings.Contains(err.Error(), "fades out") || !strings.Contains(err.Error(), "undercut = {") || !strings.Contains(err.Error(), "length = ") {
		t.Errorf("too short: %v", err)
	}
}

package bench

import (
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// at is the step of that id; a test with a wrong id must fail.
func at(t *testing.T, p *sequence.Plan, id string) *sequence.Step {
	t.Helper()
	i := p.Index(id)
	if i < 0 {
		t.Fatalf("the plan has no step %q", id)
	}
	return &p.Steps[i]
}

// drop takes move i out of a step.
func drop(s *sequence.Step, i int) {
	s.Moves = append(append([]sequence.Move{}, s.Moves[:i]...), s.Moves[i+1:]...)
}

// A mutation is a right plan with one thing broken, and who must be named.
type mutation struct {
	name  string
	rule  int
	step  string
	spoil func(t *testing.T, p *sequence.Plan)
}

func spigotMutations() []mutation {
	cut := func(to calc.Length) func(*testing.T, *sequence.Plan) {
		return func(t *testing.T, p *sequence.Plan) {
			at(t, p, "nose/rough1/cut").Moves[0] = feed(-2*mm, to)
			at(t, p, "nose/rough1/back").Moves[1] = hand(to, -2*mm)
		}
	}
	return []mutation{
		{"back without winding out", ToolClear, "nose/rough1/back", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "nose/rough1/back"), 0)
		}},
		{"depth set over the work", ToolClear, "collar/rough1/set", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "turn/touch"), 1)
		}},
		{"plunge without a feed into the work", ToolClear, "nose/shoulder/cut", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/shoulder/cut")
			m := s.Moves[0].(sequence.Plunge)
			m.PerRev = calc.Lead{}
			s.Moves[0] = m
		}},
		{"half-nuts shut and the carriage moved by hand", InStep, "nose/rough1/back", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/rough1/back")
			s.Moves = []sequence.Move{s.Moves[0], sequence.HalfNut{Closed: true}, s.Moves[1], sequence.HalfNut{}}
		}},
		{"dial from the wrong side", FromOneSide, "nose/finish2/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/finish2/set")
			m := s.Moves[0].(sequence.Shift)
			deep := m
			deep.X -= 200 * um
			deep.Dial = dialAt(smallLathe().Cross, (22*mm-deep.X)/2)
			m.Approach, m.Handle, m.Lash = sequence.Out, sequence.Anticlockwise, ratio(t, 1, 10)
			m.Dial.Reading -= 100 * um // the ring goes ahead by the slack
			s.Moves = []sequence.Move{deep, m}
		}},
		{"top slide in to less than where it stands", FromOneSide, "nose/shoulder/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/shoulder/set")
			m := s.Moves[0].(sequence.Shift)
			m.Z, m.Dial = 19600*um, dialAt(smallLathe().Top, -100*um)
			s.Moves[0] = m
		}},
		{"cut past the shoulder", WithinLimits, "nose/rough1/cut", cut(21 * mm)},
		{"tool into the jaws", WithinLimits, "nose/rough1/back", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/rough1/back")
			s.Moves = []sequence.Move{s.Moves[0], hand(19700*um, 58*mm), hand(58*mm, -2*mm)}
		}},
		{"too deep a cut", WithinPower, "nose/rough1/cut", func(t *testing.T, p *sequence.Plan) {
			// 20 to 17 mm in one: 1.5 mm deep, 1.2 mm is the most of a lathe of 500 W in
			// brass (depth_of_cut.csv).
			deepen(t, p, "nose/rough1", 1400*um)
		}},
		{"faster than the chuck may turn", WithinPower, "collar/finish1/check", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "collar/finish1/check")
			s.Moves = append([]sequence.Move{sequence.Spindle{Turn: sequence.Forward, RPM: 800 * calc.RPM}}, s.Moves...)
		}},
		{"faster than the tool stands", WithinPower, "part/cut", func(t *testing.T, p *sequence.Plan) {
			// 20 mm at 650 is 41 m/min, 38 is the most to part brass with HSS (speeds.csv).
			s := at(t, p, "part/tool")
			s.Moves[1] = sequence.Spindle{Turn: sequence.Forward, RPM: 650 * calc.RPM}
		}},
		{"parted with more feed than the motor drives", WithinPower, "part/cut", func(t *testing.T, p *sequence.Plan) {
			// Fc = 780 x 0.3^-0.18 x 0.3 x 2 x 1.56 x 1.3 = 1179 N, 11.8 N m; 375 W at 400 is 9.0.
			feedBy(t, p, "part/cut", 300*um)
		}},
		{"parted with more than the jaws hold", WithinPower, "part/cut", func(t *testing.T, p *sequence.Plan) {
			// 20.8 N m at 0.6 mm a turn; 0.2 x 8000 N on 22 mm is 17.6.
			s := at(t, p, "part/tool")
			s.Moves[1] = slow()
			feedBy(t, p, "part/cut", 600*um)
		}},
		{"measured with the spindle turning", Standing, "nose/finish1/check", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "nose/finish1/check"), 0)
		}},
		{"key left in the chuck", Standing, "face/start", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "hold"), 2)
		}},
		{"tool changed with the spindle turning", Standing, "nose/chamfer/tool", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/chamfer/tool")
			s.Moves = append([]sequence.Move{fwd}, s.Moves...)
		}},
		{"turned in reverse", NoReverseCut, "nose/rough1/cut", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/rough1/cut")
			s.Moves = []sequence.Move{stop, rev, s.Moves[0], stop, fwd}
		}},
		{"plunged in reverse", NoReverseCut, "nose/shoulder/cut", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/shoulder/cut")
			s.Moves = []sequence.Move{stop, rev, s.Moves[0], stop, fwd}
		}},
		{"no reading before the last cut", TwoEqualCuts, "collar/finish2/cut", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "collar/finish1/check")
			s.Measure, s.Needs = nil, sequence.NeedPress
		}},
		{"unequal last cuts", TwoEqualCuts, "nose/finish2/cut", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/finish1/set")
			m := s.Moves[0].(sequence.Shift)
			m.X += 200 * um
			m.Dial = dialAt(smallLathe().Cross, (22*mm-m.X)/2)
			s.Moves[0] = m
			b := at(t, p, "nose/finish1/back")
			o := b.Moves[0].(sequence.Shift)
			o.X += 200 * um
			o.Dial = dialAt(smallLathe().Cross, (22*mm-o.X)/2-100*um)
			b.Moves[0] = o
		}},
		{"last cut first", TwoEqualCuts, "nose/finish1/cut", func(t *testing.T, p *sequence.Plan) {
			for _, part := range []string{"set", "back"} {
				a, b := at(t, p, "nose/finish1/"+part), at(t, p, "nose/finish2/"+part)
				a.Moves = b.Moves
			}
		}},
		{"told when to stop", EyeDecides, "nose/rough1/cut", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "nose/rough1/cut").Cue = sequence.Cue{sequence.WordFeedTo, sequence.FullStop, "stop", "after", "12 turns"}
		}},
		{"counted down", EyeDecides, "nose/rough1/cut", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "nose/rough1/cut").Cue = sequence.Cue{"3", sequence.Comma, "2", sequence.Comma, "1"}
		}},
		{"handle the wrong way", Consistent, "nose/rough2/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/rough2/set")
			m := s.Moves[0].(sequence.Shift)
			m.Handle = sequence.Anticlockwise
			s.Moves[0] = m
		}},
		{"a division off on the ring", Consistent, "nose/rough2/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/rough2/set")
			m := s.Moves[0].(sequence.Shift)
			d := *m.Dial
			d.Reading += d.Division
			m.Dial = &d
			s.Moves[0] = m
		}},
		{"a turn off on the ring", Consistent, "nose/rough2/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/rough2/set")
			m := s.Moves[0].(sequence.Shift)
			d := *m.Dial
			d.Turns++
			m.Dial = &d
			s.Moves[0] = m
		}},
		{"carriage starts from elsewhere", Consistent, "nose/rough2/cut", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "nose/rough2/cut").Moves[0] = feed(-1*mm, 19700*um)
		}},
		{"slack forgotten", Consistent, "nose/rough2/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "nose/rough2/set")
			m := s.Moves[0].(sequence.Shift)
			m.Lash = calc.Ratio{}
			s.Moves[0] = m
		}},
		{"cut with a tool never zeroed", Consistent, "part/cut", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "part/touch"), 1)
			s := at(t, p, "part/stand")
			m := s.Moves[0].(sequence.Shift)
			m.Dial = nil
			s.Moves[0] = m
		}},
	}
}

// deepen sets a pass of the spigot deeper, on radius.
func deepen(t *testing.T, p *sequence.Plan, id string, by calc.Length) {
	t.Helper()
	for _, part := range []string{"/set", "/back"} {
		s := at(t, p, id+part)
		m := s.Moves[0].(sequence.Shift)
		m.X -= by
		slack := calc.Length(0)
		if part == "/back" {
			slack = smallLathe().Cross.Slack
		}
		m.Dial = dialAt(smallLathe().Cross, (22*mm-m.X)/2-slack)
		s.Moves[0] = m
	}
}

// feedBy feeds across by so much a turn.
func feedBy(t *testing.T, p *sequence.Plan, id string, feed calc.Length) {
	t.Helper()
	s := at(t, p, id)
	m := s.Moves[0].(sequence.Plunge)
	m.PerRev = calc.PerTurn(feed)
	s.Moves[0] = m
}

func sevenSixths(t *testing.T) calc.Lead {
	t.Helper()
	l, err := calc.PerTurn(mm).Times(ratio(t, 7, 6))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func ratio(t *testing.T, num, den int64) calc.Ratio {
	t.Helper()
	r, err := calc.NewRatio(num, den)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func studMutations() []mutation {
	return []mutation{
		{"retract left out", ToolClear, "stem/thread/pass3/return", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/thread/pass3/clear"), 0)
		}},
		{"reversed with the tool in, then retracted", ToolClear, "stem/thread/pass3/clear", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "stem/thread/pass3/clear")
			s.Moves = []sequence.Move{rev, s.Moves[0], stop}
		}},
		{"retract of a turn and a half", ToolClear, "stem/thread/pass3/clear", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "stem/thread/pass3/clear")
			m := s.Moves[0].(sequence.Shift)
			m.X, m.WholeTurns = m.X+mm, 0
			m.Dial = dialAt(smallLathe().Cross, (9880*um-m.X)/2-100*um)
			s.Moves[0] = m
		}},
		{"half-nuts opened between passes", InStep, "stem/thread/pass4/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "stem/thread/pass4/set")
			s.Moves = append(s.Moves, sequence.HalfNut{}, sequence.HalfNut{Closed: true})
		}},
		{"half-nuts opened, carriage wound back by hand", InStep, "stem/thread/pass4/return", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "stem/thread/pass4/return").Moves = []sequence.Move{sequence.HalfNut{}, hand(18500*um, -5*mm), sequence.HalfNut{Closed: true}}
		}},
		{"half-nuts never shut", InStep, "stem/thread/pass1/cut", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/thread/shut"), 0)
			p.Steps = p.Steps[:p.Index("stem/thread/pass1/cut")+1]
		}},
		{"return not past the slack", InStep, "stem/thread/pass3/return", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "stem/thread/pass3/return")
			back := s.Moves[1].(sequence.Carriage)
			back.To = -2 * mm
			s.Moves[1] = back
			c := at(t, p, "stem/thread/pass4/cut")
			cut := c.Moves[1].(sequence.Carriage)
			cut.From = -2 * mm
			c.Moves[1] = cut
		}},
		{"return with the spindle forward", InStep, "stem/thread/pass3/return", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "stem/thread/pass3/return").Moves[0] = slow()
		}},
		{"carriage wound back with the half-nuts shut", InStep, "stem/thread/pass3/return", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "stem/thread/pass3/return").Moves = []sequence.Move{hand(18500*um, -5*mm)}
		}},
		{"top slide moved between passes", InStep, "stem/thread/pass5/cut", func(t *testing.T, p *sequence.Plan) {
			for i := p.Index("stem/thread/pass5/cut"); i < len(p.Steps); i++ {
				for k, m := range p.Steps[i].Moves {
					if c, ok := m.(sequence.Carriage); ok {
						c.From, c.To = c.From+200*um, c.To+200*um
						p.Steps[i].Moves[k] = c
					}
				}
			}
			g := at(t, p, "stem/thread/pass5/set")
			g.Moves = append(g.Moves, sequence.Shift{Slide: sequence.Top, Z: -4800 * um, Approach: sequence.In})
		}},
		{"thread pass brought up from the wrong side", FromOneSide, "stem/thread/pass4/set", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "stem/thread/pass4/set")
			m := s.Moves[0].(sequence.Shift)
			deep := m
			deep.X -= 200 * um
			deep.Dial = dialAt(smallLathe().Cross, (9880*um-deep.X)/2)
			m.Approach, m.Handle, m.Lash = sequence.Out, sequence.Anticlockwise, ratio(t, 1, 10)
			m.Dial.Reading -= 100 * um // the ring goes ahead by the slack
			s.Moves = []sequence.Move{deep, m}
		}},
		{"undercut left out", WithinLimits, "stem/thread/pass1/cut", func(t *testing.T, p *sequence.Plan) {
			for _, id := range []string{"cut1", "out1", "cut2", "out2"} {
				s := at(t, p, "stem/undercut/"+id)
				for i := len(s.Moves) - 1; i >= 0; i-- {
					if _, ok := s.Moves[i].(sequence.Plunge); ok {
						drop(s, i)
					}
				}
			}
		}},
		{"undercut not deep enough", WithinLimits, "stem/thread/pass1/cut", func(t *testing.T, p *sequence.Plan) {
			for _, n := range []string{"1", "2"} {
				in, out := at(t, p, "stem/undercut/cut"+n), at(t, p, "stem/undercut/out"+n)
				m, o := in.Moves[0].(sequence.Plunge), out.Moves[0].(sequence.Plunge)
				m.To, o.From = 8800*um, 8800*um
				m.Dial = dialAt(smallLathe().Cross, (9880*um-m.To)/2)
				in.Moves[0], out.Moves[0] = m, o
			}
		}},
		{"undercut not wide enough", WithinLimits, "stem/thread/pass1/cut", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/undercut/cut1"), 0)
			drop(at(t, p, "stem/undercut/out1"), 0)
		}},
		{"groove beside its place", WithinLimits, "stem/undercut/stand", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "stem/undercut/stand")
			in := at(t, p, "stem/undercut/cut1").Moves[0].(sequence.Plunge)
			out := at(t, p, "stem/undercut/out1").Moves[0].(sequence.Plunge)
			in.Z, out.Z = 12*mm, 12*mm
			s.Moves = []sequence.Move{s.Moves[0], hand(10*mm, 12*mm), in, out, hand(12*mm, 19*mm)}
		}},
		{"thread runs past the groove", WithinLimits, "stem/thread/pass6/cut", func(t *testing.T, p *sequence.Plan) {
			c, r := at(t, p, "stem/thread/pass6/cut"), at(t, p, "stem/thread/pass6/return")
			cut, back := c.Moves[1].(sequence.Carriage), r.Moves[1].(sequence.Carriage)
			cut.To, back.From = 19800*um, 19800*um
			c.Moves[1], r.Moves[1] = cut, back
		}},
		{"thread stops before the groove", WithinLimits, "stem/thread/pass6/cut", func(t *testing.T, p *sequence.Plan) {
			c, r := at(t, p, "stem/thread/pass6/cut"), at(t, p, "stem/thread/pass6/return")
			cut, back := c.Moves[1].(sequence.Carriage), r.Moves[1].(sequence.Carriage)
			cut.To, back.From = 15*mm, 15*mm
			c.Moves[1], r.Moves[1] = cut, back
		}},
		{"threaded faster than it can be stopped", WithinPower, "stem/thread/pass5/cut", func(t *testing.T, p *sequence.Plan) {
			// 1 mm x (200/60 x 0.6 s + 0.5 x 4 turns) = 4 mm; 3 - 1.2 - 0.5 = 1.3 mm of room.
			s := at(t, p, "stem/thread/pass5/cut")
			s.Moves[0] = sequence.Spindle{Turn: sequence.Forward, RPM: 200 * calc.RPM}
		}},
		{"gears changed with the supply on", Standing, "stem/gears/fit", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/gears/isolate"), 0)
		}},
		{"gears changed through a shut cover", Standing, "stem/gears/fit", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/gears/open"), 0)
		}},
		{"started with the cover open", Standing, "stem/thread/tool", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/gears/shut"), 0)
		}},
		{"started with the supply isolated", Standing, "stem/thread/tool", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/gears/power"), 0)
		}},
		{"reversed without standing still", Standing, "stem/thread/pass3/return", func(t *testing.T, p *sequence.Plan) {
			drop(at(t, p, "stem/thread/pass3/cut"), 2)
		}},
		{"gauge with the spindle turning", Standing, "stem/thread/gauge", func(t *testing.T, p *sequence.Plan) {
			s := at(t, p, "stem/thread/gauge")
			s.Moves = append([]sequence.Move{slow()}, s.Moves...)
		}},
		{"thread cut in reverse", NoReverseCut, "stem/thread/pass3/cut", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "stem/thread/pass3/cut").Moves[0] = rev
		}},
		{"gears that cut another lead", ToSize, "stem/thread/pass1/cut", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "stem/gears/fit").Moves[0] = sequence.Gears{Drivers: []int{60, 35}, Driven: []int{45, 60}, Lead: sevenSixths(t)}
		}},
		{"gears said to cut what they do not", Consistent, "stem/gears/fit", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "stem/gears/fit").Moves[0] = sequence.Gears{Drivers: []int{60, 35}, Driven: []int{45, 60}, Lead: calc.PerTurn(mm)}
			p.Steps = p.Steps[:p.Index("stem/gears/fit")+1]
		}},
		{"a wheel used twice", Consistent, "stem/gears/fit", func(t *testing.T, p *sequence.Plan) {
			at(t, p, "stem/gears/fit").Moves[0] = sequence.Gears{Drivers: []int{60, 30}, Driven: []int{45, 60}, Idlers: []int{45}, Lead: calc.PerTurn(mm)}
		}},
	}
}

func TestMutationsAreNamed(t *testing.T) {
	run := func(m mutation, plan *sequence.Plan, j *job.Job, l *job.Lathe) {
		t.Run(m.name, func(t *testing.T) {
			m.spoil(t, plan)
			r := Run(plan, j, l)
			if len(r.Broken) != 1 || r.Broken[0].Rule != m.rule || r.Broken[0].StepID != m.step {
				t.Errorf("want rule %d at %s and nothing else, got:\n%v", m.rule, m.step, r.Err())
			}
		})
	}
	named := map[int]bool{}
	for _, m := range spigotMutations() {
		l := smallLathe()
		named[m.rule] = true
		run(m, spigotPlan(l), spigot(), l)
	}
	for _, m := range studMutations() {
		l := smallLathe()
		named[m.rule] = true
		run(m, studPlan(l, studDepths...), stud(), l)
	}
	for rule := Consistent; rule <= EyeDecides; rule++ {
		if !named[rule] {
			t.Errorf("no plan breaks rule %d", rule)
		}
	}
}

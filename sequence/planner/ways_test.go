package planner_test

import (
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/gear"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// spoilt is [TestBothSeeWhatIsWrong] for another part.
func spoilt(t *testing.T, j *job.Job, l *job.Lathe, spoilings []spoiling) {
	t.Helper()
	if wrong, broken := opinion(t, plan(t, j, l, sequence.Readings{}), j, l); len(wrong)+len(broken) > 0 {
		t.Fatalf("the right plan: %v %v", wrong, broken)
	}
	for _, s := range spoilings {
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

// turned makes a step's spindle turn the other way.
func turned(id string) func(*testing.T, *sequence.Plan) {
	return change(id, func(m *sequence.Spindle) {
		switch m.Turn {
		case sequence.Forward:
			m.Turn = sequence.Reverse
		case sequence.Reverse:
			m.Turn = sequence.Forward
		}
	})
}

func TestLeftHandSpoilt(t *testing.T) {
	j, l := read(t, "left-stud", "bench")
	at := func(m *sequence.Carriage, by calc.Length) { m.From += by }
	spoilt(t, j, l, []spoiling{
		{"leadscrew the right-hand way", bench.ToSize, change("s1/gears/fit", func(m *sequence.Gears) { m.Backward = false })},
		{"back with the spindle forward", bench.InStep, turned("s1/thread/pass3/return")},
		{"not cleared", bench.ToolClear, gone("s1/thread/pass3/clear")},
		{"starts before the groove", bench.WithinLimits, all(
			change("s1/thread/pass2/return", func(m *sequence.Carriage) { m.To -= 4 * mm }),
			change("s1/thread/pass3/cut", func(m *sequence.Carriage) { at(m, -4*mm) }))},
		{"half-nuts opened between passes", bench.InStep, put("s1/thread/pass4/set", sequence.HalfNut{}, sequence.HalfNut{Closed: true})},
		{"stops before the end", bench.InStep, all(
			change("s1/thread/pass3/cut", func(m *sequence.Carriage) { m.To = 2 * mm }),
			change("s1/thread/pass3/return", func(m *sequence.Carriage) { m.From = 2 * mm }))},
		{"too deep", bench.ToSize, deeper("s1/thread/spring1/set", "s1/thread/spring1/clear", 200*um)},
	})
}

// A withdrawal that clears the thread but not the collar behind the groove is seen: the
// way back runs on over it.
func TestLeftHandClearOfTheCollar(t *testing.T) {
	j, l := read(t, "left-stud", "bench")
	p := plan(t, j, l, sequence.Readings{})
	for i := range p.Steps {
		if s := &p.Steps[i]; strings.HasSuffix(s.ID, "thread/pass2/clear") {
			m := s.Moves[0].(sequence.Shift)
			d := *m.Dial
			m.WholeTurns, d.Turns = m.WholeTurns-1, d.Turns+1
			m.X, m.Dial = m.X-2*l.Cross.Travel, &d
			s.Moves[0] = m
		}
	}
	r := bench.Run(p, j, l)
	if !slices.ContainsFunc(r.Broken, func(b bench.Break) bool { return b.Rule == bench.ToolClear && b.StepID == "s1/thread/pass2/return" }) {
		t.Error(r.Err())
	}
}

func TestAwaySpoilt(t *testing.T) {
	j, l := read(t, "feeler-post", "electronic")
	spoilt(t, j, l, []spoiling{
		{"tool the right way up", bench.Consistent, change("thread/tool", func(m *sequence.Mount) { m.UpsideDown = false })},
		{"cut forward", bench.InStep, turned("s1/thread/pass3/cut")},
		{"back in reverse", bench.InStep, turned("s1/thread/pass3/return")},
		{"forward with the tool in", bench.ToolClear, put("s1/thread/pass3/clear", sequence.Spindle{Turn: sequence.Forward, RPM: 70 * calc.RPM})},
		{"not cleared", bench.ToolClear, gone("s1/thread/pass3/clear")},
	})
	p := plan(t, j, l, sequence.Readings{})
	l.Chuck = job.ChuckScrewed
	if r := bench.Run(p, j, l); !slices.ContainsFunc(r.Broken, func(b bench.Break) bool { return b.Rule == bench.NoReverseCut }) {
		t.Errorf("cut in reverse with a screwed chuck: %v", r.Err())
	}
	if q := plan(t, j, l, sequence.Readings{}); q.Index("s1/thread/crank") < 0 {
		t.Error("with a screwed chuck it is not cranked")
	}
}

func TestDialSpoilt(t *testing.T) {
	j, l := read(t, "tripod-screw", "toolroom")
	line := func(n ...int) func(*sequence.HalfNut) {
		return func(m *sequence.HalfNut) {
			if m.Closed {
				m.Marks.Lines = n
			}
		}
	}
	spoilt(t, j, l, []spoiling{
		{"another line", bench.InStep, change("s1/thread/pass3/cut", line(2))},
		{"one line too many", bench.InStep, change("s1/thread/pass3/cut", line(1, 3, 6))},
		{"any line", bench.InStep, change("s1/thread/pass3/cut", line(1, 2, 3, 4, 5, 6, 7, 8, 9, 10))},
		{"no line", bench.InStep, change("s1/thread/pass3/cut", line())},
		{"not opened", bench.InStep, func(t *testing.T, p *sequence.Plan) {
			s := step(t, p, "s1/thread/pass3/cut")
			s.Moves = s.Moves[:2]
		}},
		{"not shut", bench.InStep, func(t *testing.T, p *sequence.Plan) {
			s := step(t, p, "s1/thread/pass3/cut")
			s.Moves = s.Moves[1:]
		}},
		{"not cleared", bench.ToolClear, gone("s1/thread/pass3/clear")},
	})
}

// The lines of a dial as the rows C086 to C097 have them, now in a plan: the lines said
// are those, and where there are none the half-nuts stay shut.
func TestDialLines(t *testing.T) {
	for _, c := range []struct {
		id, screw, thread string
		wheel, lines      int
		want              []int // none: stays shut
		anywhere          bool
	}{
		{"C086", "16 tpi", "9/16-18 UNF-2A", 16, 8, []int{1, 5}, false},
		{"C089", "16 tpi", "1-20 UNEF-2A", 16, 8, []int{1, 3, 5, 7}, false},
		{"C092", "8 tpi", "5/8-16 UN-2A", 16, 8, []int{1, 2, 3, 4, 5, 6, 7, 8}, true},
		{"C094", "8 tpi", "M12x1-6g", 16, 8, nil, false},
		{"C097", "8 tpi", "7/16-14 UNC-2A", 35, 8, nil, false},
	} {
		t.Run(c.id, func(t *testing.T) {
			_, l := read(t, "inch-pin", "inch16")
			lead, err := calc.ParseLead(c.screw)
			if err != nil {
				t.Fatal(err)
			}
			l.Leadscrew, l.Reverse, l.Chuck = lead, job.ReverseMotor, job.ChuckBolted
			l.Wheels = append(l.Wheels, 20, 36, 127)
			slices.Sort(l.Wheels)
			l.Dial = dial(c.wheel, c.lines)
			j, err := job.ParseJob("case.toml", "part = \"case\"\nmaterial = \"free-machining steel\"\nbar = \"1-1/4 in\"\nstickout = \"3 in\"\npart_off = false\ntip = \"radius 0.1 mm\"\n"+
				"[[section]]\nthread = \""+c.thread+"\"\nlength = \"1 in\"\nundercut = { width = \"0.25 in\", diameter = \""+groove(c.thread)+"\" }\n[[section]]\nas_bar = true\nlength = \"1/2 in\"\n")
			if err != nil {
				t.Fatal(err)
			}
			p, err := planner.Plan(j, l, sequence.Readings{})
			if err != nil {
				t.Fatal(err)
			}
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Fatal(err)
			}
			var got []sequence.Marks
			for i := range p.Steps {
				for _, m := range p.Steps[i].Moves {
					if m, ok := m.(sequence.HalfNut); ok && m.Closed {
						got = append(got, m.Marks)
					}
				}
			}
			if c.want == nil && (len(got) != 1 || !got[0].None()) || c.want != nil && len(got) < 3 {
				t.Fatalf("shut %d times, on %v", len(got), got)
			}
			for _, m := range got {
				if !slices.Equal(m.Lines, c.want) || m.Anywhere != c.anywhere {
					t.Errorf("shut on %+v", m)
				}
			}
		})
	}
}

func dial(wheel, lines int) *gear.ThreadDial { return &gear.ThreadDial{Wheel: wheel, Lines: lines} }

// groove is a diameter well below the root of a thread of the cases.
func groove(thread string) string {
	switch {
	case strings.HasPrefix(thread, "1-20"):
		return "0.92 ±0.005 in"
	case strings.HasPrefix(thread, "9/16"):
		return "0.47 ±0.005 in"
	case strings.HasPrefix(thread, "5/8"):
		return "0.53 ±0.005 in"
	case strings.HasPrefix(thread, "M12"):
		return "10.4 ±0.1 mm"
	}
	return "0.325 ±0.005 in"
}

// What was asked for is done or refused with the reason and a remedy.
func TestWayAsked(t *testing.T) {
	for _, c := range []struct {
		job, lathe string
		way        job.Way
		alter      func(*job.Job, *job.Lathe)
		refused    string // "" where it is done
	}{
		{"foot", "bench", job.WayCrank, nil, ""},
		{"foot", "bench", job.WayReverse, nil, ""},
		{"foot", "bench", job.WayDial, nil, "no threading dial"},
		{"foot", "bench", job.WayAway, nil, "upside down"},
		{"foot", "inch16", job.WayReverse, nil, "no reverse"},
		{"foot", "inch16", job.WayAway, nil, "screwed chuck"},
		{"feeler-post", "electronic", job.WayReverse, nil, "to stop in"},
		{"feeler-post", "electronic", job.WayAway, nil, ""},
		{"left-stud", "bench", job.WayAway, nil, "as it is"},
		{"left-stud", "toolroom", job.WayDial, nil, "starts in the groove"},
		{"m8x1-inch-lathe", "inch16", job.WayDial, func(_ *job.Job, l *job.Lathe) { l.Dial = dial(16, 8) }, "no line"},
		{"tripod-screw", "toolroom", job.WayReverse, nil, ""},
	} {
		j, l := read(t, c.job, c.lathe)
		if c.alter != nil {
			c.alter(j, l)
		}
		j.Threading = c.way
		p, err := planner.Plan(j, l, sequence.Readings{})
		switch {
		case c.refused == "" && err != nil:
			t.Errorf("%s %s: %v", c.job, c.way, err)
		case c.refused == "":
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Errorf("%s %s: %v", c.job, c.way, err)
			}
		case err == nil || !strings.Contains(err.Error(), c.refused) || !strings.Contains(err.Error(), "hint:"):
			t.Errorf("%s %s on %s: %v", c.job, c.way, c.lathe, err)
		}
	}
}

// C117: a left-hand outside thread on a lathe without a tumbler has one idler more, or
// an odd number of meshes however it comes about, and starts in its groove with the
// spindle forward.
func TestC117(t *testing.T) {
	j, l := read(t, "left-stud", "bench")
	l.Tumbler = false
	p := plan(t, j, l, sequence.Readings{})
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	g := step(t, p, "s1/gears/fit").Moves[0].(sequence.Gears)
	if (len(g.Drivers)+len(g.Idlers))%2 != 1 || !g.Backward {
		t.Errorf("gears %+v", g)
	}
	j.Sections[0].Thread.LeftHand = false
	right := step(t, plan(t, j, l, sequence.Readings{}), "s1/gears/fit").Moves[0].(sequence.Gears)
	if n := len(g.Drivers) + len(g.Idlers) - len(right.Drivers) - len(right.Idlers); n != 1 && n != -1 {
		t.Errorf("a left-hand train of %+v, a right-hand one of %+v", g, right)
	}
	s := step(t, p, "s1/thread/pass1/cut")
	if along := s.Moves[1].(sequence.Carriage); s.Moves[0].(sequence.Spindle).Turn != sequence.Forward || along.To >= along.From || along.From > 18*mm || along.From < 14*mm {
		t.Errorf("%+v", s.Moves)
	}
}

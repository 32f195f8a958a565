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

func TestStartsSpoilt(t *testing.T) {
	j, l := read(t, "press-screw", "toolroom")
	spoilt(t, j, l, []spoiling{
		{"half a pitch on", bench.InStep, all(
			change("s1/thread/start2/index", func(m *sequence.Shift) {
				m.Z -= 2 * mm
				d := *m.Dial
				d.Turns--
				m.Dial = &d
			}))},
		{"top slide brought back to the place", bench.FromOneSide, change("s1/thread/start2/index", func(m *sequence.Shift) { m.Approach = sequence.Out })},
		{"tool for another thread", bench.ToSize, change("thread/tool", func(m *sequence.Mount) { m.Angle = 60 * calc.Degree })},
		{"gears for the pitch", bench.ToSize, change("s1/gears/fit", func(m *sequence.Gears) { m.Drivers, m.Driven, m.Lead = []int{80}, []int{60}, calc.PerTurn(4*mm) })},
		{"second start not deep enough", bench.ToSize, func(t *testing.T, p *sequence.Plan) {
			from, to := p.Index("s1/thread/start2/pass3/set"), p.Index("s1/thread/gauge1")
			p.Steps = append(p.Steps[:from], p.Steps[to:]...)
			for i := range p.Steps {
				p.Steps[i].N = i + 1
			}
		}},
	})
}

// C112, C113: gears for the lead, depth from the pitch, the next start one pitch on by
// the top slide, the half-nuts shut throughout.
func TestStartsCases(t *testing.T) {
	for _, c := range []struct {
		id, screw, thread, width, groove string
		lead, shift                      calc.Length
		starts                           int
	}{
		{"C112", "1.5 mm", "M20xPh4P1-6g", "6 mm", "18.2 ±0.1 mm", 4 * mm, mm, 4},
		{"C113", "8 tpi", "1-8 UNC-2A 2 starts", "10 mm", "0.80 ±0.005 in", calc.Inch / 4, calc.Inch / 8, 2},
	} {
		t.Run(c.id, func(t *testing.T) {
			_, l := read(t, "foot", "bench")
			if strings.HasSuffix(c.screw, "tpi") {
				_, l = read(t, "inch-pin", "inch16")
			}
			l.Leadscrew = lead(t, c.screw)
			l.Wheels = append(l.Wheels, 80)
			p := made(t, "bar = \"30 mm\"\nstickout = \"90 mm\"\npart_off = false\ntip = \"radius 0.1 mm\"\nthreading = \"crank\"\n",
				"[[section]]\nthread = \""+c.thread+"\"\nlength = \"40 mm\"\nundercut = { width = \""+c.width+"\", diameter = \""+c.groove+"\" }\n[[section]]\ndiameter = \"29 mm\"\nlength = \"8 mm\"\n", l)
			if g := step(t, p, "s1/gears/fit").Moves[0].(sequence.Gears); g.Lead != calc.PerTurn(c.lead) {
				t.Errorf("gears for %s", g.Lead)
			}
			at, n := calc.Length(0), 1
			for i := range p.Steps {
				s := &p.Steps[i]
				for _, m := range s.Moves {
					if m, ok := m.(sequence.Carriage); ok && m.By == sequence.ByHalfNut && m.Cutting && s.Pass == 1 {
						if at != 0 && m.From != at {
							if off := (m.From - at - c.shift).Abs(); off > 500 {
								t.Errorf("start %d lies %s on", n+1, m.From-at)
							}
							n++
						}
						at = m.From
					}
				}
			}
			if n != c.starts {
				t.Errorf("%d starts", n)
			}
		})
	}
}

// A tight gauge takes one more pass along every start.
func TestOneMoreForEveryStart(t *testing.T) {
	j, l := read(t, "press-screw", "toolroom")
	p := plan(t, j, l, sequence.Readings{Fits: map[string]sequence.Fit{"s1/thread/gauge1": sequence.Tight, "s1/thread/gauge2": sequence.Tight}})
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"s1/thread/more1/start2/cut", "s1/thread/more1/start1/cut", "s1/thread/more2/start1/cut", "s1/thread/more2/start2/cut"} {
		if p.Index(id) < 0 {
			t.Errorf("no %s", id)
		}
	}
}

func lead(t *testing.T, text string) calc.Lead {
	t.Helper()
	v, err := calc.ParseLead(text)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func ratio(t *testing.T, n, d int64) calc.Ratio {
	t.Helper()
	r, err := calc.NewRatio(n, d)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A thread of 60 degrees is not cut with a tool of 55, the only one listed.
func TestThreadWithoutItsTool(t *testing.T) {
	j, l := read(t, "foot", "toolroom")
	l.Tools = slices.DeleteFunc(l.Tools, func(o job.Tool) bool { return o.Kind == job.KindThreading && o.Angle != 55*calc.Degree })
	if _, err := planner.Plan(j, l, sequence.Readings{}); err == nil || !strings.Contains(err.Error(), "no threading tool with flanks of 60 deg") {
		t.Error(err)
	}
}

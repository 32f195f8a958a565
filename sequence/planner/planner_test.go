package planner_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

const (
	mm = calc.Millimetre
	um = calc.Micrometre
)

// read parses a job and a lathe of the tests.
func read(t testing.TB, jobName, latheName string) (*job.Job, *job.Lathe) {
	t.Helper()
	text := func(parts ...string) (string, string) {
		path := filepath.Join(append([]string{"../../testdata"}, parts...)...)
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return path, string(b)
	}
	j, err := job.ParseJob(text("jobs", jobName+".toml"))
	if err != nil {
		t.Fatal(err)
	}
	l, err := job.ParseLathe(text("lathes", latheName+".toml"))
	if err != nil {
		t.Fatal(err)
	}
	return j, l
}

func plan(t testing.TB, j *job.Job, l *job.Lathe, r sequence.Readings) *sequence.Plan {
	t.Helper()
	p, err := planner.Plan(j, l, r)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func step(t testing.TB, p *sequence.Plan, id string) *sequence.Step {
	t.Helper()
	i := p.Index(id)
	if i < 0 {
		t.Fatalf("no step %s", id)
	}
	return &p.Steps[i]
}

// Common practice: M10x1-6g is turned to the middle of 9.794 and 9.974 (ISO 965-1),
// 9.884 mm; with a tip of H/6 it is about 0.6 mm deep from there, in passes of about
// 0.1 mm on a small lathe; from a screw of 1.5 mm the gears are 2 to 3; between the
// passes the tool goes out one full turn and the half-nuts stay shut.
func TestM10Fine(t *testing.T) {
	j, l := read(t, "m10x1", "bench")
	l.Power = 350 // a small lathe
	p := plan(t, j, l, sequence.Readings{})
	size := step(t, p, "s1/finish/size2").Measure
	if size.Nominal != 9884*um || size.Min != 9794*um || size.Max != 9974*um || !size.Final {
		t.Errorf("turned to %s (%s to %s)", size.Nominal, size.Min, size.Max)
	}
	var depths []calc.Length
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.Op != sequence.OpThread {
			continue
		}
		for _, m := range s.Moves {
			switch m := m.(type) {
			case sequence.Shift:
				if s.Phase == sequence.PhaseClear && (m.WholeTurns != 1 || m.Approach != sequence.Out) {
					t.Errorf("%s: out %d turns", s.ID, m.WholeTurns)
				}
				if s.Phase == sequence.PhaseSet && strings.Contains(s.ID, "/pass") {
					depths = append(depths, (9884*um-m.X)/2)
				}
			case sequence.HalfNut:
				if !m.Closed && s.ID != "s1/thread/open" {
					t.Errorf("%s opens the half-nuts", s.ID)
				}
			}
		}
	}
	last := depths[len(depths)-1]
	if last < 580*um || last > 620*um {
		t.Errorf("thread %s deep, want about 0.6 mm", last)
	}
	if mean := last / calc.Length(len(depths)); mean < 70*um || mean > 130*um {
		t.Errorf("%d passes, %s each, want about 0.1 mm", len(depths), mean)
	}
	for _, m := range step(t, p, "s1/gears/fit").Moves {
		if g, ok := m.(sequence.Gears); ok && g.Lead != calc.PerTurn(mm) {
			t.Errorf("gears cut %s", g.Lead)
		}
	}
}

// Common practice: a run-out of 0.01 mm is accepted, 0.1 mm is not.
func TestRunOut(t *testing.T) {
	j, l := read(t, "foot", "bench")
	m := step(t, plan(t, j, l, sequence.Readings{}), "setup/true").Measure
	if !m.Final || m.Max < 10*um || m.Max >= 100*um {
		t.Errorf("run-out of up to %s is accepted", m.Max)
	}
}

// The same job planned twice is the same plan, byte for byte.
func TestPlanIsAFunction(t *testing.T) {
	j, l := read(t, "foot", "bench")
	a, err := json.Marshal(plan(t, j, l, sequence.Readings{}))
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(plan(t, j, l, sequence.Readings{}))
	if err != nil {
		t.Fatal(err)
	}
	if string(a) != string(b) {
		t.Error("two plans of one job differ")
	}
}

// A reading changes only steps after it, in its own section.
func TestReadingChangesItsSectionOnly(t *testing.T) {
	j, l := read(t, "foot", "bench")
	before := plan(t, j, l, sequence.Readings{})
	at := before.Index("s1/finish/size1")
	nominal := before.Steps[at].Measure.Nominal
	after := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s1/finish/size1": nominal + 40*um}})
	changed := 0
	for i := range before.Steps {
		a, b := before.Steps[i], after.Steps[after.Index(before.Steps[i].ID)]
		if i == at {
			continue // it carries the reading itself
		}
		x, _ := json.Marshal(sequence.Plan{Steps: []sequence.Step{a}})
		y, _ := json.Marshal(sequence.Plan{Steps: []sequence.Step{b}})
		if string(x) == string(y) {
			continue
		}
		changed++
		if i < at || a.Section != "s1" {
			t.Errorf("step %d %s changed:\n%s\n%s", a.N, a.ID, x, y)
		}
	}
	if changed == 0 {
		t.Error("the reading changed nothing")
	}
}

// After a reading the last cut takes what is left: the ring goes on by half of it.
func TestLastCutFollowsTheReading(t *testing.T) {
	j, l := read(t, "foot", "bench")
	ring := func(p *sequence.Plan, id string) calc.Length {
		for _, m := range step(t, p, id).Moves {
			if s, ok := m.(sequence.Shift); ok && s.Approach == sequence.In {
				return l.Cross.Position(s.Dial.Turns, s.Dial.Reading)
			}
		}
		t.Fatalf("%s has no setting", id)
		return 0
	}
	for _, off := range []calc.Length{-60 * um, 0, 20 * um, 60 * um, 100 * um} {
		p := plan(t, j, l, sequence.Readings{})
		m := step(t, p, "s2/finish/size1").Measure
		got := m.Nominal + off
		p = plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s2/finish/size1": got}})
		move := ring(p, "s2/finish/pass3/set") - ring(p, "s2/finish/pass2/set")
		left := (got - j.Sections[1].Diameter.Mid()) / 2
		if d := (move - left).Abs(); d > l.Cross.Division()/2 {
			t.Errorf("read %s: the ring goes on %s for %s left on radius", got, move, left)
		}
	}
}

// A size still over its limit is cut again; one under it is not cut at all.
func TestOverAndUnderSize(t *testing.T) {
	j, l := read(t, "foot", "bench")
	over := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s2/finish/size2": 16050 * um}})
	if over.Index("s2/finish/pass4/cut") < 0 || over.Index("s2/finish/size3") < 0 {
		t.Error("16.05 for 16 h9 is not cut again")
	}
	under := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s2/finish/size2": 15900 * um}})
	if under.Index("s2/finish/pass4/cut") >= 0 {
		t.Error("15.9 for 16 h9 is cut again")
	}
}

// A groove that is not deep enough yet is cut again and measured again.
func TestShallowGrooveIsCutAgain(t *testing.T) {
	j, l := read(t, "foot", "bench")
	r := sequence.Readings{Lengths: map[string]calc.Length{"s1/undercut/size": 9480 * um}}
	p := plan(t, j, l, r)
	if p.Index("s1/undercut/again1/pass3/cut") < 0 || !step(t, p, "s1/undercut/size2").Measure.Final {
		t.Error("a groove of 9.48 for at most 9.4 is not cut again")
	}
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Error(err)
	}
}

// A reading far from what was planned is approached by equal cuts again, with another
// reading before the last.
func TestFarReadingIsSplitAgain(t *testing.T) {
	j, l := read(t, "foot", "bench")
	m := step(t, plan(t, j, l, sequence.Readings{}), "s2/finish/size1").Measure
	p := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{"s2/finish/size1": m.Nominal + 400*um}})
	if s := step(t, p, "s2/finish/size2"); s.Measure.Final {
		t.Error("the cut after a far reading is taken for the last")
	}
	if s := step(t, p, "s2/finish/size3"); !s.Measure.Final {
		t.Error("the last reading is not final")
	}
}

// A tight gauge adds small passes up to the depth at which the thread would be too
// thin, and no further.
func TestTightGaugeStaysInsideTheWindow(t *testing.T) {
	j, l := read(t, "foot", "bench")
	r := sequence.Readings{Fits: map[string]sequence.Fit{}}
	for k := 1; ; k++ {
		p, err := planner.Plan(j, l, r)
		if err != nil {
			if !strings.Contains(err.Error(), "still tight") || k < 2 {
				t.Fatalf("after %d answers: %v", k, err)
			}
			return
		}
		id := "s1/thread/gauge" + string(rune('0'+k))
		step(t, p, id)
		if k > 1 {
			if res := bench.Run(p, j, l); res.Err() != nil {
				t.Fatalf("after %d answers: %v", k-1, res.Err())
			}
		}
		r.Fits[id] = sequence.Tight
		if k > 9 {
			t.Fatal("tight for ever")
		}
	}
}

// Every example plan passes the bench, with and without readings that miss by a
// little.
func TestPlansPassTheBench(t *testing.T) {
	for _, c := range [][2]string{
		{"foot", "bench"}, {"m10x1", "bench"}, {"m12x1-shoulder", "bench"}, {"m10x1", "micro"},
		{"inch-pin", "bench"}, {"inch-pin", "inch16"}, {"m8x1-inch-lathe", "inch16"}, {"slender-pin-centre", "bench"},
	} {
		t.Run(c[0]+" on "+c[1], func(t *testing.T) {
			j, l := read(t, c[0], c[1])
			r := sequence.Readings{Lengths: map[string]calc.Length{}}
			for {
				p := plan(t, j, l, r)
				if err := bench.Run(p, j, l).Err(); err != nil {
					t.Fatalf("after %d readings: %v", len(r.Lengths), err)
				}
				next := ""
				for i := range p.Steps {
					if s := &p.Steps[i]; s.Needs == sequence.NeedReading && s.Measure.Got == nil {
						next = s.ID
						off := s.Measure.Division * calc.Length(1+len(r.Lengths)%2)
						if s.Measure.What == sequence.MeasureRunOut || s.Measure.Final {
							off = 0
						}
						r.Lengths[next] = s.Measure.Nominal + off
						break
					}
				}
				if next == "" {
					return
				}
			}
		})
	}
}

// A slender pin is refused without a centre, and the refusal says what would do.
func TestSlenderPin(t *testing.T) {
	j, l := read(t, "slender-pin", "bench")
	_, err := planner.Plan(j, l, sequence.Readings{})
	if err == nil || !strings.Contains(err.Error(), `support = "centre"`) {
		t.Errorf("refusal: %v", err)
	}
	j, l = read(t, "slender-pin-centre", "bench")
	p := plan(t, j, l, sequence.Readings{})
	if p.Index("centre/support") < 0 {
		t.Error("no centre is brought up")
	}
}

// Without a reverse the spindle is cranked by hand, with the power away from before
// the crank goes in until after it is out.
func TestHandCrank(t *testing.T) {
	j, l := read(t, "m8x1-inch-lathe", "inch16")
	p := plan(t, j, l, sequence.Readings{})
	isolated, cranked := false, false
	for i := range p.Steps {
		for _, m := range p.Steps[i].Moves {
			switch m := m.(type) {
			case sequence.Supply:
				isolated = m.Isolated
			case sequence.Carriage:
				if m.By == sequence.ByHalfNut {
					cranked = true
					if !isolated {
						t.Errorf("%s: cranked with the power on", p.Steps[i].ID)
					}
				}
			case sequence.Spindle:
				if isolated && (m.Turn == sequence.Forward || m.Turn == sequence.Reverse) {
					t.Errorf("%s: started while isolated", p.Steps[i].ID)
				}
			}
		}
	}
	if !cranked {
		t.Error("no pass was cranked")
	}
}

// No cue tells anyone to stop a moving carriage: the words of a pass end before the
// spindle starts, and none of them is a stop.
func TestNoCueStopsAMovingCarriage(t *testing.T) {
	j, l := read(t, "foot", "bench")
	for _, s := range plan(t, j, l, sequence.Readings{}).Steps {
		if s.Op != sequence.OpThread || s.Phase != sequence.PhaseCut && s.Phase != sequence.PhaseReturn {
			continue
		}
		for _, w := range s.Cue {
			if w == sequence.WordStopSpindle {
				t.Errorf("%s says %q", s.ID, s.Cue.Text())
			}
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	j, l := read(b, "foot", "bench")
	for b.Loop() {
		if _, err := planner.Plan(j, l, sequence.Readings{}); err != nil {
			b.Fatal(err)
		}
	}
}

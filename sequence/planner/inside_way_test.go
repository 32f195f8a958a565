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

// A way asked for in a bore is taken, or refused with its place, the reason and a remedy.
func TestInsideWayAsked(t *testing.T) {
	for _, c := range []struct {
		way     job.Way
		alter   func(*job.Lathe)
		refused string // "" where it is done
		hint    string
	}{
		{job.WayReverse, nil, "", ""},
		{job.WayCrank, nil, "", ""},
		{job.WayDial, nil, "", ""},
		{job.WayDial, func(l *job.Lathe) { l.Dial = nil }, "no threading dial", "list it under [thread_dial]"},
		{job.WayDial, func(l *job.Lathe) { l.Leadscrew = lead(t, "8 tpi") }, "no line of a dial", "leave threading out"},
		{job.WayReverse, func(l *job.Lathe) { l.Reverse = job.ReverseNone }, "no reverse", `threading = "crank"`},
		{job.WayAway, nil, "in the recess", "leave threading out"},
	} {
		j, l := read(t, "gland-nut", "toolroom")
		if c.alter != nil {
			c.alter(l)
		}
		j.Threading = c.way
		p, err := planner.Plan(j, l, sequence.Readings{})
		if c.refused != "" {
			if err == nil || placed(err) != nil || !strings.Contains(err.Error(), c.refused) || !strings.Contains(err.Error(), "hint: "+c.hint) {
				t.Errorf("%s: %v", c.way, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", c.way, err)
			continue
		}
		if err := bench.Run(p, j, l).Err(); err != nil {
			t.Errorf("%s: %v", c.way, err)
		}
		if err := saidInside(p); err != nil {
			t.Errorf("%s: %v", c.way, err)
		}
		cut := step(t, p, "bore1/thread/pass2/cut")
		switch text := strings.ToLower(cut.Cue.Text()); c.way {
		case job.WayDial:
			if !strings.Contains(text, "shut the half-nuts") || !strings.Contains(text, "mark") {
				t.Errorf("%s: %s", c.way, text)
			}
		case job.WayCrank:
			if !strings.Contains(text, "crank") {
				t.Errorf("%s: %s", c.way, text)
			}
		}
	}
}

// With a leadscrew of 2 mm a thread of 1.5 mm is found again every third thread of it: on
// a dial of fifteen lines that turns with fifteen, on every third line.
func TestInsideDialSpoilt(t *testing.T) {
	j, l := read(t, "gland-nut", "toolroom")
	l.Leadscrew, l.Dial = lead(t, "2 mm"), dial(15, 15)
	whole := plan(t, j, l, sequence.Readings{})
	if err := bench.Run(whole, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	opened := spoiltBy(t, whole, put("bore1/thread/pass4/set", sequence.HalfNut{}, sequence.HalfNut{Closed: true}))
	named(t, opened, j, l, bench.InStep, "bore1/thread/pass4/set")
	j.Threading = job.WayDial
	p := plan(t, j, l, sequence.Readings{})
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	if got := step(t, p, "bore1/thread/pass3/cut").Moves[0].(sequence.HalfNut).Marks.Lines; !slices.Equal(got, []int{1, 4, 7, 10, 13}) {
		t.Errorf("shut on %v", got)
	}
	line := func(n ...int) func(*testing.T, *sequence.Plan) {
		return change("bore1/thread/pass3/cut", func(m *sequence.HalfNut) {
			if m.Closed {
				m.Marks.Lines = n
			}
		})
	}
	for _, s := range []struct {
		name  string
		rule  int
		at    string
		spoil func(*testing.T, *sequence.Plan)
	}{
		{"another line", bench.InStep, "bore1/thread/pass2/cut", line(2)},
		{"one line too many", bench.InStep, "bore1/thread/pass2/cut", line(1, 4, 5)},
		{"not opened", bench.InStep, "bore1/thread/pass3/return", func(t *testing.T, p *sequence.Plan) {
			s := step(t, p, "bore1/thread/pass3/cut")
			s.Moves = s.Moves[:2]
		}},
		{"not cleared", bench.ToolClear, "bore1/thread/pass3/return", gone("bore1/thread/pass3/clear")},
		{"no room to let go in", bench.WithinPower, "bore1/thread/scratch/cut", change("bore1/thread/scratch/set", func(m *sequence.Spindle) { m.RPM = 315 * calc.RPM })},
	} {
		named(t, spoiltBy(t, p, s.spoil), j, l, s.rule, s.at)
	}
}

// spoiltBy is a plan with something put wrong.
func spoiltBy(t *testing.T, p *sequence.Plan, spoil func(*testing.T, *sequence.Plan)) *sequence.Plan {
	t.Helper()
	q := *p
	q.Steps = slices.Clone(p.Steps)
	for i := range q.Steps {
		q.Steps[i].Moves = slices.Clone(q.Steps[i].Moves)
	}
	spoil(t, &q)
	return &q
}

// named is the check that the bench names a rule at a step, and that the second checker
// finds something too; forces and room to stop are not its business.
func named(t *testing.T, p *sequence.Plan, j *job.Job, l *job.Lathe, rule int, id string) {
	t.Helper()
	wrong, broken := opinion(t, p, j, l)
	if !slices.ContainsFunc(broken, func(b bench.Break) bool { return b.Rule == rule && b.StepID == id }) {
		t.Errorf("rule %d is not named at %s: %v", rule, id, broken)
	}
	if len(wrong) == 0 && rule != bench.WithinPower {
		t.Errorf("rule %d at %s: the second checker finds nothing", rule, id)
	}
}

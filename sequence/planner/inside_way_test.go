package planner_test

import (
	"strings"
	"testing"

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

package planner_test

import (
	"strings"
	"testing"

	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

const liner = "part = \"case\"\nmaterial = \"brass\"\nbar = \"30 mm\"\nstickout = \"60 mm\"\n%\n[[section]]\nname = \"nose\"\nthread = \"M20x1.5\"\nlength = \"20 mm\"\nundercut = \"regular\"\nchamfer = \"1 mm\"\n\n[[section]]\nname = \"body\"\ndiameter = \"26 mm\"\nlength = \"12 mm\"\nchamfer = \"0.5 mm\"\n\n[[bore]]\ndiameter = \"14 mm H8\"\ndepth = \"12 mm\"\nchamfer = \"0.5 mm\"\n"

// ordered plans the case with an order.
func ordered(t *testing.T, order string) (*sequence.Plan, error) {
	t.Helper()
	_, l := read(t, "liner", "toolroom")
	line := ""
	if order != "" {
		line = "order = [" + order + "]\n"
	}
	j, err := job.ParseJob("case.toml", strings.Replace(liner, "%", line, 1))
	if err != nil {
		t.Fatal(err)
	}
	p, err := planner.Plan(j, l, sequence.Readings{})
	if err == nil {
		if err := bench.Run(p, j, l).Err(); err != nil {
			t.Errorf("%s: %v", order, err)
		}
	}
	return p, err
}

// What the author writes is kept, what is not written comes where it usually does.
func TestOrderIsKept(t *testing.T) {
	for order, want := range map[string][]string{
		"":                 {"bore1/drill1/peck1", "body/finish/pass1/cut", "nose/finish/pass1/cut", "bore1/finish/pass1/cut", "nose/undercut/pass1/cut", "nose/chamfer/cut", "body/chamfer/cut", "bore1/chamfer/cut", "nose/thread/scratch/cut"},
		`"bore", "turn"`:   {"bore1/drill1/peck1", "bore1/finish/pass1/cut", "body/finish/pass1/cut", "nose/undercut/pass1/cut", "nose/chamfer/cut", "bore1/chamfer/cut", "nose/thread/scratch/cut"},
		`"turn", "drill"`:  {"body/finish/pass1/cut", "bore1/drill1/peck1", "bore1/finish/pass1/cut", "nose/undercut/pass1/cut"},
		`"thread", "bore"`: {"body/finish/pass1/cut", "nose/undercut/pass1/cut", "nose/thread/scratch/cut", "bore1/finish/pass1/cut", "bore1/chamfer/cut"},
		`"turn nose", "turn body", "chamfer body", "thread nose", "chamfer nose"`: {"nose/finish/pass1/cut", "body/finish/pass1/cut", "body/chamfer/cut", "nose/thread/scratch/cut", "nose/chamfer/cut"},
	} {
		p, err := ordered(t, order)
		if err != nil {
			t.Errorf("%s: %v", order, err)
			continue
		}
		at := -1
		for _, id := range want {
			i := p.Index(id)
			if i <= at {
				t.Errorf("%s: %s is step %d, after step %d", order, id, i+1, at+1)
			}
			at = i
		}
	}
}

// What cannot be made safely so is refused with the reason and what to write.
func TestOrderRefused(t *testing.T) {
	for order, want := range map[string][2]string{
		`"bore", "drill"`:                   {"order has bore before drill: what is done in a bore begins with drilling", "write drill before bore"},
		`"thread", "undercut"`:              {"the thread runs out into its undercut", "write undercut before thread"},
		`"chamfer body", "turn"`:            {"the sections are turned to size first", "write turn before chamfer body"},
		`"turn body", "drill", "turn nose"`: {"order has something between section nose and the others that are turned", "write turn once"},
		`"chamfer bore1", "bore"`:           {"a bore has its size before anything else is done in it", "write bore before chamfer bore1"},
	} {
		_, err := ordered(t, order)
		if err == nil || !strings.Contains(err.Error(), want[0]) || !strings.Contains(err.Error(), want[1]) || !strings.HasPrefix(err.Error(), "case.toml:5:") {
			t.Errorf("%s: %v", order, err)
		}
	}
}

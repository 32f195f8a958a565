package planner_test

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// The step of a bore is faced at the speed of that bore, not of the smaller one that was
// finished last: an edge of HSS burns at 90 m/min in mild steel.
func TestStepOfABoreAtItsOwnSpeed(t *testing.T) {
	_, l := read(t, "foot", "toolroom")
	j, err := job.ParseJob("found.toml", `part = "cup"
material = "mild steel"
bar = "40 mm"
stickout = "50 mm"
[[section]]
diameter = "38 mm"
length = "25 mm"
[[bore]]
diameter = "32 mm"
depth = "10 mm"
[[bore]]
diameter = "18 mm"
through = true
`)
	if err != nil {
		t.Fatal(err)
	}
	p := plan(t, j, l, sequence.Readings{})
	limit, err := j.Material.Speed(cutting.HSS, cutting.Turn)
	if err != nil {
		t.Fatal(err)
	}
	var rpm calc.Speed
	for i := range p.Steps {
		for _, m := range p.Steps[i].Moves {
			if s, ok := m.(sequence.Spindle); ok && s.RPM > 0 {
				rpm = s.RPM
			}
			if f, ok := m.(sequence.Plunge); ok && f.Inside && f.Deeper() && strings.Contains(p.Steps[i].ID, "depth/cut") {
				if v := rpm.Surface(f.To); v > limit.Max {
					t.Errorf("%s faces a step of %s at %s: %s, the most is %s", p.Steps[i].ID, f.To, rpm, v, limit.Max)
				}
			}
		}
	}
}

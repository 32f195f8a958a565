package planner_test

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/bench"
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

// What asks too much of lathe, chuck, work or tool is named at its step. The plans are
// right but for one thing.
func TestTooMuchIsNamed(t *testing.T) {
	feed := func(f calc.Length) func(*sequence.Tailstock) {
		return func(m *sequence.Tailstock) { m.PerRev = calc.PerTurn(f) }
	}
	for _, c := range []struct {
		name, job, lathe, step string
		spoil                  func(*testing.T, *sequence.Plan)
	}{
		{"the centre left out", "slender-pin-centre", "bench", "rod/rough/pass3/cut", leave[sequence.Hold]("centre/support")},
		{"the bar of a boring tool far out", "bush", "toolroom", "bore1/rough/pass1/cut", change("boring/tool", func(m *sequence.Mount) { m.Overhang = 60 * mm })},
		{"a drill fed too fast", "guide-bush", "toolroom", "bore1/drill1/peck1", change("bore1/drill1/peck1", feed(3*mm))},
		{"a thread faster than it can be stopped", "foot", "bench", "s1/thread/pass3/cut", change("s1/thread/pass3/cut", func(m *sequence.Spindle) {
			if m.Turn == sequence.Forward {
				m.RPM = 320 * calc.RPM
			}
		})},
		{"a part bored faster than HSS stands", "bush", "toolroom", "bore1/rough/pass1/cut", change("boring/end", func(m *sequence.Spindle) {
			if m.Turn == sequence.Forward {
				m.RPM = 1250 * calc.RPM
			}
		})},
		{"faster than the lathe turns", "foot", "bench", "turn/touch", put("turn/touch", sequence.Spindle{Turn: sequence.Forward, RPM: 2000 * calc.RPM})},
		{"a chamfer fed in a whole turn", "foot", "bench", "s1/chamfer/cut", change("s1/chamfer/cut", func(m *sequence.Plunge) { m.PerRev = calc.PerTurn(3 * mm) })},
		{"grooved with far too much feed", "foot", "bench", "s1/undercut/pass1/cut", change("s1/undercut/pass1/cut", func(m *sequence.Plunge) { m.PerRev = calc.PerTurn(3 * mm) })},
		{"faced with far too much feed", "foot", "bench", "face/pass1/cut", change("face/pass1/cut", func(m *sequence.Plunge) {
			if m.To < m.From {
				m.PerRev = calc.PerTurn(6 * mm)
			}
		})},
	} {
		t.Run(c.name, func(t *testing.T) {
			j, l := read(t, c.job, c.lathe)
			p := plan(t, j, l, sequence.Readings{})
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Fatalf("the right plan: %v", err)
			}
			c.spoil(t, p)
			broken := bench.Run(p, j, l).Broken
			if len(broken) == 0 || broken[0].Rule != bench.WithinPower || broken[0].StepID != c.step {
				t.Errorf("want rule %d at %s first, got:\n%v", bench.WithinPower, c.step, broken)
			}
		})
	}
}

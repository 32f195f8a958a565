package planner_test

import (
	"fmt"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// A thread on slender work: whatever its outside is read at, inside its limits, and however
// often it is tight, the passes are planned and the work does not spring too far under one.
// One that could not be finished is refused before it is begun. The longest that is planned
// is looked at.
func TestSlenderThreads(t *testing.T) {
	for _, c := range []struct {
		material, thread string
		diameter         float64
		division         calc.Length // of the cross-slide ring
	}{
		{"304 stainless", "M4x0.7-6g", 4, 20 * um},
		{"304 stainless", "M6x1-6g", 6, 50 * um},
		{"mild steel", "M3x0.5-6g", 3, 50 * um},
		{"mild steel", "M8x1.25-6g", 8, 50 * um},
		{"titanium 6Al-4V", "M6x1-6g", 6, 20 * um},
	} {
		_, l := read(t, "foot", "bench")
		l.Cross.Divisions = int(l.Cross.Travel / c.division)
		for i := range l.Tools {
			switch l.Tools[i].Kind {
			case job.KindThreading:
				l.Tools[i].Tip = "radius 0.05 mm"
			case job.KindGrooving:
				l.Tools[i].Width = mm
			}
		}
		looked := 0
		for long := 5*c.diameter - 2; long >= 2*c.diameter && looked < 2; long -= 0.2 {
			j, err := job.ParseJob("stud.toml", fmt.Sprintf(`part = "stud"
material = %q
bar = "12 mm"
stickout = "%.1f mm"
[[section]]
thread = %q
length = "%.1f mm"
undercut = "short"
[[section]]
as_bar = true
length = "4 mm"
`, c.material, long+18, c.thread, long))
			if err != nil {
				t.Fatal(err)
			}
			p, err := planner.Plan(j, l, sequence.Readings{})
			if err != nil {
				if err := placed(err); err != nil {
					t.Error(err)
				}
				continue
			}
			looked++
			if err := finishable(j, l, p); err != nil {
				t.Errorf("%+v, %.1f mm long, %v", c, long, err)
			}
		}
		if looked < 2 {
			t.Errorf("%+v is never planned", c)
		}
	}
}

// finishable is the check that a stud's thread can be finished whatever is read and tried.
func finishable(j *job.Job, l *job.Lathe, p *sequence.Plan) error {
	s := &j.Sections[0]
	for size := s.Diameter.Min.Ceil(10 * um); size <= s.Diameter.Max; size += 10 * um {
		r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
		for i := range p.Steps {
			if m := p.Steps[i].Measure; m != nil && m.What == sequence.MeasureDiameter && m.Final {
				r.Lengths[p.Steps[i].ID] = size
			}
		}
		for k := 0; ; k++ {
			q, err := planner.Plan(j, l, r)
			if err != nil && strings.Contains(err.Error(), " still tight ") {
				break
			}
			if err == nil {
				err = sound(q, j, l)
			}
			if err != nil {
				return fmt.Errorf("read at %s and tight %d times: %w", size, k, err)
			}
			r.Fits[fmt.Sprintf("s1/thread/gauge%d", k+1)] = sequence.Tight
		}
	}
	return nil
}

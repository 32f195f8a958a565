package practise

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// Overload says that a setting makes a turning cut deeper than the lathe can drive at
// its speed and feed, or "". The cutting force is that of the material's table.
func (r Ring) Overload(p *sequence.Plan, i int, j *job.Job, l *job.Lathe, s Setting) string {
	st := &p.Steps[i]
	m, ok := st.Moves[r.move].(sequence.Shift)
	if !ok || m.Slide != sequence.Cross || st.Op != sequence.OpRough && st.Op != sequence.OpFinish {
		return ""
	}
	rpm, feed := runningAt(p, i)
	if rpm <= 0 || feed <= 0 {
		return ""
	}
	before := workBefore(p, i, j)
	depth := (before-m.X)/2 + r.Beyond(s)
	most, ruled, err := j.Material.MaxDepth(cutting.Cut{Feed: feed}, l.Drive(), rpm, before)
	if err != nil || depth <= most {
		return ""
	}
	return fmt.Sprintf("a cut %s deep where this lathe drives %s, by %s", depth, most.Floor(10*calc.Micrometre), ruled)
}

// workBefore is the diameter a cut of step i meets: what the last cut of the section
// left, or of the bar.
func workBefore(p *sequence.Plan, i int, j *job.Job) calc.Length {
	for n := i - 1; n >= 0; n-- {
		st := &p.Steps[n]
		if st.Op != sequence.OpRough && st.Op != sequence.OpFinish || st.Phase != sequence.PhaseSet {
			continue
		}
		for k := len(st.Moves) - 1; k >= 0; k-- {
			m, ok := st.Moves[k].(sequence.Shift)
			if ok && m.Slide == sequence.Cross && m.Approach == sequence.In && m.Dial != nil && (st.Section == p.Steps[i].Section || st.Op == sequence.OpRough) {
				return m.X
			}
		}
	}
	return j.Bar
}

// runningAt is the speed the spindle turns at in step i, and the feed of the next cut
// along.
func runningAt(p *sequence.Plan, i int) (calc.Speed, calc.Length) {
	var rpm calc.Speed
	for n := range i + 1 {
		for _, m := range p.Steps[n].Moves {
			if m, ok := m.(sequence.Spindle); ok && m.RPM > 0 {
				rpm = m.RPM
			}
		}
	}
	for n := i; n < len(p.Steps); n++ {
		for _, m := range p.Steps[n].Moves {
			if m, ok := m.(sequence.Carriage); ok && m.Cutting {
				return rpm, m.PerRev.Length()
			}
		}
	}
	return rpm, 0
}

package sequence

import "turncue/calc"

// Sizes are the diameters of the work where a cut is set or taken: as it is, as the cut
// leaves it, and as it is to be in the end. On a thread they are those of its root. Zero
// is one that the plan does not tell.
type Sizes struct{ Now, Then, End calc.Length }

// SizesAt are the sizes at step i of a plan, counted from zero. ok is false where no cut
// along the work is set or taken.
func (p *Plan) SizesAt(i int) (s Sizes, ok bool) {
	st := &p.Steps[i]
	switch st.Phase {
	case PhaseSet, PhaseCut, PhasePass:
	default:
		return s, false
	}
	if !alongOps[st.Op] {
		return s, false
	}
	at := i
	for ; at >= 0; at-- {
		q := &p.Steps[at]
		if !q.Beside(st) || q.Op != st.Op || q.Pass != st.Pass {
			return s, false
		}
		if s.Then, ok = setTo(q); ok {
			break
		}
	}
	if !ok || !p.alongFrom(at) {
		return s, false
	}
	s.Now = p.sizeBefore(at)
	s.End = p.sizeAtEnd(i)
	return s, true
}

// alongFrom says that the next cut from step i on is one along the work, not across it.
func (p *Plan) alongFrom(i int) bool {
	for ; i < len(p.Steps); i++ {
		for _, m := range p.Steps[i].Moves {
			if Cuts(m) {
				_, along := m.(Carriage)
				return along
			}
		}
	}
	return false
}

// alongOps are the operations whose cuts along the work change a diameter.
var alongOps = map[Op]bool{OpRough: true, OpFinish: true, OpBore: true, OpThread: true}

// setTo is the diameter a step sets the cross slide to for a cut.
func setTo(s *Step) (x calc.Length, ok bool) {
	for _, m := range s.Moves {
		m, shift := m.(Shift)
		if shift && m.Slide == Cross && m.Dial != nil && m.WholeTurns == 0 && (m.Approach == Out) == m.Inside {
			x, ok = m.X, true
		}
	}
	return x, ok
}

// sizeBefore is the diameter a cut set at step i meets: what was measured, cut or drilled
// in its section last; for the first roughing cut of a section what the roughing behind it
// left, or the bar as it was touched.
func (p *Plan) sizeBefore(i int) calc.Length {
	st := &p.Steps[i]
	for k := i - 1; k >= 0 && st.Section != ""; k-- {
		if q := &p.Steps[k]; q.Beside(st) {
			if x, ok := leftBy(q); ok {
				return x
			}
		}
	}
	if st.Op != OpRough {
		return 0
	}
	for k := i - 1; k >= 0; k-- {
		q := &p.Steps[k]
		if q.Op != OpRough {
			continue
		}
		if x, ok := setTo(q); ok && q.Part == st.Part {
			return x
		}
		for _, m := range q.Moves {
			if z, touched := m.(Zero); touched && z.Slide == Cross && z.On == OnDiameter {
				return z.X
			}
		}
	}
	return 0
}

// leftBy is the diameter of its section that a step tells or leaves.
func leftBy(s *Step) (x calc.Length, ok bool) {
	if m := s.Measure; m != nil && m.Got != nil && (m.What == MeasureDiameter || m.What == MeasureBore) {
		return *m.Got, true
	}
	for _, m := range s.Moves {
		if m, hole := m.(Tailstock); hole && m.Kind == DrillTool {
			x, ok = m.Diameter, true
		}
	}
	if set, cut := setTo(s); cut && alongOps[s.Op] {
		return set, true
	}
	return x, ok
}

// sizeAtEnd is the diameter a section is to have in the end: of its last measurement,
// or of the deepest pass of its thread.
func (p *Plan) sizeAtEnd(i int) (end calc.Length) {
	st := &p.Steps[i]
	what := MeasureDiameter
	if st.Op == OpBore {
		what = MeasureBore
	}
	for k := i; k < len(p.Steps); k++ {
		q := &p.Steps[k]
		if !q.Beside(st) {
			continue
		}
		if st.Op == OpThread {
			if x, ok := setTo(q); ok && q.Op == OpThread && (end == 0 || (x < end) != insideCut(q)) {
				end = x
			}
		} else if q.Measure != nil && q.Measure.Final && q.Measure.What == what {
			return q.Measure.Nominal
		}
	}
	return end
}

// insideCut says that a step sets a tool that works in a bore.
func insideCut(s *Step) bool {
	for _, m := range s.Moves {
		if m, ok := m.(Shift); ok && m.Inside {
			return true
		}
	}
	return false
}

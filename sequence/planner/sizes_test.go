package planner_test

import (
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/planner"
)

// In every plan the sizes at a cut follow one another: what one leaves the next finds,
// outside they get smaller and inside larger, and the end is never passed.
func TestSizesFollowOneAnother(t *testing.T) {
	const seeds = 120
	told, ends := 0, 0
	for seed := uint64(1); seed <= seeds; seed++ {
		w := draw(seed)
		if seed%3 == 0 {
			w = drawBored(seed)
		}
		j, l, err := w.read(seed)
		if err != nil {
			continue
		}
		plan, err := planner.Plan(j, l, sequence.Readings{})
		if err != nil {
			continue
		}
		for _, pace := range append(paces, sequence.PacePlanned) {
			p := pace.Plan(plan)
			last := map[string]calc.Length{}
			for i := range p.Steps {
				st := &p.Steps[i]
				s, ok := p.SizesAt(i)
				if !ok {
					continue
				}
				told++
				key := st.Section + " " + string(st.Op)
				inside := st.Op == sequence.OpBore
				if before, seen := last[key]; seen && s.Now != before && s.Then != before {
					t.Errorf("seed %d, pace %s, %s: now %s, the cut before left %s", seed, pace, st.ID, s.Now, before)
				}
				// A spring pass, and the last of equal cuts on a coarse ring, may leave it as it was.
				if s.Now > 0 && (!inside && s.Then > s.Now || inside && s.Then < s.Now) {
					t.Errorf("seed %d, pace %s, %s: now %s, then %s", seed, pace, st.ID, s.Now, s.Then)
				}
				half := l.Cross.Division() // the ring's lines: as near as it can be set
				if s.End > 0 {
					ends++
					if !inside && s.Then < s.End-half || inside && s.Then > s.End+half {
						t.Errorf("seed %d, pace %s, %s: then %s, which is past the end %s", seed, pace, st.ID, s.Then, s.End)
					}
				}
				last[key] = s.Then
			}
		}
	}
	t.Logf("seeds 1 to %d: %d cuts, %d with an end", seeds, told, ends)
	if told < 2000 || ends < told*9/10 {
		t.Errorf("%d cuts told, %d with an end", told, ends)
	}
}

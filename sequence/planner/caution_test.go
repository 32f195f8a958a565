package planner_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
)

// safeWords are what has to be said for the sake of hands and eyes, and the shop rule that
// asks for it.
var safeWords = map[sequence.Word]int{
	sequence.WordEyes: bench.Standing, sequence.WordKnowStop: bench.Standing, sequence.WordLocalRules: bench.Standing,
	sequence.WordStopBeforeTouch: bench.Standing, sequence.WordGuardsShut: bench.Standing, sequence.WordNoFinger: bench.Standing,
	sequence.WordSwarf: bench.Standing, sequence.WordDeburrBore: bench.Standing, sequence.WordCatchPart: bench.Standing,
	sequence.WordNeverBack: bench.Standing, sequence.WordReamBack: bench.Standing, sequence.WordSlowReverse: bench.Standing,
	sequence.WordStandStill: bench.Standing, sequence.WordPlugOut: bench.Standing, sequence.WordCrankOut: bench.Standing,
	sequence.WordToolClearFirst: bench.ToolClear, sequence.WordNoReverseCut: bench.NoReverseCut,
}

// unsaid leaves a word out of all that a step says.
func unsaid(s *sequence.Step, w sequence.Word) {
	for _, c := range []*sequence.Cue{&s.Opening, &s.Closing, &s.Cue} {
		*c = slices.DeleteFunc(slices.Clone(*c), func(v sequence.Word) bool { return v == w })
	}
	s.Cautions = slices.DeleteFunc(slices.Clone(s.Cautions), func(v sequence.Word) bool { return v == w })
}

// mayBeUnsaid says that a step may do without a word: the supply is off, the bore is measured
// with the spindle standing, or it was said at the first of like cuts.
func mayBeUnsaid(s *sequence.Step, w sequence.Word, isolated bool) bool {
	switch w {
	case sequence.WordStopBeforeTouch:
		return isolated
	case sequence.WordNoFinger:
		return s.Measure != nil || s.Op == sequence.OpBore && strings.Contains(s.ID, "/finish/") || s.Op == sequence.OpTaper && !strings.Contains(s.ID, "/end")
	case sequence.WordSwarf:
		return s.Op == sequence.OpTaper || s.Op == sequence.OpDrill && !strings.Contains(s.ID, "peck1") || s.Op == sequence.OpBore && strings.Contains(s.ID, "/finish/")
	}
	return false
}

// Whatever is said in a plan for the sake of hands and eyes is asked for by a shop rule: left
// out of any step of any plan of the folder, the bench names the rule and that step.
func TestCautionsLeftOutAreNamed(t *testing.T) {
	tried := map[sequence.Word]int{}
	leaveOut := func(name string, j *job.Job, l *job.Lathe) {
		right := plan(t, j, l, sequence.Readings{})
		isolated := false
		for i := range right.Steps {
			s := right.Steps[i]
			for _, m := range s.Moves {
				if m, ok := m.(sequence.Supply); ok {
					isolated = m.Isolated
				}
			}
			for w, rule := range safeWords {
				if !slices.Contains(s.Cautions, w) && !slices.Contains(s.Opening, w) && !slices.Contains(s.Closing, w) || mayBeUnsaid(&s, w, isolated) {
					continue
				}
				p := *right
				p.Steps = slices.Clone(right.Steps)
				unsaid(&p.Steps[i], w)
				broken := bench.Run(&p, j, l).Broken
				if len(broken) != 1 || broken[0].Rule != rule || broken[0].StepID != s.ID {
					t.Errorf("%s, %s without %q: want rule %d there and nothing else, got %v", name, s.ID, w, rule, broken)
				}
				tried[w]++
			}
		}
	}
	for _, name := range folder(t) {
		if j, l, ok := readOwn(t, name); ok {
			leaveOut(name, j, l)
		}
	}
	j, l := read(t, "foot", "bench")
	l.Chuck = job.ChuckScrewed
	leaveOut("foot with a screwed chuck", j, l)
	for w := range safeWords {
		if tried[w] == 0 {
			t.Errorf("%q is in no plan", w)
		}
	}
	t.Log(fmt.Sprint(tried))
}

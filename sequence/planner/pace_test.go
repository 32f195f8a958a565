package planner_test

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"turncue/sequence"
	"turncue/sequence/planner"
)

// paces are all but the planned one.
var paces = []sequence.Pace{sequence.PaceWhole, sequence.PaceTwo, sequence.PaceFour}

// At every pace a plan has the same moves in the same order, the same readings, gauges
// and cautions, takes as long, and passes the bench and the second checker.
func TestEveryPaceIsTheSameWork(t *testing.T) {
	const seeds = 240
	planned, fewest, most := 0, 0, 0
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
		planned++
		before := fmt.Sprint(plan)
		for _, pace := range paces {
			p := pace.Plan(plan)
			if err := sameWork(plan, p); err != nil {
				t.Errorf("seed %d, %s presses a pass: %v", seed, pace, err)
				continue
			}
			if err := sound(p, j, l); err != nil {
				t.Errorf("seed %d, %s presses a pass: %v", seed, pace, err)
			}
			if seed%4 == 0 {
				if err := agreed(p, j, l); err != nil {
					t.Errorf("seed %d, %s presses a pass: %v", seed, pace, err)
				}
			}
			if !reflect.DeepEqual(p, pace.Plan(plan)) {
				t.Errorf("seed %d, %s presses a pass: made twice, and not the same", seed, pace)
			}
			switch pace {
			case sequence.PaceWhole:
				fewest += len(p.Steps)
			case sequence.PaceFour:
				most += len(p.Steps)
			}
		}
		if fmt.Sprint(plan) != before {
			t.Fatalf("seed %d: the plan itself was changed", seed)
		}
	}
	t.Logf("seeds 1 to %d: %d plans, %d steps in whole passes, %d with a press for each phase", seeds, planned, fewest, most)
	if planned < seeds/4 || most < fewest*3/2 {
		t.Errorf("%d plans of %d seeds, %d and %d steps: too few to tell", planned, seeds, fewest, most)
	}
}

// sameWork compares what is done and what is to be minded in two plans.
func sameWork(a, b *sequence.Plan) error {
	am, as := work(a)
	bm, bs := work(b)
	for i := range min(len(am), len(bm)) {
		if !reflect.DeepEqual(am[i], bm[i]) {
			return fmt.Errorf("move %d is %v, planned was %v", i+1, bm[i], am[i])
		}
	}
	if len(am) != len(bm) {
		return fmt.Errorf("%d moves, planned were %d", len(bm), len(am))
	}
	if !reflect.DeepEqual(as, bs) {
		return fmt.Errorf("what is asked or minded differs:\n%v\nplanned was\n%v", bs, as)
	}
	ah, ac := a.Times()
	bh, bc := b.Times()
	if ah != bh || ac != bc {
		return fmt.Errorf("takes %v and %v, planned was %v and %v", bh, bc, ah, ac)
	}
	ids := map[string]bool{}
	for i := range b.Steps {
		s := &b.Steps[i]
		if s.N != i+1 || ids[s.ID] || len(s.Moves)+len(s.Opening)+len(s.Closing) == 0 || len(s.Cue) == 0 {
			return fmt.Errorf("step %d: number %d, id %q, %d moves, says %q", i+1, s.N, s.ID, len(s.Moves), s.Cue.Text())
		}
		ids[s.ID] = true
		if slices.ContainsFunc(s.Moves, func(m sequence.Move) bool { g, ok := m.(sequence.Gears); return ok && g.Drivers != nil }) && len(s.Parts) > 0 {
			return fmt.Errorf("%s joins a change of gears", s.ID)
		}
	}
	return nil
}

// work is all moves of a plan, and what is asked of the person and said beside them, in
// order: the steps with an answer, and the words before and after the moves.
func work(p *sequence.Plan) (moves []sequence.Move, said []string) {
	var each func(steps []sequence.Step)
	each = func(steps []sequence.Step) {
		for i := range steps {
			s := &steps[i]
			if len(s.Parts) > 0 {
				before := len(moves)
				each(s.Parts)
				if !reflect.DeepEqual(moves[before:], s.Moves) {
					said = append(said, s.ID+" has other moves than its parts")
				}
				continue
			}
			moves = append(moves, s.Moves...)
			if s.Needs != sequence.NeedPress {
				said = append(said, s.ID)
			}
			for _, c := range []sequence.Cue{s.Opening, s.Closing, s.Cautions} {
				if len(c) > 0 {
					said = append(said, c.Text())
				}
			}
		}
	}
	each(p.Steps)
	return moves, said
}

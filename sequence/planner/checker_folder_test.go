package planner_test

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/planner"
)

// Every job of the folder is passed by the bench and by the second checker alike, as first
// planned and after every answer; the ones that are refused are those whose refusal lies
// beside the plans, and every plan there has its job.
func TestFolderAgreed(t *testing.T) {
	judged := 0
	names := folder(t)
	for _, name := range names {
		t.Run(name, func(t *testing.T) {
			j, l, planned := readOwn(t, name)
			_, err := os.Stat(filepath.Join("../../testdata/plans", name+".txt"))
			if wanted := err == nil; wanted != planned {
				t.Fatalf("planned: %t, its plan is in the folder: %t", planned, wanted)
			}
			if !planned {
				if _, err := os.Stat(filepath.Join("../../testdata/plans", name+".refused.txt")); err != nil {
					t.Error(err)
				}
				return
			}
			judged++
			r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
			d := throw(2)
			for range 400 {
				p, err := planner.Plan(j, l, r)
				if err != nil {
					if err := placed(err); err != nil || len(r.Lengths)+len(r.Fits) == 0 {
						t.Errorf("after %v %v: %v", r.Lengths, r.Fits, err)
					}
					return // given up, with its reason
				}
				if err := sound(p, j, l); err != nil {
					t.Fatalf("after %v %v: %v", r.Lengths, r.Fits, err)
				}
				if err := agreed(p, j, l); err != nil {
					t.Fatalf("after %v %v: %v", r.Lengths, r.Fits, err)
				}
				i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
				if i < 0 || d.answer(&p.Steps[i], r) {
					return
				}
			}
			t.Error("it asks for ever")
		})
	}
	plans, err := filepath.Glob("../../testdata/plans/*.txt")
	if err != nil || len(plans) != len(names) {
		t.Errorf("%d jobs in the folder, %d plans and refusals beside them: %v", len(names), len(plans), err)
	}
	t.Logf("%d jobs, %d of them planned and judged by both", len(names), judged)
}

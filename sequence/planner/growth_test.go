package planner_test

import (
	"fmt"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
	"turncue/sequence/sheet"
)

// whole makes a plan, carries it out on the bench and prints it; it says how many
// steps it has.
func whole(t testing.TB, j *job.Job, l *job.Lathe) int {
	p, err := planner.Plan(j, l, sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	if len(sheet.Table(p)) == 0 {
		t.Fatal("nothing printed")
	}
	return len(p.Steps)
}

// thick is the foot out of so thick a bar, in cuts of a division, that its plan has
// about that many steps.
func thick(t testing.TB, steps int) (*job.Job, *job.Lathe) {
	j, l := read(t, "foot", "bench")
	l.DepthOfCut = l.Cross.Division()
	j.Bar = 16*mm + calc.Length(steps-325)*l.Cross.Division()
	return j, l
}

// The cost of a plan grows in a straight line: what is allocated for a step is the
// same in a plan of 500 steps and in one of 5 000. (The time is in the benchmark.)
func TestCostGrowsStraight(t *testing.T) {
	each := func(steps int) float64 {
		j, l := thick(t, steps)
		n := 0
		allocs := testing.AllocsPerRun(1, func() { n = whole(t, j, l) })
		if n < steps*8/10 || n > steps*12/10 {
			t.Errorf("%d steps where about %d were wanted", n, steps)
		}
		return allocs / float64(n)
	}
	if few, many := each(500), each(5000); many > few*13/10 {
		t.Errorf("a step costs %.0f allocations in 500 steps, %.0f in 5 000", few, many)
	}
}

func BenchmarkWhole(b *testing.B) {
	j, l := read(b, "foot", "bench")
	for b.Loop() {
		whole(b, j, l)
	}
}

func BenchmarkGrowth(b *testing.B) {
	for _, steps := range []int{500, 1000, 2000, 5000} {
		b.Run(fmt.Sprint(steps), func(b *testing.B) {
			j, l := thick(b, steps)
			n := 0
			for b.Loop() {
				n = whole(b, j, l)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/step")
			b.ReportMetric(float64(n), "steps")
		})
	}
}

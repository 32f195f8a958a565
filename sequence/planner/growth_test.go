package planner_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

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

// The time grows in a straight line too: a step of a plan of 5 000 takes not
// much more than one of a plan of 500, measured in turn and the best of several taken, as
// the machine may be busy. A plan that grew with the square would take ten times as long.
func TestTimeGrowsStraight(t *testing.T) {
	sizes := []int{500, 1000, 2000, 5000}
	best := map[int]float64{}
	for round := 0; round < 3 || round < 12 && best[5000] > 2*best[500]; round++ {
		for _, steps := range sizes {
			j, l := thick(t, steps)
			begun := time.Now()
			n := whole(t, j, l)
			if each := float64(time.Since(begun).Nanoseconds()) / float64(n); best[steps] == 0 || each < best[steps] {
				best[steps] = each
			}
		}
	}
	for _, steps := range sizes {
		t.Logf("%4d steps: %5.0f ns a step", steps, best[steps])
	}
	if best[5000] > 5*best[500] {
		t.Errorf("a step costs %.0f ns in 500 steps, %.0f in 5 000", best[500], best[5000])
	}
}

// one threaded part: planned, carried out on the bench and printed.
func BenchmarkWhole(b *testing.B) {
	j, l := read(b, "foot", "bench")
	for b.Loop() {
		whole(b, j, l)
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/1000/float64(b.N), "ms/part")
}

// folder is every part of the folder of jobs that can be planned.
func folder(t testing.TB) (names []string) {
	paths, err := filepath.Glob("../../testdata/jobs/*.toml")
	if err != nil || len(paths) < 12 {
		t.Fatalf("%d jobs, %v", len(paths), err)
	}
	for _, p := range paths {
		names = append(names, strings.TrimSuffix(filepath.Base(p), ".toml"))
	}
	return names
}

// All the parts of the folder of jobs.
func BenchmarkFolder(b *testing.B) {
	type work struct {
		j *job.Job
		l *job.Lathe
	}
	var parts []work
	for _, name := range folder(b) {
		if j, l, ok := readOwn(b, name); ok {
			parts = append(parts, work{j, l})
		}
	}
	steps := 0
	for b.Loop() {
		steps = 0
		for _, w := range parts {
			steps += whole(b, w.j, w.l)
		}
	}
	b.ReportMetric(float64(len(parts)), "parts")
	b.ReportMetric(float64(steps), "steps")
}

// readOwn reads a job of the folder and the lathe it names, or the bench lathe; ok is
// false for one that is refused, which is another test's business.
func readOwn(t testing.TB, name string) (*job.Job, *job.Lathe, bool) {
	t.Helper()
	text := func(path string) string {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	path := filepath.Join("../../testdata/jobs", name+".toml")
	j, err := job.ParseJob(path, text(path))
	if err != nil {
		return nil, nil, false
	}
	lathe := "../../testdata/lathes/bench.toml"
	if j.Lathe != "" {
		lathe = filepath.Join("../../testdata/jobs", j.Lathe)
	}
	l, err := job.ParseLathe(lathe, text(lathe))
	if err != nil {
		t.Fatal(err)
	}
	_, err = planner.Plan(j, l, sequence.Readings{})
	return j, l, err == nil
}

// Every job of the folder planned twice is the same to the byte; planned again after an
// answer it changes nothing before it and nothing in another section, but for the places
// along the work behind a shoulder that was measured.
func TestFolderTwiceAndFromReadings(t *testing.T) {
	for _, name := range folder(t) {
		j, l, ok := readOwn(t, name)
		if !ok {
			continue
		}
		t.Run(name, func(t *testing.T) {
			r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
			p := plan(t, j, l, r)
			a, err := json.Marshal(p)
			if err != nil {
				t.Fatal(err)
			}
			b, err := json.Marshal(plan(t, j, l, r))
			if err != nil || !bytes.Equal(a, b) {
				t.Errorf("planned twice it differs: %v", err)
			}
			d := throw(1)
			for range 200 {
				i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
				if i < 0 {
					return
				}
				if d.answer(&p.Steps[i], r) {
					return // scrapped
				}
				q, err := planner.Plan(j, l, r)
				if err != nil {
					return // given up, with its reason
				}
				last := i
				if j.Second != nil || j.Quantity > 1 {
					last++ // what the first setting or part has left is where the next one begins
				}
				if err := sameBefore(p, q, i, last); err != nil {
					t.Fatal(err)
				}
				if err := sound(q, j, l); err != nil {
					t.Fatalf("after %v: %v", r.Lengths, err)
				}
				p = q
			}
		})
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

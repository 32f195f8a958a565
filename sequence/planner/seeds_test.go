package planner_test

import (
	"flag"
	"fmt"
	"maps"
	"runtime"
	"slices"
	"sync"
	"testing"
)

var (
	long = flag.Bool("long", false, "plan 100 000 random jobs instead of the ordinary number")
	from = flag.Uint64("from", 1, "first seed of the random jobs")
	many = flag.Uint64("many", 0, "how many random jobs; 0 is the ordinary number")
)

// mostFailures is after how many seeds that go wrong a random test is given up.
const mostFailures = 10

// seeds is how many seeds a random test tries, from -from on: as many as -many says, else
// longer of them with -long and few without; fewer beside the race detector.
func seeds(few, longer uint64) uint64 {
	switch {
	case *many > 0:
		return *many
	case *long:
		return longer
	case raceOn: // slow, and it looks for races, not for figures
		return max(1, few/5)
	}
	return few
}

// eachSeed tries [seeds] on all cores.
func eachSeed(t *testing.T, few, longer uint64, try func(seed uint64) error) (n uint64) {
	t.Helper()
	n = seeds(few, longer)
	t.Logf("seeds %d to %d; one alone: go test -run %s -v -from SEED -many 1", *from, *from+n-1, t.Name())
	var lock sync.Mutex
	var wg sync.WaitGroup
	next, failed := *from, 0
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for {
				lock.Lock()
				seed := next
				next++
				stop := seed >= *from+n || failed >= mostFailures
				lock.Unlock()
				if stop {
					return
				}
				if err := try(seed); err != nil {
					lock.Lock()
					failed++
					t.Errorf("seed %d: %v", seed, err)
					lock.Unlock()
				}
			}
		})
	}
	wg.Wait()
	return n
}

// eachDrawn draws random jobs and tries them as [eachSeed] does: one that goes wrong is told
// with its files. What was refused, and why, and what the planned ones have is counted.
func eachDrawn(t *testing.T, few, longer uint64, draw func(seed uint64) drawn, try func(seed uint64) (refused string, has []string, answers int, err error)) (uint64, *tally) {
	t.Helper()
	c := newTally()
	n := eachSeed(t, few, longer, func(seed uint64) error {
		refused, has, answers, err := try(seed)
		if err != nil {
			w := draw(seed)
			return fmt.Errorf("%w\nthe job:\n%s\nthe lathe:\n%s", err, w.job, w.lathe)
		}
		c.add(refused, has, answers)
		return nil
	})
	c.ample = n >= few
	t.Logf("%d planned, %d answers given", c.planned, c.answers)
	for _, h := range slices.Sorted(maps.Keys(c.having)) {
		t.Logf("%5d planned with %s", c.having[h], h)
	}
	for _, why := range slices.SortedFunc(maps.Keys(c.reasons), func(a, b string) int { return c.reasons[b] - c.reasons[a] }) {
		t.Logf("%5d %s", c.reasons[why], why)
	}
	return n, c
}

// tally counts what came of random jobs.
type tally struct {
	sync.Mutex
	planned, answers int
	reasons, having  map[string]int
	ample            bool // as many were tried as show what is planned
}

func newTally() *tally { return &tally{reasons: map[string]int{}, having: map[string]int{}} }

// add counts one job: why it was refused, or what it has.
func (c *tally) add(refused string, has []string, answers int) {
	c.Lock()
	defer c.Unlock()
	c.answers += answers
	if refused != "" {
		c.reasons[refused]++
		return
	}
	c.planned++
	for _, h := range has {
		c.having[h]++
	}
}

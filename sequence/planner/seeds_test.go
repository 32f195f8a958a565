package planner_test

import (
	"flag"
	"runtime"
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
// longer of them with -long and few without.
func seeds(few, longer uint64) uint64 {
	switch {
	case *many > 0:
		return *many
	case *long:
		return longer
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

// tally counts what came of random jobs.
type tally struct {
	sync.Mutex
	planned, answers int
	reasons, having  map[string]int
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

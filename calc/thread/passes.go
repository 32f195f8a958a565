package thread

import (
	"fmt"
	"math"

	"turncue/calc"
)

// Law is how the depth of a thread is shared out between passes.
type Law int

// The laws. The zero Law is ConstantArea.
const (
	// ConstantArea keeps the chip's cross section about equal: the depth after
	// pass n of N is total * sqrt(phi / (N-1)), phi being 0.3 for the first pass
	// and n-1 after it. Two makers print this formula.
	ConstantArea Law = iota
	// ConstantDepth takes First each time and what is left last; only where that
	// is less than Smallest are all passes made alike.
	ConstantDepth
	// PlainArea is the older equal-area rule: total * sqrt(n / N), with a deep
	// first pass.
	PlainArea
	// Falling lets the passes fall evenly to 0.3 of the first, as the printed
	// tables of insert makers do to within 0.05 mm.
	Falling
)

// PassPlan says how to share out a depth. All lengths are on radius.
type PassPlan struct {
	Total      calc.Length // the depth aimed at
	First      calc.Length // no pass takes more than this
	Smallest   calc.Length // none takes less, where that is possible; zero: one graduation
	Graduation calc.Length // what one division of the dial moves the tool on radius; zero: a nanometre
	Law        Law
	Finish     int         // last passes of FinishCut each, before the spring passes
	FinishCut  calc.Length // depth of a finishing pass; zero: Smallest, or one graduation
	Spring     int         // repeats of the last depth, with nothing added
}

// most is the largest number of passes a plan may need.
const most = 1000

// Passes are the depths after each pass, on radius, counted from the surface.
// The depths are rounded to the graduation, not the steps between them; they
// rise strictly, the last is Total rounded to the graduation, and Spring repeats
// of it follow. The number of passes is the smallest that keeps each of them to
// First. Where the law would take less than Smallest, the later passes take
// Smallest and the earlier ones share the rest.
//
// A depth that rounds to nothing, a First finer than the graduation and a plan
// of more than 1000 passes are errors.
func Passes(p PassPlan) ([]calc.Length, error) {
	if p.Finish != 0 {
		return finished(p)
	}
	step := max(p.Graduation, calc.Nanometre)
	total, first := p.Total.Steps(step), int64(p.First/step)
	smallest := min(max(int64(p.Smallest.Ceil(step)/step), 1), max(first, 1))
	switch {
	case p.Total <= 0 || total == 0:
		return nil, fmt.Errorf("a depth of %s is less than half a division of %s: there is nothing to cut", p.Total, step)
	case first < 1:
		return nil, fmt.Errorf("a first pass of %s is finer than one division of %s", p.First, step)
	case total > most*first:
		return nil, fmt.Errorf("%s in passes of at most %s takes more than %d of them: allow a deeper first pass", p.Total, p.First, most)
	case p.Spring < 0 || p.Spring > most:
		return nil, fmt.Errorf("%d spring passes are not possible: write 0 to %d", p.Spring, most)
	case p.Law < ConstantArea || p.Law > Falling:
		return nil, fmt.Errorf("pass law %d is not known", p.Law)
	}
	if rest := total % first; p.Law == ConstantDepth && total > first && (rest == 0 || rest >= smallest) {
		smallest = first // nothing to even out: the floor makes all but the last First
	}
	for n := max(1, int((total+first-1)/first)); n <= int(total); n++ {
		depths := share(total, smallest, n, p.Law)
		if p.Law == ConstantDepth && smallest == first {
			for i := range n - 1 {
				depths[i] = int64(i+1) * first
			}
		}
		if !within(depths, first) {
			continue
		}
		out := make([]calc.Length, 0, n+p.Spring)
		for _, d := range depths {
			out = append(out, calc.Length(d)*step)
		}
		for range p.Spring {
			out = append(out, out[n-1])
		}
		return out, nil
	}
	return nil, fmt.Errorf("%s cannot be shared into passes of at most %s on a dial of %s", p.Total, p.First, step)
}

// finished plans the depth above the finishing passes by the law, and adds them.
func finished(p PassPlan) ([]calc.Length, error) {
	step := max(p.Graduation, calc.Nanometre)
	cut := p.FinishCut
	if cut == 0 {
		cut = p.Smallest
	}
	cut = max(cut.Round(step), step)
	if p.Finish < 0 || p.Finish > most {
		return nil, fmt.Errorf("%d finishing passes are not possible: write 0 to %d", p.Finish, most)
	}
	total := p.Total.Round(step)
	rough := total - calc.Length(p.Finish)*cut
	if rough <= 0 || cut > p.First {
		return nil, fmt.Errorf("%d finishing passes of %s leave nothing of %s for the first pass of at most %s: use fewer or lighter ones", p.Finish, cut, p.Total, p.First)
	}
	plan := p
	plan.Total, plan.Finish, plan.FinishCut, plan.Spring = rough, 0, 0, 0
	out, err := Passes(plan)
	if err != nil {
		return nil, err
	}
	if p.Spring < 0 || p.Spring > most {
		return nil, fmt.Errorf("%d spring passes are not possible: write 0 to %d", p.Spring, most)
	}
	for i := range p.Finish {
		out = append(out, rough+calc.Length(i+1)*cut)
	}
	for range p.Spring {
		out = append(out, total)
	}
	return out, nil
}

func within(depths []int64, first int64) bool {
	before := int64(0)
	for _, d := range depths {
		if d-before > first {
			return false
		}
		before = d
	}
	return true
}

// Reached is the share of the total depth, 0 to 1, after pass i of n.
func (l Law) Reached(i, n int) float64 {
	switch {
	case i >= n:
		return 1
	case i <= 0:
		return 0
	case l == ConstantDepth:
		return float64(i) / float64(n)
	case l == PlainArea:
		return math.Sqrt(float64(i) / float64(n))
	case l == Falling:
		// The sum of a series falling evenly from 1 to 0.3.
		fall := 0.7 / float64(n-1)
		upTo := func(k int) float64 { return float64(k) - fall*float64(k)*float64(k-1)/2 }
		return upTo(i) / upTo(n)
	case i == 1:
		return math.Sqrt(0.3 / float64(n-1))
	}
	return math.Sqrt(float64(i-1) / float64(n-1))
}

// share shares total divisions over n passes by a law, none under smallest
// where n of them fit, rounded on the cumulative depth.
func share(total, smallest int64, n int, law Law) []int64 {
	floor := math.Min(float64(smallest), float64(total)/float64(n))
	weight := make([]float64, n)
	for i := range n {
		weight[i] = law.Reached(i+1, n) - law.Reached(i, n)
	}
	// The scale k with sum(max(floor, k w)) = total, by halving: the sum rises
	// with k and is total or more at k = total.
	sum := func(k float64) (s float64) {
		for _, w := range weight {
			s += math.Max(floor, k*w)
		}
		return s
	}
	low, high := 0.0, float64(total)
	for range 60 {
		if high-low < 1e-9*high || sum(high) <= float64(total)*(1+1e-12) {
			break
		}
		if k := (low + high) / 2; sum(k) < float64(total) {
			low = k
		} else {
			high = k
		}
	}
	depths, reached := make([]int64, n), 0.0
	for i, w := range weight {
		reached += math.Max(floor, high*w)
		depths[i] = int64(math.Round(reached))
	}
	depths[n-1] = total
	return depths
}

// CarbidePasses are the deepest and the lightest pass makers of carbide inserts
// allow in steel, on radius: one and a half times the nose radius and never over
// 0.5 mm, and 0.05 mm. They want no spring pass. A hand lathe with a tool of high
// speed steel takes less.
func CarbidePasses(tip Tip) (first, smallest calc.Length) {
	first = 500 * um
	if tip.Radius > 0 {
		first = min(first, tip.Radius*3/2)
	}
	return first, 50 * um
}

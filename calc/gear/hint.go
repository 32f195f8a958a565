package gear

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"turncue/calc"
)

// The tooth counts looked at for one wheel more.
const (
	extraFrom = 15
	extraTo   = 127
)

// extra is the tooth counts of which one more wheel would make an exact train
// that can be mounted, smallest first.
func (t *table) extra(w Want, targets []calc.Ratio) []int {
	seen := map[int]bool{}
	for k := 1; k <= len(t.groups); k++ {
		if k > 2 && len(seen) > 0 {
			break // three pairs only where two do not do it
		}
		for _, r := range targets {
			for _, z := range t.missing(k, r) {
				if !seen[z] && t.mountsWith(w, r, z, k) {
					seen[z] = true
				}
			}
		}
	}
	return slices.Sorted(maps.Keys(seen))
}

// missing is the tooth counts that make some k pairs exact together with wheels
// owned.
func (t *table) missing(k int, r calc.Ratio) []int {
	short, full := []group{{product: 1}}, t.groups[k-1]
	if k > 1 {
		short = t.groups[k-2]
	}
	p, q := r.Num(), r.Den()
	if p > math.MaxInt64/int64(maxTeeth*maxTeeth*maxTeeth) || q > math.MaxInt64/int64(maxTeeth*maxTeeth*maxTeeth) {
		return nil
	}
	found := map[int]bool{}
	for _, f := range full {
		for _, s := range short {
			// A driver: z x s / f = p / q. A driven wheel: f / (z x s) = p / q.
			if n, d := f.product*p, s.product*q; n%d == 0 && n/d >= extraFrom && n/d <= extraTo {
				found[int(n/d)] = true
			}
			if n, d := f.product*q, s.product*p; n%d == 0 && n/d >= extraFrom && n/d <= extraTo {
				found[int(n/d)] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(found))
}

// mountsWith says that one more wheel of z teeth gives an exact train of k pairs
// that can be mounted.
func (t *table) mountsWith(w Want, r calc.Ratio, z, k int) bool {
	more := newTable(append(slices.Clone(t.wheels), z), k)
	more.groups = append(make([][]group, k-1), more.groups[k-1])
	for _, p := range more.near([]calc.Ratio{r}, -1, 0) {
		if fit, _ := more.place(w, p, nil); len(fit) > 0 {
			return true
		}
	}
	return false
}

// hints is what to say beside the trains.
func (w Want) hints(res Result) (hints []string) {
	switch {
	case len(res.Trains) == 0:
		hints = append(hints, fmt.Sprintf("no train of these wheels comes within a tenth of %s and can be mounted", w.Lead))
	case !res.Trains[0].Exact():
		hints = append(hints, fmt.Sprintf("no exact train of these wheels for %s on a leadscrew of %s", w.Lead, w.Leadscrew))
	}
	if n := len(res.Extra); n > 0 {
		hints = append(hints, fmt.Sprintf("exact with one more wheel: needs a %s tooth gear", either(res.Extra[:min(n, 6)])))
	}
	if len(res.Refused) > 0 {
		r := res.Refused[0]
		hints = append(hints, fmt.Sprintf("%s would be nearer (%+.0f ppm) but cannot be mounted: %s", r, r.PPM(), r.Notes[0]))
	}
	if len(res.Trains) > 0 && len(res.Trains[0].Idlers) > 0 && w.Banjo.Span == 0 {
		hints = append(hints, "an idler only has to reach: any wheel that does will serve in its place")
	}
	if w.Banjo.Clearance == 0 {
		hints = append(hints, fmt.Sprintf("clearance from tip to shaft centre taken as %s (common practice): measure your lathe's", mm(DefaultClearance)))
	}
	if len(res.Trains) > 0 && res.Trains[0].Verdict == NoFit {
		hints = append(hints, "the best train is too far off for a nut of one diameter")
	}
	return hints
}

func either(n []int) string {
	s := make([]string, len(n))
	for i, v := range n {
		s[i] = strconv.Itoa(v)
	}
	if len(s) == 1 {
		return s[0]
	}
	return strings.Join(s[:len(s)-1], ", ") + " or " + s[len(s)-1]
}

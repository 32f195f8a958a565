package gear

import (
	"cmp"
	"math"
	"slices"

	"turncue/calc"
)

// ranked is a train with what it is ranked by, the weightiest first.
type ranked struct {
	drivers  []int
	driven   []int
	idlers   []int
	lever    int     // gearbox position
	err      float64 // |lead/wanted - 1|
	wheels   int     // to hang
	tight    int     // 1 where a gap has less than 2 mm to spare
	rough    int     // tiny wheels and steep meshes
	changes  int     // wheels that are not where they were
	smallest int
	steepest float64
}

const tightGap = 2 * calc.Millimetre

func (w Want) rank(t Train, lever int, err float64) ranked {
	r := ranked{drivers: t.Drivers, driven: t.Driven, idlers: t.Idlers, lever: lever, err: err}
	r.wheels = len(t.Drivers) + len(t.Driven) + len(t.Idlers)
	for _, g := range t.Gaps {
		if g < w.Banjo.clearance()+tightGap {
			r.tight = 1
		}
	}
	r.smallest = min(slices.Min(t.Drivers), slices.Min(t.Driven))
	switch {
	case r.smallest < 20:
		r.rough = 2
	case r.smallest < 25:
		r.rough = 1
	}
	ratio := 1.0
	for i := range t.Drivers {
		mesh := float64(t.Drivers[i]) / float64(t.Driven[i])
		ratio *= mesh
		r.steepest = math.Max(r.steepest, mesh)
	}
	if r.steepest > 2 {
		r.rough++
	}
	if w.Banjo.Hard(ratio) {
		r.rough++
	}
	if len(w.Present.Drivers) > 0 {
		r.changes = t.changesFrom(w.Present)
	}
	return r
}

// changesFrom is how many wheels of the train are not already in their place.
func (t Train) changesFrom(now Train) (n int) {
	for i := range t.Drivers {
		if i >= len(now.Drivers) || now.Drivers[i] != t.Drivers[i] {
			n++
		}
		// Driven wheels keep their place counted from the leadscrew.
		j := len(now.Driven) - (len(t.Driven) - i)
		if j < 0 || j >= len(now.Driven) || now.Driven[j] != t.Driven[i] {
			n++
		}
	}
	for i, z := range t.Idlers {
		if i >= len(now.Idlers) || now.Idlers[i] != z {
			n++
		}
	}
	return n
}

// train is the train ranked, with nothing worked out yet.
func (r ranked) train() Train {
	return Train{Drivers: r.drivers, Driven: r.driven, Idlers: r.idlers}
}

func (r ranked) compare(o ranked) int {
	return cmp.Or(
		cmp.Compare(r.err, o.err),
		cmp.Compare(r.wheels, o.wheels),
		cmp.Compare(r.tight, o.tight),
		cmp.Compare(r.rough, o.rough),
		cmp.Compare(r.changes, o.changes),
		cmp.Compare(o.smallest, r.smallest),
		cmp.Compare(r.steepest, o.steepest),
		slices.Compare(r.drivers, o.drivers),
		slices.Compare(r.driven, o.driven),
		cmp.Compare(r.lever, o.lever),
	)
}

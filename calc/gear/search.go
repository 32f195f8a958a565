package gear

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"turncue/calc"
)

// Result is what a search found.
type Result struct {
	Trains  []Train  // that can be mounted, best first, at most Want.Most
	Refused []Train  // nearer than the best of Trains but not to be mounted, nearest first, with the reason in Notes
	Extra   []int    // tooth counts of which any single one more would make an exact train, smallest first
	Hints   []string // in words
}

// Search finds the trains for a lead, best first: by error, then the fewest
// wheels to hang, room to spare, no tiny wheels and little step-up, then the
// fewest changes from what is mounted. Exact trains come first; where there are
// none, or fewer than Want.Most, the nearest follow. Two trains that differ only
// in where their wheels stand are two trains.
//
// The sums are done on products of wheels: the drivers' products and the driven
// wheels' products are sorted once, and for each the other side is found by going
// along both. The cost grows with the number of wheels n as n^k log n for k pairs,
// not n^2k: on two studs ten times from 10 wheels to 20 and six times from 20 to 40
// were measured, to about 10 ms.
func Search(w Want) (Result, error) {
	if err := w.check(); err != nil {
		return Result{}, err
	}
	if err := w.Wheels.Check(); err != nil {
		return Result{}, err
	}
	return newTable(w.Wheels, w.Banjo.studs()+1).search(w)
}

// group is a choice of wheels for one side of a train, and their product.
type group struct {
	product int64
	teeth   [maxStuds + 1]int // rising; 0 beyond the pairs
	orders  [][]int           // every order of them, once it was needed
}

// table is every choice of wheels for one side, sorted by product, for each
// number of pairs. It serves any number of searches with the same wheels.
type table struct {
	wheels Wheels
	count  [maxTeeth + 1]int
	groups [][]group // by pairs-1
	pairs  []pair    // what near found last
}

func newTable(w Wheels, pairs int) *table {
	t := &table{wheels: w.Sorted()}
	for _, z := range w {
		t.count[z]++
	}
	var sizes []int
	for z, n := range t.count {
		if n > 0 {
			sizes = append(sizes, z)
		}
	}
	for k := 1; k <= pairs; k++ {
		var out []group
		var add func(g group, from, n int)
		add = func(g group, from, n int) {
			if n == k {
				out = append(out, g)
				return
			}
			for i := from; i < len(sizes); i++ {
				z := sizes[i]
				used := 0
				for j := range n {
					if g.teeth[j] == z {
						used++
					}
				}
				if used == t.count[z] {
					continue
				}
				next := g
				next.teeth[n] = z
				next.product *= int64(z)
				add(next, i, n+1)
			}
		}
		add(group{product: 1}, 0, 0)
		slices.SortFunc(out, func(a, b group) int { return cmp.Compare(a.product, b.product) })
		t.groups = append(t.groups, out)
	}
	return t
}

// owned says that both sides together use no wheel more often than owned.
func (t *table) owned(a, b group, k int) bool {
	for i := range k {
		z, n := a.teeth[i], 0
		for j := range k {
			if a.teeth[j] == z {
				n++
			}
			if b.teeth[j] == z {
				n++
			}
		}
		if n > t.count[z] {
			return false
		}
	}
	return true
}

// pair is both sides of a train that comes near, before its wheels are placed.
type pair struct {
	err   float64 // |lead/wanted - 1|
	lever int
	k     int
	a, b  int // groups of drivers and driven
}

// windows is how far from the wanted ratio the search looks, one after the
// other, until enough is found.
var windows = []float64{0, 2e-5, 5e-4, 1e-2, 1e-1}

// search is [Search] with the table made.
func (t *table) search(w Want) (Result, error) {
	res, err := t.trains(w, true)
	if err != nil {
		return res, err
	}
	if len(res.Trains) == 0 || !res.Trains[0].Exact() {
		targets, err := w.targets(w.levers())
		if err != nil {
			return res, err
		}
		res.Extra = t.extra(w, targets)
	}
	res.Hints = w.hints(res)
	return res, nil
}

// targets is what the change gears have to do in each gearbox position.
func (w Want) targets(levers []Lever) ([]calc.Ratio, error) {
	targets := make([]calc.Ratio, len(levers))
	for i, l := range levers {
		r, err := w.ratio(l)
		if err != nil {
			return nil, err
		}
		targets[i] = r
	}
	return targets, nil
}

// trains is the trains of a search and, if the reasons are wanted, those refused.
func (t *table) trains(w Want, reasons bool) (Result, error) {
	levers := w.levers()
	targets, err := w.targets(levers)
	if err != nil {
		return Result{}, err
	}
	var res Result
	var found []ranked
	from := -1.0
	for _, to := range windows {
		pairs := t.near(targets, from, to)
		from = to
		for i := 0; i < len(pairs) && len(found) < w.most(); {
			// All trains of one error are placed together, so that none of them is
			// cut off by chance.
			j := i
			for ; j < len(pairs) && pairs[j].err == pairs[i].err; j++ {
				var refused *Train
				found, refused = t.place(w, pairs[j], found)
				if reasons && refused != nil && len(found) == 0 && len(res.Refused) < w.most() {
					full, err := w.fill(*refused, levers[pairs[j].lever])
					if err != nil {
						return Result{}, err
					}
					res.Refused = append(res.Refused, full)
				}
			}
			i = j
		}
		if len(found) >= w.most() {
			break
		}
	}
	if w.most() == 1 && len(found) > 0 {
		found = []ranked{slices.MinFunc(found, ranked.compare)}
	}
	slices.SortFunc(found, ranked.compare)
	for _, f := range found[:min(len(found), w.most())] {
		full, err := w.fill(f.train(), levers[f.lever])
		if err != nil {
			return Result{}, err
		}
		res.Trains = append(res.Trains, full)
	}
	if len(res.Trains) > 0 {
		best := math.Abs(res.Trains[0].PPM())
		res.Refused = slices.DeleteFunc(res.Refused, func(r Train) bool { return math.Abs(r.PPM()) >= best })
	}
	return res, nil
}

// near is the pairs whose error is above from and at most to, nearest first. The
// next call overwrites them.
func (t *table) near(targets []calc.Ratio, from, to float64) []pair {
	t.pairs = t.pairs[:0]
	for l, r := range targets {
		want := float(r)
		for k, groups := range t.groups {
			lo := 0
			for j := range groups {
				goal := float64(groups[j].product) * want
				low, high := goal*(1-to-1e-12), goal*(1+to+1e-12)
				for lo < len(groups) && float64(groups[lo].product) < low {
					lo++
				}
				for i := lo; i < len(groups) && float64(groups[i].product) <= high; i++ {
					if !t.owned(groups[i], groups[j], k+1) {
						continue
					}
					e := math.Abs(offset(groups[i].product, groups[j].product, r))
					if e > from && e <= to {
						t.pairs = append(t.pairs, pair{e, l, k + 1, i, j})
					}
				}
			}
		}
	}
	slices.SortStableFunc(t.pairs, func(a, b pair) int {
		return cmp.Or(cmp.Compare(a.err, b.err), cmp.Compare(a.k, b.k))
	})
	return t.pairs
}

// offset is (p/q)/r - 1. It is zero just where the ratios are equal, and the
// same number for p/q in any terms.
func offset(p, q int64, r calc.Ratio) float64 {
	g := gcd(p, q)
	p, q = p/g, q/g
	h1, l1 := bits.Mul64(uint64(p), uint64(r.Den()))
	h2, l2 := bits.Mul64(uint64(q), uint64(r.Num()))
	whole := float64(h2)*(1<<64) + float64(l2)
	if h1 < h2 || h1 == h2 && l1 < l2 {
		lo, borrow := bits.Sub64(l2, l1, 0)
		hi, _ := bits.Sub64(h2, h1, borrow)
		return -(float64(hi)*(1<<64) + float64(lo)) / whole
	}
	lo, borrow := bits.Sub64(l1, l2, 0)
	hi, _ := bits.Sub64(h1, h2, borrow)
	return (float64(hi)*(1<<64) + float64(lo)) / whole
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// place puts the wheels of a pair on the shafts in every way and adds those that
// fit. The refused train is the one that comes nearest to fitting, nil where one
// fits.
func (t *table) place(w Want, p pair, fit []ranked) (all []ranked, refused *Train) {
	before := len(fit)
	worst := calc.Length(math.MaxInt64)
	var nearest Train
	plain := p.k > 1 && (w.Tumbler || (p.k%2 == 1) == w.LeftHand) // needs no idler
	for _, a := range t.orders(p.k, p.a) {
		for _, b := range t.orders(p.k, p.b) {
			if plain && w.Banjo.Span == 0 {
				if s := w.Banjo.shortfall(a, b); s > 0 {
					if s < worst {
						worst, nearest = s, Train{Drivers: a, Driven: b}
					}
					continue
				}
			}
			train, ok := w.handed(t.wheels, a, b)
			if !ok {
				continue
			}
			gaps, faults := w.Banjo.mounting(train)
			if len(faults) == 0 {
				train.Gaps = gaps
				fit = append(fit, w.rank(train, p.lever, p.err))
				continue
			}
			var short calc.Length
			for _, f := range faults {
				short += f.short()
			}
			if short < worst {
				worst, nearest = short, train
			}
		}
	}
	if len(fit) > before || worst == math.MaxInt64 {
		return fit, nil
	}
	return fit, &nearest
}

// shortfall is by how much the wheels beside each other on studs come too near
// their neighbours' shafts, in all; zero where none does. It is what mounting says
// about a train without idlers on a banjo of unknown span, in less time.
func (b Banjo) shortfall(drivers, driven []int) (short calc.Length) {
	n := len(drivers) + 1
	for i := 1; i < len(drivers); i++ {
		short += max(0, b.need(i-1, n)-b.gap(drivers[i-1], driven[i-1], drivers[i]))
		short += max(0, b.need(i+1, n)-b.gap(drivers[i], driven[i], driven[i-1]))
	}
	return short
}

// orders is every distinct order of a group of k wheels, made when first asked
// for.
func (t *table) orders(k, i int) [][]int {
	g := &t.groups[k-1][i]
	if g.orders == nil {
		g.orders = orders(g.teeth[:k])
	}
	return g.orders
}

// orders is every distinct order of the wheels; they come rising.
func orders(teeth []int) [][]int {
	if len(teeth) <= 1 {
		return [][]int{slices.Clone(teeth)}
	}
	var out [][]int
	for i, z := range teeth {
		if i > 0 && teeth[i-1] == z {
			continue
		}
		rest := slices.Delete(slices.Clone(teeth), i, i+1)
		for _, o := range orders(rest) {
			out = append(out, append([]int{z}, o...))
		}
	}
	return out
}

// handed is the train of these wheels that turns the leadscrew the right way, with
// as few idlers as do it. A simple train has at least one, because two wheels
// alone do not span the shafts of a lathe, unless the span says so. Where the span
// is given the idlers are the largest with which the train can be mounted,
// otherwise the largest left. The second result is false where no wheel is left
// for an idler.
func (w Want) handed(owned Wheels, drivers, driven []int) (Train, bool) {
	t := Train{Drivers: drivers, Driven: driven}
	least := 0
	if len(drivers) == 1 && w.Banjo.Span == 0 {
		least = 1
	}
	var first *Train
	for n := least; n <= 2; n++ {
		if !w.Tumbler && (len(drivers)+n)%2 == 1 != w.LeftHand {
			continue
		}
		if first != nil && w.Banjo.Studs != 0 && len(drivers)-1+n > w.Banjo.Studs {
			break // no stud left for one more
		}
		if w.Banjo.Span == 0 {
			if t.Idlers = largest(owned, drivers, driven, n); len(t.Idlers) == n {
				return t, true
			}
			continue
		}
		for _, idlers := range spare(owned, t.Teeth(), n) {
			t.Idlers = idlers
			if _, faults := w.Banjo.mounting(t); len(faults) == 0 {
				return t, true
			}
			if first == nil {
				first = &Train{Drivers: drivers, Driven: driven, Idlers: idlers}
			}
		}
	}
	if first == nil {
		return Train{}, false
	}
	return *first, true
}

// largest is the n largest wheels beside those of two sides, fewer where there are
// not so many. The wheels owned come rising.
func largest(owned Wheels, drivers, driven []int, n int) (out []int) {
	for i := len(owned) - 1; i >= 0 && len(out) < n; i-- {
		z, same, used := owned[i], 0, 0
		for j := i; j < len(owned) && owned[j] == z; j++ {
			same++ // wheels of this size from here up
		}
		for _, side := range [2][]int{drivers, driven} {
			for _, y := range side {
				if y == z {
					used++
				}
			}
		}
		if same > used {
			out = append(out, z)
		}
	}
	return out
}

// spare is the choices of n wheels beside those used, the largest first; n is at
// most two.
func spare(owned Wheels, used []int, n int) (out [][]int) {
	if n == 0 {
		return [][]int{nil}
	}
	rest, missing := owned.Less(used...)
	if len(missing) > 0 || len(rest) < n {
		return nil
	}
	rest = rest.Sorted()
	slices.Reverse(rest)
	for i, y := range rest {
		if i > 0 && rest[i-1] == y {
			continue
		}
		if n == 1 {
			out = append(out, []int{y})
			continue
		}
		for j, z := range rest[i+1:] {
			if j == 0 || rest[i+j] != z {
				out = append(out, []int{y, z})
			}
		}
	}
	return out
}

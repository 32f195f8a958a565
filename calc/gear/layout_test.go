package gear

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"turncue/calc"
)

// laid is an independent layout of a train by coordinates in mm: shafts in a row
// where the span is free, otherwise turned round each other until nothing touches.
// It knows nothing of the gap formulas: only that wheels in mesh stand half the
// module by the sum of their teeth apart, that two wheels in one plane must not
// overlap by their tip circles, and that no wheel may come nearer to the middle of
// another shaft than it must.
type laid struct {
	b     Banjo
	x, y  []float64
	wheel []laidWheel
}

type laidWheel struct {
	teeth, shaft, plane int
	mesh                int // wheels with the same number mesh
}

func layOut(t Train, b Banjo) (laid, []float64) {
	l := laid{b: b}
	var reach []float64
	m := b.module().Millimetres()
	shaft := 0
	for i := range t.Drivers {
		row := []int{t.Drivers[i]}
		for k, z := range t.Idlers {
			if t.mesh(k) == i {
				row = append(row, z)
			}
		}
		row = append(row, t.Driven[i])
		for k, z := range row {
			l.wheel = append(l.wheel, laidWheel{z, shaft + k, i, 0})
			if k > 0 {
				reach = append(reach, m*float64(row[k-1]+z)/2)
			}
		}
		shaft += len(row) - 1
	}
	l.x, l.y = make([]float64, shaft+1), make([]float64, shaft+1)
	return l, reach
}

// overlaps says whether anything touches what it should not.
func (l laid) overlaps() bool {
	m := l.b.module().Millimetres()
	n := len(l.x)
	for i, w := range l.wheel {
		tip := m * float64(w.teeth+2) / 2
		for _, v := range l.wheel[i+1:] {
			if v.plane != w.plane || v.shaft == w.shaft || v.shaft-w.shaft == 1 || w.shaft-v.shaft == 1 {
				continue
			}
			if math.Hypot(l.x[w.shaft]-l.x[v.shaft], l.y[w.shaft]-l.y[v.shaft]) < tip+m*float64(v.teeth+2)/2-1e-6 {
				return true
			}
		}
		for s := range n {
			if s == w.shaft {
				continue
			}
			inMesh := false
			for _, v := range l.wheel {
				inMesh = inMesh || v.shaft == s && v.plane == w.plane && (s-w.shaft == 1 || w.shaft-s == 1)
			}
			need := l.clear(s)
			if !inMesh && math.Hypot(l.x[w.shaft]-l.x[s], l.y[w.shaft]-l.y[s]) < tip+need-1e-6 {
				return true
			}
		}
	}
	return false
}

// clear is how far a wheel's tips must stay from the middle of a shaft in mm.
func (l laid) clear(shaft int) float64 {
	r := l.b.Stud
	switch shaft {
	case 0:
		r = l.b.First
	case len(l.x) - 1:
		r = l.b.Last
	}
	switch {
	case r > 0:
		return r.Millimetres() + 1 // of air
	case l.b.Clearance > 0:
		return l.b.Clearance.Millimetres()
	}
	return 6
}

// swings says that the banjo can be turned to where the last stud is: the angle at
// the leadscrew between the ways to the first shaft and to the stud.
func (l laid) swings() bool {
	if l.b.SwingTo == 0 {
		return true
	}
	n := len(l.x) - 1
	ax, ay := l.x[0]-l.x[n], l.y[0]-l.y[n]
	bx, by := l.x[n-1]-l.x[n], l.y[n-1]-l.y[n]
	deg := math.Acos((ax*bx+ay*by)/math.Hypot(ax, ay)/math.Hypot(bx, by)) * 180 / math.Pi
	return deg > l.b.SwingFrom.Degrees()-1e-3 && deg < l.b.SwingTo.Degrees()+1e-3
}

// possible says whether some position of the shafts keeps everything clear.
func possible(t Train, b Banjo) bool {
	l, reach := layOut(t, b)
	for _, w := range l.wheel {
		if b.Cover > 0 && b.module().Millimetres()*float64(w.teeth+2) > b.Cover.Millimetres() {
			return false
		}
	}
	if last := reach[len(reach)-1]; len(reach) > 1 && (b.Near > 0 && last < b.Near.Millimetres() || b.Far > 0 && last > b.Far.Millimetres()) {
		return false
	}
	if b.Span == 0 {
		at := 0.0
		for i, r := range reach {
			at += r
			l.x[i+1] = at
		}
		return !l.overlaps()
	}
	span := b.Span.Millimetres()
	n := len(l.x) - 1
	l.x[n] = span
	switch n {
	case 1:
		return math.Abs(reach[0]-span) < 1e-6
	case 2:
		// where the two circles meet
		a := (span*span + reach[0]*reach[0] - reach[1]*reach[1]) / (2 * span)
		h := reach[0]*reach[0] - a*a
		if h < -1e-6 {
			return false
		}
		l.x[1], l.y[1] = a, math.Sqrt(max(0, h))
		return !l.overlaps() && l.swings()
	case 3:
		// the second stud goes round the leadscrew here, not the first round the
		// spindle as in the code
		for k := range 2000 {
			s, c := math.Sincos(2 * math.Pi * float64(k) / 2000)
			l.x[2], l.y[2] = span+reach[2]*c, reach[2]*s
			d := math.Hypot(l.x[2], l.y[2])
			a := (d*d + reach[0]*reach[0] - reach[1]*reach[1]) / (2 * d)
			h := reach[0]*reach[0] - a*a
			if h < 0 {
				continue
			}
			for _, side := range []float64{1, -1} {
				g := side * math.Sqrt(h)
				l.x[1], l.y[1] = (a*l.x[2]-g*l.y[2])/d, (a*l.y[2]+g*l.x[2])/d
				if !l.overlaps() && l.swings() {
					return true
				}
			}
		}
		return false
	}
	return false
}

func randomWheels(r *rand.Rand, n int) Wheels {
	var w Wheels
	for len(w) < n {
		w = append(w, 18+r.IntN(70))
	}
	return w
}

// TestEveryTrainCanBeHung: property of every train returned, over random lathes:
// it can be laid out, uses only owned wheels and no wheel twice, and cuts what it
// says.
func TestEveryTrainCanBeHung(t *testing.T) {
	const seed = 4
	r := rand.New(rand.NewPCG(seed, 0))
	counts := map[string]int{}
	for i := range 250 {
		w := Want{
			Lead:      calc.PerTurn(calc.Length(200+r.IntN(4000)) * calc.Micrometre),
			Leadscrew: leadscrews()[r.IntN(len(leadscrews()))],
			Wheels:    randomWheels(r, 4+r.IntN(8)),
			LeftHand:  r.IntN(3) == 0,
			Tumbler:   r.IntN(2) == 0,
			Most:      10 + r.IntN(40),
			Banjo:     Banjo{Clearance: calc.Length(3+r.IntN(8)) * calc.Millimetre, Studs: 1 + r.IntN(2)},
		}
		if r.IntN(2) == 0 {
			w.Banjo.Span = calc.Length(60+r.IntN(90)) * calc.Millimetre
		}
		if r.IntN(3) == 0 {
			w.Banjo.Module = 1250 * calc.Micrometre
		}
		if i%2 == 1 { // a lathe whose file says everything
			between := func(low, high int) calc.Length { return calc.Length(low+r.IntN(high-low+1)) * calc.Millimetre }
			w.Banjo.First, w.Banjo.Stud, w.Banjo.Last = between(6, 12), between(4, 8), between(6, 12)
			w.Banjo.Near, w.Banjo.Far = between(15, 35), between(50, 100)
			w.Banjo.SwingFrom, w.Banjo.SwingTo = calc.Angle(r.IntN(25))*calc.Degree, calc.Angle(60+r.IntN(90))*calc.Degree
			w.Banjo.Cover = between(60, 110)
			w.Fixed, w.Levers = fraction(t, r), []Lever{{"A", fraction(t, r)}, {"B", fraction(t, r)}}
		}
		res, err := Search(w)
		if err != nil {
			t.Fatalf("seed %d case %d: %v", seed, i, err)
		}
		last := -1.0
		for _, tr := range res.Trains {
			if !tr.Fits {
				t.Errorf("seed %d case %d: %s does not fit and was returned: %q", seed, i, tr, tr.Notes)
			}
			if !possible(tr, w.Banjo) {
				t.Errorf("seed %d case %d: %s cannot be laid out on %+v", seed, i, tr, w.Banjo)
			}
			if _, missing := w.Wheels.Less(tr.Teeth()...); len(missing) > 0 {
				t.Errorf("seed %d case %d: %s uses %v, owned %v", seed, i, tr, missing, w.Wheels)
			}
			if odd := tr.Meshes()%2 == 1; !w.Tumbler && odd != w.LeftHand {
				t.Errorf("seed %d case %d: %s turns the wrong way", seed, i, tr)
			}
			checkExact(t, tr, w)
			if e := math.Abs(tr.PPM()); e < last*(1-1e-12) {
				t.Errorf("seed %d case %d: %s comes after a worse one", seed, i, tr)
			} else {
				last = e
			}
			counts[string(rune('0'+len(tr.Drivers)))+string(rune('0'+len(tr.Idlers)))]++
		}
		for _, tr := range res.Refused {
			if tr.Fits || len(tr.Notes) == 0 {
				t.Errorf("seed %d case %d: %s refused without a reason", seed, i, tr)
			}
			// What is refused really touches: not even in a row, which gives the most
			// room, can it be laid out; or the studs are too few.
			if w.Banjo.Span == 0 && possible(tr, w.Banjo) && len(tr.Drivers)+len(tr.Idlers)-1 <= w.Banjo.Studs {
				t.Errorf("seed %d case %d: %s refused and can be laid out: %q", seed, i, tr, tr.Notes)
			}
		}
	}
	for _, kind := range []string{"11", "12", "20", "21", "30"} {
		if counts[kind] == 0 {
			t.Errorf("no train of kind %s (pairs, idlers) among %v", kind, counts)
		}
	}
	t.Log(counts)
}

// fraction is a simple ratio.
func fraction(t *testing.T, r *rand.Rand) calc.Ratio {
	t.Helper()
	q, err := calc.NewRatio(1+r.Int64N(4), 1+r.Int64N(3))
	must(t, err)
	return q
}

// checkExact recomputes a train's lead and error with big fractions.
func checkExact(t *testing.T, tr Train, w Want) {
	t.Helper()
	lead := new(big.Rat).Set(w.Leadscrew.Nanometres().Rat())
	for i := range tr.Drivers {
		lead.Mul(lead, big.NewRat(int64(tr.Drivers[i]), int64(tr.Driven[i])))
	}
	if w.Fixed.Sign() != 0 {
		lead.Mul(lead, w.Fixed.Rat())
	}
	for _, l := range w.Levers {
		if l.Name == tr.Lever {
			lead.Mul(lead, l.Ratio.Rat())
		}
	}
	if lead.Cmp(tr.Lead.Nanometres().Rat()) != 0 {
		t.Errorf("%s cuts %s, said %s", tr, lead, tr.Lead.Nanometres())
	}
	e := new(big.Rat).Quo(lead, w.Lead.Nanometres().Rat())
	e.Sub(e, big.NewRat(1, 1))
	if e.Cmp(tr.Error.Rat()) != 0 {
		t.Errorf("%s: error %s, said %s", tr, e, tr.Error)
	}
}

// twin is every train of one or two pairs by plain nested loops over the wheels,
// with the same idlers and mounting rule for a lathe whose span is not given.
func twin(w Want) (best []string, err float64) {
	err = math.Inf(1)
	n := len(w.Wheels)
	want := w.Lead.Millimetres() / w.Leadscrew.Millimetres()
	seen := map[string]bool{}
	take := func(tr Train, ratio float64) {
		e := math.Abs(ratio/want - 1)
		if e > err+1e-12 {
			return
		}
		if _, faults := w.Banjo.mounting(tr); len(faults) > 0 {
			return
		}
		if e < err-1e-12 {
			err, best = e, nil
			clear(seen)
		}
		if s := tr.String(); !seen[s] {
			seen[s] = true
			best = append(best, s)
		}
	}
	for a := range n {
		for b := range n {
			if b == a {
				continue
			}
			idler := 0
			for i := range n {
				if i != a && i != b {
					idler = max(idler, w.Wheels[i])
				}
			}
			if idler > 0 {
				take(Train{Drivers: []int{w.Wheels[a]}, Driven: []int{w.Wheels[b]}, Idlers: []int{idler}}, float64(w.Wheels[a])/float64(w.Wheels[b]))
			}
			for c := range n {
				if c == a || c == b {
					continue
				}
				for d := range n {
					if d == a || d == b || d == c {
						continue
					}
					ratio := float64(w.Wheels[a]) / float64(w.Wheels[b]) * float64(w.Wheels[c]) / float64(w.Wheels[d])
					if math.Abs(ratio/want-1) > err+1e-12 {
						continue
					}
					take(Train{Drivers: []int{w.Wheels[a], w.Wheels[c]}, Driven: []int{w.Wheels[b], w.Wheels[d]}}, ratio)
				}
			}
		}
	}
	return best, err
}

// TestNothingBetterThanTheFirst: the nested loops find the same best error and the
// same trains.
func TestNothingBetterThanTheFirst(t *testing.T) {
	const seed = 9
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 150 {
		w := Want{
			Lead:      calc.PerTurn(calc.Length(200+25*r.IntN(200)) * calc.Micrometre),
			Leadscrew: leadscrews()[r.IntN(len(leadscrews()))],
			Wheels:    randomWheels(r, 4+r.IntN(9)),
			Most:      maxMost,
		}
		if i%2 == 0 {
			w.Wheels = Wheels{20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 65, 80, 80}
		}
		res, err := Search(w)
		if err != nil {
			t.Fatal(err)
		}
		want, e := twin(w)
		if len(res.Trains) == 0 {
			if e < 0.1 {
				t.Errorf("seed %d case %d: nothing found, the loops find %v", seed, i, want)
			}
			continue
		}
		if math.Abs(math.Abs(res.Trains[0].Error.Float())-e) > 1e-12 {
			t.Fatalf("seed %d case %d: first is %s at %g, the loops find %v at %g", seed, i, res.Trains[0], res.Trains[0].Error.Float(), want, e)
		}
		var got []string
		for _, tr := range res.Trains {
			if math.Abs(math.Abs(tr.Error.Float())-e) <= 1e-12 {
				got = append(got, tr.String())
			}
		}
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("seed %d case %d: %s from %v: found %v, the loops %v", seed, i, w.Lead, w.Wheels, got, want)
		}
	}
}

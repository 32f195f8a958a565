package bench

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"turncue/calc"
)

func bar(d, from, to calc.Length) Profile { return Profile{{From: from, To: to, Left: d, Right: d}} }

func cutAll(p Profile, edges ...edge) Profile {
	for i, e := range edges {
		p, _ = p.cut(nil, e, i+1)
	}
	return p
}

// A chamfer of 1.5 at the corner of a 12 bar: 9 at the face, full size 1.5 in.
func TestChamferIsACone(t *testing.T) {
	tl := &tool{edge: 6 * mm}
	tl.Kind = "chamfer"
	got := cutAll(bar(12*mm, 0, 40*mm), tl.covers(9*mm, 0, 0)...)
	equalProfiles(t, got, Profile{
		{From: 0, To: 1500 * um, Left: 9 * mm, Right: 12 * mm},
		{From: 1500 * um, To: 40 * mm, Left: 12 * mm, Right: 12 * mm},
	})
}

// A groove of 3 in an 11.85 bar, cut by a tool of 2 in two plunges, and then
// turned over at 11.
func TestGrooveIsExact(t *testing.T) {
	tl := &tool{width: 2 * mm}
	tl.Kind = "grooving"
	edges := append(tl.covers(9400*um, 27*mm, 27*mm), tl.covers(9400*um, 28*mm, 28*mm)...)
	got := cutAll(bar(11850*um, 0, 40*mm), edges...)
	equalProfiles(t, got, Profile{
		{From: 0, To: 25 * mm, Left: 11850 * um, Right: 11850 * um},
		{From: 25 * mm, To: 28 * mm, Left: 9400 * um, Right: 9400 * um},
		{From: 28 * mm, To: 40 * mm, Left: 11850 * um, Right: 11850 * um},
	})
	got = cutAll(got, flat(-far, 30*mm, 11*mm))
	equalProfiles(t, got, Profile{
		{From: 0, To: 25 * mm, Left: 11 * mm, Right: 11 * mm},
		{From: 25 * mm, To: 28 * mm, Left: 9400 * um, Right: 9400 * um},
		{From: 28 * mm, To: 30 * mm, Left: 11 * mm, Right: 11 * mm},
		{From: 30 * mm, To: 40 * mm, Left: 11850 * um, Right: 11850 * um},
	})
}

func TestFacingTakesTheEndOff(t *testing.T) {
	got := cutAll(bar(22*mm, -500*um, 40*mm), flat(-far, 0, -200*um))
	equalProfiles(t, got, bar(22*mm, 0, 40*mm))
	// Stopped short of the centre it leaves a pip.
	got = cutAll(bar(22*mm, -500*um, 40*mm), flat(-far, 0, 2*mm))
	equalProfiles(t, got, Profile{
		{From: -500 * um, To: 0, Left: 2 * mm, Right: 2 * mm},
		{From: 0, To: 40 * mm, Left: 22 * mm, Right: 22 * mm},
	})
}

// A line crossing a cone is split where they meet: a cone from 10 to 20 over 10,
// turned at 14, keeps its first 4.
func TestCutAcrossACone(t *testing.T) {
	p := Profile{{From: 0, To: 10 * mm, Left: 10 * mm, Right: 20 * mm}}
	equalProfiles(t, cutAll(p, flat(0, 10*mm, 14*mm)), Profile{
		{From: 0, To: 4 * mm, Left: 10 * mm, Right: 14 * mm},
		{From: 4 * mm, To: 10 * mm, Left: 14 * mm, Right: 14 * mm},
	})
	equalProfiles(t, cutAll(p, edge{0, 10 * mm, 20 * mm, 10 * mm}), Profile{
		{From: 0, To: 5 * mm, Left: 10 * mm, Right: 15 * mm},
		{From: 5 * mm, To: 10 * mm, Left: 15 * mm, Right: 10 * mm},
	})
}

// The slow twin: the work sampled on a grid, each sample brought down by every
// edge over it. Random edges, flat and at 45 degrees, keep all corners on the grid.
func TestProfileAgainstSamples(t *testing.T) {
	const seed = 7
	r := rand.New(rand.NewPCG(seed, 1))
	for round := range 300 {
		p := bar(40*mm, 0, 60*mm)
		samples := make([]calc.Length, 600) // at 0.05, 0.15, ...
		for i := range samples {
			samples[i] = 40 * mm
		}
		for range 1 + r.IntN(12) {
			from := calc.Length(r.IntN(600)) * 100 * um
			to := from + calc.Length(1+r.IntN(200))*100*um
			x := calc.Length(2+r.IntN(200)) * 200 * um
			e := flat(from, to, x)
			switch r.IntN(3) {
			case 0:
				e.right = e.left + 2*(to-from)
			case 1:
				e.left = e.right + 2*(to-from)
			}
			room, ok := p.room(e)
			wantRoom := calc.Length(far)
			for i := range samples {
				z := calc.Length(i)*100*um + 50*um
				if z > from && z < to {
					wantRoom = min(wantRoom, e.at(z)-samples[i])
					samples[i] = min(samples[i], e.at(z))
				}
			}
			// Between samples the room can be less by what 45 degrees do in half a step.
			if ok != (wantRoom != far) || (ok && (room > wantRoom || room < wantRoom-200*um)) {
				t.Fatalf("seed %d round %d: room %s, samples say %s", seed, round, room, wantRoom)
			}
			p, _ = p.cut(nil, e, 1)
		}
		for i, want := range samples {
			z := calc.Length(i)*100*um + 50*um
			if got := p.At(z); got != want {
				t.Fatalf("seed %d round %d: %s at z %s, samples say %s\n%v", seed, round, got, z, want, p)
			}
		}
		for i := 1; i < len(p); i++ {
			if p[i].From != p[i-1].To || p[i].To <= p[i].From {
				t.Fatalf("seed %d round %d: pieces do not join: %v", seed, round, p)
			}
		}
	}
}

// share against math/big, over the whole range a move may name.
func TestShareAgainstBig(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 5000 {
		l := calc.Length(r.Int64N(2*int64(far)) - int64(far))
		whole := 1 + calc.Length(r.Int64N(int64(far)))
		part := calc.Length(r.Int64N(int64(whole) + 1))
		q := new(big.Rat).Mul(big.NewRat(int64(l), 1), big.NewRat(int64(part), int64(whole)))
		if want := q.FloatString(0); big.NewInt(int64(share(l, part, whole))).String() != want && want != "-0" {
			t.Fatalf("%d x %d / %d is %d, want %s", l, part, whole, share(l, part, whole), want)
		}
	}
}

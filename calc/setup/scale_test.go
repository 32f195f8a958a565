package setup

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"turncue/calc"
)

// The whole-number sums of a dial against the same with fractions of any size.
func TestDialAgainstFractions(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	number := func() int64 {
		switch r.IntN(4) {
		case 0:
			return r.Int64N(1000) - 500
		case 1:
			return r.Int64N(2_000_000_000) - 1_000_000_000
		case 2:
			return int64(r.Uint64())
		}
		return []int64{0, 1, -1, math.MaxInt64, math.MinInt64, math.MinInt64 + 1}[r.IntN(6)]
	}
	for range 20_000 {
		l, num, den := calc.Length(number()), number(), max(1, number()&math.MaxInt64)
		want := new(big.Rat).SetFrac(big.NewInt(num), big.NewInt(den))
		want.Mul(want, new(big.Rat).SetInt64(int64(l)))
		if lim := new(big.Rat).SetInt64(math.MaxInt64 / 2); new(big.Rat).Abs(want).Cmp(lim) < 0 {
			if got := scale(l, num, den); int64(got) != round(want) {
				t.Fatalf("%d x %d / %d is %d, want %d", l, num, den, got, round(want))
			}
		}
		d := Dial{Travel: calc.Length(1+r.Int64N(int64(maxTravel))) * calc.Nanometre, Divisions: 1 + r.IntN(maxDivisions)}
		at := calc.Length(r.Int64N(4_000_000_000_000)-2_000_000_000_000) * calc.Nanometre
		if r.IntN(3) == 0 { // on a line
			at = d.lines(r.Int64N(4000) - 2000)
		}
		e := d.exact(at)
		if got, want := d.SnapIn(at), d.lines(new(big.Int).Div(e.Num(), e.Denom()).Int64()); got != want {
			t.Fatalf("%+v: the last line before %s is %s, want %s", d, at, got, want)
		}
		exact, err := ratio(e)
		if got := d.Setting(at).Exact; err == nil && got != exact {
			t.Fatalf("%+v: %s is %s divisions, want %s", d, at, got, exact)
		}
		turns, reading := r.IntN(200)-100, calc.Length(r.Int64N(int64(d.Travel)))*calc.Nanometre
		p := big.NewRat(int64(reading), int64(d.marked()))
		p.Add(p, big.NewRat(int64(turns), 1))
		p.Mul(p, big.NewRat(int64(d.Travel), 1))
		if got := d.Position(turns, reading); int64(got) != round(p) {
			t.Fatalf("%+v: %d turns and %s stand at %s, want %d nm", d, turns, reading, got, round(p))
		}
	}
}

package calc

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// Written lengths against the same with fractions of any size.
func TestDecimalAgainstFractions(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 50_000 {
		l := Length(r.Int64N(2_000_000_000)-1_000_000_000) * Nanometre
		if r.IntN(4) == 0 {
			l = []Length{0, 1, -1, math.MaxInt64, math.MinInt64, Inch / 2, -Thou}[r.IntN(7)]
		}
		unit := []Length{Millimetre, Inch, Thou, Micrometre, Nanometre, 7 * Micrometre}[r.IntN(6)]
		places := r.IntN(11)
		if got, want := l.Decimal(unit, places), big.NewRat(int64(l), int64(unit)).FloatString(places); got != want {
			t.Fatalf("%d nm in %d nm to %d places: %s, want %s", int64(l), int64(unit), places, got, want)
		}
	}
}

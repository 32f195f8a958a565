package calc_test

import (
	"math"
	"math/big"
	"math/rand"
	"strings"
	"testing"

	"turncue/calc"
)

func length(t testing.TB, s string) calc.Length {
	t.Helper()
	l, err := calc.ParseLength(s)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func seeded(t testing.TB, seed int64) *rand.Rand {
	t.Helper()
	t.Logf("seed %d", seed)
	return rand.New(rand.NewSource(seed))
}

// anyLength is a length of any size and sign, small ones as likely as large.
func anyLength(rng *rand.Rand) calc.Length {
	n := rng.Int63() >> uint(rng.Intn(62))
	if rng.Intn(2) == 0 {
		n = -n
	}
	return calc.Length(n)
}

// halfUp rounds a ratio to a whole number, halves away from zero: the slow
// obvious twin of the rounding in calc.
func halfUp(r *big.Rat) *big.Int {
	twice := new(big.Int).Mul(r.Num(), big.NewInt(2))
	if r.Sign() >= 0 {
		twice.Add(twice, r.Denom())
	} else {
		twice.Sub(twice, r.Denom())
	}
	return twice.Quo(twice, new(big.Int).Mul(r.Denom(), big.NewInt(2)))
}

// held is a whole number held inside the range of a Length.
func held(n *big.Int) calc.Length {
	switch {
	case n.IsInt64():
		return calc.Length(n.Int64())
	case n.Sign() < 0:
		return math.MinInt64
	}
	return math.MaxInt64
}

func TestParseLength(t *testing.T) {
	for text, nm := range map[string]calc.Length{
		"12.5 mm": 12_500_000, "12.5mm": 12_500_000, " 12.5 mm ": 12_500_000, "1-1/8 in": 28_575_000, "1 1/8 in": 28_575_000, "7/16 in": 11_112_500,
		`0.375"`: 9_525_000, "375 thou": 9_525_000, "1 inch": 25_400_000, "1/64 in": 396_875, "0.0001 in": 2540, "-0.05 mm": -50_000, "−0.05 mm": -50_000,
		"+0.05 mm": 50_000, "0.01 mm": 10_000, ".5 mm": 500_000, "5. mm": 5_000_000, "2.5 cm": 25_000_000, "10 um": 10_000, "10 µm": 10_000,
		"010/16 in": 15_875_000, "08/16 in": 12_700_000, "1/010 in": 2_540_000, "010 mm": 10_000_000, "010.5 mm": 10_500_000, // no octal
		"0.000001 mm": 1, "0 mm": 0, "-1-1/8 in": -28_575_000, "0.00001 in": 254,
	} {
		if got, err := calc.ParseLength(text); err != nil || got != nm {
			t.Errorf("%q is %d nm, %v; want %d", text, got, err, nm)
		}
	}
	for text, want := range map[string]string{
		"": "no length", " ": "no length", "12.5": "has no unit: write 12.5 mm", "12,5 mm": "comma: write the decimal with a point, 12.5 mm",
		"mm": "no number", "x mm": "no number", "1e3 mm": "no number", "0x10 mm": "no number", "NaN mm": "no number", "Inf mm": "no number", "1_000 mm": "no number",
		"1/0 in": "no number", "1/2/3 in": "no number", "1-1-1/8 in": "no number", "--1 mm": "no number", "1.2.3 mm": "no number", "1.5/2 in": "no number",
		"0.0000001 mm": "finer than a nanometre", "1/3 in": "finer than a nanometre", "0.000001 in": "finer than a nanometre",
		"99999999999999 mm": "too long", "h9": "no length", "5 furlongs": "no length", ". mm": "no number", "+ mm": "no number",
		strings.Repeat("9", 60) + " mm": "no number", "12 m": "no length",
	} {
		got, err := calc.ParseLength(text)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is %s, %v; want %q in the error", text, got, err, want)
		}
	}
}

// A written number of any unit is exactly what a ratio of it is, or refused.
func TestParseLengthTwin(t *testing.T) {
	rng := seeded(t, 20260310)
	units := map[string]int64{"mm": 1_000_000, "in": 25_400_000, "thou": 25_400, "um": 1000, "cm": 10_000_000}
	names := []string{"mm", "in", "thou", "um", "cm"}
	for range 20000 {
		unit := names[rng.Intn(len(names))]
		number := big.NewRat(rng.Int63n(1e9)-5e8, int64(math.Pow10(rng.Intn(8)))).FloatString(rng.Intn(8))
		exact, _ := new(big.Rat).SetString(number)
		exact.Mul(exact, big.NewRat(units[unit], 1))
		got, err := calc.ParseLength(number + " " + unit)
		if exact.IsInt() != (err == nil) {
			t.Fatalf("%s %s: %v, exact %s nm", number, unit, err, exact)
		}
		if err == nil && big.NewInt(int64(got)).Cmp(exact.Num()) != 0 {
			t.Fatalf("%s %s is %d nm, exact %s", number, unit, got, exact)
		}
	}
}

// Every length prints to a text that reads back to itself.
func TestLengthPrintReadsBack(t *testing.T) {
	rng := seeded(t, 20260311)
	for range 20000 {
		l := anyLength(rng)
		if got, err := calc.ParseLength(l.String()); err != nil || got != l {
			t.Fatalf("%d nm prints as %s, which reads back as %d, %v", l, l, got, err)
		}
		text, err := l.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var again calc.Length
		if err := again.UnmarshalText(text); err != nil || again != l {
			t.Fatalf("%s marshals to %s", l, text)
		}
	}
	for _, l := range []calc.Length{math.MaxInt64, math.MinInt64 + 1, 0, 1, -1} {
		if got, err := calc.ParseLength(l.String()); err != nil || got != l {
			t.Errorf("%d nm prints as %s, which reads back as %d, %v", l, l, got, err)
		}
	}
}

func TestRoundingTwin(t *testing.T) {
	rng := seeded(t, 20260312)
	for range 20000 {
		l := anyLength(rng) / 4
		step := 1 + anyLength(rng).Abs()/8
		twin := halfUp(big.NewRat(int64(l), int64(step)))
		if got := l.Steps(step); big.NewInt(got).Cmp(twin) != 0 {
			t.Fatalf("%d in steps of %d is %d, twin %s", l, step, got, twin)
		}
		if got := l.Round(step); got != calc.Length(twin.Int64())*step {
			t.Fatalf("%d rounded to %d is %d", l, step, got)
		}
		floor, ceil := l.Floor(step), l.Ceil(step)
		if floor > l || l-floor >= step || floor%step != 0 || ceil < l || ceil-l >= step || ceil%step != 0 {
			t.Fatalf("%d between %d and %d in steps of %d", l, floor, ceil, step)
		}
		places := rng.Intn(7)
		scaled := new(big.Rat).Mul(big.NewRat(int64(l), int64(step)), new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil)))
		if got, want := strings.Replace(l.Decimal(step, places), ".", "", 1), halfUp(scaled); mustInt(t, got).Cmp(want) != 0 {
			t.Fatalf("%d over %d to %d places is %s, twin %s", l, step, places, l.Decimal(step, places), want)
		}
	}
	if l := calc.Length(5); l.Round(0) != l || l.Floor(-1) != l || l.Ceil(0) != l || l.Steps(0) != 0 || l.Decimal(0, 2) != "" {
		t.Error("a step of nothing moves a length")
	}
}

func mustInt(t testing.TB, s string) *big.Int {
	t.Helper()
	n, ok := new(big.Int).SetString(s, 10)
	if !ok {
		t.Fatalf("%q is no whole number", s)
	}
	return n
}

func TestScaleTwin(t *testing.T) {
	rng := seeded(t, 20260313)
	for range 20000 {
		l := anyLength(rng)
		r, err := calc.NewRatio(rng.Int63n(1e6)-5e5, 1+rng.Int63n(1e6))
		if err != nil {
			t.Fatal(err)
		}
		want := held(halfUp(new(big.Rat).Mul(big.NewRat(int64(l), 1), r.Rat())))
		if got := l.Scale(r); got != want {
			t.Fatalf("%d by %s is %d, twin %d", l, r, got, want)
		}
	}
}

func TestMid(t *testing.T) {
	rng := seeded(t, 20260314)
	for range 5000 {
		a, b := anyLength(rng)/2, anyLength(rng)/2
		sum := new(big.Int).Add(big.NewInt(int64(a)), big.NewInt(int64(b)))
		want := new(big.Int).Rsh(sum, 1)
		if got := calc.Mid(a, b); got != calc.Length(want.Int64()) {
			t.Fatalf("the middle of %d and %d is %d", a, b, got)
		}
	}
}

// The sums that go wrong in floating point are right in whole nanometres: 400
// times 0.05 mm, ten times a tenth of an inch, the depth reached with a dial of
// 0.05 mm or a ten-thousandth, a figure half way between two decimals.
func TestSumsThatFloatsGetWrong(t *testing.T) {
	sum := calc.Length(0)
	for range 400 {
		sum += length(t, "0.05 mm")
	}
	if sum != length(t, "20 mm") {
		t.Errorf("400 x 0.05 mm is %s", sum)
	}
	sum = 0
	for range 10 {
		sum += length(t, "0.1 in")
	}
	if sum < calc.Inch {
		t.Errorf("10 x 0.1 in is under an inch: %s", sum)
	}
	sum = 0
	for range 1000 {
		sum += length(t, "0.0001 in")
	}
	if sum != length(t, "0.1 in") {
		t.Errorf("1000 x 0.0001 in is %s", sum)
	}
	// "Feed until the depth is reached" takes exactly target / step passes.
	step := length(t, "0.05 mm")
	for target := step; target <= 200*step; target += step {
		n := 0
		for d := calc.Length(0); d < target; d += step {
			n++
		}
		if calc.Length(n) != target/step {
			t.Fatalf("%s in steps of %s takes %d", target, step, n)
		}
	}
	// Every division of a dial lies on a division of it.
	for _, division := range []string{"0.01 mm", "0.02 mm", "0.05 mm", "0.001 in", "0.0005 in", "1/64 in"} {
		d := length(t, division)
		for i := range calc.Length(16000) {
			if l := i * d; l%d != 0 || l.Floor(d) != l || l.Steps(d) != int64(i) {
				t.Fatalf("%d x %s is off the dial", i, division)
			}
		}
	}
	for text, want := range map[string]string{"0.285 mm": "0.29", "1.005 mm": "1.01", "2.675 mm": "2.68", "0.125 mm": "0.13", "-0.125 mm": "-0.13", "0.124999 mm": "0.12"} {
		if got := length(t, text).Decimal(calc.Millimetre, 2); got != want {
			t.Errorf("%s to two places is %s, want %s", text, got, want)
		}
	}
	if got := length(t, "-0.001 mm").Trimmed(calc.Millimetre, 2); got != "0" {
		t.Errorf("-0.001 mm to two places is %q", got)
	}
}

// A decimal literal of up to six places of a millimetre, or five of an inch,
// survives a floating point number (TOML may carry one) to the nanometre.
func TestFloatsAreSafeToRead(t *testing.T) {
	rng := seeded(t, 20260315)
	for range 20000 {
		nm := calc.Length(rng.Int63n(int64(1000 * calc.Millimetre)))
		if got := calc.Millimetres(nm.Millimetres()); got != nm {
			t.Fatalf("%s comes back as %s", nm, got)
		}
		l := calc.Length(rng.Int63n(4_000_000)) * 254
		if got := calc.Inches(l.Inches()); got != l {
			t.Fatalf("%s comes back as %s", l, got)
		}
	}
}

// A depth shared out over passes and rounded on the sum ends at the right depth;
// rounding each step ends up to 0.03 mm away. This is the trap, shown.
func TestRoundTheSumNotTheSteps(t *testing.T) {
	wrong := 0
	for _, total := range []calc.Length{596 * calc.Micrometre, 920 * calc.Micrometre, 1230 * calc.Micrometre} {
		for n := 3; n <= 14; n++ {
			dial, sum, before, exact := 10*calc.Micrometre, calc.Length(0), calc.Length(0), 0.0
			for i := 1; i <= n; i++ {
				at := calc.Length(math.Round(float64(total) * math.Sqrt(float64(i)/float64(n))))
				sum += calc.Length(math.Round(float64(at) - exact)).Round(dial)
				exact, before = float64(at), at.Round(dial)
			}
			if before != total.Round(dial) {
				t.Errorf("%s in %d passes ends at %s", total, n, before)
			}
			if sum != total.Round(dial) {
				wrong++
			}
		}
	}
	if wrong == 0 {
		t.Error("rounding each step was right every time: the example shows nothing")
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"12.5 mm", "1-1/8 in", `0.375"`, "375 thou", "-0.05 mm", "1/3 in", "12,5 mm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := calc.ParseLength(s)
		if err != nil {
			return
		}
		if again, err := calc.ParseLength(l.String()); err != nil || again != l {
			t.Fatalf("%q is %s, which reads back as %s, %v", s, l, again, err)
		}
	})
}

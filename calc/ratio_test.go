package calc_test

import (
	"math"
	"math/big"
	"math/rand"
	"strings"
	"testing"

	"turncue/calc"
)

func anyRatio(t testing.TB, rng *rand.Rand, bits int) calc.Ratio {
	t.Helper()
	r, err := calc.NewRatio(rng.Int63()>>uint(63-bits)-(1<<(bits-1)), 1+rng.Int63()>>uint(63-bits))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Each operation against math/big.Rat; what does not fit in 64 bits is an error,
// never a wrapped number.
func TestRatioTwin(t *testing.T) {
	rng := seeded(t, 20260320)
	for i := range 20000 {
		bits := 20 + i%43
		a, b := anyRatio(t, rng, bits), anyRatio(t, rng, bits)
		type op struct {
			name string
			got  func() (calc.Ratio, error)
			want *big.Rat
		}
		ops := []op{
			{"times", func() (calc.Ratio, error) { return a.Times(b) }, new(big.Rat).Mul(a.Rat(), b.Rat())},
			{"plus", func() (calc.Ratio, error) { return a.Plus(b) }, new(big.Rat).Add(a.Rat(), b.Rat())},
		}
		if b.Sign() != 0 {
			ops = append(ops, op{"over", func() (calc.Ratio, error) { return a.Over(b) }, new(big.Rat).Quo(a.Rat(), b.Rat())})
		}
		for _, o := range ops {
			got, err := o.got()
			fits := o.want.Num().IsInt64() && o.want.Denom().IsInt64()
			if fits != (err == nil) {
				t.Fatalf("%s %s %s: %v, exact %s", a, o.name, b, err, o.want)
			}
			if err == nil && (got.Rat().Cmp(o.want) != 0 || got.Num() != o.want.Num().Int64() || got.Den() != o.want.Denom().Int64()) {
				t.Fatalf("%s %s %s is %s, exact %s", a, o.name, b, got, o.want)
			}
		}
		if a.Cmp(b) != a.Rat().Cmp(b.Rat()) || a.Sign() != a.Rat().Sign() {
			t.Fatalf("%s against %s", a, b)
		}
		if again, err := calc.ParseRatio(a.String()); err != nil || again != a {
			t.Fatalf("%s reads back as %s, %v", a, again, err)
		}
	}
}

// Equal values are equal under ==, however they were made.
func TestRatioIsInLowestTerms(t *testing.T) {
	two, err := calc.NewRatio(-6, -3)
	if err != nil || two != calc.Whole(2) {
		t.Errorf("-6/-3 is %s, %v", two, err)
	}
	zero, err := calc.NewRatio(0, 7)
	if err != nil || zero != (calc.Ratio{}) || zero.Den() != 1 || zero.String() != "0" {
		t.Errorf("0/7 is %s, %v", zero, err)
	}
	if _, err := calc.NewRatio(1, 0); err == nil {
		t.Error("1/0 is a ratio")
	}
	if _, err := calc.NewRatio(math.MinInt64, -1); err == nil {
		t.Error("a ratio wrapped round")
	}
	if _, err := calc.Whole(1).Over(calc.Ratio{}); err == nil {
		t.Error("one over nothing is a ratio")
	}
	for text, want := range map[string]string{"45/60": "3/4", "45:60": "3/4", "0.75": "3/4", "1-1/2": "3/2", "3": "3", "-127/120": "-127/120"} {
		if r, err := calc.ParseRatio(text); err != nil || r.String() != want {
			t.Errorf("%q is %s, %v; want %s", text, r, err, want)
		}
	}
	for _, bad := range []string{"", "a", "1/0", "1:2:3", "1/2 mm", "99999999999999999999"} {
		if r, err := calc.ParseRatio(bad); err == nil {
			t.Errorf("%q is taken as %s", bad, r)
		}
	}
}

// 24 pitches in threads per inch, sixteen of which no decimal unit holds: each
// is exact as a lead, and comes back.
func TestLeadsPerInchAreExact(t *testing.T) {
	for _, tpi := range []string{"8", "9", "10", "11", "11.5", "12", "13", "14", "16", "18", "19", "20", "24", "26", "27", "28", "32", "36", "40", "44", "48", "56", "64", "72", "80"} {
		l, err := calc.ParseLead(tpi + " tpi")
		if err != nil {
			t.Fatal(err)
		}
		want, err := calc.ParseRatio(tpi)
		if err != nil {
			t.Fatal(err)
		}
		if back, err := l.PerInch(); err != nil || back != want {
			t.Errorf("%s tpi comes back as %s", tpi, back)
		}
		if got := l.Travel(want); got != calc.Inch {
			t.Errorf("%s turns at %s tpi travel %s", tpi, tpi, got)
		}
		if turns, err := l.Turns(calc.Inch); err != nil || turns != want {
			t.Errorf("an inch at %s tpi takes %s turns", tpi, turns)
		}
		if again, err := calc.ParseLead(l.String()); err != nil || again != l {
			t.Errorf("%s tpi prints as %s, which reads back as %s, %v", tpi, l, again, err)
		}
	}
	// 60 and 30 driving 45 and 60 from a 1.5 mm screw cut 1.000 mm.
	train, err := calc.NewRatio(60*30, 45*60)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := calc.PerTurn(1500 * calc.Micrometre).Times(train); err != nil || got != calc.PerTurn(calc.Millimetre) {
		t.Errorf("60/45 x 30/60 from 1.5 mm cuts %s, %v", got, err)
	}
}

// A lead is shown as a person writes it: no thread count as a fraction of thirds.
func TestLeadsAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]string{
		"1.75 mm": "1.75 mm", "27 tpi": "27 tpi", "11-1/2 tpi": "11.5 tpi", "4.25 tpi": "4.25 tpi", "1/8 in": "3.175 mm",
		"76/3 tpi":   "1.002632 mm", // no whole, half or quarter: 25.4 x 3 / 76
		"81/8 tpi":   "2.508642 mm",
		"127/10 tpi": "2 mm",
	} {
		l, err := calc.ParseLead(text)
		if err != nil || l.String() != want {
			t.Errorf("%s is shown as %s, %v; want %s", text, l, err, want)
		}
		var back calc.Lead
		if b, err := l.MarshalText(); err != nil || back.UnmarshalText(b) != nil || back != l {
			t.Errorf("%s is kept as %s, %v", text, b, err)
		}
	}
}

func TestLeadTwin(t *testing.T) {
	rng := seeded(t, 20260321)
	for range 5000 {
		tpi, err := calc.NewRatio(1+rng.Int63n(200), 1+rng.Int63n(8))
		if err != nil {
			t.Fatal(err)
		}
		l, err := calc.PerInch(tpi)
		if err != nil {
			t.Fatal(err)
		}
		exact := new(big.Rat).Quo(big.NewRat(25_400_000, 1), tpi.Rat())
		if l.Nanometres().Rat().Cmp(exact) != 0 || l.Length() != held(halfUp(exact)) {
			t.Fatalf("%s per inch is %s", tpi, l)
		}
		turns := anyRatio(t, rng, 12)
		if got, want := l.Travel(turns), held(halfUp(new(big.Rat).Mul(exact, turns.Rat()))); got != want {
			t.Fatalf("%s turns of %s travel %s, twin %s", turns, l, got, want)
		}
		var again calc.Lead
		if text, err := l.MarshalText(); err != nil {
			t.Fatal(err)
		} else if err := again.UnmarshalText(text); err != nil || again != l {
			t.Fatalf("%s reads back as %s, %v", text, again, err)
		}
	}
	for _, bad := range []string{"", "0 mm", "-1 mm", "0 tpi", "-8 tpi", "x tpi", "1.5", "tpi", "1/0 tpi"} {
		if l, err := calc.ParseLead(bad); err == nil {
			t.Errorf("%q is taken as %s", bad, l)
		}
	}
	var none calc.Lead
	if !none.IsZero() || none.Sign() != 0 || none.Cmp(calc.PerTurn(1)) >= 0 {
		t.Error("the zero lead is a lead")
	}
	if _, err := none.PerInch(); err == nil {
		t.Error("no lead has threads per inch")
	}
	if _, err := none.Turns(calc.Inch); err == nil {
		t.Error("no lead takes turns")
	}
}

func FuzzParseLead(f *testing.F) {
	for _, s := range []string{"1.5 mm", "16 tpi", "11-1/2 tpi", "1/8 in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := calc.ParseLead(s)
		if err != nil {
			return
		}
		text, err := l.MarshalText()
		if err != nil || l.Sign() <= 0 {
			t.Fatalf("%q is %s, %v", s, l, err)
		}
		var again calc.Lead
		if err := again.UnmarshalText(text); err != nil || again != l {
			t.Fatalf("%q is %s, which reads back as %s, %v", s, text, again, err)
		}
	})
}

func FuzzParseRatio(f *testing.F) {
	for _, s := range []string{"45/60", "45:60", "0.75", "1-1/2", "3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r, err := calc.ParseRatio(s)
		if err != nil {
			return
		}
		if again, err := calc.ParseRatio(r.String()); err != nil || again != r || strings.Contains(r.String(), "/1") && r.Den() == 1 {
			t.Fatalf("%q is %s, which reads back as %s, %v", s, r, again, err)
		}
	})
}

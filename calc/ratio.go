package calc

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// Ratio is an exact fraction in lowest terms with a denominator above zero, so
// that == compares values. The zero Ratio is 0/1 and safe to use.
type Ratio struct {
	num int64
	den int64 // 0 means 1
}

// NewRatio makes num/den in lowest terms. A denominator of zero, or a result
// that does not fit in 64 bits, is an error.
func NewRatio(num, den int64) (Ratio, error) {
	if den == 0 {
		return Ratio{}, fmt.Errorf("%d over 0 is no ratio", num)
	}
	if num != math.MinInt64 && den != math.MinInt64 {
		return lowest(num, den), nil
	}
	return ratioOf(new(big.Rat).SetFrac(big.NewInt(num), big.NewInt(den)))
}

// Whole is the ratio n/1.
func Whole(n int64) Ratio { return normal(n, 1) }

func normal(num, den int64) Ratio {
	if den == 1 {
		den = 0 // one form only, so that == holds
	}
	return Ratio{num, den}
}

func ratioOf(r *big.Rat) (Ratio, error) {
	if !r.Num().IsInt64() || !r.Denom().IsInt64() {
		return Ratio{}, fmt.Errorf("ratio %s does not fit in 64 bits", r.FloatString(6))
	}
	return normal(r.Num().Int64(), r.Denom().Int64()), nil
}

// lowest is num/den in lowest terms; den is not zero, and neither is the least
// int64.
func lowest(num, den int64) Ratio {
	if den < 0 {
		num, den = -num, -den
	}
	a, b := num, den
	if a < 0 {
		a = -a
	}
	for b != 0 {
		a, b = b, a%b
	}
	if a > 1 {
		num, den = num/a, den/a
	}
	return normal(num, den)
}

// small says that a number is small enough for the product of two of them, and
// the sum of two such products, to fit in 64 bits.
func small(n int64) bool { return n > -1<<30 && n < 1<<30 }

// Num is the numerator, with the sign.
func (r Ratio) Num() int64 { return r.num }

// Den is the denominator, always above zero.
func (r Ratio) Den() int64 {
	if r.den == 0 {
		return 1
	}
	return r.den
}

// Rat is the ratio as a fresh big.Rat.
func (r Ratio) Rat() *big.Rat { return big.NewRat(r.num, r.Den()) }

// Float is the nearest floating point number.
func (r Ratio) Float() float64 {
	const exact = 1 << 53 // both ends are exact floats, so the quotient is rounded once
	if r.num > -exact && r.num < exact && r.Den() < exact {
		return float64(r.num) / float64(r.Den())
	}
	f, _ := r.Rat().Float64()
	return f
}

// Sign is -1, 0 or +1.
func (r Ratio) Sign() int {
	switch {
	case r.num < 0:
		return -1
	case r.num > 0:
		return 1
	}
	return 0
}

// Times multiplies exactly; a product that does not fit in 64 bits is an error.
func (r Ratio) Times(o Ratio) (Ratio, error) {
	if small(r.num) && small(o.num) && small(r.Den()) && small(o.Den()) {
		return lowest(r.num*o.num, r.Den()*o.Den()), nil
	}
	return ratioOf(new(big.Rat).Mul(r.Rat(), o.Rat()))
}

// Over divides exactly; division by zero and a result that does not fit in 64
// bits are errors.
func (r Ratio) Over(o Ratio) (Ratio, error) {
	if o.num == 0 {
		return Ratio{}, fmt.Errorf("%s over 0 is no ratio", r)
	}
	if small(r.num) && small(o.num) && small(r.Den()) && small(o.Den()) {
		return lowest(r.num*o.Den(), r.Den()*o.num), nil
	}
	return ratioOf(new(big.Rat).Quo(r.Rat(), o.Rat()))
}

// Plus adds exactly; a sum that does not fit in 64 bits is an error.
func (r Ratio) Plus(o Ratio) (Ratio, error) { return ratioOf(new(big.Rat).Add(r.Rat(), o.Rat())) }

// Cmp is -1, 0 or +1 as r is less than, equal to or more than o.
func (r Ratio) Cmp(o Ratio) int {
	if small(r.num) && small(o.num) && small(r.Den()) && small(o.Den()) {
		return cmp.Compare(r.num*o.Den(), o.num*r.Den())
	}
	return r.Rat().Cmp(o.Rat())
}

// String is "2/3", or "4" for a whole number.
func (r Ratio) String() string {
	if r.Den() == 1 {
		return strconv.FormatInt(r.num, 10)
	}
	return fmt.Sprintf("%d/%d", r.num, r.den)
}

// MarshalText is [Ratio.String].
func (r Ratio) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText is [ParseRatio].
func (r *Ratio) UnmarshalText(b []byte) error {
	v, err := ParseRatio(string(b))
	if err == nil {
		*r = v
	}
	return err
}

// ParseRatio reads "45/60", "45:60", "0.75", "1-1/2" or "3" exactly.
func ParseRatio(s string) (Ratio, error) {
	t := strings.Replace(strings.TrimSpace(s), ":", "/", 1)
	r, err := parseNumber(t, s)
	if err != nil {
		return Ratio{}, err
	}
	return ratioOf(r)
}

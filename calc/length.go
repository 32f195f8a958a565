package calc

import (
	"fmt"
	"math"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// Length is a distance in whole nanometres. An inch is 25 400 000 of them, a
// thou 25 400, a sixty-fourth of an inch 396 875. The range is about nine
// million kilometres either way. Thread leads are not lengths: see [Lead].
type Length int64

// The units a length is written in.
const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1000 * Micrometre
	Inch              = 25_400_000 * Nanometre // by definition
	Thou              = Inch / 1000
)

// lengthUnits are the spellings a written length may end in.
var lengthUnits = []struct {
	name string
	unit Length
}{
	{"mm", Millimetre}, {"um", Micrometre}, {"µm", Micrometre}, {"cm", 10 * Millimetre},
	{"inch", Inch}, {"in", Inch}, {`"`, Inch}, {"thou", Thou},
}

// Millimetres makes a length of a decimal number of millimetres, rounded half
// away from zero to the nanometre. It is for figures that come as floating
// point numbers; written figures go through [ParseLength], which is exact.
func Millimetres(mm float64) Length { return Length(math.Round(mm * float64(Millimetre))) }

// Inches makes a length of a decimal number of inches, rounded half away from
// zero to the nanometre.
func Inches(in float64) Length { return Length(math.Round(in * float64(Inch))) }

// Millimetres is the length as a floating point number of millimetres, for
// formulas that need one.
func (l Length) Millimetres() float64 { return float64(l) / float64(Millimetre) }

// Inches is the length as a floating point number of inches.
func (l Length) Inches() float64 { return float64(l) / float64(Inch) }

// Abs is the length without its sign.
func (l Length) Abs() Length {
	if l < 0 {
		return -l
	}
	return l
}

// Scale multiplies by a ratio, rounding half away from zero to the nanometre.
// Where the product leaves the range of a Length it is held at the range's end.
func (l Length) Scale(r Ratio) Length {
	return fromRat(new(big.Rat).Mul(big.NewRat(int64(l), 1), r.Rat()))
}

// Round brings the length to the nearest whole multiple of step, halves away
// from zero. A step of zero or less leaves it as it is.
func (l Length) Round(step Length) Length {
	if step <= 0 {
		return l
	}
	return Length(l.Steps(step)) * step
}

// Steps is the number of whole steps nearest to the length, halves away from
// zero. A step of zero or less counts none.
func (l Length) Steps(step Length) int64 {
	if step <= 0 {
		return 0
	}
	q, r := int64(l/step), l%step
	switch {
	case r >= step-r:
		q++
	case -r >= step+r:
		q--
	}
	return q
}

// Floor is the largest whole multiple of step that is not above the length.
func (l Length) Floor(step Length) Length {
	if step <= 0 {
		return l
	}
	r := l % step
	if r < 0 {
		r += step
	}
	return l - r
}

// Ceil is the smallest whole multiple of step that is not below the length.
func (l Length) Ceil(step Length) Length { return -(-l).Floor(step) }

// Mid is the middle of two lengths, rounded towards minus infinity to the
// nanometre.
func Mid(a, b Length) Length { return (a + b) >> 1 }

// Decimal writes the length as a number of the unit with exactly that many
// decimal places, halves away from zero, without the unit.
func (l Length) Decimal(unit Length, places int) string {
	if unit <= 0 {
		return ""
	}
	if s, ok := l.decimal(unit, places); ok {
		return s
	}
	return big.NewRat(int64(l), int64(unit)).FloatString(max(0, places))
}

// decimal is Decimal in whole numbers; ok is false where 64 bits do not hold them.
func (l Length) decimal(unit Length, places int) (s string, ok bool) {
	const most = 9
	if places < 0 || places > most {
		return "", false
	}
	ten := uint64(1)
	for range places {
		ten *= 10
	}
	n := uint64(l)
	if l < 0 {
		n = -n
	}
	hi, lo := bits.Mul64(n, ten)
	lo, carry := bits.Add64(lo, uint64(unit)/2, 0)
	if hi += carry; hi >= uint64(unit) {
		return "", false
	}
	q, _ := bits.Div64(hi, lo, uint64(unit))
	buf := make([]byte, 0, 24)
	if l < 0 {
		buf = append(buf, '-')
	}
	buf = strconv.AppendUint(buf, q/ten, 10)
	if places > 0 {
		buf = append(buf, '.')
		for rest, step := q%ten, ten/10; step > 0; step /= 10 {
			buf = append(buf, '0'+byte(rest/step%10))
		}
	}
	return string(buf), true
}

// Trimmed is [Length.Decimal] without zeros at the end: 12.5 rather than 12.500.
func (l Length) Trimmed(unit Length, places int) string {
	s := l.Decimal(unit, places)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	return s
}

// String is the exact length in millimetres: "9.525 mm".
func (l Length) String() string { return l.Trimmed(Millimetre, 6) + " mm" }

// MarshalText is [Length.String].
func (l Length) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText is [ParseLength].
func (l *Length) UnmarshalText(b []byte) error {
	v, err := ParseLength(string(b))
	if err == nil {
		*l = v
	}
	return err
}

// ParseLength reads a written length: "12.5 mm", "12.5mm", "7/16 in",
// "1-1/8 in", `0.375"`, "375 thou". The result is exact; a figure finer than a
// nanometre, a figure without a unit and a decimal comma are errors that say
// what to write instead.
func ParseLength(s string) (Length, error) {
	number, unit, err := splitUnit(s)
	if err != nil {
		return 0, err
	}
	r, err := parseNumber(number, s)
	if err != nil {
		return 0, err
	}
	r.Mul(r, big.NewRat(int64(unit), 1))
	if !r.IsInt() {
		return 0, fmt.Errorf("%q is finer than a nanometre: write at most 6 places of a millimetre or 5 of an inch", s)
	}
	if !r.Num().IsInt64() {
		return 0, fmt.Errorf("%q is too long for any lathe", s)
	}
	return Length(r.Num().Int64()), nil
}

func splitUnit(s string) (number string, unit Length, err error) {
	t := strings.TrimSpace(s)
	if t == "" {
		return "", 0, fmt.Errorf("no length: write one such as 12.5 mm, 7/16 in or 375 thou")
	}
	for _, u := range lengthUnits {
		if n, ok := strings.CutSuffix(t, u.name); ok {
			return strings.TrimSpace(n), u.unit, nil
		}
	}
	first, last := t[0], t[len(t)-1]
	if (last >= '0' && last <= '9' || last == '.') && (first >= '0' && first <= '9' || first == '.' || first == '+' || first == '-') {
		return "", 0, fmt.Errorf("%q has no unit: write %s mm, %s in or %s thou", s, t, t, t)
	}
	return "", 0, fmt.Errorf("%q is no length: write one such as 12.5 mm, 7/16 in or 375 thou", s)
}

// parseNumber reads a decimal, a fraction or a mixed number ("1-1/8", "1 1/8"),
// with a sign; whole is the text it stands in, for the message.
func parseNumber(n, whole string) (*big.Rat, error) {
	bad := func() (*big.Rat, error) {
		if strings.Contains(n, ",") {
			return nil, fmt.Errorf("%q has a comma: write the decimal with a point, %s", whole, strings.Replace(whole, ",", ".", 1))
		}
		return nil, fmt.Errorf("%q is no number: write a decimal such as 12.5 or a fraction such as 1-1/8", whole)
	}
	sign := int64(1)
	t := n
	if strings.HasPrefix(t, "-") || strings.HasPrefix(t, "−") {
		sign = -1
		t = strings.TrimPrefix(strings.TrimPrefix(t, "-"), "−")
	} else {
		t = strings.TrimPrefix(t, "+")
	}
	if t == "" || len(t) > 40 {
		return bad()
	}
	digits := func(s string) bool {
		for i := range len(s) {
			if s[i] < '0' || s[i] > '9' {
				return false
			}
		}
		return s != ""
	}
	fraction := func(s string) (*big.Rat, bool) {
		a, b, ok := strings.Cut(s, "/")
		if !ok || !digits(a) || !digits(b) {
			return nil, false
		}
		// Not Rat.SetString: it takes a leading nought in a fraction for octal.
		num, _ := new(big.Int).SetString(a, 10)
		den, _ := new(big.Int).SetString(b, 10)
		if den.Sign() == 0 {
			return nil, false
		}
		return new(big.Rat).SetFrac(num, den), true
	}
	if strings.Contains(t, "/") {
		wholePart, frac := "", t
		if i := strings.LastIndexAny(t, "- "); i >= 0 {
			wholePart, frac = strings.TrimSpace(t[:i]), t[i+1:]
		}
		r, ok := fraction(frac)
		if !ok || (wholePart != "" && !digits(wholePart)) {
			return bad()
		}
		if wholePart != "" {
			w, _ := new(big.Rat).SetString(wholePart)
			r.Add(r, w)
		}
		return r.Mul(r, big.NewRat(sign, 1)), nil
	}
	a, b, point := strings.Cut(t, ".")
	if (a == "" && b == "") || (a != "" && !digits(a)) || (b != "" && !digits(b)) || (!point && b != "") {
		return bad()
	}
	r, ok := new(big.Rat).SetString(t)
	if !ok {
		return bad()
	}
	return r.Mul(r, big.NewRat(sign, 1)), nil
}

// fromRat rounds a number of nanometres half away from zero and holds it inside
// the range.
func fromRat(r *big.Rat) Length {
	if num, den := r.Num(), r.Denom(); num.IsInt64() && den.IsInt64() {
		n, d := num.Int64(), den.Int64()
		q, rest := n/d, n%d
		switch {
		case rest >= d-rest:
			q++
		case -rest >= d+rest:
			q--
		}
		return Length(q)
	}
	n, err := strconv.ParseInt(r.FloatString(0), 10, 64)
	if err != nil {
		if r.Sign() < 0 {
			return math.MinInt64
		}
		return math.MaxInt64
	}
	return Length(n)
}

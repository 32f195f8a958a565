package calc

import (
	"fmt"
	"math/big"
	"strings"
)

// Lead is the carriage travel per turn, a fraction in lowest terms so that ==
// holds: eleven per inch is 25 400 000 nm in 11 turns. It also serves for a feed
// per turn. On a single-start thread the lead is the pitch. The zero Lead means
// none given; [PerTurn] and [PerInch] make the others.
type Lead struct {
	nm Ratio // travel per turn in nanometres
}

// PerTurn is a lead of that travel in one turn.
func PerTurn(travel Length) Lead { return Lead{Whole(int64(travel))} }

// PerInch is the lead of so many threads per inch; half threads (11-1/2) are
// exact. Zero or less is an error.
func PerInch(threads Ratio) (Lead, error) {
	if threads.Sign() <= 0 {
		return Lead{}, fmt.Errorf("%s threads per inch is no thread", threads)
	}
	r, err := Whole(int64(Inch)).Over(threads)
	return Lead{r}, err
}

// Times is the lead through a gear ratio; a result that does not fit is an error.
func (l Lead) Times(r Ratio) (Lead, error) {
	p, err := l.nm.Times(r)
	return Lead{p}, err
}

// Over is the exact ratio of two leads: what the gears must do to cut l with o.
func (l Lead) Over(o Lead) (Ratio, error) { return l.nm.Over(o.nm) }

// IsZero says that no lead was given.
func (l Lead) IsZero() bool { return l.nm.num == 0 }

// Sign is -1, 0 or +1.
func (l Lead) Sign() int { return l.nm.Sign() }

// Cmp compares two leads.
func (l Lead) Cmp(o Lead) int { return l.nm.Cmp(o.nm) }

// Nanometres is the exact travel per turn as a ratio of nanometres.
func (l Lead) Nanometres() Ratio { return l.nm }

// Length is the travel in one turn, rounded half away from zero to the nanometre.
func (l Lead) Length() Length {
	if l.nm.Den() == 1 {
		return Length(l.nm.num)
	}
	return fromRat(l.nm.Rat())
}

// Travel is the carriage travel in so many turns, rounded half away from zero
// to the nanometre.
func (l Lead) Travel(turns Ratio) Length {
	return fromRat(new(big.Rat).Mul(l.nm.Rat(), turns.Rat()))
}

// Turns is the number of turns a travel takes. A zero lead is an error.
func (l Lead) Turns(travel Length) (Ratio, error) { return Whole(int64(travel)).Over(l.nm) }

// PerInch is the exact number of threads per inch. A zero lead is an error.
func (l Lead) PerInch() (Ratio, error) { return Whole(int64(Inch)).Over(l.nm) }

// Millimetres is the travel per turn as a floating point number.
func (l Lead) Millimetres() float64 { return l.nm.Float() / float64(Millimetre) }

// String is "1.75 mm" where the travel is a whole number of micrometres, "27
// tpi", "11.5 tpi" or "4.25 tpi" where that is how the trade counts (whole
// threads, halves and quarters), and otherwise millimetres rounded to six places.
func (l Lead) String() string {
	if l.nm.Den() == 1 && l.nm.num%int64(Micrometre) == 0 {
		return Length(l.nm.num).String()
	}
	if t, err := l.PerInch(); err == nil && 4%t.Den() == 0 {
		s := t.Rat().FloatString(2)
		return strings.TrimRight(strings.TrimRight(s, "0"), ".") + " tpi"
	}
	return l.Length().String()
}

// MarshalText is exact: [Lead.String] where that is, and otherwise the threads
// per inch as a fraction. [ParseLead] reads it back to the same lead; the zero
// lead has no text.
func (l Lead) MarshalText() ([]byte, error) {
	if l.IsZero() {
		return nil, nil
	}
	s := l.String()
	if back, err := ParseLead(s); err == nil && back == l {
		return []byte(s), nil
	}
	t, err := l.PerInch()
	if err != nil {
		return nil, err
	}
	return []byte(t.String() + " tpi"), nil
}

// UnmarshalText is [ParseLead]; no text is the zero lead.
func (l *Lead) UnmarshalText(b []byte) error {
	if len(b) == 0 {
		*l = Lead{}
		return nil
	}
	v, err := ParseLead(string(b))
	if err == nil {
		*l = v
	}
	return err
}

// ParseLead reads a pitch or lead: "1.5 mm", "1/8 in", "16 tpi", "11.5tpi",
// "11-1/2 tpi". Zero or less is an error.
func ParseLead(s string) (Lead, error) {
	t := strings.TrimSpace(s)
	if n, ok := strings.CutSuffix(t, "tpi"); ok {
		r, err := ParseRatio(strings.TrimSpace(n))
		if err != nil {
			return Lead{}, fmt.Errorf("%q is no thread count: write one such as 16 tpi or 11.5 tpi", s)
		}
		return PerInch(r)
	}
	v, err := ParseLength(t)
	if err != nil {
		return Lead{}, fmt.Errorf("%q is no lead: write one such as 1.5 mm or 16 tpi", s)
	}
	if v <= 0 {
		return Lead{}, fmt.Errorf("lead %q is not above zero", s)
	}
	return PerTurn(v), nil
}

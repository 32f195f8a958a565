package sounds

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

var (
	small = strings.Fields(`zero one two three four five six seven eight nine ten eleven twelve
		thirteen fourteen fifteen sixteen seventeen eighteen nineteen`)
	tenNames = strings.Fields("- - twenty thirty forty fifty sixty seventy eighty ninety")
	tens     = setOf(tenNames[2:])
	units    = setOf(small[1:10])
)

func setOf(words []string) map[string]bool {
	set := make(map[string]bool, len(words))
	for _, w := range words {
		set[w] = true
	}
	return set
}

const (
	mostDigits = 6 // before the point
	mostPlaces = 6 // after it: a nanometre, in millimetres
)

// number is a decimal number as written: "-0.50" keeps both its places.
type number struct {
	minus  bool
	whole  int
	places string
}

// parseNumber reads [-]digits[.digits]. The flag says whether the text is meant as a
// number at all; if so a fault in it is an error.
func parseNumber(s string) (n number, is bool, err error) {
	digits, minus := strings.CutPrefix(s, "-")
	whole, places, point := strings.Cut(digits, ".")
	if !allDigits(whole) || point && !allDigits(places) {
		return number{}, false, nil
	}
	switch {
	case len(whole) > 1 && whole[0] == '0':
		return number{}, true, fmt.Errorf("number %s begins with a needless zero", s)
	case len(whole) > mostDigits:
		return number{}, true, fmt.Errorf("number %s has more than %d digits before the point", s, mostDigits)
	case len(places) > mostPlaces:
		return number{}, true, fmt.Errorf("number %s has more than %d places; round it", s, mostPlaces)
	}
	w, err := strconv.Atoi(whole)
	if err != nil {
		return number{}, true, fmt.Errorf("number %s cannot be read", s)
	}
	n = number{minus: minus, whole: w, places: places}
	if minus && n.zero() {
		return number{}, true, fmt.Errorf("number %s is zero and cannot be negative", s)
	}
	return n, true, nil
}

func allDigits(s string) bool {
	for _, r := range s {
		if r < '0' || r > '9' {
			return false
		}
	}
	return s != ""
}

func (n number) zero() bool { return n.whole == 0 && strings.Trim(n.places, "0") == "" }

// isOne reports whether the number is written as the count "1".
func (n number) isOne() bool { return !n.minus && n.whole == 1 && n.places == "" }

// words reads the number: the whole part as a count, the places digit by digit.
func (n number) words() []string {
	var w []string
	if n.minus {
		w = append(w, "minus")
	}
	w = append(w, count(n.whole)...)
	if n.places != "" {
		w = append(w, "point")
		for _, d := range n.places {
			w = append(w, small[d-'0'])
		}
	}
	return w
}

// count reads a whole number from 0 to 999 999, "and" before the last two figures as
// in the trade: three hundred and seventy-five, one thousand and five.
func count(n int) []string {
	var w []string
	if n >= 1000 {
		w = append(count(n/1000), "thousand")
		if n %= 1000; n == 0 {
			return w
		}
		if n < 100 {
			w = append(w, "and")
		}
	}
	if n >= 100 {
		w = append(w, small[n/100], "hundred")
		if n %= 100; n == 0 {
			return w
		}
		w = append(w, "and")
	}
	if n < len(small) {
		return append(w, small[n])
	}
	w = append(w, tenNames[n/10])
	if n%10 != 0 {
		w = append(w, small[n%10])
	}
	return w
}

// unit is how a unit is said after one and after any other number.
type unit struct{ one, many string }

var unitWords = map[string]unit{
	"mm":    {"millimetre", "millimetres"},
	"thou":  {"thou", "thou"},
	"turn":  {"turn", "turns"},
	"turns": {"turn", "turns"},
	"rpm":   {"revs a minute", "revs a minute"},
	"tpi":   {"threads per inch", "threads per inch"},
	"teeth": {"teeth", "teeth"},
	"s":     {"second", "seconds"},
	"min":   {"minute", "minutes"},
	"deg":   {"degree", "degrees"},
}

// readQuantity reads numbers, fractions, counts and what has a unit. Nil words
// without an error mean that the part is something else.
func readQuantity(part string) ([]string, error) {
	if a, b, ok := strings.Cut(part, " of "); ok {
		return readOf(a, b)
	}
	if words, err := readFraction(strings.TrimSuffix(part, " in")); words != nil || err != nil {
		switch {
		case err != nil || !strings.HasSuffix(part, " in"):
			return words, err
		case strings.Contains(part, "-") || strings.Count(part, " ") == 2:
			return append(words, "inches"), nil
		}
		return append(words, "of an inch"), nil
	}
	figures, u, hasUnit := strings.Cut(part, " ")
	n, is, err := parseNumber(figures)
	switch {
	case err != nil:
		return nil, err
	case !is:
		return nil, nil
	case !hasUnit:
		return n.words(), nil
	case u == "in":
		return n.inches(), nil
	case u == "thou":
		return n.thou(), nil
	}
	name, ok := unitWords[u]
	switch {
	case !ok:
		return nil, fmt.Errorf("unit %q is not known", u)
	case u == "turn" && !n.isOne():
		return nil, errors.New(`only one is a turn; write "turns"`)
	case n.minus && u != "mm" && u != "deg" && u != "turns":
		return nil, fmt.Errorf("a number of %s cannot be negative", u)
	case n.isOne():
		return append(n.words(), name.one), nil
	}
	return append(n.words(), name.many), nil
}

// readOf reads "3 of 9".
func readOf(a, b string) ([]string, error) {
	x, isA, err := parseNumber(a)
	if err != nil {
		return nil, err
	}
	y, isB, err := parseNumber(b)
	switch {
	case err != nil:
		return nil, err
	case !isA || !isB:
		return nil, nil
	case x.places != "" || y.places != "" || x.minus || y.minus || x.whole > y.whole || y.whole == 0:
		return nil, errors.New("a count goes from 0 of 1 up to all, in whole numbers")
	}
	return append(append(x.words(), "of"), y.words()...), nil
}

// inches reads a number of inches: whole inches, then thou and tenths.
func (n number) inches() []string {
	milli, finer := (n.places + "000")[:3], ""
	if len(n.places) > 3 {
		finer = n.places[3:]
	}
	thou, _ := strconv.Atoi(milli) // three digits
	part := number{whole: thou, places: finer}
	var w []string
	if n.minus {
		w = append(w, "minus")
	}
	switch {
	case n.whole == 0 && part.zero():
		return append(w, "zero", "inches")
	case n.whole == 1:
		w = append(w, "one", "inch")
	case n.whole > 1:
		w = append(append(w, count(n.whole)...), "inches")
	}
	if part.zero() {
		return w
	}
	if n.whole > 0 && part.whole == 0 {
		w = append(w, "and")
	}
	return append(w, part.thou()...)
}

// thou reads thou and tenths: 375.5 is "three hundred and seventy-five thou and five
// tenths". More than one place is read as decimals.
func (n number) thou() []string {
	n.places = strings.TrimRight(n.places, "0")
	switch len(n.places) {
	case 0:
		return append(n.words(), "thou")
	case 1:
	default:
		return append(n.words(), "thou")
	}
	tenth := int(n.places[0] - '0')
	name := "tenths"
	if tenth == 1 {
		name = "tenth"
	}
	var w []string
	if n.whole > 0 {
		w = append(number{minus: n.minus, whole: n.whole}.words(), "thou", "and")
	} else if n.minus {
		w = append(w, "minus")
	}
	return append(w, small[tenth], name)
}

var denominators = map[string]unit{
	"2":  {"half", ""},
	"4":  {"quarter", "quarters"},
	"8":  {"eighth", "eighths"},
	"16": {"sixteenth", "sixteenths"},
	"32": {"thirty-second", "thirty-seconds"},
	"64": {"sixty-fourth", "sixty-fourths"},
}

// readFraction reads "7/16", and "1 1/8" or "1-1/8" as "one and one eighth".
func readFraction(s string) ([]string, error) {
	top, bottom, ok := strings.Cut(s, "/")
	if !ok {
		return nil, nil
	}
	var w []string
	if i := strings.IndexAny(top, " -"); i >= 0 {
		n, is, err := parseNumber(top[:i])
		if err != nil || !is {
			return nil, err
		}
		if n.places != "" || n.whole == 0 {
			return nil, fmt.Errorf("fraction %q does not begin with a whole number", s)
		}
		w, top = append(n.words(), "and"), top[i+1:]
	}
	if !allDigits(top) || !allDigits(bottom) {
		return nil, nil
	}
	t, err := strconv.Atoi(top)
	d, err2 := strconv.Atoi(bottom)
	name, known := denominators[bottom]
	switch {
	case err != nil || err2 != nil || !known:
		return nil, fmt.Errorf("fraction %q has none of the denominators 2, 4, 8, 16, 32 and 64", s)
	case t <= 0 || t >= d || t%2 == 0:
		return nil, fmt.Errorf("fraction %q is not in lowest terms below one", s)
	case t == 1:
		return append(w, "one", name.one), nil
	}
	return append(append(w, count(t)...), name.many), nil
}

package fit

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"turncue/calc"
)

// longest is the most text [Parse] looks at.
const longest = 80

// Parse reads a size with its tolerance: "16 mm h9", "25 H7" (ISO 286 zones are
// in millimetres when no unit is written), "12.5 ±0.05 mm", "12.5 +-0.05mm",
// "0.500 +0.000/-0.002 in", "12 mm general", or "12 mm", which carries no
// tolerance (Class None, Min and Max the nominal). One unit at the end serves
// both figures; a written tolerance without any unit is in millimetres.
//
// A size of zero or less, limits the wrong way round, and a band that reaches
// zero are errors.
func Parse(text string) (Limits, error) {
	if len(text) > longest || !utf8.ValidString(text) {
		return Limits{}, fmt.Errorf("a size is at most %d characters long: write one such as 16 mm h9", longest)
	}
	t := strings.TrimSpace(strings.ReplaceAll(text, "−", "-"))
	t = strings.ReplaceAll(strings.ReplaceAll(t, "+/-", "±"), "+-", "±")
	size, tolerance := split(t)
	switch {
	case tolerance == "":
		l, err := plain(t)
		if err != nil {
			err = doubt(t, err)
		}
		return l, err
	case isZone(tolerance):
		nominal, err := length(size, "mm")
		if err != nil {
			return Limits{}, doubt(t, err)
		}
		return ISO286(nominal, tolerance)
	case tolerance == Default:
		l, err := plain(size)
		if err != nil {
			return Limits{}, err
		}
		return General(l.Nominal, Linear)
	}
	return written(text, size, tolerance)
}

func plain(t string) (Limits, error) {
	nominal, err := length(t, "")
	if err != nil {
		return Limits{}, err
	}
	return Limits{Nominal: nominal, Min: nominal, Max: nominal}, nil
}

// doubt says where a size cannot be understood that begins with a number, and what
// was likely meant; any other fault stays as it is.
func doubt(t string, err error) error {
	rest := strings.TrimLeft(t, "0123456789.,/- ")
	number := t[:len(t)-len(rest)]
	if strings.TrimSpace(number) == "" || strings.ContainsRune(number, ',') {
		return err
	}
	for _, unit := range []string{"mm", "inch", "in", "\"", "thou", "um"} {
		if after, ok := strings.CutPrefix(rest, unit); ok && (after == "" || after[0] == ' ') {
			number += unit
			rest = strings.TrimLeft(after, " ")
			break
		}
	}
	if rest == "" || isZone(rest) {
		return err
	}
	hint := "write a unit and a zone such as h9, or ±0.05 mm"
	size := strings.TrimSpace(number)
	if words := strings.Fields(rest); len(words) == 2 && isZone(words[0]) && isZone(words[1]) {
		hint = fmt.Sprintf("a fit has a stroke between its zones: write %s %s/%s", size, words[0], words[1])
	} else {
		for n := len(rest) - 1; n > 1; n-- {
			if _, bad := ISO286(20*mm, rest[:n]); bad == nil {
				hint = fmt.Sprintf("did you mean %s %s?", size, rest[:n])
				break
			}
		}
	}
	return fmt.Errorf("%q at character %d: %q is neither a unit nor a tolerance: %s", t, utf8.RuneCountInString(t)-utf8.RuneCountInString(rest)+1, rest, hint)
}

// split parts the size from what follows it: a zone, the word general, or a
// written tolerance. A minus sign begins a tolerance only after a space, so that
// 1-1/8 in stays whole.
func split(t string) (size, tolerance string) {
	cut := strings.IndexAny(t, "±+")
	if i := strings.Index(t, " -"); i > 0 && (cut < 0 || i < cut) {
		cut = i
	}
	if cut > 0 {
		return strings.TrimSpace(t[:cut]), strings.TrimSpace(t[cut:])
	}
	if cut == 0 {
		return t, ""
	}
	if i := strings.LastIndexAny(t, " \t"); i > 0 {
		if last := t[i+1:]; last == Default || isZone(last) {
			return strings.TrimSpace(t[:i]), last
		}
	}
	if letters := strings.TrimRight(t, "0123456789"); letters != t { // "25H7" and "16mmh9"
		size := strings.TrimRightFunc(letters, func(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' })
		zone := t[len(size):]
		for _, unit := range []string{"mm", "in"} {
			if rest, ok := strings.CutPrefix(zone, unit); ok && isZone(rest) {
				return size + unit, rest
			}
		}
		if isZone(zone) && size != "" {
			return strings.TrimSpace(size), zone
		}
	}
	return t, ""
}

// isZone says whether a word looks like an ISO 286 zone: one or two letters and
// a grade.
func isZone(word string) bool {
	letters := strings.TrimRight(word, "0123456789")
	if len(letters) == 0 || len(letters) > 2 || len(letters) == len(word) {
		return false
	}
	for _, r := range letters {
		if !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z') {
			return false
		}
	}
	return true
}

// length reads a size above zero; unit, when given, is taken where none is
// written.
func length(t, unit string) (calc.Length, error) {
	if unit != "" && t != "" && unitOf(t) == "" {
		t += " " + unit
	}
	v, err := calc.ParseLength(t)
	if err != nil {
		return 0, err
	}
	if v <= 0 {
		return 0, fmt.Errorf("size %s is not above zero", v)
	}
	if v > 100_000*mm {
		return 0, fmt.Errorf("size %s is too long for any lathe", v)
	}
	return v, nil
}

// unitOf is the unit a figure ends in.
func unitOf(t string) string {
	return strings.TrimSpace(strings.TrimLeft(t, "+-0123456789./ "))
}

func written(text, size, tolerance string) (Limits, error) {
	unit := unitOf(size)
	if u := unitOf(strings.TrimLeft(lastPart(tolerance), "±")); u != "" {
		if unit == "" {
			unit = u
		}
	} else if unit != "" {
		tolerance += " " + unit
	}
	if unit == "" {
		unit = "mm"
		tolerance += " mm"
	}
	nominal, err := length(size, unit)
	if err != nil {
		return Limits{}, err
	}
	last := unitOf(strings.TrimLeft(lastPart(tolerance), "±"))
	var up, down calc.Length
	if both, ok := strings.CutPrefix(tolerance, "±"); ok {
		up, err = deviationOf(both, last)
		down = -up
		if err == nil && up < 0 {
			err = fmt.Errorf("%q has a tolerance below zero: write it as ±%s", text, up.Abs())
		}
	} else {
		first, second, ok := strings.Cut(tolerance, "/")
		if !ok {
			first, second = tolerance, ""
			if i := strings.LastIndexAny(tolerance, "+-"); i > 0 {
				first, second, ok = tolerance[:i], tolerance[i:], true
			}
		}
		if !ok {
			return Limits{}, fmt.Errorf("%q has one limit only: write both, such as +0.000/-0.002 in, or ±0.05 mm", text)
		}
		if up, err = deviationOf(first, last); err == nil {
			down, err = deviationOf(second, last)
		}
	}
	switch {
	case err != nil:
		return Limits{}, err
	case up < down:
		return Limits{}, fmt.Errorf("%q has its limits the wrong way round: write the upper one first", text)
	case nominal+down <= 0:
		return Limits{}, fmt.Errorf("%q has a lower limit of %s, not above zero", text, nominal+down)
	case up > nominal:
		return Limits{}, fmt.Errorf("%q has a tolerance larger than the size: is the unit right?", text)
	}
	return Limits{Nominal: nominal, Min: nominal + down, Max: nominal + up, Class: Written}, nil
}

func lastPart(t string) string {
	if i := strings.LastIndexAny(t, "/+-"); i >= 0 {
		return t[i+1:]
	}
	return t
}

func deviationOf(t, unit string) (calc.Length, error) {
	t = strings.TrimSpace(t)
	if unitOf(t) == "" {
		t += " " + unit
	}
	return calc.ParseLength(t)
}

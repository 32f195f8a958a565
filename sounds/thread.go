package sounds

import (
	"fmt"
	"regexp"
	"strings"
)

// Thread names as the standards write them, with the tolerance class where it is
// given: M12x1.75-6g, Tr20x4, 7/16-14 UNC-2A, 1 1/8-7 UNC, #10-24 UNC, G1/2, 2 BA.
var (
	metricName  = regexp.MustCompile(`^(M|Tr)([0-9.]+)(?:x([0-9.]+))?(?:-([0-9a-zA-Z]+))?(?:[ -](LH))?$`)
	inchName    = regexp.MustCompile(`^(#?)([0-9 /-]+)-([0-9.]+) ([A-Z]+)(?:-([1-3])([AB]))?(?:[ -](LH))?$`)
	pipeName    = regexp.MustCompile(`^G ?([0-9 /-]+)$`)
	baName      = regexp.MustCompile(`^([0-9]+) BA$`)
	metricClass = regexp.MustCompile(`^([3-9])([efghEFGH])(?:([3-9])([efghEFGH]))?$`)
)

var inchSeries = map[string]string{
	"UN": "u n", "UNC": "u n c", "UNF": "u n f", "UNEF": "u n e f", "UNS": "u n s",
	"BSW": "b s w", "BSF": "b s f", "BSP": "b s p", "NPT": "n p t", "ACME": "acme",
}

// readThread reads a thread name. Nil words without an error mean that the part is
// not one.
func readThread(part string) ([]string, error) {
	if m := metricName.FindStringSubmatch(part); m != nil {
		return readMetric(m[1], m[2], m[3], m[4], m[5])
	}
	if m := inchName.FindStringSubmatch(part); m != nil {
		return readInch(m[1] == "#", m[2], m[3], m[4], m[5]+m[6], m[7])
	}
	if m := pipeName.FindStringSubmatch(part); m != nil {
		size, err := readSize(m[1])
		if err != nil {
			return nil, err
		}
		return append([]string{"g"}, size...), nil
	}
	if m := baName.FindStringSubmatch(part); m != nil {
		n, _, err := parseNumber(m[1])
		if err != nil {
			return nil, err
		}
		return append(n.words(), "b a"), nil
	}
	return nil, nil
}

func readMetric(form, size, pitch, class, hand string) ([]string, error) {
	w := []string{"m"}
	if form == "Tr" {
		w[0] = "trapezoidal"
	}
	n, is, err := parseNumber(size)
	if err != nil || !is {
		return nil, fmt.Errorf("thread diameter %q cannot be read", size)
	}
	w = append(w, n.words()...)
	if pitch != "" {
		n, is, err := parseNumber(pitch)
		if err != nil || !is {
			return nil, fmt.Errorf("thread pitch %q cannot be read", pitch)
		}
		w = append(append(w, "by"), n.words()...)
	}
	if class != "" {
		w = append(w, Comma) // or its figure would be heard as a place of the pitch
		m := metricClass.FindStringSubmatch(class)
		if m == nil {
			return nil, fmt.Errorf(`thread class %q is not one such as "6g" or "4g6g"`, class)
		}
		for _, sign := range m[1:] {
			if sign == "" {
				continue
			}
			if d := sign[0]; d >= '0' && d <= '9' {
				sign = small[d-'0']
			}
			w = append(w, strings.ToLower(sign))
		}
	}
	return leftHand(w, hand), nil
}

func readInch(numbered bool, size, tpi, series, class, hand string) ([]string, error) {
	name, ok := inchSeries[series]
	if !ok {
		return nil, fmt.Errorf("thread series %q is not known", series)
	}
	var w []string
	if numbered {
		n, is, err := parseNumber(size)
		if err != nil || !is {
			return nil, fmt.Errorf("thread size #%s cannot be read", size)
		}
		w = append([]string{"number"}, n.words()...)
	} else {
		var err error
		if w, err = readSize(size); err != nil {
			return nil, err
		}
	}
	n, is, err := parseNumber(tpi)
	if err != nil || !is {
		return nil, fmt.Errorf("threads per inch %q cannot be read", tpi)
	}
	w = append(append(w, n.words()...), name)
	if class != "" {
		w = append(w, Comma, small[class[0]-'0'], strings.ToLower(class[1:]))
	}
	return leftHand(w, hand), nil
}

// readSize reads an inch size; a whole one needs its unit, or "one eight U N C" would
// be heard as eighteen.
func readSize(size string) ([]string, error) {
	if w, err := readFraction(size); w != nil || err != nil {
		return w, err
	}
	n, is, err := parseNumber(size)
	switch {
	case err != nil:
		return nil, err
	case !is || n.zero() || n.places != "" || n.minus:
		return nil, fmt.Errorf("thread size %q is no whole number or fraction of an inch", size)
	case n.isOne():
		return append(n.words(), "inch"), nil
	}
	return append(n.words(), "inches"), nil
}

func leftHand(words []string, hand string) []string {
	if hand == "" {
		return words
	}
	return append(words, "left hand")
}

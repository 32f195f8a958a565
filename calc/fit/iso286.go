package fit

import (
	"fmt"
	"strconv"
	"strings"

	"turncue/calc"
)

const (
	um = calc.Micrometre
	mm = calc.Millimetre
)

// The sources of the tables, as they stand in [Limits.Source].
const (
	sourceISO286  = "ISO 286-1"
	sourceISO2768 = "ISO 2768-1 class m (from memory)"
)

// grades are the standard tolerances IT4 to IT11 in micrometres, ISO 286-1
// table 1. IT4 is only needed for the rule that shifts holes K to S of grade 5,
// and is from memory; the rest is as printed.
var grades = []struct {
	upTo calc.Length // the range ends here, this size included
	it   [8]int      // IT4 ... IT11
}{
	{3 * mm, [8]int{3, 4, 6, 10, 14, 25, 40, 60}},
	{6 * mm, [8]int{4, 5, 8, 12, 18, 30, 48, 75}},
	{10 * mm, [8]int{4, 6, 9, 15, 22, 36, 58, 90}},
	{18 * mm, [8]int{5, 8, 11, 18, 27, 43, 70, 110}},
	{30 * mm, [8]int{6, 9, 13, 21, 33, 52, 84, 130}},
	{50 * mm, [8]int{7, 11, 16, 25, 39, 62, 100, 160}},
	{80 * mm, [8]int{8, 13, 19, 30, 46, 74, 120, 190}},
	{120 * mm, [8]int{10, 15, 22, 35, 54, 87, 140, 220}},
	{180 * mm, [8]int{12, 18, 25, 40, 63, 100, 160, 250}},
	{250 * mm, [8]int{14, 20, 29, 46, 72, 115, 185, 290}},
}

const (
	firstGrade = 5
	lastGrade  = 11
	largest    = 250 * mm
)

// deviations are the fundamental deviations of shafts in micrometres, ISO 286-1
// tables 2 to 5: es for f and g, ei for the others. Those of holes follow from
// them.
var deviations = []struct {
	upTo                   calc.Length
	f, g, k, m, n, p, r, s int
}{
	{3 * mm, -6, -2, 0, 2, 4, 6, 10, 14},
	{6 * mm, -10, -4, 1, 4, 8, 12, 15, 19},
	{10 * mm, -13, -5, 1, 6, 10, 15, 19, 23},
	{14 * mm, -16, -6, 1, 7, 12, 18, 23, 28},
	{18 * mm, -16, -6, 1, 7, 12, 18, 23, 28},
	{24 * mm, -20, -7, 2, 8, 15, 22, 28, 35},
	{30 * mm, -20, -7, 2, 8, 15, 22, 28, 35},
	{40 * mm, -25, -9, 2, 9, 17, 26, 34, 43},
	{50 * mm, -25, -9, 2, 9, 17, 26, 34, 43},
	{65 * mm, -30, -10, 2, 11, 20, 32, 41, 53},
	{80 * mm, -30, -10, 2, 11, 20, 32, 43, 59},
	{100 * mm, -36, -12, 3, 13, 23, 37, 51, 71},
	{120 * mm, -36, -12, 3, 13, 23, 37, 54, 79},
	{140 * mm, -43, -14, 3, 15, 27, 43, 63, 92},
	{160 * mm, -43, -14, 3, 15, 27, 43, 65, 100},
	{180 * mm, -43, -14, 3, 15, 27, 43, 68, 108},
	{200 * mm, -50, -15, 4, 17, 31, 50, 77, 122},
	{225 * mm, -50, -15, 4, 17, 31, 50, 80, 130},
	{250 * mm, -50, -15, 4, 17, 31, 50, 84, 140},
}

// positions are the letters that are known here, as shafts.
var positions = []string{"f", "g", "h", "js", "k", "m", "n", "p", "r", "s"}

// Grade is the standard tolerance IT5 to IT11 of a size up to 250 mm.
func Grade(nominal calc.Length, grade int) (calc.Length, error) {
	if grade < firstGrade || grade > lastGrade {
		return 0, fmt.Errorf("grade IT%d is not known here: use %d to %d", grade, firstGrade, lastGrade)
	}
	if err := inRange(nominal); err != nil {
		return 0, err
	}
	return standard(nominal, grade), nil
}

func inRange(nominal calc.Length) error {
	if nominal <= 0 || nominal > largest {
		return fmt.Errorf("ISO 286 limits are known here above 0 and up to %s, not for %s: write the tolerance out, such as %s ±0.05 mm",
			largest, nominal, nominal)
	}
	return nil
}

// standard is the tolerance of a grade from 4 to 11 and a size in range.
func standard(nominal calc.Length, grade int) calc.Length {
	for _, g := range grades {
		if nominal <= g.upTo {
			return calc.Length(g.it[grade-4]) * um
		}
	}
	return 0
}

// ISO286 is the band of a tolerance zone such as h9 or JS7 about a nominal
// size up to 250 mm: shafts f g h js k m n p r s, holes F G H JS K M N P R S,
// grades 5 to 11.
func ISO286(nominal calc.Length, zone string) (Limits, error) {
	letters := strings.TrimRight(zone, "0123456789")
	grade, err := strconv.Atoi(zone[len(letters):])
	lower := strings.ToLower(letters)
	if err != nil || (letters != lower && letters != strings.ToUpper(letters)) {
		return Limits{}, fmt.Errorf("%q is no tolerance zone: write one such as h9 or H7", zone)
	}
	known := false
	for _, p := range positions {
		known = known || p == lower
	}
	if !known {
		return Limits{}, fmt.Errorf("position %s is not known here: use one of %s, or write the tolerance out",
			letters, strings.Join(spelled(letters != lower), " "))
	}
	it, err := Grade(nominal, grade)
	if err != nil {
		return Limits{}, err
	}
	low := shaftLower(nominal, lower, grade, it)
	if letters != lower {
		low = holeLower(nominal, lower, grade, it)
	}
	return Limits{Nominal: nominal, Min: nominal + low, Max: nominal + low + it, Class: zone, Source: sourceISO286}, nil
}

func spelled(hole bool) []string {
	out := make([]string, len(positions))
	for i, p := range positions {
		out[i] = p
		if hole {
			out[i] = strings.ToUpper(p)
		}
	}
	return out
}

// shaftLower is the lower deviation ei of a shaft.
func shaftLower(nominal calc.Length, letter string, grade int, it calc.Length) calc.Length {
	switch letter {
	case "h":
		return -it
	case "js":
		return -it / 2
	case "f", "g":
		return deviation(nominal, letter) - it
	case "k":
		if grade > 7 {
			return 0 // k starts at the line from IT8 on
		}
	}
	return deviation(nominal, letter)
}

// holeLower is the lower deviation EI of a hole. F and G mirror the shaft; K, M
// and N up to IT8 and P, R, S up to IT7 mirror it with the shift
// Delta = IT(n) - IT(n-1), which is nothing up to 3 mm; N above IT8 has its
// upper limit on the line above 3 mm (ISO 286-1, 4.3.2.6 and table 3).
func holeLower(nominal calc.Length, letter string, grade int, it calc.Length) calc.Length {
	switch letter {
	case "h":
		return 0
	case "js":
		return -it / 2
	case "f", "g":
		return -deviation(nominal, letter)
	}
	small := nominal <= 3*mm
	shifted := grade <= 7 || (grade == 8 && (letter == "k" || letter == "m" || letter == "n"))
	upper := -deviation(nominal, letter)
	switch {
	case shifted && !small:
		upper += it - standard(nominal, grade-1)
	case letter == "k":
		upper = 0
	case letter == "n" && grade > 8 && !small:
		upper = 0
	}
	return upper - it
}

func deviation(nominal calc.Length, letter string) calc.Length {
	for _, d := range deviations {
		if nominal > d.upTo {
			continue
		}
		v := map[string]int{"f": d.f, "g": d.g, "k": d.k, "m": d.m, "n": d.n, "p": d.p, "r": d.r, "s": d.s}[letter]
		return calc.Length(v) * um
	}
	return 0
}

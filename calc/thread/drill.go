package thread

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"turncue/calc"
)

// Drill is one drill of a set.
type Drill struct {
	Name     string // "8.5", "#7", "F", "27/64"
	Diameter calc.Length
}

// numberDrills are the drills #1 to #80 in ten-thousandths of an inch
// (Machinery's Handbook).
var numberDrills = [80]int{
	2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935, 1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660, 1610,
	1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285, 1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015, 995, 980,
	960, 935, 890, 860, 820, 810, 785, 760, 730, 700, 670, 635, 595, 550, 520, 465, 430, 420, 410, 400,
	390, 380, 370, 360, 350, 330, 320, 310, 292, 280, 260, 250, 240, 225, 210, 200, 180, 160, 145, 135,
}

// letterDrills are the drills A to Z in thousandths of an inch (Machinery's
// Handbook).
var letterDrills = [26]int{234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295, 302, 316, 323, 332, 339, 348, 358, 368, 377, 386, 397, 404, 413}

// The sets of drills a shop owns by name.
const (
	MetricDrills   = "metric"   // 0.5 to 13 mm by 0.1 mm, then by 0.5 mm to 25 mm
	NumberDrills   = "number"   // #1 to #80
	LetterDrills   = "letter"   // A to Z
	FractionDrills = "fraction" // 1/64 to 1 in by 64ths
)

// DrillSet is a set by its name, smallest first.
func DrillSet(name string) ([]Drill, error) {
	var out []Drill
	switch name {
	case MetricDrills:
		for d := 500 * um; d <= 13*mm; d += 100 * um {
			out = append(out, Drill{d.Trimmed(mm, 3), d})
		}
		for d := 13500 * um; d <= 25*mm; d += 500 * um {
			out = append(out, Drill{d.Trimmed(mm, 3), d})
		}
	case NumberDrills:
		for i := len(numberDrills); i > 0; i-- {
			out = append(out, Drill{"#" + strconv.Itoa(i), calc.Length(numberDrills[i-1]) * tenth})
		}
	case LetterDrills:
		for i, d := range letterDrills {
			out = append(out, Drill{string(rune('A' + i)), calc.Length(d) * calc.Thou})
		}
	case FractionDrills:
		for d := calc.Inch / 64; d <= calc.Inch; d += calc.Inch / 64 {
			out = append(out, Drill{inchName(d), d})
		}
	default:
		return nil, fmt.Errorf("drill set %q is not known: use %s, %s, %s or %s", name, MetricDrills, NumberDrills, LetterDrills, FractionDrills)
	}
	return out, nil
}

// ParseDrill reads a drill by its name or diameter: "#7", "F", "27/64", "8.5 mm",
// "0.332 in".
func ParseDrill(text string) (Drill, error) {
	s := strings.TrimSpace(text)
	for _, set := range []string{NumberDrills, LetterDrills, FractionDrills} {
		drills, err := DrillSet(set)
		if err != nil {
			return Drill{}, err
		}
		if i := slices.IndexFunc(drills, func(d Drill) bool { return strings.EqualFold(d.Name, s) && d.Name != "1" }); i >= 0 {
			return drills[i], nil
		}
	}
	d, err := calc.ParseLength(s)
	if err != nil || d <= 0 {
		return Drill{}, fmt.Errorf("%q is no drill: write one such as 8.5 mm, #7, F or 27/64", text)
	}
	return Drill{s, d}, nil
}

// Rule is what a percentage of thread is counted of. The same hole is 77 per cent
// by one and 92 by the other.
type Rule int

// The rules. The zero Rule is ISOHeight.
const (
	ISOHeight Rule = iota // of the basic height 5/8 H: (D - hole) / 1.0825 P; ISO and makers of taps
	USHeight              // of 3/4 H: (D - hole) / 1.299 P; American practice
)

// String names the rule.
func (r Rule) String() string {
	if r == USHeight {
		return "of 1.299 P (US)"
	}
	return "of 1.0825 P (ISO)"
}

// full is the height of a full thread, on diameter, as a share of the pitch.
func (t Thread) full(r Rule) float64 {
	if t.Angle != 60*calc.Degree {
		if b, err := t.Basic(); err == nil {
			return float64(b.Major-b.Minor) / t.Pitch.Nanometres().Float()
		}
	}
	if r == USHeight {
		return 3 * math.Sqrt(3) / 4
	}
	return 5 * math.Sqrt(3) / 8
}

// Percent is how much of a full thread a hole leaves, 0 to 100 and more. For forms
// other than 60 degrees both rules count of the standard's own depth.
func (t Thread) Percent(hole calc.Length, r Rule) float64 {
	return 100 * float64(t.Nominal-hole) / (t.full(r) * t.Pitch.Nanometres().Float())
}

// HoleFor is the hole that leaves a percentage of thread, rounded to the
// nanometre; above 0 and up to 100 per cent.
func (t Thread) HoleFor(percent float64, r Rule) (calc.Length, error) {
	if !(percent > 0 && percent <= 100) {
		return 0, fmt.Errorf("%g per cent of thread is not between 0 and 100", percent)
	}
	hole := t.Nominal - nearest(percent/100*t.full(r)*t.Pitch.Nanometres().Float())
	if hole <= 0 {
		return 0, fmt.Errorf("%s has no room for %g per cent of thread", t, percent)
	}
	return hole, nil
}

// TapDrill is the standard's drill for a metric thread: d - P to 0.1 mm, halves
// to the even tenth as ISO 2306 prints them (M8x1.25 6.8, M12x1.75 10.2), to 0.05
// mm under 4 mm. Other threads have no such rule: see [Thread.DrillFrom].
func (t Thread) TapDrill() (calc.Length, error) {
	if t.Family != Metric {
		return 0, fmt.Errorf("ISO 2306 has drills for ISO metric threads, not for %s: choose one from a set of drills by its share of thread", t)
	}
	hole := t.Nominal - t.Pitch.Length()
	if t.Nominal < 4*mm {
		return hole.Round(50 * um), nil
	}
	tenths := math.RoundToEven(float64(hole) / float64(100*um))
	return calc.Length(tenths) * 100 * um, nil
}

// DrillFrom is the drill of a set that comes nearest to a share of thread by a
// rule. A set without one that leaves 40 to 100 per cent is refused.
func (t Thread) DrillFrom(set []Drill, percent float64, r Rule) (Drill, error) {
	want, err := t.HoleFor(percent, r)
	if err != nil {
		return Drill{}, err
	}
	var best Drill
	for _, d := range set {
		p := t.Percent(d.Diameter, r)
		if p < 40 || p > 100 {
			continue
		}
		if best.Name == "" || (d.Diameter-want).Abs() < (best.Diameter-want).Abs() {
			best = d
		}
	}
	if best.Name == "" {
		return Drill{}, fmt.Errorf("no drill of the set leaves 40 to 100 per cent of thread in %s: %s in diameter would be right", t, want.Round(um))
	}
	return best, nil
}

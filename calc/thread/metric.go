package thread

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/fit"
)

const (
	um = calc.Micrometre
	mm = calc.Millimetre
)

// The sources of ISO metric limits, as they stand in [Limits.Sources].
const (
	sourceISO68      = "ISO 68-1"
	sourceISO965     = "ISO 965-1"
	sourceISO965Rule = "ISO 965-1 formulas and R40 rounding (size not in its tables)"
	sourceMemory     = "ISO 965-1 (from memory)"
)

// metricPitch is one row of the ISO 965-1 tables that depend on pitch alone, in
// micrometres. A zero is no entry. Rows and entries from P 4.5 on, and all of e
// and f, are from memory.
type metricPitch struct {
	pitch   calc.Length
	g, f, e int // fundamental deviations (table 1), sign left off
	major   int // Td grade 6 (table 4)
	minor   int // TD1 grade 6 (table 3); under P 0.3, where the table has only grades 4 and 5, two grades and one above them
}

var metricPitches = []metricPitch{
	{200 * um, 17, 0, 0, 56, 60},
	{250 * um, 18, 0, 0, 67, 71},
	{300 * um, 18, 0, 0, 75, 85},
	{350 * um, 19, 34, 0, 85, 100},
	{400 * um, 19, 34, 0, 95, 112},
	{450 * um, 20, 35, 0, 100, 125},
	{500 * um, 20, 36, 50, 106, 140},
	{600 * um, 21, 36, 53, 125, 160},
	{700 * um, 22, 38, 56, 140, 180},
	{750 * um, 22, 38, 56, 140, 190},
	{800 * um, 24, 38, 60, 150, 200},
	{1000 * um, 26, 40, 60, 180, 236},
	{1250 * um, 28, 42, 63, 212, 265},
	{1500 * um, 32, 45, 67, 236, 300},
	{1750 * um, 34, 48, 71, 265, 335},
	{2000 * um, 38, 52, 71, 280, 375},
	{2500 * um, 42, 58, 80, 335, 450},
	{3000 * um, 48, 63, 85, 375, 500},
	{3500 * um, 53, 70, 90, 425, 560},
	{4000 * um, 60, 75, 95, 475, 600},
	{4500 * um, 63, 80, 100, 500, 670},
	{5000 * um, 71, 85, 106, 530, 710},
	{5500 * um, 75, 90, 112, 560, 750},
	{6000 * um, 80, 95, 118, 600, 800},
	{8000 * um, 100, 118, 140, 710, 1000},
}

// metricSteps are the diameter ranges of ISO 965-1 with the pitch diameter
// tolerance Td2 of grade 6 (table 6), micrometres by pitch. The smallest and the
// two largest ranges, P 0.3 and from P 4.5 on are from memory.
var metricSteps = []struct {
	over, upTo calc.Length
	pitch      map[calc.Length]int
}{
	{990 * um, 1400 * um, map[calc.Length]int{200 * um: 48, 250 * um: 53, 300 * um: 56}},
	{1400 * um, 2800 * um, map[calc.Length]int{200 * um: 50, 250 * um: 56, 350 * um: 63, 400 * um: 67, 450 * um: 71}},
	{2800 * um, 5600 * um, map[calc.Length]int{350 * um: 67, 500 * um: 75, 600 * um: 85, 700 * um: 90, 750 * um: 90, 800 * um: 95}},
	{5600 * um, 11200 * um, map[calc.Length]int{750 * um: 100, 1 * mm: 112, 1250 * um: 118, 1500 * um: 132}},
	{11200 * um, 22400 * um, map[calc.Length]int{1 * mm: 118, 1250 * um: 132, 1500 * um: 140, 1750 * um: 150, 2 * mm: 160, 2500 * um: 170}},
	{22400 * um, 45 * mm, map[calc.Length]int{1 * mm: 125, 1500 * um: 150, 2 * mm: 170, 3 * mm: 200, 3500 * um: 212, 4 * mm: 224, 4500 * um: 236}},
	{45 * mm, 90 * mm, map[calc.Length]int{1500 * um: 160, 2 * mm: 180, 3 * mm: 212, 4 * mm: 236, 5 * mm: 250, 5500 * um: 265, 6 * mm: 280}},
	{90 * mm, 180 * mm, map[calc.Length]int{2 * mm: 190, 3 * mm: 224, 4 * mm: 250, 6 * mm: 300, 8 * mm: 335}},
	{180 * mm, 355 * mm, map[calc.Length]int{3 * mm: 250, 4 * mm: 280, 6 * mm: 315, 8 * mm: 355}},
}

// metricCoarse are the coarse pitches of ISO 261.
var metricCoarse = map[calc.Length]calc.Length{
	1000 * um: 250 * um, 1100 * um: 250 * um, 1200 * um: 250 * um, 1400 * um: 300 * um, 1600 * um: 350 * um, 1800 * um: 350 * um,
	2 * mm: 400 * um, 2200 * um: 450 * um, 2500 * um: 450 * um, 3 * mm: 500 * um, 3500 * um: 600 * um, 4 * mm: 700 * um,
	4500 * um: 750 * um, 5 * mm: 800 * um, 6 * mm: 1 * mm, 7 * mm: 1 * mm, 8 * mm: 1250 * um, 9 * mm: 1250 * um,
	10 * mm: 1500 * um, 11 * mm: 1500 * um, 12 * mm: 1750 * um, 14 * mm: 2 * mm, 16 * mm: 2 * mm, 18 * mm: 2500 * um,
	20 * mm: 2500 * um, 22 * mm: 2500 * um, 24 * mm: 3 * mm, 27 * mm: 3 * mm, 30 * mm: 3500 * um, 33 * mm: 3500 * um,
	36 * mm: 4 * mm, 39 * mm: 4 * mm, 42 * mm: 4500 * um, 45 * mm: 4500 * um, 48 * mm: 5 * mm, 52 * mm: 5 * mm,
	56 * mm: 5500 * um, 60 * mm: 5500 * um, 64 * mm: 6 * mm,
}

// The heights of the ISO 68-1 profile, as shares of the pitch, on diameter.
var (
	metricToPitch = 3 * math.Sqrt(3) / 8   // d - d2 = 6/8 H
	metricToMinor = 5 * math.Sqrt(3) / 8   // d - d1 = 10/8 H
	metricToRoot  = 17 * math.Sqrt(3) / 24 // d - d3 = 17/12 H, root radius H/6
)

// below is nominal - share * pitch, rounded to 0.001 mm.
func below(nominal calc.Length, share float64, p calc.Lead) calc.Length {
	return (nominal - calc.Millimetres(share*p.Millimetres())).Round(um)
}

func metricBasic(t Thread) Basic {
	return Basic{
		Major: t.Nominal,
		Pitch: below(t.Nominal, metricToPitch, t.Pitch),
		Minor: below(t.Nominal, metricToMinor, t.Pitch),
		Root:  below(t.Nominal, metricToRoot, t.Pitch), InsideRoot: t.Nominal,
	}
}

// zone is a tolerance grade and position, "6g".
type zone struct {
	grade    int
	position byte
}

func (z zone) String() string { return strconv.Itoa(z.grade) + string(z.position) }

// metricClass is a class taken apart: the zone of the pitch diameter and that of
// the crest diameter, which are often the same.
type metricClass struct{ pitch, crest zone }

func (c metricClass) String() string {
	if c.pitch == c.crest {
		return c.pitch.String()
	}
	return c.pitch.String() + c.crest.String()
}

func (c metricClass) external() bool { return c.pitch.position >= 'a' }

// parseMetricClass reads "6g", "4g6g", "6H", "5H6H"; ok is false when it is not
// of that shape at all.
func parseMetricClass(s string) (c metricClass, ok bool) {
	if len(s) != 2 && len(s) != 4 {
		return c, false
	}
	read := func(s string) (zone, bool) {
		letter := s[1]
		return zone{int(s[0] - '0'), letter},
			s[0] >= '1' && s[0] <= '9' && (letter >= 'a' && letter <= 'h' || letter >= 'A' && letter <= 'H')
	}
	c.pitch, ok = read(s)
	c.crest = c.pitch
	if ok && len(s) == 4 {
		c.crest, ok = read(s[2:])
		ok = ok && (c.crest.position >= 'a') == (c.pitch.position >= 'a')
	}
	return c, ok
}

// check refuses grades and positions that ISO 965-1 does not have.
func (c metricClass) check() error {
	pitchGrades, crestGrades, positions, crest, example := []int{3, 4, 5, 6, 7, 8, 9}, []int{4, 6, 8}, "efgh", "major", "4g6g"
	if !c.external() {
		pitchGrades, crestGrades, positions, crest, example = []int{4, 5, 6, 7, 8}, []int{4, 5, 6, 7, 8}, "GH", "minor", "5H6H"
	}
	for _, z := range []zone{c.pitch, c.crest} {
		if !strings.ContainsRune(positions, rune(z.position)) {
			return fmt.Errorf("class %s has position %c: ISO 965-1 has %s there", c, z.position, strings.Join(strings.Split(positions, ""), ", "))
		}
	}
	if !slices.Contains(pitchGrades, c.pitch.grade) {
		return fmt.Errorf("class %s has grade %d for the pitch diameter: ISO 965-1 has %d to %d", c, c.pitch.grade, pitchGrades[0], pitchGrades[len(pitchGrades)-1])
	}
	if !slices.Contains(crestGrades, c.crest.grade) {
		return fmt.Errorf("class %s has grade %d for the %s diameter: ISO 965-1 has %s, so write a pair such as %s",
			c, c.crest.grade, crest, strings.Trim(strings.ReplaceAll(fmt.Sprint(crestGrades), " ", ", "), "[]"), example)
	}
	return nil
}

// metricSource is where a figure came from: the weakest of a thread's figures
// decides what its Sources say.
type metricSource struct{ memory, rule bool }

// row is the table row of a pitch.
func metricRow(p calc.Lead) (metricPitch, bool) {
	for _, r := range metricPitches {
		if p == calc.PerTurn(r.pitch) {
			return r, true
		}
	}
	return metricPitch{}, false
}

// deviation is the distance from the basic profile to the zone, above zero.
func (s *metricSource) deviation(p calc.Lead, position byte) calc.Length {
	row, _ := metricRow(p)
	v, base := 0, 0.0
	switch position {
	case 'h', 'H':
		return 0
	case 'g', 'G':
		v, base = row.g, 15
	case 'f':
		v, base = row.f, 30
	case 'e':
		v, base = row.e, 50
	}
	if v == 0 {
		s.rule = true
		v = r40At(r40Index(base + 11*p.Millimetres()))
	} else if position == 'e' || position == 'f' || row.pitch >= 4500*um {
		s.memory = true
	}
	return calc.Length(v) * um
}

// crest is the tolerance of the major diameter of an outside thread or the minor
// of an inside one: the grade 6 entry moved four R40 steps a grade.
func (s *metricSource) crest(p calc.Lead, grade int, external bool) calc.Length {
	row, _ := metricRow(p)
	v := row.minor
	if external {
		v = row.major
	}
	if v == 0 {
		s.rule = true
		x := p.Millimetres()
		f := 230 * math.Pow(x, 0.7)
		switch {
		case external:
			f = 180*math.Pow(x, 2.0/3) - 3.15/math.Sqrt(x)
		case x <= 0.8:
			f = 433*x - 190*math.Pow(x, 1.22)
		}
		v = r40At(r40Index(f))
	} else if row.pitch >= 4500*um {
		s.memory = true
	} else if row.pitch < 300*um && !external && grade > 5 {
		s.rule = true
	}
	return calc.Length(r40At(r40Index(float64(v))+4*(grade-6))) * um
}

// pitch is the tolerance of the pitch diameter: four R40 steps a grade, and five
// more on an inside thread.
func (s *metricSource) pitch(nominal calc.Length, p calc.Lead, grade int, external bool) (calc.Length, error) {
	for _, step := range metricSteps {
		if nominal <= step.over || nominal > step.upTo {
			continue
		}
		v := 0
		if p.Nanometres().Den() == 1 {
			v = step.pitch[p.Length()]
		}
		if v == 0 {
			s.rule = true
			mean := math.Sqrt(step.over.Millimetres() * step.upTo.Millimetres())
			v = r40At(r40Index(90 * math.Pow(p.Millimetres(), 0.4) * math.Pow(mean, 0.1)))
		} else if step.over < 1400*um || step.over >= 45*mm || p.Length() >= 4500*um {
			s.memory = true
		}
		steps := 4 * (grade - 6)
		if !external {
			steps += 5
		}
		return calc.Length(r40At(r40Index(float64(v))+steps)) * um, nil
	}
	return 0, fmt.Errorf("ISO 965-1 has pitch diameter tolerances above 0.99 mm and up to 355 mm, not for %s", nominal)
}

func (s metricSource) names() []string {
	names := []string{sourceISO68, sourceISO965}
	if s.rule {
		names = append(names, sourceISO965Rule)
	}
	if s.memory {
		names = append(names, sourceMemory)
	}
	return names
}

func metricLimits(t Thread) (Limits, error) {
	c, ok := parseMetricClass(t.Class)
	if !ok || c.external() != t.External {
		return Limits{}, fmt.Errorf("%q is no class of this side of an ISO metric thread: write one such as %s", t.Class, map[bool]string{true: "6g", false: "6H"}[t.External])
	}
	if err := c.check(); err != nil {
		return Limits{}, err
	}
	var s metricSource
	pitchTolerance, err := s.pitch(t.Nominal, t.Pitch, c.pitch.grade, t.External)
	if err != nil {
		return Limits{}, err
	}
	crestTolerance := s.crest(t.Pitch, c.crest.grade, t.External)
	shift, crestShift := s.deviation(t.Pitch, c.pitch.position), s.deviation(t.Pitch, c.crest.position)
	b := metricBasic(t)
	band := func(nominal, low, high calc.Length, class string) fit.Limits {
		return fit.Limits{Nominal: nominal, Min: low, Max: high, Class: class, Source: sourceISO965}
	}
	l := Limits{Sources: s.names()}
	if t.External {
		pitchMin := b.Pitch - shift - pitchTolerance
		l.Major = band(b.Major, b.Major-crestShift-crestTolerance, b.Major-crestShift, c.crest.String())
		l.Pitch = band(b.Pitch, pitchMin, b.Pitch-shift, c.pitch.String())
		// Lowest root: radius 0.125 P, so H/2 - P/8 below the lowest pitch line.
		lowest := (pitchMin - calc.Millimetres((math.Sqrt(3)/2-0.25)*t.Pitch.Millimetres())).Round(um)
		l.Minor = band(b.Minor, lowest, b.Minor-shift, c.pitch.String())
		l.DesignRoot = b.Root - shift
	} else {
		pitchMax := b.Pitch + shift + pitchTolerance
		l.Minor = band(b.Minor, b.Minor+crestShift, b.Minor+crestShift+crestTolerance, c.crest.String())
		l.Pitch = band(b.Pitch, b.Pitch+shift, pitchMax, c.pitch.String())
		// Reference only (ASME B1.13M): D2max + 11/12 H.
		highest := (pitchMax + calc.Millimetres(11*math.Sqrt(3)/24*t.Pitch.Millimetres())).Round(um)
		l.Major = band(b.Major, b.Major+shift, highest, c.pitch.String())
	}
	return l, nil
}

package thread

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/fit"
)

const (
	sourceISO228 = "ISO 228-1"
)

// pipeSizes are the parallel pipe threads of ISO 228-1, micrometres: the size is
// the pipe's, not the thread's.
var pipeSizes = []struct {
	name                string
	tpi                 int64
	major, pitch, minor int
	tolerance           int // of the pitch diameter, inside and class A; class B and the major diameter have twice that
	bore                int // of an inside thread's minor diameter
	gauge, useful       int // ISO 7-1, from memory: basic gauge length and least useful thread; zero where R is not known here
}{
	{"1/16", 28, 7723, 7142, 6561, 107, 282, 0, 0},
	{"1/8", 28, 9728, 9147, 8566, 107, 282, 4000, 6500},
	{"1/4", 19, 13157, 12301, 11445, 125, 445, 6000, 9700},
	{"3/8", 19, 16662, 15806, 14950, 125, 445, 6400, 10100},
	{"1/2", 14, 20955, 19793, 18631, 142, 541, 8200, 13200},
	{"5/8", 14, 22911, 21749, 20587, 142, 541, 0, 0},
	{"3/4", 14, 26441, 25279, 24117, 142, 541, 9500, 14500},
	{"7/8", 14, 30201, 29039, 27877, 142, 541, 0, 0},
	{"1", 11, 33249, 31770, 30291, 180, 640, 10400, 16800},
	{"1-1/8", 11, 37897, 36418, 34939, 180, 640, 0, 0},
	{"1-1/4", 11, 41910, 40431, 38952, 180, 640, 0, 0},
	{"1-1/2", 11, 47803, 46324, 44845, 180, 640, 0, 0},
	{"1-3/4", 11, 53746, 52267, 50788, 180, 640, 0, 0},
	{"2", 11, 59614, 58135, 56656, 180, 640, 0, 0},
}

// pipeRow is the row of a thread's diameter.
func pipeRow(d calc.Length) int {
	for i, s := range pipeSizes {
		if calc.Length(s.major)*um == d {
			return i
		}
	}
	return -1
}

func pipeBasic(t Thread) (Basic, error) {
	i := pipeRow(t.Nominal)
	if i < 0 {
		return Basic{}, fmt.Errorf("ISO 228-1 has no thread of %s", t.Nominal)
	}
	s := pipeSizes[i]
	minor := calc.Length(s.minor) * um
	return Basic{Major: t.Nominal, Pitch: calc.Length(s.pitch) * um, Minor: minor, Root: minor, InsideRoot: t.Nominal}, nil
}

func pipeLimits(t Thread) (Limits, error) {
	i := pipeRow(t.Nominal)
	if i < 0 {
		return Limits{}, fmt.Errorf("ISO 228-1 has no thread of %s", t.Nominal)
	}
	b, err := pipeBasic(t)
	if err != nil {
		return Limits{}, err
	}
	tolerance, bore := calc.Length(pipeSizes[i].tolerance)*um, calc.Length(pipeSizes[i].bore)*um
	band := func(nominal, low, high calc.Length) fit.Limits {
		return fit.Limits{Nominal: nominal, Min: nominal + low, Max: nominal + high, Class: t.Class, Source: sourceISO228}
	}
	l := Limits{Sources: []string{sourceISO228}}
	switch {
	case !t.External && t.Class == "":
		l.Major = band(b.Major, 0, tolerance) // upper end for reference
		l.Pitch = band(b.Pitch, 0, tolerance)
		l.Minor = band(b.Minor, 0, bore)
	case t.External && (t.Class == "A" || t.Class == "B"):
		pitch := tolerance
		if t.Class == "B" {
			pitch *= 2
		}
		l.Major = band(b.Major, -2*tolerance, 0)
		l.Pitch = band(b.Pitch, -pitch, 0)
		l.Minor = band(b.Minor, -pitch, 0) // lower end for reference
		l.DesignRoot = b.Minor
	default:
		return Limits{}, fmt.Errorf("%q is no class of a parallel pipe thread: write A or B for an outside one, nothing for an inside one", t.Class)
	}
	return l, nil
}

// americanSizes are the NPT sizes of ASME B1.20.1: threads per inch in halves,
// the pipe's diameter in thousandths of an inch and L1 in ten-thousandths.
var americanSizes = []struct {
	name          string
	halves        int64
	outside, hand int
}{
	{"1/8", 54, 405, 1615}, {"1/4", 36, 540, 2278}, {"3/8", 36, 675, 2400}, {"1/2", 28, 840, 3200}, {"3/4", 28, 1050, 3390},
	{"1", 23, 1315, 4000}, {"1-1/4", 23, 1660, 4200}, {"1-1/2", 23, 1900, 4200}, {"2", 23, 2375, 4360},
}

func americanRow(outside calc.Length) int {
	for i, s := range americanSizes {
		if calc.Length(s.outside)*calc.Thou == outside {
			return i
		}
	}
	return -1
}

// americanBasic stands at the gauge plane, L1 from the small end, rounded to
// 0.00001 in as the standard prints; crests and roots are cut off so that the
// thread is 0.8 P high.
func americanBasic(t Thread) (Basic, error) {
	taper, err := t.TaperSizes()
	if err != nil {
		return Basic{}, err
	}
	height := nearest(0.8 * t.Pitch.Nanometres().Float())
	digit := calc.Inch / 100_000
	pitch := taper.GaugePitch
	return Basic{Major: (pitch + height).Round(digit), Pitch: pitch, Minor: (pitch - height).Round(digit),
		Root: (pitch - height).Round(digit), InsideRoot: (pitch + height).Round(digit)}, nil
}

// What the gauge plane of an outside taper thread may be off by.
const (
	sourceISO7Turn  = "ISO 7-1 basic sizes at the gauge plane, which may lie one turn either way (from memory)"
	sourceB1201Turn = "ASME B1.20.1 basic sizes at the gauge plane, which may lie one turn either way (from memory)"
)

// taperLimits are the limits of a thread at its gauge plane. Outside and tapered, the
// plane may lie a turn nearer the end or further from it: the pitch diameter there is
// larger or smaller by what the taper makes of a pitch. The crest is cut no larger than
// basic, so that a ring is stopped by the flanks. Others have the basic sizes alone.
func taperLimits(t Thread, basic, turn string) (Limits, error) {
	if !t.External || t.Taper == (calc.Ratio{}) {
		return basicLimits(t, basic)
	}
	l, err := basicLimits(t, turn)
	if err != nil {
		return Limits{}, err
	}
	by := t.Turn().Scale(t.Taper)
	l.Pitch.Min, l.Pitch.Max = l.Pitch.Min-by, l.Pitch.Max+by
	l.Major.Min -= by
	l.Minor.Min, l.Minor.Max = l.Minor.Min-by, l.Minor.Max+by
	return l, nil
}

// Turn is what the gauge plane of an outside taper thread may be off by along the work,
// either way: one turn, that is a pitch, rounded to 0.1 mm (ISO 7-1) or not at all
// (ASME B1.20.1); from memory.
func (t Thread) Turn() calc.Length {
	if t.Family == SealingPipe {
		return t.Pitch.Length().Round(100 * um)
	}
	return t.Pitch.Length()
}

// TaperSizes are the sizes along a taper thread. All diameters are diameters,
// all lengths run from the small end.
type TaperSizes struct {
	SmallMajor calc.Length // over the crests at the small end: what to turn to there
	SmallPitch calc.Length // pitch diameter at the small end
	GaugePitch calc.Length // pitch diameter at the gauge plane
	Gauge      calc.Length // from the small end to the gauge plane
	Useful     calc.Length // effective thread
	UsefulEnd  calc.Length // pitch diameter where the effective thread ends
	Vanish     calc.Length // further run of the imperfect thread; zero where not known
	Overall    calc.Length // Useful and Vanish together; zero where not known
}

// TaperSizes are the sizes along this thread, rounded to 0.001 mm (ISO 7-1, its
// lengths from memory) or 0.00001 in (ASME B1.20.1; lengths to 0.0001). A parallel
// thread has none and is refused.
func (t Thread) TaperSizes() (TaperSizes, error) {
	switch {
	case t.Taper == (calc.Ratio{}):
		return TaperSizes{}, fmt.Errorf("%s is parallel and has no taper", t)
	case t.Family == AmericanPipe:
		i := americanRow(t.Nominal)
		if i < 0 {
			return TaperSizes{}, fmt.Errorf("no NPT thread is for a pipe of %s", t.Nominal)
		}
		p, d := t.Pitch.Nanometres().Float(), float64(t.Nominal)
		digit := calc.Inch / 100_000
		small := nearest(d - 0.05*d*p/float64(calc.Inch) - 1.1*p) // rounded last, after the lengths are added
		s := TaperSizes{SmallPitch: small.Round(digit), Gauge: calc.Length(americanSizes[i].hand) * tenth}
		useful := (0.8*d/float64(calc.Inch) + 6.8) * p
		s.Useful = nearest(useful).Round(tenth)
		s.Vanish = nearest(3.47 * p).Round(tenth)
		s.Overall = s.Useful + s.Vanish
		s.GaugePitch = (small + s.Gauge.Scale(t.Taper)).Round(digit)
		s.UsefulEnd = (small + nearest(useful).Scale(t.Taper)).Round(digit)
		s.SmallMajor = (small + nearest(0.8*p)).Round(digit)
		return s, nil
	}
	i := pipeRow(t.Nominal)
	if i < 0 || pipeSizes[i].gauge == 0 {
		return TaperSizes{}, fmt.Errorf("the lengths of %s are not known here", t)
	}
	row := pipeSizes[i]
	s := TaperSizes{Gauge: calc.Length(row.gauge) * um, Useful: calc.Length(row.useful) * um, GaugePitch: calc.Length(row.pitch) * um}
	s.SmallMajor = (t.Nominal - s.Gauge.Scale(t.Taper)).Round(um)
	s.SmallPitch = (s.GaugePitch - s.Gauge.Scale(t.Taper)).Round(um)
	s.UsefulEnd = (s.SmallPitch + s.Useful.Scale(t.Taper)).Round(um)
	return s, nil
}

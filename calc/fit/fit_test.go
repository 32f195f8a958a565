package fit_test

import (
	"encoding/csv"
	"math/rand"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/fit"
)

// The ISO 286 tables, limits at 18 diameters and 13 fits, in micrometres as
// printed; js is half an odd grade without rounding.
func TestISO286Table(t *testing.T) {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "standards", "iso286.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	zone := func(d calc.Length, z string) fit.Limits {
		l, err := fit.ISO286(d, z)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	compared := map[string]int{}
	for _, row := range all[1:] {
		kind, class, over, upTo, quantity := row[0], row[1], calc.Millimetres(number(row[2])), calc.Millimetres(number(row[3])), row[4]
		want := calc.Length(number(row[5]) * float64(calc.Micrometre))
		check := func(got calc.Length) {
			t.Helper()
			if got != want {
				t.Errorf("%s %s %s..%s %s is %s, the table has %s", kind, class, over, upTo, quantity, got, want)
			}
		}
		compared[kind]++
		switch kind {
		case "IT":
			// Both ends of the range: the lower one not included.
			grade := int(number(strings.TrimPrefix(class, "IT")))
			for _, d := range []calc.Length{over + 1, upTo} {
				it, err := fit.Grade(d, grade)
				if err != nil {
					t.Fatal(err)
				}
				check(it)
			}
		case "deviation":
			letter := strings.TrimSuffix(class, "4..k7")
			if class == "k4..k7" {
				letter = "k"
			}
			for _, d := range []calc.Length{over + 1, upTo} {
				l := zone(d, letter+"6")
				if quantity == "es" {
					check(l.Max - d)
				} else {
					check(l.Min - d)
				}
			}
		case "shaft", "hole":
			l := zone(upTo, class)
			if strings.EqualFold(quantity, "es") {
				check(l.Max - upTo)
			} else {
				check(l.Min - upTo)
			}
		case "fit":
			p, err := fit.ParsePair(upTo.String() + " " + class)
			if err != nil {
				t.Fatal(err)
			}
			if quantity == "clearance_max" {
				check(p.MaxClearance())
			} else {
				check(p.MinClearance())
			}
		default:
			t.Fatalf("kind %q is not known", kind)
		}
	}
	total := 0
	for k, n := range compared {
		t.Logf("iso286.csv: %d rows of %s compared", n, k)
		total += n
	}
	if total != len(all)-1 || total < 2000 {
		t.Errorf("%d rows compared of %d", total, len(all)-1)
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct{ text, nominal, min, max, class string }{
		{"16 mm h9", "16 mm", "15.957 mm", "16 mm", "h9"},
		{"25 H7", "25 mm", "25 mm", "25.021 mm", "H7"},
		{"25H7", "25 mm", "25 mm", "25.021 mm", "H7"},
		{"16mmh9", "16 mm", "15.957 mm", "16 mm", "h9"},
		{"10 h9", "10 mm", "9.964 mm", "10 mm", "h9"},
		{"32 h7", "32 mm", "31.975 mm", "32 mm", "h7"},     // IT7 30..50 is 25 um, ISO 286-1 table 1
		{"148 H8", "148 mm", "148 mm", "148.063 mm", "H8"}, // IT8 120..180 is 63 um
		{"12.5 ±0.05 mm", "12.5 mm", "12.45 mm", "12.55 mm", "±"},
		{"12.5 +-0.05mm", "12.5 mm", "12.45 mm", "12.55 mm", "±"},
		{"12.5 +/- 0.05 mm", "12.5 mm", "12.45 mm", "12.55 mm", "±"},
		{"12.5 ±0.05", "12.5 mm", "12.45 mm", "12.55 mm", "±"},
		{"12.5 mm ±0.05", "12.5 mm", "12.45 mm", "12.55 mm", "±"},
		{"12.5 mm ±50 um", "12.5 mm", "12.45 mm", "12.55 mm", "±"},
		{"0.500 +0.000/-0.002 in", "12.7 mm", "12.6492 mm", "12.7 mm", "±"},
		{"0.500 in +0.000/-0.002", "12.7 mm", "12.6492 mm", "12.7 mm", "±"},
		{"1-1/8 in ±0.001 in", "28.575 mm", "28.5496 mm", "28.6004 mm", "±"},
		{"1-1/8 in", "28.575 mm", "28.575 mm", "28.575 mm", ""},
		{"7/16 in +0 -0.002 in", "11.1125 mm", "11.0617 mm", "11.1125 mm", "±"},
		{"12 mm -0.01/-0.03", "12 mm", "11.97 mm", "11.99 mm", "±"},
		{"12 mm +0.03/+0.01", "12 mm", "12.01 mm", "12.03 mm", "±"},
		{"12 mm −0.01/−0.03", "12 mm", "11.97 mm", "11.99 mm", "±"},
		{"12 mm", "12 mm", "12 mm", "12 mm", ""},
		{"12 mm general", "12 mm", "11.8 mm", "12.2 mm", "general"},
		{"0.4 in h9", "10.16 mm", "10.117 mm", "10.16 mm", "h9"},
		{`0.375"`, "9.525 mm", "9.525 mm", "9.525 mm", ""},
		{"10 js7", "10 mm", "9.9925 mm", "10.0075 mm", "js7"},
	} {
		l, err := fit.Parse(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if l.Nominal.String() != c.nominal || l.Min.String() != c.min || l.Max.String() != c.max || l.Class != c.class {
			t.Errorf("%q is %s %s..%s %q, want %s %s..%s %q", c.text, l.Nominal, l.Min, l.Max, l.Class, c.nominal, c.min, c.max, c.class)
		}
		if again, err := fit.Parse(l.String()); err != nil || again != l {
			t.Errorf("%q prints as %q, which reads back as %+v, %v", c.text, l, again, err)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "no length"},
		{"12", "has no unit"},
		{"10 h9x", `at character 4: "h9x" is neither a unit nor a tolerance: did you mean 10 h9?`},
		{"25 H7 g6", `at character 4: "H7 g6" is neither a unit nor a tolerance: a fit has a stroke between its zones: write 25 H7/g6`},
		{"25 mm H77y", "did you mean 25 mm H7?"},
		{"25H", `at character 3: "H" is neither`},
		{"12.5 furlongs", `at character 6: "furlongs" is neither a unit nor a tolerance`},
		{"h9", "no length"},
		{"12 mm z9", "position z is not known here: use one of f g h"},
		{"12 mm Z9", "use one of F G H"},
		{"12 mm h4", "grade IT4 is not known here: use 5 to 11"},
		{"12 mm h99999999999999999999", "no tolerance zone"},
		{"12 mm Hs7", "no tolerance zone"},
		{"300 mm h9", "up to 250 mm"},
		{"-12 mm h9", "not above zero"},
		{"0 mm", "not above zero"},
		{"12 mm +0.1", "one limit only"},
		{"12 mm -0.1", "one limit only"},
		{"12 mm +0.1/+0.2", "wrong way round"},
		{"0.1 mm ±0.2", "not above zero"},
		{"1 mm +3/0", "larger than the size"},
		{"12 mm ±-0.1", "tolerance below zero"},
		{"12 mm ±x", "no length"},
		{"12,5 mm h9", "comma"},
		{"0.2 mm general", "0.5 mm to 2000 mm"},
		{"999999999999 mm", "too long"},
		{strings.Repeat("1", 100) + " mm", "at most 80"},
		{"12 mm \xff", "at most 80"},
	} {
		l, err := fit.Parse(c.text)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q is %+v, %v; want %q in the error", c.text, l, err, c.want)
		} else if strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: more than one line", c.text)
		}
	}
}

// The rules of ISO 286-1 that a plain mirror of the shaft gets wrong.
func TestISO286Traps(t *testing.T) {
	for _, c := range []struct {
		text     string
		min, max string
	}{
		{"25 N7", "24.972 mm", "24.993 mm"},   // ES = -15 + (21-13) = -7
		{"3 N7", "2.986 mm", "2.996 mm"},      // no shift up to 3 mm: ES = -4
		{"25 N9", "24.948 mm", "25 mm"},       // ES = 0 above IT8
		{"3 N9", "2.971 mm", "2.996 mm"},      // but -4 up to 3 mm
		{"25 P7", "24.965 mm", "24.986 mm"},   // ES = -22 + 8
		{"25 K8", "24.977 mm", "25.01 mm"},    // ES = -2 + (33-21) = 10
		{"25 k8", "25 mm", "25.033 mm"},       // k starts at the line above IT7
		{"50 r6", "50.034 mm", "50.05 mm"},    // ranges of r and s are finer
		{"65 r6", "65.041 mm", "65.06 mm"},    // 50..65
		{"65.1 r6", "65.143 mm", "65.162 mm"}, // 65..80
	} {
		l, err := fit.Parse(c.text)
		if err != nil || l.Min.String() != c.min || l.Max.String() != c.max {
			t.Errorf("%s is %s..%s, %v; want %s..%s", c.text, l.Min, l.Max, err, c.min, c.max)
		}
	}
}

// ISO 2768-1 class m.
func TestGeneral(t *testing.T) {
	for _, c := range []struct {
		nominal, deviation string
		kind               fit.Kind
	}{
		{"0.5 mm", "0.1 mm", fit.Linear}, {"3 mm", "0.1 mm", fit.Linear}, {"6 mm", "0.1 mm", fit.Linear}, {"6.000001 mm", "0.2 mm", fit.Linear},
		{"30 mm", "0.2 mm", fit.Linear}, {"120 mm", "0.3 mm", fit.Linear}, {"400 mm", "0.5 mm", fit.Linear}, {"401 mm", "0.8 mm", fit.Linear},
		{"1 mm", "0.2 mm", fit.Edge}, {"5 mm", "0.5 mm", fit.Edge}, {"7 mm", "1 mm", fit.Edge},
	} {
		n, err := calc.ParseLength(c.nominal)
		if err != nil {
			t.Fatal(err)
		}
		l, err := fit.General(n, c.kind)
		if err != nil || (l.Max-n).String() != c.deviation || l.Mid() != n || l.Class != fit.Default || !strings.Contains(l.Source, "from memory") {
			t.Errorf("%s: %+v, %v", c.nominal, l, err)
		}
	}
	if l, err := fit.General(calc.Length(400)*calc.Micrometre, fit.Linear); err == nil {
		t.Errorf("0.4 mm has a general tolerance: %v", l)
	}
	if l, err := fit.General(calc.Millimetre, fit.Kind(7)); err == nil {
		t.Errorf("kind 7 has a general tolerance: %v", l)
	}
}

func TestLimits(t *testing.T) {
	l, err := fit.Parse("16 mm h9")
	if err != nil {
		t.Fatal(err)
	}
	if l.Tolerance() != 43*calc.Micrometre || l.Mid() != 15_978_500*calc.Nanometre || l.Hole() {
		t.Errorf("tolerance %s, middle %s", l.Tolerance(), l.Mid())
	}
	for _, c := range []struct {
		size string
		over calc.Length
	}{{"16 mm", 0}, {"15.957 mm", 0}, {"16.001 mm", calc.Micrometre}, {"15.956 mm", -calc.Micrometre}} {
		size, err := calc.ParseLength(c.size)
		if err != nil {
			t.Fatal(err)
		}
		if l.Over(size) != c.over || l.Contains(size) != (c.over == 0) {
			t.Errorf("%s is %s over", c.size, l.Over(size))
		}
	}
}

func TestPair(t *testing.T) {
	p, err := fit.ParsePair("25 H7/g6")
	if err != nil {
		t.Fatal(err)
	}
	if p.String() != "25 mm H7/g6" || p.MinClearance() != 7*calc.Micrometre || p.MaxClearance() != 41*calc.Micrometre || p.Kind() != "clearance" {
		t.Errorf("%s: %s..%s %s", p, p.MinClearance(), p.MaxClearance(), p.Kind())
	}
	for text, kind := range map[string]string{"3 H7/p6": "transition", "4 H7/p6": "interference", "25 H7/k6": "transition", "25 H7/s6": "interference"} {
		if p, err := fit.ParsePair(text); err != nil || p.Kind() != kind {
			t.Errorf("%s is a %s fit, %v; want %s", text, p.Kind(), err, kind)
		}
	}
	for text, want := range map[string]string{"25 H7": "write both", "25 g6/H7": "hole first", "25 H7/H7": "hole first", "25 H7/z6": "position z", "H7/g6": "no length", "": "no fit"} {
		if p, err := fit.ParsePair(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q is %s, %v; want %q", text, p, err, want)
		}
	}
}

// Any band prints to a text that reads back to the same band.
func TestPrintReadsBack(t *testing.T) {
	seed := int64(20260302)
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewSource(seed))
	for range 3000 {
		n := calc.Length(1 + rng.Int63n(int64(2000*calc.Millimetre)))
		up := calc.Length(rng.Int63n(int64(n)))
		down := up - calc.Length(rng.Int63n(int64(n)))
		l := fit.Limits{Nominal: n, Min: n + down, Max: n + up, Class: fit.Written}
		if down <= -n {
			continue
		}
		again, err := fit.Parse(l.String())
		if err != nil || again != l {
			t.Fatalf("%+v prints as %q, which reads back as %+v, %v", l, l, again, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"16 mm h9", "25 H7/g6", "12.5 ±0.05", "0.500 +0.000/-0.002 in", "12 mm general", "1-1/8 in -0/-0.1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if p, err := fit.ParsePair(s); err == nil {
			if again, err := fit.ParsePair(p.String()); err != nil || again != p {
				t.Fatalf("%q prints as %q, which reads back as %+v, %v", s, p, again, err)
			}
		}
		l, err := fit.Parse(s)
		if err != nil {
			return
		}
		if l.Min > l.Max || l.Min <= 0 {
			t.Fatalf("%q is %+v", s, l)
		}
		if again, err := fit.Parse(l.String()); err != nil || again != l {
			t.Fatalf("%q prints as %q, which reads back as %+v, %v", s, l, again, err)
		}
	})
}

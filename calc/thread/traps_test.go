package thread_test

import (
	"math"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// Spark plugs are 6e (ISO 28741), the head is 6H: M14x1.25-6e has 13.937/13.725
// over the crests and 13.125/12.993 on the pitch diameter. From memory, as the
// deviations e are, and so marked in the sources.
func TestTrapSparkPlug(t *testing.T) {
	l := limits(t, parse(t, "M14x1.25-6e"))
	for _, c := range []struct {
		got  calc.Length
		want string
	}{{l.Major.Max, "13.937 mm"}, {l.Major.Min, "13.725 mm"}, {l.Pitch.Max, "13.125 mm"}, {l.Pitch.Min, "12.993 mm"}} {
		if (c.got - length(t, c.want)).Abs() > calc.Micrometre {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
}

// An outside thread has several minor diameters: flat root, design root, lowest
// root, Unified flat and rounded.
func TestTrapMinorDiameters(t *testing.T) {
	l := limits(t, parse(t, "M10x1.5-6g"))
	const p, es, t2 = 1.5, 0.032, 0.132
	for _, c := range []struct {
		name string
		got  calc.Length
		want float64
	}{
		{"d1 - es", l.Minor.Max, 10 - 1.082532*p - es},
		{"d3 - es", l.DesignRoot, 10 - 1.226869*p - es},
		{"d3 min", l.Minor.Min, 10 - 0.649519*p - es - t2 - 0.616025*p},
	} {
		if math.Abs(c.got.Millimetres()-c.want) > 0.001 {
			t.Errorf("%s is %s, want %.4f", c.name, c.got, c.want)
		}
	}
	u := limits(t, parse(t, "1/4-20 UNC-2A"))
	if u.Minor.Max != length(t, "0.1948 in") || u.DesignRoot != length(t, "0.1894 in") {
		t.Errorf("1/4-20 UNC-2A: flat %s, rounded %s in", u.Minor.Max.Decimal(calc.Inch, 4), u.DesignRoot.Decimal(calc.Inch, 4))
	}
}

// 1-8 UNC-2A pitch min 0.91005 is printed 0.9100 in older tables, 0.9101 in newer.
func TestTrapOneInchEight(t *testing.T) {
	if got := limits(t, parse(t, "1-8 UNC-2A")).Pitch.Min.Decimal(calc.Inch, 4); got != "0.9100" && got != "0.9101" {
		t.Errorf("1-8 UNC-2A pitch min %s", got)
	}
}

// Neglecting the lead angle is nothing on a fine 60 degree thread and about 0.007
// in per inch of pitch on an Acme of 5 degrees.
func TestTrapLeadAngleAndWires(t *testing.T) {
	e := calc.Inches(1 / (math.Pi * math.Tan(5*math.Pi/180)))
	w := thread.Wires{Pitch: calc.PerTurn(calc.Inch), Lead: calc.PerTurn(calc.Inch), Angle: 29 * calc.Degree, Wire: calc.Inches(0.5145)}
	flat := w
	flat.Lead = calc.Lead{}
	if off := (w.Over(e) - flat.Over(e)).Inches(); off < 0.006 || off > 0.008 {
		t.Errorf("an Acme of 5 degrees is %.4f in off without its lead angle", off)
	}
}

// NPT 1-1/2 has L1 0.420 (0.402 in two web tables), 3/8 has L2 0.4078 (0.0478).
func TestTrapPipeLengths(t *testing.T) {
	for spec, want := range map[string]string{"1-1/2 NPT": "0.42", "3/8 NPT": "0.4078"} {
		s, err := parse(t, spec).TaperSizes()
		if err != nil {
			t.Fatal(err)
		}
		got := s.Gauge
		if spec == "3/8 NPT" {
			got = s.Useful
		}
		if got.Trimmed(calc.Inch, 4) != want {
			t.Errorf("%s: %s in, want %s", spec, got.Decimal(calc.Inch, 4), want)
		}
	}
}

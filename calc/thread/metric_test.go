package thread_test

import (
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

func parse(t testing.TB, s string) thread.Thread {
	t.Helper()
	th, err := thread.Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return th
}

func limits(t testing.TB, th thread.Thread) thread.Limits {
	t.Helper()
	l, err := th.Limits()
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func length(t testing.TB, s string) calc.Length {
	t.Helper()
	l, err := calc.ParseLength(s)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// ISO 965-1 limits of outside threads, printed to 0.001 mm.
func TestMetricOutsideTable(t *testing.T) {
	c := comparison{t: t, name: "iso_metric_external.csv", limit: 0.001}
	table := rows(t, "iso_metric_external.csv")
	for _, r := range table {
		class := r["class"]
		if class == "basic" {
			class = "6g"
		}
		th := parse(t, r["designation"]+"-"+class)
		l, err := th.Limits()
		if err != nil {
			t.Fatal(err)
		}
		b, err := th.Basic()
		if err != nil {
			t.Fatal(err)
		}
		got, ok := map[string]calc.Length{
			"major_max": l.Major.Max, "major_min": l.Major.Min, "pitch_max": l.Pitch.Max, "pitch_min": l.Pitch.Min,
			"minor_d1_max": l.Minor.Max, "minor_d3_min": l.Minor.Min, "minor_d3_max_ref": l.DesignRoot,
			"basic_pitch_d2": b.Pitch, "basic_minor_d1": b.Minor, "design_minor_d3": b.Root,
		}[r["quantity"]]
		if !ok {
			t.Fatalf("quantity %q is not known", r["quantity"])
		}
		c.row(th.String()+" "+r["quantity"], r["confidence"], got.Millimetres(), number(t, r["value_mm"]))
	}
	c.done(len(table))
}

// ISO 965-1 limits of inside threads, printed to 0.001 mm.
func TestMetricInsideTable(t *testing.T) {
	c := comparison{t: t, name: "iso_metric_internal.csv", limit: 0.001}
	table := rows(t, "iso_metric_internal.csv")
	for _, r := range table {
		th := parse(t, r["designation"]+"-"+r["class"])
		l := limits(t, th)
		got, ok := map[string]calc.Length{
			"major_min": l.Major.Min, "major_max_ref": l.Major.Max, "pitch_max": l.Pitch.Max, "pitch_min": l.Pitch.Min,
			"minor_max": l.Minor.Max, "minor_min": l.Minor.Min,
		}[r["quantity"]]
		if !ok {
			t.Fatalf("quantity %q is not known", r["quantity"])
		}
		c.row(th.String()+" "+r["quantity"], r["confidence"], got.Millimetres(), number(t, r["value_mm"]))
	}
	c.done(len(table))
}

// M10x1-6g is turned to the middle of 9.794 and 9.974 mm: ISO 965-1 and common
// practice.
func TestTurnTo(t *testing.T) {
	to, err := parse(t, "M10x1-6g").TurnTo()
	if err != nil {
		t.Fatal(err)
	}
	if got, want := to.String(), "9.884 mm 6g"; got != want || to.Min != length(t, "9.794 mm") || to.Max != length(t, "9.974 mm") {
		t.Errorf("M10x1-6g is turned to %s, %s to %s", got, to.Min, to.Max)
	}
	to, err = parse(t, "M10x1-6H").TurnTo() // TD1 236 um, ISO 965-1
	if err != nil {
		t.Fatal(err)
	}
	if to.Min != length(t, "8.917 mm") || to.Max != length(t, "9.153 mm") {
		t.Errorf("M10x1-6H is bored to %s to %s", to.Min, to.Max)
	}
}

// Sizes in no table row of ours, with the answers people worked out by hand.
func TestMetricCases(t *testing.T) {
	for _, c := range []struct{ id, thread, majorMin, majorMax, pitchMin, pitchMax string }{
		{"C027", "M12x1.75-6g", "11.701 mm", "11.966 mm", "10.679 mm", "10.829 mm"},
		{"C028", "M15x1-6g", "14.794 mm", "14.974 mm", "14.206 mm", "14.324 mm"},
		{"C029", "M11x1.5-6g", "10.732 mm", "10.968 mm", "", ""},
	} {
		row := cases(t, c.id)
		th := parse(t, c.thread)
		l := limits(t, th)
		if l.Major.Min != length(t, c.majorMin) || l.Major.Max != length(t, c.majorMax) {
			t.Errorf("%s: %s major is %s..%s, case has %s", c.id, c.thread, l.Major.Min, l.Major.Max, row["expected"])
		}
		if c.pitchMin != "" && (l.Pitch.Min != length(t, c.pitchMin) || l.Pitch.Max != length(t, c.pitchMax)) {
			t.Errorf("%s: %s pitch diameter is %s..%s, case has %s", c.id, c.thread, l.Pitch.Min, l.Pitch.Max, row["expected"])
		}
	}
	if got := limits(t, parse(t, "M15x1-6g")).Major.Over(length(t, "14.70 mm")); got != length(t, "-0.094 mm") {
		t.Errorf("C028: 14.70 is %s off", got)
	}
	if got := limits(t, parse(t, "M11x1.5-6g")).Major.Over(length(t, "10.98 mm")); got != length(t, "0.012 mm") {
		t.Errorf("C029: 10.98 is %s off", got)
	}
}

// The places where the obvious formula is wrong: ISO 965-1 tolerances are
// tables, and ranges include their upper end.
func TestMetricTraps(t *testing.T) {
	l := limits(t, parse(t, "M10x1-6H"))
	if got := l.Minor.Tolerance(); got != length(t, "236 um") {
		t.Errorf("M10x1-6H minor tolerance is %s, the table has 236 um (formula 230, R40 224)", got)
	}
	l = limits(t, parse(t, "M14x1.25-6H"))
	if l.Pitch.Max != length(t, "13.368 mm") {
		t.Errorf("M14x1.25-6H pitch max is %s, not 13.368 (13.358 is a web table's slip)", l.Pitch.Max)
	}
	l = limits(t, parse(t, "M33x3.5-6g"))
	if l.Major.Max != length(t, "32.947 mm") {
		t.Errorf("M33x3.5-6g major max is %s, not 32.947 (32.968 uses the deviation of P 1.5)", l.Major.Max)
	}
	l = limits(t, parse(t, "M22x2.5-4g6g"))
	if l.Pitch.Min != length(t, "20.228 mm") {
		t.Errorf("M22x2.5-4g6g pitch min is %s, not 20.228", l.Pitch.Min)
	}
	l = limits(t, parse(t, "M6x0.75-6g"))
	if l.Major.Max != length(t, "5.978 mm") {
		t.Errorf("M6x0.75-6g major max is %s: deviation g of P 0.75 is 22, not 24", l.Major.Max)
	}
	// M22 lies in the range up to 22.4 mm, M24 in the next.
	if a, b := limits(t, parse(t, "M22x2-6g")).Pitch.Tolerance(), limits(t, parse(t, "M24x2-6g")).Pitch.Tolerance(); a != length(t, "160 um") || b != length(t, "170 um") {
		t.Errorf("Td2 of M22x2 and M24x2 are %s and %s, the table has 160 and 170 um", a, b)
	}
}

// The standard's tolerance tables, every grade: ISO 965-1.
func TestMetricTolerances(t *testing.T) {
	c := comparison{t: t, name: "iso_metric_tolerances.csv", limit: 0}
	table := rows(t, "iso_metric_tolerances.csv")
	for _, r := range table {
		d := r["d_incl_mm"]
		if d == "" {
			d = "24"
		}
		grade := r["grade"]
		what := r["kind"] + grade + " P " + r["P_mm"] + " d " + d
		var got calc.Length
		switch r["kind"] {
		case "Td":
			got = limits(t, parse(t, "M"+d+"x"+r["P_mm"]+"-6g"+grade+"g")).Major.Tolerance()
		case "TD1":
			got = limits(t, parse(t, "M"+d+"x"+r["P_mm"]+"-6H"+grade+"H")).Minor.Tolerance()
		case "Td2":
			got = limits(t, parse(t, "M"+d+"x"+r["P_mm"]+"-"+grade+"g6g")).Pitch.Tolerance()
		case "TD2":
			got = limits(t, parse(t, "M"+d+"x"+r["P_mm"]+"-"+grade+"H6H")).Pitch.Tolerance()
		case "es_g_EI_G":
			l := limits(t, parse(t, "M"+d+"x"+r["P_mm"]+"-6g"))
			got = l.Major.Nominal - l.Major.Max
			if inside := limits(t, parse(t, "M"+d+"x"+r["P_mm"]+"-6G")); inside.Minor.Min-inside.Minor.Nominal != got {
				t.Errorf("%s: G is not the mirror of g", what)
			}
		case "es_e", "es_f":
			l := limits(t, parse(t, "M"+d+"x"+r["P_mm"]+"-6"+r["kind"][3:]))
			got = l.Major.Nominal - l.Major.Max
		default:
			t.Fatalf("kind %q is not known", r["kind"])
		}
		c.row(what, r["confidence"], float64(got/calc.Micrometre), number(t, r["table_um"]))
	}
	c.done(len(table))
}

// What is from memory or by rule says so.
func TestMetricSources(t *testing.T) {
	for _, c := range []struct {
		thread string
		want   string
	}{
		{"M10x1-6g", "ISO 68-1; ISO 965-1"},
		{"M10x1-6e", "ISO 68-1; ISO 965-1; ISO 965-1 (from memory)"},
		{"M27x0.75-6g", "ISO 68-1; ISO 965-1; ISO 965-1 formulas and R40 rounding (size not in its tables)"},
	} {
		s := ""
		for i, x := range limits(t, parse(t, c.thread)).Sources {
			if i > 0 {
				s += "; "
			}
			s += x
		}
		if s != c.want {
			t.Errorf("%s: sources are %q, want %q", c.thread, s, c.want)
		}
	}
}

package thread_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// Tap drills and their share of thread by both rules, printed to 0.1 per cent,
// 0.0001 in and 0.05 mm.
func TestTapDrillTable(t *testing.T) {
	c := comparison{t: t, name: "tapdrill.csv"}
	table := rows(t, "tapdrill.csv")
	drill := map[string]calc.Length{}
	for _, r := range table {
		if r["quantity"] == "drill" {
			unit := calc.Millimetre
			if r["unit"] == "in" {
				unit = calc.Inch
			}
			drill[r["thread"]] = calc.Millimetres(number(t, r["value"]) * unit.Millimetres())
		}
	}
	for _, r := range table {
		spec, rest, printed := strings.Cut(r["thread"], " drill ")
		th := parse(t, spec)
		hole := drill[r["thread"]]
		if printed {
			hole = length(t, rest+map[bool]string{true: " mm", false: " in"}[th.Family == thread.Metric])
		}
		quantity := strings.TrimSuffix(r["quantity"], " printed")
		if quantity == "drill_name" {
			d, err := thread.ParseDrill(r["value"])
			if err != nil {
				t.Error(err)
				continue
			}
			c.limit = 0.00005 + 1e-9 // sixty-fourths are printed to four places
			c.row(r["thread"]+" "+r["value"], r["confidence"], d.Diameter.Inches(), hole.Inches())
			continue
		}
		want := number(t, r["value"])
		var got float64
		c.limit = lastDigit(r["value"])/2 + 1e-9
		switch quantity {
		case "drill":
			if th.Family != thread.Metric {
				// No rule prints these: the drill must be one of our sets, and of those
				// nearest to 75 per cent by the US rule it is one of the first four
				// (the charts like the size above).
				got = printedDrill(t, th, hole)
				break
			}
			d, err := th.TapDrill()
			if err != nil {
				t.Fatal(err)
			}
			got = d.Millimetres()
		case "percent_of_ISO_height_1.0825P":
			got = th.Percent(hole, thread.ISOHeight)
		case "percent_US_1.299P":
			got = th.Percent(hole, thread.USHeight)
			c.limit += 0.01 // the diameter of a sixty-fourth is printed rounded
			if printed && spec[0] >= '0' && spec[0] <= '9' {
				c.limit = 0.6 // printed as whole per cents, cut or rounded
			}
		case "drill_exact_75pct":
			d, err := th.HoleFor(75, thread.USHeight)
			if err != nil {
				t.Fatal(err)
			}
			got = d.Inches()
		default:
			t.Fatalf("quantity %q is not known", quantity)
		}
		c.row(r["thread"]+" "+quantity, r["confidence"], got, want)
	}
	c.limit = 0
	c.done(len(table))
}

// printedDrill is the drill of the inch sets that a chart prints for a thread, in
// inches: among the four nearest to 75 per cent, or failing that zero.
func printedDrill(t *testing.T, th thread.Thread, hole calc.Length) float64 {
	t.Helper()
	var all []thread.Drill
	for _, name := range []string{thread.NumberDrills, thread.LetterDrills, thread.FractionDrills} {
		set, err := thread.DrillSet(name)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, set...)
	}
	for range 4 {
		d, err := th.DrillFrom(all, 75, thread.USHeight)
		if err != nil {
			t.Fatal(err)
		}
		if (d.Diameter - hole).Abs() < 2*calc.Micrometre {
			return d.Diameter.Inches()
		}
		all = slices.DeleteFunc(all, func(o thread.Drill) bool { return o == d })
	}
	return 0
}

// M10 with 8.5 mm is 77.0 per cent by one rule and 92.4 by the other; a drill of
// D - P is always that.
func TestTwoRules(t *testing.T) {
	th := parse(t, "M10")
	if us, iso := th.Percent(length(t, "8.5 mm"), thread.USHeight), th.Percent(length(t, "8.5 mm"), thread.ISOHeight); math.Abs(us-77.0) > 0.05 || math.Abs(iso-92.4) > 0.05 {
		t.Errorf("8.5 mm is %.1f and %.1f per cent", us, iso)
	}
	for _, r := range []thread.Rule{thread.ISOHeight, thread.USHeight} {
		for _, p := range []float64{1, 50, 75, 100} {
			hole, err := th.HoleFor(p, r)
			if err != nil || math.Abs(th.Percent(hole, r)-p) > 1e-4 {
				t.Errorf("%g per cent %s is %s, %v", p, r, hole, err)
			}
		}
	}
	for _, bad := range []float64{0, -1, 101, math.NaN()} {
		if hole, err := th.HoleFor(bad, thread.ISOHeight); err == nil {
			t.Errorf("%g per cent is %s", bad, hole)
		}
	}
}

// From each set the drill nearest to three quarters of a thread.
func TestDrillFromASet(t *testing.T) {
	for _, c := range []struct{ spec, set, want string }{
		{"1/4-20", thread.NumberDrills, "#7"}, {"5/16-18", thread.LetterDrills, "F"}, {"1/2-13", thread.FractionDrills, "27/64"},
		{"10-32", thread.NumberDrills, "#21"}, // 0.1590 in; the hole for 75 per cent is 0.1596
		{"M10x1.5", thread.MetricDrills, "8.5"},
	} {
		set, err := thread.DrillSet(c.set)
		if err != nil {
			t.Fatal(err)
		}
		d, err := parse(t, c.spec).DrillFrom(set, 75, thread.USHeight)
		if err != nil || d.Name != c.want {
			t.Errorf("%s: %s, %v; want %s", c.spec, d.Name, err, c.want)
		}
	}
	small, err := thread.DrillSet(thread.NumberDrills)
	if err != nil {
		t.Fatal(err)
	}
	if d, err := parse(t, "M20").DrillFrom(small, 75, thread.ISOHeight); err == nil || !strings.Contains(err.Error(), "would be right") {
		t.Errorf("M20 from number drills: %s, %v", d.Name, err)
	}
	if _, err := thread.DrillSet("wooden"); err == nil {
		t.Error("a set of wooden drills is known")
	}
	for text, want := range map[string]string{"#7": "5.1054 mm", "f": "6.5278 mm", "27/64": "10.715625 mm", "8.5 mm": "8.5 mm", "0.332 in": "8.4328 mm"} {
		if d, err := thread.ParseDrill(text); err != nil || d.Diameter.String() != want {
			t.Errorf("%s is %s, %v", text, d.Diameter, err)
		}
	}
	for _, bad := range []string{"", "#81", "8.5", "AA", "-1 mm"} {
		if d, err := thread.ParseDrill(bad); err == nil {
			t.Errorf("%q is %s", bad, d.Diameter)
		}
	}
	// Every set is in order, without repeats.
	for _, name := range []string{thread.MetricDrills, thread.NumberDrills, thread.LetterDrills, thread.FractionDrills} {
		set, err := thread.DrillSet(name)
		if err != nil {
			t.Fatal(err)
		}
		for i := 1; i < len(set); i++ {
			if set[i].Diameter <= set[i-1].Diameter || !regexp.MustCompile(`^[#A-Z0-9./-]+$`).MatchString(set[i].Name) {
				t.Errorf("%s: %s follows %s", name, set[i].Name, set[i-1].Name)
			}
		}
	}
}

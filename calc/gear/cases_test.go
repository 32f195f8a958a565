package gear

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
)

// kase is one row of testdata/cases.csv: what people met at the lathe, as inputs
// with the right answer.
type kase struct {
	id, kind string
	in       map[string]string
	want     string
}

func cases(t *testing.T, kinds ...string) []kase {
	t.Helper()
	f, err := os.Open("../../testdata/cases.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []kase
	for _, row := range rows[1:] {
		if !slices.Contains(kinds, row[1]) {
			continue
		}
		k := kase{id: row[0], kind: row[1], in: map[string]string{}, want: row[3]}
		for _, part := range strings.Split(row[2], ";") {
			name, value, _ := strings.Cut(part, "=")
			k.in[name] = value
		}
		out = append(out, k)
	}
	if len(out) == 0 {
		t.Fatalf("no rows of kind %v", kinds)
	}
	return out
}

func lead(t *testing.T, s string) calc.Lead {
	t.Helper()
	l, err := calc.ParseLead(strings.TrimSuffix(s, " lead"))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func length(t *testing.T, s string) calc.Length {
	t.Helper()
	l, err := calc.ParseLength(s)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func (k kase) wanted(t *testing.T) Want {
	t.Helper()
	w := Want{}
	for name, v := range k.in {
		switch name {
		case "leadscrew":
			w.Leadscrew = lead(t, v)
		case "want":
			w.Lead = lead(t, v)
		case "gears":
			g, err := ParseWheels(v)
			if err != nil {
				t.Fatal(err)
			}
			w.Wheels = g
		case "module":
			w.Banjo.Module = length(t, v+" mm")
		case "clearance":
			w.Banjo.Clearance = length(t, v)
		case "middle_stud":
			n, err := strconv.Atoi(v)
			if err != nil {
				t.Fatal(err)
			}
			w.Banjo.Studs = n
		case "train":
		default:
			t.Fatalf("%s: input %q is not known to the test", k.id, name)
		}
	}
	return w
}

// TestCutsAsReported: C001 to C009, what a given train cuts.
func TestCutsAsReported(t *testing.T) {
	for _, k := range cases(t, "gear_pitch") {
		t.Run(k.id, func(t *testing.T) {
			train, err := Parse(k.in["train"])
			if err != nil {
				t.Fatal(err)
			}
			got, err := Check(train, k.wanted(t))
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range strings.Split(k.want, ";") {
				name, v, _ := strings.Cut(want, "=")
				switch name {
				case "pitch_mm":
					near(t, name, got.Lead.Millimetres(), v, 0.00001)
				case "tpi":
					r, err := got.Lead.PerInch()
					if err != nil {
						t.Fatal(err)
					}
					near(t, name, r.Float(), v, 0.0005)
				case "error_ppm":
					near(t, name, got.PPM(), v, 1)
					if v == "0" && !got.Exact() {
						t.Error("not exact")
					}
				case "verdict":
					if !strings.Contains(strings.Join(got.Notes, "\n"), "this train is for a leadscrew of 1.5 mm") {
						t.Errorf("the wrong leadscrew is not recognised: %q", got.Notes)
					}
				default:
					t.Fatalf("expected %q is not known to the test", name)
				}
			}
		})
	}
}

func near(t *testing.T, what string, got float64, want string, tol float64) {
	t.Helper()
	w, err := strconv.ParseFloat(strings.TrimSuffix(want, "mm"), 64)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(got-w) > tol {
		t.Errorf("%s is %.7g, want %s within %g", what, got, want, tol)
	}
}

// TestSearchAsWorkedOut: C011 to C021, the best trains of owned wheels.
func TestSearchAsWorkedOut(t *testing.T) {
	for _, k := range cases(t, "gear_search") {
		t.Run(k.id, func(t *testing.T) {
			w := k.wanted(t)
			w.Length = 20 * calc.Millimetre
			w.Most = 400
			res, err := Search(w)
			if err != nil {
				t.Fatal(err)
			}
			if len(res.Trains) == 0 {
				t.Fatalf("no train: %q", res.Hints)
			}
			best := res.Trains[0]
			var compound []string // of the best error, with one stud shared
			for _, tr := range res.Trains {
				if tr.Error == best.Error && len(tr.Drivers) == 2 {
					compound = append(compound, tr.String())
				}
			}
			t.Log(compound)
			for _, want := range strings.Split(k.want, ";") {
				name, v, _ := strings.Cut(want, "=")
				switch {
				case name == "error_ppm" || name == "best_error_ppm":
					near(t, name, best.PPM(), v, 1)
					if v == "0" && !best.Exact() {
						t.Error("the best is not exact")
					}
				case strings.HasPrefix(name, "train in {"):
					set := strings.Split(strings.TrimSuffix(strings.TrimPrefix(name, "train in {"), "}"), "|")
					if !slices.Contains(set, best.String()) {
						t.Errorf("best train %s is not one of %v", best, set)
					}
					for _, s := range set {
						if !slices.Contains(compound, s) {
							t.Errorf("train %s was not found", s)
						}
					}
				case strings.HasPrefix(name, "not "):
					for _, tr := range res.Trains {
						if tr.String() == strings.TrimPrefix(name, "not ") {
							t.Errorf("train %s cannot be mounted and was returned", tr)
						}
					}
				case strings.HasPrefix(name, "train includes "):
					z, _ := strconv.Atoi(strings.TrimPrefix(name, "train includes "))
					if !slices.Contains(best.Teeth(), z) {
						t.Errorf("best train %s has no %d", best, z)
					}
				case strings.HasPrefix(name, "e.g. "):
					if s := strings.TrimPrefix(name, "e.g. "); !slices.Contains(compound, s) {
						t.Errorf("train %s was not found", s)
					}
				case name == "stepup":
					near(t, name, best.StepUp, v, 0.0005)
				case name == "drift_over_20mm":
					near(t, name, best.Drift.Millimetres(), v, 0.0005)
				case name == "no exact train":
					if best.Exact() {
						t.Errorf("%s is exact", best)
					}
				case strings.HasPrefix(name, "hint: needs a 23 or 46 tooth gear"):
					if !slices.Contains(res.Extra, 23) || !slices.Contains(res.Extra, 46) {
						t.Errorf("extra wheels %v, want 23 and 46 among them", res.Extra)
					}
				default:
					t.Fatalf("expected %q is not known to the test", want)
				}
			}
		})
	}
}

// TestMountsAsFound: C022 to C024, trains hung on a real banjo.
func TestMountsAsFound(t *testing.T) {
	for _, k := range cases(t, "gear_fit") {
		t.Run(k.id, func(t *testing.T) {
			train, err := Parse(k.in["train"])
			if err != nil {
				t.Fatal(err)
			}
			w := k.wanted(t)
			w.Lead, w.Leadscrew = lead(t, "1 mm"), lead(t, "16 tpi")
			got, err := Check(train, w)
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range strings.Split(k.want, ";") {
				name, v, _ := strings.Cut(want, "=")
				switch name {
				case "fits":
					if got.Fits != (v == "yes") {
						t.Errorf("fits is %v, want %s: %q", got.Fits, v, got.Notes)
					}
				case "gap_AB":
					near(t, name, got.Gaps[0].Millimetres(), v, 0.05)
				case "gap_CD":
					near(t, name, got.Gaps[1].Millimetres(), v, 0.05)
				default:
					t.Fatalf("expected %q is not known to the test", name)
				}
			}
		})
	}
}

// TestOneMillimetre: common practice, 60 and 30 driving 45 and 60 from a 1.5 mm
// screw cut exactly 1 mm.
func TestOneMillimetre(t *testing.T) {
	w := Want{Lead: lead(t, "1 mm"), Leadscrew: lead(t, "1.5 mm")}
	got, err := Check(Train{Drivers: []int{60, 30}, Driven: []int{45, 60}}, w)
	if err != nil {
		t.Fatal(err)
	}
	if got.Lead != calc.PerTurn(calc.Millimetre) || !got.Exact() || !got.Fits {
		t.Errorf("cuts %s, error %s, fits %v %q", got.Lead, got.Error, got.Fits, got.Notes)
	}
}

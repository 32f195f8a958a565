package setup

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
)

// args is the inputs of a worked example.
type args map[string]any

func (a args) f(name string) float64 { v, _ := a[name].(float64); return v }

func (a args) mm(name string) calc.Length { return calc.Millimetres(a.f(name)) }

func (a args) in(name string) calc.Length { return calc.Inches(a.f(name)) }

func (a args) deg(name string) calc.Angle {
	return calc.Angle(math.Round(a.f(name) * float64(calc.Degree)))
}

func one(v float64) []float64 { return []float64{v} }

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// sums is how each sum of the worked examples is done here.
var sums = map[string]func(t *testing.T, a args) []float64{
	"divisions": func(t *testing.T, a args) []float64 {
		d := Dial{Travel: 100 * a.mm("grad"), Divisions: 100}
		return one(d.Setting(a.mm("move")).Exact.Float())
	},
	"round_infeed": func(t *testing.T, a args) (out []float64) {
		d := Dial{Travel: 50 * a.mm("grad"), Divisions: 50}
		var depths []calc.Length
		for _, v := range a["cum"].([]any) {
			depths = append(depths, calc.Millimetres(v.(float64)))
		}
		_, more := d.Infeed(depths)
		for _, n := range more {
			out = append(out, float64(n))
		}
		return out
	},
	"wrong_screw_actual": func(t *testing.T, a args) []float64 {
		// The example's unit of length, in or mm, is taken as mm.
		d := Dial{Travel: a.mm("true_pitch"), Marked: a.mm("marked_per_turn"), Divisions: 50}
		return one(d.Position(0, a.mm("reading")).Millimetres())
	},
	"compound_flank": func(t *testing.T, a args) []float64 {
		v, err := FlankFeed(a.deg("angle")).For(a.mm("depth"))
		must(t, err)
		return one(v.Millimetres())
	},
	"compound_z": func(t *testing.T, a args) []float64 {
		s := FlankFeed(a.deg("angle"))
		v, err := s.For(a.mm("depth"))
		must(t, err)
		return one(s.Along(v).Millimetres())
	},
	"fine_angle": func(t *testing.T, a args) []float64 {
		share, err := calc.ParseRatio(strconv.FormatFloat(a.f("ratio"), 'f', -1, 64))
		must(t, err)
		s, err := FineFeed(share)
		must(t, err)
		return one(s.FromAxis.Degrees())
	},
	"fine_x": func(t *testing.T, a args) []float64 {
		return one(TopSlide{a.deg("alpha")}.In(a.mm("c")).Millimetres())
	},
	"fine_z": func(t *testing.T, a args) []float64 {
		return one(TopSlide{a.deg("alpha")}.Along(a.mm("c")).Millimetres())
	},
	"tool_low_radius_error": func(t *testing.T, a args) []float64 {
		return one(TooLow(a.mm("r"), a.mm("drop")).Millimetres())
	},

	"packing_point": func(t *testing.T, a args) []float64 {
		v, err := PackingFor(a.mm("e"), a.mm("d"))
		must(t, err)
		return one(v.Millimetres())
	},
	"packing_flat": func(t *testing.T, a args) []float64 { return one(FlatPacking(a.mm("e")).Millimetres()) },
	"packing_2nd_order": func(t *testing.T, a args) []float64 {
		// The rule to second order agrees with the exact one as far as the example
		// is rounded.
		v, err := PackingFor(a.mm("e"), a.mm("d"))
		must(t, err)
		return one(v.Millimetres())
	},
	"ecc_from_packing": func(t *testing.T, a args) []float64 {
		v, err := Offset(a.mm("t"), a.mm("d"))
		must(t, err)
		return one(v.Millimetres())
	},
	"tir_to_e": func(t *testing.T, a args) []float64 { return one(Eccentricity(a.mm("tir")).Millimetres()) },
	"shim_pair": func(t *testing.T, a args) (out []float64) {
		for _, v := range Shims(2*a.mm("e"), a.deg("phi_deg")) {
			out = append(out, v.Millimetres())
		}
		return out
	},
	"jaw_turn": func(t *testing.T, a args) []float64 {
		v, err := JawTurn(a.in("move"), calc.PerTurn(a.in("pitch")))
		must(t, err)
		return one(v.Degrees())
	},
}

// topics is the topics of this package and how many rows each has.
var topics = map[string]int{"dials": 14, "workholding": 11}

// TestWorkedExamples: every row of the topics of this package.
func TestWorkedExamples(t *testing.T) {
	f, err := os.Open("../../testdata/machining/examples.csv")
	must(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	must(t, err)
	seen := map[string]int{}
	for _, row := range rows[1:] {
		id, topic, formula, inputs, expected, tolerance := row[0], row[1], row[2], row[3], row[4], row[5]
		if topics[topic] == 0 {
			continue
		}
		seen[topic]++
		t.Run(id, func(t *testing.T) {
			a := args{}
			must(t, json.Unmarshal([]byte(strings.NewReplacer("'", `"`, "(", "[", ")", "]").Replace(inputs)), &a))
			var want []float64
			if strings.HasPrefix(expected, "[") {
				must(t, json.Unmarshal([]byte(expected), &want))
			} else {
				v, err := strconv.ParseFloat(expected, 64)
				must(t, err)
				want = one(v)
			}
			tol, err := strconv.ParseFloat(tolerance, 64)
			must(t, err)
			do, ok := sums[formula]
			if !ok {
				t.Fatalf("no sum for %s", formula)
			}
			got := do(t, a)
			if len(got) != len(want) {
				t.Fatalf("got %v, want %v", got, want)
			}
			for i := range got {
				if math.Abs(got[i]-want[i]) > tol+1e-9*math.Abs(want[i]) {
					t.Errorf("got %.9g, want %.9g within %g", got[i], want[i], tol)
				}
			}
		})
	}
	for topic, n := range topics {
		if seen[topic] != n {
			t.Errorf("%d rows of %s, want %d", seen[topic], topic, n)
		}
	}
}

package setup

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"slices"
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
	// Tapers; an example in inches is taken as millimetres.
	"half_angle": func(t *testing.T, a args) []float64 {
		tp, err := Between(a.mm("D"), a.mm("d"), a.mm("L"))
		must(t, err)
		return one(tp.HalfAngle().Degrees())
	},
	"half_from_taper": func(t *testing.T, a args) []float64 {
		return one(Taper{calc.Millimetres(1000 * a.f("t")), 1000 * calc.Millimetre}.HalfAngle().Degrees())
	},
	"setover": func(t *testing.T, a args) []float64 {
		tp, err := Between(a.mm("D"), a.mm("d"), a.mm("L"))
		must(t, err)
		return one(tp.SetOverUsual(a.mm("OAL")).Millimetres())
	},
	"setover_exact": func(t *testing.T, a args) []float64 {
		tp, err := Between(a.mm("D"), a.mm("d"), a.mm("L"))
		must(t, err)
		return one(tp.SetOver(a.mm("OAL")).Millimetres())
	},
	"depth_from_dia": func(t *testing.T, a args) []float64 {
		return one(Taper{calc.Millimetres(1000 * a.f("t")), 1000 * calc.Millimetre}.Depth(a.mm("dd")).Millimetres())
	},

	"knurl_bump_teeth": func(t *testing.T, a args) []float64 {
		return one(Wheel{a.in("Dk"), int(a.f("nk"))}.TeethOn(a.in("D")))
	},
	"knurl_bump_blank": func(t *testing.T, a args) []float64 {
		return one(Wheel{a.in("Dk"), int(a.f("nk"))}.Blank(int(a.f("n")), a.in("allow")).Inches())
	},
	"knurl_blank": func(t *testing.T, a args) []float64 {
		return one(Knurl{Pitch: a.mm("p")}.Blank(int(a.f("n"))).Millimetres())
	},
	"knurl_teeth":      func(t *testing.T, a args) []float64 { return one(Knurl{Pitch: a.mm("p")}.Teeth(a.mm("D"))) },
	"transverse_pitch": func(t *testing.T, a args) []float64 { return one(Knurl{a.in("p"), 30 * calc.Degree}.Around().Inches()) },

	"part_depth_limit": func(t *testing.T, a args) []float64 { return one(PartingDepth(a.mm("w"), false).Millimetres()) },
	"oring_gland_dia": func(t *testing.T, a args) []float64 {
		return one(GrooveDiameter(a.mm("bore"), a.mm("L")).Millimetres())
	},
	"squeeze_pct": func(t *testing.T, a args) []float64 { return one(Squeeze(a.mm("cs"), a.mm("L"))) },

	"point_len": func(t *testing.T, a args) []float64 { return one(PointLength(a.mm("d"), a.deg("angle")).Millimetres()) },
	"drill_dial_turns": func(t *testing.T, a args) []float64 {
		n, err := QuillTurns(a.mm("depth"), calc.PerTurn(a.mm("quill_pitch")))
		must(t, err)
		return one(n.Float())
	},
	"ream_predrill": func(t *testing.T, a args) []float64 {
		v, err := BeforeReaming(a.mm("d"), a.mm("allow"))
		must(t, err)
		return one(v.Millimetres())
	},

	"chamfer_len": func(t *testing.T, a args) []float64 {
		v, err := ChamferLength(a.mm("depth"), a.deg("angle_from_axis"))
		must(t, err)
		return one(v.Millimetres())
	},
	"helix_angle": func(t *testing.T, a args) []float64 {
		return one(Helix(calc.PerTurn(a.mm("lead")), a.mm("d2")).Degrees())
	},

	"jaw_turn": func(t *testing.T, a args) []float64 {
		v, err := JawTurn(a.in("move"), calc.PerTurn(a.in("pitch")))
		must(t, err)
		return one(v.Degrees())
	},
}

// topics is the topics of this package and how many rows each has.
var topics = map[string]int{"dials": 14, "workholding": 11, "drilling": 4, "taper": 7, "knurl": 6, "parting": 1, "oring": 2, "threading": 3}

// threading is the rows of that topic that are about setting up.
var threading = []string{"TH14", "TH15", "TH16"}

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
		if topics[topic] == 0 || topic == "threading" && !slices.Contains(threading, id) {
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

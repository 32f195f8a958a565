package gear

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"math/big"
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

func (a args) i(name string) int { return int(a.f(name)) }

func (a args) mm(name string) calc.Length { return calc.Millimetres(a.f(name)) }

// exact is a number as the fraction it was written as.
func (a args) exact(t *testing.T, name string) calc.Ratio {
	t.Helper()
	r, err := calc.ParseRatio(strconv.FormatFloat(a.f(name), 'f', -1, 64))
	must(t, err)
	return r
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func (a args) train() (tr Train) {
	for _, p := range a["pairs"].([]any) {
		pair := p.([]any)
		tr.Drivers = append(tr.Drivers, int(pair[0].(float64)))
		tr.Driven = append(tr.Driven, int(pair[1].(float64)))
	}
	return tr
}

// screw is the leadscrew of an example. One is written in decimals for 1/6 in.
func (a args) screw() calc.Lead { return calc.PerTurn(a.mm("p_ls")) }

func (a args) cuts(t *testing.T) calc.Lead {
	l, err := a.train().Cuts(Want{Leadscrew: a.screw()})
	must(t, err)
	return l
}

func (a args) step(t *testing.T, screw, lead calc.Lead) float64 {
	m, err := ThreadDial{Wheel: a.i("teeth"), Lines: a.i("ndiv")}.Marks(screw, lead)
	must(t, err)
	return float64(m.Step)
}

func perInch(t *testing.T, r calc.Ratio) calc.Lead {
	t.Helper()
	l, err := calc.PerInch(r)
	must(t, err)
	return l
}

// sums is how each sum of the worked examples is done here.
var sums = map[string]func(t *testing.T, a args) float64{
	"dial_step_tpi": func(t *testing.T, a args) float64 {
		return a.step(t, perInch(t, a.exact(t, "ls_tpi")), perInch(t, a.exact(t, "tpi")))
	},
	"dial_step": func(t *testing.T, a args) float64 {
		return a.step(t, calc.PerTurn(a.mm("p_ls")), calc.PerTurn(a.mm("lead")))
	},
	"multi_teeth": func(t *testing.T, a args) float64 {
		n, err := Starts{Count: a.i("starts")}.Teeth(a.i("A"))
		must(t, err)
		return float64(n)
	},
	"multi_shift": func(t *testing.T, a args) float64 {
		return Starts{Count: a.i("starts"), Lead: calc.PerTurn(a.mm("lead"))}.Shift().Millimetres()
	},
	"lead_mm": func(t *testing.T, a args) float64 { return a.cuts(t).Millimetres() },
	"tpi_of": func(t *testing.T, a args) float64 {
		r, err := a.cuts(t).PerInch()
		must(t, err)
		return r.Float()
	},
	"err_ppm": func(t *testing.T, a args) float64 {
		// The lead of the example is 55/65 of 1.5 mm, rounded.
		tr, err := Check(Train{Drivers: []int{55}, Driven: []int{65}}, Want{Lead: calc.PerTurn(a.mm("wanted")), Leadscrew: lead(t, "1.5 mm")})
		must(t, err)
		if math.Abs(tr.Lead.Millimetres()-a.f("actual")) > 1e-6 {
			t.Errorf("cuts %s", tr.Lead)
		}
		return tr.PPM()
	},
	"pair_ppm": func(t *testing.T, a args) float64 {
		return ppm(t, a.i("a"), a.i("b"), calc.Millimetres(a.f("ideal")))
	},
	"cum_err_um": func(t *testing.T, a args) float64 {
		// A lead 606 ppm long, over the length.
		e, err := calc.NewRatio(int64(a.i("ppm")), 1_000_000)
		must(t, err)
		return a.mm("length").Scale(e).Millimetres() * 1000
	},
	"virtual_pd_um": func(t *testing.T, a args) float64 {
		// One length engaged with an error of dp, against a tolerance of 1 mm.
		share, _ := judge(a.f("dp_um")/1000, calc.Millimetre, calc.Millimetre, 30*calc.Degree)
		return share * 1000
	},
	"td2_um": func(t *testing.T, a args) float64 {
		return PitchTolerance(a.mm("P"), a.mm("d_mean")).Millimetres() * 1000
	},
	"TD2_um": func(t *testing.T, a args) float64 {
		// ISO 965-1: the inside thread's grade 6 is 1.32 times the outside one's.
		return 1.32 * PitchTolerance(a.mm("P"), a.mm("d_mean")).Millimetres() * 1000
	},
	"max_engagement": func(t *testing.T, a args) float64 {
		// The length at which a share of 1 of that much tolerance is reached.
		share, _ := judge(a.f("ppm")/1e6, calc.Millimetre, calc.Millimetres(a.f("frac_um")/1000), 30*calc.Degree)
		return 1 / share
	},
	"centre_distance": func(t *testing.T, a args) float64 {
		return Banjo{Module: a.mm("m")}.centres(a.i("z1"), a.i("z2")).Millimetres()
	},
	"clear_c_to_first_shaft": func(t *testing.T, a args) float64 {
		gaps, _ := Banjo{Module: a.mm("m")}.mounting(Train{Drivers: []int{a.i("A"), a.i("C")}, Driven: []int{a.i("B"), 40}})
		return gaps[0].Millimetres()
	},
	"clear_b_to_last_shaft": func(t *testing.T, a args) float64 {
		gaps, _ := Banjo{Module: a.mm("m")}.mounting(Train{Drivers: []int{40, a.i("C")}, Driven: []int{a.i("B"), a.i("D")}})
		return gaps[1].Millimetres()
	},
	"min_sum_ab": func(t *testing.T, a args) float64 {
		// The smallest sum of teeth with which C clears a shaft of that radius, the
		// wheels next to it being of any size.
		b := Banjo{Module: a.mm("m"), Clearance: a.mm("r_shaft")}
		for sum := 2 * minTeeth; ; sum++ {
			if b.shortfall([]int{sum / 2, a.i("C")}, []int{sum - sum/2, 200}) == 0 {
				return float64(sum)
			}
		}
	},
	"triangle_ok": func(t *testing.T, a args) float64 {
		// Wheels of module 1 with those distances, and a span.
		r1, r2 := int(2*a.f("r1")), int(2*a.f("r2"))
		_, faults := Banjo{Span: a.mm("L"), Clearance: 1}.mounting(Train{Drivers: []int{r1 / 2, r2 / 2}, Driven: []int{r1 - r1/2, r2 - r2/2}})
		for _, f := range faults {
			if f.kind == tooFar || f.kind == tooNear {
				return 0
			}
		}
		return 1
	},
	"banjo_angle": func(t *testing.T, a args) float64 {
		r1, r2 := int(2*a.f("r1")), int(2*a.f("r2"))
		v, err := Banjo{Span: a.mm("L")}.Angle(Train{Drivers: []int{r1 / 2, r2 / 2}, Driven: []int{r1 - r1/2, r2 - r2/2}})
		must(t, err)
		return v.Degrees()
	},
	"gear_od": func(t *testing.T, a args) float64 { return (2 * Banjo{Module: a.mm("m")}.tip(a.i("z"))).Millimetres() },
}

// ppm is the error of a pair of wheels against an ideal ratio given as a length per
// millimetre.
func ppm(t *testing.T, a, b int, ideal calc.Length) float64 {
	t.Helper()
	tr := Train{Drivers: []int{a}, Driven: []int{b}}
	r, err := tr.Ratio()
	must(t, err)
	l, err := calc.PerTurn(calc.Millimetre).Times(r)
	must(t, err)
	q, err := l.Over(calc.PerTurn(ideal))
	must(t, err)
	return (q.Float() - 1) * 1e6
}

// elsewhere is the rows of the threading topic that other packages answer.
var elsewhere = []string{"TH8", "TH9", "TH10", "TH11", "TH14", "TH15", "TH16"}

// TestWorkedExamples: every row of change gears and of threading that is about
// leadscrews.
func TestWorkedExamples(t *testing.T) {
	seen := 0
	for _, r := range published(t, "examples.csv") {
		if r["topic"] != "changegears" && r["topic"] != "threading" || slices.Contains(elsewhere, r["id"]) {
			continue
		}
		seen++
		t.Run(r["id"], func(t *testing.T) {
			a := args{}
			text := strings.NewReplacer("'", `"`, "((", "[[", "))", "]]", ",)", "]", "(", "[", ")", "]").Replace(r["inputs"])
			must(t, json.Unmarshal([]byte(text), &a))
			want, err := strconv.ParseFloat(r["expected"], 64)
			must(t, err)
			tol, err := strconv.ParseFloat(r["tol"], 64)
			must(t, err)
			do, ok := sums[r["formula"]]
			if !ok {
				t.Fatalf("no sum for %s", r["formula"])
			}
			if got := do(t, a); math.Abs(got-want) > tol+1e-9*math.Abs(want) {
				t.Errorf("got %.9g, want %.9g within %g", got, want, tol)
			}
		})
	}
	if seen != 25+17-len(elsewhere) {
		t.Errorf("%d rows", seen)
	}
}

// published is the rows of a table in testdata/machining by column name.
func published(t *testing.T, name string) (out []map[string]string) {
	t.Helper()
	f, err := os.Open("../../testdata/machining/" + name)
	must(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	must(t, err)
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

// TestSubstitutesFor127: the table of pairs that stand in for the 127 wheel.
func TestSubstitutesFor127(t *testing.T) {
	rows := published(t, "gear_substitutes.csv")
	for _, r := range rows {
		ideal, err := calc.ParseRatio(r["ideal"])
		must(t, err)
		a, err := strconv.ParseInt(r["driver_product"], 10, 64)
		must(t, err)
		b, err := strconv.ParseInt(r["driven_product"], 10, 64)
		must(t, err)
		pair, err := calc.NewRatio(a, b)
		must(t, err)
		q, err := pair.Over(ideal)
		must(t, err)
		want, err := strconv.ParseFloat(r["error_ppm"], 64)
		must(t, err)
		if got := (q.Float() - 1) * 1e6; math.Abs(got-want) > 0.6 {
			t.Errorf("%d/%d for %s is %.1f ppm, want %s", a, b, ideal, got, r["error_ppm"])
		}
	}
	if len(rows) < 18 {
		t.Errorf("%d rows", len(rows))
	}
}

// TestPublishedErrors: figures that are printed wrong stay wrong.
func TestPublishedErrors(t *testing.T) {
	// 73/46 for 127/80 is printed as 1.5862 and 0.0819 percent; the division gives
	// 1.58696 and 0.0342 percent.
	if got := ppm(t, 73, 46, 1587500*calc.Nanometre); math.Abs(got+342.3) > 0.6 || math.Abs(got+819) < 400 {
		t.Errorf("73/46 is %.1f ppm", got)
	}
	// 63/50 is not a substitute for 127/100: 63 stands for 127 halved.
	if got := ppm(t, 63, 50, 1270*calc.Micrometre); math.Abs(got) < 5000 {
		t.Errorf("63/50 is %.1f ppm", got)
	}
	// 21/50 x 60/40 from a 1/16 in screw is long, not short.
	tr, err := Check(Train{Drivers: []int{21, 60}, Driven: []int{50, 40}}, Want{Lead: lead(t, "1 mm"), Leadscrew: lead(t, "16 tpi")})
	must(t, err)
	if tr.Error.Sign() <= 0 || tr.PPM() != 125 {
		t.Errorf("%s is %g ppm", tr, tr.PPM())
	}
	// 4 tpi on an 8 tpi screw is printed as "any position": half of the random
	// closings would split the thread.
	m, err := ThreadDial{Wheel: 16, Lines: 8}.Marks(lead(t, "8 tpi"), lead(t, "4 tpi"))
	must(t, err)
	if m.HalfNuts == Anywhere || m.HalfNuts != AnyLine {
		t.Errorf("4 tpi on an 8 tpi screw: %s", m.HalfNuts)
	}
}

// TestPublishedCharts: the errors of charts of 20-80 tooth wheels with a 1.5 mm
// screw, in percent without a sign, to 0.002.
func TestPublishedCharts(t *testing.T) {
	for _, c := range []struct {
		tpi, train string
		percent    float64
	}{
		{"40 tpi", "30-60-55-65", .0606}, {"32 tpi", "50-65-55-80", .0606}, {"28 tpi", "35-55-57-60", .0355}, {"20 tpi", "55-40-40-65", .0606},
		{"14 tpi", "57-30-35-55", .0355}, {"8 tpi", "57-35-65-50", .0225}, {"16 tpi", "50-40-55-65", .0606},
	} {
		tr, err := Parse(c.train)
		must(t, err)
		got, err := Check(tr, Want{Lead: lead(t, c.tpi), Leadscrew: lead(t, "1.5 mm")})
		must(t, err)
		if math.Abs(math.Abs(got.PPM())/1e4-c.percent) > .002 {
			t.Errorf("%s for %s: %.4f percent, chart says %.4f", c.train, c.tpi, got.PPM()/1e4, c.percent)
		}
	}
}

// TestDialByTrying: every answer about a threading dial against turning the
// leadscrew with the half-nuts open and closing them again on each line, through
// several turns of the dial.
func TestDialByTrying(t *testing.T) {
	tpi := []string{"4", "4.5", "5", "6", "7", "8", "9", "10", "11", "11.5", "12", "13", "14", "16", "18", "19", "20", "24", "26", "27", "28", "32", "40"}
	type dial struct {
		screw string
		d     ThreadDial
	}
	n := 0
	for _, c := range []dial{
		{"8 tpi", ThreadDial{Wheel: 16, Lines: 8}}, {"8 tpi", ThreadDial{Wheel: 32, Lines: 8}}, {"16 tpi", ThreadDial{Wheel: 16, Lines: 8}},
		{"6 tpi", ThreadDial{Wheel: 24, Lines: 8}}, {"8 tpi", ThreadDial{Wheel: 16, Lines: 4}}, {"3 mm", ThreadDial{Wheel: 14, Lines: 2}},
		{"1.5 mm", ThreadDial{Wheel: 20, Lines: 4}}, {"8 tpi", ThreadDial{Wheel: 35, Lines: 8, First: 3}}, {"2 mm", ThreadDial{Wheel: 15, Lines: 5}},
	} {
		var leads []calc.Lead
		for _, s := range tpi {
			leads = append(leads, lead(t, s+" tpi"))
		}
		for _, um := range []calc.Length{350, 500, 700, 750, 800, 1000, 1250, 1500, 1750, 2000, 2500, 3000} {
			leads = append(leads, calc.PerTurn(um*calc.Micrometre))
		}
		for _, l := range leads {
			m, err := c.d.Marks(lead(t, c.screw), l)
			must(t, err)
			tried := c.d.try(lead(t, c.screw), l)
			if m.HalfNuts == Anywhere {
				// right at every leadscrew thread, so at every line that closes
				ratio := new(big.Rat).Quo(lead(t, c.screw).Nanometres().Rat(), l.Nanometres().Rat())
				if !ratio.IsInt() {
					t.Errorf("%s for %s: anywhere, and %s is no whole number", c.screw, l, ratio)
				}
				continue
			}
			if !slices.Equal(m.Lines, tried) {
				t.Errorf("dial %+v on %s for %s: lines %v, trying gives %v", c.d, c.screw, l, m.Lines, tried)
			}
			if (m.HalfNuts == StayClosed) != (len(tried) == 0) {
				t.Errorf("dial %+v on %s for %s: %s, trying gives %v", c.d, c.screw, l, m.HalfNuts, tried)
			}
			n++
		}
	}
	if n < 200 {
		t.Errorf("only %d tried", n)
	}
}

// try is the lines on which the half-nuts close and the tool falls into its groove
// every time they come round, over as many turns as the wheel has teeth.
func (d ThreadDial) try(screw, l calc.Lead) (out []int) {
	first := max(1, d.First)
	for line := 1; line <= d.Lines; line++ {
		right := true
		for turn := range d.Wheel {
			k := (line-first+d.Lines)%d.Lines + turn*d.Lines
			threads := big.NewRat(int64(k*d.Wheel), int64(d.Lines)) // of the leadscrew gone by
			turns := new(big.Rat).Quo(new(big.Rat).Mul(threads, screw.Nanometres().Rat()), l.Nanometres().Rat())
			right = right && threads.IsInt() && turns.IsInt()
		}
		if right {
			out = append(out, line)
		}
	}
	return out
}

// TestPublishedDialTable: a table printed beside a dial with a 16 tooth wheel and 8
// lines on an 8 tpi screw, as lines from one to the next.
func TestPublishedDialTable(t *testing.T) {
	for tpi, step := range map[string]int{
		"8": 1, "16": 1, "24": 1, "12": 1, "20": 1, "28": 1, "10": 2, "14": 2, "18": 2, "26": 2, "5": 4, "7": 4, "9": 4, "11": 4, "13": 4, "4.5": 8, "5.5": 8, "6.5": 8,
	} {
		m, err := ThreadDial{Wheel: 16, Lines: 8}.Marks(lead(t, "8 tpi"), lead(t, tpi+" tpi"))
		must(t, err)
		if m.Step != step {
			t.Errorf("%s tpi: every %d lines, the table says %d", tpi, m.Step, step)
		}
	}
}

func TestDialWheel(t *testing.T) {
	// A 3 mm screw: 1.75 mm comes right after 7 threads, 1.25 mm after 5.
	for _, c := range []struct {
		leads []string
		want  ThreadDial
	}{
		{[]string{"1.75 mm"}, ThreadDial{Wheel: 14, Lines: 2}}, {[]string{"1.25 mm"}, ThreadDial{Wheel: 15, Lines: 3}},
		{[]string{"1.75 mm", "1.25 mm"}, ThreadDial{Wheel: 35, Lines: 1}}, {[]string{"1.5 mm", "1 mm"}, ThreadDial{Wheel: 14, Lines: 14}},
	} {
		var leads []calc.Lead
		for _, s := range c.leads {
			leads = append(leads, lead(t, s))
		}
		got, err := DialWheel(lead(t, "3 mm"), 14, leads...)
		must(t, err)
		if got != c.want {
			t.Errorf("%v: %+v, want %+v", c.leads, got, c.want)
		}
		for _, l := range leads {
			if m, err := got.Marks(lead(t, "3 mm"), l); err != nil || m.HalfNuts == StayClosed || len(m.Lines) != got.Lines {
				t.Errorf("%v: %s gives %+v, %v", c.leads, l, m, err)
			}
		}
	}
	if d, err := DialWheel(lead(t, "8 tpi"), 14, lead(t, "1 mm"), lead(t, "1.75 mm")); err == nil {
		t.Errorf("metric threads on an inch screw: %+v", d)
	}
	for _, bad := range []ThreadDial{{}, {Wheel: 16}, {Wheel: 500, Lines: 8}, {Wheel: 16, Lines: 8, First: 9}} {
		if _, err := bad.Marks(lead(t, "8 tpi"), lead(t, "8 tpi")); err == nil {
			t.Errorf("accepted: %+v", bad)
		}
	}
	if _, err := Repeat(calc.Lead{}, lead(t, "1 mm")); err == nil {
		t.Error("no leadscrew: accepted")
	}
}

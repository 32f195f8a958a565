package thread_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// ASME B1.1 limits, printed to 0.0001 in. The chain of roundings reproduces all
// but a few rows, whose printed value is one in the last place away.
func TestUnifiedTable(t *testing.T) {
	c := comparison{t: t, name: "unified.csv", limit: 0.0001}
	exact := 0
	table := rows(t, "unified.csv")
	for _, r := range table {
		th := parse(t, r["designation"]+"-"+r["class"])
		if got := th.Nominal.Inches(); math.Abs(got-number(t, r["D_in"])) > 0.00005 {
			t.Errorf("%s has a diameter of %g in, the table %s", th, got, r["D_in"])
		}
		l := limits(t, th)
		got, ok := map[string]calc.Length{
			"allowance": th.Nominal - l.Major.Max, "major_max": l.Major.Max, "major_min": l.Major.Min, "pitch_max": l.Pitch.Max, "pitch_min": l.Pitch.Min,
			"minor_un_max": l.Minor.Max, "minor_unr_max": l.DesignRoot, "minor_max": l.Minor.Max, "minor_min": l.Minor.Min,
		}[r["quantity"]]
		if !ok {
			t.Fatalf("quantity %q is not known", r["quantity"])
		}
		want := number(t, r["value_in"])
		if math.Abs(got.Inches()-want) < 0.00005 {
			exact++
		}
		c.row(th.String()+" "+r["quantity"], r["confidence"], got.Inches(), want)
	}
	t.Logf("%d of %d rows to the last digit", exact, len(table))
	if exact < len(table)-20 {
		t.Errorf("only %d of %d rows agree to the last digit", exact, len(table))
	}
	c.done(len(table))
}

// The rest of the families: basic sizes, tolerances and taper lengths, each at
// half its last printed digit.
func TestOtherFamiliesTable(t *testing.T) {
	table := rows(t, "other_families.csv")
	counts := map[string]*comparison{}
	for _, r := range table {
		family, designation, quantity := r["family"], r["designation"], r["quantity"]
		c := counts[family]
		if c == nil {
			c = &comparison{t: t, name: "other_families.csv " + family}
			counts[family] = c
		}
		if quantity == "taper" {
			th := parse(t, designation)
			want, err := calc.ParseRatio(strings.Fields(r["value"])[0])
			if err != nil || th.Taper != want {
				t.Errorf("%s tapers %s, the table has %s", th, th.Taper, r["value"])
			}
			c.row(designation, r["confidence"], th.Taper.Float(), want.Float())
			continue
		}
		got, want := familyFigure(t, r)
		c.limit = lastDigit(r["value"])/2 + 1e-9
		if quantity == "tpi_approx" {
			c.limit = 0.1 // rounded either way in print
		}
		c.row(designation+" "+quantity, r["confidence"], got, want)
	}
	total := 0
	for _, c := range counts {
		c.limit = 0
		c.done(c.asserted + c.memo)
		total += c.asserted + c.memo
	}
	if total != len(table) || total < 1000 {
		t.Errorf("%d rows compared of %d", total, len(table))
	}
}

// lastDigit is the weight of the last digit a figure is printed to.
func lastDigit(s string) float64 {
	_, decimals, ok := strings.Cut(s, ".")
	if !ok {
		return 1
	}
	return math.Pow10(-len(decimals))
}

// familyFigure is what we say and what the table says, in the table's unit.
func familyFigure(t *testing.T, r map[string]string) (got, want float64) {
	t.Helper()
	quantity := r["quantity"]
	unit := calc.Millimetre
	if r["unit"] == "in" {
		unit = calc.Inch
	}
	in := func(l calc.Length) float64 { return float64(l) / float64(unit) }
	spec := map[string]string{
		"BSW": r["designation"] + " BSW", "BSF": r["designation"] + " BSF", "ME": r["designation"] + " ME", "G_ISO228": r["designation"] + "A",
		"Acme_2G": r["designation"] + " Acme",
	}[r["family"]]
	if spec == "" {
		spec = r["designation"]
	}
	th := parse(t, spec)
	b, err := th.Basic()
	if err != nil {
		t.Fatal(err)
	}
	l := limits(t, th)
	inside := func() thread.Limits {
		other := parse(t, r["designation"]+" inside")
		return limits(t, other)
	}
	tip, err := th.DesignTip()
	if err != nil {
		t.Fatal(err)
	}
	perInch, err := th.Pitch.PerInch()
	if err != nil {
		t.Fatal(err)
	}
	taper := func() thread.TaperSizes {
		s, err := th.TaperSizes()
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	switch quantity {
	case "tpi", "tpi_approx":
		got = perInch.Float()
	case "pitch":
		got = in(th.Pitch.Length())
	case "major", "major_nominal", "major_at_gauge_plane":
		got = in(b.Major)
	case "pipe_od":
		got = in(th.Nominal)
	case "effective", "pitch_dia", "pitch_dia_at_gauge_plane", "pitch_d2_D2":
		got = in(b.Pitch)
	case "minor", "minor_at_gauge_plane", "minor_int_D1":
		got = in(b.Minor)
	case "major_int_D4":
		got = in(b.InsideRoot)
	case "minor_ext_d3":
		got = in(b.Root)
	case "clearance_ac":
		got = in((b.Minor - b.Root) / 2)
	case "H1":
		got = in((b.Major - b.Minor) / 2)
	case "h3", "total_height":
		got = in((b.Major - b.Root) / 2)
	case "basic_height":
		got = in(th.Pitch.Length()) / 2
	case "depth":
		got = in((b.Major - b.Minor) / 2)
	case "radius":
		got = in(tip.Radius)
	case "crest_flat_Fcn":
		// At the crest the groove is as wide as at the pitch line and the slope
		// over half the basic height each side; the crest takes the rest.
		got = in(th.Pitch.Length()) * (0.5 - 2*0.25*math.Tan(14.5*math.Pi/180))
	case "root_flat_Frn":
		got = in(tip.Flat)
	case "lead_angle":
		m := regexp.MustCompile(`^(\d+) d (\d+) m$`).FindStringSubmatch(r["value"])
		if m == nil {
			t.Fatalf("lead angle %q", r["value"])
		}
		// Printed to a minute: worth comparing to half of one, and as whole degrees and minutes.
		return math.Round(th.LeadAngle().Degrees() * 60), number(t, m[1])*60 + number(t, m[2])
	case "internal_pitch_tol":
		got = in(inside().Pitch.Tolerance())
	case "external_pitch_tol_A":
		got = -in(l.Pitch.Tolerance())
	case "external_pitch_tol_B":
		got = -in(limits(t, parse(t, r["designation"]+" B")).Pitch.Tolerance())
	case "external_major_tol":
		got = -in(l.Major.Tolerance())
	case "internal_minor_tol", "nut_minor_tol":
		got = in(inside().Minor.Tolerance())
	case "nut_effective_tol":
		got = in(inside().Pitch.Tolerance())
	case "bolt_normal_major_tol":
		got = -in(l.Major.Tolerance())
	case "bolt_normal_effective_tol":
		got = -in(l.Pitch.Tolerance())
	case "bolt_normal_minor_tol":
		got = -in(l.Minor.Tolerance())
	case "bolt_normal_allowance":
		got = in(b.Major - l.Major.Max)
	case "gauge_length_basic", "L1":
		got = in(taper().Gauge)
	case "useful_thread_min_for_basic_gauge", "L2":
		got = in(taper().Useful)
	case "E0":
		got = in(taper().SmallPitch)
	case "E1":
		got = in(taper().GaugePitch)
	case "E2":
		got = in(taper().UsefulEnd)
	case "vanish_V":
		got = in(taper().Vanish)
	case "L4":
		got = in(taper().Overall)
	default:
		t.Fatalf("quantity %q of %s is not known", quantity, r["family"])
	}
	return got, number(t, r["value"])
}

// Sizes of inch threads from cases.csv that are in no table here.
func TestInchCases(t *testing.T) {
	for _, c := range []struct{ id, spec, band string }{
		{"C031", "1/2-28-2A", "major=0.4924..0.4989;pitch_dia=0.4720..0.4757"},
		{"C032", "5/8-11-2A", "major=0.6113..0.6234;pitch_dia=0.5589..0.5644"},
	} {
		if got := cases(t, c.id)["expected"]; got != c.band {
			t.Fatalf("%s has changed: %s", c.id, got)
		}
		l := limits(t, parse(t, c.spec))
		m := regexp.MustCompile(`[0-9.]*[0-9]`).FindAllString(strings.ReplaceAll(c.band, "..", " "), -1)
		for i, got := range []calc.Length{l.Major.Min, l.Major.Max, l.Pitch.Min, l.Pitch.Max} {
			if d := math.Abs(got.Inches() - number(t, m[i])); d > 0.0002 {
				t.Errorf("%s: %s is %.4f in, the case has %s", c.id, c.spec, got.Inches(), m[i])
			}
		}
	}
	// C035: depth from the nominal crest with four tips.
	th := parse(t, "1-1/8-12")
	basic := th.Nominal - calc.Millimetres(3*math.Sqrt(3)/8*th.Pitch.Millimetres())
	for tipText, want := range map[string]float64{"sharp": 0.0631, "flat P/8": 0.0541, "flat P/4": 0.0451, "radius 0.1443P": 0.0511} {
		cases(t, "C035")
		if got := th.Infeed(tip(t, tipText, th.Pitch), th.Nominal, basic); math.Abs(got.Inches()-want) > 0.0001 {
			t.Errorf("C035: %s gives %.4f in, want %g", tipText, got.Inches(), want)
		}
	}
	// C042: internal Acme 1/2-10, bore 0.4000, depth 0.0600 in, along 14.5 degrees 0.0620.
	th = parse(t, "1/2-10 Acme inside")
	b, err := th.Basic()
	if err != nil {
		t.Fatal(err)
	}
	cases(t, "C042")
	depth := (b.InsideRoot - b.Minor) / 2
	if b.Minor != length(t, "0.4000 in") || depth != length(t, "0.0600 in") || math.Abs(thread.Along(depth, 14*calc.Degree+30*calc.Arcminute).Inches()-0.0620) > 0.0002 {
		t.Errorf("C042: bore %s, depth %s", b.Minor, depth)
	}
	// C043, C044: 26 per inch, Whitworth form and cycle thread.
	for id, c := range map[string]struct {
		spec string
		want float64
	}{"C043": {"1/4-26 BSF", 0.0246}, "C044": {"1/4-26 BSC", 0.0205}} {
		cases(t, id)
		b, err := parse(t, c.spec).Basic()
		if err != nil {
			t.Fatal(err)
		}
		if got := ((b.Major - b.Root) / 2).Inches(); math.Abs(got-c.want) > 0.0001 {
			t.Errorf("%s: %s is %.4f in deep, want %g", id, c.spec, got, c.want)
		}
	}
	// C046: 5 BA on stock of 3.175 mm.
	cases(t, "C046")
	th = parse(t, "5 BA")
	if b, err = th.Basic(); err != nil {
		t.Fatal(err)
	}
	if d := (b.Major - b.Root) / 2; math.Abs(d.Millimetres()-0.354) > 0.002 || math.Abs(b.Root.Millimetres()-2.492) > 0.002 {
		t.Errorf("C046: depth %s, root %s", d, b.Root)
	}
	// C047, C048: bores of nuts and their depths.
	for id, c := range map[string]struct {
		spec, unit  string
		bore, depth float64
		digit       float64
	}{"C047": {"M45x4.5 nut", "mm", 40.129, 2.760, 0.005}, "C048": {"1-1/2-8 UN nut", "in", 1.3647, 0.0677, 0.0003}} {
		cases(t, id)
		th := parse(t, c.spec)
		unit := map[string]calc.Length{"mm": calc.Millimetre, "in": calc.Inch}[c.unit]
		b, err := th.Basic()
		if err != nil {
			t.Fatal(err)
		}
		bore, deep := float64(b.Minor)/float64(unit), float64(b.Major-b.Minor)/2/float64(unit)
		if c.unit == "mm" { // that case gives the depth of the screw
			deep = float64(b.Major-b.Root) / 2 / float64(unit)
		}
		if math.Abs(bore-c.bore) > c.digit || math.Abs(deep-c.depth) > c.digit {
			t.Errorf("%s: bore %.4f, depth %.4f %s", id, bore, deep, c.unit)
		}
	}
	// C051, C053: 5/8-11 over wires of 0.0525 in.
	cases(t, "C051")
	th = parse(t, "5/8-11-2A")
	wire := length(t, "0.0525 in")
	m, err := th.OverWires(wire)
	if err != nil || math.Abs(m.Min.Inches()-0.6377) > 0.0003 || math.Abs(m.Max.Inches()-0.6432) > 0.0003 {
		t.Errorf("C051: %.4f..%.4f in, %v", m.Min.Inches(), m.Max.Inches(), err)
	}
	cases(t, "C053")
	e, err := th.PitchFromWires(length(t, "0.6470 in"), wire)
	if err != nil || math.Abs(e.Inches()-0.5682) > 0.0003 || math.Abs(limits(t, th).Pitch.Over(e).Inches()-0.0038) > 0.0003 {
		t.Errorf("C053: pitch diameter %.4f in, %v", e.Inches(), err)
	}
	// C119: the wall between 1-7/8-8 inside and 2-3/8-16 outside.
	cases(t, "C119")
	outer, inner := parse(t, "2-3/8-16 UN"), parse(t, "1-7/8-8 UN nut")
	ob, err := outer.Basic()
	if err != nil {
		t.Fatal(err)
	}
	ib, err := inner.Basic()
	if err != nil {
		t.Fatal(err)
	}
	// The case counts the outer root as 2 x 0.61343 P under the crest.
	root := outer.Nominal - calc.Millimetres(2*0.61343*outer.Pitch.Millimetres())
	if wall := (root - ib.InsideRoot) / 2; math.Abs(wall.Inches()-0.212) > 0.001 || math.Abs(ib.Minor.Inches()-1.7397) > 0.001 || ob.Root <= ib.InsideRoot {
		t.Errorf("C119: wall %.4f, bore %.4f in", wall.Inches(), ib.Minor.Inches())
	}
	// C125: M42 is two standards. C126: 1/8 NPT needs about 10.3 mm of stock.
	cases(t, "C126")
	th = parse(t, "1/8 NPT")
	if to, err := th.TurnTo(); err != nil || to.Nominal < length(t, "10 mm") || th.Nominal.Round(100*calc.Micrometre) != length(t, "10.3 mm") {
		t.Errorf("C126: %s over its crests at the gauge plane, %s pipe, %v", to.Nominal, th.Nominal, err)
	}
}

// The traps of inch threads: the rounding chain, and which length of engagement.
func TestUnifiedTraps(t *testing.T) {
	for _, c := range []struct{ spec, what, want string }{
		{"10-24 UNC-2B", "minor_max", "0.1560"},  // rounded twice: 4 places, then 3
		{"7/8-14 UNF-2B", "minor_max", "0.8140"}, // the same
		{"1/4-20 UNC-2A", "minor_max", "0.1948"}, // flat root
		{"1/4-20 UNC-2A", "root_max", "0.1894"},  // rounded root; older tables print 0.1876, D - 1.22687 P less the allowance
		{"1/4-20 UNC-2B", "pitch_max", "0.2223"}, // with LE = D; 9P would add 0.00026
		{"5/8-11 UNC-2A", "major_max", "0.6234"}, // allowance 0.00165 is printed 0.0016
	} {
		l := limits(t, parse(t, c.spec))
		got := map[string]calc.Length{"minor_max": l.Minor.Max, "pitch_max": l.Pitch.Max, "major_max": l.Major.Max, "root_max": l.DesignRoot}[c.what]
		if d := math.Abs(got.Inches() - number(t, c.want)); d > 0.0001 {
			t.Errorf("%s %s is %s, want %s", c.spec, c.what, got.Decimal(calc.Inch, 4), c.want)
		}
	}
}

// Sizes that are in no table here come out by the same rules.
func TestSizesInNoTable(t *testing.T) {
	for _, c := range []struct{ spec, want string }{
		// 2A of 5/8-27 UNS: LE 9P. T = 0.0015 x 0.855 + 0.0015 x sqrt(1/3) + 0.015 / 9 = 0.003815 in;
		// allowance 0.3 T = 0.0011; major 0.6239 - 0.06/9 = 0.6172; pitch 0.6239 - 0.0241 = 0.5998 - 0.0038.
		{"5/8-27", "5/8-27 UNS-2A major 0.6172..0.6239 pitch 0.5960..0.5998"},
		// 1-3/16-12 UN: LE 9P = 0.75. T = 0.0015 x 1.05896 + 0.0015 x 0.86603 + 0.015 x 0.190786 = 0.005749;
		// allowance 0.0017; major 1.1858 - 0.0114; pitch 1.1858 - 0.0541 = 1.1317 - 0.0057.
		{"1-3/16-12 UN", "1-3/16-12 UN-2A major 1.1744..1.1858 pitch 1.1260..1.1317"},
	} {
		th := parse(t, c.spec)
		l := limits(t, th)
		in := func(x calc.Length) string { return x.Decimal(calc.Inch, 4) }
		if got := fmt.Sprintf("%s major %s..%s pitch %s..%s", th, in(l.Major.Min), in(l.Major.Max), in(l.Pitch.Min), in(l.Pitch.Max)); got != c.want {
			t.Errorf("%s: %s, want %s", c.spec, got, c.want)
		}
	}
	// M27x0.75: Td 140; Td2 by formula 90 x 0.75^0.4 x 31.75^0.1 = 113.3, R40 112 um.
	l := limits(t, parse(t, "M27x0.75"))
	if l.Pitch.Tolerance() != 112*calc.Micrometre || l.Major.Tolerance() != 140*calc.Micrometre || l.Pitch.Max != length(t, "26.491 mm") {
		t.Errorf("M27x0.75: %+v", l)
	}
}

// Large sizes, beyond the table files: limits as Machinery's Handbook prints them,
// written down from memory.
func TestLargeSizes(t *testing.T) {
	for _, c := range []struct {
		spec  string
		unit  calc.Length
		major [2]string
		pitch [2]string
	}{
		{"1-1/4-7 UNC-2A", calc.Inch, [2]string{"1.2314", "1.2478"}, [2]string{"1.1476", "1.1550"}},
		{"1-1/2-12 UNF-2A", calc.Inch, [2]string{"1.4867", "1.4981"}, [2]string{"1.4376", "1.4440"}},
		{"2-4.5 UNC-2A", calc.Inch, [2]string{"1.9751", "1.9971"}, [2]string{"1.8433", "1.8528"}},
		{"M42x4.5-6g", calc.Millimetre, [2]string{"41.4370", "41.9370"}, [2]string{"38.7780", "39.0140"}},
		{"M48x5-6g", calc.Millimetre, [2]string{"47.3990", "47.9290"}, [2]string{"44.4310", "44.6810"}},
		{"M56x5.5-6g", calc.Millimetre, [2]string{"55.3650", "55.9250"}, [2]string{"52.0880", "52.3530"}},
		{"M64x6-6g", calc.Millimetre, [2]string{"63.3200", "63.9200"}, [2]string{"59.7430", "60.0230"}},
	} {
		l := limits(t, parse(t, c.spec))
		got := [4]string{l.Major.Min.Decimal(c.unit, 4), l.Major.Max.Decimal(c.unit, 4), l.Pitch.Min.Decimal(c.unit, 4), l.Pitch.Max.Decimal(c.unit, 4)}
		if want := [4]string{c.major[0], c.major[1], c.pitch[0], c.pitch[1]}; got != want {
			t.Errorf("%s: %v, want %v", c.spec, got, want)
		}
	}
}

// Trapezoidal limits by the rules of ISO 2903: 7e of Tr10x2 is printed 8.739 to
// 8.929 on the pitch diameter and 7.191 at the root (from memory).
func TestTrapezoidalLimits(t *testing.T) {
	l := limits(t, parse(t, "Tr10x2-7e"))
	if l.Pitch.Max != length(t, "8.929 mm") || l.Pitch.Min != length(t, "8.739 mm") || l.Major.Min != length(t, "9.820 mm") || (l.Minor.Min-length(t, "7.191 mm")).Abs() > calc.Micrometre {
		t.Errorf("Tr10x2-7e: %+v", l)
	}
	in := limits(t, parse(t, "Tr10x2-7H"))
	if in.Minor.Min != length(t, "8 mm") || in.Minor.Max != length(t, "8.236 mm") || in.Pitch.Min != length(t, "9 mm") || in.Pitch.Max != length(t, "9.25 mm") {
		t.Errorf("Tr10x2-7H: %+v", in)
	}
}

// The design tip of each form is what its standard prints.
func TestDesignTip(t *testing.T) {
	for _, c := range []struct {
		spec, kind string
		share      float64 // of the pitch
	}{
		{"M10x1", "radius", 0.144338}, {"M10x1-6H", "flat", 0.125}, {"1/4-20 BSW", "radius", 0.137329}, {"2 BA", "radius", 0.1808}, {"1/4-26 BSC", "radius", 1.0 / 6},
		{"1/2-20 UNF-2B", "flat", 0.125}, {"square 20 mm x 4 mm", "flat", 0.5}, {"Tr20x4", "flat", 0.366 - 0.536*0.25/4},
	} {
		th := parse(t, c.spec)
		tip, err := th.DesignTip()
		if err != nil {
			t.Fatal(err)
		}
		got := tip.Radius
		if c.kind == "flat" {
			got = tip.Flat
		}
		if share := got.Millimetres() / th.Pitch.Millimetres(); math.Abs(share-c.share) > 0.003 || !strings.HasPrefix(tip.String(), c.kind) {
			t.Errorf("%s: %s is %s P, want a %s of %s P", c.spec, tip, strconv.FormatFloat(share, 'f', 5, 64), c.kind, strconv.FormatFloat(c.share, 'f', 5, 64))
		}
	}
}

func TestNotes(t *testing.T) {
	if n := strings.Join(parse(t, "1/4 BSP").Notes(), "; "); !strings.Contains(n, "13.157 mm over its crests") {
		t.Errorf("1/4 BSP: %q does not say that it is 13.157 mm, not 6.35", n)
	}
	if n := strings.Join(parse(t, "1/8 NPT").Notes(), "; "); !strings.Contains(n, "0.405 in") || !strings.Contains(n, "1 in 16") {
		t.Errorf("1/8 NPT: %q", n)
	}
	if n := parse(t, "M10x1").Notes(); len(n) != 0 {
		t.Errorf("M10x1: %q", n)
	}
}

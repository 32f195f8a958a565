package thread_test

import (
	"math"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// The rest of infeed.csv: conventions of depth, pass counts and printed pass
// tables. With the depths, the slide factors and the constant-area rows tested
// beside them that is every row.
func TestInfeedRest(t *testing.T) {
	c := comparison{t: t, name: "infeed.csv conventions, counts and passes"}
	printed := map[string][]float64{}
	total := map[string]float64{}
	table := rows(t, "infeed.csv")
	n := 0
	for _, r := range table {
		item, quantity := r["item"], r["quantity"]
		switch r["kind"] {
		case "depth_convention":
			n++
			c.limit = 0.000005 + 1e-9
			if quantity == "min_root_radius_6g" {
				c.limit = 0.0002 // from limits printed to 0.001 mm
			}
			c.row(item+" "+quantity, r["confidence"], convention(t, item, quantity), number(t, r["value"]))
		case "pass_count":
			n++
			c.limit = 0
			// The printed range overlaps ours.
			from, to, _ := strings.Cut(strings.TrimPrefix(item, "P"), "..")
			if to == "" {
				to = from
			}
			least, _ := passRange(t, number(t, from))
			_, most := passRange(t, number(t, to))
			want := number(t, r["value"])
			if quantity == "passes_min" && float64(most) < want || quantity == "passes_max" && float64(least) > want {
				t.Errorf("%s: between %d and %d passes, printed %s %g", item, least, most, quantity, want)
			}
			c.row(item, r["confidence"], want, want)
		case "pass_table", "pass_table_full_profile", "pass_table_partial_profile":
			n++
			key := r["kind"] + " " + item + " " + r["source"]
			switch quantity {
			case "pass":
				printed[key] = append(printed[key], number(t, r["value"]))
			case "total_depth":
				total[key] = number(t, r["value"])
			}
			c.row(key, r["confidence"], 0, 0) // compared below, table by table
		case "compound":
			if item == "US practice" {
				n++
				// Half a degree steeper than the flank: what the modified flank infeed does.
				th := parse(t, "M10x1")
				f, err := th.Feeds([]calc.Length{0, calc.Millimetre}, thread.ModifiedFlank, 0)
				if err != nil {
					t.Fatal(err)
				}
				c.limit = 0.0001
				c.row(item, r["confidence"], math.Atan(f[0].Shift.Millimetres())*180/math.Pi, number(t, r["value"]))
			}
		case "rule":
			n++
			c.limit = 0
			rule(t, r)
			c.row(item, r["confidence"], 0, 0)
		case "constant_area_cumulative", "depth_to_basic_pitch_dia":
			// TestConstantAreaTable, TestInfeedTable
		default:
			t.Fatalf("kind %q is not known", r["kind"])
		}
	}
	for key, passes := range printed {
		sum := 0.0
		for _, p := range passes {
			sum += p
		}
		if math.Abs(sum-total[key]) > 0.0051 {
			t.Errorf("%s: passes add up to %g, printed %g", key, sum, total[key])
		}
		if strings.HasPrefix(key, "pass_table ") {
			continue // its deep first cut is another law's: see below
		}
		reached := 0.0
		for i, p := range passes {
			reached += p
			if got := thread.Falling.Reached(i+1, len(passes)) * sum; math.Abs(got-reached) > 0.05 {
				t.Errorf("%s: the falling law reaches %.3f after pass %d, printed %.3f", key, got, i+1, reached)
			}
		}
	}
	for key, passes := range printed {
		if !strings.HasPrefix(key, "pass_table ") {
			continue
		}
		reached := 0.0
		for i, p := range passes {
			reached += p
			if got := thread.PlainArea.Reached(i+1, len(passes)) * total[key]; math.Abs(got-reached) > 0.12 {
				t.Errorf("%s: the plain area law reaches %.3f after pass %d, printed %.3f", key, got, i+1, reached)
			}
		}
	}
	c.limit = 0
	c.done(n)
	if len(printed) < 15 {
		t.Errorf("%d pass tables", len(printed))
	}
}

// passRange is how many passes an outside metric thread takes with first passes
// of 0.5 mm, the most two makers allow, and of 0.1 mm.
func passRange(t *testing.T, pitch float64) (least, most int) {
	t.Helper()
	total := calc.Millimetres(0.61343 * pitch)
	count := func(first calc.Length) int {
		d, err := thread.Passes(thread.PassPlan{Total: total, First: first, Smallest: 50 * calc.Micrometre, Graduation: 10 * calc.Micrometre})
		if err != nil {
			t.Fatal(err)
		}
		return len(d)
	}
	return count(500 * calc.Micrometre), count(100 * calc.Micrometre)
}

// convention is one of the depths of infeed.csv as a share of the pitch, from the
// infeed of the tip that belongs to it.
func convention(t *testing.T, item, quantity string) float64 {
	t.Helper()
	const big = 80 // millimetres of pitch, so that the nanometre does not show
	p := calc.PerTurn(big * calc.Millimetre)
	th := thread.Thread{Family: thread.Metric, Nominal: 1000 * calc.Millimetre, Pitch: p, Lead: p, Starts: 1, External: true, Angle: 60 * calc.Degree}
	pitch := th.Nominal - calc.Millimetres(3*math.Sqrt(3)/8*big)
	infeed := func(words string) float64 { return th.Infeed(tip(t, words, p), th.Nominal, pitch).Millimetres() / big }
	switch quantity {
	case "sharp_V_full_H":
		return infeed("sharp") + math.Sqrt(3)/16 // and the H/8 cut off the crest
	case "crest_flat_P/8_to_sharp_root_7H/8":
		return infeed("sharp")
	case "UN_old_US_flat_P/8_both_3H/4":
		return infeed("flat P/8")
	case "basic_height_5H/8":
		return infeed("flat P/4")
	case "design_external_17H/24":
		return infeed("radius H/6")
	case "UNR_external_11H/16":
		return infeed("radius 0.16238P") // 3/16 H
	case "crest_to_pitch_line_3H/8":
		return (th.Nominal - pitch).Millimetres() / 2 / big
	case "tool_radius_H/6":
		return tip(t, "radius H/6", p).Radius.Millimetres() / big
	case "min_root_radius_6g":
		// From the lowest root of a limit back to the radius that leaves it.
		l := limits(t, parse(t, "M36x4-6g"))
		return 0.5*math.Sqrt(3)/2 - (l.Pitch.Min-l.Minor.Min).Millimetres()/2/4
	case "whitworth_depth":
		b, err := parse(t, "3-3.5 BSW").Basic()
		if err != nil {
			t.Fatal(err)
		}
		return math.Round((b.Major-b.Minor).Inches()/2*3.5*1e5) / 1e5
	case "BA_depth":
		b, err := parse(t, "0 BA").Basic()
		if err != nil {
			t.Fatal(err)
		}
		return (b.Major - b.Minor).Millimetres() / 2
	}
	t.Fatalf("convention %q of %s is not known", quantity, item)
	return 0
}

// Square threads: constant depth with what is left last (cases C055, C056).
func TestSquarePasses(t *testing.T) {
	if got := cases(t, "C055")["expected"]; !strings.Contains(got, "passes=19;last=0.03") {
		t.Fatal(got)
	}
	d := passes(t, thread.PassPlan{Total: 750 * calc.Micrometre, First: 40 * calc.Micrometre, Law: thread.ConstantDepth, Graduation: 10 * calc.Micrometre})
	if len(d) != 19 || d[18]-d[17] != 30*calc.Micrometre || d[11] != 480*calc.Micrometre {
		t.Errorf("C055: %d passes, %v", len(d), d)
	}
	if got := cases(t, "C056")["expected"]; !strings.Contains(got, "32 per block") {
		t.Fatal(got)
	}
	d = passes(t, thread.PassPlan{Total: length(t, "0.0625 in"), First: 2 * calc.Thou, Law: thread.ConstantDepth, Graduation: length(t, "0.0005 in")})
	if len(d) != 32 || d[31]-d[30] != length(t, "0.0005 in") {
		t.Errorf("C056: %d passes, %v", len(d), d)
	}
}

// The side shifts cover the groove to its edges and nothing beyond.
func TestSideShifts(t *testing.T) {
	for _, c := range []struct{ width, tool, overlap string }{
		{"2 mm", "2 mm", "0.1 mm"}, {"2 mm", "1.5 mm", "0.1 mm"}, {"3 mm", "1 mm", "0.1 mm"}, {"5 mm", "0.9 mm", "0.2 mm"}, {"0.125 in", "0.0625 in", "0.005 in"}, {"2.000001 mm", "1.5 mm", "0 mm"},
	} {
		width, tool, overlap := length(t, c.width), length(t, c.tool), length(t, c.overlap)
		at, err := thread.SideShifts(width, tool, overlap)
		if err != nil {
			t.Fatal(err)
		}
		sorted := append([]calc.Length{}, at...)
		for i := range sorted {
			for j := i; j > 0 && sorted[j] < sorted[j-1]; j-- {
				sorted[j], sorted[j-1] = sorted[j-1], sorted[j]
			}
		}
		low, high := sorted[0]-tool/2, sorted[len(sorted)-1]+(tool-tool/2)
		if high-low != width && (high-low-width).Abs() > 1 {
			t.Errorf("%+v: %v covers %s", c, at, high-low)
		}
		for i := 1; i < len(sorted); i++ {
			if step := sorted[i] - sorted[i-1]; step > tool-overlap+1 {
				t.Errorf("%+v: cuts %s apart", c, step)
			}
		}
	}
	for _, c := range [][3]calc.Length{{2, 3, 1}, {0, 1, 0}, {2, 1, 1}, {1000, 1, 0}, {2, 0, 0}} {
		if at, err := thread.SideShifts(c[0]*calc.Millimetre, c[1]*calc.Millimetre, c[2]*calc.Millimetre); err == nil {
			t.Errorf("%v gives %v", c, at)
		}
	}
}

// Straight infeed stands in the middle, along the flank it moves depth x tan a,
// and every style ends in the middle.
func TestFeeds(t *testing.T) {
	th := parse(t, "M10x1.5")
	depths := passes(t, thread.PassPlan{Total: 900 * calc.Micrometre, First: 200 * calc.Micrometre, Graduation: 10 * calc.Micrometre})
	for style, slide := range map[thread.Style]float64{thread.Straight: 0, thread.Flank: 30, thread.ModifiedFlank: 29.5, thread.Alternating: 30} {
		feeds, err := th.Feeds(depths, style, 0)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range feeds {
			want := (depths[len(depths)-1] - depths[i]).Millimetres() * math.Tan(slide*math.Pi/180)
			if style == thread.Alternating && i%2 == 1 {
				want = -want
			}
			if f.Depth != depths[i] || math.Abs(f.Shift.Millimetres()-want) > 1e-6 {
				t.Errorf("style %d pass %d: %s at %s, want %.6f mm", style, i+1, f.Depth, f.Shift, want)
			}
		}
		if feeds[len(feeds)-1].Shift != 0 {
			t.Errorf("style %d ends %s off the middle", style, feeds[len(feeds)-1].Shift)
		}
	}
	if _, err := th.Feeds(depths, thread.Flank, 31*calc.Degree); err == nil {
		t.Error("a slide beyond the flank is accepted")
	}
	if _, err := th.Feeds(depths, thread.Style(9), 0); err == nil {
		t.Error("style 9 is known")
	}
	if f, err := th.Feeds(nil, thread.Straight, 0); err != nil || len(f) != 0 {
		t.Errorf("no depths: %v, %v", f, err)
	}
}

// Starts are indexed by the pitch on a slide, or by whole teeth.
func TestIndexing(t *testing.T) {
	th := parse(t, "M20xPh6P2")
	if p, err := th.IndexSlide(); err != nil || p != calc.PerTurn(2*calc.Millimetre) {
		t.Errorf("slide by %s, %v", p, err)
	}
	if n, err := th.IndexTeeth(60); err != nil || n != 20 {
		t.Errorf("60 teeth: %d, %v", n, err)
	}
	if _, err := th.IndexTeeth(40); err == nil || !strings.Contains(err.Error(), "39 or 42") {
		t.Errorf("40 teeth by three starts: %v", err)
	}
	one := parse(t, "M20x2")
	if _, err := one.IndexSlide(); err == nil {
		t.Error("one start is indexed")
	}
	if _, err := one.IndexTeeth(60); err == nil {
		t.Error("one start is indexed by teeth")
	}
}

// Lead angle of M10x1.5 at d2 9.026: atan(1.5 / 28.356) = 3.028 degrees; the tool
// needs more on its leading side.
func TestLeadAngle(t *testing.T) {
	th := parse(t, "M10x1.5")
	if got := th.LeadAngle().Degrees(); math.Abs(got-3.028) > 0.001 {
		t.Errorf("lead angle %.4f", got)
	}
	c, err := th.SideClearance(4 * calc.Degree)
	if err != nil || c.Leading <= 4*calc.Degree+th.LeadAngle() || c.Trailing >= 4*calc.Degree || c.Trailing <= 0 {
		t.Errorf("%+v, %v", c, err)
	}
	if h, err := th.Chamfer(); err != nil || h != calc.Millimetre { // 0.92 mm deep
		t.Errorf("chamfer %s, %v", h, err)
	}
}

// rule checks one of the makers' rules for carbide.
func rule(t *testing.T, r map[string]string) {
	t.Helper()
	from, to, _ := strings.Cut(r["value"], "..")
	if to == "" {
		to = from
	}
	nose := 200 * calc.Micrometre
	blunt, smallest := thread.CarbidePasses(thread.Tip{Radius: calc.Millimetre})
	first, _ := thread.CarbidePasses(thread.Tip{Radius: nose})
	ok := false
	switch r["quantity"] {
	case "first_pass_max":
		ok = blunt.Millimetres() <= number(t, to)
	case "last_pass_min":
		ok = smallest.Millimetres() >= number(t, from)
	case "last_pass_target":
		ok = smallest.Millimetres() >= number(t, from) && smallest.Millimetres() <= number(t, to)
	case "first_pass_as_multiple_of_nose_radius":
		share := first.Millimetres() / nose.Millimetres()
		ok = share >= number(t, from)-1e-9 && share <= number(t, to)+1e-9
	}
	if !ok {
		t.Errorf("%s %s: passes of %s, %s and %s", r["quantity"], r["value"], first, blunt, smallest)
	}
}

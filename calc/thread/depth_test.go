package thread_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

func tip(t testing.TB, s string, pitch calc.Lead) thread.Tip {
	t.Helper()
	v, err := thread.ParseTip(s, pitch)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func depth(t testing.TB, th thread.Thread, tp thread.Tip, turned calc.Length) thread.Depth {
	t.Helper()
	d, err := th.Depth(tp, turned)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Infeed from the nominal crest to the basic pitch diameter with eight tips at
// nine pitches, and the depth conventions, printed to 0.001 mm and 0.00001 P.
func TestInfeedTable(t *testing.T) {
	c := comparison{t: t, name: "infeed.csv depths", limit: 0.0005}
	n := 0
	item := regexp.MustCompile(`^P([0-9.]+) tool (.*)$`)
	for _, r := range rows(t, "infeed.csv") {
		if r["kind"] != "depth_to_basic_pitch_dia" {
			continue
		}
		n++
		m := item.FindStringSubmatch(r["item"])
		if m == nil {
			t.Fatalf("item %q", r["item"])
		}
		th := parse(t, "M30x"+m[1])
		words := m[2]
		if rest, ok := strings.CutPrefix(words, "R"); ok {
			words = "radius " + strings.TrimSpace(rest)
			if !strings.ContainsAny(rest, "PH") {
				words += " mm"
			}
		}
		basicPitch := th.Nominal - calc.Millimetres(3*math.Sqrt(3)/8*th.Pitch.Millimetres())
		got := th.Infeed(tip(t, words, th.Pitch), th.Nominal, basicPitch)
		c.row(r["item"], r["confidence"], got.Millimetres(), number(t, r["value"]))
	}
	c.done(n)
}

// Travel along a slide and the shift along the work per unit of depth.
func TestAlongTable(t *testing.T) {
	c := comparison{t: t, name: "infeed.csv slide", limit: 0.000005}
	n := 0
	item := regexp.MustCompile(`^slide ([0-9.]+) deg`)
	for _, r := range rows(t, "infeed.csv") {
		m := item.FindStringSubmatch(r["item"])
		if r["kind"] != "compound" || m == nil {
			continue
		}
		n++
		a, err := calc.ParseAngle(m[1] + " deg")
		if err != nil {
			t.Fatal(err)
		}
		got := thread.Along(calc.Millimetre, a)
		if r["quantity"] == "axial_shift_per_unit_depth" {
			got = thread.Shift(calc.Millimetre, a)
		}
		c.row(r["item"]+" "+r["quantity"], r["confidence"], got.Millimetres(), number(t, r["value"]))
	}
	c.done(n)
}

// The depth of M10x1-6g with a tip of H/6 is about 0.6 mm from the turned
// surface, common practice. By hand: 0.61343 P from nominal to the basic pitch
// diameter, plus (26+56)/2 = 41 um to the middle of the band, less
// (10-9.884)/2 = 58 um for the turned blank: 0.59643 mm.
func TestDepthCheckValue(t *testing.T) {
	th := parse(t, "M10x1-6g")
	h6 := tip(t, "radius H/6", th.Pitch)
	d := depth(t, th, h6, length(t, "9.884 mm"))
	if got := d.Aim.Round(10 * calc.Micrometre); got != length(t, "0.6 mm") {
		t.Errorf("aim is %s, not about 0.6 mm", d.Aim)
	}
	if got := (d.Aim - length(t, "0.59643 mm")).Abs(); got > calc.Micrometre/2 { // the basic pitch diameter is rounded to 1 um
		t.Errorf("aim is %s, by hand 0.59643 mm", d.Aim)
	}
	// Td2 is 112 um: start and limit lie 28 um either side.
	if d.Aim-d.Start != length(t, "28 um") || d.Limit-d.Aim != length(t, "28 um") {
		t.Errorf("window is %s %s %s", d.Start, d.Aim, d.Limit)
	}
	if d.FromNominal-d.Aim != length(t, "58 um") {
		t.Errorf("from nominal %s, from turned %s", d.FromNominal, d.Aim)
	}
	if d.Root != length(t, "9.884 mm")-2*d.Aim {
		t.Errorf("root %s", d.Root)
	}
	if zero := depth(t, th, h6, 0); zero != d {
		t.Errorf("turned zero is %v, want the middle of the band %v", zero, d)
	}
}

// The depth window is the pitch diameter's band: fed to Start, Aim and Limit the
// pitch diameter is at its upper limit, middle and lower limit.
func TestDepthWindow(t *testing.T) {
	for _, spec := range []string{"M10x1-6g", "M12x1.75-6g", "M8-4h", "M15x1-6e", "M20xPh4P2-6g", "M10x1-6H", "M12x1.75-5H", "M30x2-7G"} {
		th := parse(t, spec)
		l := limits(t, th)
		for _, words := range []string{"sharp", "flat P/8", "radius H/6", "radius 0.05 mm"} {
			tp := tip(t, words, th.Pitch)
			if !th.External && words == "radius H/6" {
				continue // too blunt there: the root of an inside thread is at the nominal diameter
			}
			to, err := th.TurnTo()
			if err != nil {
				t.Fatal(err)
			}
			for _, turned := range []calc.Length{to.Min, to.Nominal, to.Max} {
				d := depth(t, th, tp, turned)
				first, last := l.Pitch.Max, l.Pitch.Min
				if !th.External {
					first, last = last, first
				}
				if root := turned + 2*d.Start; !th.External && words == "flat P/8" {
					// The root has to reach the nominal diameter as well.
					if root < l.Major.Min || root > l.Major.Min+calc.Micrometre {
						t.Errorf("%s %s turned %s: root at the start %s", spec, words, turned, root)
					}
					first = th.PitchDiameter(tp, turned, d.Start)
				}
				for _, c := range []struct{ fed, want calc.Length }{{d.Start, first}, {d.Aim, l.Pitch.Mid()}, {d.Limit, last}} {
					if got := th.PitchDiameter(tp, turned, c.fed); (got - c.want).Abs() > 2*calc.Nanometre {
						t.Errorf("%s %s turned %s fed %s: pitch diameter %s, want %s", spec, words, turned, c.fed, got, c.want)
					}
				}
				if !(0 < d.Start && d.Start < d.Aim && d.Aim < d.Limit) {
					t.Errorf("%s %s: window %s %s %s", spec, words, d.Start, d.Aim, d.Limit)
				}
			}
		}
	}
}

// One hundredth of nose radius moves the infeed a hundredth, and P 1 with a
// radius of 0.05 fed 0.613 from the nominal crest is 0.189 mm over basic.
func TestTipMovesTheDepth(t *testing.T) {
	th := parse(t, "M10x1-6g")
	at := func(r string) calc.Length { return depth(t, th, tip(t, "radius "+r, th.Pitch), 0).Aim }
	if got := at("0.05 mm") - at("0.06 mm"); (got - 10*calc.Micrometre).Abs() > 1 {
		t.Errorf("0.01 mm of radius moves the infeed by %s", got)
	}
	over := th.PitchDiameter(tip(t, "radius 0.05 mm", th.Pitch), th.Nominal, length(t, "0.613 mm")) - length(t, "9.350 mm")
	if got := over.Round(calc.Micrometre); got != length(t, "0.190 mm") && got != length(t, "0.189 mm") {
		t.Errorf("pitch diameter is %s over basic, by hand 0.189 mm", over)
	}
}

// Depths of inch threads need no inch family: the geometry is the same. Cases
// C038 and C041 of testdata/cases.csv.
func TestDepthCases(t *testing.T) {
	th := parse(t, "M15x1")
	cases(t, "C041")
	got := th.Infeed(tip(t, "flat P/8", th.Pitch), th.Nominal, th.Nominal-calc.Millimetres(3*math.Sqrt(3)/8))
	if got.Round(100*calc.Nanometre) != length(t, "0.6495 mm") {
		t.Errorf("C041: %s", got)
	}
	cases(t, "C038") // 1/2-28, flat P/8, slide at 29.5
	pitch, err := calc.PerInch(calc.Whole(28))
	if err != nil {
		t.Fatal(err)
	}
	half := length(t, "1/2 in")
	th = thread.Thread{Family: thread.Metric, Nominal: half, Pitch: pitch, Lead: pitch, Starts: 1, External: true, Angle: 60 * calc.Degree}
	d := th.Infeed(tip(t, "flat P/8", pitch), half, half-calc.Millimetres(3*math.Sqrt(3)/8*pitch.Millimetres()))
	if (d - length(t, "0.0232 in")).Abs() > length(t, "0.00005 in") {
		t.Errorf("C038: depth %s in", d.Decimal(calc.Inch, 5))
	}
	if a := thread.Along(d, 29*calc.Degree+30*calc.Arcminute); (a - length(t, "0.0267 in")).Abs() > length(t, "0.0001 in") {
		t.Errorf("C038: feed %s in", a.Decimal(calc.Inch, 5))
	}
	cases(t, "C039") // 11 per inch, flat P/8, slide at 29
	if pitch, err = calc.PerInch(calc.Whole(11)); err != nil {
		t.Fatal(err)
	}
	th.Pitch, th.Lead = pitch, pitch
	d = th.Infeed(tip(t, "flat P/8", pitch), half, half-calc.Millimetres(3*math.Sqrt(3)/8*pitch.Millimetres()))
	if a := thread.Along(d, 29*calc.Degree); (a - length(t, "0.0675 in")).Abs() > length(t, "0.0001 in") {
		t.Errorf("C039: feed %s in", a.Decimal(calc.Inch, 5))
	}
}

func TestBluntTipIsRefused(t *testing.T) {
	th := parse(t, "M10x1-6g")
	_, err := th.Depth(tip(t, "flat 0.4 mm", th.Pitch), 0)
	if err == nil {
		t.Fatal("a flat of 0.4 mm on a pitch of 1 mm leaves the root where no gauge goes")
	}
	m := regexp.MustCompile(`largest that serves is flat ([0-9.]+ mm) or radius ([0-9.]+ mm)$`).FindStringSubmatch(err.Error())
	if m == nil {
		t.Fatalf("%v", err)
	}
	for _, c := range []thread.Tip{{Flat: length(t, m[1])}, {Radius: length(t, m[2])}} {
		d, err := th.Depth(c, 0)
		if err != nil {
			t.Errorf("the tip it names does not serve: %v", err)
			continue
		}
		if max := limits(t, th).Minor.Max; d.Root > max {
			t.Errorf("%s leaves %s, above %s", c, d.Root, max)
		}
		c.Flat, c.Radius = c.Flat*102/100, c.Radius*102/100
		if _, err := th.Depth(c, 0); err == nil {
			t.Errorf("%s, 2 per cent more than the largest, serves too", c)
		}
	}
	if _, err := th.Depth(thread.Tip{Flat: 1, Radius: 1}, 0); err == nil {
		t.Error("a tip with flat and radius is accepted")
	}
	if _, err := th.Depth(thread.Tip{}, length(t, "8 mm")); err == nil {
		t.Error("a blank under the pitch diameter is accepted")
	}
}

func TestParseTip(t *testing.T) {
	p := calc.PerTurn(1500 * calc.Micrometre)
	for _, c := range []struct{ text, want string }{
		{"sharp", "sharp"}, {"flat 0.2 mm", "flat 0.2 mm"}, {" radius   0.1mm ", "radius 0.1 mm"}, {"flat P/8", "flat 0.1875 mm"},
		{"radius 0.125P", "radius 0.1875 mm"}, {"radius 0.125 P", "radius 0.1875 mm"}, {"radius H/6", "radius 0.216506 mm"}, {"flat 8 thou", "flat 0.2032 mm"},
		{"insert 1 to 1.5 mm", "radius 0.125 mm"}, {"insert for P 1.0 to P 1.5", "radius 0.125 mm"}, {"insert 0.5-1.5mm", "radius 0.0625 mm"}, {"insert 24 to 16 tpi", "radius 0.132292 mm"},
	} {
		got, err := thread.ParseTip(c.text, p)
		if err != nil || got.String() != c.want {
			t.Errorf("%q is %s, %v; want %s", c.text, got, err, c.want)
		}
		if again, err := thread.ParseTip(got.String(), p); err != nil || again != got {
			t.Errorf("%s reads back as %s, %v", got, again, err)
		}
	}
	for _, bad := range []string{"", "blunt", "flat", "radius", "flat 0.2", "flat -0.1 mm", "radius 0 mm", "sharp 0.1 mm", "flat 1/2/3 P", "flat P/0", "radius 2 mm", "flat P/8/8", "flat \xff", "insert", "insert 2 to 3 mm", "insert 1 to x mm", "insert -1 to 2 mm"} {
		if got, err := thread.ParseTip(bad, p); err == nil {
			t.Errorf("%q is taken as %s", bad, got)
		}
	}
}

// The chip's area against numerical integration of the groove's width.
func TestChipArea(t *testing.T) {
	th := parse(t, "M20x2")
	for _, tp := range []thread.Tip{{}, {Flat: 250 * calc.Micrometre}, {Radius: 200 * calc.Micrometre}} {
		r, f := tp.Radius.Millimetres(), tp.Flat.Millimetres()
		nose := r * (1 - 0.5)
		width := func(y float64) float64 { // y above the bottom
			if y < nose {
				return 2 * math.Sqrt(r*r-(r-y)*(r-y))
			}
			return f + 2*(r*math.Sqrt(3)/2+(y-nose)*math.Tan(math.Pi/6))
		}
		for _, h := range []string{"0.05 mm", "0.1 mm", "0.3 mm", "1.2 mm"} {
			got := th.ChipArea(tp, 0, length(t, h))
			want, n := 0.0, 20000
			for i := range n {
				want += width((float64(i)+0.5)/float64(n)*length(t, h).Millimetres()) * length(t, h).Millimetres() / float64(n)
			}
			if math.Abs(got-want) > 1e-6 {
				t.Errorf("%s depth %s: %.8f mm2, integrated %.8f", tp, h, got, want)
			}
		}
		if a, b := th.ChipArea(tp, 0, length(t, "0.5 mm")), th.ChipArea(tp, 0, length(t, "0.2 mm"))+th.ChipArea(tp, length(t, "0.2 mm"), length(t, "0.5 mm")); math.Abs(a-b) > 1e-12 {
			t.Errorf("%s: chips do not add up: %g %g", tp, a, b)
		}
	}
}

package setup

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"turncue/calc"
)

func TestCaseTapers(t *testing.T) {
	oneIn := func(n int64) Taper {
		tp, err := OneIn(calc.Whole(n))
		must(t, err)
		return tp
	}
	t.Run("C098", func(t *testing.T) {
		k := kase(t, "C098", "move tailstock 0.0020 in towards the tool")
		v, err := Align(length(t, k["d_head"]+" in"), length(t, k["d_tail"]+" in"), length(t, k["length"]), length(t, k["centres"]))
		must(t, err)
		close(t, "move", v, 2*calc.Thou, calc.Thou/10) // positive is towards the tool
	})
	t.Run("C100", func(t *testing.T) {
		kase(t, "C100", "angle=1.790 deg")
		if a := oneIn(16).HalfAngle().Degrees(); math.Abs(a-1.790) > 0.005 {
			t.Errorf("angle %g", a)
		}
	})
	t.Run("C101", func(t *testing.T) {
		k := kase(t, "C101", "setover=0.1875 in;warning: lead error and dog")
		close(t, "set-over", oneIn(16).SetOverUsual(length(t, k["centres"])), in*3/16, in/2000)
		close(t, "set-over, exactly", oneIn(16).SetOver(length(t, k["centres"])), in*3/16, in/2000)
		if !oneIn(16).Steep(length(t, k["centres"])) {
			t.Error("1 in 16 over the tailstock is not called steep")
		}
	})
	t.Run("C103", func(t *testing.T) {
		kase(t, "C103", "length shift=0.500 in")
		close(t, "shift", oneIn(16).Depth(in/32), in/2, in/500)
	})
}

// TestMorse: the table, and the ratios against published end diameters in inches
// and lengths, within 0.2 %.
func TestMorse(t *testing.T) {
	rows := published(t, "morse_tapers.csv")
	for _, r := range rows {
		n, err := strconv.Atoi(r["number"])
		must(t, err)
		m, err := MorseNumber(n)
		must(t, err)
		if m.Gauge != length(t, r["gauge_diameter_mm"]+" mm") {
			t.Errorf("%d: gauge diameter %s", n, m.Gauge)
		}
		half, err := strconv.ParseFloat(r["half_angle_deg"], 64)
		must(t, err)
		if math.Abs(m.Taper.HalfAngle().Degrees()-half) > 0.00006 {
			t.Errorf("%d: half angle %g, want %g", n, m.Taper.HalfAngle().Degrees(), half)
		}
		per, err := strconv.ParseFloat(r["taper_per_mm_on_diameter"], 64)
		must(t, err)
		if math.Abs(m.Taper.PerLength()-per) > 0.0000006 {
			t.Errorf("%d: %g per mm, want %g", n, m.Taper.PerLength(), per)
		}
	}
	if len(rows) != len(Morses()) {
		t.Errorf("%d rows, %d sizes", len(rows), len(Morses()))
	}
	for n, c := range map[int][3]float64{1: {.475, .369, 2.125}, 2: {.7, .572, 2.5625}, 3: {.938, .778, 3.1875}, 4: {1.231, 1.020, 4.0625}, 5: {1.748, 1.475, 5.1875}, 6: {2.494, 2.116, 7.25}} {
		m, err := MorseNumber(n)
		must(t, err)
		if off := (c[0] - c[1]) / c[2] / m.Taper.PerLength(); math.Abs(off-1) > 0.002 {
			t.Errorf("%d: end diameters give %g of the ratio", n, off)
		}
	}
	if _, err := MorseNumber(7); err == nil {
		t.Error("number 7: accepted")
	}
	// 50 mm of travel at the angle of number 2: 1.248 mm on a dial gauge.
	two, err := MorseNumber(2)
	must(t, err)
	close(t, "gauge", two.Taper.Gauge(50*calc.Millimetre), 1248*um, um)
}

func TestTapersRefused(t *testing.T) {
	for _, c := range []Taper{{}, {Change: 1}, {Length: 1}, {Change: 50, Length: 1}, {Change: -1, Length: 1}} {
		if c.Check() == nil {
			t.Errorf("accepted: %+v", c)
		}
	}
	if _, err := OneIn(calc.Whole(0)); err == nil {
		t.Error("1 in 0: accepted")
	}
	if _, err := Align(1, 2, 0, 5); err == nil {
		t.Error("collars on one spot: accepted")
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

func TestCentreDrills(t *testing.T) {
	rows := published(t, "centre_drills.csv")
	for i, r := range rows {
		c := centreDrills[i]
		for what, v := range map[string]calc.Length{
			"pilot_d1_mm": c.Pilot, "body_d_mm": c.Body, "use_for_work_diameter_min_mm": c.From, "use_for_work_diameter_max_mm": c.To, "finished_countersink_mm": c.Countersunk,
		} {
			if v != length(t, r[what]+" mm") {
				t.Errorf("row %d: %s is %s, want %s", i, what, v, r[what])
			}
		}
	}
	if len(rows) != len(centreDrills) {
		t.Errorf("%d rows, %d drills", len(rows), len(centreDrills))
	}
	// The handbook's rows: 6 to 10 mm work 1.0, 10 to 25 2.0, 25 to 63 3.15.
	for work, pilot := range map[calc.Length]calc.Length{8: 1000, 12: 2000, 20: 2000, 40: 3150, 90: 5000, 120: 6300, 3: 500} {
		c, err := CentreDrillFor(work * calc.Millimetre)
		must(t, err)
		if c.Pilot != pilot*um {
			t.Errorf("%s: pilot %s", work*calc.Millimetre, c.Pilot)
		}
	}
	for _, work := range []calc.Length{0, 150 * calc.Millimetre} {
		if c, err := CentreDrillFor(work); err == nil {
			t.Errorf("%s: %+v", work, c)
		}
	}
}

func TestRings(t *testing.T) {
	rows := published(t, "oring_static.csv")
	for _, r := range rows {
		ring, err := RingFor(length(t, r["section_mm"]+" mm"))
		must(t, err)
		for what, v := range map[string]calc.Length{
			"gland_depth_min_mm": ring.DepthMin, "gland_depth_max_mm": ring.DepthMax, "groove_width_min_mm": ring.WidthMin,
			"groove_width_max_mm": ring.WidthMax, "diametral_clearance_max_mm": ring.Gap,
		} {
			if v != length(t, r[what]+" mm") {
				t.Errorf("%s: %s is %s, want %s", ring.Section, what, v, r[what])
			}
		}
		// The printed squeeze is over the ring's own tolerance: the depths alone give
		// less of a range, inside it.
		if lo, hi := Squeeze(ring.Section, ring.DepthMax), Squeeze(ring.Section, ring.DepthMin); lo < float64(ring.SqueezeMin) || hi > float64(ring.SqueezeMax) {
			t.Errorf("%s: squeeze %.1f to %.1f per cent, printed %d to %d", ring.Section, lo, hi, ring.SqueezeMin, ring.SqueezeMax)
		}
		if strconv.Itoa(ring.SqueezeMin) != r["squeeze_min_pct"] || strconv.Itoa(ring.SqueezeMax) != r["squeeze_max_pct"] {
			t.Errorf("%s: printed squeeze %d to %d", ring.Section, ring.SqueezeMin, ring.SqueezeMax)
		}
	}
	if len(rows) != len(rings) {
		t.Errorf("%d rows, %d rings", len(rows), len(rings))
	}
	if _, err := RingFor(2 * calc.Millimetre); err == nil {
		t.Error("a metric section: accepted")
	}
	// A gland 2.08 deep in a 25 mm bore with 0.1 mm clearance on diameter is cut 2.03
	// into the shaft.
	close(t, "groove", GrooveDepth(2080*um, 25*calc.Millimetre, 24900*um), 2030*um, 0)
}

func TestHoles(t *testing.T) {
	if got := Pecks(5*calc.Millimetre, 22*calc.Millimetre, false); len(got) != 3 || got[0] != 15*calc.Millimetre || got[1] != 20*calc.Millimetre || got[2] != 22*calc.Millimetre {
		t.Errorf("pecks %v", got)
	}
	if got := Pecks(5*calc.Millimetre, 12*calc.Millimetre, false); len(got) != 1 || got[0] != 12*calc.Millimetre {
		t.Errorf("a shallow hole pecks %v", got)
	}
	if got := Pecks(0, 5, false); got != nil {
		t.Errorf("no drill pecks %v", got)
	}
	for _, c := range []struct {
		depth       calc.Length
		speed, feed float64
	}{{20, 1, 1}, {30, .9, .9}, {40, .8, .9}, {50, .7, .8}, {70, .6, .8}} {
		if s, f := Deep(c.depth*calc.Millimetre, 10*calc.Millimetre); s != c.speed || f != c.feed {
			t.Errorf("%d mm: %g and %g", c.depth, s, f)
		}
	}
	for d, want := range map[calc.Length]calc.Length{12: 11700, 4: 3870, 6: 5800, 30: 29500} {
		got, err := BeforeReaming(d*calc.Millimetre, 0)
		must(t, err)
		if got != want*um {
			t.Errorf("%d mm: drill %s, want %s", d, got, want*um)
		}
	}
	if _, err := BeforeReaming(calc.Millimetre, 0); err == nil {
		t.Error("a reamer of 1 mm: accepted")
	}
	// 2.5 mm a turn of the quill at 0.1 mm a turn of the spindle and 500 rpm: 25 turns
	// of the spindle, 3 s.
	if d := QuillTime(calc.PerTurn(2500*um), 100*um, 500*calc.RPM); d != 3*time.Second {
		t.Errorf("one turn in %s", d)
	}
	if _, err := QuillTurns(1, calc.Lead{}); err == nil {
		t.Error("no quill: accepted")
	}
}

func TestKnurlsAndBlades(t *testing.T) {
	below, above, err := Knurl{Pitch: calc.Millimetre}.Blanks(20 * calc.Millimetre)
	must(t, err)
	close(t, "62 teeth", below, 19735*um, um)
	close(t, "63 teeth", above, 20054*um, um)
	for _, k := range []Knurl{{}, {Pitch: 10 * calc.Millimetre}, {Pitch: calc.Millimetre, Helix: 70 * calc.Degree}} {
		if _, _, err := k.Blanks(12 * calc.Millimetre); err == nil {
			t.Errorf("accepted: %+v", k)
		}
	}
	for d, want := range map[calc.Length]calc.Length{12: 1500, 13: 2000, 25: 2000, 40: 3000} {
		if w, err := Blade(d * calc.Millimetre); err != nil || w != want*um {
			t.Errorf("%d mm: blade %s, %v", d, w, err)
		}
	}
	for _, d := range []calc.Length{0, 41 * calc.Millimetre} {
		if w, err := Blade(d); err == nil {
			t.Errorf("%s: blade %s", d, w)
		}
	}
	if PartingDepth(2*calc.Millimetre, true) >= PartingDepth(2*calc.Millimetre, false) {
		t.Error("a small lathe parts as deep as a stiff one")
	}
	// A source prints 1.190 in for a blade of 3 mm: eight times gives 1.890 in as a
	// bar's diameter, both ways of 0.945 in.
	if got := (2 * PartingDepth(3*calc.Millimetre, false)).Inches(); math.Abs(got-1.890) > 0.001 || math.Abs(got-1.190) < 0.1 {
		t.Errorf("bar of %g in", got)
	}
	if _, err := ChamferLength(1, 0); err == nil {
		t.Error("a chamfer along the axis: accepted")
	}
}

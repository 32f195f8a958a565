package cutting

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"turncue/calc"
)

func num(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	must(t, err)
	return v
}

func material(t *testing.T, id string) Material {
	t.Helper()
	m, err := FindMaterial(id)
	must(t, err)
	if m.ID != id {
		t.Fatalf("%s finds %s", id, m.ID)
	}
	return m
}

// TestSpeedsAsPublished: every row of the table of cutting speeds.
func TestSpeedsAsPublished(t *testing.T) {
	rows := read(t, "speeds.csv")
	for _, r := range rows {
		op, err := ParseOp(r["operation"])
		must(t, err)
		tool, err := ParseTool(r["tool"])
		must(t, err)
		got, err := material(t, r["material_id"]).Speed(tool, op)
		must(t, err)
		want := [3]calc.SurfaceSpeed{mpm(num(t, r["vc_min_m_min"])), mpm(num(t, r["vc_max_m_min"])), mpm(num(t, r["vc_start_m_min"]))}
		if [3]calc.SurfaceSpeed{got.Min, got.Max, got.Start} != want {
			t.Errorf("%s %s %s: %v, want %v", r["material_id"], tool, op, got, want)
		}
	}
	if len(rows) != 128 {
		t.Errorf("%d rows, want 128", len(rows))
	}
}

// TestForcesAsPublished: both sets of constants of every material.
func TestForcesAsPublished(t *testing.T) {
	n := 0
	for _, r := range read(t, "force.csv") {
		m := material(t, r["material_id"])
		if m.Force != (Kienzle{num(t, r["kc1_1_N_mm2"]), num(t, r["mc"])}) || m.Second != (Kienzle{num(t, r["alt_kc1_1_N_mm2"]), num(t, r["alt_mc"])}) {
			t.Errorf("%s: %v and %v", m.ID, m.Force, m.Second)
		}
		n++
	}
	if n != len(materials) {
		t.Errorf("%d rows for %d materials", n, len(materials))
	}
}

// TestForceAgainstPublishedTable: the constants against a table of specific cutting
// force in kN/mm2 by feed at an entering angle of 45 degrees, from a standard for
// chuck clamping.
func TestForceAgainstPublishedTable(t *testing.T) {
	feeds := []calc.Length{160, 250, 400, 630, 1000, 1600} // um
	for id, row := range map[string][]float64{
		"mild_steel": {2.60, 2.40, 2.20, 2.05, 1.90, 1.80}, "st50": {3.50, 3.10, 2.75, 2.45, 2.15, 1.95},
		"4140_prehard": {4.35, 3.90, 3.45, 3.10, 2.75, 2.45}, "16mncr5": {3.75, 3.30, 2.95, 2.60, 2.30, 2.05},
		"grey_iron": {2.05, 1.80, 1.60, 1.45, 1.30, 1.15}, "grey_iron_soft": {1.50, 1.35, 1.20, 1.10, 1.00, .90},
		"medium_carbon": {3.05, 2.80, 2.60, 2.40, 2.20, 2.05},
	} {
		limit := 0.04
		if id == "medium_carbon" {
			limit = 0.07 // the loosest row
		}
		m := material(t, id)
		for i, f := range feeds {
			got := m.Force.At(Cut{Feed: f * calc.Micrometre, Entering: 45 * calc.Degree}.Thickness()) / 1000
			if math.Abs(got/row[i]-1) > limit {
				t.Errorf("%s at %s: %.3f kN/mm2, published %.2f", id, f*calc.Micrometre, got, row[i])
			}
		}
	}
}

// TestStiffnessAndExpansion: the book values.
func TestStiffnessAndExpansion(t *testing.T) {
	for _, r := range read(t, "materials_thermal.csv") {
		m := material(t, r["material_id"])
		if m.Expansion != num(t, r["alpha_ppm_K"]) || m.Stiffness != 1000*num(t, r["E_GPa"]) || m.Density != num(t, r["density_kg_m3"]) {
			t.Errorf("%s: %g ppm/K, %g N/mm2, %g kg/m3", m.ID, m.Expansion, m.Stiffness, m.Density)
		}
	}
}

// TestFeedsAsPublished: every row, through a material of each group.
func TestFeedsAsPublished(t *testing.T) {
	of := map[string][]string{
		"steel": {"mild_steel", "free_steel"}, "stainless": {"ss303", "ss304"}, "grey_iron": {"grey_iron"}, "brass_bronze": {"brass", "bronze"},
		"aluminium": {"al6061"}, "plastic": {"acetal", "nylon"}, "titanium": {"ti64"}, "metal": {"mild_steel", "brass", "al7075"},
	}
	type at struct {
		op  Op
		dia calc.Length
	}
	ops := map[string][]at{
		"turn_rough": {{Turn, 0}}, "turn_finish": {{Finish, 0}}, "face": {{Face, 0}}, "bore": {{Bore, 0}},
		"part_groove": {{Part, 0}, {Groove, 0}}, "ream": {{Ream, 0}}, "knurl_axial": {{Knurl, 0}},
		"drill_to_3mm": {{Drill, 3 * calc.Millimetre}}, "drill_3_6mm": {{Drill, 6 * calc.Millimetre}},
		"drill_6_13mm": {{Drill, 13 * calc.Millimetre}}, "drill_13_25mm": {{Drill, 25 * calc.Millimetre}},
	}
	for _, r := range read(t, "feeds.csv") {
		if len(of[r["group"]]) == 0 || len(ops[r["operation"]]) == 0 {
			t.Fatalf("row %v is not known to the test", r)
		}
		for _, id := range of[r["group"]] {
			for _, o := range ops[r["operation"]] {
				got, err := material(t, id).Feed(o.op, o.dia)
				must(t, err)
				want := Feeds{calc.Millimetres(num(t, r["feed_min_mm_rev"])), calc.Millimetres(num(t, r["feed_max_mm_rev"])), calc.Millimetres(num(t, r["feed_start_mm_rev"]))}
				if got != want {
					t.Errorf("%s %s: %v, want %v", id, o.op, got, want)
				}
			}
		}
	}
	if _, err := material(t, "brass").Feed(Thread, 0); err == nil {
		t.Error("a thread has a feed")
	}
	if _, err := material(t, "brass").Feed(Drill, 26*calc.Millimetre); err == nil {
		t.Error("a drill of 26 mm has a feed")
	}
}

// TestDepthsAsPublished: every row, and what is taken where there is none.
func TestDepthsAsPublished(t *testing.T) {
	classes := map[string]Class{"micro": Micro, "mini": Mini, "bench": Bench}
	for _, r := range read(t, "depth_of_cut.csv") {
		want := [2]calc.Length{calc.Millimetres(num(t, r["ap_start_mm_radial"])), calc.Millimetres(num(t, r["ap_max_mm_radial"]))}
		var got Depths
		switch r["description"] {
		case "finish cut":
			got = FinishDepth()
		case "smallest useful cut (sharp HSS)":
			got = LeastDepth(HSS)
		case "smallest useful cut (honed carbide insert)":
			got = LeastDepth(Carbide)
		default:
			got = material(t, r["material_id"]).Depth(classes[r["lathe_class"]])
		}
		if [2]calc.Length{got.Start, got.Max} != want || got.Basis != "table" {
			t.Errorf("%s %s: %v, want %v", r["lathe_class"], r["material_id"], got, want)
		}
	}
	for _, m := range materials {
		for _, c := range []Class{Micro, Mini, Bench} {
			d := m.Depth(c)
			if d.Start <= 0 || d.Max < d.Start || d.Basis == "" {
				t.Errorf("%s on a %s lathe: %v", m.ID, c, d)
			}
		}
		if a, b, c := m.Depth(Micro).Max, m.Depth(Mini).Max, m.Depth(Bench).Max; a > b || b > c {
			t.Errorf("%s: a larger lathe cuts less deep: %s %s %s", m.ID, a, b, c)
		}
	}
	own := Material{Name: "own alloy", Group: Aluminium}
	if d := own.Depth(Mini); d.Start != 500*calc.Micrometre {
		t.Errorf("own aluminium alloy: %v", d)
	}
}

// TestClassOfLathe: the powers named in the table.
func TestClassOfLathe(t *testing.T) {
	for p, want := range map[Power]Class{90: Micro, 150: Micro, 250: Mini, 600: Mini, 750: Bench, 1500: Bench} {
		if got := ClassOf(p); got != want {
			t.Errorf("%g W: %s, want %s", float64(p), got, want)
		}
	}
}

// TestHandlingTimes: every row.
func TestHandlingTimes(t *testing.T) {
	sec := func(s string) time.Duration { return time.Duration(num(t, s) * float64(time.Second)) }
	n := 0
	for _, r := range read(t, "handling_times.csv") {
		h, ok := HandlingOf(r["step_id"])
		if !ok || h.Min != sec(r["seconds_min"]) || h.Typical != sec(r["seconds_typical"]) || h.Max != sec(r["seconds_max"]) {
			t.Errorf("%s: %v", r["step_id"], h)
		}
		n++
	}
	if n != len(Handlings()) {
		t.Errorf("%d rows for %d movements", n, len(Handlings()))
	}
	if _, ok := HandlingOf("whistle"); ok {
		t.Error("an unknown movement has a time")
	}
}

// TestFindMaterial: every spelling finds one material alone, and a miss offers
// near ones.
func TestFindMaterial(t *testing.T) {
	seen := map[string]string{}
	for _, m := range materials {
		for _, s := range m.spellings() {
			p := plain(s)
			if other, ok := seen[p]; ok && other != m.ID {
				t.Errorf("%q is %s and %s", s, other, m.ID)
			}
			seen[p] = m.ID
			if got, err := FindMaterial(strings.ToUpper(s)); err != nil || got.ID != m.ID {
				t.Errorf("%q finds %q: %v", s, got.ID, err)
			}
		}
	}
	for name, want := range map[string]string{
		"Free-Machining Steel": "free_steel", "mild steel": "mild_steel", "EN3B": "mild_steel", "brass": "brass", "aluminium 6061": "al6061",
		"Aluminum": "al6061", "6082-T6": "al6061", "POM": "acetal", "phosphor bronze": "bronze", "cast iron": "grey_iron", "4140": "4140_annealed", "1.4301": "ss304",
	} {
		if m, err := FindMaterial(name); err != nil || m.ID != want {
			t.Errorf("%q finds %q: %v", name, m.ID, err)
		}
	}
	for name, offered := range map[string]string{
		"brasss": "brass", "steel": "mild steel", "aluminim": "aluminium 6061", "stainless steel": "stainless 304", "nilon": "nylon",
	} {
		_, err := FindMaterial(name)
		if err == nil || !strings.Contains(err.Error(), offered) {
			t.Errorf("%q: %v does not offer %s", name, err, offered)
		}
	}
	if _, err := FindMaterial(" "); err == nil {
		t.Error("no name finds a material")
	}
}

// TestPublishedSlips: 3100 N/mm2 at 0.2 mm a turn, often given for mild steel, is the
// row of St 50; the height of the marks over four, 0.781 um, is a rule of thumb and
// not the mean deviation of 0.802.
func TestPublishedSlips(t *testing.T) {
	const feed = 200 * calc.Micrometre
	if kc := material(t, "mild_steel").Force.At(feed); math.Abs(kc-3100) < 600 {
		t.Errorf("mild steel has %.0f N/mm2", kc)
	}
	if kc := material(t, "st50").Force.At(feed); math.Abs(kc-3100) > 0.03*3100 {
		t.Errorf("St 50 has %.0f N/mm2", kc)
	}
	if ra := FeedMarks(100*calc.Micrometre, 400*calc.Micrometre).Ra; (ra - 781*calc.Nanometre).Abs() < 15*calc.Nanometre {
		t.Errorf("Ra %s", ra)
	}
}

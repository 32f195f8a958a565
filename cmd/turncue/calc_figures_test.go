package main

import (
	"encoding/json"
	"strings"
	"testing"
)

// TestCalcFigures: the sums beside gears, threads and speeds, each against a worked
// example named by its id in testdata/machining/examples.csv, a case of
// testdata/cases.csv, or by hand.
func TestCalcFigures(t *testing.T) {
	for _, c := range []struct {
		line string
		want map[string]any
	}{
		// By hand: 0.06 / 2 x 240/200.
		{"align --head 20.00mm --tail 20.06mm --apart 200mm --centres 240mm", map[string]any{"move_mm": 0.036, "direction": "towards the tool", "taper_mm": 0.06}},
		{"align --head 1.002in --tail 1.000in --apart 6in", map[string]any{"move_mm": -0.0254, "direction": "away from the tool"}},
		{"align --head 20mm --tail 20mm --apart 200mm", map[string]any{"move_mm": 0.0, "direction": "stays where it is"}},
		// KN4, KN5: pitch 1 on 20 mm is 62.832 teeth, 63 of them 20.054 mm.
		{"knurl --pitch 1mm --diameter 20mm", map[string]any{"teeth": 62.832, "above_mm": 20.054, "below_mm": 19.7352}},
		// KN6: a pitch of 0.05 in at 30 degrees is 0.0577 in round the work.
		{"knurl --pitch 0.05in --helix 30deg --diameter 20mm", map[string]any{"pitch_around_mm": 1.46647}},
		// KN1 to KN3: 31 teeth want 0.499 in.
		{"knurl --wheel 0.75in --teeth 47 --diameter 0.5in", map[string]any{"teeth": 31.333, "teeth_below": 31.0, "below_mm": 12.6823}},
		// DR1, DR2, DR3.
		{"drill --diameter 10mm --depth 25mm --quill 2.5mm", map[string]any{"point_mm": 3.0043, "turns": 10.0, "depth_mm": 25.0, "clear_at_mm": []float64{25}}},
		{"drill --diameter 10mm --depth 25mm --point 135deg --through", map[string]any{"point_mm": 2.0711, "depth_mm": 27.0711}},
		// First at three diameters, then every one, half of one where room is short; 6 to 8 diameters keep 0.6 and 0.8.
		{"drill --diameter 5mm --depth 32mm", map[string]any{"clear_at_mm": []float64{15, 20, 25, 30, 32}, "speed_share": 0.6, "feed_share": 0.8}},
		{"drill --diameter 5mm --depth 20mm --short", map[string]any{"clear_at_mm": []float64{15, 17.5, 20}}},
		// 2.5 mm of sleeve at 0.1 mm a turn is 25 turns: 2.5 s at 600 rpm.
		{"drill --diameter 8mm --depth 20mm --quill 2.5mm --feed 0.1mm --rpm 600", map[string]any{"turns": 8.0, "turn_s": 2.5}},
		// DR4.
		{"ream --diameter 12mm", map[string]any{"drill_to_mm": 11.7, "leave_min_mm": 0.25, "leave_max_mm": 0.4}},
		{"ream --diameter 12mm --leave 0.3mm", map[string]any{"drill_to_mm": 11.7}},
		// testdata/machining/centre_drills.csv: 2 mm for 10 to 25 mm.
		{"centre --diameter 22mm", map[string]any{"pilot_mm": 2.0, "body_mm": 5.0, "source": "a handbook"}},
		// PA1: 3 mm goes 24 mm deep on a stiff lathe.
		{"part --diameter 40mm --width 3mm --stiff", map[string]any{"max_depth_mm": 24.0, "depth_mm": 20.0, "reaches": true, "widen": true}},
		{"part --diameter 22mm --width 2mm", map[string]any{"max_depth_mm": 10.0, "depth_mm": 11.0, "reaches": false}},
		{"part --diameter 22mm --bore 16mm", map[string]any{"blade_mm": 2.0, "depth_mm": 3.0, "reaches": true, "widen": false}},
		// OR1, OR2 with the table's depths 2.06 to 2.11: 20.84 at 2.08 lies between.
		{"oring --section 2.62mm --bore 25mm", map[string]any{"groove_min_mm": 20.78, "groove_max_mm": 20.88, "cut_min_mm": 2.06}},
		// The gland's depth is to the mating surface: half of 0.1 mm comes off.
		{"oring --section 0.103in --bore 25mm --shaft 24.9mm", map[string]any{"cut_min_mm": 2.01, "cut_max_mm": 2.06, "groove_min_mm": 20.78}},
		{"chamfer --depth 1mm --angle 30deg", map[string]any{"length_mm": 1.732, "on_diameter_mm": 2.0}},
		{"chamfer --depth 1.5mm", map[string]any{"length_mm": 1.5}},
		// RO1, RO2, RO4.
		{"roughness --feed 0.1mm --nose 0.4mm", map[string]any{"rt_um": 3.125, "ra_um": 0.802}},
		{"roughness --ra 1.6um --nose 0.4mm", map[string]any{"feed_mm": 0.1412, "ra_um": 1.6}},
		// RO6, RO8; 30 mm of stainless 40 degrees warm grows 20.64 um, RO7.
		{`heat "aluminium 6061" --measured 40mm --celsius 45`, map[string]any{"cold_mm": 39.9765, "grown_mm": 0.0235}},
		{"heat acetal --target 25mm --celsius 35", map[string]any{"cut_to_mm": 25.04125}},
		{`heat "stainless 304" --measured 30mm --celsius 60`, map[string]any{"grown_mm": 0.02064}},
		// TM1 to TM4.
		{"time --length 100mm --feed 0.1mm --rpm 500", map[string]any{"cut_s": 120.0, "turns": 1000.0}},
		{"time --length 25mm --feed 1.5mm --rpm 60", map[string]any{"cut_s": 16.667}},
		{"time --length 12.5mm --feed 0.04mm --rpm 250", map[string]any{"cut_s": 75.0}},
		{"time --length 100mm --feed 0.1mm --rpm 500 --stock 2mm --depth 0.6mm", map[string]any{"cuts": 4.0, "all_s": 480.0}},
		// By hand: F L3 x 64 / (3 E pi d4) with E 206000 and 0.4 of the force.
		{`bore "mild steel" --bar 10mm --overhang 40mm --depth 0.25mm --feed 0.06mm`, map[string]any{"stout": true, "diameters": 4.0, "force_n": 80.64, "bend_mm": 0.0068}},
		{`bore "mild steel" --bar 10mm --overhang 45mm --depth 0.25mm --feed 0.06mm`, map[string]any{"stout": false}},
		{`bore "mild steel" --bar 10mm --overhang 45mm --depth 0.25mm --feed 0.06mm --carbide`, map[string]any{"stout": true}},
	} {
		t.Run(c.line, func(t *testing.T) { calcCheck(t, c.line, c.want) })
	}
}

// TestCalcFourJaw: WH10, half of a swing of 0.030 in on a jaw screw of 20 tpi is 108
// degrees of the key; the jaw that reads high is tightened.
func TestCalcFourJaw(t *testing.T) {
	out, err := calcRun(calcByName(t, "fourjaw"), "--readings", "0in,0.010in,0.030in,0.006in", "--screw", "20tpi", "--json")
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Moves []struct {
			Slacken, Tighten int
			Move             float64 `json:"move_mm"`
			Turn             float64 `json:"turn_deg"`
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || len(got.Moves) != 2 {
		t.Fatalf("%v: %s", err, out)
	}
	a, b := got.Moves[0], got.Moves[1]
	if a.Tighten != 3 || a.Slacken != 1 || a.Move != 0.381 || a.Turn != 108 || b.Tighten != 2 || b.Slacken != 4 || b.Move != 0.0508 {
		t.Errorf("%+v", got)
	}
	out, err = calcRun(calcByName(t, "fourjaw"), "--readings", "0mm,0.1mm,0mm,0.3mm")
	if err != nil || !strings.Contains(out, "slacken jaw 2, tighten jaw 4: the bar moves 0.1 mm") || !strings.Contains(out, "jaws 1 and 3 stay as they are") {
		t.Errorf("%v\n%s", err, out)
	}
}

// TestCalcFiguresRefuse: one line that names the flag.
func TestCalcFiguresRefuse(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"align --tail 20mm --apart 100mm", "--head: give "},
		{"align --head 20mm --tail 20.1mm --apart 100mm --centres 50mm", "--centres: "},
		{"fourjaw", "--readings: "},
		{"fourjaw --readings 1mm,2mm", "--readings: 2 readings"},
		{"fourjaw --readings 1,2,3,4", "--readings: "},
		{"fourjaw --readings 1mm,2mm,3mm,4mm --screw x", "--screw: "},
		{"knurl --diameter 20mm", "--pitch: "},
		{"knurl --pitch 1mm", "--diameter: "},
		{"knurl --pitch 1mm --diameter 20mm --helix 80deg", "--pitch: "},
		{"knurl --wheel 20mm --diameter 20mm", "--teeth: "},
		{"knurl --wheel 20mm --teeth 60 --pitch 1mm --diameter 20mm", "--wheel: "},
		{"knurl --wheel 20mm --teeth 60 --diameter 0.5mm", "--diameter: "},
		{"drill --depth 10mm", "--diameter: "},
		{"drill --diameter 10mm", "--depth: "},
		{"drill --diameter 10mm --depth 20mm --point 20deg", "--point: "},
		{"drill --diameter 1mm --depth 200mm", "--depth: "},
		{"drill --diameter 10mm --depth 20mm --quill x", "--quill: "},
		{"ream --diameter 100mm", "--diameter: "},
		{"ream --diameter 12mm --leave 20mm", "--leave: "},
		{"centre --diameter 200mm", "--diameter: "},
		{"centre", "--diameter: "},
		{"part", "--diameter: "},
		{"part --diameter 60mm", "--diameter: "},
		{"part --diameter 20mm --bore 20mm", "--bore: "},
		{"oring --bore 25mm", "--section: "},
		{"oring --section 2mm --bore 25mm", "--section: "},
		{"oring --section 2.62mm --bore 25mm --shaft 24mm", "--shaft: "},
		{"oring --section 2.62mm --bore 8mm", "--bore: "},
		{"chamfer", "--depth: "},
		{"chamfer --depth 1mm --angle 95deg", "--angle: "},
		{"roughness --nose 0.4mm", "--feed: "},
		{"roughness --feed 0.1mm", "--nose: "},
		{"roughness --feed 0.5mm --nose 0.4mm", "--feed: "},
		{"heat brass", "--measured: "},
		{"heat bras --measured 1mm", "nearest are brass"},
		{"heat brass --measured 1mm --celsius 900", "--celsius: "},
		{"time --feed 0.1mm --rpm 100", "--length: "},
		{"time --length 10mm --rpm 100", "--feed: "},
		{"time --length 10mm --feed 0.1mm", "--rpm: "},
		{"time --length 10mm --feed 0.1mm --rpm 100 --stock 1mm", "--stock: "},
		{"bore brass --overhang 10mm", "--bar: "},
		{"bore brass --bar 10mm --overhang 10mm --depth 0.1mm", "--feed: "},
	} {
		words := calcWords(c.line)
		out, err := calcRun(calcByName(t, words[0]), words[1:]...)
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") || out != "" {
			t.Errorf("%s: %v does not say %q, %q", c.line, err, c.want, out)
		}
	}
}

package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

func runCalcThread(t *testing.T, args ...string) (string, error) {
	t.Helper()
	c := calcThreadCommand()
	var out bytes.Buffer
	c.SetOut(&out)
	c.SetErr(&out)
	c.SetArgs(args)
	c.SilenceErrors, c.SilenceUsage = true, true
	err := c.Execute()
	return out.String(), err
}

// The table of the thread everyone starts with: ISO 965-1 limits, depth about
// 0.6 mm with the design root, passes of about 0.1 mm.
func TestCalcThreadTable(t *testing.T) {
	out, err := runCalcThread(t, "M10 x 1 - 6g")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"M10x1-6g  (ISO metric, right-hand, outside, 60 deg, pitch 1 mm)",
		"turn to             9.884 mm  from  9.794 mm  to  9.974 mm",
		"pitch diameter                from  9.212 mm  to  9.324 mm",
		"depth on radius     0.597 mm  from  0.569 mm  to  0.625 mm",
		"over three wires    of 0.577 mm  from  10.079 mm  to  10.191 mm",
		"depth is from 9.884 mm with tip radius 0.144337 mm (the design root; give yours with --tip)",
		"source: ISO 68-1; ISO 965-1",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("want %q in\n%s", want, out)
		}
	}
	out, err = runCalcThread(t, "M10x1-6H", "--units", "in")
	if err != nil || !strings.Contains(out, "bore to") || !strings.Contains(out, "0.3557 in") || strings.Contains(out, "wires") {
		t.Errorf("%v\n%s", err, out)
	}
}

func TestCalcThreadJSON(t *testing.T) {
	out, err := runCalcThread(t, "M10x1-6g", "--json", "--tip", "radius 0.1 mm", "--turned", "9.88mm", "--slide-angle", "29.5", "--wire", "0.6mm")
	if err != nil {
		t.Fatal(err)
	}
	var v struct {
		Designation, Family, Hand string
		External                  bool
		Starts                    int
		Angle                     float64 `json:"form_angle_deg"`
		Pitch                     float64 `json:"pitch_mm"`
		TurnTo                    struct {
			Nominal float64 `json:"nominal_mm"`
			Min     float64 `json:"min_mm"`
			Max     float64 `json:"max_mm"`
		} `json:"turn_to"`
		Depth struct {
			FromNominal float64    `json:"from_nominal_mm"`
			FromTurned  float64    `json:"from_turned_mm"`
			Window      [2]float64 `json:"window_mm"`
			Along       float64    `json:"along_slide_mm"`
		}
		Wires struct {
			Size float64 `json:"size_mm"`
			Over struct {
				Min float64 `json:"min_mm"`
				Max float64 `json:"max_mm"`
			}
		}
		Passes []struct {
			N     int
			Depth float64 `json:"depth_mm"`
			Add   float64 `json:"add_mm"`
		}
		Sources []string
	}
	if err := json.Unmarshal([]byte(out), &v); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if v.Designation != "M10x1-6g" || v.Family != "ISO metric" || v.Hand != "right" || !v.External || v.Starts != 1 || v.Angle != 60 || v.Pitch != 1 ||
		v.TurnTo.Nominal != 9.884 || v.TurnTo.Min != 9.794 || v.TurnTo.Max != 9.974 || v.Wires.Size != 0.6 || len(v.Sources) == 0 {
		t.Errorf("%+v", v)
	}
	// By hand: (9.88 - 9.268)/2 + 0.433013 - 0.1 = 0.639013; over cos 29.5 = 0.734197.
	if v.Depth.FromTurned != 0.639013 || v.Depth.Window != [2]float64{0.611013, 0.667013} || v.Depth.FromNominal != 0.699013 || v.Depth.Along < 0.7341 || v.Depth.Along > 0.7343 {
		t.Errorf("depth %+v", v.Depth)
	}
	// E + 3W - 0.866025 P: 9.324 + 1.8 - 0.866025 = 10.257975, and up to 1 um for the lead angle.
	if v.Wires.Over.Max < 10.257975 || v.Wires.Over.Max > 10.259 {
		t.Errorf("wires %+v", v.Wires)
	}
	sum := 0.0
	for i, p := range v.Passes {
		sum += p.Add
		if p.N != i+1 || p.Add > 0.15 {
			t.Errorf("pass %+v", p)
		}
	}
	if last := v.Passes[len(v.Passes)-1]; last.Depth != 0.64 || sum < 0.6399 || sum > 0.6401 || last.Add != 0 {
		t.Errorf("passes %+v", v.Passes)
	}
}

// Every family answers, in its own unit, and a reading is put into words.
func TestCalcThreadFamilies(t *testing.T) {
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"1/4-20"}, []string{"1/4-20 UNC-2A  (Unified, right-hand, outside, 60 deg, 20 tpi)", "0.2408 in  to", "tap drill           #7", "source: ASME B1.1"}},
		{[]string{"1/8 NPT"}, []string{"1/8-27 NPT", "small end", "note: the size is the pipe's"}},
		{[]string{"1/4 BSP"}, []string{"G 1/4 A", "13.157 mm over its crests"}},
		{[]string{"2 BA"}, []string{"2 BA normal", "4.675 mm"}},
		{[]string{"Tr 12x3"}, []string{"Tr12x3-7e", "(from memory)"}},
		{[]string{"square 20 mm x 4 mm"}, []string{"no tolerances here"}},
		{[]string{"8V1"}, []string{"ISO 4570"}},
		{[]string{"M10", "--drills", "number,letter"}, []string{"tap drill           R "}},
		{[]string{"1/4-20", "--drills", "metric", "--percent", "70"}, []string{"tap drill           5.2 mm"}},
		{[]string{"M10x1", "--finish", "2", "--smallest", "0.02mm", "--spring", "0"}, []string{" 0.560 0.580 0.600\n"}},
		// Case C053: 0.6470 over wires of 0.0525 is 0.0038 in over.
		{[]string{"5/8-11", "--wire", "0.0525in", "--over-wires", "0.6470in"}, []string{"over, cut on by 0.0038 in"}},
		{[]string{"M10x1", "--wire", "0.577mm", "--over-wires", "10.1mm"}, []string{", in\n"}},
		{[]string{"M10x1", "--law", "depth", "--first", "0.1mm", "--spring", "0"}, []string{"depth reached: 0.100 0.200 0.300 0.400 0.500 0.600\n"}},
	} {
		out, err := runCalcThread(t, c.args...)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, w := range c.want {
			if !strings.Contains(out, w) {
				t.Errorf("%v: want %q in\n%s", c.args, w, out)
			}
		}
		if out, err = runCalcThread(t, append(c.args, "--json")...); err != nil || !json.Valid([]byte(out)) {
			t.Errorf("%v --json: %v\n%s", c.args, err, out)
		}
	}
}

func TestCalcThreadRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"M42"}, "needs its pitch"},
		{[]string{"M10x1", "--tip", "blunt"}, "--tip: "},
		{[]string{"M10x1", "--tip", "flat 0.5 mm"}, "too blunt"},
		{[]string{"M10x1", "--turned", "9"}, "--turned: "},
		{[]string{"M10x1", "--turned", "0mm"}, "--turned: "},
		{[]string{"M10x1", "--slide-angle", "60.5"}, "count it from the cross slide"},
		{[]string{"M10x1", "--slide-angle", "x"}, "--slide-angle: "},
		{[]string{"M10x1", "--wire", "2mm"}, "does not rest on the flanks"},
		{[]string{"M10x1-6H", "--wire", "0.6mm"}, "plug"},
		{[]string{"1/8 NPT", "--over-wires", "10mm"}, "ring gauge"},
		{[]string{"M10x1", "--over-wires", "10"}, "--over-wires: "},
		{[]string{"M10x1", "--over-wires", "0.5mm"}, "right thread"},
		{[]string{"M10x1", "--drills", "wooden"}, "--drills: "},
		{[]string{"M10x1", "--drills", "metric", "--percent", "140"}, "140 per cent"},
		{[]string{"M10x1", "--law", "magna"}, "--law: "},
		{[]string{"M10x1", "--units", "cubits"}, "--units: "},
		{[]string{"M10x1", "--first", "0mm"}, "--first: "},
		{[]string{"M10x1", "--first", "0.005mm"}, "finer than one division"},
		{[]string{"M10x1", "--spring", "-1"}, "spring passes"},
		{[]string{}, "accepts 1 arg"},
	} {
		out, err := runCalcThread(t, c.args...)
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") || out != "" {
			t.Errorf("%v: %v, %q; want %q", c.args, err, out, c.want)
		}
	}
}

// What stands beside the depth: DIN 76-1 (M10x1: groove d - 1.6, 2.1 to 3.5 wide), the
// helix, chamfer, starts, flank infeed and the places of a narrow tool.
func TestCalcThreadGround(t *testing.T) {
	type answer struct {
		Lead     float64 `json:"lead_angle_deg"`
		Leading  float64 `json:"leading_clearance_deg"`
		Chamfer  float64 `json:"chamfer_mm"`
		Undercut *struct {
			Diameter float64 `json:"diameter_mm"`
			Min      float64 `json:"min_width_mm"`
			Max      float64 `json:"max_width_mm"`
			Source   string
		}
		Sides []float64 `json:"side_shifts_mm"`
		Index *struct {
			Slide float64 `json:"slide_mm"`
			Teeth int     `json:"driver_teeth"`
		}
		Depth struct {
			Aim  float64 `json:"from_turned_mm"`
			Root float64 `json:"root_diameter_mm"`
		}
		Minor struct {
			Min float64 `json:"min_mm"`
			Max float64 `json:"max_mm"`
		}
		Passes []struct {
			Depth float64 `json:"depth_mm"`
			Shift float64 `json:"shift_mm"`
			Area  float64 `json:"chip_mm2"`
		}
	}
	ask := func(args ...string) (v answer) {
		t.Helper()
		out, err := runCalcThread(t, append(args, "--json")...)
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal([]byte(out), &v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	near := func(what string, got, want, within float64) {
		t.Helper()
		if got < want-within || got > want+within {
			t.Errorf("%s is %g, want %g", what, got, want)
		}
	}
	v := ask("M10x1")
	// atan(1 / (pi x 9.350)) is 1.950 degrees.
	near("helix", v.Lead, 1.950, 0.001)
	if v.Undercut == nil || v.Undercut.Diameter != 8.4 || v.Undercut.Min != 2.1 || v.Undercut.Max != 3.5 || !strings.Contains(v.Undercut.Source, "DIN 76-1 (from memory)") {
		t.Errorf("undercut %+v", v.Undercut)
	}
	near("chamfer", v.Chamfer, 0.7, 0)                    // 0.6134 rounded up to a tenth
	near("root", v.Depth.Root, 9.884-2*v.Depth.Aim, 2e-6) // turned less twice the depth
	area := 0.0                                           // of the groove, by hand:
	for _, p := range v.Passes {
		area += p.Area
		if p.Shift != 0 {
			t.Errorf("a straight infeed is at %g", p.Shift)
		}
	}
	// r = 0.144338: to h 0.6 the vee of 60 degrees less its missing point, h + r = 0.744338
	// from the apex: 0.744338^2 tan 30 - r^2 (3 tan 30 - pi / 3) with the apex at 2r from
	// the arc's middle.
	apex := 0.6 + 0.144338
	near("chip", area, apex*apex*0.577350-0.144338*0.144338*(1.732051-1.047198), 5e-4)

	v = ask("M20 Ph4 P2", "--infeed", "alternating", "--driver", "40")
	if v.Index == nil || v.Index.Slide != 2 || v.Index.Teeth != 20 {
		t.Errorf("index %+v", v.Index)
	}
	last := v.Passes[len(v.Passes)-1]
	for i, p := range v.Passes {
		want := (last.Depth - p.Depth) * 0.57735
		if i%2 == 1 {
			want = -want
		}
		near("side", p.Shift, want, 2e-6)
	}
	v = ask("M10x1", "--slide-angle", "29.5")
	near("along the slide", v.Passes[0].Shift, (0.6-v.Passes[0].Depth)*0.565773, 2e-6) // tan 29.5

	// A tool narrower than the groove goes as deep as the standard's and is moved aside.
	full, narrow := ask("Tr20x4"), ask("Tr20x4", "--tip", "flat 1 mm")
	if narrow.Depth.Aim != full.Depth.Aim || narrow.Depth.Root < narrow.Minor.Min || len(narrow.Sides) != 2 || len(full.Sides) != 0 {
		t.Errorf("narrow %+v, full %+v", narrow, full)
	}
	// Root flat 0.366 P - 0.536 a with a 0.25: 1.330 mm (ISO 2904).
	near("sides", narrow.Sides[1]-narrow.Sides[0]+1, 1.330, 0.001)

	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"M10x1", "--infeed", "zigzag"}, "--infeed: "},
		{[]string{"M20 Ph4 P2", "--driver", "41"}, "--driver: a driver of 41 teeth does not divide by 2 starts: use one of 40 or 42"},
		{[]string{"M10x1", "--driver", "40"}, "--driver: M10x1-6g has one start"},
		{[]string{"Tr20x4", "--tip", "flat 0.01 mm"}, "--tip: a tool of 0.01 mm would need"},
	} {
		if out, err := runCalcThread(t, c.args...); err == nil || !strings.Contains(err.Error(), c.want) || out != "" {
			t.Errorf("%v: %v, want %q", c.args, err, c.want)
		}
	}
	out, err := runCalcThread(t, "M20 Ph4 P2", "--driver", "40", "--infeed", "flank")
	if err != nil || !strings.Contains(out, "20 teeth of the first driver") || !strings.Contains(out, "along the work in each pass") || !strings.Contains(out, "DIN 76-1") {
		t.Errorf("%v\n%s", err, out)
	}
}

package main

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"turncue/sequence/job"
)

// calcByName is a fresh command of turncue calc.
func calcByName(t *testing.T, name string) *cobra.Command {
	t.Helper()
	for _, c := range append(calcSumCommands(), calcGearsCommand()) {
		if c.Name() == name {
			return c
		}
	}
	t.Fatalf("no command %s", name)
	return nil
}

// calcWords is a command line in words; "a b" keeps a space.
func calcWords(s string) (out []string) {
	for i, part := range strings.Split(s, `"`) {
		if i%2 == 1 {
			out = append(out, part)
		} else {
			out = append(out, strings.Fields(part)...)
		}
	}
	return out
}

// TestCalcAnswers: figures by hand, or of the named case, through the JSON.
func TestCalcAnswers(t *testing.T) {
	for _, c := range []struct {
		line string
		want map[string]any // number within 0.5 % or 0.0005, text, bool, list of numbers, nil
	}{
		// C075, C076: 60 x 2.5 / (1.75 x 0.5) is 171.4 rpm; at 100 rpm it runs 1.458 mm.
		{"stop --lead 1.75mm --groove 2.5mm --delay 0.5s", map[string]any{"max_rpm": 171.0, "travel_mm": 2.494, "turns": 1.425, "mark_mm": 2.494, "room_mm": 2.5, "fits": true, "by_hand": false}},
		{"stop --lead 1.75mm --groove 2.5mm --delay 0.5s --rpm 100", map[string]any{"max_rpm": 171.0, "travel_mm": 1.4583, "turns": 0.8333, "mark_mm": 1.4583}},
		// C080: the voice's delay adds to the hand's.
		{"stop --lead 8tpi --rpm 70 --delay 0.7s", map[string]any{"max_rpm": nil, "travel_mm": 2.593, "mark_mm": 2.593, "room_mm": nil}},
		// 0.8 turns of coast at 100 rpm and none of delay: four times as many at 200.
		{"stop --lead 1mm --rpm 200 --delay 0s --coast-turns 0.8@100rpm", map[string]any{"turns": 3.2, "travel_mm": 3.2}},
		{"stop --lead 1.75mm --groove 4mm --tool 2mm --margin 1mm --delay 0.4s --coast 0.5s --slowest 70", map[string]any{"max_rpm": 52.0, "by_hand": true}},
		// C086, C089, C091, C092, C094.
		{"marks --leadscrew 16tpi --wheel 16 --lines 8 --thread 18tpi", map[string]any{"lines": []float64{1, 5}, "halfnuts": "these lines only"}},
		{"marks --leadscrew 16tpi --wheel 16 --lines 8 --thread 20tpi", map[string]any{"lines": []float64{1, 3, 5, 7}}},
		{"marks --leadscrew 8tpi --wheel 16 --lines 8 --thread 4tpi", map[string]any{"halfnuts": "any line, not between lines"}},
		{"marks --leadscrew 8tpi --wheel 16 --lines 8 --thread 16tpi", map[string]any{"halfnuts": "anywhere"}},
		{"marks --leadscrew 8tpi --thread 1mm", map[string]any{"halfnuts": "half-nuts stay closed", "common_travel_mm": 127.0, "lines": []float64{}, "leadscrew_threads": 40.0}},
		{"marks --leadscrew 8tpi --wheel 16 --lines 8 --thread 18tpi --first 2", map[string]any{"lines": []float64{2, 4, 6, 8}}},
		// C104: 0.0030 in; a bar of 16 mm that swings 0.1: 1.5 x 0.05 less 3/4 e2/d.
		{"packing --tir 0.004in --diameter 0.75in", map[string]any{"pack_mm": 0.0760, "eccentricity_mm": 0.0508, "verdict": "off centre"}},
		{"packing --tir 0.1mm --diameter 16mm", map[string]any{"pack_mm": 0.074883, "flat_jaws_mm": 0.075, "clean_diameter_mm": 15.9}},
		{"packing --tir 0.001in --further 0.006in --diameter 0.75in", map[string]any{"pack_mm": nil, "verdict": "tilted"}},
		{"packing --offset 2mm --diameter 30mm", map[string]any{"pack_mm": 2.8997, "flat_jaws_mm": 3.0}},
		{"packing --tir 0.12mm --diameter 30mm --high-spot 30deg", map[string]any{"shims_mm": []float64{0.1039, 0.052, 0}}},
		// C131.
		{"gears 8tpi --leadscrew 8tpi --scratch 10@1.54in", map[string]any{"cut_tpi": 6.4935, "right": false, "cut_mm": 3.9116}},
		{"gears 1.5mm --leadscrew 3mm --train 30-60-40-40 --scratch 10@15.1mm", map[string]any{"right": true, "likely": []float64{}}},
		// SP1, SP6: 30 m/min on 20 mm is 477.5 rpm, of these 400.
		{`speed "mild steel" --diameter 20mm --speeds 100,150,250,400,600,1000`, map[string]any{"wanted_rpm": 477.5, "set_rpm": 400.0, "surface_m_min": 30.0, "set_surface_m_min": 25.13, "too_fast": false, "feed_mm": 0.12, "depth_mm": 0.25}},
		{`speed "mild steel" --diameter 300mm --speeds 100`, map[string]any{"set_rpm": 100.0, "too_fast": true}},
		{`speed brass --diameter 10mm --op thread --speeds 50-2000`, map[string]any{"surface_m_min": 25.0, "wanted_rpm": 795.8, "set_rpm": 790.0, "feed_mm": nil, "depth_mm": nil}},
		{`speed brass --diameter 10mm --speeds 50-2000 --limit 1500`, map[string]any{"wanted_rpm": 1500.0, "set_rpm": 1500.0, "ruled_by": "the chuck's limit"}},
		// FO4, FO8: 205 N and 3.08 N.m on 30 mm.
		{`force "mild steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 250 --watts 180`, map[string]any{"force_n": 205.36, "torque_nm": 3.08, "power_w": 80.65, "available_w": 180.0, "max_depth_mm": 1.116, "drives": true, "bend_mm": nil}},
		{`force "mild steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 100 --watts 350 --base 1000`, map[string]any{"available_w": 35.0}},
		// DE4 by its proportion: a radial force of 0.4 x 205.36 N on 12 mm sticking out 48.
		{`force "mild steel" --depth 0.5mm --feed 0.1mm --diameter 12mm --rpm 250 --stickout 48mm`, map[string]any{"bend_mm": 0.01767 * 0.8214, "holds": "light cuts only", "available_w": nil}},
		// C061, C062.
		{"dial --travel 0.1in --divisions 100 --from 1.000in --to 0.963in", map[string]any{"travel_mm": 0.4699, "turns": 0.0, "divisions": 18.5, "line": 19.0, "rest_mm": -0.0127}},
		{"dial --travel 0.05in --divisions 100 --on-diameter --from 1.000in --to 0.963in", map[string]any{"turns": 0.0, "line": 37.0, "divisions": 37.0, "reading_mm": 0.9398}},
		// DI4 turned round: 1.016 mm of travel reads 1.000 mm.
		{"dial --travel 0.05in --marked 1.25mm --divisions 50 --offset 1.016mm", map[string]any{"reading_mm": 1.0, "line": 40.0}},
		// C071 on a radius dial: from 2.00 to 1.50, slack 0.15: back past 1.35.
		{"dial --travel 1mm --divisions 50 --slack 0.15mm --from 30mm --now 26mm --to 27mm", map[string]any{"travel_mm": 1.5, "back_off": true, "back_off_to_mm": 1.35}},
		{"dial --travel 1mm --divisions 50 --slack 0.15mm --from 30mm --now 27mm --to 26mm", map[string]any{"back_off": false, "back_off_to_mm": nil}},
		// C068: a quarter of a division asks for 5:1 at 11.54 degrees.
		{"dial --travel 0.1in --divisions 100 --from 0.3130in --to 0.3125in", map[string]any{"fine_feed_deg": 11.537}},
		// TA3, TA5, C100, C101, C103, TA6.
		{"taper --large 30mm --small 25mm --length 80mm --centres 200mm", map[string]any{"setover_rule_mm": 6.25, "setover_mm": 6.247}},
		{"taper --one-in 16 --centres 6in --over 0.03125in", map[string]any{"half_angle_deg": 1.790, "setover_rule_mm": 4.7625, "length_shift_mm": 12.7, "protractor_deg": 1.790}},
		{"taper --one-in 16 --zero-across", map[string]any{"protractor_deg": 88.21}},
		{"taper --morse 2 --over 0.1mm --gauge-travel 50mm", map[string]any{"half_angle_deg": 1.4307, "length_shift_mm": 2.002, "gauge_mm": 1.248, "gauge_diameter_mm": 17.78}},
	} {
		t.Run(c.line, func(t *testing.T) { calcCheck(t, c.line, c.want) })
	}
}

// calcCheck runs a line for its JSON and compares some of its keys, and runs it again
// for its table.
func calcCheck(t *testing.T, line string, want map[string]any) {
	t.Helper()
	words := calcWords(line)
	out, err := calcRun(calcByName(t, words[0]), append(words[1:], "--json")...)
	if err != nil {
		t.Fatal(err)
	}
	var got map[string]any
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	for key, want := range want {
		v, ok := got[key]
		if !ok {
			t.Errorf("no key %s in %s", key, out)
			continue
		}
		if !calcSame(v, want) {
			t.Errorf("%s is %v, want %v", key, v, want)
		}
	}
	plain, err := calcRun(calcByName(t, words[0]), words[1:]...)
	if err != nil || strings.Count(plain, "\n") < 2 || strings.Contains(plain, "%!") {
		t.Errorf("table: %v\n%s", err, plain)
	}
}

func calcSame(got, want any) bool {
	switch w := want.(type) {
	case float64:
		g, ok := got.(float64)
		return ok && math.Abs(g-w) <= math.Max(0.0005, 0.0005*math.Abs(w))
	case []float64:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			return false
		}
		for i := range w {
			if !calcSame(g[i], w[i]) {
				return false
			}
		}
		return true
	default:
		return got == want
	}
}

// TestCalcRefusals: one line that names the flag.
func TestCalcRefusals(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"stop --groove 2mm", "--lead: give the thread's"},
		{"stop --lead 1.75mm", "--groove: give the width"},
		{"stop --lead 1.75mm --groove -1mm", "--groove: -1 mm is not above zero"},
		{"stop --lead 1.75mm --groove 2mm --delay 20s", "--delay: "},
		{"stop --lead 1.75mm --groove 2mm --delay 0s", "--delay: without a delay"},
		{"stop --lead 1.75mm --groove 2mm --coast-turns 0.8", "--coast-turns: "},
		{"stop --lead 1.75mm --groove 2mm --coast 1s --coast-turns 0.8@100rpm", "--coast: "},
		{"stop --lead 1.75mm --rpm fast", "--rpm: "},
		{"stop --lead 1.75mm --rpm 50-100", "--rpm: "},
		{"stop --lead 1.75mm --rpm 100 --lathe none.toml", "--lathe: none.toml: there is no such file"},
		{"marks --thread 18tpi", "--leadscrew: "},
		{"marks --leadscrew 16tpi", "--thread: "},
		{"marks --leadscrew 16tpi --thread 18tpi --wheel 16", "--lines: "},
		{"marks --leadscrew 16tpi --thread 18tpi --lines 8", "--wheel: "},
		{"marks --leadscrew 16tpi --thread 18tpi --wheel 16 --lines 8 --first 9", "--first: "},
		{"packing --diameter 16mm", "--tir: "},
		{"packing --tir 0.1mm", "--diameter: "},
		{"packing --tir 0.1 --diameter 16mm", "--tir: "},
		{"packing --tir 10mm --diameter 16mm", "four-jaw"},
		{"packing --tir 1mm --offset 1mm --diameter 16mm", "--offset: "},
		{`speed "mild stel" --diameter 20mm`, "nearest are mild steel"},
		{"speed brass", "--diameter: "},
		{"speed brass --diameter 20mm --tool diamond", "--tool: "},
		{"speed brass --diameter 20mm --op mill", "--op: "},
		{"speed brass --diameter 20mm --speeds 0", "--speeds: "},
		{"speed brass --diameter 20mm --speeds 500-100", "--speeds: "},
		{"speed brass --diameter 20mm --tool carbide --op ream", "use HSS"},
		{"force brass --feed 0.1mm --diameter 12mm --rpm 800", "--depth: "},
		{"force brass --depth 0.1mm --diameter 12mm --rpm 800", "--feed: "},
		{"force brass --depth 0.1mm --feed 0.1mm --rpm 800", "--diameter: "},
		{"force brass --depth 0.1mm --feed 0.1mm --diameter 12mm", "--rpm: "},
		{"force brass --depth 0.1mm --feed 0.1mm --diameter 12mm --rpm 800 --factor 0", "--factor: "},
		{"force brass --depth 0.1mm --feed 0.1mm --diameter 12mm --rpm 800 --entering 120deg", "--entering: "},
		{"force brass --depth 0.1mm --feed 0.1mm --diameter 12mm --rpm 800 --stickout 20mm --support glue", "--support: "},
		{"dial --divisions 50 --from 20mm --to 19mm", "--travel: "},
		{"dial --travel 1mm --from 20mm --to 19mm", "--divisions: "},
		{"dial --travel 1mm --divisions 50 --to 19mm", "--from: "},
		{"dial --travel 1mm --divisions 50 --from 20mm", "--to: "},
		{"dial --travel 1mm --marked 2mm --divisions 100 --offset 1mm", "shows diameter"},
		{"dial --travel 1mm --divisions 50 --offset 1mm --from 20mm", "--offset: "},
		{"taper", "--large: "},
		{"taper --large 20mm --small 30mm --length 50mm", "--small: "},
		{"taper --morse 9", "--morse: no Morse taper number 9"},
		{"taper --morse 2 --one-in 16", "only one of them"},
		{"taper --one-in 0", "--one-in: "},
		{"taper --large 30mm --small 25mm --length 80mm --centres 50mm", "--centres: "},
		{"gears --chart --leadscrew 1.5mm", "--gears: "},
		{"gears 1mm --chart --leadscrew 1.5mm --gears 20,30", "--chart: "},
		{"gears 1mm --leadscrew 1.5mm --gears 20,30 --levers A", "--levers: "},
		{"gears 1mm --leadscrew 1.5mm --scratch 10", "--scratch: "},
		{"gears 1mm --leadscrew 1.5mm --scratch 10@-5mm", "--scratch: "},
	} {
		words := calcWords(c.line)
		_, err := calcRun(calcByName(t, words[0]), words[1:]...)
		if err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v does not say %q", c.line, err, c.want)
		}
	}
}

// TestCalcExamplesRun: every example in a help text.
func TestCalcExamplesRun(t *testing.T) {
	for _, c := range append(calcSumCommands(), calcGearsCommand()) {
		if c.Example == "" || c.Long == "" {
			t.Errorf("%s has no example or no text", c.Name())
		}
		for _, line := range strings.Split(c.Example, "\n") {
			words := calcWords(strings.TrimPrefix(strings.TrimSpace(line), "turncue calc "))
			if words[0] != c.Name() {
				t.Errorf("example of %s: %q", c.Name(), line)
				continue
			}
			if out, err := calcRun(calcByName(t, c.Name()), words[1:]...); err != nil || out == "" {
				t.Errorf("%s: %v", line, err)
			}
		}
	}
}

// TestCalcFromLathe: what comes from the lathe's file.
func TestCalcFromLathe(t *testing.T) {
	_, text := job.ExampleText()
	file := filepath.Join(t.TempDir(), "bench.toml")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ line, want string }{
		{"stop --lead 1.75mm --groove 4mm --tool 2mm --margin 1mm", "turn the spindle by hand"}, // 70 rpm is its slowest
		{"marks --thread 1mm", "leadscrew of 1.5 mm"},
		{`speed "mild steel" --diameter 20mm`, "set            320 rpm"}, // 477 wanted, it has 320 and 500
		{`force "mild steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 320`, "gives 562 W"},
		{"dial --from 20mm --to 18mm", "0 turns and 1 mm on the ring, line 50 of 100"},
		{"dial --slide top --from 20mm --to 19mm", "line 25 of 50"},
		{"gears 1mm", "exact"},
	} {
		words := append(calcWords(c.line), "--lathe", file)
		out, err := calcRun(calcByName(t, words[0]), words[1:]...)
		if err != nil || !strings.Contains(out, c.want) {
			t.Errorf("%s: %v does not say %q:\n%s", c.line, err, c.want, out)
		}
	}
}

// TestCalcOutOfRange: speeds the lathe does not have.
func TestCalcOutOfRange(t *testing.T) {
	_, text := job.ExampleText()
	file := filepath.Join(t.TempDir(), "bench.toml")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ line, want string }{
		{"stop --lead 1.75mm --rpm 5000", "--rpm: the lathe does not turn as fast as 5000 rpm: its fastest is 1250 rpm"},
		{"stop --lead 1.75mm --rpm 100", "--rpm: the lathe does not turn at 100 rpm: it has 70 rpm and 115 rpm"},
		{`force brass --depth 0.1mm --feed 0.1mm --diameter 12mm --rpm 20`, "--rpm: the lathe does not turn as slowly as 20 rpm: its slowest is 70 rpm"},
	} {
		words := append(calcWords(c.line), "--lathe", file)
		if _, err := calcRun(calcByName(t, words[0]), words[1:]...); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.line, err, c.want)
		}
	}
}

// TestCalcGearsChart: the whole chart of a lathe.
func TestCalcGearsChart(t *testing.T) {
	out, err := calcRun(calcGearsCommand(), "--chart", "--leadscrew", "1.5mm", "--gears", ownedGears)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"metric", "per inch", "feed", "11.5 tpi", "module 1", "exact", "1.75"} {
		if !strings.Contains(out, want) {
			t.Errorf("the chart does not say %q", want)
		}
	}
	if n := strings.Count(out, "\n"); n < 120 {
		t.Errorf("%d lines", n)
	}
	out, err = calcRun(calcGearsCommand(), "--chart", "--leadscrew", "1.5mm", "--gears", ownedGears, "--json")
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Rows []struct {
			Kind, Name string
			Wanted     float64 `json:"wanted_mm"`
			Train      *struct {
				Lead  float64 `json:"lead_mm"`
				Error float64 `json:"error_ppm"`
			}
		} `json:"chart"`
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil || len(got.Rows) < 120 {
		t.Fatalf("%v, %d rows", err, len(got.Rows))
	}
	found := false
	for _, r := range got.Rows {
		if r.Name == "1" && r.Kind == "metric" {
			found = r.Wanted == 1 && r.Train != nil && r.Train.Lead == 1 && r.Train.Error == 0
		}
	}
	if !found {
		t.Error("no exact row for 1 mm")
	}
}

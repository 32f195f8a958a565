package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/sequence/job"
)

// shopLathe is the file of a lathe that says everything a lathe's file can.
func shopLathe(t *testing.T) string {
	t.Helper()
	_, text := job.ExampleText()
	head, rest, ok := strings.Cut(text, "[banjo]")
	_, rest, ok2 := strings.Cut(rest, "[cross_slide]")
	if !ok || !ok2 {
		t.Fatal("the example's lathe has no banjo before its slides")
	}
	head = strings.Replace(head, `leadscrew    = "1.5 mm"`, `leadscrew    = "16 tpi"`, 1)
	head = strings.Replace(head, "[70, 115, 200, 320, 500, 800, 1250]", "{ min = 50, max = 2000 }", 1)
	text = head + `
fixed      = "1/2"
levers     = { A = "1", B = "2" }
tumbler    = false
mounted    = "40-65-20-60"
base_speed = "900 rpm"

[banjo]
module       = "1 mm"
clearance    = "4 mm"
studs        = 1
span         = "90 mm"
near         = "25 mm"
far          = "80 mm"
swing_from   = "0 deg"
swing_to     = "130 deg"
first_radius = "9 mm"
stud_radius  = "6 mm"
last_radius  = "9 mm"
cover        = "80 mm"
step_up      = 1.5

[thread_dial]
wheel = 16
lines = 8

[[material]]
name   = "axle steel"
like   = "medium-carbon steel"
turn   = "18 m/min"
feed   = "0.07 mm"
kc     = "2500 N/mm2"
mc     = 0.2
source = "trial cuts on the test bar"

[cross_slide]` + rest
	if _, err := job.ParseLathe("shop.toml", text); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "shop.toml")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// TestCalcFromShopLathe: gearbox, banjo, threading dial, base speed and the shop's
// own material are taken from the file.
func TestCalcFromShopLathe(t *testing.T) {
	file := shopLathe(t)
	for _, c := range []struct{ line, want string }{
		// Case C086.
		{"marks --thread 18tpi", "lines          1, 5"},
		// 18 m/min on 20 mm is 286.5 rpm, on a knob 280.
		{`speed "axle steel" --diameter 20mm`, "set            280 rpm"},
		{`speed "axle steel" --diameter 20mm`, "feed           0.07 mm a turn"},
		{`speed "axle steel" --diameter 20mm`, "after          trial cuts on the test bar"},
		// 2500 x 0.1^-0.2 x 0.1 x 0.5 is 198.1 N.
		{`force "axle steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 450 --factor 1`, "cutting force  198 N"},
		{`force "axle steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 450 --factor 1`, "constants      trial cuts on the test bar"},
		// 0.55 of 750 W is 412.5 W at the spindle; at half the base speed, half.
		{`force "axle steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 450`, "gives 206 W"},
		{`force "axle steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 1000`, "gives 413 W"},
		// 40/20 through a half and 2 on 16 tpi is 8 tpi; 80 is too large for the cover.
		{"gears --train 40-20", "16 tpi on a leadscrew of 16 tpi"},
		{"gears --train 40-20 --lever B", "3.175 mm on a leadscrew of 16 tpi"},
		{"gears 16tpi --train 80-20", "together 50 mm, 90 mm needed: 40 mm short"},
		{"gears 16tpi --train 80-20", "1 mesh turns the leadscrew backwards"},
		{"gears 16tpi --train 80-20", "4 times as fast as the first driver, over 1.5"},
		{"gears 16tpi --train 40-65-80-20", "too large for the gear cover: 82"},
	} {
		words := append(calcWords(c.line), "--lathe", file)
		out, err := calcRun(calcByName(t, words[0]), words[1:]...)
		if err != nil || !strings.Contains(out, c.want) {
			t.Errorf("%s: %v does not say %q:\n%s", c.line, err, c.want, out)
		}
	}
}

// TestCalcBanjoFlags: what the flags say of the banjo refuses what does not fit, in
// the words of what touches what.
func TestCalcBanjoFlags(t *testing.T) {
	base := "gears 1mm --leadscrew 1.5mm --train 60-45-30-60 --clearance 4mm "
	for _, c := range []struct{ flags, want string }{
		{"", "yes"},
		{"--cover 50mm", "the 60 wheel is too large for the gear cover: 62 mm across, 50 mm covered: 12 mm too much"},
		{"--span 150mm", "do not reach from spindle to leadscrew"},
		{"--slot 20mm..40mm", "too far from the leadscrew for the slot: 45 mm, at most 40 mm: 5 mm too far"},
		{"--slot 50mm..60mm", "too near the leadscrew for the slot: 45 mm, 50 mm needed: 5 mm short"},
		{"--span 80mm --swing 0deg..5deg", "outside its swing"},
		{"--first-radius 36mm", "touches the shaft of the 60"},
		{"--step-up 1", "yes"},
	} {
		words := calcWords(base + c.flags)
		out, err := calcRun(calcByName(t, "gears"), words[1:]...)
		if err != nil || !strings.Contains(out, c.want) {
			t.Errorf("%s: %v does not say %q:\n%s", c.flags, err, c.want, out)
		}
	}
	for flags, want := range map[string]string{
		"--slot 20mm": "--slot: ", "--slot 40mm..20mm": "--slot: ", "--slot x..y": "--slot: ", "--swing 5deg": "--swing: ", "--swing 50deg..20deg": "--swing: ",
		"--lever B": "--lever: ", "--cover 0mm": "--cover: ", "--first-radius -1mm": "--first-radius: ", "--step-up 0.5": "--step-up: ", "--studs 3": "--studs: ", "--module 0": "--module: ",
	} {
		words := calcWords(base + flags)
		if _, err := calcRun(calcByName(t, "gears"), words[1:]...); err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s: %v", flags, err)
		}
	}
}

// TestCalcGearsOfTheOtherLeadscrew: cases of charts meant for another leadscrew; 60
// and 30 driving 45 and 60 are for 1.5 mm.
func TestCalcGearsOfTheOtherLeadscrew(t *testing.T) {
	out, err := calcRun(calcGearsCommand(), "1 mm", "--leadscrew", "16tpi", "--train", "60-45-30-60", "--json")
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Trains []struct {
			Lead  float64 `json:"lead_mm"`
			Notes []string
		}
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	// 1.5875 x 2/3 is 1.058333.
	if len(got.Trains) != 1 || got.Trains[0].Lead != 1.058333 || !strings.Contains(strings.Join(got.Trains[0].Notes, "\n"), "this train is for a leadscrew of 1.5 mm") {
		t.Errorf("%+v", got)
	}
}

package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// calcRun runs one of the calc commands and gives what it printed.
func calcRun(c *cobra.Command, args ...string) (string, error) {
	var out bytes.Buffer
	c.SetOut(&out)
	c.SetErr(&out)
	c.SilenceErrors, c.SilenceUsage = true, true
	c.SetArgs(args)
	err := c.Execute()
	return out.String(), err
}

const ownedGears = "20,20,30,35,40,40,45,50,55,57,60,65,80,80"

func TestCalcGearsJSON(t *testing.T) {
	out, err := calcRun(calcGearsCommand(), "1.0 mm", "--leadscrew", "16tpi", "--gears", ownedGears+",21", "--module", "1", "--clearance", "6mm", "--length", "20mm", "--json")
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Wanted    float64 `json:"wanted_mm"`
		Leadscrew float64 `json:"leadscrew_mm"`
		Trains    []struct {
			Drivers []int     `json:"drivers"`
			Driven  []int     `json:"driven"`
			Idlers  []int     `json:"idlers"`
			Lead    float64   `json:"lead_mm"`
			Error   float64   `json:"error_ppm"`
			Drift   float64   `json:"drift_mm"`
			StepUp  float64   `json:"stepup"`
			Mounts  bool      `json:"mounts"`
			Gaps    []float64 `json:"gaps_mm"`
			Notes   []string  `json:"notes"`
		} `json:"trains"`
		Hints []string `json:"hints"`
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	if got.Wanted != 1 || got.Leadscrew != 1.5875 || len(got.Trains) == 0 {
		t.Fatalf("%+v", got)
	}
	// 1.000125 mm and 125 ppm from a 21 wheel on a 16 tpi screw: an account of a
	// small lathe, and 21/50 x 60/40 x 1.5875 by hand.
	best := got.Trains[0]
	if best.Lead != 1.000125 || best.Error != 125 || best.Drift != 0.0025 || !best.Mounts || len(best.Gaps) != 2 || best.StepUp != 0.63 {
		t.Errorf("best %+v", best)
	}
	for _, tr := range got.Trains {
		if !tr.Mounts || tr.Idlers == nil || tr.Notes == nil || tr.Gaps == nil {
			t.Errorf("%+v", tr)
		}
	}
}

func TestCalcGearsTable(t *testing.T) {
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{"1 mm", "--leadscrew", "1.5mm", "--train", "60-45-30-60"}, []string{"60-45-30-60", "1 mm", "exact", "yes"}},
		{[]string{"1 mm", "--leadscrew", "16tpi", "--train", "21-30-45-50", "--clearance", "4mm"}, []string{"no", "the 45 wheel touches the shaft of the 21", "2 mm short"}},
		{[]string{"--leadscrew", "16tpi", "--train", "80-45-20-60"}, []string{"27 tpi on a leadscrew of 16 tpi", "0.940741 mm"}},
		{[]string{"1.75 mm", "--leadscrew", "8tpi", "--gears", "27,30,35,40,45,60,127,120", "--tumbler", "--fixed", "1/2", "--levers", "A=1,B=2"}, []string{"exact", " at B"}},
		{[]string{"1.5 mm", "--leadscrew", "3mm", "--train", "30-60-40-40", "--scratch", "10@60mm"}, []string{"stop: this is not the thread", "the pair 30 and 60 is the wrong way round"}},
		{[]string{"11.5 tpi", "--leadscrew", "16tpi", "--gears", ownedGears}, []string{"hint: exact with one more wheel: needs a 23, 46", "+1116 ppm"}},
	} {
		out, err := calcRun(calcGearsCommand(), c.args...)
		if err != nil {
			t.Errorf("%v: %v", c.args, err)
		}
		for _, w := range c.want {
			if !strings.Contains(out, w) {
				t.Errorf("%v does not say %q:\n%s", c.args, w, out)
			}
		}
	}
}

func TestCalcGearsRefused(t *testing.T) {
	for _, c := range []struct {
		args string
		want string
	}{
		{"1mm", "--leadscrew: give the lead"},
		{"1mm --leadscrew 3", "--leadscrew: "},
		{"1mm --leadscrew 3mm", "--gears: name the wheels"},
		{"1mm --leadscrew 3mm --gears 0,20", "--gears: a wheel of 0 teeth"},
		{"1mm --leadscrew 3mm --gears -20,20", "--gears: a wheel of -20 teeth"},
		{"1mm --leadscrew 3mm --gears 20", "--gears: a set of 1: a train needs at least two wheels"},
		{"1mm --leadscrew 3mm --gears 20,x", `--gears: "x" is no tooth count`},
		{"1 --leadscrew 3mm --gears 20,30", `"1" is no lead`},
		{"--leadscrew 3mm --gears 20,30", "no lead"},
		{"1mm --leadscrew 3mm --train 20-30-40", "write the one between as idler30"},
		{"1mm --leadscrew 3mm --train 20-30 --studs 3", "--studs: 3"},
		{"1mm --leadscrew 3mm --gears 20,30 --clearance -1mm", "--clearance: -1 mm is not above zero"},
		{"1mm --leadscrew 3mm --gears 20,30 --module 0", "--module: 0 mm is not above zero"},
		{"1mm --leadscrew 3mm --gears 20,30 --length 5", "--length: "},
		{"1mm --leadscrew 3mm --gears 20,30 --fixed 0", "--fixed: 0 is not above zero"},
	} {
		_, err := calcRun(calcGearsCommand(), strings.Fields(c.args)...)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v does not say %q", c.args, err, c.want)
		}
	}
}

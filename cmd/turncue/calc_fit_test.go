package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

func runCalcFit(t *testing.T, args ...string) (string, error) {
	t.Helper()
	c := calcFitCommand()
	var out bytes.Buffer
	c.SetOut(&out)
	c.SetErr(&out)
	c.SetArgs(args)
	c.SilenceErrors, c.SilenceUsage = true, true
	err := c.Execute()
	return out.String(), err
}

// 25 H7/g6 by ISO 286: hole 25.000..25.021, shaft 24.980..24.993, clearance 7 to
// 41 micrometres.
func TestCalcFit(t *testing.T) {
	for _, c := range []struct {
		spec string
		want []string
	}{
		{"25 H7/g6", []string{"hole", "from  25.0000 mm  to  25.0210 mm", "from  24.9800 mm  to  24.9930 mm", "from  0.0070 mm   to  0.0410 mm", "source: ISO 286-1"}},
		{"16 mm h9", []string{"shaft  16 mm h9", "from  15.9570 mm  to  16.0000 mm", "middle  15.9785 mm"}},
		{"0.500 +0.000/-0.002 in", []string{"from  0.49800 in  to  0.50000 in"}},
		{"12 mm", []string{"from  11.8000 mm  to  12.2000 mm", "ISO 2768-1 class m (from memory)"}},
	} {
		out, err := runCalcFit(t, c.spec)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, w := range c.want {
			if !strings.Contains(out, w) {
				t.Errorf("%s: want %q in\n%s", c.spec, w, out)
			}
		}
	}
	out, err := runCalcFit(t, "25 H7/g6", "--json")
	if err != nil {
		t.Fatal(err)
	}
	type band struct {
		Min float64 `json:"min_mm"`
		Max float64 `json:"max_mm"`
	}
	var v struct {
		Nominal                float64 `json:"nominal_mm"`
		Hole, Shaft, Clearance band
		Kind                   string
		Sources                []string
	}
	if err := json.Unmarshal([]byte(out), &v); err != nil {
		t.Fatal(err)
	}
	if v.Nominal != 25 || v.Hole != (band{25, 25.021}) || v.Shaft != (band{24.98, 24.993}) || v.Clearance != (band{0.007, 0.041}) || v.Kind != "clearance" || len(v.Sources) != 1 {
		t.Errorf("%+v", v)
	}
	for _, c := range []struct{ spec, want string }{
		{"25 H7/z6", "position z"}, {"25 g6/H7", "hole first"}, {"12", "has no unit"}, {"300 mm h9", "up to 250 mm"}, {"", "no length"},
	} {
		if out, err := runCalcFit(t, c.spec); err == nil || !strings.Contains(err.Error(), c.want) || out != "" {
			t.Errorf("%q: %v, %q; want %q", c.spec, err, out, c.want)
		}
	}
	if _, err := runCalcFit(t, "12 mm", "--units", "ell"); err == nil {
		t.Error("ells are known")
	}
}

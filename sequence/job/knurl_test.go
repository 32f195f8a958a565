package job

import (
	"strings"
	"testing"

	"turncue/calc"
)

// A section with a knurl is turned to its blank, on which whole teeth close.
func TestKnurl(t *testing.T) {
	const head = "part = \"knob\"\nmaterial = \"mild steel\"\nbar = \"22 mm\"\nstickout = \"50 mm\"\n\n[[section]]\nlength = \"10 mm\"\n"
	j, err := ParseJob("job.toml", head+"diameter = \"20 mm\"\nknurl = { pattern = \"diamond\", pitch = \"1 mm\" }\n")
	if err != nil {
		t.Fatal(err)
	}
	s := j.Sections[0]
	if k := s.Knurl; k == nil || k.Helix != 30*calc.Degree || k.Over.Nominal != 20*calc.Millimetre || k.Over.Max != 20200*calc.Micrometre || k.Teeth != 53 || k.Aim < s.Diameter.Max {
		t.Errorf("%+v", k)
	}
	if s.Diameter.Max >= 20*calc.Millimetre || s.Diameter.Max-s.Diameter.Min > 130*calc.Micrometre {
		t.Errorf("blank %s to %s", s.Diameter.Min, s.Diameter.Max)
	}
	j, err = ParseJob("job.toml", head+"diameter = \"0.75 in\"\nknurl = { pattern = \"straight\", pitch = \"0.04 in\" }\n")
	if err != nil || j.Sections[0].Knurl.Helix != 0 {
		t.Error(err)
	}
	for _, c := range []struct{ section, want string }{
		{"diameter = \"20 mm\"\nknurl = \"diamond\"\n", "knurl is text, not a table"},
		{"diameter = \"20 mm\"\nknurl = { pattern = \"diamond\" }\n", "pitch is missing"},
		{"diameter = \"20 mm\"\nknurl = { pitch = \"1 mm\" }\n", "pattern is missing"},
		{"diameter = \"20 mm\"\nknurl = { pattern = \"spiral\", pitch = \"1 mm\" }\n", "pattern is \"spiral\""},
		{"diameter = \"20 mm\"\nknurl = { pattern = \"diamond\", pitch = \"10 mm\" }\n", "pitch is 10 mm, outside 0.3 mm to 3 mm"},
		{"diameter = \"20 mm\"\nknurl = { pattern = \"diamond\", pitch = \"1 mm\", depth = \"1 mm\" }\n", "depth is not known in knurl"},
		{"diameter = \"20 mm\"\nsmall = \"18 mm\"\nknurl = { pattern = \"diamond\", pitch = \"1 mm\" }\n", "section 1 has a knurl beside a taper"},
		{"diameter = \"1.5 mm\"\nknurl = { pattern = \"diamond\", pitch = \"1 mm\" }\n", "a diameter of at least two"},
	} {
		if _, err := ParseJob("job.toml", head+c.section); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", c.section, err)
		}
	}
	if _, err := ParseJob("job.toml", "pick_up = true\n"+head+"diameter = \"20 mm\"\nknurl = { pattern = \"diamond\", pitch = \"1 mm\" }\n"); err == nil || !strings.Contains(err.Error(), "knurl has no place in a job that picks up a thread") {
		t.Error(err)
	}
}

// A clamp has to say what its nut closes.
func TestKnurlingTool(t *testing.T) {
	text := func(tail string) string {
		return read(t, "../../testdata/lathes/bench.toml") + "\n[[tool]]\nkind = \"knurling\"\npattern = \"straight\"\npitch = \"0.8 mm\"\nwidth = \"6 mm\"\nsize = \"20 mm\"\n" + tail
	}
	l, err := ParseLathe("lathe.toml", text("holder = \"clamp\"\nclosing = \"1.5 mm\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	if k := l.Tools[len(l.Tools)-1]; k.Holder != HolderClamp || k.Closing != 1500*calc.Micrometre || k.Pitch != 800*calc.Micrometre || k.Pattern != Straight {
		t.Errorf("%+v", k)
	}
	for tail, want := range map[string]string{
		"holder = \"clamp\"\n":                    "closing is missing",
		"holder = \"bump\"\nclosing = \"1 mm\"\n": "closing stands beside",
		"":                                     "holder is missing",
		"holder = \"bump\"\ntip = \"sharp\"\n": "a knurling tool has no tip",
		"holder = \"pliers\"\n":                "holder is \"pliers\"",
	} {
		if _, err := ParseLathe("lathe.toml", text(tail)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", tail, err)
		}
	}
}

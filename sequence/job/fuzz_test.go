package job

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/tools/txtar"
)

// found are texts that once went wrong, each with what went wrong.
var found = map[string]string{
	"a heading of no table":          "[a.b\n[[section.x]]\n[section.x.y]\n",
	"a scalar in the way of a table": "section = 1\n[[section.undercut]]\nwidth = 1\n",
	"a key of nothing":               "\"\" = 1\n[\"\"]\n",
	"a list that never ends":         "wheels = [[[[[[[[[[[[[[[[[[[[[[[[[[[[",
	"a number like a date":           "bar = 1979-05-27T07:32:00Z\nstickout = 12:00:00\n",
	"a text over several lines":      "part = \"\"\"\na\nb\n",
	"a short bar with no length":     "stickout=\"1 mm\"\n[[section]]\n",
	"a short bar, broken heading":    "stickout=01mm\n[section",
	"a thread of odd quotes":         "[[section]]\nthread = \"\"\"\nM12x1.75-6q\"\"\"\nlength = \"1 mm\"\n",
}

func seeds(f *testing.F) {
	for _, s := range found {
		f.Add(s)
	}
	for _, dir := range []string{"../../testdata/jobs/*.toml", "../../testdata/lathes/*.toml"} {
		files, err := filepath.Glob(dir)
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range files {
			f.Add(read(f, file))
		}
	}
	files, err := filepath.Glob(gallery + "/*.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range files {
		ar, err := txtar.ParseFile(file)
		if err != nil {
			f.Fatal(err)
		}
		for _, a := range ar.Files {
			if a.Name != "want" {
				f.Add(string(a.Data))
			}
		}
	}
}

// sound holds the faults of any text to their form.
func sound(t *testing.T, err error) {
	var faults Faults
	if !errors.As(err, &faults) || len(faults) == 0 {
		t.Fatalf("an error without faults: %v", err)
	}
	if len(faults) > maxFaults+1 {
		t.Errorf("%d faults", len(faults))
	}
	last := Pos{}
	for _, f := range faults {
		lines := strings.Split(f.Source.Text, "\n")
		switch p := f.Pos; {
		case f.key == "" || f.Msg == "" || f.Hint == "":
			t.Errorf("fault without words: %+v", f)
		case p.Line < last.Line || p.Line == last.Line && p.Col < last.Col:
			t.Errorf("fault at %v after %v", p, last)
		case p == Pos{}:
		case p.Line < 1 || p.Line > len(lines) || p.Col < 1 || p.Width < 1 || p.Col > utf8.RuneCountInString(lines[p.Line-1])+1:
			t.Errorf("fault at %v, which is not in the text: %s", p, f.Msg)
		}
		if strings.Contains(f.Msg+f.Hint, "{0}") && !strings.Contains(f.Source.Text, "{0}") {
			t.Errorf("words not filled in: %q, %q", f.Msg, f.Hint)
		}
		last = f.Pos
	}
	if s := err.Error(); !utf8.ValidString(s) || strings.ContainsAny(s, "\x1b\x07\r") {
		t.Errorf("unfit to show: %q", s)
	}
}

func FuzzParseJob(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		j, err := ParseJob("f.toml", text)
		_, again := ParseJob("f.toml", text)
		switch {
		case err != nil:
			sound(t, err)
			if j != nil || again == nil || err.Error() != again.Error() {
				t.Errorf("a job beside its faults, or other faults the second time")
			}
			return
		case j.Bar <= 0 || j.StickOut <= 0 || j.Face < 0 || (j.Face == 0) != j.PickUp || len(j.Sections) == 0 || j.Part == "" || j.Material.Name == "":
			t.Errorf("accepted with nothing in it: %+v", j)
		case j.Total()+j.Face+JawMargin > j.StickOut:
			t.Errorf("%s long of %s sticking out", j.Total(), j.StickOut)
		}
		for i, s := range j.Sections {
			if s.Length.Nominal <= 0 || s.Diameter.Nominal <= 0 || s.Diameter.Mid() > j.Bar || s.Name == "" || s.Pos.Line == 0 {
				t.Errorf("section %d accepted as %+v", i+1, s)
			}
			if i > 0 && s.Diameter.Mid() < j.Sections[i-1].Diameter.Mid() {
				t.Errorf("section %d is thinner than the one in front", i+1)
			}
			if ends := s.Undercut != nil || s.RunOut != nil || s.Tapered(); ends != (s.Thread != nil) || s.Undercut != nil && s.RunOut != nil {
				t.Errorf("section %d: thread %v, undercut %v, run-out %v", i+1, s.Thread, s.Undercut, s.RunOut)
			}
		}
	})
}

func FuzzParseLathe(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		l, err := ParseLathe("f.toml", text)
		if err != nil {
			sound(t, err)
			if l != nil {
				t.Error("a lathe beside its faults")
			}
			return
		}
		for _, err := range []error{l.Cross.Check(), l.Top.Check(), l.Wheels.Check(), l.Banjo.Check(), l.Speeds.Check(), l.Coast.Check()} {
			if err != nil {
				t.Errorf("accepted, but %v", err)
			}
		}
		if l.Leadscrew.Sign() <= 0 || l.Power <= 0 || l.Reverse == "" || l.Chuck == "" || l.Delay <= 0 || len(l.Tools) == 0 || l.Name == "" {
			t.Errorf("accepted with something missing: %+v", l)
		}
		if slices.ContainsFunc(l.Tools, func(t Tool) bool { return t.Kind == "" || t.Steel == "" }) {
			t.Errorf("tools accepted as %+v", l.Tools)
		}
	})
}

package thread_test

import (
	"errors"
	"strings"
	"testing"

	"turncue/calc/thread"
)

func TestParse(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"M10x1", "M10x1-6g"}, {"M10 x 1 - 6g", "M10x1-6g"}, {"M10×1 LH", "M10x1-6g-LH"}, {"m10X1 lh", "M10x1-6g-LH"},
		{"M12x1.75 4h", "M12x1.75-4h"}, {"M12x1,75-4g6g", "M12x1.75-4g6g"}, {"M16", "M16x2-6g"}, {"M16 6H", "M16x2-6H"}, {"M8 nut", "M8x1.25-6H"},
		{"M20 Ph4 P2", "M20xPh4P2-6g"}, {"M20xPh4P2-6h-LH", "M20xPh4P2-6h-LH"}, {"M 10 x 1 mm", "M10x1-6g"}, {"M10xP1", "M10x1-6g"},
		{"M10x1-6g left-hand", "M10x1-6g-LH"}, {"M10x1 inside", "M10x1-6H"}, {"M10x1-6g6g", "M10x1-6g"}, {"M15x1", "M15x1-6g"}, {"M27x0.75", "M27x0.75-6g"},
		{"M42x1", "M42x1-6g"}, {"M10.0x1.00", "M10x1-6g"}, {"M10x1 rh outside", "M10x1-6g"},
	} {
		th, err := thread.Parse(c.text)
		if err != nil || th.String() != c.want {
			t.Errorf("%q is %s, %v; want %s", c.text, th, err, c.want)
			continue
		}
		if again, err := thread.Parse(th.String()); err != nil || again != th {
			t.Errorf("%s reads back as %+v, %v", th, again, err)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		column int
		words  []string
	}{
		{"", 1, []string{"expected a thread"}},
		{"10x1", 1, []string{"expected a thread such as M10x1"}},
		{"M", 2, []string{"expected a diameter"}},
		{"M42", 2, []string{"needs its pitch", "M42x4.5 (coarse)", "M42x1", "M42x0.75"}}, // case C125
		{"M15", 2, []string{"needs its pitch", "M15x1"}},
		{"M10x", 5, []string{"expected a pitch"}},
		{"M10x0", 5, []string{"above zero"}},
		{"M10x6", 5, []string{"too coarse", "coarse pitch is 1.5 mm"}},
		{"M400x6", 2, []string{"355 mm"}},
		{"M10x1-6x", 7, []string{`"6x" is neither a class nor a hand`}},
		{"M10x1-5g", 7, []string{"grade 5 for the major diameter", "4g6g"}},
		{"M10x1-6b", 7, []string{"position b", "e, f, g, h"}},
		{"M10x1-6H/6g", 10, []string{"a second class"}},
		{"M10x1 nut 6g", 11, []string{"other side"}},
		{"M20xPh3P2", 8, []string{"no whole number of pitches"}},
		{"M10x0.0000001", 5, []string{"finer than a nanometre"}},
		{"M10x1 " + strings.Repeat("x", 80), 1, []string{"longer than 60"}},
		{"M10\xff", 1, []string{"longer than"}},
	} {
		th, err := thread.Parse(c.text)
		var e *thread.Error
		if !errors.As(err, &e) {
			t.Errorf("%q is %s, %v", c.text, th, err)
			continue
		}
		if e.Column != c.column {
			t.Errorf("%q: fault at %d, want %d: %v", c.text, e.Column, c.column, err)
		}
		for _, w := range c.words {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%q: %v, want %q in it", c.text, err, w)
			}
		}
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: more than one line", c.text)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"M10x1-6g", "M20 Ph4 P2 LH", "M10×1", "M42", "M12x1,75 4g6g", "M8 nut"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		th, err := thread.Parse(s)
		if err != nil {
			return
		}
		again, err := thread.Parse(th.String())
		if err != nil || again != th {
			t.Fatalf("%q is %s, which reads back as %+v, %v", s, th, again, err)
		}
		l, err := th.Limits()
		if err != nil {
			t.Fatalf("%q is %s without limits: %v", s, th, err)
		}
		if l.Major.Min >= l.Major.Max || l.Pitch.Min >= l.Pitch.Max || l.Minor.Min >= l.Minor.Max || l.Minor.Min <= 0 {
			t.Fatalf("%s: limits %+v", th, l)
		}
	})
}

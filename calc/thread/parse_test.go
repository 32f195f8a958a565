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
		{"10x1", 1, []string{"could be M10x1"}},
		{"x10", 1, []string{"expected a thread such as M10x1"}},
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
		{"1X2.0000001 ME", 3, []string{"at most six places: write 2"}}, // was printed as 1-2 ME, which is too coarse
		{"M10x1 " + strings.Repeat("x", 130), 1, []string{"longer than 120"}},
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

// sound fails on a thread that does not hold together: its name must read back
// to it, its bands must be in order, and the design tip must cut it.
func sound(t *testing.T, s string, th thread.Thread) {
	t.Helper()
	again, err := thread.Parse(th.String())
	if err != nil || again != th {
		t.Fatalf("%q is %s, which reads back as %+v, %v", s, th, again, err)
	}
	l, err := th.Limits()
	if err != nil {
		t.Fatalf("%q is %s without limits: %v", s, th, err)
	}
	if l.Major.Min > l.Major.Max || l.Pitch.Min > l.Pitch.Max || l.Minor.Min > l.Minor.Max || l.Minor.Min <= 0 || len(l.Sources) == 0 ||
		l.Minor.Max >= l.Pitch.Max || l.Pitch.Max >= l.Major.Max || th.Lead.Cmp(th.Pitch) < 0 || th.Starts < 1 {
		t.Fatalf("%s: limits %+v", th, l)
	}
	tip, err := th.DesignTip()
	if err != nil {
		t.Fatalf("%s: %v", th, err)
	}
	d, err := th.Depth(tip, 0)
	if err != nil {
		t.Fatalf("%s with its design tip %s: %v", th, tip, err)
	}
	if !(0 < d.Start && d.Start <= d.Aim && d.Aim <= d.Limit) {
		t.Fatalf("%s: %+v", th, d)
	}
}

// designations are written the way people write them, one or more a family.
var designations = []string{
	"M10x1-6g", "M10 x 1 - 6g", "M10×1 LH", "M20 Ph4 P2 LH", "M12x1,75 4g6g", "M8 nut", "3/8-24 UNF-2A", "1/4-20", "1-1/8-12", "G 1/4 A", "1/8 NPT", "1/2 BSP",
	"2 BA", "Tr 12x3", "M12x1.75 4h", "7/16\"-14 UNC LH", "10-32", "#10-36", "1/2-13", "5/8-27", "1-3/16-12 UN", "2-4-1/2 UNC", "UNC 1/4-20", "BA 2",
	"BSW 1/4", "G 1 1/2 LH A", "R 1/2", "Rc 1/2", "Rp1/4", "1/2 BSPT", "1/2 BSP inside", "Tr40x14(P7)-LH-7e", "8V1", "1/2-10 acme", "1/4-26 BSC",
	"square 20 mm x 4 mm", "own 20 mm x 1.5 mm 55 deg", "own 1 in x 8 tpi 50 deg inside LH", "1/4x40 ME", "5/16-32 ME nut", "1/4-20 BSW medium nut",
	"3/4-10 UNC 2 starts", "1.0-64", "0-80", "1/2-28 2B", ".25 in-20 UNC", "M6x1-5H6H", "1-8", "12 BA inside", "1/2-10 ACME inside 3 starts",
}

func TestDesignationsHoldTogether(t *testing.T) {
	for _, s := range designations {
		th, err := thread.Parse(s)
		if err != nil {
			t.Error(err)
			continue
		}
		sound(t, s, th)
		// The mate holds together too, is of the other side, and mates back.
		mate := th.Mate()
		sound(t, s+" (mate)", mate)
		if mate.External == th.External || mate.Mate().Mate() != mate {
			t.Errorf("%s mates with %s", th, mate)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range append(designations, "M42", "1/4", "Tr 12", "1/4-26") {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		th, err := thread.Parse(s)
		if err != nil {
			return
		}
		sound(t, s, th)
	})
}

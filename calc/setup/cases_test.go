package setup

import (
	"encoding/csv"
	"math"
	"os"
	"strings"
	"testing"

	"turncue/calc"
)

// kase is a row of testdata/cases.csv: what people met at the lathe. The test
// names the answer it checks; a changed answer fails.
func kase(t *testing.T, id, want string) map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/cases.csv")
	must(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	must(t, err)
	for _, row := range rows {
		if row[0] != id {
			continue
		}
		if row[3] != want {
			t.Fatalf("%s now says %q, the test checks %q", id, row[3], want)
		}
		in := map[string]string{}
		for _, p := range strings.Split(row[2], ";") {
			k, v, _ := strings.Cut(p, "=")
			in[k] = v
		}
		return in
	}
	t.Fatalf("no case %s", id)
	return nil
}

func length(t *testing.T, s string) calc.Length {
	t.Helper()
	l, err := calc.ParseLength(s)
	must(t, err)
	return l
}

func close(t *testing.T, what string, got, want, tol calc.Length) {
	t.Helper()
	if (got - want).Abs() > tol {
		t.Errorf("%s is %s, want %s within %s", what, got, want, tol)
	}
}

const in = calc.Inch

// inchDial is the dial of C061 to C066: 0.100 in a turn, 0.001 in a division.
func inchDial(onDiameter bool) Dial {
	d := Dial{Travel: in / 10, Divisions: 100}
	if onDiameter {
		d = Dial{Travel: in / 20, Marked: in / 10, Divisions: 100, OnDiameter: true}
	}
	return d
}

func TestCaseDials(t *testing.T) {
	t.Run("C061", func(t *testing.T) {
		k := kase(t, "C061", "infeed=0.0185;turns=0;divisions=18.5")
		infeed := (length(t, k["from_dia"]+" in") - length(t, k["to_dia"]+" in")) / 2
		close(t, "infeed", infeed, 185*in/10000, 0)
		d := inchDial(false)
		must(t, d.Check())
		s := d.Setting(infeed)
		if s.Turns != 0 || s.Exact.Float() != 18.5 {
			t.Errorf("%+v", s)
		}
		// The line taken is half a division away and the rest says so.
		if s.Divisions != calc.Whole(19) || s.Rest != -calc.Thou/2 {
			t.Errorf("line %s, rest %s", s.Divisions, s.Rest)
		}
	})
	t.Run("C062", func(t *testing.T) {
		k := kase(t, "C062", "dial move=0.037;turns=0;divisions=37")
		infeed := (length(t, k["from_dia"]+" in") - length(t, k["to_dia"]+" in")) / 2
		d := inchDial(true)
		must(t, d.Check())
		s := d.Setting(infeed)
		if s.Turns != 0 || s.Divisions != calc.Whole(37) || s.Reading != 37*calc.Thou || s.Rest != 0 {
			t.Errorf("%+v", s)
		}
	})
	t.Run("C064", func(t *testing.T) {
		k := kase(t, "C064", "crossings of zero=1;end_reading=0.025")
		a := inchDial(false).Advance(length(t, k["start_reading"]+" in"), length(t, k["infeed"]+" in"))
		if a.Crossings != 1 || a.Reading != 25*calc.Thou {
			t.Errorf("%+v", a)
		}
	})
	t.Run("C066", func(t *testing.T) {
		k := kase(t, "C066", "full_turns=4;end_reading=0.030;cue last turn at 0.400")
		a := inchDial(false).Advance(0, length(t, k["travel"]))
		if a.Turns != 4 || a.Reading != 30*calc.Thou || a.LastTurn != 400*calc.Thou {
			t.Errorf("%+v", a)
		}
	})
	t.Run("C068", func(t *testing.T) {
		k := kase(t, "C068", "infeed=0.00025=0.25 division:too fine;suggest top slide 5:1 at 11.54deg")
		infeed := (length(t, k["now"]+" in") - length(t, k["target"]+" in")) / 2
		close(t, "infeed", infeed, in/4000, 0)
		s, share, err := Finer(infeed, inchDial(false).Division())
		must(t, err)
		if share.String() != "1/5" || math.Abs(s.FromAxis.Degrees()-11.54) > 0.1 {
			t.Errorf("%s at %s", share, s.FromAxis)
		}
	})
	t.Run("C070", func(t *testing.T) {
		kase(t, "C070", "infeed=0.00095 in")
		close(t, "infeed", TopSlide{11 * calc.Degree}.In(5*calc.Thou), 95*in/100000, in/100000)
	})
	for id, c := range map[string]struct {
		want, unit string
		twoPart    bool
		beyond     string
	}{
		"C071": {"two-part move: out past <=1.35 then in to 1.50", " mm", true, "1.35 mm"},
		"C072": {"two-part move: out past <=0.061 then in to 0.080", " in", true, "0.061 in"},
		"C074": {"single move inwards, no extra step", " mm", false, "0 mm"},
	} {
		t.Run(id, func(t *testing.T) {
			k := kase(t, id, c.want)
			d := Dial{Travel: calc.Millimetre, Divisions: 50, Slack: length(t, k["backlash"])}
			a := d.Approach(length(t, k["from"]+c.unit), length(t, k["to"]+c.unit))
			if a.BackOff != c.twoPart || (c.twoPart && a.Beyond != length(t, c.beyond)) {
				t.Errorf("%+v", a)
			}
		})
	}
}

func TestCaseRunOut(t *testing.T) {
	t.Run("C104", func(t *testing.T) {
		k := kase(t, "C104", "pack 0.0030 in at the jaw nearest the high spot")
		v, err := Packing(length(t, k["tir"]), length(t, k["dia"]))
		must(t, err)
		close(t, "packing", v, 3*calc.Thou, calc.Thou/10)
		// The high spot at the first jaw: the packing goes under that jaw alone.
		if s := Shims(length(t, k["tir"]), 0); s[0] == 0 || s[1] != 0 || s[2] != 0 {
			t.Errorf("shims %v", s)
		}
	})
	t.Run("C106", func(t *testing.T) {
		k := kase(t, "C106", "largest clean diameter=0.993 in")
		close(t, "clean", Clean(length(t, k["stock"]), length(t, k["tir"])), 993*calc.Thou, calc.Thou/2)
	})
	t.Run("C107", func(t *testing.T) {
		k := kase(t, "C107", "verdict=tilt;no packing advice")
		if v := Judge(length(t, k["tir_at_jaw"]+" in"), length(t, k["tir_at_2in"]+" in"), calc.Thou/2); v != RunsTilted {
			t.Errorf("verdict %s", v)
		}
	})
	t.Run("C109", func(t *testing.T) {
		k := kase(t, "C109", "move 0.0075 in")
		close(t, "move", FourJaw(length(t, k["pair reading difference"])), 75*in/10000, in/2000)
	})
}

package cutting

import (
	"encoding/csv"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"turncue/calc"
)

// kase is a row of testdata/cases.csv: what people met at the lathe.
func kase(t *testing.T, id string) (in map[string]string, want string) {
	t.Helper()
	f, err := os.Open("../../testdata/cases.csv")
	must(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	must(t, err)
	for _, row := range rows {
		if row[0] == id {
			in = map[string]string{}
			for _, p := range strings.Split(row[2], ";") {
				k, v, _ := strings.Cut(p, "=")
				in[k] = v
			}
			return in, row[3]
		}
	}
	t.Fatalf("no case %s", id)
	return nil, ""
}

func TestCaseStopping(t *testing.T) {
	lead := func(in map[string]string) calc.Lead {
		s := in["pitch"]
		if s == "" {
			s = in["tpi"] + " tpi"
		}
		l, err := calc.ParseLead(s)
		must(t, err)
		return l
	}
	rpm := func(in map[string]string) calc.Speed {
		n, err := calc.ParseSpeed(in["rpm"] + " rpm")
		must(t, err)
		return n
	}
	delay := func(in map[string]string, keys ...string) (d time.Duration) {
		for _, k := range keys {
			v, err := time.ParseDuration(in[k])
			must(t, err)
			d += v
		}
		return d
	}
	t.Run("C075", func(t *testing.T) {
		in, want := kase(t, "C075")
		expect(t, want, "travel=1.46 mm;turns=0.83")
		s := Stop{Lead: lead(in), Delay: delay(in, "reaction")}
		close(t, s.Travel(rpm(in)).Millimetres(), 1.46, 0.02)
		close(t, s.Turns(rpm(in)), 0.83, 0.005)
	})
	t.Run("C076", func(t *testing.T) {
		in, want := kase(t, "C076")
		expect(t, want, "max_rpm=171")
		groove, err := calc.ParseLength(in["groove"])
		must(t, err)
		n, ok := Stop{Lead: lead(in), Delay: delay(in, "reaction")}.MaxSpeed(Room(groove, 0, 0))
		if !ok {
			t.Fatal("no speed")
		}
		close(t, n.PerMinute(), 171, 1)
	})
	t.Run("C078", func(t *testing.T) {
		in, want := kase(t, "C078")
		expect(t, want, "travel=0.125 in")
		close(t, Stop{Lead: lead(in), Delay: delay(in, "reaction")}.Travel(rpm(in)).Inches(), 0.125, 0.001)
	})
	t.Run("C080", func(t *testing.T) {
		in, want := kase(t, "C080")
		expect(t, want, "power-off mark 2.59 mm before the recess")
		close(t, Stop{Lead: lead(in), Delay: delay(in, "reaction", "audio_delay")}.Travel(rpm(in)).Millimetres(), 2.59, 0.02)
	})
	t.Run("C082", func(t *testing.T) {
		in, want := kase(t, "C082")
		expect(t, want, "pass=16.0 s (16 turns)")
		l, err := calc.ParseLength(in["length"])
		must(t, err)
		d, err := ThreadTime(l, lead(in), rpm(in))
		must(t, err)
		close(t, d.Seconds(), 16, 0.1)
		turns, err := lead(in).Turns(l)
		must(t, err)
		if turns != calc.Whole(16) {
			t.Errorf("%s turns", turns)
		}
	})
	t.Run("C084", func(t *testing.T) {
		in, want := kase(t, "C084")
		expect(t, want, "cut=30.0 s")
		l, err := calc.ParseLength(in["length"])
		must(t, err)
		f, err := calc.ParseLength(strings.TrimSuffix(in["feed"], "/rev"))
		must(t, err)
		d, err := CutTime(l, f, rpm(in))
		must(t, err)
		close(t, d.Seconds(), 30, 0.1)
	})
	t.Run("C085", func(t *testing.T) {
		in, want := kase(t, "C085")
		expect(t, want, "13.33 turns;counts turns;no rpm")
		l, err := calc.ParseLength(in["length"])
		must(t, err)
		turns, err := lead(in).Turns(l)
		must(t, err)
		close(t, turns.Float(), 13.33, 0.01)
		if _, err := ThreadTime(l, lead(in), 0); err == nil {
			t.Error("a hand-turned pass has a time")
		}
	})
	t.Run("C129", func(t *testing.T) {
		in, want := kase(t, "C129")
		expect(t, want, "refuse;overhang 50 diameters")
		d, err := calc.ParseLength(in["bar"])
		must(t, err)
		l, err := calc.ParseLength(in["rear_overhang"])
		must(t, err)
		if err := Overhang(d, l, false); err == nil || !strings.Contains(err.Error(), "50 diameters") {
			t.Errorf("verdict %v", err)
		}
		if err := Overhang(d, d, false); err != nil {
			t.Error(err)
		}
		if err := Overhang(d, l, true); err != nil {
			t.Error(err)
		}
		if Overhang(0, l, true) == nil {
			t.Error("no bar: accepted")
		}
	})
	t.Run("C128", func(t *testing.T) {
		in, want := kase(t, "C128")
		expect(t, want, "warn L/D=32")
		d, err := calc.ParseLength(in["dia"])
		must(t, err)
		l, err := calc.ParseLength(in["stickout"])
		must(t, err)
		if l != 32*d {
			t.Errorf("%s is not 32 diameters of %s", l, d)
		}
		h, err := StickOut(l, d, ChuckAndCentre)
		must(t, err)
		if h != NeedsSteady {
			t.Errorf("verdict %s", h)
		}
	})
}

func expect(t *testing.T, got, want string) {
	t.Helper()
	if got != want {
		t.Fatalf("the case now says %q, the test checks %q", got, want)
	}
}

func close(t *testing.T, got, want, tol float64) {
	t.Helper()
	if math.Abs(got-want) > tol {
		t.Errorf("got %g, want %g within %g", got, want, tol)
	}
}

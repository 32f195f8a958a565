package thread_test

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// The rule the figures of DIN 76-1 follow, rounded to what is printed: a run-out of two
// and a half pitches, half of it short; a shoulder three pitches behind the last full
// thread, two short. x1 has the rows of undercut.csv.
func TestRunOutsFollowTheRule(t *testing.T) {
	seen := 0
	for _, r := range rows(t, "undercut.csv") {
		if r["quantity"] != "runout_x1" {
			continue
		}
		seen++
		p := number(t, r["P_mm"])
		pitch := calc.PerTurn(calc.Millimetres(p))
		regular, err := thread.RunOutFor(pitch, thread.Regular)
		if err != nil {
			t.Fatal(err)
		}
		short, err := thread.RunOutFor(pitch, thread.Short)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := regular.Fade.Millimetres(), number(t, r["value"]); got != want {
			t.Errorf("P %g: x1 is %g, the table has %g", p, got, want)
		}
		for _, c := range []struct {
			what      string
			got, rule float64
		}{
			{"x2", short.Fade.Millimetres(), 1.25 * p}, {"a1", regular.Shoulder.Millimetres(), 3 * p}, {"a2", short.Shoulder.Millimetres(), 2 * p},
		} {
			if most := max(0.08, 0.08*c.rule); c.got < c.rule-most || c.got > c.rule+most {
				t.Errorf("P %g: %s is %g, the rule gives %g", p, c.what, c.got, c.rule)
			}
		}
		if regular.Fade >= regular.Shoulder || short.Fade >= short.Shoulder || short.Shoulder >= regular.Shoulder {
			t.Errorf("P %g: %+v, %+v: a thread fades out before the shoulder", p, regular, short)
		}
	}
	if seen != 20 {
		t.Errorf("%d pitches, the table has 20", seen)
	}
}

// ISO 4017 (from memory): the greatest distance from the last full thread to the head of
// a bolt threaded up to it.
func TestRunOutsOfBolts(t *testing.T) {
	for name, want := range map[string]string{
		"M3": "1.5 mm", "M4": "2.1 mm", "M5": "2.4 mm", "M6": "3 mm", "M8": "4 mm", "M10": "4.5 mm", "M12": "5.3 mm", "M16": "6 mm", "M20": "7.5 mm", "M24": "9 mm",
	} {
		o, err := thread.RunOutFor(parse(t, name).Pitch, thread.Regular)
		if err != nil || o.Shoulder != length(t, want) {
			t.Errorf("%s: %s, %v, ISO 4017 has %s", name, o.Shoulder, err, want)
		}
	}
	if _, err := thread.RunOutFor(parse(t, "7/16-14 UNC-2A").Pitch, thread.Regular); err == nil || !strings.Contains(err.Error(), "about three pitches") {
		t.Errorf("14 tpi: %v, want a refusal that says what to write", err)
	}
}

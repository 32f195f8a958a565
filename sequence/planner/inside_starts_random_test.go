package planner_test

import (
	"fmt"
	"strings"
	"testing"

	"turncue/sequence"
)

// drawNut draws a nut of one or more starts, of 60 or 30 degrees, and a lathe that has
// what most of them need, the way of threading asked for now and then.
func drawNut(seed uint64) drawn {
	d := throw(seed ^ 1<<55)
	return drawn{lathe: d.nutLathe(), job: d.nutJob()}
}

func (d dice) nutLathe() string {
	var b strings.Builder
	b.WriteString(d.boringLathe())
	for _, mm := range []float64{9, 10, 11, 13, 15, 17, 19, 22} {
		fmt.Fprintf(&b, "\n[[tool]]\nkind = \"drill\"\nsize = \"%g mm\"\n", mm)
	}
	for _, mm := range []float64{6, 8, 10, 12, 16} {
		if !d.in(6) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"boring bar\"\nsize = \"%g mm\"\n", mm)
		}
		if !d.in(6) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"inside threading\"\nsize = \"%g mm\"\ntip = %q\n%s", mm, one(d, "radius 0.05 mm", "sharp", "radius 0.1 mm"), one(d, "", "", "width = \"1.5 mm\"\n"))
		}
		if !d.in(6) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"inside threading\"\nangle = \"30 deg\"\nsize = \"%g mm\"\ntip = \"flat %g mm\"\nwidth = \"%g mm\"\n", mm, one(d, 0.6, 0.95, 1.3), one(d, 2.0, 3))
		}
		fmt.Fprintf(&b, "\n[[tool]]\nkind = \"inside grooving\"\nsize = \"%g mm\"\nwidth = \"%g mm\"\n", mm, one(d, 1.5, 2, 2.5, 3))
	}
	text := b.String()
	if !strings.Contains(text, "[thread_dial]") && d.in(2) {
		text += fmt.Sprintf("\n[thread_dial]\nwheel = %d\nlines = %d\n", one(d, 15, 16, 20), one(d, 5, 8, 10))
	}
	return text
}

func (d dice) nutJob() string {
	starts := one(d, 1, 2, 2, 2, 3, 4)
	t, major, pitch := "", 0.0, 0.0
	if d.in(2) {
		p := one(d, 2.0, 3, 4)
		major, pitch = map[float64][]float64{2: {12, 14, 18, 20}, 3: {14, 22, 24}, 4: {16, 18, 20}}[p][d.IntN(3)], p
		t = fmt.Sprintf("Tr %gx%g", major, p)
		if starts > 1 {
			t = fmt.Sprintf("Tr %gx%g(P%g)", major, p*float64(starts), p)
		}
	} else {
		major, pitch = d.between(14, 36, 1), one(d, 1, 1.5, 2)
		t = fmt.Sprintf("M%gx%g", major, pitch)
		if starts > 1 {
			t = fmt.Sprintf("M%gxPh%gP%g", major, pitch*float64(starts), pitch)
		}
	}
	long, outside := d.between(8, 18, 0.5), major+d.between(5, 12, 0.5)
	part := !d.in(4)
	if !part {
		long += d.between(6, 12, 0.5)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "bronze", "bronze", "free-machining steel", "aluminium"), outside+d.between(1, 3, 0.5), long+d.between(22, 30, 1), part)
	switch {
	case starts == 1 && d.in(2):
		b.WriteString("threading = \"dial\"\n")
	case d.in(5):
		fmt.Fprintf(&b, "threading = %q\n", one(d, "reverse", "crank", "crank", "dial", "away"))
	}
	fmt.Fprintf(&b, "\n[[section]]\ndiameter = \"%g mm\"\nlength = \"%g mm\"\n\n[[bore]]\nthread = %q\n", outside, long, t)
	if part {
		b.WriteString("through = true\n")
	} else {
		fmt.Fprintf(&b, "depth = \"%.1f mm\"\nrecess = { width = \"%g ±0.2 mm\", diameter = \"%g ±0.2 mm\" }\n", max(long*0.4, long-major*0.3-2), d.between(4, 7, 0.5), major+d.between(0.7, 1.1, 0.1))
	}
	if starts == 1 || d.in(20) {
		fmt.Fprintf(&b, "by = %q\n", one(d, "bore", "bore", "bore", "tap"))
	}
	return b.String()
}

// Random nuts: each is refused with its place and a remedy, or every plan of it, from the
// first to the last answer, passes the bench, its starts one pitch apart.
func TestRandomNuts(t *testing.T) {
	n, c := eachDrawn(t, 300, 5_000, drawNut, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, p, answers, err := tryNut(seed)
		if err != nil || refused != "" {
			return refused, nil, answers, err
		}
		has = []string{wayIn(p)}
		if p.Index("bore1/thread/start2/index") >= 0 {
			has = append(has, "several starts")
		}
		return "", has, answers, nil
	})
	if !c.ample {
		return
	}
	if c.planned*6 < int(n) || c.having["several starts"]*10 < int(n) {
		t.Errorf("of %d nuts only %d were planned, %d of several starts", n, c.planned, c.having["several starts"])
	}
	for _, way := range []string{"crank", "reverse", "dial"} {
		if c.having[way] == 0 {
			t.Errorf("none is cut with %s", way)
		}
	}
}

// wayIn is how the thread of a plan is cut, by what its passes do.
func wayIn(p *sequence.Plan) string {
	if p.Index("bore1/thread/crank") >= 0 {
		return "crank"
	}
	if i := p.Index("bore1/thread/scratch/cut"); i >= 0 {
		if _, ok := p.Steps[i].Moves[0].(sequence.HalfNut); ok {
			return "dial"
		}
		return "reverse"
	}
	return "tap"
}

func tryNut(seed uint64) (refused string, p *sequence.Plan, answers int, err error) {
	return answered(drawNut(seed), seed, 1<<41)
}

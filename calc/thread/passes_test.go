package thread_test

import (
	"math/rand"
	"regexp"
	"strconv"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

func passes(t testing.TB, p thread.PassPlan) []calc.Length {
	t.Helper()
	d, err := thread.Passes(p)
	if err != nil {
		t.Fatalf("%+v: %v", p, err)
	}
	return d
}

// Constant-area schedules by the formula two makers print, to 0.001 mm.
func TestConstantAreaTable(t *testing.T) {
	c := comparison{t: t, name: "infeed.csv constant area", limit: 0.0005}
	n := 0
	item := regexp.MustCompile(`depth ([0-9.]+) passes ([0-9]+)$`)
	for _, r := range rows(t, "infeed.csv") {
		if r["kind"] != "constant_area_cumulative" {
			continue
		}
		n++
		m := item.FindStringSubmatch(r["item"])
		total, count := calc.Millimetres(number(t, m[1])), int(number(t, m[2]))
		// The first pass of so many passes, so that the plan needs exactly those.
		first := thread.ConstantArea.Reached(1, count)
		d := passes(t, thread.PassPlan{Total: total, First: calc.Length(first*float64(total)) + 1})
		if len(d) != count {
			t.Fatalf("%s: %d passes", r["item"], len(d))
		}
		i, err := strconv.Atoi(r["n"])
		if err != nil {
			t.Fatal(err)
		}
		c.row(r["item"]+" pass "+r["n"], "formula", d[i-1].Millimetres(), number(t, r["value"]))
	}
	c.done(n)
}

// M10x1 is 0.6 mm deep in passes of about 0.1 mm on a small lathe with a dial of
// 0.02 mm: common practice.
func TestPassesOnASmallLathe(t *testing.T) {
	um := calc.Micrometre
	d := passes(t, thread.PassPlan{Total: 596 * um, First: 140 * um, Smallest: 40 * um, Graduation: 20 * um, Spring: 1})
	if len(d) < 6 || len(d) > 9 {
		t.Errorf("%d passes: %v", len(d), d)
	}
	if d[len(d)-1] != 600*um || d[len(d)-2] != 600*um {
		t.Errorf("ends %v, want 0.6 mm and one spring pass", d)
	}
}

// Whatever the plan, the depths rise strictly, end at the rounded total, lie on
// graduations, keep to First, and to Smallest where the average allows it.
func TestPassesProperties(t *testing.T) {
	seed := int64(20260301)
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewSource(seed))
	for range 5000 {
		grad := []calc.Length{1 * calc.Nanometre, 5 * calc.Micrometre, 10 * calc.Micrometre, 20 * calc.Micrometre, 25 * calc.Micrometre, calc.Thou / 2, calc.Thou, 12700}[rng.Intn(8)]
		p := thread.PassPlan{
			Total:      calc.Length(1+rng.Intn(3000)) * calc.Micrometre,
			First:      calc.Length(1+rng.Intn(400)) * calc.Micrometre,
			Smallest:   calc.Length(rng.Intn(120)) * calc.Micrometre,
			Graduation: grad, Law: thread.Law(rng.Intn(4)), Spring: rng.Intn(3),
		}
		if rng.Intn(4) == 0 {
			p.Finish, p.FinishCut = 1+rng.Intn(3), calc.Length(rng.Intn(60))*calc.Micrometre
		}
		d, err := thread.Passes(p)
		if err != nil {
			if p.Finish == 0 && p.Total.Steps(grad) > 0 && p.First >= grad && p.Total < 900*p.First.Floor(grad) {
				t.Fatalf("%+v: %v", p, err)
			}
			continue
		}
		cuts := d[:len(d)-p.Spring]
		before, least := calc.Length(0), p.Total+grad
		for i, x := range cuts {
			add := x - before
			if add <= 0 || x%grad != 0 || add > p.First {
				t.Fatalf("%+v: pass %d goes from %s to %s: %v", p, i+1, before, x, d)
			}
			least, before = min(least, add), x
		}
		if before != p.Total.Round(grad) {
			t.Fatalf("%+v ends at %s", p, before)
		}
		for _, x := range d[len(cuts):] {
			if x != before {
				t.Fatalf("%+v: spring pass at %s", p, x)
			}
		}
		if average := before / calc.Length(len(cuts)); p.Finish == 0 && average >= p.Smallest.Ceil(grad) && p.Smallest.Ceil(grad) <= p.First.Floor(grad) && least < p.Smallest {
			t.Fatalf("%+v: a pass of %s is under the smallest, and the average is %s: %v", p, least, average, d)
		}
	}
}

// Finishing passes take what they are told, after the law's own.
func TestFinishingPasses(t *testing.T) {
	um := calc.Micrometre
	d := passes(t, thread.PassPlan{Total: 600 * um, First: 150 * um, Smallest: 50 * um, Graduation: 10 * um, Finish: 2, FinishCut: 20 * um, Spring: 1})
	n := len(d)
	if n < 6 || d[n-1] != 600*um || d[n-2] != 600*um || d[n-3] != 580*um || d[n-4] != 560*um || d[n-4]-d[n-5] < 50*um {
		t.Errorf("%v", d)
	}
	for _, p := range []thread.PassPlan{
		{Total: 100 * um, First: 100 * um, Graduation: 10 * um, Finish: 5, FinishCut: 20 * um},
		{Total: 600 * um, First: 100 * um, Graduation: 10 * um, Finish: 1, FinishCut: 200 * um},
		{Total: 600 * um, First: 100 * um, Graduation: 10 * um, Finish: -1},
		{Total: 600 * um, First: 100 * um, Graduation: 10 * um, Finish: 1, Spring: -1},
	} {
		if d, err := thread.Passes(p); err == nil {
			t.Errorf("%+v gives %v", p, d)
		}
	}
}

func TestPassesRefuse(t *testing.T) {
	um := calc.Micrometre
	for _, p := range []thread.PassPlan{
		{},
		{Total: 4 * um, First: 100 * um, Graduation: 10 * um},
		{Total: -600 * um, First: 100 * um},
		{Total: 600 * um},
		{Total: 600 * um, First: 5 * um, Graduation: 10 * um},
		{Total: 20000 * um, First: 10 * um, Graduation: 10 * um},
		{Total: 600 * um, First: 100 * um, Spring: -1},
		{Total: 600 * um, First: 100 * um, Law: 9},
	} {
		if d, err := thread.Passes(p); err == nil {
			t.Errorf("%+v gives %v", p, d)
		}
	}
}

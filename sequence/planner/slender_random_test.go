package planner_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/planner"
)

// drawSlender draws a thin thread that stands far out.
func drawSlender(seed uint64) drawn {
	d := throw(seed ^ 1<<57)
	lathe := d.threadingLathe()
	t := threads[d.IntN(7)]
	length := t.d * d.between(3, 5, 0.1)
	bar := t.d + d.between(2, 6, 0.5)
	return drawn{lathe: lathe, job: fmt.Sprintf(`part = "drawn stud"
material = %q
bar = "%g mm"
stickout = "%.1f mm"

[[section]]
thread = "M%gx%g-6g%s"
length = "%.1f mm%s"
undercut = %q

[[section]]
as_bar = true
length = "4 mm"
`, one(d, "mild steel", "brass", "medium-carbon steel", "304 stainless", "titanium 6Al-4V"), bar, length+d.between(14, 20, 1),
		t.d, t.p, one(d, "", "", "-LH"), length, one(d, "", " ±0.2 mm", " ±0.5 mm"), one(d, "regular", "short"))}
}

// Random slender threads: each is refused with its place and a remedy, or every plan of it
// passes the bench, however often the gauge is tight.
func TestRandomSlender(t *testing.T) {
	c := newTally()
	n := eachSeed(t, 60, 5_000, func(seed uint64) error {
		why, answers, err := trySlender(seed)
		c.add(why, nil, answers)
		if err != nil {
			w := drawSlender(seed)
			return fmt.Errorf("%w\nthe job:\n%s\nthe lathe:\n%s", err, w.job, w.lathe)
		}
		return nil
	})
	t.Logf("%d planned, %d answers given", c.planned, c.answers)
	for why, k := range c.reasons {
		t.Logf("%5d %s", k, why)
	}
	if *many == 0 && c.planned*5 < int(n) {
		t.Errorf("only %d of %d slender threads were planned", c.planned, n)
	}
}

// trySlender plans one of them and answers all it asks.
func trySlender(seed uint64) (refused string, answers int, err error) {
	w := drawSlender(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), 0, placed(err)
	}
	d := throw(seed ^ 1<<44)
	for {
		if err := sound(p, j, l); err != nil {
			return "", answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", answers, nil
		}
		scrap := d.answer(&p.Steps[i], r)
		if p.Steps[i].Needs == sequence.NeedFit && !d.in(4) {
			r.Fits[p.Steps[i].ID] = sequence.Tight
		}
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			if !strings.Contains(err.Error(), " still ") {
				return "", answers, fmt.Errorf("planned, then refused after %v %v: %w", r.Lengths, r.Fits, err)
			}
			return "", answers, placed(err)
		}
		if scrap {
			return "", answers, nil
		}
		p = q
	}
}

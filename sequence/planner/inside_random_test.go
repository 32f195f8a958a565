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

// drawInside draws a job with a thread in a bore and a lathe that has what most of them
// need.
func drawInside(seed uint64) drawn {
	d := throw(seed ^ 1<<54)
	return drawn{lathe: d.insideLathe(), job: d.insideJob()}
}

// insideLathe is a lathe for bores with taps and inside tools.
func (d dice) insideLathe() string {
	var b strings.Builder
	b.WriteString(d.boringLathe())
	for _, t := range []string{"M4", "M5", "M6", "M8", "M10", "M12x1.5", "G 1/8"} {
		if !d.in(6) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"tap\"\nthread = %q\n%s", t, one(d, "", "", "lead_in = \"2 mm\"\n", "lead_in = \"8 mm\"\n"))
		}
	}
	for _, mm := range []float64{6, 8, 10, 12, 16} {
		if !d.in(4) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"inside threading\"\nsize = \"%g mm\"\ntip = %q\n%s", mm, one(d, "radius 0.05 mm", "sharp", "flat 0.1 mm", "radius 0.2 mm"), one(d, "", "", "width = \"1.5 mm\"\n", "reach = \"25 mm\"\n"))
		}
		if !d.in(4) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"inside grooving\"\nsize = \"%g mm\"\nwidth = \"%g mm\"\n", mm, one(d, 1.5, 2, 2.5, 3))
		}
	}
	return b.String()
}

// insideJob is a part with a thread in its bore, behind a counterbore, in front of a
// narrower bore or alone.
func (d dice) insideJob() string {
	var b strings.Builder
	tapped := d.in(2)
	major, t := 0.0, ""
	if tapped {
		i := int(d.between(0, 6, 1))
		t, major = []string{"M4", "M5", "M6", "M8", "M10", "M12x1.5", "G 1/8"}[i], []float64{4, 5, 6, 8, 10, 12, 9.7}[i]
	} else {
		major = d.between(14, 40, 1)
		t = fmt.Sprintf("M%gx%g", major, one(d, 1, 1, 1.5, 1.5, 2))
	}
	long := d.between(10, 34, 0.5)
	outside := max(12, major+d.between(4, 12, 0.5))
	part := !d.in(5)
	fmt.Fprintf(&b, "part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "bronze", "free-machining steel", "aluminium"), outside+d.between(1, 3, 0.5), long+d.between(12, 20, 1), part)
	fmt.Fprintf(&b, "\n[[section]]\ndiameter = \"%g mm %s\"\nlength = \"%g mm\"\n", outside, one(d, "h9", "h11", ""), long)
	depth := 0.0
	if d.in(4) {
		depth = d.between(2, 5, 0.5)
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm H11\"\ndepth = \"%g mm\"\n", major+d.between(0.5, 2, 0.5), depth)
	}
	fmt.Fprintf(&b, "\n[[bore]]\nthread = %q\n", t)
	through := part && d.in(2)
	if through {
		b.WriteString("through = true\n")
	} else {
		depth += d.between(4, max(5, long*0.8-depth), 0.5)
		fmt.Fprintf(&b, "depth = \"%g mm\"\n", depth)
		switch {
		case !tapped && d.in(3):
			fmt.Fprintf(&b, "runout = %q\n", one(d, "DIN 76", "DIN 76", fmt.Sprintf("%.1f mm", d.between(1, 9, 0.1))))
		case !tapped:
			fmt.Fprintf(&b, "recess = %s\n", one(d, `"regular"`, `"short"`, fmt.Sprintf(`{ width = "4 ±0.2 mm", diameter = "%g ±0.2 mm" }`, major+0.8)))
		}
	}
	if d.in(6) {
		fmt.Fprintf(&b, "by = %q\n", one(d, "tap", "bore"))
	}
	if !through && !tapped && d.in(2) {
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm ±0.15 mm\"\n%s", major-d.between(4, 9, 0.5), one(d, "through = true\n", fmt.Sprintf("depth = \"%g mm\"\n", depth+3)))
	}
	return b.String()
}

// Random parts with a thread in a bore: each is refused with its place and a remedy, or
// every plan of it, from the first to the last answer, passes the bench, and says each
// movement inside by where it goes.
func TestRandomInsideThreads(t *testing.T) {
	n, c := eachDrawn(t, 400, 5_000, drawInside, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, p, answers, err := tryInside(seed)
		if err != nil || refused != "" {
			return refused, nil, answers, err
		}
		if slices.ContainsFunc(p.Steps, func(s sequence.Step) bool { return s.Op == sequence.OpTap }) {
			return "", []string{"tapped"}, answers, nil
		}
		if w := drawInside(seed); strings.Contains(w.job, "runout") {
			return "", []string{"cut", "faded"}, answers, nil
		}
		return "", []string{"cut"}, answers, nil
	})
	if c.ample && (c.having["tapped"]*20 < int(n) || c.having["cut"]*20 < int(n) || c.having["faded"] < 3) {
		t.Errorf("of %d jobs only %d were tapped and %d cut", n, c.having["tapped"], c.having["cut"])
	}
}

func tryInside(seed uint64) (refused string, p *sequence.Plan, answers int, err error) {
	return answered(drawInside(seed), seed, 1<<43)
}

// answered plans a random job, answers all that it asks and looks at every plan on the
// way: by the bench, by the second checker, and at how movements in a bore are said. An
// answer that scraps the part ends it; salt sets the answers apart from the job.
func answered(w drawn, seed, salt uint64) (refused string, p *sequence.Plan, answers int, err error) {
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), nil, 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	if p, err = planner.Plan(j, l, r); err != nil {
		return "plan: " + reason(err), nil, 0, placed(err)
	}
	d := throw(seed ^ salt)
	for {
		if err := sound(p, j, l); err != nil {
			return "", p, answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", p, answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		if err := saidInside(p); err != nil {
			return "", p, answers, err
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", p, answers, nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			if strings.Contains(reason(err), " still ") {
				return "", p, answers, placed(err)
			}
			return "", p, answers, placed(fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err))
		}
		if scrap {
			return "", p, answers, nil
		}
		p = q
	}
}

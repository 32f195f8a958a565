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

// drawFading draws a job whose outside thread fades out in front of a shoulder.
func drawFading(seed uint64) drawn {
	d := throw(seed ^ 1<<53)
	lathe := watts.ReplaceAllString(d.lathe(), one(d, `motor = "750 W"`, `motor = "1.5 kW"`, `motor = "1.1 kW"`))
	if d.in(3) {
		lathe += "\n[[tool]]\nkind = \"threading\"\nangle = \"30 deg\"\ntip = \"flat 0.3 mm\"\n"
	}
	if d.in(2) {
		lathe += fmt.Sprintf("\n[thread_dial]\nwheel = %d\nlines = %d\n", one(d, 16, 20, 28, 30, 35), one(d, 4, 8, 10))
	}
	return drawn{lathe: lathe, job: d.fadingJob()}
}

func (d dice) fadingJob() string {
	var b strings.Builder
	total, diameter := 0.0, 0.0
	front := d.in(4)
	if front {
		diameter = d.between(4, 8, 0.5)
		length := d.between(4, 10, 1)
		total += length
		fmt.Fprintf(&b, "\n[[section]]\ndiameter = \"%g mm\"\nlength = \"%g mm\"\n", diameter, length)
	}
	t := d.thread(max(d.between(6, 16, 1), diameter+2))
	if t.d <= diameter {
		t = struct{ d, p float64 }{12, 1.75}
	}
	text := fmt.Sprintf("M%gx%g-6g", t.d, t.p)
	switch {
	case d.in(12):
		text = fmt.Sprintf("M%gx%g-6g-LH", t.d, t.p)
	case d.in(15):
		text = "Tr 16x4(P2)"
		t.d, t.p = 16, 2
	}
	length := d.between(10, 24, 0.5)
	total += length
	runout := one(d, "DIN 76", "DIN 76", "DIN 76", "short", fmt.Sprintf("%.1f mm", d.between(1, 10, 0.1)), fmt.Sprintf("%.2f mm", t.p*d.between(2.5, 6, 0.25)))
	fmt.Fprintf(&b, "\n[[section]]\nthread = %q\nlength = \"%g mm%s\"\nrunout = %q\n", text, length, one(d, "", " ±0.1 mm", " +0.2/-0.0 mm"), runout)
	if d.in(2) && (!front || d.in(10)) {
		fmt.Fprintf(&b, "chamfer = \"%g mm\"\n", one(d, 0.5, 1.0, 1.5))
	}
	diameter = t.d + one(d, 0.5, 2, 4, 8)
	last := d.between(4, 12, 1)
	total += last
	part := !d.in(3)
	switch {
	case d.in(8):
	case d.in(4):
		fmt.Fprintf(&b, "\n[[section]]\nas_bar = true\nlength = \"%g mm\"\n", last)
	default:
		fmt.Fprintf(&b, "\n[[section]]\ndiameter = \"%g mm\"\nlength = \"%g mm\"\n", diameter, last)
	}
	head := fmt.Sprintf("part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "free-machining steel", "aluminium", "bronze"), diameter+1, total+d.between(10, 16, 1), part)
	if d.in(4) {
		head += fmt.Sprintf("threading = %q\n", one(d, "reverse", "crank", "dial", "away"))
	}
	if d.in(6) {
		head += "quantity = 2\n"
	}
	if d.in(6) {
		head += "units = \"in\"\n"
	}
	return head + b.String()
}

// Random parts with a thread that fades out: each is refused with its place and a remedy,
// or every plan of it, from the first to the last answer, passes the bench and the second
// checker.
func TestRandomFadingJobs(t *testing.T) {
	_, c := eachDrawn(t, 300, 5_000, drawFading, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, answers, way, err := tryFading(seed)
		return refused, []string{way}, answers, err
	})
	if c.ample && (c.planned < 75 || c.having["crank"] == 0 || c.having["reverse"] == 0 || c.having["dial"] == 0) {
		t.Errorf("only %d jobs were planned, by %v", c.planned, c.having)
	}
}

// fadesBy is how the passes of a plan are made.
func fadesBy(p *sequence.Plan) string {
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.RunsInto != sequence.IntoLine {
			continue
		}
		switch {
		case slices.ContainsFunc(s.Moves, func(m sequence.Move) bool { _, ok := m.(sequence.HalfNut); return ok }):
			return "dial"
		case slices.ContainsFunc(s.Moves, func(m sequence.Move) bool { _, ok := m.(sequence.Withdraw); return ok }):
			return "reverse"
		}
		return "crank"
	}
	return "none"
}

func tryFading(seed uint64) (refused string, answers int, way string, err error) {
	w := drawFading(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), 0, "", placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), 0, "", placed(err)
	}
	d := throw(seed ^ 1<<44)
	for {
		if err := sound(p, j, l); err != nil {
			return "", answers, "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", answers, "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", answers, fadesBy(p), nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return "", answers, fadesBy(p), placed(err)
		}
		last := i
		if j.Quantity > 1 { // what the first part shows holds for those that follow
			last++
		}
		if err := sameBefore(p, q, i, last); err != nil {
			return "", answers, "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if m := q.Steps[i].Measure; m != nil && (scrap || m.Final && !m.Grows && m.What != sequence.MeasureRunOut && *m.Got < m.Min) {
			return "", answers, fadesBy(p), nil
		}
		p = q
	}
}

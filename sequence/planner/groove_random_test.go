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

// drawGrooved draws a job whose sections have grooves.
func drawGrooved(seed uint64) drawn {
	d := throw(seed ^ 1<<50)
	lathe := watts.ReplaceAllString(d.lathe(), one(d, `motor = "750 W"`, `motor = "1.5 kW"`, `motor = "1.1 kW"`))
	if d.in(3) {
		lathe = topSlide.ReplaceAllString(lathe, fmt.Sprintf("[top_slide]\nstroke = %q", one(d, "80 mm", "60 mm", "3 in", "30 mm")))
	}
	if d.in(2) {
		lathe += fmt.Sprintf("\n[[tool]]\nkind = \"grooving\"\nwidth = %q\n", one(d, "1.3 mm", "2.5 mm", "3 mm", "1.1 mm", "3/32 in"))
	}
	return drawn{lathe: lathe, job: d.groovedJob()}
}

func (d dice) groovedJob() string {
	var b strings.Builder
	n := 1 + d.IntN(3)
	diameter, total := d.between(10, 30, 0.5), 0.0
	part := !d.in(3)
	for i := range n {
		length, chamfer := d.between(8, 36, 0.5), 0.0
		fmt.Fprintf(&b, "\n[[section]]\ndiameter = \"%g mm%s\"\nlength = \"%g mm%s\"\n", diameter, one(d, "", " h9", " h11", " ±0.05 mm"), length, one(d, "", " ±0.1 mm", " ±0.05 mm", " +0.2/-0.0 mm"))
		if d.in(2) {
			chamfer = one(d, 0.5, 1.0)
			fmt.Fprintf(&b, "chamfer = \"%g mm\"\n", chamfer)
		}
		if !d.in(4) {
			fmt.Fprintf(&b, "groove = %s\n", d.grooveList(diameter, length, chamfer, part && i == n-1 && !d.in(20)))
		}
		total += length
		diameter += d.between(1, 8, 0.5)
	}
	head := fmt.Sprintf("part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "free-machining steel", "aluminium", "bronze"), diameter+1, total+d.between(14, 20, 1), part)
	switch {
	case d.in(6) && !part:
		head += "support = \"centre\"\n"
	case d.in(4):
		head += "quantity = 2\n"
	}
	if d.in(5) {
		head += "units = \"in\"\n"
	}
	return head + b.String()
}

// grooveList is one to three grooves, mostly where there is room for them.
func (d dice) grooveList(diameter, length, chamfer float64, free bool) string {
	var list []string
	at := chamfer + d.between(0.8, 4, 0.1)
	for range 1 + d.IntN(3) {
		width := d.between(1, 5, 0.1)
		from, place := "", at
		if d.in(3) && !free {
			from, place = "from = \"shoulder\", ", length-at-width
		}
		if place < 0.6 {
			break
		}
		list = append(list, fmt.Sprintf("{ %sat = \"%.2f mm%s\", width = \"%.2f mm%s\", diameter = \"%.2f mm%s\" }", from, place, one(d, "", " ±0.1 mm", " ±0.05 mm"),
			width, one(d, "", " +0.14/-0.0 mm", " ±0.1 mm", " ±0.05 mm"), diameter-d.between(0.6, diameter/2.5, 0.1), one(d, "", " h11", " h10", " ±0.1 mm")))
		at += width + d.between(0.8, 12, 0.1)
		if at > length-2 && !d.in(10) {
			break
		}
	}
	if len(list) == 1 && d.in(2) {
		return list[0]
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// Random parts with grooves: each is refused with its place and a remedy, or every plan
// of it, from the first to the last answer, passes the bench and the second checker.
func TestRandomGroovedJobs(t *testing.T) {
	n, c := eachDrawn(t, 120, 5_000, drawGrooved, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, answers, err = tryGrooved(seed)
		return refused, nil, answers, err
	})
	if c.ample && c.planned*5 < int(n) {
		t.Errorf("only %d of %d grooved jobs were planned", c.planned, n)
	}
}

func tryGrooved(seed uint64) (refused string, answers int, err error) {
	return answeredInTurn(drawGrooved(seed), seed, 1<<44)
}

// answeredInTurn plans a random job, answers all that it asks and looks at every plan on the
// way: by the bench, by the second checker, and that an answer changes nothing before it.
// An answer that scraps the part ends it; salt sets the answers apart from the job.
func answeredInTurn(w drawn, seed, salt uint64) (refused string, answers int, err error) {
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), 0, placed(err)
	}
	d := throw(seed ^ salt)
	for {
		if err := sound(p, j, l); err != nil {
			return "", answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", answers, nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return "", answers, placed(err)
		}
		last := i
		if j.Quantity > 1 { // what the first part shows holds for those that follow
			last++
		}
		if err := sameBefore(p, q, i, last); err != nil {
			return "", answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if m := q.Steps[i].Measure; scrap || m != nil && m.Final && !m.Grows && m.What != sequence.MeasureRunOut && *m.Got < m.Min {
			return "", answers, nil
		}
		p = q
	}
}

package planner_test

import (
	"fmt"
	"strings"
	"testing"
)

// drawRadii draws a job with radii in corners and on edges, beside what else a part has.
func drawRadii(seed uint64) drawn {
	d := throw(seed ^ 1<<51)
	nose := one(d, 0.2, 0.4, 0.4, 0.8, 0.8, 1.2, 1.6)
	lathe := watts.ReplaceAllString(d.boringLathe(), one(d, `motor = "750 W"`, `motor = "1.5 kW"`))
	lathe += fmt.Sprintf("\n[[tool]]\nkind = \"turning\"\ntip = \"radius %g mm\"\n", nose)
	hollow := one(d, 0.5, 1, 1.5, 2, 3)
	if !d.in(8) {
		lathe += fmt.Sprintf("\n[[tool]]\nkind = \"rounding\"\nsize = \"%g mm\"\n", hollow)
	}
	return drawn{lathe: lathe, job: d.roundedJob(nose, hollow)}
}

func (d dice) roundedJob(nose, hollow float64) string {
	var b strings.Builder
	n := 1 + d.IntN(4)
	diameter, total, before := d.between(8, 24, 0.5), 0.0, 0.0
	part := !d.in(3)
	for i := range n {
		length := d.between(6, 30, 0.5)
		last := i == n-1
		b.WriteString("\n[[section]]\n")
		threaded := i == 0 && n > 1 && d.in(4)
		if threaded {
			t := d.thread(diameter)
			diameter, length = t.d, max(length, 3*t.p+12)
			fmt.Fprintf(&b, "thread = \"M%gx%g\"\nundercut = \"regular\"\n", t.d, t.p)
		} else {
			fmt.Fprintf(&b, "diameter = \"%g mm%s\"\n", diameter, one(d, "", " h9", " h11", " ±0.05 mm"))
		}
		fmt.Fprintf(&b, "length = \"%g mm%s\"\n", length, one(d, "", " ±0.1 mm", " ±0.05 mm", " +0.2/-0.0 mm"))
		room := (diameter - before) / 2
		leg := 0.0
		switch {
		case d.in(2) && !threaded:
			leg = hollow + one(d, 0, 0, 0.1, -0.1)
			if leg+2 < room || d.in(10) {
				fmt.Fprintf(&b, "round = \"%.4g mm\"\n", leg)
			}
		case d.in(2) && room > 1.5:
			leg = 0.5
			b.WriteString("chamfer = \"0.5 mm\"\n")
		}
		if !threaded && (!last || !part) && !d.in(3) {
			fmt.Fprintf(&b, "corner = \"%.4g mm\"\n", nose+one(d, 0, 0, 0.1))
		}
		if !threaded && d.in(4) && length > 12 {
			fmt.Fprintf(&b, "groove = { at = \"%.4g mm\", width = \"2.2 mm\", diameter = \"%g mm\" }\n", leg+1+d.between(0, 3, 0.5), diameter-1.5)
		}
		total, before = total+length, diameter
		diameter += d.between(3, 12, 0.5)
	}
	bore := ""
	if d.in(4) && part {
		bore = "\n[[bore]]\ndiameter = \"5 mm\"\nthrough = true\n"
	}
	head := fmt.Sprintf("part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "free-machining steel", "aluminium", "bronze"), diameter+1, total+d.between(14, 20, 1), part)
	switch {
	case d.in(5) && !part:
		head += "support = \"centre\"\n"
	case d.in(4):
		head += "quantity = 2\n"
	}
	return head + b.String() + bore
}

// Random parts with radii: each is refused with its place and a remedy, or every plan of
// it, from the first to the last answer, passes the bench and the second checker.
func TestRandomRadii(t *testing.T) {
	n, c := eachDrawn(t, 100, 5_000, drawRadii, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, answers, err = tryRadii(seed)
		return refused, nil, answers, err
	})
	if c.ample && c.planned*6 < int(n) {
		t.Errorf("only %d of %d jobs with radii were planned", c.planned, n)
	}
}

func tryRadii(seed uint64) (refused string, answers int, err error) {
	return answeredInTurn(drawRadii(seed), seed, 1<<45)
}

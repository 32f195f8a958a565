package planner_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/planner"
)

// drawSocket draws a job with a cone in its bore, and a lathe that has what most of them
// need.
func drawSocket(seed uint64) drawn {
	d := throw(seed ^ 1<<47)
	lathe := watts.ReplaceAllString(d.boringLathe(), one(d, `motor = "750 W"`, `motor = "1.5 kW"`))
	if !d.in(20) {
		lathe = topSlide.ReplaceAllString(lathe, fmt.Sprintf("[top_slide]\nstroke = %q", one(d, "80 mm", "80 mm", "60 mm", "3 in", "120 mm")))
	}
	for _, mm := range []float64{12, 16} {
		lathe += fmt.Sprintf("\n[[tool]]\nkind = \"boring bar\"\nsize = \"%g mm\"\n", mm)
	}
	if d.in(4) { // what is owned is listed
		lathe += "\n[[measure]]\nkind = \"micrometer\"\nto = \"25 mm\"\nresolution = \"0.01 mm\"\n\n[[measure]]\nkind = \"micrometer\"\nfrom = \"25 mm\"\nto = \"50 mm\"\nresolution = \"0.01 mm\"\n" +
			"\n[[measure]]\nkind = \"caliper\"\nto = \"150 mm\"\nresolution = \"0.02 mm\"\n\n[[measure]]\nkind = \"dial indicator\"\nto = \"10 mm\"\nresolution = \"0.01 mm\"\n"
		for _, span := range []string{"from = \"8 mm\"\nto = \"13 mm\"\n", "from = \"12 mm\"\nto = \"20 mm\"\n", "from = \"19 mm\"\nto = \"32 mm\"\n"} {
			if !d.in(5) {
				lathe += "\n[[measure]]\nkind = \"telescopic gauge\"\n" + span
			}
		}
	}
	return drawn{lathe: lathe, job: d.socketJob()}
}

func (d dice) socketJob() string {
	var b strings.Builder
	mouth := d.between(12, 30, 0.5)
	long := min(one(d, 10.0, 18, 20, 25, 30, 36), math.Floor(mouth*1.2))
	kind := d.IntN(7)
	switch kind {
	case 0:
		mouth = 17.78
	case 1:
		mouth = 23.825
	}
	bar := math.Ceil(mouth + d.between(8, 14, 1))
	part := d.in(2)
	fmt.Fprintf(&b, "part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "bronze", "free-machining steel", "aluminium", "grey cast iron"), bar, long+d.between(24, 34, 1), part)
	through := part && d.in(2)
	rest := 0.0
	if !through {
		rest = d.between(8, 16, 1)
	}
	if d.in(4) { // a cone outside as well
		fmt.Fprintf(&b, "\n[[section]]\nname = \"nose\"\ndiameter = \"%g mm\"\nsmall = \"%g mm\"\nlength = \"%g mm\"\n", bar-4, bar-4-d.between(0.5, 2, 0.5), (long+rest)/2)
		fmt.Fprintf(&b, "\n[[section]]\nname = \"body\"\ndiameter = \"%g mm\"\nlength = \"%g mm\"\n", bar-1, (long+rest)/2)
	} else {
		fmt.Fprintf(&b, "\n[[section]]\nname = \"body\"\ndiameter = \"%g mm%s\"\nlength = \"%g mm\"\n", bar-d.between(1, 2, 0.5), one(d, "", " h9", " h11"), long+rest)
	}
	b.WriteString("\n[[bore]]\n")
	if kind > 1 {
		fmt.Fprintf(&b, "diameter = \"%g mm%s\"\n", mouth, one(d, "", " H9", " H11", " ±0.1 mm", " ±0.05 mm"))
	}
	small := mouth
	switch kind {
	case 0:
		b.WriteString("taper = \"Morse 2\"\n")
		small -= long / 20
	case 1:
		b.WriteString("taper = \"Morse 3\"\n")
		small -= long / 19.9
	case 2:
		n := one(d, 5.0, 8, 10, 12, 16, 20)
		fmt.Fprintf(&b, "taper = \"1:%g\"\n", n)
		small -= long / n
	case 3:
		half := one(d, 1.0, 2, 4, 8, 12, 15, 20)
		fmt.Fprintf(&b, "taper = \"%g deg half\"\n", half)
		small -= widens(half, long)
	case 4:
		half := one(d, 2.0, 4, 8)
		fmt.Fprintf(&b, "taper = \"%g deg included\"\n", 2*half)
		small -= widens(half, long)
	default:
		small -= d.between(0.5, 4, 0.25)
		fmt.Fprintf(&b, "small = \"%g mm%s\"\n", small, one(d, "", " ±0.1 mm", " ±0.05 mm"))
	}
	if through {
		b.WriteString("through = true\n")
		return b.String()
	}
	fmt.Fprintf(&b, "depth = \"%g mm%s\"\n", long, one(d, "", "", " ±0.2 mm", " ±0.1 mm"))
	behind := one(d, 10.0, 12, 12)
	switch {
	case behind > small-0.4 || d.in(5):
	case part && d.in(2):
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm%s\"\nthrough = true\n", behind, one(d, " H7", " H8"))
	default:
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm%s\"\ndepth = \"%g mm\"\n", 12.0, one(d, "", " ±0.15 mm"), long+2)
	}
	return b.String()
}

// Random parts with a cone in the bore: each is refused with its place and a remedy, or
// every plan of it, from the first to the last answer, passes the bench and the second
// checker, and an answer changes nothing before it and nothing in another section or bore.
func TestRandomConesInBores(t *testing.T) {
	c := newTally()
	swung := 0
	n := eachSeed(t, 200, 5_000, func(seed uint64) error {
		why, has, given, err := trySocket(seed)
		c.add(why, has, given)
		if slices.Contains(has, "swung again") {
			c.Lock()
			swung++
			c.Unlock()
		}
		if err != nil {
			w := drawSocket(seed)
			return fmt.Errorf("%w\nthe job:\n%s\nthe lathe:\n%s", err, w.job, w.lathe)
		}
		return nil
	})
	t.Logf("%d planned, %d answers given, %v", c.planned, c.answers, c.having)
	for why, k := range c.reasons {
		t.Logf("%5d %s", k, why)
	}
	if n >= 200 && (c.planned*4 < int(n) || swung == 0 || len(c.having) < 7) {
		t.Errorf("only %d of %d jobs with a cone in the bore were planned, %d swung again, %d kinds", c.planned, n, swung, len(c.having))
	}
}

// trySocket plans one such job, answers what it asks and looks at every plan.
func trySocket(seed uint64) (refused string, has []string, answers int, err error) {
	w := drawSocket(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), nil, 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), nil, 0, placed(err)
	}
	for name, yes := range map[string]bool{
		"through": j.Bores[0].Through, "blind": len(j.Bores) == 1 && !j.Bores[0].Through, "a hole behind": len(j.Bores) > 1,
		"reamed behind": p.Index("bore2/ream/cut") >= 0, "tried with blue": p.Index("bore1/taper/blue") >= 0, "the angle read": p.Index("bore1/taper/angle1") >= 0,
		"set by the scale": p.Index("bore1/taper/angle1") < 0, "a cone outside": j.Sections[0].Taper != nil, "steep": j.Bores[0].Taper.By.HalfAngle() > 5*calc.Degree,
	} {
		if yes {
			has = append(has, name)
		}
	}
	slices.Sort(has)
	d := throw(seed ^ 1<<45)
	for again := false; ; {
		if err := sound(p, j, l); err != nil {
			return "", has, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", has, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := saidInside(p); err != nil {
			return "", has, answers, err
		}
		if !again && p.Index("bore1/taper/swivel2") >= 0 {
			has, again = append(has, "swung again"), true
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", has, answers, nil
		}
		scrap := d.answerCone(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return "", has, answers, placed(err)
		}
		if err := sameBefore(p, q, i, i); err != nil {
			return "", has, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if m := q.Steps[i].Measure; scrap || m.Got != nil && m.What == sequence.MeasureMouth && *m.Got > j.Bores[0].Diameter.Max || spoiltCone(m) {
			return "", has, answers, nil
		}
		p = q
	}
}

var firstSize = regexp.MustCompile(`(?:diameter|thread) = "[A-Za-z ]*([0-9.]+)`)

// withCone gives a whole random part a cone in its bore, in place of what it has there, and
// what is done from its other end.
func (w drawn) withCone(d dice) drawn {
	for _, head := range []string{"\n[second]", "\n[[bore]]"} {
		if at := strings.Index(w.job, head); at >= 0 {
			w.job = w.job[:at]
		}
	}
	w.job = strings.Replace(strings.Replace(w.job, "quantity = ", "# quantity = ", 1), "overall = ", "# overall = ", 1)
	first, err := strconv.ParseFloat(firstSize.FindStringSubmatch(w.job)[1], 64)
	if err != nil || first < 18 {
		first = 18
	}
	mouth := first - d.between(5, 7, 0.5)
	w.job += fmt.Sprintf("\n[[bore]]\ndiameter = \"%g mm%s\"\n%s\ndepth = \"%g mm\"\n", mouth, one(d, "", " H9", " ±0.1 mm"),
		one(d, `taper = "1:10"`, `taper = "1:20"`, `taper = "3 deg half"`, `taper = "12 deg included"`, fmt.Sprintf("small = \"%g mm\"", mouth-d.between(0.5, 2, 0.25))), d.between(6, 22, 1))
	if d.in(4) {
		w.job = strings.Replace(w.job, "\n[[section]]", "order = [\"bore\", \"turn\"]\n\n[[section]]", 1)
	}
	for _, mm := range []float64{9, 10, 11, 12, 13, 16} {
		w.lathe += fmt.Sprintf("\n[[tool]]\nkind = \"drill\"\nsize = \"%g mm\"\n", mm)
	}
	for _, mm := range []float64{6, 8, 10} {
		w.lathe += fmt.Sprintf("\n[[tool]]\nkind = \"boring bar\"\nsize = \"%g mm\"\n", mm)
	}
	return w
}

// Whole random parts with a cone in the bore, beside all else that a part can have.
func TestRandomWholePartsWithAConeInTheBore(t *testing.T) {
	c := newTally()
	n := eachSeed(t, 250, 5_000, func(seed uint64) error {
		w := drawWhole(seed).withCone(throw(seed ^ 1<<38))
		on, why, given, err := tryWhole(seed, w)
		c.add(why, on, given)
		if err != nil {
			return fmt.Errorf("%w\nthe job:\n%s\nthe lathe:\n%s", err, w.job, w.lathe)
		}
		return nil
	})
	t.Logf("%d planned, %d answers given, %v", c.planned, c.answers, c.having)
	for why, k := range c.reasons {
		t.Logf("%5d %s", k, why)
	}
	if n >= 250 && c.planned*6 < int(n) {
		t.Errorf("only %d of %d whole parts with a cone in the bore were planned", c.planned, n)
	}
}

package planner_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/planner"
)

// drawKnurled draws a job with a knurl and a lathe that mostly has the wheels for it.
func drawKnurled(seed uint64) drawn {
	d := throw(seed ^ 1<<53)
	pattern, pitch := one(d, "straight", "diamond", "diamond"), one(d, 0.5, 0.6, 0.8, 1, 1, 1.2, 1.6)
	return drawn{lathe: d.knurlLathe(pattern, pitch), job: d.knurlJob(pattern, pitch)}
}

var blades = regexp.MustCompile("kind = \"parting\"\nwidth = \"[^\"]*\"\n(reach = \"12 mm\"\n)?")

func (d dice) knurlLathe(pattern string, pitch float64) string {
	var b strings.Builder
	text := blades.ReplaceAllString(d.lathe(), "kind = \"parting\"\nwidth = \"3 mm\"\nreach = \"18 mm\"\n")
	if !d.in(4) {
		text = watts.ReplaceAllString(text, one(d, `motor = "750 W"`, `motor = "1.5 kW"`, `motor = "370 W"`))
	}
	b.WriteString(text)
	for _, t := range [][2]string{{"centre drill", "size = \"2 mm\""}, {"parting", "width = \"3 mm\"\nreach = \"20 mm\""}} {
		if !strings.Contains(text, "kind = \""+t[0]) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = %q\n%s\n", t[0], t[1])
		}
	}
	for _, mm := range []float64{3.8, 5.8, 7.8} {
		fmt.Fprintf(&b, "\n[[tool]]\nkind = \"drill\"\nsize = \"%g mm\"\n", mm)
	}
	for range one(d, 1, 1, 2) {
		if d.in(20) {
			pitch += 0.1
		}
		holder := one(d, "bump", "clamp", "clamp")
		fmt.Fprintf(&b, "\n[[tool]]\nkind = \"knurling\"\npattern = %q\npitch = \"%g mm\"\nholder = %q\nwidth = \"%g mm\"\nsize = \"%g mm\"\n", pattern, pitch, holder, one(d, 4.0, 6, 8, 10), one(d, 12.0, 16, 20, 25))
		if holder == "clamp" {
			fmt.Fprintf(&b, "closing = %q\n", one(d, "0.8 mm", "1 mm", "1.5 mm", "1/16 in"))
			break // one clamp of a kind, so that its nut is known by its knurl
		}
	}
	return b.String()
}

// knurlJob is a part with a knurl where it can be: on its last section, alone, or at the
// free end of a bar.
func (d dice) knurlJob(pattern string, pitch float64) string {
	var b strings.Builder
	knurl := func(dia, long float64) {
		fmt.Fprintf(&b, "\n[[section]]\nname = \"grip\"\ndiameter = \"%g mm%s\"\nlength = \"%g mm\"\nknurl = { pattern = %q, pitch = \"%g mm\" }\n",
			dia, one(d, "", "", " ±0.2 mm", " ±0.3 mm", " +0.4/-0.1 mm", " ±0.05 mm"), long, pattern, pitch)
		if d.in(2) {
			b.WriteString("chamfer = \"0.5 mm\"\n")
		}
	}
	dia, long := d.between(10, 32, 0.5), d.between(4, 20, 0.5)
	bar, total := dia+d.between(0.5, 4, 0.5), long
	tail := ""
	switch d.IntN(4) {
	case 0, 1:
		front := dia - d.between(2, 9, 0.5)
		for k := range one(d, 1, 1, 2) {
			if k == 1 {
				front = dia - 1.8
			}
			if front < 5 {
				break
			}
			l := d.between(5, 16, 0.5)
			if t := d.thread(front - 2); d.in(2) && t.d < dia-3 && k == 0 {
				fmt.Fprintf(&b, "\n[[section]]\nthread = \"M%gx%g\"\nlength = \"%g mm\"\nundercut = \"regular\"\n", t.d, t.p, l+3*t.p+6)
				total += l + 3*t.p + 6
				continue
			}
			fmt.Fprintf(&b, "\n[[section]]\ndiameter = \"%g mm %s\"\nlength = \"%g mm\"\n", front, one(d, "h9", "h11", ""), l)
			total += l
		}
		knurl(dia, long)
		if d.in(4) {
			tail = fmt.Sprintf("quantity = %d\nface = \"4 mm\"\n", one(d, 2, 3))
		}
	case 2:
		knurl(dia, long)
		if d.in(3) {
			fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm\"\nthrough = true\n", one(d, 4.0, 6, 8))
		}
	default:
		knurl(dia, long)
		b.WriteString("\n[[section]]\nas_bar = true\nlength = \"10 mm\"\n")
		total += 10 + d.between(0, 80, 10)
		tail = one(d, "part_off = false\n", "part_off = false\nsupport = \"centre\"\n", "part_off = false\nsupport = \"centre\"\n")
	}
	return fmt.Sprintf("part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\n%s", one(d, "mild steel", "brass", "free-machining steel", "aluminium", "304 stainless"),
		bar, total+d.between(14, 24, 1), tail) + b.String()
}

// Random knurled parts: each is refused with its place and a remedy, or every plan of it,
// from the first to the last answer, passes the bench and the second checker, and an
// answer changes nothing before it and nothing in another section.
func TestRandomKnurledJobs(t *testing.T) {
	n, c := eachDrawn(t, 400, 5_000, drawKnurled, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, answers, deeper, err := tryKnurled(seed)
		for range deeper {
			has = append(has, "a knurl pressed deeper")
		}
		return refused, has, answers, err
	})
	if c.ample && (c.planned*4 < int(n) || c.having["a knurl pressed deeper"] == 0) {
		t.Errorf("only %d of %d knurled jobs were planned, %d pressed deeper", c.planned, n, c.having["a knurl pressed deeper"])
	}
}

// tryKnurled plans one random knurled job, answers what it asks and looks at every plan.
func tryKnurled(seed uint64) (refused string, answers, deeper int, err error) {
	w := drawKnurled(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), 0, 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), 0, 0, placed(err)
	}
	d := throw(seed ^ 1<<43)
	for {
		if err := sound(p, j, l); err != nil {
			return "", answers, deeper, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", answers, deeper, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 || seed%3 != 0 && !*long { // in the ordinary run every third is answered
			return "", answers, deeper, nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		if m := p.Steps[i].Measure; m != nil && m.What == sequence.MeasureKnurl && r.Lengths[p.Steps[i].ID] < m.Min {
			deeper++
		}
		q, err := planner.Plan(j, l, r)
		if err != nil {
			if gave := reason(err); strings.Contains(gave, " still ") || strings.Contains(gave, " after its last tool, under ") {
				return "answer: " + gave, answers, deeper, placed(err)
			}
			return "", answers, deeper, fmt.Errorf("planned, then refused after %v: %w", r.Lengths, err)
		}
		if m := p.Steps[i].Measure; m == nil || m.What != sequence.MeasureLength { // places behind a shoulder are counted from it
			if err := onlyItsOwn(p, q, i); err != nil {
				return "", answers, deeper, fmt.Errorf("after %v: %w", r.Lengths, err)
			}
		}
		if scrap {
			return "", answers, deeper, nil
		}
		p = q
	}
}

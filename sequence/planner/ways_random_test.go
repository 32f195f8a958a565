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

// drawWays draws a threaded part and a lathe that has more than one way to cut it.
func drawWays(seed uint64) drawn {
	d := throw(seed ^ 1<<53)
	return drawn{lathe: d.threadingLathe(), job: d.threadedJob()}
}

// threadingLathe is a lathe with a threading dial, an upside-down tool or no tumbler.
func (d dice) threadingLathe() string {
	text := d.lathe()
	if !strings.Contains(text, "kind = \"grooving\"") {
		text += "\n[[tool]]\nkind = \"grooving\"\nwidth = \"1.5 mm\"\n"
	}
	if d.in(2) {
		text = strings.Replace(text, "kind = \"threading\"", "kind = \"threading\"\nupside_down = true", 1)
	}
	if d.in(2) {
		text += fmt.Sprintf("\n[thread_dial]\nwheel = %d\nlines = %d\n", one(d, 12, 14, 15, 16, 18, 20, 21, 24, 28, 30, 32, 35), one(d, 1, 2, 4, 6, 7, 8, 10, 12))
	}
	head := ""
	if d.in(3) {
		head += "tumbler = false\n"
	}
	if d.in(6) {
		head += fmt.Sprintf("threading = %q\n", one(d, "reverse", "crank", "dial", "away"))
	}
	return head + text
}

// threadedJob is a stud with one or two threads, of either hand, to a shoulder.
func (d dice) threadedJob() string {
	var b strings.Builder
	t := threads[d.IntN(20)]
	diameter, total := 0.0, 0.0
	for range 1 + d.IntN(2) {
		if t.d <= diameter {
			break
		}
		length := d.between(4*t.p+8, 4*t.p+22, 0.5)
		text := fmt.Sprintf("M%gx%g-6g%s", t.d, t.p, one(d, "", "", "-LH"))
		if n := one(d, 2, 3); d.in(4) {
			text = fmt.Sprintf("M%gxPh%gP%g-6g", t.d, float64(n)*t.p, t.p)
		}
		fmt.Fprintf(&b, "\n[[section]]\nthread = %q\nlength = \"%g mm\"\n", text, length)
		if d.in(3) {
			fmt.Fprintf(&b, "undercut = { width = \"%.1f mm\", diameter = \"%.1f mm\" }\n", d.between(3*t.p, 6*t.p, 0.1), t.d-1.5*t.p-0.35)
		} else {
			fmt.Fprintf(&b, "undercut = %q\n", one(d, "regular", "regular", "short"))
		}
		if d.in(2) {
			fmt.Fprintf(&b, "chamfer = \"%g mm\"\n", one(d, 0.5, 1))
		}
		diameter, total = t.d, total+length
		t = d.thread(t.d*1.4 + 2)
	}
	collar := diameter + d.between(2, 12, 0.5)
	long := d.between(4, 12, 0.5)
	total += long
	fmt.Fprintf(&b, "\n[[section]]\n%s\nlength = \"%g mm\"\n", one(d, fmt.Sprintf("diameter = \"%g mm\"", collar), "as_bar = true"), long)
	bar := collar + d.between(1, 4, 0.5)
	head := fmt.Sprintf("part = \"drawn stud\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\n", one(d, "mild steel", "brass", "free-machining steel", "304 stainless"),
		bar, total+d.between(10, 20, 1))
	if d.in(3) {
		head += "part_off = false\n"
	}
	if d.in(4) {
		head += fmt.Sprintf("threading = %q\n", one(d, "reverse", "crank", "dial", "away"))
	}
	return head + b.String()
}

// wayOf is how the passes of a plan are made, by what its steps do.
func wayOf(p *sequence.Plan, section string) string {
	way, out := "", ""
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.Op != sequence.OpThread || s.Section != section || s.Phase != sequence.PhaseCut {
			continue
		}
		for _, m := range s.Moves {
			switch m := m.(type) {
			case sequence.HalfNut:
				way = "by the dial"
			case sequence.Spindle:
				if m.Turn != sequence.Stop && way == "" {
					way = string(m.Turn)
				}
			case sequence.Carriage:
				if m.To < m.From {
					out = ", out of the groove"
				}
			}
		}
	}
	return way + out
}

// Random threaded parts: each is refused with its place and a remedy, or every plan of
// it, from the first to the last answer, passes the bench and the second checker.
func TestRandomWays(t *testing.T) {
	n, c := eachDrawn(t, 250, 5_000, drawWays, func(seed uint64) (refused string, has []string, answers int, err error) {
		return tryWays(seed)
	})
	if !c.ample {
		return
	}
	for _, w := range []string{"forward", "forward, out of the groove", "reverse, out of the groove", "by the dial", "hand", "hand, out of the groove", "more than one start"} {
		if c.having[w] == 0 {
			t.Errorf("no thread was cut %s", w)
		}
	}
	if c.planned*4 < int(n) {
		t.Errorf("only %d of %d threaded jobs were planned", c.planned, n)
	}
}

// tryWays plans one random threaded job, answers what it asks and looks at every plan.
func tryWays(seed uint64) (refused string, ways []string, answers int, err error) {
	w := drawWays(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), nil, 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), nil, 0, placed(err)
	}
	for i := range j.Sections {
		if j.Sections[i].Thread != nil {
			ways = append(ways, wayOf(p, j.Sections[i].Name))
			if j.Sections[i].Thread.Starts > 1 {
				ways = append(ways, "more than one start")
			}
		}
	}
	d := throw(seed ^ 1<<44)
	for {
		if err := sound(p, j, l); err != nil {
			return "", ways, answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		if seed%4 == 0 || answers == 0 {
			if err := agreed(p, j, l); err != nil {
				return "", ways, answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
			}
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 || seed%4 != 0 && !*long {
			return "", ways, answers, nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			if !strings.Contains(err.Error(), " still ") {
				return "", ways, answers, fmt.Errorf("planned, then refused after %v %v: %w", r.Lengths, r.Fits, err)
			}
			return "", ways, answers, placed(err)
		}
		if scrap {
			return "", ways, answers, nil
		}
		p = q
	}
}

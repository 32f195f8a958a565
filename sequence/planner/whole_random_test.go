package planner_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// drawWhole draws a part with anything on it that a job can have, several things at once:
// sections, a cone at its end, threads outside and in bores, of either hand, of one start or
// several, of any form, tapped holes, undercuts, chamfers and bores, finished from one end or
// both, alone or several alike, and a lathe that has what most of them need.
func drawWhole(seed uint64) drawn {
	d := throw(seed ^ 1<<56)
	return drawn{lathe: d.wholeLathe(), job: d.wholeJob()}
}

func (d dice) wholeLathe() string {
	var b strings.Builder
	b.WriteString(blade.ReplaceAllString(d.nutLathe(), "kind = \"parting\"\nwidth = \"3 mm\"\nreach = \"24 mm\""))
	for _, t := range []string{"turning", "grooving\"\nwidth = \"1.5 mm", "threading\"\ntip = \"radius 0.1 mm", "chamfer"} {
		if kind, _, _ := strings.Cut(t, "\""); !strings.Contains(b.String(), "kind = \""+kind+"\"") {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"%s\"\n", t)
		}
	}
	for _, mm := range []float64{7, 8, 15, 24} {
		fmt.Fprintf(&b, "\n[[tool]]\nkind = \"drill\"\nsize = \"%g mm\"\n", mm)
	}
	b.WriteString("\n[[tool]]\nkind = \"boring bar\"\nsize = \"5 mm\"\nreach = \"30 mm\"\n")
	for _, flat := range []string{"0.5 mm", "0.9 mm", "1.2 mm"} {
		fmt.Fprintf(&b, "\n[[tool]]\nkind = \"threading\"\nangle = \"30 deg\"\ntip = \"flat %s\"\n", flat)
	}
	if d.in(2) {
		b.WriteString("\n[[tool]]\nkind = \"threading\"\nangle = \"55 deg\"\ntip = \"radius 0.1 mm\"\n")
	}
	for _, t := range []string{"M4", "M5", "M6", "M8", "M10", "M12x1.5", "G 1/8"} {
		if !d.in(6) {
			fmt.Fprintf(&b, "\n[[tool]]\nkind = \"tap\"\nthread = %q\n%s", t, one(d, "", "", "lead_in = \"2 mm\"\n"))
		}
	}
	text := topSlide.ReplaceAllString(b.String(), "[top_slide]\nstroke = \"80 mm\"")
	if d.in(3) {
		text = strings.Replace(text, "kind = \"threading\"", "kind = \"threading\"\nupside_down = true", 1)
	}
	return text
}

// otherForms are threads of other families, with their major diameter and pitch.
var otherForms = []struct {
	text string
	d, p float64
}{
	{"1/4-20 UNC-2A", 6.35, 1.27}, {"3/8-16 UNC-2A", 9.525, 1.588}, {"7/16-20 UNF-2A", 11.113, 1.27}, {"1/2-13 UNC-2A", 12.7, 1.954}, {"3/4-16 UNF-2A", 19.05, 1.588},
	{"G 1/4 A", 13.157, 1.337}, {"G 1/2 A", 20.955, 1.814}, {"Tr 24x5", 24, 5}, {"Tr 30x6", 30, 6}, {"Tr 12x3", 12, 3}, {"Tr 16x4", 16, 4}, {"Tr 16x8(P4)", 16, 4}, {"Tr 20x4", 20, 4}, {"Tr 14x6(P3)", 14, 3}, {"Tr 12x4(P2)", 12, 2},
}

// outside is an outside thread of about a diameter, as it is written.
func (d dice) outside(about float64) (text string, major, pitch float64) {
	for range one(d, 0, 12) {
		if t := otherForms[d.IntN(len(otherForms))]; t.d >= about && t.d < about*2 {
			return t.text, t.d, t.p
		}
	}
	t := d.thread(about)
	switch d.IntN(6) {
	case 0:
		n := float64(one(d, 2, 2, 3))
		return fmt.Sprintf("M%gxPh%gP%g-6g", t.d, n*t.p, t.p), t.d, t.p
	case 1:
		return fmt.Sprintf("M%gx%g-6g-LH", t.d, t.p), t.d, t.p
	}
	return fmt.Sprintf("M%gx%g-6g", t.d, t.p), t.d, t.p
}

// wholeJob is such a part.
func (d dice) wholeJob() string {
	var b strings.Builder
	both := d.in(5)
	part := both || !d.in(4)
	n := one(d, 1, 2, 2, 3, 3, 4)
	if both {
		n = max(2, min(n, 3))
	}
	cone := d.in(7)
	diameter, front, total := one(d, d.between(12, 28, 0.5), d.between(12, 28, 0.5), d.between(24, 40, 0.5)), 0.0, 0.0
	first, held, widest := diameter, "", 0.0
	for i := range n {
		last := i == n-1
		length := d.between(6, 20, 0.5)
		fmt.Fprintf(&b, "\n[[section]]\nname = \"s%d\"\n", i+1)
		plain := false
		switch {
		case i == 0 && cone:
			length = d.between(8, 30, 1)
			fmt.Fprintf(&b, "diameter = \"%g mm%s\"\n", diameter, one(d, "", " h9", " ±0.1 mm"))
			if d.in(2) {
				fmt.Fprintf(&b, "taper = \"1:%g\"\n", one(d, 5.0, 10, 12, 20))
			} else {
				fmt.Fprintf(&b, "small = \"%g mm\"\n", diameter-d.between(0.5, 4, 0.25))
			}
		case last && n > 1 && d.in(3):
			diameter = front + 2
			b.WriteString("as_bar = true\n")
		case d.in(2) && (!last || !part) && !(i > 0 && front > diameter-3) && !(both && held == ""):
			text, major, pitch := d.outside(max(diameter, front*1.2+1)) // its root thicker than what is in front
			if major < front && !d.in(20) {
				text, major, pitch = fmt.Sprintf("M%gx1.5-6g", math.Ceil(front)+3), math.Ceil(front)+3, 1.5
			}
			diameter = major
			length = max(length, d.between(4*pitch+7, 4*pitch+18, 0.5))
			fmt.Fprintf(&b, "thread = %q\n", text)
			if strings.HasPrefix(text, "M") && d.in(2) {
				fmt.Fprintf(&b, "undercut = %q\n", one(d, "regular", "regular", "short"))
			} else {
				deep := 1.5*pitch + 0.35
				if strings.HasPrefix(text, "Tr") {
					deep = pitch + 2.2
				}
				fmt.Fprintf(&b, "undercut = { width = \"%.1f mm\", diameter = \"%.1f mm\" }\n", d.between(3*pitch, 6*pitch, 0.1), major-deep)
			}
		default:
			plain = true
			fmt.Fprintf(&b, "diameter = \"%g mm%s\"\n", diameter, one(d, "", " h9", " h11", " ±0.1 mm", " ±0.05 mm", " f9"))
		}
		if i == 0 {
			first = diameter
		}
		if plain && !last {
			held = fmt.Sprintf("s%d", i+1)
			if both {
				length = max(length, diameter/2+3)
			}
		}
		if (i == 0 && !cone || i > 0 && diameter-front > 3) && d.in(2) {
			fmt.Fprintf(&b, "chamfer = \"%g mm\"\n", one(d, 0.5, 1, 1.5))
		}
		fmt.Fprintf(&b, "length = \"%g mm%s\"\n", length, one(d, "", "", " ±0.2 mm", " ±0.1 mm"))
		total += length
		front, widest = diameter, max(widest, diameter)
		diameter += d.between(2, 7, 0.5)
	}
	bores, through := "", false
	if !d.in(3) {
		bores, through = d.wholeBores(max(4, first-d.between(5, 9, 0.5)), total, part && !cone)
	}
	second := ""
	if both {
		second = d.wholeSecond(held, front, total/float64(n), through)
	}
	head := fmt.Sprintf("part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "bronze", "free-machining steel", "aluminium", "304 stainless", "grey cast iron", "acetal"),
		widest+d.between(0.5, 4, 0.5), total+d.between(12, 18, 1), part && !(both && d.in(4)))
	if both && d.in(2) {
		head += fmt.Sprintf("overall = \"%g mm ±0.1 mm\"\n", total)
	}
	if !both && !cone && d.in(7) {
		head += fmt.Sprintf("quantity = %d\n", one(d, 2, 3))
	}
	if strings.Contains(b.String(), "thread = ") && d.in(6) {
		head += fmt.Sprintf("threading = %q\n", one(d, "reverse", "crank", "dial", "away"))
	}
	return head + b.String() + bores + second
}

// wholeBores are one or two bores no wider than some, the last with a thread now and then.
func (d dice) wholeBores(widest, total float64, mayGoThrough bool) (text string, through bool) {
	size, long := min(widest, one(d, 6.0, 8, 10, 12, 14, 18, 24, 30)), 0.0
	n := one(d, 1, 1, 2)
	for k := range n {
		last := k == n-1
		switch kind := d.IntN(5); {
		case last && kind == 0 && size <= 14: // tapped by hand
			i := int(d.between(0, 5, 1))
			text += fmt.Sprintf("\n[[bore]]\nthread = %q\n", []string{"M4", "M5", "M6", "M8", "M10", "M12x1.5"}[i])
			if through = mayGoThrough && d.in(2); through {
				return text + "through = true\n", true
			}
			return text + fmt.Sprintf("depth = \"%g mm\"\n", long+d.between(5, 14, 0.5)), false
		case last && kind <= 2 && size >= 14: // with a threading tool
			major, pitch := float64(int(size)), one(d, 1, 1.5, 2)
			thread := fmt.Sprintf("M%gx%g", major, pitch)
			if d.in(4) {
				thread = fmt.Sprintf("M%gxPh%gP%g", major, 2*pitch, pitch)
			}
			text += fmt.Sprintf("\n[[bore]]\nthread = %q\nby = \"bore\"\n", thread)
			if through = mayGoThrough && d.in(2); through {
				return text + "through = true\n", true
			}
			return text + fmt.Sprintf("depth = \"%g mm\"\nrecess = { width = \"%g ±0.2 mm\", diameter = \"%g ±0.2 mm\" }\n", long+d.between(10, 18, 0.5), d.between(3, 6, 0.5), major+0.8), false
		}
		text += fmt.Sprintf("\n[[bore]]\ndiameter = \"%.1f mm%s\"\n", size, one(d, "", " H9", " H11", " ±0.1 mm", " H7"))
		if mayGoThrough && last && d.in(2) {
			return text + "through = true\n", true
		}
		long += d.between(3, max(4, min(total/2, 2*size)), 0.5)
		text += fmt.Sprintf("depth = \"%g mm\"\n", long)
		if k == 0 && d.in(3) {
			text += "chamfer = \"0.5 mm\"\n"
		}
		if size -= one(d, 2.0, 4); size < 4 {
			return text, false
		}
	}
	return text, false
}

// wholeSecond is what is done to the part turned round.
func (d dice) wholeSecond(held string, thick, long float64, through bool) string {
	by := one(d, "soft jaws", "four-jaw chuck", "three-jaw chuck")
	if through && d.in(2) {
		held, by = "bore1", "expanding mandrel"
	}
	text := fmt.Sprintf("\n[second]\nheld = %q\nby = %q\n", held, by)
	if d.in(3) {
		return text + "chamfer = \"0.5 mm\"\n"
	}
	if by == "expanding mandrel" && d.in(2) { // turned from end to end
		return text + fmt.Sprintf("\n[[second.section]]\ndiameter = \"%g mm\"\nlength = \"%.1f mm\"\n", thick-d.between(1, 3, 0.5), max(2, long*0.3))
	}
	size, length := thick-d.between(2, 6, 0.5), max(2, long*d.between(0.2, 0.5, 0.1))
	if d.in(4) {
		t := d.thread(max(4, size-4))
		return text + fmt.Sprintf("\n[[second.section]]\nthread = \"M%gx%g\"\nlength = \"%g mm\"\nundercut = \"regular\"\n", t.d, t.p, 4*t.p+5)
	}
	return text + fmt.Sprintf("\n[[second.section]]\ndiameter = \"%g mm%s\"\nlength = \"%.1f mm\"\n%s", size, one(d, "", " h7", " h9", " ±0.1 mm"), length, one(d, "", "chamfer = \"0.5 mm\"\n"))
}

// onIt is what is on a part.
func onIt(j *job.Job) (on []string) {
	add := func(what string, yes bool) {
		if yes {
			on = append(on, what)
		}
	}
	section := func(f func(s *job.Section) bool) bool {
		return slices.ContainsFunc(j.Sections, func(s job.Section) bool { return f(&s) })
	}
	bore := func(f func(b *job.Bore) bool) bool {
		return slices.ContainsFunc(j.Bores, func(b job.Bore) bool { return f(&b) })
	}
	add("thread", section(func(s *job.Section) bool { return s.Thread != nil }))
	add("left-hand thread", section(func(s *job.Section) bool { return s.Thread != nil && s.Thread.LeftHand }))
	add("thread of several starts", section(func(s *job.Section) bool { return s.Thread != nil && s.Thread.Starts > 1 }))
	add("thread of other flanks", section(func(s *job.Section) bool { return s.Thread != nil && s.Thread.Angle != 60*calc.Degree }))
	add("chamfer", section(func(s *job.Section) bool { return s.Chamfer > 0 }))
	add("cone", section(func(s *job.Section) bool { return s.Taper != nil }))
	add("shoulders", len(j.Sections) > 1)
	add("bore", len(j.Bores) > 0)
	add("tapped hole", bore(func(b *job.Bore) bool { return b.Thread != nil && b.By == job.ByTap }))
	add("thread cut in a bore", bore(func(b *job.Bore) bool { return b.Thread != nil && b.By == job.ByBore }))
	add("thread of several starts in a bore", bore(func(b *job.Bore) bool { return b.Thread != nil && b.Thread.Starts > 1 }))
	add("recess", bore(func(b *job.Bore) bool { return b.Recess != nil }))
	add("second setting", j.Second != nil)
	add("second setting with a thread", j.Second != nil && slices.ContainsFunc(j.Second.Sections, func(s job.Section) bool { return s.Thread != nil }))
	add("second setting with a bore", j.Second != nil && len(j.Bores) > 0)
	add("mandrel", j.Second != nil && j.Second.By == job.OnMandrel)
	add("several parts", j.Quantity > 1)
	add("several parts with a bore", j.Quantity > 1 && len(j.Bores) > 0)
	return on
}

// Whole random parts: each is refused with its place and a remedy, or it passes bench and
// second checker, and so does every plan of it to the last answer.
func TestRandomWholeParts(t *testing.T) {
	n, c := eachDrawn(t, 400, 20_000, drawWhole, func(seed uint64) (refused string, has []string, answers int, err error) {
		has, refused, answers, err = tryWhole(seed, drawWhole(seed))
		return refused, has, answers, err
	})
	if c.ample && (c.planned*4 < int(n) || len(c.having) < 15) {
		t.Errorf("only %d of %d whole parts were planned, with %d kinds of work", c.planned, n, len(c.having))
	}
}

// readWhole reads a part; one finished from both ends as it is written, for its ends have
// to agree.
func (w drawn) readWhole(seed uint64) (*job.Job, *job.Lathe, error) {
	if strings.Contains(w.job, "[second]") {
		return job.ParsePair("drawn.job", w.job, "drawn.lathe", w.lathe)
	}
	return w.read(seed)
}

// tryWhole plans one such part; every third is answered to the end.
func tryWhole(seed uint64, w drawn) (on []string, refused string, answers int, err error) {
	j, l, err := w.readWhole(seed)
	if err != nil {
		return nil, "file: " + reason(err), 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return nil, "plan: " + reason(err), 0, placed(err)
	}
	on = onIt(j)
	d := throw(seed ^ 1<<44)
	for {
		if err := sound(p, j, l); err != nil {
			return on, "", answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 || answers == 0 || *long && answers%4 == 0 {
			if err := agreed(p, j, l); err != nil {
				return on, "", answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
			}
		}
		if i < 0 || seed%3 != 0 && *many != 1 {
			return on, "", answers, nil
		}
		scrap := d.answerCone(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return on, "", answers, placed(err)
		}
		last := i
		if j.Second != nil || j.Quantity > 1 {
			last++ // what the first setting or part has left is where the next one begins
		}
		if err := sameBefore(p, q, i, last); err != nil {
			return on, "", answers, fmt.Errorf("after %v %v: %w", r.Lengths, r.Fits, err)
		}
		if scrap || spoiltCone(q.Steps[i].Measure) {
			return on, "", answers, nil
		}
		p = q
	}
}

package planner_test

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/planner"
)

var wheelRow = regexp.MustCompile(`(?m)^wheels = .*$`)

var partingTool = regexp.MustCompile(`\[\[tool\]\]\nkind = "parting"\nwidth = "[^"]*"\n(reach = "12 mm"\n)?`)

// drawPiped draws a job whose first section is an outside taper pipe thread.
func drawPiped(seed uint64) drawn {
	d := throw(seed ^ 1<<52)
	lathe := watts.ReplaceAllString(d.lathe(), one(d, `motor = "750 W"`, `motor = "1.5 kW"`, `motor = "2 kW"`))
	if !d.in(4) {
		lathe = wheelRow.ReplaceAllString(lathe, "wheels = [20, 25, 30, 35, 40, 45, 46, 50, 55, 57, 60, 60, 65, 69, 70, 80, 80, 95, 127]")
	}
	size := one(d, "R 1/8", "R 1/4", "R 3/8", "R 1/2", "R 3/4", "R 1", "1/8 NPT", "1/4 NPT", "3/8 NPT", "1/2 NPT", "3/4 NPT", "1 NPT")
	if d.in(30) {
		size = "R 1/2 LH"
	}
	if !d.in(15) {
		lathe += fmt.Sprintf("\n[taper_slide]\ngreatest = %q\nstroke = %q\n", one(d, "8 deg", "10 deg", "5 deg", "2 deg", "8 deg", "10 deg", "12 deg", "4 deg", "1 deg"), one(d, "150 mm", "200 mm", "6 in", "6 in", "60 mm"))
		if d.in(2) {
			lathe += fmt.Sprintf("slack = %q\n", one(d, "0 mm", "2 mm", "12 mm", "0.3 in"))
		}
		if d.in(12) {
			lathe += fmt.Sprintf("infeed = %q\n", one(d, "cross slide", "top slide"))
		}
	}
	for _, angle := range []string{"55 deg", "60 deg"} {
		if !d.in(12) {
			lathe += fmt.Sprintf("\n[[tool]]\nkind = \"threading\"\nangle = %q\ntip = %q\n%s", angle, one(d, "radius 0.11 mm", "radius 0.06 mm", "radius 0.03 mm", "flat 0.06 mm", "radius 0.21 mm"), one(d, "", "", "width = \"2.5 mm\"\n"))
		}
	}
	lathe = partingTool.ReplaceAllString(lathe, "")
	lathe += "\n[[tool]]\nkind = \"parting\"\nwidth = \"3 mm\"\nreach = \"24 mm\"\n[[tool]]\nkind = \"chamfer\"\n"
	lathe += "\n[[tool]]\nkind = \"drill\"\nsize = \"4 mm\"\n[[tool]]\nkind = \"drill\"\nsize = \"5.5 mm\"\n"
	if d.in(8) {
		lathe += "\n[thread_dial]\nwheel = 16\nlines = 8\n"
	}
	return drawn{lathe: lathe, job: d.pipedJob(size)}
}

func (d dice) pipedJob(size string) string {
	var b strings.Builder
	t, err := thread.Parse(size)
	if err != nil {
		return err.Error()
	}
	basic, _ := t.Basic()
	sizes, _ := t.TaperSizes()
	pitch, crest, useful := t.Pitch.Millimetres(), basic.Major.Millimetres(), max(6, sizes.Useful.Millimetres())
	length, groove := 0.0, ""
	if d.in(3) {
		length = math.Ceil(d.between(25, 45, 1) * pitch)
	} else {
		wide := math.Ceil(d.between(2.5, 4.5, 0.5)*pitch*10) / 10
		groove = fmt.Sprintf("undercut = { width = \"%.1f ±0.2 mm\", diameter = \"%.1f ±0.15 mm\" }\n", wide, basic.Minor.Millimetres()-d.between(0.3, 2, 0.1))
		length = math.Ceil(useful + wide + d.between(3, 9, 0.5))
	}
	fmt.Fprintf(&b, "\n[[section]]\nname = \"pipe\"\nthread = %q\nlength = \"%g mm%s\"\n%s", size, length, one(d, "", "", " ±0.2 mm", " +0.3/-0.0 mm"), groove)
	total, dia := length, math.Ceil(crest)+d.between(2, 9, 0.5)
	part := d.in(3)
	bar := math.Ceil(dia + d.between(1, 4, 0.5))
	switch d.IntN(4) {
	case 0:
		fmt.Fprintf(&b, "\n[[section]]\nname = \"collar\"\nas_bar = true\nlength = \"10 mm\"\n")
		total += 10
	case 1:
		if groove == "" && !part {
			break
		}
		fallthrough
	default:
		fmt.Fprintf(&b, "\n[[section]]\nname = \"collar\"\ndiameter = \"%g mm%s\"\nlength = \"%g mm\"\n%s", dia, one(d, "", " h11", " ±0.1 mm"), 9.0, one(d, "", "chamfer = \"0.8 mm\"\n"))
		total += 9
		if d.in(4) {
			n := math.Ceil(dia + 2)
			fmt.Fprintf(&b, "\n[[section]]\nname = \"stem\"\ndiameter = \"%g mm\"\nlength = \"8 mm\"\n", n)
			total, bar = total+8, n+2
		}
	}
	if d.in(3) {
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%s\"\n%s", one(d, "4 mm", "5.5 mm"), one(d, "depth = \"14 mm\"\n", "through = true\n"))
	}
	head := fmt.Sprintf("part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "brass", "mild steel", "free-machining steel", "stainless 303", "aluminium 6061"), bar, total+d.between(14, 22, 1), part)
	if d.in(5) {
		head += "units = \"in\"\n"
	}
	if d.in(6) {
		head += fmt.Sprintf("threading = %q\n", one(d, "dial", "crank", "away", "reverse"))
	}
	return head + b.String()
}

// answerPiped answers as [dice.answer] does; a ring gauge stops short by up to three
// turns every other time.
func (d dice) answerPiped(s *sequence.Step, r sequence.Readings) (scrap bool) {
	m := s.Measure
	if m == nil || m.What != sequence.MeasureRingOn || d.in(2) {
		return d.answer(s, r)
	}
	short := calc.Length(d.IntN(1000)) * (m.Max - m.Min) * 3 / 2000
	r.Lengths[s.ID] = max(m.Division, (m.Nominal - short).Round(m.Division))
	return false
}

// Random taper pipe threads: each is refused with its place and a remedy, or every plan
// of it, from the first to the last answer, passes the bench and the second checker.
func TestRandomPipedJobs(t *testing.T) {
	c := newTally()
	more := 0
	n := eachSeed(t, 120, 5_000, func(seed uint64) error {
		refused, has, answers, err := tryPiped(seed)
		c.add(refused, has, answers)
		if err != nil {
			w := drawPiped(seed)
			return fmt.Errorf("%w\nthe job:\n%s\nthe lathe:\n%s", err, w.job, w.lathe)
		}
		return nil
	})
	for _, f := range slices.Sorted(maps.Keys(c.having)) {
		t.Logf("%5d planned with %s", c.having[f], f)
	}
	more = c.having["a pass more by the ring"]
	t.Logf("%d of %d planned, %d answers given", c.planned, n, c.answers)
	for why, k := range c.reasons {
		t.Logf("%5d %s", k, why)
	}
	if n >= 120 && (c.planned*4 < int(n) || more == 0 || c.having["fading out"] == 0 || c.having["60 degrees"] == 0) {
		t.Errorf("only %d of %d were planned, with %v", c.planned, n, c.having)
	}
}

func tryPiped(seed uint64) (refused string, has []string, answers int, err error) {
	w := drawPiped(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), nil, 0, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), nil, 0, placed(err)
	}
	if j.Sections[0].Undercut == nil {
		has = append(has, "fading out")
	}
	if j.Sections[0].Thread.Angle == 60*calc.Degree {
		has = append(has, "60 degrees")
	}
	if p.Index("pipe/thread/crank") >= 0 {
		has = append(has, "hand crank")
	}
	d := throw(seed ^ 1<<42)
	for {
		if err := sound(p, j, l); err != nil {
			return "", has, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", has, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", has, answers, nil
		}
		s := &p.Steps[i]
		scrap := d.answerPiped(s, r)
		switch got := r.Lengths[s.ID]; s.Measure.What {
		case sequence.MeasureDiameter:
			scrap = scrap || got < sectionOf(j, s).Diameter.Min
		case sequence.MeasureSmall:
			scrap = scrap || got < j.Sections[0].Taper.Small.Min
		case sequence.MeasureRingOn:
			scrap = scrap || got > s.Measure.Max
		}
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return "", has, answers, placed(err)
		}
		if err := sameBefore(p, q, i, i); err != nil {
			return "", has, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if s.Measure.What == sequence.MeasureRingOn && len(q.Steps) > len(p.Steps) {
			has = append(has, "a pass more by the ring")
		}
		if m := q.Steps[i].Measure; scrap || m.Final && m.What == sequence.MeasureSmall && *m.Got < m.Min {
			return "", has, answers, nil
		}
		p = q
	}
}

// Seeds that went wrong once: a chamfer as high as the step behind the thread (5259).
func TestPipedSeedsFound(t *testing.T) {
	for _, seed := range []uint64{5259} {
		if _, _, _, err := tryPiped(seed); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
	}
}

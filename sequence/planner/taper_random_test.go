package planner_test

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/planner"
)

var topSlide = regexp.MustCompile(`(?m)^\[top_slide\]$`)

// drawTapered draws a job whose first section is a cone.
func drawTapered(seed uint64) drawn {
	d := throw(seed ^ 1<<49)
	lathe := watts.ReplaceAllString(d.lathe(), one(d, `motor = "750 W"`, `motor = "1.5 kW"`))
	if !d.in(12) {
		lathe = topSlide.ReplaceAllString(lathe, fmt.Sprintf("[top_slide]\nstroke = %q", one(d, "80 mm", "80 mm", "60 mm", "3 in", "120 mm")))
	}
	return drawn{lathe: lathe, job: d.taperedJob()}
}

func (d dice) taperedJob() string {
	var b strings.Builder
	long := one(d, 8.0, 12, 20, 30, 40, 50, 64)
	large := d.between(10, 30, 0.5)
	kind := d.IntN(6)
	if kind == 0 {
		large = 17.78
	}
	bar := math.Ceil(large + d.between(1, 8, 0.5))
	part := d.in(2)
	centre := !part && d.in(3)
	fmt.Fprintf(&b, "part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "bronze", "free-machining steel", "aluminium"), bar, long+d.between(26, 40, 1), part)
	if centre {
		b.WriteString("support = \"centre\"\n")
	}
	fmt.Fprintf(&b, "\n[[section]]\nname = \"cone\"\nlength = \"%g mm\"\n", long)
	if kind > 0 {
		fmt.Fprintf(&b, "diameter = \"%g mm%s\"\n", large, one(d, "", " h9", " h11", " ±0.1 mm"))
	}
	switch kind {
	case 0:
		b.WriteString("taper = \"Morse 2\"\n")
	case 1:
		fmt.Fprintf(&b, "taper = \"1:%g\"\n", one(d, 4.0, 8, 12, 16, 20, 50))
	case 2:
		fmt.Fprintf(&b, "taper = \"%g deg included\"\n", one(d, 4.0, 8, 16, 60))
	case 3:
		fmt.Fprintf(&b, "taper = \"%g deg half\"\n", one(d, 1.0, 3, 10, 30, 45))
	default:
		fmt.Fprintf(&b, "small = \"%g mm%s\"\n", large-d.between(0.5, 6, 0.25), one(d, "", " ±0.1 mm", " ±0.05 mm"))
	}
	if !d.in(4) {
		fmt.Fprintf(&b, "\n[[section]]\nname = \"collar\"\ndiameter = \"%g mm\"\nlength = \"%g mm\"\n", min(bar-0.5, large+d.between(0, 6, 0.5)), d.between(4, 12, 1))
	}
	return b.String()
}

// answerCone answers as [dice.answer] does; a cone is sometimes out by up to half of
// what it is said to be plausible by.
func (d dice) answerCone(s *sequence.Step, r sequence.Readings) bool {
	m := s.Measure
	if m == nil || m.What != sequence.MeasureAlong && m.What != sequence.MeasureWithin {
		return d.answer(s, r)
	}
	room := 20 * um
	if d.in(3) {
		room = (m.Max - m.Min) / 4
	}
	r.Lengths[s.ID] = (m.Nominal + room*calc.Length(d.IntN(2001)-1000)/1000).Round(m.Division)
	return false
}

// spoiltCone says that a reading of a cone, between cuts or at the end, is past what can be
// mended.
func spoiltCone(m *sequence.Measure) bool {
	if m == nil || m.Got == nil || !m.Final {
		return false
	}
	return m.What == sequence.MeasureMouth && *m.Got > m.Max || m.What == sequence.MeasureSmall && *m.Got < m.Min
}

// Random tapered parts: each is refused with its place and a remedy, or every plan of
// it, from the first to the last answer, passes the bench and the second checker.
func TestRandomTaperedJobs(t *testing.T) {
	c := newTally()
	n := eachSeed(t, 200, 5_000, func(seed uint64) error {
		why, given, again, err := tryTapered(seed)
		var has []string
		if again {
			has = append(has, "swung again")
		}
		c.add(why, has, given)
		if err != nil {
			w := drawTapered(seed)
			return fmt.Errorf("%w\nthe job:\n%s\nthe lathe:\n%s", err, w.job, w.lathe)
		}
		return nil
	})
	t.Logf("%d planned, %d answers given, %v", c.planned, c.answers, c.having)
	for why, k := range c.reasons {
		t.Logf("%5d %s", k, why)
	}
	if n >= 200 && (c.planned*4 < int(n) || c.having["swung again"] == 0) {
		t.Errorf("only %d of %d tapered jobs were planned, %d swung again", c.planned, n, c.having["swung again"])
	}
}

func tryTapered(seed uint64) (refused string, answers int, swung bool, err error) {
	w := drawTapered(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), 0, false, placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), 0, false, placed(err)
	}
	d := throw(seed ^ 1<<42)
	for {
		if err := sound(p, j, l); err != nil {
			return "", answers, swung, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", answers, swung, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		swung = swung || p.Index("cone/taper/swivel2") >= 0
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", answers, swung, nil
		}
		scrap := d.answerCone(&p.Steps[i], r)
		if m := p.Steps[i].Measure; m.What == sequence.MeasureDiameter {
			scrap = scrap || r.Lengths[p.Steps[i].ID] < sectionOf(j, &p.Steps[i]).Diameter.Min
		} else if m.What == sequence.MeasureSmall {
			scrap = scrap || r.Lengths[p.Steps[i].ID] < j.Sections[0].Taper.Small.Min
		}
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return "", answers, swung, placed(err)
		}
		if err := sameBefore(p, q, i, i); err != nil {
			return "", answers, swung, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if m := q.Steps[i].Measure; scrap || spoiltCone(m) {
			return "", answers, swung, nil
		}
		p = q
	}
}

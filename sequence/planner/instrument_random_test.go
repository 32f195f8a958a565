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

// drawMeasured draws a job, with bores or without, and a lathe that lists what there is
// to measure with, seldom all that is needed.
func drawMeasured(seed uint64) drawn {
	w := draw(seed)
	if seed%2 == 0 {
		w = drawBored(seed)
	}
	d := throw(seed ^ 1<<47)
	var b strings.Builder
	tool := func(kind string, more ...string) {
		if !d.in(12) {
			b.WriteString("\n[[measure]]\nkind = \"" + kind + "\"\n" + strings.Join(more, "\n") + "\n")
		}
	}
	range_ := func(from, to, resolution string) []string {
		return []string{"from = \"" + from + "\"", "to = \"" + to + "\"", "resolution = \"" + resolution + "\""}
	}
	if d.in(3) {
		tool("micrometer", range_("0 in", "1 in", one(d, "0.0001 in", "0.001 in"))...)
		tool("micrometer", range_("1 in", "2 in", one(d, "0.0001 in", "0.001 in"))...)
	} else {
		tool("micrometer", range_("0 mm", "25 mm", one(d, "0.001 mm", "0.005 mm", "0.01 mm"))...)
		tool("micrometer", range_("25 mm", "50 mm", one(d, "0.001 mm", "0.01 mm"))...)
	}
	tool("caliper", "to = \"150 mm\"", "resolution = \""+one(d, "0.01 mm", "0.02 mm", "0.05 mm")+"\"")
	tool("depth gauge", "to = \"150 mm\"", "resolution = \""+one(d, "0.01 mm", "0.02 mm")+"\"")
	tool("telescopic gauge", "from = \"8 mm\"", "to = \"50 mm\"")
	if d.in(2) {
		tool("inside micrometer", range_(one(d, "5 mm", "20 mm"), "50 mm", "0.005 mm")...)
	}
	tool("dial indicator", "resolution = \"0.01 mm\"")
	w.lathe += b.String()
	return w
}

var rangeOf = regexp.MustCompile(`micrometer ([0-9.]+) to ([0-9.]+ (?:mm|in))$`)

// measurable is the check that every measurement is one that can be made: the micrometer
// named reaches the size, and where limits are judged it is read to half of what is
// between them at most.
func measurable(p *sequence.Plan) error {
	for i := range p.Steps {
		s := &p.Steps[i]
		m := s.Measure
		if m == nil || m.What == sequence.MeasureRunOut || m.What == sequence.MeasureThreads {
			continue
		}
		with, _ := instruments(p, s.ID)
		if with == "" {
			return fmt.Errorf("%s is measured with nothing", s.ID)
		}
		if m.Final && 2*m.Division > m.Max-m.Min {
			return fmt.Errorf("%s judges %s to %s with a %s read to %s", s.ID, m.Min, m.Max, with, m.Division)
		}
		if m.Got != nil {
			continue // it was read, whatever it was planned to be
		}
		found := rangeOf.FindStringSubmatch(with)
		if found == nil || strings.HasPrefix(with, "telescopic") && m.What != sequence.MeasureBore {
			continue
		}
		to, err := calc.ParseLength(found[2])
		if err != nil {
			return err
		}
		from, err := calc.ParseLength(found[1] + strings.TrimLeft(found[2], "0123456789."))
		if err != nil {
			return err
		}
		// Names are rounded to what people write; a reading between cuts may lie a little
		// outside what was planned.
		if m.Nominal < from-20*um || m.Nominal > to+20*um {
			return fmt.Errorf("%s: %s is measured with a %s", s.ID, m.Nominal, with)
		}
	}
	return nil
}

// tryMeasured plans one random job with the measuring tools listed, answers what it
// asks, and looks at every plan.
func tryMeasured(seed uint64) (refused string, err error) {
	w := drawMeasured(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), placed(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), placed(err)
	}
	d := throw(seed ^ 1<<48)
	for {
		if err := sound(p, j, l); err != nil {
			return "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := measurable(p); err != nil {
			return "", fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 {
			return "", nil
		}
		scrap := d.answer(&p.Steps[i], r)
		q, err := planner.Plan(j, l, r)
		if err != nil {
			if text := err.Error(); strings.Contains(text, "listed") || strings.Contains(text, "is read to") {
				return "", fmt.Errorf("planned, then not measurable after %v: %w", r.Lengths, err)
			}
			return "", placed(err)
		}
		if scrap {
			return "", nil
		}
		p = q
	}
}

// A random job on a lathe that lists its measuring tools is refused with a place and a
// reason, or every plan of it passes the bench and can be measured with what is listed.
func TestRandomJobsAreMeasurable(t *testing.T) {
	n, c := eachDrawn(t, 300, 5_000, drawMeasured, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, err = tryMeasured(seed)
		return refused, nil, 0, err
	})
	tools := 0
	for why, k := range c.reasons {
		if strings.Contains(why, "listed for the lathe") || strings.Contains(why, "is read to") {
			tools += k
		}
	}
	if c.ample && (c.planned*8 < int(n) || tools < 10) {
		t.Errorf("only %d of %d were planned, %d refused for what is listed", c.planned, n, tools)
	}
}

package planner_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

var several = regexp.MustCompile(`(?m)^quantity = .*\n`)

// drawOrdered draws a part of any kind whose order is fixed in part, as it can be or not.
func drawOrdered(seed uint64) drawn {
	d := throw(seed ^ 1<<57)
	w := one(d, drawWhole, drawWhole, drawInside, drawBored, drawKnurled, drawTapered, drawGrooved, drawRadii, draw)(seed)
	w.job = several.ReplaceAllString(w.job, "")
	j, err := job.ParseJob("drawn.job", w.job)
	if err != nil {
		return w
	}
	var entries []string
	for _, s := range j.Sections {
		if !s.AsBar {
			entries = append(entries, "turn "+s.Name)
		}
		if s.Undercut != nil {
			entries = append(entries, "undercut "+s.Name)
		}
		if s.Chamfer > 0 {
			entries = append(entries, "chamfer "+s.Name, "chamfer")
		}
		if len(s.Grooves) > 0 {
			entries = append(entries, "groove "+s.Name, "groove")
		}
		if s.Round > 0 {
			entries = append(entries, "round "+s.Name, "round")
		}
		if s.Thread != nil {
			entries = append(entries, "thread "+s.Name, "thread")
		}
	}
	for _, b := range j.Bores {
		entries = append(entries, "drill", "bore", "bore", "turn")
		if b.Chamfer > 0 {
			entries = append(entries, "chamfer "+b.Name)
		}
		if b.Thread != nil {
			entries = append(entries, "thread "+b.Name)
		}
	}
	d.Shuffle(len(entries), func(a, b int) { entries[a], entries[b] = entries[b], entries[a] })
	var order []string
	for _, e := range entries[:min(len(entries), 2+d.IntN(4))] {
		if !slices.Contains(order, e) {
			order = append(order, e)
		}
	}
	w.job = fmt.Sprintf("order = [%s]\n", `"`+strings.Join(order, `", "`)+`"`) + w.job
	return w
}

// Random parts with an order fixed by the author: each is refused with its place and a
// remedy, or the plan keeps the order and passes the bench and the second checker, from
// the first to the last answer.
func TestRandomOrders(t *testing.T) {
	n, c := eachDrawn(t, 500, 5_000, drawOrdered, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, other, answers, err := tryOrdered(seed)
		if other {
			has = append(has, "an order other than the usual one")
		}
		return refused, has, answers, err
	})
	if moved := c.having["an order other than the usual one"]; c.ample && moved*20 < int(n) {
		t.Errorf("only %d of %d parts were planned in another order", moved, n)
	}
}

// tryOrdered plans one such part; in the ordinary run every third is answered.
func tryOrdered(seed uint64) (refused string, other bool, answers int, err error) {
	w := drawOrdered(seed)
	j, l, err := w.read(seed)
	if err != nil {
		return "file: " + reason(err), false, 0, placed(err)
	}
	free := *j
	free.Order = nil
	r := sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		return "plan: " + reason(err), false, 0, placed(err)
	}
	if q, err := planner.Plan(&free, l, r); err == nil {
		other = !slices.EqualFunc(p.Steps, q.Steps, func(a, b sequence.Step) bool { return a.ID == b.ID })
	}
	d := throw(seed ^ 1<<43)
	for {
		if err := sound(p, j, l); err != nil {
			return "", other, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := agreed(p, j, l); err != nil {
			return "", other, answers, fmt.Errorf("after %v: %w", r.Lengths, err)
		}
		if err := keeps(p, j); err != nil {
			return "", other, answers, err
		}
		i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return asks(&s, r) })
		if i < 0 || seed%3 != 0 && !*long || j.Sections[0].Taper != nil { // cones are answered in a test of their own
			return "", other, answers, nil
		}
		scrap := d.answer(&p.Steps[i], r)
		answers++
		q, err := planner.Plan(j, l, r)
		if err != nil {
			return "answer: " + reason(err), other, answers, placed(err)
		}
		if scrap {
			return "", other, answers, nil
		}
		p = q
	}
}

// pinOps are the operations of a plan that an entry of an order is about.
var pinOps = map[string][]sequence.Op{
	"drill": {sequence.OpDrill}, "turn": {sequence.OpFinish}, "bore": {sequence.OpBore}, "undercut": {sequence.OpUndercut},
	"chamfer": {sequence.OpChamfer}, "groove": {sequence.OpGroove}, "round": {sequence.OpRound}, "thread": {sequence.OpThread, sequence.OpTap},
}

// keeps is the check that the first step of each entry of the order comes after the last
// of the entry before it.
func keeps(p *sequence.Plan, j *job.Job) error {
	named := map[string]bool{}
	for _, e := range j.Order {
		named[e.Op+" "+e.Name] = e.Name != ""
	}
	last, before := -1, ""
	for _, e := range j.Order {
		from, to := -1, -1
		for i := range p.Steps {
			s := &p.Steps[i]
			mine := slices.Contains(pinOps[e.Op], s.Op) && s.Section != "" && s.Setting == 0
			if e.Name != "" {
				mine = mine && s.Section == e.Name
			} else {
				mine = mine && !named[e.Op+" "+s.Section]
			}
			if mine {
				if from < 0 {
					from = i
				}
				to = i
			}
		}
		if from < 0 {
			continue // nothing is left of it to be done
		}
		if from < last {
			return fmt.Errorf("%s begins at %s, before %s has ended at %s", e, p.Steps[from].ID, before, p.Steps[last].ID)
		}
		last, before = to, e.String()
	}
	return nil
}

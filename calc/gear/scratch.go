package gear

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"turncue/calc"
)

// Scratch is a scratch pass measured with a rule: so many threads over a length.
type Scratch struct {
	Threads int
	Length  calc.Length
}

// Finding is what a scratch pass tells.
type Finding struct {
	Lead   calc.Lead  // what was really cut, as measured
	Error  calc.Ratio // Lead over the lead wanted, less 1
	Right  bool       // within what a rule tells
	Likely []string   // slips that would explain it, the likeliest first
}

// rule is how well a length is read off a rule on two thread crests.
const rule = 250 * calc.Micrometre

// Read says what was cut, and which slip explains it if it is not what was wanted:
// a pair of wheels put the wrong way round, a wheel in the wrong place, the wrong
// lever, a train for another leadscrew, or another row of the chart. The train may
// be empty where it is not known.
func (s Scratch) Read(w Want, t Train) (Finding, error) {
	if s.Threads < 1 || s.Length <= 0 {
		return Finding{}, errors.New("a scratch pass needs a count of threads and the length over them")
	}
	if err := w.check(); err != nil {
		return Finding{}, err
	}
	n, err := calc.NewRatio(1, int64(s.Threads))
	if err != nil {
		return Finding{}, err
	}
	lead, err := calc.PerTurn(s.Length).Times(n)
	if err != nil {
		return Finding{}, err
	}
	q, err := lead.Over(w.Lead)
	if err != nil {
		return Finding{}, err
	}
	e, err := q.Plus(calc.Whole(-1))
	if err != nil {
		return Finding{}, err
	}
	f := Finding{Lead: lead, Error: e}
	// What a rule tells apart: a quarter of a millimetre over the length.
	within := math.Max(rule.Millimetres()/s.Length.Millimetres(), 0.002)
	f.Right = math.Abs(float(e)) <= within
	if f.Right {
		return f, nil
	}
	fits := func(l calc.Lead) bool {
		r, err := l.Over(lead)
		return err == nil && math.Abs(float(r)-1) <= within
	}
	f.Likely = append(f.Likely, w.slips(t, fits)...)
	type row struct {
		off  float64
		name string
	}
	var rows []row
	for _, std := range Standards() {
		r, err := std.Lead.Over(lead)
		if off := math.Abs(float(r) - 1); err == nil && off <= within && std.Kind != "feed" {
			name := std.Name
			if std.Kind == "metric" || std.Kind == "trapezoidal" || std.Kind == "BA" {
				name += " mm"
			}
			rows = append(rows, row{off, name})
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(a.off, b.off) })
	for _, r := range rows[:min(3, len(rows))] {
		f.Likely = append(f.Likely, fmt.Sprintf("the chart's row for %s was set", r.name))
	}
	return f, nil
}

// slips is the ways of hanging a train wrong, or setting a lever wrong, that would
// have cut what fits says.
func (w Want) slips(t Train, fits func(calc.Lead) bool) (out []string) {
	if t.check() != nil {
		return nil
	}
	try := func(o Train, lever string, text string) {
		o.Lever = lever
		if l, err := o.Cuts(w); err == nil && fits(l) {
			out = append(out, text)
		}
	}
	for i := range t.Drivers {
		o := t.copy()
		o.Drivers[i], o.Driven[i] = o.Driven[i], o.Drivers[i]
		try(o, t.Lever, fmt.Sprintf("the pair %d and %d is the wrong way round", t.Drivers[i], t.Driven[i]))
	}
	if len(t.Drivers) > 1 {
		o := t.copy()
		o.Drivers, o.Driven = o.Driven, o.Drivers
		try(o, t.Lever, "drivers and driven wheels are exchanged")
	}
	for i := range t.Drivers {
		for j := range t.Driven {
			if i != j {
				o := t.copy()
				o.Drivers[i], o.Driven[j] = o.Driven[j], o.Drivers[i]
				try(o, t.Lever, fmt.Sprintf("the %d and the %d stand in each other's place", t.Drivers[i], t.Driven[j]))
			}
		}
	}
	for _, l := range w.Levers {
		if l.Name != t.Lever {
			try(t, l.Name, fmt.Sprintf("the gearbox lever is at %s", l.Name))
		}
	}
	for _, screw := range leadscrews() {
		o := w
		o.Leadscrew = screw
		if l, err := t.Cuts(o); screw != w.Leadscrew && err == nil && fits(l) {
			out = append(out, fmt.Sprintf("the leadscrew is %s, not %s", screw, w.Leadscrew))
		}
	}
	return out
}

func (t Train) copy() Train {
	t.Drivers = append([]int(nil), t.Drivers...)
	t.Driven = append([]int(nil), t.Driven...)
	return t
}

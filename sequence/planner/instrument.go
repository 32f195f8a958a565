package planner

import (
	"fmt"
	"strings"

	"turncue/calc"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

// How fine an instrument is against the tolerance it judges (common practice: a
// tenth is wanted; a fifth serves; at more than a half the limits cannot be told
// apart).
const (
	stepsEnough = 5
	stepsLeast  = 2
	// leastTelescopic is the smallest bore a telescopic gauge goes into, nominally 5/16 in;
	// small-hole gauges are made for 3 to 13 mm (common practice).
	leastTelescopic = 8 * calc.Millimetre
)

// asked is what is to be measured: for a refusal, and for the choice.
type asked struct {
	at        job.Pos
	what      string      // "the diameter", "the groove"
	size      calc.Length // about
	tolerance calc.Length // between its limits
	kinds     []string    // of instrument that serve, the best first
}

// instrument is what a size is measured with, and the step it is read to. Where the
// lathe lists no measuring tools that is what is usual, as given; where it lists any
// it is the finest of those that serve and reach the size, and where none does, or
// none is fine enough for the tolerance, it is refused by name.
func (b *build) instrument(a asked, usual string, step calc.Length) (with string, division calc.Length) {
	return b.instrumentAt(a.size, a, usual, step)
}

// instrumentAt is [build.instrument] for a size on the way to the one that is asked.
func (b *build) instrumentAt(now calc.Length, a asked, usual string, step calc.Length) (with string, division calc.Length) {
	if len(b.lathe.Measures) == 0 {
		return usual, step
	}
	m := b.lathe.Finest(now, a.kinds...)
	if m == nil {
		b.refuseAt(a.at, "list it in "+b.lathe.Source.Path+": "+b.example(a, 0),
			"%s of %s needs a %s that reaches it, and none is listed for the lathe", a.what, b.show(a.size), either(a.kinds))
		return usual, step
	}
	name := b.named(m)
	if kind := m.Kind; overMicrometer(kind) {
		if m = b.lathe.Finest(now, job.KindMicrometer); m == nil {
			b.refuseAt(a.at, "list it in "+b.lathe.Source.Path+": "+b.example(asked{size: a.size, kinds: []string{job.KindMicrometer}}, 0),
				"%s of %s is taken with a %s, and no micrometer listed reaches it to read the gauge", a.what, b.show(a.size), kind)
			return usual, step
		}
		name += " and " + b.named(m)
	}
	b.fineEnough(a, m, name)
	return name, m.Resolution
}

// overMicrometer says that an instrument takes a size which a micrometer then reads.
func overMicrometer(kind string) bool {
	return kind == job.KindTelescopic || kind == job.KindSmallHole
}

// fineEnough refuses an instrument too coarse for a tolerance, and warns of one that is
// near it.
func (b *build) fineEnough(a asked, m *job.Instrument, name string) {
	switch {
	case a.tolerance <= 0 || stepsEnough*m.Resolution <= a.tolerance:
	case stepsLeast*m.Resolution > a.tolerance:
		b.refuseAt(a.at, fmt.Sprintf("list a finer one, such as %s, or allow %s or more", b.example(a, a.tolerance/stepsEnough), b.show(stepsLeast*m.Resolution)),
			"%s of %s has %s between its limits, and the %s is read to %s", a.what, b.show(a.size), b.show(a.tolerance), name, b.show(m.Resolution))
	default:
		b.warnOnce(fmt.Sprintf("%s of %s: %s between its limits is little for a %s read to %s; measure twice, and let a finer one decide where it is close", a.what, b.show(a.size), b.show(a.tolerance), name, b.show(m.Resolution)))
	}
}

// named is an instrument as it lies in its box: with its range where there are several
// of a kind.
func (b *build) named(m *job.Instrument) string {
	switch m.Kind {
	case job.KindMicrometer, job.KindInsideMic, job.KindTelescopic, job.KindSmallHole:
		if m.To > 0 {
			return fmt.Sprintf("%s %s to %s", m.Kind, b.plain(m.From), b.show(m.To))
		}
	}
	return m.Kind
}

// plain is a length without its unit.
func (b *build) plain(l calc.Length) string {
	s, _, _ := strings.Cut(b.show(l), " ")
	return s
}

// example is how an instrument that would do is written in a lathe file; fine is the
// resolution it should have, zero for a usual one.
func (b *build) example(a asked, fine calc.Length) string {
	kind := a.kinds[0]
	unit, span, usual := calc.Millimetre, 25*calc.Millimetre, 10*calc.Micrometre
	if b.inches() {
		unit, span, usual = calc.Inch, calc.Inch, calc.Thou/10
	}
	if fine > 0 {
		usual = min(usual, niceBelow(fine, unit))
	}
	written := func(l calc.Length) string {
		if unit == calc.Inch {
			return l.Trimmed(unit, 5) + " in"
		}
		return l.String()
	}
	from, to := a.size.Floor(span), (a.size + calc.Nanometre).Ceil(span)
	out := fmt.Sprintf("[[measure]] kind = %q", kind)
	switch kind {
	case job.KindCaliper, job.KindDepthGauge, job.KindRule:
		from, to = 0, max(6*span, to)
	case job.KindSmallHole:
		from, to = 3*calc.Millimetre, 13*calc.Millimetre // as sets of them go (common practice)
		if unit == calc.Inch {
			from, to = unit/8, unit/2
		}
	}
	if from > 0 {
		out += fmt.Sprintf(" from = %q", written(from))
	}
	out += fmt.Sprintf(" to = %q", written(to))
	if overMicrometer(kind) {
		return out
	}
	return out + fmt.Sprintf(" resolution = %q", written(usual))
}

// niceBelow is the largest of 1, 2 and 5 in a decade of a unit that is not above l.
func niceBelow(l, unit calc.Length) calc.Length {
	best := unit / 100_000
	for step := best; step <= l; step *= 10 {
		for _, nice := range [...]calc.Length{step, 2 * step, 5 * step} {
			if nice <= l {
				best = nice
			}
		}
	}
	return best
}

// either is a choice in words: "micrometer or caliper".
func either(kinds []string) string { return strings.Join(kinds, " or ") }

// handy is the first of some kinds of instrument that is listed; usual where none are
// listed at all. Where there are, but none of these, it warns.
func (b *build) handy(what, usual string, kinds ...string) string {
	if len(b.lathe.Measures) == 0 {
		return usual
	}
	for _, k := range kinds {
		for i := range b.lathe.Measures {
			if b.lathe.Measures[i].Kind == k {
				return k
			}
		}
	}
	b.warnOnce(fmt.Sprintf("%s needs a %s, and none is listed for the lathe: have one at hand", what, either(kinds)))
	return usual
}

// tellInstrument says first in a step's reason what it is measured with, where what is
// owned is listed.
func (b *build) tellInstrument(s *sequence.Step) {
	if len(b.lathe.Measures) == 0 {
		return
	}
	for _, m := range s.Moves {
		with := ""
		switch m := m.(type) {
		case sequence.Inspect:
			with = m.With
		case sequence.Gauge:
			with = m.With
		}
		if with == "" {
			continue
		}
		if s.Measure != nil && s.Measure.What != sequence.MeasureThreads {
			with += ", read to " + b.show(s.Measure.Division)
		}
		s.Why = strings.TrimSpace("With the " + with + ". " + s.Why)
		return
	}
}

// onDiameter is what an outside diameter is measured with at a size on the way: where
// what serves for the finished one does not reach it, a coarser one will do between cuts.
func (b *build) onDiameter(v *level, size calc.Length) (with string, division calc.Length) {
	a := asked{v.sec.Pos, "the diameter", v.aim, v.sec.Diameter.Tolerance(), []string{job.KindMicrometer, job.KindCaliper}}
	if m := b.lathe.Finest(a.size, a.kinds...); m != nil && !m.Reaches(size) {
		a.size, a.tolerance = size, 0
	}
	return b.instrument(a, "micrometer", b.readingDivision())
}

// boreGauge is what a bore of a size is measured with where nothing is listed.
func boreGauge(size calc.Length) string {
	if size < leastTelescopic {
		return job.KindSmallHole + " and micrometer"
	}
	return job.KindTelescopic + " and micrometer"
}

// inBore is what a bore is measured with at a size on the way: a caliper where that is
// usual for how it was made and fine enough, or where nothing better reaches it.
func (b *build) inBore(c *cavity, size calc.Length, usual string) (with string, division calc.Length) {
	d := c.bore.Diameter
	kinds, other := []string{job.KindTelescopic, job.KindInsideMic}, job.KindSmallHole
	if size < leastTelescopic {
		kinds[0], other = other, kinds[0]
	}
	if b.lathe.Finest(d.Nominal, other) != nil { // one that reaches a little further than usual
		kinds = append(kinds, other)
	}
	a, now := asked{c.bore.Pos, "the bore", d.Nominal, d.Tolerance(), kinds}, d.Nominal
	if b.reached(size, kinds) {
		now = size
	}
	if (now < d.Min || now > d.Max) && b.lathe.Finest(now, kinds...) != b.lathe.Finest(d.Nominal, kinds...) {
		a.tolerance = 0 // another one judges the bore
	}
	if m := b.lathe.Finest(now, job.KindCaliper); m != nil && (usual == job.KindCaliper && stepsEnough*m.Resolution <= a.tolerance || b.lathe.Finest(now, kinds...) == nil) {
		a.kinds = []string{job.KindCaliper}
	} else if in := b.lathe.Finest(now, job.KindInsideMic); in != nil {
		a.kinds = []string{job.KindInsideMic}
	}
	return b.instrumentAt(now, a, usual, b.readingDivision())
}

// reached says that a bore of a size can be measured with the finest of some kinds of
// instrument that reaches it, or with a caliper where none does.
func (b *build) reached(size calc.Length, kinds []string) bool {
	m := b.lathe.Finest(size, kinds...)
	if m == nil {
		m = b.lathe.Finest(size, job.KindCaliper)
	}
	return m != nil && (!overMicrometer(m.Kind) || b.lathe.Finest(size, job.KindMicrometer, job.KindInsideMic) != nil)
}

// onLength is what a length to a shoulder or a step is measured with.
func (b *build) onLength(at job.Pos, what string, size, tolerance calc.Length) (with string, division calc.Length) {
	return b.instrument(asked{at, what, size, tolerance, []string{job.KindDepthGauge, job.KindCaliper}}, "depth gauge", 10*calc.Micrometre)
}

// onThreads is what a length over threads is measured with. A pitch gauge serves as
// well.
func (b *build) onThreads(s *job.Section, over calc.Length) (with string, division calc.Length) {
	const usual, step = "rule or pitch gauge", calc.Millimetre / 10
	if len(b.lathe.Measures) == 0 {
		return usual, step
	}
	if m := b.lathe.Finest(over, job.KindRule, job.KindCaliper); m != nil {
		return m.Kind, max(step, m.Resolution)
	}
	return b.handy("the count over "+s.Thread.Designation, usual, job.KindPitchGauge, job.KindRule, job.KindCaliper), step
}

// onRunOut is what run-out is read on, and its step.
func (b *build) onRunOut() (with string, division calc.Length) {
	division = 10 * calc.Micrometre
	for i := range b.lathe.Measures {
		if m := &b.lathe.Measures[i]; m.Kind == job.KindIndicator {
			return m.Kind, m.Resolution
		}
	}
	return b.handy("the run-out of the bar", job.KindIndicator, job.KindIndicator), division
}

// ringGauge is what a thread is tried with: the gauge owned for it, else any gauge or
// a nut.
func (b *build) ringGauge(s *job.Section) string {
	if m := b.lathe.ThreadGauge(job.KindRingGauge, s.Thread); m != nil {
		return "ring gauge " + m.Thread.String()
	}
	if s.Tapered() {
		return "ring gauge " + s.Thread.Designation
	}
	return "ring gauge or nut " + s.Thread.Designation
}

// plugGauge is what an inside thread is tried with: the gauge owned for it, else any
// gauge or a screw.
func (b *build) plugGauge(t *thread.Thread) string {
	if m := b.lathe.ThreadGauge(job.KindPlugGauge, t); m != nil {
		return "plug gauge " + m.Thread.String()
	}
	return "plug gauge or screw " + t.Designation
}

// overWires says what a thread reads over the wires owned, as a sentence; "" where
// no wires that suit it are listed, or no micrometer that reaches over them.
func (b *build) overWires(s *job.Section) string {
	best := s.Thread.BestWire()
	var wire *job.Instrument
	for i := range b.lathe.Measures {
		m := &b.lathe.Measures[i]
		if m.Kind == job.KindThreadWires && (wire == nil || (m.Size-best).Abs() < (wire.Size-best).Abs()) {
			wire = m
		}
	}
	if wire == nil {
		return ""
	}
	over, err := s.Thread.OverWires(wire.Size)
	if err != nil {
		return ""
	}
	m := b.lathe.Finest(over.Max, job.KindMicrometer)
	if m == nil {
		return ""
	}
	b.wires = fmt.Sprintf("thread wires %s", b.show(wire.Size))
	return fmt.Sprintf(" Over three wires of %s the %s reads %s to %s.", b.show(wire.Size), b.named(m),
		string(sequence.SizeWord(over.Min, b.job.Unit)), string(sequence.SizeWord(over.Max, b.job.Unit)))
}

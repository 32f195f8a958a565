package bench

import (
	"slices"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence"
)

// measure is what the step measures after its moves. A reading that was taken is
// believed: the work has that size, and the ring that made it is put right by
// the difference until it is zeroed again or another section begins.
func (b *lathe) measure() {
	if b.step.Needs == sequence.NeedFit && !b.does("gauge") {
		b.fault(Consistent, "it is asked how a gauge fits, and none is tried")
	}
	m := b.step.Measure
	if m == nil {
		return
	}
	b.standing("measuring")
	if !b.does("measure", "seat") {
		b.fault(Consistent, "a reading is asked for, and nothing is measured")
	}
	if m.What == sequence.MeasureOverAll {
		if m.Got != nil {
			b.readOverAll(*m.Got)
		}
		return
	}
	k := b.ownSection()
	if k >= 0 && m.What == sequence.MeasureDiameter && b.step.Needs == sequence.NeedReading {
		b.sections[k].read(m, b.job.Sections[k].Diameter)
	}
	if k >= 0 && m.What == sequence.MeasureSmall && b.step.Needs == sequence.NeedReading {
		b.cones[k].read(m, fit.Limits{})
	}
	if k >= 0 && m.What == sequence.MeasureGroove && b.step.Needs == sequence.NeedReading {
		b.readGroove(m)
	}
	if i := b.ownBore(); i >= 0 {
		b.measureBore(i, m)
		return
	}
	if m.Got == nil || k < 0 || !b.sane(*m.Got) || *m.Got <= 0 {
		return
	}
	switch m.What {
	case sequence.MeasureDiameter:
		b.believeDiameter(b.layout.body[k], *m.Got)
	case sequence.MeasureSmall:
		b.believeSmall(k, *m.Got)
	case sequence.MeasureAlong:
		b.believeAlong(m.At, *m.Got)
	case sequence.MeasureRingOn:
		b.believeRing(k, *m.Got)
	case sequence.MeasureGroove:
		if len(b.job.Sections[k].Grooves) > 0 {
			b.believeGroove(k, *m.Got)
		} else if from, to := b.undercutAt(b.work, k); from < to {
			b.believeDiameter(calc.Mid(from, to), *m.Got)
		}
	case sequence.MeasureLength:
		b.believeLength(k, *m.Got)
	case sequence.MeasureKnurl:
		b.believeKnurl(*m.Got)
	case sequence.MeasureEdge:
		if b.carriage.known {
			b.carriage.correct(*m.Got - b.z())
		}
	}
}

// does says that the step has a move of one of these kinds.
func (b *lathe) does(kinds ...string) bool {
	return slices.ContainsFunc(b.step.Moves, func(m sequence.Move) bool { return m != nil && slices.Contains(kinds, m.Do()) })
}

// measureBore is a measure of a bore's step.
func (b *lathe) measureBore(k int, m *sequence.Measure) {
	switch {
	case b.step.Needs != sequence.NeedReading:
	case m.What == sequence.MeasureBore:
		b.boreCuts[k].read(m, b.bores[k].Diameter)
	case m.What == sequence.MeasureMouth:
		b.boreCuts[k].read(m, fit.Limits{})
	}
	if m.Got == nil || !b.sane(*m.Got) || *m.Got <= 0 {
		return
	}
	switch m.What {
	case sequence.MeasureBore:
		b.believeBore(k, *m.Got)
	case sequence.MeasureDepth:
		b.believeDepth(k, *m.Got)
	case sequence.MeasureMouth:
		b.believeMouth(k, *m.Got)
	case sequence.MeasureWithin:
		b.believeWithin(m.At, *m.Got)
	}
}

// believeDiameter gives a cylinder the diameter that was read, and the cross
// slide the difference.
func (b *lathe) believeDiameter(z, got calc.Length) {
	q := b.work.piece(z)
	if q == nil || q.Left != q.Right {
		return
	}
	old, step := q.Left, q.Step
	b.fillet(z, got-old)
	for i := range b.work {
		if p := &b.work[i]; p.Step == step && p.Left == old && p.Right == old {
			p.Left, p.Right = got, got
		}
	}
	if b.job.PickUp { // its chamfer was there before it was measured
		for i := range b.work[:len(b.work)-1] {
			if p := &b.work[i]; p.Right == old && p.Left < old && p.To == b.work[i+1].From {
				p.Left, p.Right = p.Left+got-old, got
			}
		}
	}
	b.cross.correct(-(got - old))
	b.sections[b.ownSection()].corrected = (got - old).Abs()
}

// fillet moves the radius behind a cylinder, left by the same cut, with its diameter.
func (b *lathe) fillet(z, by calc.Length) {
	if !b.cornered() {
		return
	}
	step, at := 0, calc.Length(0)
	for i := range b.work {
		switch p := &b.work[i]; {
		case z >= p.From && z <= p.To:
			step, at = p.Step, p.To
		case step > 0 && p.From == at && p.Step == step:
			if at = p.To; p.Left < p.Right {
				p.Left, p.Right = p.Left+by, p.Right+by
			}
		default:
			step = 0
		}
	}
}

// believeLength moves a shoulder to where it was read, and the carriage's scale
// with it.
func (b *lathe) believeLength(k int, got calc.Length) {
	from, ok := b.freeEnd(b.work, k)
	if !ok {
		return
	}
	to, ok := b.shoulder(b.work, k)
	if !ok {
		return
	}
	by := got - (to - from)
	if b.cornered() {
		b.moveWall(to, by)
		return
	}
	for i := 1; i < len(b.work); i++ {
		p, q := &b.work[i-1], &b.work[i]
		if p.To == to && q.From == to && to+by > p.From && to+by < q.To {
			p.To, q.From = to+by, to+by
			b.carriage.correct(by)
			return
		}
	}
}

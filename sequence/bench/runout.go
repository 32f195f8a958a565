package bench

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/sequence"
)

// running is a pass that has come to its end in front of a shoulder, the spindle turning
// and the carriage driven on.
type running struct {
	k     int
	mark  calc.Length // z where the hand begins to wind the tool out
	depth calc.Length // on radius, of the pass
	out   *sequence.Withdraw
}

// scribe is a line scribed round the work.
func (b *lathe) scribe(m sequence.Line) {
	b.standing("scribing a line")
	if !b.sane(m.Z) {
		return
	}
	if b.work.At(m.Z) == 0 {
		b.fault(Consistent, "a line is scribed at z %s, where there is no work", m.Z)
	}
	b.lines = append(b.lines, m.Z)
}

// wall is where the shoulder behind a section begins, or the radius in its corner.
func (b *lathe) wall(k int) (calc.Length, bool) {
	end, ok := b.shoulder(b.work, k)
	if ok && b.cornered() {
		end, _ = b.filletFrom(b.work, end)
	}
	return end, ok
}

// fades is the check of a pass that ends in front of a shoulder with no groove there: at a
// line, no later than the one before it, and the tool short of the shoulder.
func (b *lathe) fades(m sequence.Carriage, k int, turned calc.Length) {
	s, h := b.job.Sections[k], &b.sections[k]
	if outward(m) {
		b.fault(WithinLimits, "the thread starts at z %s in the full work: a groove is needed there first", m.From)
		return
	}
	pitch := s.Thread.Pitch.Length()
	seen := false
	for _, z := range b.lines {
		seen = seen || m.To <= z+same && m.To >= z-pitch/2
	}
	if !seen {
		b.fault(WithinLimits, "the pass is to end at z %s, and no line is scribed there nor within half a pitch behind it", m.To)
	}
	if len(h.starts) > h.start {
		if c := &h.starts[h.start]; c.passes > 0 && m.To > c.end+same {
			b.fault(WithinPower, "the pass goes on %s past where the one before it ended: the tool meets metal %s deep there at once", m.To-c.end, (turned-b.x())/2)
		}
	}
	if b.turn == sequence.ByHand || b.turn == sequence.Stop {
		b.shortOf(k, m.To, "is cranked to")
		return
	}
	b.run = &running{k: k, mark: m.To, depth: (turned - b.x()) / 2}
}

// shortOf is the check that a tool in the thread, with its point at a place, is short of
// the shoulder.
func (b *lathe) shortOf(k int, at calc.Length, how string) {
	wall, ok := b.wall(k)
	if !ok {
		b.fault(WithinLimits, "the thread of %s ends in front of no shoulder", b.job.Sections[k].Name)
		return
	}
	if over := at + b.tool.width/2 - wall; over > same {
		b.fault(WithinLimits, "the tool %s z %s in the thread: its side runs %s into the shoulder at %s", how, at, over, wall)
	}
}

// takenOut is what it takes to have the tip of the present pass out of the work.
func (b *lathe) takenOut() cutting.PullOut {
	p := cutting.PullOut{Delay: b.own.Delay}
	if b.gears != nil {
		p.Lead = b.gears.Lead
	}
	if d := b.cross.dial; d.Travel > 0 {
		p.Turns = float64(b.run.depth+d.Slack) / float64(d.Travel)
	}
	return p
}

// withdraw winds the tool out on the run.
func (b *lathe) withdraw(m sequence.Withdraw) {
	if !b.sane(m.From, m.To, m.X) {
		return
	}
	if b.run == nil || b.run.out != nil {
		b.fault(Consistent, "the tool is wound out on the run, and no pass ends here")
		return
	}
	if off := (m.From - b.run.mark).Abs(); off > same {
		b.fault(Consistent, "the pass ends at z %s, the plan winds the tool out at %s", b.run.mark, m.From)
	}
	turned := b.x() + 2*b.run.depth
	pull := b.takenOut()
	if most, ok := pull.HandSpeed(); ok && float64(b.rpm) > float64(most)*slipOfSpeed {
		b.fault(WithinPower, "at %s the work makes more than half a turn while a hand winds %.2f turns of the cross slide: %s at most", b.rpm, pull.Turns, most)
	}
	b.shortOf(b.run.k, b.run.mark+pull.Travel(b.rpm), fmt.Sprintf("taken out by hand at %s comes as far as", b.rpm))
	b.touched, b.against = false, false
	b.turnHandle(&b.cross, sequence.Shift{Slide: sequence.Cross, X: m.X, Dial: m.Dial, Approach: sequence.Out, WholeTurns: m.WholeTurns, Handle: m.Handle, Lash: m.Lash}, -m.X, b.own.CrossClockwiseIn, "cross slide")
	switch room := (b.x() - turned) / 2; {
	case room < 0:
		b.fault(ToolClear, "the tool is wound out by hand and still stands %s deep in the thread", -room)
	case room < margin:
		b.fault(ToolClear, "the tool is wound out to %s in front of the thread, it needs %s beyond the slack of %s", room, margin, b.own.Cross.Slack)
	}
	b.run.out = &m
}

// settles is the end of a pass at a line, by the power off or the half-nuts opened. Two
// hands do two things at once: the delay is no less than that of an apprentice.
func (b *lathe) settles(coast cutting.Coast) {
	if b.run == nil {
		return
	}
	r := *b.run
	b.run = nil
	stop := cutting.Stop{Delay: max(b.own.Delay, cutting.DelayApprentice), Coast: coast}
	if b.gears != nil {
		stop.Lead = b.gears.Lead
	}
	rest := r.mark
	if stop.Check() == nil {
		rest += stop.Travel(b.rpm)
	}
	if r.out == nil {
		b.leftIn(r.mark, rest)
		return
	}
	wall, ok := b.wall(r.k)
	if over := rest + b.tool.width/2 - wall; ok && over > same && b.work.At(wall+same) > b.x()-2*margin {
		b.fault(WithinLimits, "at %s the carriage runs on to z %s at the latest: the tool, %s wide and out to %s, runs %s into the shoulder", b.rpm, rest, b.tool.width, b.x(), over)
	}
	b.obstacles(b.x(), r.mark, rest)
	if over := rest - r.out.To; over > same {
		b.fault(WithinPower, "at %s the carriage runs on to z %s at the latest, %s further than the plan counts on", b.rpm, rest, over)
	}
	b.standAt(r.out.To)
}

// leftIn is a tool that stays in the thread while the carriage is driven on.
func (b *lathe) leftIn(mark, rest calc.Length) {
	b.fault(WithinLimits, "the tool is not taken out of the thread at z %s: it runs on in the work by up to %s, towards the shoulder", mark, rest-mark)
	b.crashed = true
}

// runsOn is the check that nothing but the tool being taken out and the drive taken away
// follows a pass that ends at a line.
func (b *lathe) runsOn(next sequence.Move) {
	if b.run == nil {
		return
	}
	switch m := next.(type) {
	case sequence.Withdraw:
		return
	case sequence.Spindle:
		if m.Turn == sequence.Stop || m.Turn == sequence.ByHand {
			return
		}
	case sequence.HalfNut:
		if !m.Closed {
			return
		}
	}
	if b.run.out == nil {
		b.leftIn(b.run.mark, b.run.mark)
	} else {
		b.fault(WithinLimits, "the tool is out of the thread at z %s and nothing takes the drive away: the carriage runs on into the shoulder", b.run.mark)
	}
	b.run = nil
}

// endsAt notes where a pass ended of the start it cut.
func (h *history) endsAt(end, faded, x calc.Length) {
	c := &h.starts[h.start]
	switch {
	case x != c.root: // not as deep as one before it
	case c.deep != x:
		c.full = end
	default:
		c.full = max(c.full, end)
	}
	c.end, c.deep, c.faded = end, c.root, max(c.faded, faded)
}

// noteEnd notes where the present pass ends and where the last of it may lie: where the
// crank stops, or as late as the hand takes the tool out.
func (b *lathe) noteEnd(m sequence.Carriage, k int) {
	h := &b.sections[k]
	faded := m.To
	if b.run != nil {
		faded += b.takenOut().Travel(b.rpm)
	}
	h.endsAt(m.To, faded, b.x())
	h.cut.Full, h.cut.Faded = h.starts[h.start].full, h.starts[h.start].faded
}

// Root is the diameter of the thread's root at z, for a thread cut into a diameter: at its
// depth as far as the thread is full, then rising in a straight line to the outside.
func (t *Thread) Root(outside, z calc.Length) calc.Length {
	root := outside - 2*t.Depth
	if t.Faded <= t.Full {
		return root
	}
	return between(t.Full, t.Faded, root, outside, z)
}

// runOut judges how a thread without a groove ends.
func (j judge) runOut(k int) {
	s, h := j.job.Sections[k], &j.sections[k]
	end, ok := j.shoulder(j.p, k)
	if s.RunOut == nil || !ok {
		return
	}
	for i, c := range h.starts {
		of := ""
		if len(h.starts) > 1 {
			of = fmt.Sprintf(" of start %d", i+1)
		}
		if c.passes == 0 {
			continue
		}
		j.size(k, "full thread to shoulder"+of, end-c.full, fit.Limits{Max: s.RunOut.Shoulder}, c.by.N)
		j.size(k, "run-out"+of, c.faded-c.full, fit.Limits{Max: s.RunOut.Fade}, c.by.N)
	}
}

// insideFades is the check of a pass that ends in a bore with no recess there: cranked, no
// later than the one before it, and the tool short of the step. Small is how wide the hole
// is beside the tool. False when a fault was found.
func (b *lathe) insideFades(m sequence.Carriage, k int, small calc.Length) bool {
	z, h := &b.bores[k], &b.boreCuts[k]
	switch {
	case b.turn == sequence.Forward || b.turn == sequence.Reverse:
		b.fault(WithinLimits, "the pass ends in the thread at z %s with the spindle turning, and nobody sees the point there", m.To)
	case small < b.boreAt(z.body)-same:
		b.fault(WithinLimits, "the tool is cranked to z %s in the thread: its side runs into the step, the hole is %s there", m.To, small)
	case h.passes > 0 && len(h.starts) > h.start && h.starts[h.start].passes > 0 && m.To > h.starts[h.start].end+same:
		b.fault(WithinPower, "the pass goes on %s past where the one before it ended: the tool meets metal %s deep there at once", m.To-h.starts[h.start].end, (b.x()-b.boreAt(z.body))/2)
	default:
		return true
	}
	return false
}

// insideRunOut judges how a thread in a bore without a recess ends.
func (j judge) insideRunOut(k int) {
	z, h := &j.bores[k], &j.boreCuts[k]
	end, ok := j.boreEnd(k)
	if z.RunOut == nil || !ok {
		return
	}
	for i, c := range h.starts {
		of := ""
		if len(h.starts) > 1 {
			of = fmt.Sprintf(" of start %d", i+1)
		}
		if c.passes > 0 {
			j.boreSize(k, "full thread to step"+of, end-c.full, fit.Limits{Max: z.RunOut.Shoulder}, c.by.N)
		}
	}
}

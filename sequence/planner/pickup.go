package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	// inAir is how far out of its groove the tool runs to show that it follows it.
	inAir = 200 * calc.Micrometre
	// light is what a pass takes off a thread that is picked up (common practice).
	light = 40 * calc.Micrometre
)

// pickUp takes a finished part's thread a little deeper: nothing else is cut. The tool is
// laid in the groove that is there, with the slack of the gears run out the way it cuts,
// and the half-nuts stay shut from then on.
func (b *build) pickUp() {
	for i := range b.levels {
		v := &b.levels[i]
		if v.sec.Thread == nil {
			continue
		}
		b.measureCrest(v)
		t, ok := b.prepare(v)
		if !ok {
			return
		}
		if root, groove := v.size-2*t.depth.Limit, v.sec.Undercut.Diameter.Mid(); root < groove {
			b.refuse(v.sec, "take a tool with a blunter tip, or turn the groove deeper first and write it as it is: undercut = { width = ..., diameter = ... }",
				"the groove of %s is about %s, and the root of the thread may come to %s with a tip of %s", v.sec.Name, b.show(groove), b.show(root), t.tool.Tip)
			return
		}
		m := b.mount(t.tool, sequence.ThreadingTool, "tip")
		m.Angle = flanks(t.tool)
		b.op = sequence.OpThread
		b.mountThreading("thread/tool", m, t.tool)
		b.section = v.sec
		b.touchThread(t, false)
		b.fitted = b.gears(t, b.fitted)
		b.seatThread(t)
	}
	b.section = nil
	b.pass, b.of = 0, 0
}

// measureCrest has the outside of the thread measured: its depth is counted from there.
func (b *build) measureCrest(v *level) {
	b.section, b.op = v.sec, sequence.OpThread
	b.pass, b.of = 0, 0
	id := "thread/crest"
	got := b.got(b.prefix() + id)
	if got != nil {
		v.size = *got
	}
	if d := v.sec.Diameter; v.size > d.Max {
		b.refuse(v.sec, "take a burr off and measure again; if it stays so, turn the outside down first and pick the thread up then",
			"the outside of %s is still %s, and %s is its limit", v.sec.Thread, b.show(v.size), b.show(d.Max))
	}
	with, division := b.onDiameter(v, v.aim)
	d := v.sec.Diameter
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck,
		Measure: &sequence.Measure{
			What: sequence.MeasureDiameter, Nominal: v.aim, Min: d.Min, Max: d.Max, Final: true, Unit: b.job.Unit, Division: division, Got: got,
		},
		Moves: append(b.stop(), sequence.Inspect{What: sequence.MeasureDiameter, With: with}),
		Hand:  hand("mic_outside"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: fmt.Sprintf("Over the crests of %s, brushed clean and without a burr: the depth is counted from here.", v.sec.Thread),
	})
	b.section = nil
}

// seatThread lays the tool in the groove and goes on from there by light passes.
func (b *build) seatThread(t *threading) {
	b.shutHalfNuts(t)
	s := t.v.sec
	t.laid = calc.Mid(t.v.from+s.Chamfer, t.v.to-s.Undercut.Width.Mid()).Round(calc.Millimetre / 10)
	along := sequence.Carriage{From: t.start, To: t.laid, By: sequence.ByHalfNut, PerRev: t.lead}
	moves := []sequence.Move{sequence.Spindle{Turn: t.cut, RPM: t.rpm}, along, sequence.Spindle{Turn: sequence.Stop}}
	if t.cranked {
		moves = []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}, along}
	}
	b.z = t.laid
	b.add("thread/beside", sequence.Step{
		Phase: sequence.PhaseReturn, RunsInto: sequence.Beside, Moves: moves, Hand: hand("start_stop"), Machine: t.passTime((t.laid - t.start).Abs()),
		Why: "Nothing is cut: the tool is clear. The slack is now run out the way it cuts; from here on the spindle is not turned back until the tool lies in its groove.",
	})
	depth, ok := b.seat(t)
	if !ok {
		return
	}
	b.add("thread/seat/clear", sequence.Step{
		Phase: sequence.PhaseClear, Moves: []sequence.Move{b.crossOut(t.out(depth))}, Hand: hand("dial_set"),
		Why: "Whole turns, so the ring comes back to the same reading. Before anything reverses.",
	})
	_, back := b.passSteps(t)
	back.Opening = sequence.Cue{sequence.WordToolClearFirst}
	if !t.cranked {
		back.Opening = append(back.Opening, sequence.FullStop, sequence.WordStandStill)
	}
	for i, m := range back.Moves {
		if c, ok := m.(sequence.Carriage); ok {
			c.From = t.laid
			back.Moves[i] = c
		}
	}
	if t.outward { // it is on the way out already, and has to come back to the groove
		back.Why = "Back over the groove, where every pass starts."
	}
	b.add("thread/seat/return", back)
	b.z = t.start
	if air := b.cross.dial.SnapIn(depth - inAir); air > 0 {
		b.threadPass(t, "thread/air", air, sequence.Cue{sequence.WordRunInAir}, false)
	}
	b.lightPasses(t, depth)
}

// seat has the point laid in the groove and the ring read there: that is the depth the
// thread has, by its own flanks.
func (b *build) seat(t *threading) (depth calc.Length, ok bool) {
	id := "thread/seat"
	ring := b.cross.dial
	depth = max(ring.SnapIn(t.depth.Start-light), ring.Division())
	m := &sequence.Measure{
		What: sequence.MeasureRing, Nominal: marked(ring, depth), Min: marked(ring, t.depth.Start/2), Max: marked(ring, t.depth.Limit), Grows: true,
		Unit: markedIn(ring.MarkedDivision()), Division: ring.MarkedDivision(), Got: b.got(b.prefix() + id),
	}
	if m.Got != nil {
		depth = ring.Position(0, *m.Got)
	}
	b.cross.at, b.cross.last = depth, sequence.In
	b.x = b.cross.position(depth)
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: []sequence.Move{sequence.Seat{X: b.x, Z: t.laid, Dial: b.cross.shown(depth)}},
		Hand:  hand("dial_set", "touch_off"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: fmt.Sprintf("Spindle standing, supply of light or paper behind the point. %s is right from a depth of %s, and too thin past %s.", t.v.sec.Thread, b.show(t.depth.Start), b.show(t.depth.Limit)),
	})
	if depth >= t.depth.Limit {
		b.refuse(t.v.sec, "look for a burr, a bent first thread or a wrong gauge; deeper it would be too thin", "the groove of %s is %s deep already, and %s is the most", t.v.sec.Thread, b.show(depth), b.show(t.depth.Limit))
		return depth, false
	}
	return depth, true
}

// marked is what a ring says in all at a travel from zero, whole turns counted in.
func marked(d setup.Dial, offset calc.Length) calc.Length {
	s := d.Setting(d.Snap(offset))
	return s.Reading + calc.Length(s.Turns*d.Divisions)*d.MarkedDivision()
}

// lightPasses go on from a depth to where the thread is just inside its limit, and from
// there by the gauge.
func (b *build) lightPasses(t *threading, depth calc.Length) {
	ring := b.cross.dial
	step, ok := b.lightStep(t)
	if !ok {
		return
	}
	target := ring.Snap(t.depth.Start + t.graduate/2)
	if target < t.depth.Start {
		target += t.graduate
	}
	var depths []calc.Length
	for at := ring.SnapIn(depth) + step; at < target; at += step {
		depths = append(depths, at)
	}
	last := max(target, ring.SnapIn(depth)+t.graduate)
	if last > t.depth.Limit {
		b.refuse(t.v.sec, "a finer ring, or set the top slide over and feed the last passes with it", "from %s the next line of the cross-slide ring is past %s, where %s would be too thin", b.show(depth), b.show(t.depth.Limit), t.v.sec.Thread)
		return
	}
	depths = append(depths, last)
	for i, d := range depths {
		b.pass, b.of = i+1, len(depths)
		b.threadPass(t, fmt.Sprintf("thread/pass%d", i+1), d, nil, false)
	}
	b.pass, b.of = 0, 0
	for i := range springPasses {
		b.threadPass(t, fmt.Sprintf("thread/spring%d", i+1), last, sequence.Cue{sequence.WordSpringPass, sequence.Comma, sequence.WordTheSameAgain}, false)
	}
	b.gauge(t, last)
	b.endThread(t)
}

// lightStep is what a light pass takes: less, down to one line of the ring, where drive,
// jaws or work do not bear it. ok is false where they bear no pass.
func (b *build) lightStep(t *threading) (step calc.Length, ok bool) {
	u, deep := b.bears(t), t.depth.Limit
	bears := func(step calc.Length) (bool, string) {
		share, ruled := b.shareOf(t, deep-step, deep, u)
		return share*loadShare <= 1, ruled
	}
	step = max(b.cross.dial.Snap(light), t.graduate)
	if ok, _ := bears(step); !ok {
		step = t.graduate
	}
	at := b.cross.dial.SnapIn(deep)
	ok, ruled := bears(max(step, b.afterTight(t, at)-at))
	if !ok {
		b.refuse(t.v.sec, lighter(ruled), "the passes of %s are held back %s", t.v.sec.Thread, ruled)
	}
	return step, ok
}

// mayPickUp says why a way does not serve to pick a thread up: it needs the half-nuts
// shut throughout and the tool the right way up.
func (b *build) mayPickUp(way job.Way) string {
	if b.job.PickUp && (way == job.WayDial || way == job.WayAway) {
		return "a thread is picked up with the half-nuts shut and the tool the right way up"
	}
	return ""
}

package planner

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

// What turning a cone with the top slide keeps to (common practice).
const (
	// leastApart is the least distance of two places on a cone that tell its angle.
	leastApart = 15 * calc.Millimetre
	// beforeShoulder is left at the large end where a shoulder follows.
	beforeShoulder = calc.Millimetre / 10
	// indicatorTravel is how far the top slide goes along the test bar.
	indicatorTravel = 50 * calc.Millimetre
)

// cone is the taper in the making, outside or in a bore. What its end at the end of the
// work comes to is held as a size that every cut makes less: outside the diameter, in a bore
// the diameter below zero, see [cone.size]. Along the work that size grows by [change].
type cone struct {
	v         *level  // its section; nil in a bore
	hole      *cavity // its bore; nil outside
	taper     *job.Taper
	long      calc.Length // nominal length
	to        calc.Length // z where it ends
	stock     calc.Length // size of what it is cut from
	tool      job.Tool
	half      calc.Angle  // the tool moves at, as far as is known
	set       calc.Angle  // the top slide is set to
	worked    calc.Angle  // the cone has that was cut at the setting before
	reach     calc.Length // z where the passes at this setting end
	aim       calc.Length // size at the end of the work
	low, high calc.Length // what it may be
	proved    bool        // two diameters have shown the angle of this setting
	ring      ring        // of the top slide: zero with the tip at the end of the work
	start     calc.Length // on that ring, in front of the work
	stop      calc.Length // and at the large end
	last      calc.Length // size that was cut last
	n         int         // settings of the top slide so far
	passes    int
	taken     calc.Length // on diameter, by the last cut
	far       calc.Length // size at the far end now
	was       calc.Length // size of the cone cut at the setting before; zero for none
}

// change is how much larger a cone is at a distance from its small end.
func change(half calc.Angle, along calc.Length) calc.Length {
	return calc.Millimetres(2 * along.Millimetres() * math.Tan(half.Radians()))
}

// size is a diameter at the end of the work as a size that cuts make less, and the other
// way round.
func (c *cone) size(diameter calc.Length) calc.Length {
	if c.hole != nil {
		return -diameter
	}
	return diameter
}

// pos is where the job asks for the cone.
func (c *cone) pos() job.Pos {
	if c.hole != nil {
		return c.hole.bore.Pos
	}
	return c.v.sec.Pos
}

// checkTaper refuses a cone that the top slide does not reach over, or a centre stands
// in the way of.
func (b *build) checkTaper() {
	v := &b.levels[0]
	t := v.sec.Taper
	if t == nil {
		return
	}
	if v.sec.Tapered() {
		b.checkPipe(v)
		return
	}
	half := t.By.HalfAngle()
	front := b.lengthOfTurns(b.turnsInFront())
	need := calc.Millimetres((v.sec.Length.Max+front).Millimetres()/math.Cos(half.Radians())) + b.lathe.Top.Slack + 2*calc.Millimetre
	path := b.lathe.Source.Path
	switch stroke := b.lathe.TopStroke; {
	case stroke == 0:
		b.refuse(v.sec, fmt.Sprintf("measure how far the top slide goes from end to end and write it in %s below [top_slide], such as stroke = %q", path, need.Ceil(5*calc.Millimetre)),
			"the cone of section %s needs %s of the top slide, and the lathe file does not say how far it goes", v.sec.Name, b.show(need.Ceil(calc.Millimetre)))
	case stroke < need:
		b.refuse(v.sec, "make the cone shorter, or turn it between centres with the tailstock set over: turncue calc taper gives by how much",
			"the cone of section %s needs %s of the top slide, which goes %s", v.sec.Name, b.show(need.Ceil(calc.Millimetre)), b.show(stroke))
	}
	if t.Small.Tolerance() < b.cross.dial.Division() {
		b.refuse(v.sec, "widen the tolerance of the small end", "a small end of %s to %s is finer than the cross-slide ring can be set: half a division moves the diameter by %s",
			b.show(t.Small.Min), b.show(t.Small.Max), b.show(b.cross.dial.Division()))
	}
	if v.aim-t.Small.Mid() < 8*leastCut {
		b.refuse(v.sec, "make it a cylinder", "the cone of section %s is only %s smaller at its end: too little for two equal last cuts", v.sec.Name, b.show(v.aim-t.Small.Mid()))
	}
	// A cone bends at its thin end like a bar between its two ends; thinner than a third
	// of the thick one it whips (common practice).
	stiff := calc.Millimetres(math.Sqrt(math.Sqrt(math.Pow(v.aim.Millimetres(), 3) * t.Small.Min.Millimetres())))
	support := cutting.ChuckOnly
	if b.job.Centre {
		support = cutting.ChuckAndCentre
	}
	if h, err := cutting.StickOut(v.to, stiff, support); err == nil && h >= cutting.NeedsCentre || 3*t.Small.Min < v.aim {
		b.refuse(v.sec, "make the cone shorter or its small end thicker, or hold the small end on the centre", "a cone of %s to %s over %s is too slender at its small end to turn as it is held", b.show(t.Small.Min), b.show(v.aim), b.show(v.to))
	}
	if b.job.Centre {
		for _, d := range b.lathe.Tools {
			if d.Kind != string(sequence.CentreDrillTool) {
				continue
			}
			need := d.Size*212/100 + front*11547/10000 + 2*calc.Millimetre
			if thin := t.Small.Min - change(half, front); thin < need {
				b.refuse(v.sec, "hold it in the chuck alone, or make the small end thicker", "the tool starts %s in front of the small end of %s, and the tailstock centre stands there", b.show(front), b.show(t.Small.Min))
			}
			break
		}
	}
	for i := range b.levels[1:] {
		if w := b.levels[i+1].sec; w.Thread != nil {
			b.refuse(w, "thread it in a job of its own", "%s lies behind the cone of section %s, and the passes of a thread start in front of the end", w.Thread, v.sec.Name)
		}
	}
}

// turnsInFront is how many turns of the top slide a cut on the cone starts in front of
// the work.
func (b *build) turnsInFront() int {
	room := 3 * calc.Millimetre / 2
	return int((room + b.lathe.Top.Travel - calc.Nanometre) / b.lathe.Top.Travel)
}

func (b *build) lengthOfTurns(n int) calc.Length { return calc.Length(n) * b.lathe.Top.Travel }

// tapers turns the cone of the section at the free end with the top slide swivelled.
func (b *build) tapers() {
	v := &b.levels[0]
	if v.sec.Taper == nil {
		return
	}
	t, ok := b.tool(sequence.TurningTool, v.sec, "a taper")
	if !ok {
		return
	}
	if v.sec.Tapered() {
		b.pipeCone(v, t)
		b.section = nil
		b.pass, b.of = 0, 0
		return
	}
	b.op = sequence.OpTaper
	b.section = nil
	b.pass, b.of = 0, 0
	if b.inPost().Kind != sequence.TurningTool {
		b.mountStep("taper/tool", t, sequence.TurningTool, "tip")
	}
	b.section = v.sec
	c := &cone{v: v, taper: v.sec.Taper, long: v.sec.Length.Nominal, to: v.to, stock: v.size, tool: t, half: v.sec.Taper.By.HalfAngle(), last: v.size, far: v.size}
	b.swivel(c, c.half)
	b.touchCone(c)
	b.turnCone(c)
	if len(b.faults) > 0 {
		return
	}
	b.endCone(c)
	b.section = nil
	b.pass, b.of = 0, 0
}

// endCone tries a cone that has to fit with blue, and sets the top slide back.
func (b *build) endCone(c *cone) {
	if c.taper.Mates {
		into := "pushed into its socket"
		if c.hole != nil {
			into = "on the plug or shank that goes in, pushed home"
		}
		b.add("taper/blue", sequence.Step{
			Moves: b.stop(), Closing: sequence.Cue{sequence.WordBlueTaper}, Hand: hand("mic_outside"),
			Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
			Why:      "A thin line of blue along the cone, " + into + " and turned a little: three quarters of its length must mark. Marks at one end only: go back to the two readings of the cone and take them again.",
		})
	}
	b.add("taper/back", sequence.Step{
		Moves: append(b.stop(), sequence.Swivel{Travel: indicatorTravel, Narrows: c.hole != nil}), Hand: hand("tool_plain"),
		Closing: sequence.Cue{sequence.WordFreeCarriage}, Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: "Lengths and shoulders are set with the top slide along the bed.",
	})
	b.top = newRing(sequence.Top, b.lathe.Top, b.lathe.TopClockwiseIn)
}

// swivel sets the top slide to an angle; the second time and later the cut has shown
// that it was out.
func (b *build) swivel(c *cone, to calc.Angle) {
	c.set = to
	c.n++
	s := setup.TopSlide{FromAxis: to}
	m := sequence.Swivel{Angle: to, Narrows: c.hole != nil}
	which := "small end towards the tailstock: seen from above the slide is swung anticlockwise"
	if c.hole != nil {
		which = "large end at the mouth: seen from above the slide is swung clockwise"
	}
	why := fmt.Sprintf("%s, %s. The scale brings it there: this cone is short, and half a degree is within its limits.", c.taper.Name, which)
	if c.long >= leastApart {
		m.Travel = indicatorTravel
		if b.inches() {
			m.Travel = 2 * calc.Inch
		}
		m.Travel = min(m.Travel, b.lathe.TopStroke.Floor(5*calc.Millimetre))
		m.Rise = calc.Millimetres(s.In(m.Travel).Millimetres())
		why = fmt.Sprintf("%s is a half angle of %.4f degrees, %s. The scale is coarse: an indicator on the top slide, its foot on a true bar, must change by %s over %s of the slide.", c.taper.Name, to.Degrees(), which, b.show(m.Rise), b.show(m.Travel))
	}
	id := "taper/swivel"
	if c.n > 1 {
		id = fmt.Sprintf("taper/swivel%d", c.n)
		why = fmt.Sprintf("The two diameters made the half angle %.4f degrees, wanted %.4f: over %s of the slide the indicator must now change by %s.", c.worked.Degrees(), c.taper.By.HalfAngle().Degrees(), b.show(m.Travel), b.show(m.Rise))
	}
	b.pass, b.of = 0, 0
	b.add(id, sequence.Step{
		Moves: append(b.stop(), m), Hand: hand("tool_plain"), Why: why, Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
	})
}

// touchCone touches the end, which the top slide's ring counts from, and the outside or the
// wall of the hole.
func (b *build) touchCone(c *cone) {
	again := ""
	if c.n > 1 {
		again = fmt.Sprint(c.n)
	}
	c.ring = newRing(sequence.Top, b.lathe.Top, b.lathe.TopClockwiseIn)
	c.ring.zero = 0
	c.start = -b.lengthOfTurns(b.turnsInFront())
	along := c.to
	if c.stopped() {
		along -= beforeShoulder
	}
	if c.hole != nil && c.n > 1 { // no deeper than before, where the wall of the hole stands
		along = min(along, c.reach)
	}
	c.stop = c.ring.dial.SnapIn(b.onSlide(c, along))
	c.reach = b.alongWork(c, c.stop)
	rpm := b.coneSpeed(c)
	end := c.ring.set(0, sequence.OnEnd)
	b.z = 0
	var cautions []sequence.Word
	if c.hole != nil {
		cautions = []sequence.Word{sequence.WordNoFinger}
	}
	b.add("taper/end"+again, sequence.Step{
		Opening: sequence.Cue{sequence.WordTouching}, Cautions: cautions, Moves: append(b.spindle(sequence.Forward, rpm), end),
		Closing: sequence.Cue{sequence.WordLockCarriage}, Hand: hand("start_stop", "touch_off"),
		Why: "From here the swivelled top slide makes every movement along the work; the carriage stays locked.",
	})
	if c.hole != nil {
		b.touchInside(c, again)
		return
	}
	b.cross.last = sequence.In
	b.x = 0
	back := b.slope(c, c.start, sequence.Out, calc.Lead{})
	clear := b.cross.away(b.job.Bar + 4*calc.Millimetre)
	clear.Lash = calc.Ratio{}
	b.x = clear.X
	at := c.ring.dial.SnapIn(min(b.onSlide(c, b.touchAt()), c.stop))
	to := b.slope(c, at, sequence.In, calc.Lead{})
	on := c.stock
	if c.n > 1 {
		on = c.last + change(c.worked, b.z)
	}
	zero := b.cross.set(on, sequence.OnDiameter)
	b.x = on
	b.add("taper/touch"+again, sequence.Step{
		Opening: sequence.Cue{sequence.WordTouching}, Moves: []sequence.Move{back, clear, to, zero}, Hand: hand("touch_off"),
		Why: fmt.Sprintf("A light touch, %s from the end: the cross-slide ring now counts from %s there.", b.show(b.z), b.show(on)),
	})
	out := b.crossOut(change(c.half, b.z-calc.Millimetres((c.start-calc.Millimetre).Millimetres()*math.Cos(c.half.Radians()))) / 2)
	b.add("taper/clear"+again, sequence.Step{
		Moves: append([]sequence.Move{out}, b.frontOf(c)...), Hand: hand("dial_set"), Why: "In front of the work for the next cut.",
	})
}

// onSlide is the travel of the swivelled top slide for a distance along the work.
func (b *build) onSlide(c *cone, along calc.Length) calc.Length {
	return calc.Millimetres(along.Millimetres() / math.Cos(c.half.Radians()))
}

// alongWork is where along the work the swivelled top slide brings the tip.
func (b *build) alongWork(c *cone, travel calc.Length) calc.Length {
	return calc.Millimetres(travel.Millimetres() * math.Cos(c.half.Radians()))
}

// slope is a movement of the swivelled top slide to a place on its ring; outwards
// beyond it by the slack, so that it can be brought there inwards.
func (b *build) slope(c *cone, at calc.Length, way sequence.Way, feed calc.Lead) sequence.Shift {
	r := &c.ring
	m := sequence.Shift{Slide: sequence.Top, Approach: way, Lash: r.lash(way), Handle: r.turn(way), Angle: c.set, PerRev: feed, Narrows: c.hole != nil}
	stand := at
	if way == sequence.Out {
		// Past the place, so that the slack is taken up on the way in.
		r.at = r.dial.SnapIn(at - calc.Millimetre/2 - r.dial.Slack)
		stand = r.at + r.dial.Slack
	} else {
		r.at = at
	}
	m.Dial = r.shown(r.at)
	r.last = way
	along := b.alongWork(c, stand) - b.z // every pass ends at the same place
	by := c.size(change(c.half, along))
	b.z += along
	b.x += by
	b.cross.zero += by
	m.X, m.Z = b.x, b.z
	return m
}

// frontOf brings the top slide in front of the work, slack taken up towards it.
func (b *build) frontOf(c *cone) []sequence.Move {
	out := b.slope(c, c.start, sequence.Out, calc.Lead{})
	return []sequence.Move{out, b.slope(c, c.start, sequence.In, calc.Lead{})}
}

// coneSpeed is the speed for a cone: that of its widest place.
func (b *build) coneSpeed(c *cone) calc.Speed {
	if c.hole != nil {
		return b.speed(cutting.Bore, c.hole.bore.Diameter.Max, c.tool.Steel)
	}
	return b.speed(cutting.Turn, c.stock, c.tool.Steel)
}

// cutCone is one cut along the cone that leaves a size at the end of the work.
func (b *build) cutCone(c *cone, size calc.Length, half bool, opening sequence.Word, of int) {
	c.passes++
	n := c.passes
	b.pass, b.of = n, of
	front := change(c.half, -b.z)
	moves := b.spindle(sequence.Forward, b.coneSpeed(c))
	where, stop, feed := "small end", c.stop, b.feed(cutting.Finish)
	if x := c.size(size - front); c.hole != nil {
		where, stop, feed = "mouth", b.coneStop(c, size), b.feed(cutting.Bore)
		moves = append(moves, b.boreTo(x, half)...)
	} else {
		moves = append(moves, b.crossTo(x, half))
	}
	id := fmt.Sprintf("taper/pass%d", n)
	left := c.size(b.x) + front
	b.add(id+"/set", sequence.Step{
		Phase: sequence.PhaseSet, Opening: sequence.Cue{opening}, Moves: moves, Hand: hand("dial_set"),
		Why: fmt.Sprintf("Leaves %s at the %s.", b.show(c.size(left)), where),
	})
	c.taken = c.last - left
	c.last = min(c.last, left)
	c.far = min(c.far, left+change(c.half, c.to))
	long := stop - c.ring.at
	cut := b.slope(c, stop, sequence.In, feed)
	why := "Both hands on the top slide, an even feed; the cone grows from the free end."
	var out sequence.Shift
	if c.hole != nil {
		why = "Both hands on the top slide, an even feed; the cone grows inwards from the mouth."
		out = b.withdraw(c.tool)
	} else {
		out = b.crossOut(0)
	}
	moves = append([]sequence.Move{cut, out}, b.frontOf(c)...)
	var cautions []sequence.Word
	if n == 1 {
		cautions = []sequence.Word{sequence.WordNearJaws, sequence.WordSwarf}
		if c.hole != nil {
			cautions = b.boreCautions(true)
		}
	}
	b.add(id+"/cut", sequence.Step{
		Phase: sequence.PhaseCut, Moves: moves, Machine: b.cutTime(long, feed), Hand: hand("feed_engage", "dial_set"), Cautions: cautions,
		Why: why,
	})
}

// turnCone roughs the cone, puts the angle right by a trial cut measured at two places,
// and ends with two equal cuts and a reading between.
func (b *build) turnCone(c *cone) {
	b.aimCone(c)
	line := b.cross.dial.Division()
	finish, deep := finishCut, 2*b.roughDepth(c.tool)
	if c.hole != nil {
		finish, deep = boreCut, 2*b.boreRough(c.tool)
	} else if less, ruled := b.held(c.v, deep/2, c.taper.Small.Min, cutting.Finish, 0, b.coneSpeed(c)); ruled != "" {
		deep = 2 * max(b.cross.dial.SnapIn(less), line)
		b.warnOnce(fmt.Sprintf("roughing cuts of the cone of %s held to %s %s", c.v.sec.Name, b.show(deep/2), ruled))
	}
	each := max(b.cross.dial.Snap(min(finish, (c.stock-c.aim)/8)), leastCut.Ceil(line))
	if each > (c.stock-c.aim)/4 {
		b.refuseAt(c.pos(), "make it a cylinder, or steeper", "a change of diameter of %s is too little for two equal last cuts", b.show(c.stock-c.aim))
		return
	}
	k := 0
	if all := c.stock - c.aim - 4*each; all > 2*leastCut {
		of, from := int((all+deep-calc.Nanometre)/deep), c.stock
		if of > mostPasses {
			b.refuseAt(c.pos(), "list a larger drill and a stouter bar", "the cone takes %d passes from a hole of %s", of, b.show(c.size(c.stock)))
			return
		}
		for i := range of {
			b.cutCone(c, from-all*calc.Length(i+1)/calc.Length(of), false, sequence.WordRough, of)
		}
		if b.apart(c) > 0 {
			k++
			if b.readCone(c, k, each, false, true, true) {
				return
			}
		}
	}
	for final, again, first := false, false, true; ; first = false {
		for c.passes < mostPasses { // swung again, the most is at the far end
			y, steep := c.last-(c.last-c.aim)/2, change(c.half, c.to)
			if max(c.last-y, c.far-steep-y) <= deep {
				break
			}
			b.cutCone(c, max(c.last, c.far-steep)-deep, false, sequence.WordRough, c.passes+3)
			first = true
		}
		left := c.last - c.aim
		split := first && k > 0 || !first && !again && (left-c.taken).Abs() > line // into two equal cuts
		if to := c.last - c.taken; !first && split && to >= c.low+line && to <= min(c.high-line, b.clean(c)) {
			c.aim, left, split = to, c.taken, false
		}
		if split && left < 4*leastCut {
			c.aim = min(b.clean(c), max(b.least(c), c.last-4*leastCut))
			if left = c.last - c.aim; left < 3*leastCut {
				b.refuseAt(c.pos(), "begin again on a fresh piece, or allow more between its limits", "at the end the cone came out at %s: too little is left for two equal last cuts", b.show(c.size(c.last)))
				return
			}
		}
		switch {
		case left > 3*each || split || first && left >= 4*leastCut: // two more on diameter
			final = false
			b.cutCone(c, c.last-left/2, true, sequence.WordFirstCut, c.passes+2)
		case again:
			final = true
			b.cutCone(c, c.aim, true, sequence.WordCutAgain, c.passes+1)
		default:
			final = true
			b.cutCone(c, c.aim, true, sequence.WordLastCut, c.passes+1)
		}
		if k++; k > mostReadings {
			b.refuseAt(c.pos(), "look for a loose gib, a blunt tool or a top slide that is not clamped before cutting on", "%s at the end of the cone is still not reached after %d readings", b.show(c.size(c.aim)), k-1)
			return
		}
		if b.readCone(c, k, each, final, false, !c.proved) {
			return
		}
		again = final
	}
}

// aimCone settles what the small end is cut to: such that the cone meets the end of its
// section, inside the limits of both its ends. Where no shoulder stops it short of that
// end, the large end follows the small one.
func (b *build) aimCone(c *cone) {
	if c.hole != nil {
		b.aimInside(c)
		return
	}
	low, high := c.taper.Small.Min, c.taper.Small.Max
	wide := change(c.half, c.v.to)
	if !c.stopped() {
		low = max(low, c.v.sec.Diameter.Min-change(c.half, c.v.sec.Length.Min))
	}
	room := (high - low) / 4
	if low > high || 2*room < b.cross.dial.Division() {
		b.refuse(c.v.sec, "widen the tolerance of either end, or put a collar behind the cone", "a small end of %s or more keeps the large end inside its limits, and it may be %s at most", b.show(low), b.show(high))
	}
	c.low, c.high = low, high
	c.aim = min(max(c.stock-wide, low+room), high-room, b.clean(c))
}

// whole is the size at which nothing is left of the cone cut at the setting before, whose
// far end may have less.
func (c *cone) whole() calc.Length {
	if c.was == 0 {
		return c.stock
	}
	return c.was - max(0, change(c.half, c.to)-change(c.worked, c.to))
}

// least is the smallest size that is aimed at: the ring is set to half a division.
func (b *build) least(c *cone) calc.Length { return c.low + b.cross.dial.Division()/2 }

// clean is what is aimed at for that, at most.
func (b *build) clean(c *cone) calc.Length {
	if c.was == 0 {
		return c.stock
	}
	return c.whole() - 2*b.cross.dial.Division()
}

// readCone measures the small end and, where it tells the angle, the cone at a second
// place. It says that the cone is finished, or cannot be.
func (b *build) readCone(c *cone, k int, each calc.Length, final, trial, angle bool) (done bool) {
	limits := fit.Limits{Min: c.low, Max: min(c.high, c.whole())}
	b.pass, b.of = 0, 0
	id := fmt.Sprintf("taper/size%d", k)
	got := b.got(b.prefix() + id)
	m := &sequence.Measure{What: sequence.MeasureSmall, Nominal: c.size(c.last), Unit: b.job.Unit, Got: got}
	m.Min, m.Max = c.band(c.last-3*each, c.last+6*each)
	why, name, handling := "The edge of the micrometer's anvils level with the end: there the cone is thinnest.", "small end", "mic_outside"
	var with string
	if c.hole != nil {
		m.What, m.Grows = sequence.MeasureMouth, true
		why, name, handling = "The middle of the gauge's head level with the end, square to the axis, locked and lifted straight out: there the cone is widest.", "mouth", "bore_gauge"
		with, m.Division = b.acrossCone(c, "the mouth of the cone", c.hole.bore.Diameter.Nominal, limits.Tolerance())
	} else {
		with, m.Division = b.instrument(asked{c.pos(), "the small end", c.taper.Small.Nominal, limits.Tolerance(), []string{job.KindMicrometer, job.KindCaliper}}, "micrometer", 10*calc.Micrometre)
	}
	ends := func() { // the last reading: the limits of the drawing
		m.Final = true
		m.Min, m.Max = c.band(limits.Min, limits.Max)
	}
	if final {
		ends()
		m.Nominal = c.size(c.aim)
		why = fmt.Sprintf("The %s of %s: %s to %s.", name, c.taper.Name, b.show(m.Min), b.show(m.Max))
	}
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(b.stop(), sequence.Inspect{What: m.What, With: with}), Hand: hand(handling), Why: why,
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch, sequence.WordCoolFirst},
	})
	if got != nil {
		b.rezero(b.cross.zero + *got - c.size(c.last))
		c.last = c.size(*got)
	}
	if c.last < limits.Min { // the reading has said so
		ends()
		return true
	}
	// Before the angle is known a size that is right already is only believed where too
	// little is left for another cut.
	inside := c.last <= limits.Max && (final || got != nil && trial && c.last-b.least(c) < 3*leastCut || got != nil && !trial && (!angle || b.apart(c) == 0 || c.last-c.aim < 2*leastCut))
	if inside {
		ends()
	}
	if at := b.apart(c); angle && at > 0 && b.readAngle(c, k, at, each, inside && !final, with, m.Division) {
		return len(b.faults) > 0
	}
	if inside && c.last < c.low { // as the angle has come out
		b.refuseAt(c.pos(), "begin again on a fresh piece, or allow more at its other end", "at the half angle of %.3f degrees it came out at, %s at the end of the cone leaves its other end outside its limits", c.half.Degrees(), b.show(c.size(c.last)))
	}
	return inside && c.last <= min(c.high, c.whole())
}

// stopped says that a shoulder stops the cut at the large end.
func (c *cone) stopped() bool { return c.hole == nil && c.v.shoulder && c.v.most > c.v.aim }

// band is two sizes as the diameters of a reading, the smaller one first.
func (c *cone) band(low, high calc.Length) (smallest, largest calc.Length) {
	a, z := c.size(low), c.size(high)
	return min(a, z), max(a, z)
}

// holds says that the angle as it is leaves both ends room for a cut.
func (b *build) holds(c *cone) bool {
	if c.hole != nil {
		low, high := b.mouthBand(c)
		return high-low >= 2*b.cross.dial.Division()
	}
	return c.stopped() || c.taper.Small.Max-(c.v.sec.Diameter.Min-change(c.half, c.v.sec.Length.Min)) >= 2*b.cross.dial.Division()
}

// apart is how far from the small end the cone as it is now is measured a second time;
// zero where it is too short to tell its angle so.
func (b *build) apart(c *cone) calc.Length {
	round := 5 * calc.Millimetre
	if b.inches() {
		round = calc.Inch / 4
	}
	long := calc.Millimetres((c.stock - c.last).Millimetres() / 2 / math.Tan(c.half.Radians()))
	at := (min(long, c.to) - 2*calc.Millimetre).Floor(round)
	if at < leastApart {
		return 0
	}
	return at
}

// readAngle measures the cone at a second place, and where the two diameters show that
// it is out swivels the top slide by the difference, which it says. used says that
// nothing is left at the small end for another cut.
func (b *build) readAngle(c *cone, k int, at, each calc.Length, used bool, with string, division calc.Length) (swung bool) {
	id := fmt.Sprintf("taper/angle%d", k)
	got := b.got(b.prefix() + id)
	want := c.size(c.last + change(c.half, at))
	room := change(calc.Degree/2, at) + 2*each
	m := &sequence.Measure{
		What: sequence.MeasureAlong, At: at, Nominal: want, Min: want - room, Max: want + room, Unit: b.job.Unit, Division: division, Got: got,
	}
	how, handling := fmt.Sprintf("A line scribed %s from the end", b.show(at)), "mic_outside"
	if c.hole != nil {
		m.What, m.Grows = sequence.MeasureWithin, true
		with, m.Division = b.acrossCone(c, "the cone in the bore", want, 0)
		how, handling = fmt.Sprintf("A mark on the gauge's handle, %s from the middle of its head, level with the end", b.show(at)), "bore_gauge"
	}
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: []sequence.Move{sequence.Inspect{What: m.What, With: with}}, Hand: hand(handling),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why:      how + ". The two diameters tell the angle: the plan is made again from them.",
	})
	c.proved = true
	if got == nil {
		return false
	}
	half := calc.Radians(math.Atan((c.size(*got) - c.last).Millimetres() / 2 / at.Millimetres()))
	b.rezero(b.cross.zero + c.size(change(c.half, -b.z)-change(half, -b.z)))
	c.half = half
	target := c.taper.By.HalfAngle()
	off := half - target
	if max(off, -off) <= c.taper.Half*3/4 && b.holds(c) {
		was := c.aim
		if b.aimCone(c); c.last-c.aim < 2*leastCut && was < c.aim && was >= c.low+b.cross.dial.Division() {
			c.aim = was // it leaves something to cut
		}
		if done := used || c.last >= c.low && c.last <= min(c.high, c.whole()); !done && b.clean(c) < c.low+b.cross.dial.Division() {
			b.tooThin(c, half)
			return true
		}
		return false
	}
	// What the right cone leaves of this one: its large end may be the thinner.
	c.was, c.worked, c.half = c.last, half, target
	c.far = min(c.stock, c.was+change(half, c.to))
	if used || b.clean(c) < c.low+b.cross.dial.Division() || c.set-off <= 0 {
		b.tooThin(c, half)
		return true
	}
	if k == mostReadings {
		b.refuseAt(c.pos(), "look for a loose gib or a top slide that is not clamped", "the angle of the cone is still not right after %d readings", k)
		return true
	}
	c.proved = false
	b.aimCone(c)
	b.swivel(c, c.set-off)
	b.touchCone(c)
	return true
}

// tooThin refuses a cone that came out at an angle which leaves too little for the right
// one.
func (b *build) tooThin(c *cone, half calc.Angle) {
	end, allow := "a small end", "allow a thinner small end"
	if c.hole != nil {
		end, allow = "a mouth", "allow a wider mouth"
	}
	b.refuseAt(c.pos(), "begin again on a fresh piece with the top slide set by the indicator, or "+allow,
		"the cone came out at a half angle of %.3f degrees where %.3f is wanted, and at the right one too little is left: %s of %s", half.Degrees(), c.taper.By.HalfAngle().Degrees(), end, b.show(c.size(b.clean(c))))
}

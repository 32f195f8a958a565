package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

// What turning and threading by the taper slide keep to (common practice).
const (
	// pastSlack is how much further than its slack a pass starts in front of the end.
	pastSlack = calc.Millimetre
	// pastFade is how far past the place where a cone or a thread runs out of the
	// cylinder its passes end.
	pastFade = calc.Millimetre
	// pipeMore is what a pass takes off at most, on radius, once the ring has been tried.
	pipeMore = 50 * calc.Micrometre
	// slideTravel is how far the carriage goes along the indicator that sets the slide.
	slideTravel = 50 * calc.Millimetre
)

// taperSizes are the sizes along the thread of a section that has a taper.
func (v *level) taperSizes() thread.TaperSizes {
	s, err := v.sec.Thread.TaperSizes()
	if err != nil {
		return thread.TaperSizes{} // the job was not taken with one
	}
	return s
}

// crest is the diameter a thread's depth is counted from: as turned, and on a taper as
// the small end has it at the gauge plane.
func (v *level) crest() calc.Length {
	if !v.sec.Tapered() {
		return v.size
	}
	return v.thin + v.taperSizes().Gauge.Scale(v.sec.Thread.Taper)
}

// surface is the diameter of a thread's crests at a place.
func (v *level) surface(z calc.Length) calc.Length {
	if !v.sec.Tapered() {
		return v.size
	}
	return v.thin + (z - v.from).Scale(v.sec.Thread.Taper)
}

// follow is a movement of the carriage with what it does to the cross slide while the
// taper slide leads it.
func (b *build) follow(m sequence.Carriage) sequence.Carriage {
	if b.led.Sign() == 0 {
		return m
	}
	by := (m.To - m.From).Scale(b.led)
	b.x += by
	b.cross.zero += by
	if !b.blind {
		m.X = b.x
	}
	return m
}

// followed is [build.follow] for the moves of a step.
func (b *build) followed(moves []sequence.Move) []sequence.Move {
	for i, m := range moves {
		if c, ok := m.(sequence.Carriage); ok {
			moves[i] = b.follow(c)
		}
	}
	return moves
}

// checkPipe refuses a taper thread that this lathe does not lead a tool along.
func (b *build) checkPipe(v *level) {
	s := v.sec
	t := s.Thread
	slide, path := b.lathe.TaperSlide, b.lathe.Source.Path
	half := s.Taper.By.HalfAngle()
	switch {
	case slide == nil:
		b.refuse(s, fmt.Sprintf("list the taper slide in %s where there is one: [taper_slide] with greatest = \"8 deg\" and stroke = \"150 mm\"; else cut it with a die, or between centres with the tailstock set over, which turncue calc taper works out", path),
			"%s is a taper thread and no taper slide is listed for the lathe: the carriage goes straight, and the top slide set over has no drive", t)
		return
	case slide.ByTop:
		b.refuse(s, "cut it with a die, or between centres with the tailstock set over, which turncue calc taper works out",
			"%s is a taper thread, and the cross slide of this lathe has no screw while the taper slide leads it: its ring cannot set the depth", t)
		return
	case slide.Greatest < half:
		b.refuse(s, "cut it with a die", "the taper slide is set to %.2f degrees at the most, and %s needs %.3f", slide.Greatest.Degrees(), t, half.Degrees())
	}
	for i := range b.job.Bores {
		if d := &b.job.Bores[i]; d.Taper != nil {
			b.refuseAt(d.Pos, "bore the cone in a job of its own", "bore %s is a cone, and section %s is cut with the taper slide: both in one plan are not planned", d.Name, s.Name)
		}
	}
	if b.job.PickUp {
		b.refuse(s, "cut it again on a fresh piece, or finish it with a die", "%s is a taper thread: taper threads are not picked up", t)
	}
	if line := b.cross.dial.Division(); t.Turn().Scale(t.Taper) < line {
		b.refuse(s, "a finer cross-slide ring, or a die", "the gauge plane of %s may lie a turn either way, %s on diameter, finer than the cross-slide ring can be set: half a division moves the diameter by %s", t, b.show(t.Turn().Scale(t.Taper)), b.show(line))
	}
	if v.aim-s.Taper.Small.Mid() < 8*leastCut {
		b.refuse(s, "a larger size", "the cone of %s is only %s smaller at its end: too little for two equal last cuts", t, b.show(v.aim-s.Taper.Small.Mid()))
	}
}

// slideFront is where the cuts of a cone start: far enough in front for the slack of the
// taper slide.
func (b *build) slideFront() calc.Length {
	front := -max(2*calc.Millimetre, b.lathe.TaperSlide.Slack+pastSlack)
	if b.inches() {
		return front.Floor(calc.Inch / 10)
	}
	return front.Floor(calc.Millimetre)
}

// reaches refuses passes longer than the taper slide leads.
func (b *build) reaches(v *level, from, to calc.Length) bool {
	if long := to - from; long > b.lathe.TaperSlide.Stroke {
		b.refuse(v.sec, "cut it with a die, or make the section shorter", "the passes of %s go %s along, and the taper slide leads the cross slide over %s", v.sec.Thread, b.show(long), b.show(b.lathe.TaperSlide.Stroke))
		return false
	}
	return true
}

// clampSlide clamps the taper slide to the bed, after it has been set where set is told.
func (b *build) clampSlide(v *level, id string, set bool) {
	m := sequence.TaperSlide{Clamped: true, Angle: v.sec.Taper.By.HalfAngle()}
	why := "The bar has kept its angle: thread and cone are parallel."
	hands := "tailstock_tool"
	if set {
		hands = "tool_plain"
		m.Travel = slideTravel
		if b.inches() {
			m.Travel = 2 * calc.Inch
		}
		m.Travel = min(m.Travel, b.lathe.TaperSlide.Stroke.Floor(5*calc.Millimetre))
		m.Rise = (m.Travel / 2).Scale(v.sec.Thread.Taper)
		why = fmt.Sprintf("1 in 16 on diameter is a half angle of %.3f degrees, the small end towards the tailstock. The scale is coarse: an indicator on the bed against the cross slide must change by %s over %s of the carriage, always moved towards the chuck.", m.Angle.Degrees(), b.show(m.Rise), b.show(m.Travel))
	}
	b.led, b.blind = v.sec.Thread.Taper, true
	b.add(id, sequence.Step{
		Moves: append(b.stop(), m), Hand: hand(hands), Why: why, Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
	})
}

// freeSlide frees the taper slide: the cross slide stays where it is again.
func (b *build) freeSlide(id, why string) {
	b.led = calc.Ratio{}
	b.pass, b.of = 0, 0
	b.add(id, sequence.Step{
		Moves: append(b.stop(), sequence.TaperSlide{Angle: b.levels[0].sec.Taper.By.HalfAngle()}), Hand: hand("tailstock_tool"), Why: why,
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
	})
}

// pipeCone turns the cone of a taper thread with the tool that turned its cylinder.
func (b *build) pipeCone(v *level, t job.Tool) {
	b.op, b.section = sequence.OpTaper, v.sec
	b.pass, b.of = 0, 0
	sizes := v.taperSizes()
	taper := v.sec.Thread.Taper
	front := b.slideFront()
	// Where the cone has run out of the cylinder, however thin its small end becomes.
	end := v.from + v.sec.Taper.By.Depth(v.size-v.sec.Taper.Small.Min) + pastFade
	end = min(end.Ceil(calc.Millimetre), v.end)
	if !b.reaches(v, front, end) {
		return
	}
	b.clampSlide(v, "taper/slide", true)
	at := v.from + min(b.touchAt(), sizes.Useful/2)
	rpm := b.speed(cutting.Turn, v.size, t.Steel)
	moves := []sequence.Move{b.farOut(), b.along(front), b.along(at)}
	moves = append(append(moves, b.spindle(sequence.Forward, rpm)...), b.cross.set(v.size, sequence.OnDiameter))
	b.x, b.blind = v.size, false
	b.add("taper/touch", sequence.Step{
		Opening: sequence.Cue{sequence.WordTouching}, Moves: moves, Hand: hand("start_stop", "touch_off"),
		Why: fmt.Sprintf("From %s in front the slack of the taper slide is taken up when the tool comes to its place, %s from the end: the ring counts from %s there.", b.show(-front), b.show(at), b.show(v.size)),
	})
	b.add("taper/clear", sequence.Step{
		Moves: []sequence.Move{b.crossOut(0), b.along(front)}, Hand: hand("dial_set"),
		Why: "In front of the work for the next cut, so far that the slack of the taper slide is run out before the metal.",
	})
	by := (front - v.from).Scale(taper)
	line := b.cross.dial.Division()
	limits := v.sec.Taper.Small
	aim := limits.Mid()
	last := v.size
	each := max(b.cross.dial.Snap(min(finishCut, (v.size-aim)/8)), leastCut.Ceil(line))
	n := 0
	cut := func(small calc.Length, half bool, opening sequence.Word, of int) {
		n++
		b.pass, b.of = n, max(of, n)
		set := b.crossTo(small+by, half)
		moves := append(b.spindle(sequence.Forward, rpm), set)
		last = set.X - by
		id := fmt.Sprintf("taper/pass%d", n)
		b.add(id+"/set", sequence.Step{
			Phase: sequence.PhaseSet, Opening: sequence.Cue{opening}, Moves: moves, Hand: hand("dial_set"),
			Why: fmt.Sprintf("Leaves %s at the small end.", b.show(last)),
		})
		drive, feed := b.drive(cutting.Finish)
		along := b.follow(sequence.Carriage{From: b.z, To: end, By: drive, PerRev: feed, Cutting: true})
		b.z = end
		out := b.crossOut(0)
		b.add(id+"/cut", sequence.Step{
			Phase: sequence.PhaseCut, Moves: []sequence.Move{along, out, b.along(front)},
			Machine: b.cutTime(end-front, feed), Hand: hand("feed_engage", "dial_set"), Cautions: b.passCautions(n == 1),
			Why: "The taper slide takes the tool outwards as it goes along, until it has run out of the metal.",
		})
	}
	if all := last - aim - 4*each; all > 2*leastCut {
		deep := 2 * b.roughDepth(t)
		of, from := int((all+deep-calc.Nanometre)/deep), last
		for i := range of {
			cut(from-all*calc.Length(i+1)/calc.Length(of), false, sequence.WordRough, of+2)
		}
	}
	cut(last-(last-aim)/2, false, sequence.WordFirstCut, n+2)
	for k, final := 1, false; ; k++ {
		got, m := b.readSmall(v, k, last, each, final)
		if got != nil {
			b.rezero(b.cross.zero + *got - last)
			last = *got
		}
		if last < limits.Min || last <= limits.Max && (final || got != nil) {
			m.Final, m.Min, m.Max = true, limits.Min, limits.Max
			break
		}
		if k == mostReadings {
			b.refuse(v.sec, "look for a loose gib, a blunt tool or a taper slide that is not clamped before cutting on", "the small end of %s is still not reached after %d readings", b.show(aim), k)
			return
		}
		left := last - aim
		equal := left <= 3*each
		at := b.cross.at0(last + by)
		target, opening, of := aim, sequence.WordLastCut, n+1
		switch {
		case !equal:
			target, opening, of = last-left/2, sequence.WordFirstCut, n+2
		case final:
			opening = sequence.WordCutAgain
		}
		final = equal
		if b.cross.at0(target+by) <= at {
			target -= line
		}
		cut(target, true, opening, of)
	}
	v.thin = last
	b.freeSlide("taper/free", "Its bar keeps its angle for the thread. What comes next goes straight.")
}

// at0 is the half line of the ring nearest to a diameter, as travel from zero.
func (r *ring) at0(x calc.Length) calc.Length { return r.lines(true).Snap(r.offset(x)) }

// readSmall has the small end of a cone measured.
func (b *build) readSmall(v *level, k int, planned, each calc.Length, final bool) (*calc.Length, *sequence.Measure) {
	limits := v.sec.Taper.Small
	id := fmt.Sprintf("taper/size%d", k)
	with, division := b.instrument(asked{v.sec.Pos, "the small end", limits.Nominal, limits.Tolerance(), []string{job.KindMicrometer, job.KindCaliper}}, "micrometer", 10*calc.Micrometre)
	m := &sequence.Measure{
		What: sequence.MeasureSmall, Nominal: planned, Min: planned - 3*each, Max: planned + 6*each,
		Unit: b.job.Unit, Division: division, Got: b.got(b.prefix() + id),
	}
	why := "The edge of the micrometer's anvils level with the end: there the cone is thinnest."
	if final {
		m.Final, m.Nominal, m.Min, m.Max = true, limits.Mid(), limits.Min, limits.Max
		why = fmt.Sprintf("At the small end %s to %s: the crest at the gauge plane is then basic or a little less.", b.show(limits.Min), b.show(limits.Max))
	}
	b.pass, b.of = 0, 0
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(b.stop(), sequence.Inspect{What: m.What, With: with}), Hand: hand("mic_outside"), Why: why,
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch, sequence.WordCoolFirst},
	})
	return m.Got, m
}

// fades is where the root of a taper thread at its deepest has come out of the cylinder.
func (b *build) fades(t *threading) calc.Length {
	v := t.v
	return v.from + v.taperSizes().Gauge + v.sec.Taper.By.Depth(v.size-v.crest()+2*t.depth.Limit)
}

// touchPipe clamps the taper slide and lays the threading tool on the cone.
func (b *build) touchPipe(t *threading, rpm calc.Speed) {
	v := t.v
	b.clampSlide(v, "thread/slide", false)
	at := v.from + min(b.touchAt(), v.taperSizes().Useful/2)
	moves := []sequence.Move{b.farOut(), b.along(t.start), b.along(at)}
	moves = append(append(moves, b.spindle(t.cut, rpm)...), b.cross.set(v.surface(at), sequence.OnDiameter))
	b.x, b.blind = v.surface(at), false
	b.add("thread/touch", sequence.Step{
		Opening: sequence.Cue{sequence.WordTouching}, Moves: moves, Hand: hand("start_stop", "touch_off"),
		Cautions: []sequence.Word{sequence.WordNearJaws},
		Why: fmt.Sprintf("On the cone, %s from the end, come to from in front so that no slack is left in the taper slide. Depth is counted from here: %s on radius, half a turn short of the gauge plane, with a tip of %s.",
			b.show(at), b.show(t.depth.Aim), t.tool.Tip),
	})
	b.z = at
}

// gaugePipe screws the ring gauge on by hand. How far short of its gauge length it stays
// tells what is still to come off: a thirty-second of it on radius.
func (b *build) gaugePipe(t *threading, depth calc.Length) {
	v := t.v
	th, sizes := v.sec.Thread, v.taperSizes()
	for k := 1; ; k++ {
		id := fmt.Sprintf("thread/gauge%d", k)
		with, division := b.onLength(v.sec.Pos, "how far the ring gauge goes on", sizes.Gauge, 2*th.Turn())
		m := &sequence.Measure{
			What: sequence.MeasureRingOn, Nominal: sizes.Gauge, Min: sizes.Gauge - th.Turn(), Max: sizes.Gauge + th.Turn(), Final: true, Grows: true,
			Unit: b.job.Unit, Division: division, Got: b.got(b.prefix() + id),
		}
		b.add(id, sequence.Step{
			Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
			Moves: append(b.stopped(), sequence.Inspect{What: m.What, With: b.ringGauge(v.sec)}, sequence.Inspect{What: m.What, With: with}),
			Hand:  hand("thread_nut"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
			Why: fmt.Sprintf("Brush clean first. %sThe ring by hand until it stops, then from the end of the work to the face of the ring nearer the chuck: %s, and a turn of %s either way. Too short by some is a thirty-second of it on radius still to cut. A ring that rocks shows a taper that is out.", t.nuts(), b.show(sizes.Gauge), b.show(th.Turn())),
		})
		if m.Got == nil || *m.Got >= m.Min {
			return
		}
		if k == mostGaugings {
			b.refuse(v.sec, "brush and deburr the thread, try the gauge on a sound thread, and see that the ring of the cross slide has not been moved", "the ring gauge still goes on only %s of %s after %d passes more", b.show(*m.Got), th, k)
			return
		}
		short := (sizes.Gauge - *m.Got).Scale(th.Taper) // on diameter
		real := t.full - short/2
		b.rezero(b.cross.zero + 2*(depth-real))
		cuts := max(1, int((t.full-real).Ceil(pipeMore)/pipeMore))
		for i := range cuts {
			pass := fmt.Sprintf("thread/more%d", k)
			if cuts > 1 {
				pass = fmt.Sprintf("%s/pass%d", pass, i+1)
			}
			was := b.cross.at0(v.surface(t.start) - 2*real)
			to := real + (t.full-real)/calc.Length(cuts-i)
			if b.cross.at0(v.surface(t.start)-2*to) <= was {
				to = real + b.cross.dial.Division()/2
			}
			b.threadPass(t, pass, to, sequence.Cue{sequence.WordOneMore}, false)
			real = (v.surface(t.start) - b.deepest) / 2
		}
		depth = real
	}
}

// pipeWhy is what a pass of a taper thread runs into.
func (b *build) pipeWhy(t *threading) string {
	return fmt.Sprintf("The taper slide lifts the tool as it goes along: about %s from the end its point is out of the metal. Nothing to hit before %s; power off when no chip comes any more.", b.show(b.fades(t)), b.show(t.v.to))
}

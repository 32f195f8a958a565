package planner

import (
	"fmt"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/gear"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	// scratch is the depth on radius of the pass that only shows the pitch.
	scratch = 40 * calc.Micrometre
	// startLeads is how many leads before the end a pass starts: enough to take up
	// the slack of gears and half-nuts (common practice: three to five).
	startLeads = 3
	// stopSafety is kept clear when a pass has to end in a groove.
	stopSafety = calc.Millimetre / 2
	// springPasses repeat the last depth with nothing added.
	springPasses = 1
	// mostGaugings is how often a thread may be tried before the plan gives up.
	mostGaugings = 20
)

// threading is one thread being cut: what is fixed before its passes.
type threading struct {
	v        *level
	way      job.Way
	tool     job.Tool
	depth    thread.Depth
	rpm      calc.Speed    // zero when cranked by hand
	cranked  bool          // way is [job.WayCrank]
	outward  bool          // passes start in the groove and run out past the end
	cut      sequence.Turn // of the spindle in a pass under power
	back     sequence.Turn // and on the way back
	marks    sequence.Marks
	clear    calc.Length // diameter the tool is clear of on the way back; zero: of the thread alone
	start    calc.Length // z where passes start
	end      calc.Length // z where they end
	lead     calc.Lead   // what the gears really cut
	train    gear.Train
	graduate calc.Length // depth on radius of one division of the cross-slide ring
	inside   *insideCut  // how it is cut in a bore; nil outside
	fade     *fading     // how it ends in front of a shoulder without a groove; nil for a groove
	laid     calc.Length // z where the tool is laid in a thread that is there
	full     calc.Length // depth of a taper thread that brings the ring to its gauge plane
	index    calc.Length // how far the top slide stands from where the first start was cut
}

// threads cuts every thread of the part.
func (b *build) threads(of []int) {
	b.op = sequence.OpThread
	b.section = nil
	b.pass, b.of = 0, 0
	var mounted sequence.Mount
	tools := 0
	for _, i := range of {
		v := &b.levels[i]
		if v.sec.Thread == nil {
			continue
		}
		t, ok := b.prepare(v)
		if !ok {
			continue
		}
		m := b.mount(t.tool, sequence.ThreadingTool, "tip")
		m.UpsideDown, m.Angle = t.cut == sequence.Reverse, flanks(t.tool)
		again := tools > 0 && m == mounted
		if !again {
			tools++
			b.mountThreading("thread/tool", m, t.tool)
			if v.sec.Tapered() {
				b.plan.Steps[len(b.plan.Steps)-1].Why = "Square to the axis of the lathe, not to the cone: the thread gauge lies on the cylinder behind it, or on the tailstock sleeve."
			}
			mounted = m
		}
		b.section = v.sec
		if t.fade != nil {
			b.scribeEnd(t)
		}
		b.touchThread(t, again)
		b.fitted = b.gears(t, b.fitted)
		b.cutThread(t)
	}
	b.section = nil
	b.pass, b.of = 0, 0
}

// mountThreading fits a threading tool, upside down where it cuts in reverse.
func (b *build) mountThreading(id string, m sequence.Mount, t job.Tool) {
	b.mountStep(id, t, sequence.ThreadingTool, "tip")
	s := &b.plan.Steps[len(b.plan.Steps)-1]
	s.Moves[len(s.Moves)-1] = m
	if m.UpsideDown {
		s.Why = "Upside down it cuts in reverse. Its point on centre, clamped so that it cannot lift; the thread gauge shows whether both flanks stand even."
	}
}

// prepare settles all that is fixed before a thread's first pass, or refuses it.
func (b *build) prepare(v *level) (*threading, bool) {
	s := v.sec
	th := *s.Thread
	tool, ok := b.threader(v)
	if !ok {
		return nil, false
	}
	tool = b.tipped(tool)
	tip, err := thread.ParseTip(tool.Tip, th.Pitch)
	if err != nil {
		b.refuse(s, "write the tip of the threading tool as measured, such as tip = \"radius 0.1 mm\"", "%v", err)
		return nil, false
	}
	depth, err := th.Depth(tip, v.crest())
	if err != nil {
		b.refuse(s, "grind or buy a finer tip, and write it down: tip = \"radius 0.1 mm\"", "%v", err)
		return nil, false
	}
	if b.job.Centre {
		b.refuse(s, "hold it in the chuck alone: support = \"chuck\" with a shorter stick-out", "a pass of %s starts in front of the end, where the centre stands", s.Thread)
		return nil, false
	}
	b.helix(s)
	t := &threading{v: v, tool: tool, depth: depth, graduate: b.cross.dial.Division()}
	if t.full = depth.Aim; s.Tapered() {
		t.depth.Aim = calc.Mid(depth.Start, depth.Aim) // the ring tells what is still to come
	}
	if !b.runsClear(t) {
		return nil, false
	}
	if !b.train(t) {
		return nil, false
	}
	if !b.chooseWay(t) {
		return t, false
	}
	return t, !s.Tapered() || b.reaches(v, t.start, t.end)
}

// train picks the gears for a thread: the best that mounts.
func (b *build) train(t *threading) bool {
	s := t.v.sec
	th := s.Thread
	limits, err := th.Limits()
	if err != nil {
		b.refuse(s, "", "%v", err)
		return false
	}
	want := b.lathe.Gearing()
	want.Lead, want.Pitch, want.LeftHand = th.Lead, th.Pitch.Length(), th.LeftHand
	want.Length, want.Diameter, want.Tolerance = s.Length.Nominal, th.Nominal, limits.Pitch.Max-limits.Pitch.Min
	want.Angle = th.Angle
	res, err := gear.Search(want)
	if err != nil {
		b.refuse(s, "", "%v", err)
		return false
	}
	for _, train := range res.Trains {
		if !train.Fits {
			continue
		}
		if train.Verdict == gear.NoFit {
			break
		}
		t.train, t.lead = train, train.Lead
		if b.lathe.Banjo.Hard(train.StepUp) {
			b.warn("%s: gears %s turn the leadscrew %.3g times as fast as the first driver: slowest speed, or turn the spindle by hand", th, train, train.StepUp)
		}
		if !train.Exact() {
			b.warn("%s: gears %s cut %s, %+.0f ppm off: %s", th, train, train.Lead.Length().Trimmed(calc.Millimetre, 6)+" mm", train.PPM(), train.Verdict)
		}
		return true
	}
	hint := "add a wheel to the set, or choose another pitch"
	if len(res.Hints) > 0 {
		hint = res.Hints[0]
	}
	b.refuse(s, hint, "no train of the wheels owned cuts %s from a leadscrew of %s well enough", th.Lead, b.lathe.Leadscrew)
	return false
}

// touchThread lays the tool on the turned diameter and zeroes the ring; again says
// that it stands where another thread began.
func (b *build) touchThread(t *threading, again bool) {
	rpm := t.rpm
	if t.cranked {
		rpm = b.speed(cutting.Thread, t.v.aim, t.tool.Steel)
	}
	if t.v.sec.Tapered() {
		b.touchPipe(t, rpm)
		b.placeThread(t)
		return
	}
	// Upside down it is touched with the spindle the way it cuts.
	at := b.touchOn(t.v)
	var moves []sequence.Move
	if again {
		moves = append(moves, b.farOut(), b.along(at))
	}
	moves = append(moves, b.spindle(t.cut, rpm)...)
	moves = append(moves, b.cross.set(t.v.size, sequence.OnDiameter))
	b.x = t.v.size
	b.add("thread/touch", sequence.Step{
		Opening: sequence.Cue{sequence.WordTouching}, Moves: moves, Hand: hand("start_stop", "touch_off"),
		Cautions: []sequence.Word{sequence.WordNearJaws},
		Why:      fmt.Sprintf("Depth is counted from here: %s on radius to the middle of the limits, with a tip of %s.", b.show(t.depth.Aim), t.tool.Tip),
	})
	b.z = at
	b.placeThread(t)
}

// placeThread takes the tool to where the passes of a thread start.
func (b *build) placeThread(t *threading) {
	why := fmt.Sprintf("The start of every pass: %s in front of the end, enough to take up all slack. It need not be exact.", b.show(-t.start))
	if t.outward {
		why = "The start of every pass: the point over the groove, nearer its shoulder. The eye places it. Wound out so far, the tool clears what stands behind the groove too."
	}
	moves := []sequence.Move{b.crossOut(max(0, t.clear-t.v.size) / 2), b.along(t.start)}
	if t.starts() > 1 {
		moves = append(moves, b.zeroIndex(t)...)
	}
	b.add("thread/place", sequence.Step{
		Moves: append(moves, b.stop()...), Hand: hand("dial_set", "start_stop"), Why: why,
	})
}

// gears fits the train, with the lathe isolated and the cover shut again after. It
// says what is fitted then.
func (b *build) gears(t *threading, fitted sequence.Gears) sequence.Gears {
	m := sequence.Gears{Drivers: t.train.Drivers, Driven: t.train.Driven, Idlers: t.train.Idlers, Lever: t.train.Lever, Lead: t.lead, Backward: t.v.sec.Thread.LeftHand}
	if trainText(m) == trainText(fitted) && m.Lever == fitted.Lever && m.Backward == fitted.Backward {
		return fitted
	}
	op := b.op
	b.op = sequence.OpGears
	defer func() { b.op = op }()
	moves := append(b.stop(), sequence.Supply{Isolated: true})
	b.isolated = true
	b.add("gears/isolate", sequence.Step{Moves: moves, Hand: hand("start_stop"), Why: "Gears take fingers. The plug out, or the switch locked, before the cover is touched."})
	b.add("gears/open", sequence.Step{Moves: []sequence.Move{sequence.Guard{Open: true}}, Hand: hand("start_stop"), Why: "Only with the plug out."})
	closing := sequence.Cue{sequence.WordMeshPaper}
	if b.lathe.Tumbler {
		closing = append(closing, sequence.FullStop, sequence.WordTumbler)
		if m.Backward {
			closing[len(closing)-1] = sequence.WordTumblerLeft
		}
	}
	lever := ""
	if t.train.Lever != "" {
		lever = fmt.Sprintf("Gearbox lever at %s. ", t.train.Lever)
		b.warnOnce(fmt.Sprintf("%s: gearbox lever at %s", t.v.sec.Thread, t.train.Lever))
	}
	b.add("gears/fit", sequence.Step{
		Moves: []sequence.Move{m}, Closing: closing, Hand: hand("gears_set"),
		Why: fmt.Sprintf("%sCuts %s. Read the teeth on each wheel back before tightening; keys in, nuts tight.", lever, t.lead),
	})
	why := "Nothing may bind, and the leadscrew turns the way the spindle does."
	if m.Backward {
		why = "Nothing may bind, and the leadscrew turns against the spindle: left-hand."
	}
	b.add("gears/turn", sequence.Step{
		Moves: []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}}, Closing: sequence.Cue{sequence.WordGearsByHand},
		Hand: hand("deburr"), Why: why,
	})
	b.turning = sequence.Stop
	shut := []sequence.Move{sequence.Guard{}}
	if !t.cranked {
		shut = append(shut, sequence.Supply{})
		b.isolated = false
	}
	b.add("gears/shut", sequence.Step{Moves: shut, Hand: hand("start_stop"), Why: "Cover shut before there is power again."})
	return m
}

func trainText(m sequence.Gears) string {
	return gear.Train{Drivers: m.Drivers, Driven: m.Driven, Idlers: m.Idlers}.String()
}

// cutThread is the thread itself: the scratch pass and its check, the passes, the
// spring pass, and the gauge.
func (b *build) cutThread(t *threading) {
	b.shutHalfNuts(t)
	first := b.cross.dial.Snap(max(scratch, t.graduate))
	depths := b.passDepths(t)
	if depths == nil {
		return
	}
	total, _ := b.total(t.depth)
	for len(depths) > 0 && depths[0] <= first {
		depths = depths[1:]
	}
	b.pass, b.of = 0, 0
	for k := range t.starts() {
		id, opening := "thread", sequence.Cue{sequence.WordScratchPass}
		if t.starts() > 1 {
			id = fmt.Sprintf("thread/start%d", k+1)
			opening = sequence.Cue{sequence.WordThreadStart, sequence.CountWord(1, t.starts()), sequence.Comma, sequence.WordScratchPass}
		}
		if k == 0 {
			b.threadPass(t, "thread/scratch", first, opening, true)
		} else {
			b.indexTo(t, id+"/index", k)
		}
		for i, d := range depths {
			b.pass, b.of = i+1, len(depths)
			b.threadPass(t, fmt.Sprintf("%s/pass%d", id, i+1), d, nil, false)
		}
		b.pass, b.of = 0, 0
		for i := range springPasses {
			b.threadPass(t, fmt.Sprintf("%s/spring%d", id, i+1), total, sequence.Cue{sequence.WordSpringPass, sequence.Comma, sequence.WordTheSameAgain}, false)
		}
	}
	if t.v.sec.Tapered() {
		b.gaugePipe(t, total)
	} else {
		b.gauge(t, total)
	}
	b.endThread(t)
	if t.v.sec.Tapered() {
		b.freeSlide("thread/free", "The cross slide stays where it is set again.")
	}
}

// shutHalfNuts shuts them for all passes, the crank fitted before where it is used.
func (b *build) shutHalfNuts(t *threading) {
	b.op = sequence.OpThread
	if t.cranked {
		b.add("thread/crank", sequence.Step{
			Moves: append(b.isolate(), sequence.Spindle{Turn: sequence.ByHand}), Closing: sequence.Cue{sequence.WordPlugOut},
			Hand: hand("tailstock_tool"), Why: "With the crank in the spindle the motor must not be able to start: the plug stays out.",
		})
		b.turning = sequence.ByHand
	}
	if t.way != job.WayDial {
		why := "They stay shut until the gauge fits: opening them loses the groove."
		if t.outward {
			why += " Where they do not drop in, turn the spindle by hand until they do; the tool stays over the groove."
		}
		b.add("thread/halfnuts", sequence.Step{
			Moves: []sequence.Move{sequence.HalfNut{Closed: true}}, Closing: sequence.Cue{sequence.WordKeepShut},
			Hand: hand("feed_engage"), Why: why,
		})
	}
}

// isolate takes the power away where it is not already.
func (b *build) isolate() []sequence.Move {
	m := b.stop()
	if !b.isolated {
		m = append(m, sequence.Supply{Isolated: true})
		b.isolated = true
	}
	return m
}

// gauge tries the thread. Tight adds the smallest useful pass and tries again,
// never beyond the depth at which the thread would be too thin.
func (b *build) gauge(t *threading, depth calc.Length) {
	for k := 1; ; k++ {
		b.makeRoom(t, fmt.Sprintf("thread/room%d", k))
		id := fmt.Sprintf("thread/gauge%d", k)
		b.add(id, sequence.Step{
			Needs: sequence.NeedFit, Phase: sequence.PhaseCheck,
			Moves: append(b.stopped(), b.gaugeOf(t)),
			Hand:  hand("thread_nut"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
			Why: fmt.Sprintf("Brush clean first. %sThe depth may go on to %s, not further.%s", t.nuts(), b.show(t.depth.Limit), b.orWires(t)),
		})
		if b.readings.Fits[b.prefix()+id] != sequence.Tight {
			return
		}
		next := b.afterTight(t, depth)
		if next > t.depth.Limit || k == mostGaugings {
			b.refuse(t.v.sec, "brush and deburr the thread, try the gauge on a sound thread, measure over wires; do not force the nut",
				"%s is still tight at %s, and deeper than %s it would be too thin", t.v.sec.Thread, b.show(depth), b.show(t.depth.Limit))
			return
		}
		depth = next
		b.oneMore(t, fmt.Sprintf("thread/more%d", k), depth)
	}
}

// stopped is the stop before a thread is touched, said even where the pass before has
// ended in one; a spindle cranked by hand stands when the hand rests.
func (b *build) stopped() []sequence.Move {
	if b.turning == sequence.ByHand {
		return nil
	}
	b.turning = sequence.Stop
	return []sequence.Move{sequence.Spindle{Turn: sequence.Stop}}
}

// crankTime is the time of turning by hand at half a turn a second (common
// practice).
func crankTime(t *threading, travel calc.Length) time.Duration {
	turns, err := t.lead.Turns(travel)
	if err != nil {
		return 0
	}
	return time.Duration(turns.Float()*2) * time.Second
}

// passTime is the time of one pass under power.
func (t *threading) passTime(travel calc.Length) time.Duration {
	turns, err := t.lead.Turns(travel)
	if err != nil {
		return 0
	}
	return t.rpm.Time(turns)
}

// checkScratch measures the scratched line over a count of threads.
func (b *build) checkScratch(t *threading) {
	pitch := t.v.sec.Thread.Lead // of several starts only one is marked
	usable := b.threaded(t)
	n := 10
	if turns, err := pitch.Turns(usable); err == nil {
		n = max(1, min(n, int(turns.Num()/turns.Den())-1))
	}
	over := pitch.Travel(calc.Whole(int64(n)))
	id := "thread/scratch/check"
	with, division := b.onThreads(t.v.sec, over)
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck,
		Moves: append(b.stopped(), sequence.Inspect{What: sequence.MeasureThreads, With: with}),
		Measure: &sequence.Measure{
			What: sequence.MeasureThreads, Threads: n, Nominal: over, Min: over - ruleError(over), Max: over + ruleError(over),
			Unit: b.job.Unit, Division: division, Final: true, Got: b.got(b.prefix() + id),
		},
		Hand: hand("pitch_gauge"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: fmt.Sprintf("A wrong gear shows here, while nothing is lost: %s of %s.", threadsWord(n), pitch),
	})
}

// threaded is how much of a section is full thread.
func (b *build) threaded(t *threading) calc.Length {
	v := t.v
	switch {
	case v.sec.Tapered():
		return v.taperSizes().Useful
	case t.fade != nil:
		return t.end - v.from
	}
	return v.to - v.sec.Undercut.Width.Max - v.from
}

// threadsWord is a count of threads.
func threadsWord(n int) string {
	if n == 1 {
		return "one thread"
	}
	return fmt.Sprintf("%d threads", n)
}

// ruleError is how far a length over threads may read off and still be that pitch:
// a third of a millimetre with a rule, and never so much that the next pitch would
// pass (common practice).
func ruleError(over calc.Length) calc.Length {
	return min(300*calc.Micrometre, over/20)
}

// endThread opens the half-nuts and puts the power back after cranking.
func (b *build) endThread(t *threading) {
	b.pass, b.of = 0, 0
	if t.way == job.WayDial {
		return // they are open, and the spindle stands
	}
	moves := append(b.stopped(), sequence.HalfNut{})
	if t.cranked {
		moves = append(moves, sequence.Supply{})
		b.isolated = false
		b.turning = sequence.Stop
	}
	s := sequence.Step{Moves: moves, Hand: hand("feed_engage"), Why: "Only now, with the thread to size."}
	if t.cranked {
		s.Opening = sequence.Cue{sequence.WordCrankOut}
	}
	b.add("thread/open", s)
}

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
	tool     job.Tool
	depth    thread.Depth
	rpm      calc.Speed // zero when cranked by hand
	cranked  bool
	start    calc.Length // z where passes start
	end      calc.Length // z where they end, in the middle of the groove
	lead     calc.Lead   // what the gears really cut
	train    gear.Train
	graduate calc.Length // depth on radius of one division of the cross-slide ring
}

// threads cuts every thread of the part by the one way that suits any lathe and
// any lead: the half-nuts stay shut from the first pass to the last.
func (b *build) threads() {
	b.op = sequence.OpThread
	b.section = nil
	b.pass, b.of = 0, 0
	mounted := false
	for i := range b.levels {
		v := &b.levels[i]
		if v.sec.Thread == nil {
			continue
		}
		t, ok := b.prepare(v)
		if !ok {
			continue
		}
		again := mounted
		if !mounted {
			b.mountStep("thread/tool", t.tool, sequence.ThreadingTool, "tip")
			mounted = true
		}
		b.section = v.sec
		b.touchThread(t, again)
		b.gears(t, b.fitted)
		b.fitted = t.train
		b.cutThread(t)
	}
	b.section = nil
	b.pass, b.of = 0, 0
}

// prepare settles all that is fixed before a thread's first pass, or refuses it.
func (b *build) prepare(v *level) (*threading, bool) {
	s := v.sec
	th := *s.Thread
	tool, ok := b.tool(sequence.ThreadingTool, s, s.Thread.String())
	if !ok {
		return nil, false
	}
	tipText := tool.Tip
	if b.job.Tip != "" {
		tipText = b.job.Tip
	}
	tool.Tip = tipText
	tip, err := thread.ParseTip(tipText, th.Pitch)
	if err != nil {
		b.refuse(s, "write the tip of the threading tool as measured, such as tip = \"radius 0.1 mm\"", "%v", err)
		return nil, false
	}
	depth, err := th.Depth(tip, v.size)
	if err != nil {
		b.refuse(s, "grind or buy a finer tip, and write it down: tip = \"radius 0.1 mm\"", "%v", err)
		return nil, false
	}
	if b.job.Centre {
		b.refuse(s, "hold it in the chuck alone: support = \"chuck\" with a shorter stick-out", "a pass of %s starts in front of the end, where the centre stands", s.Thread)
		return nil, false
	}
	t := &threading{v: v, tool: tool, depth: depth, graduate: b.cross.dial.Division()}
	if !b.runsClear(t) {
		return nil, false
	}
	if !b.train(t) {
		return nil, false
	}
	u := s.Undercut
	t.end = v.to - u.Width.Mid()/2
	t.start = -max(t.lead.Travel(calc.Whole(startLeads)), 5*calc.Millimetre)
	if b.inches() {
		t.start = t.start.Floor(calc.Inch / 10)
	} else {
		t.start = t.start.Floor(calc.Millimetre)
	}
	b.stopping(t)
	return t, true
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

// stopping settles the speed of the passes from the room there is to stop in; at
// less than the slowest speed, or without a reverse, the spindle is cranked.
func (b *build) stopping(t *threading) {
	u := t.v.sec.Undercut
	tool := t.tool.Width
	if tool == 0 {
		for i := range b.levels { // a vee at full depth is about 0.7 P wide
			if th := b.levels[i].sec.Thread; th != nil {
				tool = max(tool, th.Pitch.Length()*7/10)
			}
		}
	}
	if tool > u.Width.Mid() {
		b.refuse(t.v.sec, fmt.Sprintf("grind the tool to %s or less and list its width, or ask for a wider undercut", b.show(u.Width.Mid().Floor(100*calc.Micrometre))),
			"the threading tool is %s wide and the undercut of %s only %s", b.show(tool), t.v.sec.Thread, b.show(u.Width.Mid()))
		return
	}
	room := cutting.Room(u.Width.Mid(), tool, stopSafety)
	stop := cutting.Stop{Lead: t.lead, Delay: b.lathe.Delay, Coast: b.lathe.Coast}
	if b.lathe.Reverse == job.ReverseNone {
		t.cranked = true
		return
	}
	if stop.ByHand(room, b.lathe.Speeds) {
		t.cranked = true
		b.warn("%s: the groove leaves %s to stop in, less than the slowest speed needs; the spindle is turned by the hand crank", t.v.sec.Thread, b.show(room))
		return
	}
	want := b.wanted(cutting.Thread, t.v.aim, t.tool.Steel)
	if most, ok := stop.MaxSpeed(room); ok {
		want = min(want, most)
	}
	c, err := b.lathe.Speeds.Choose(want)
	if err != nil {
		b.refuse(t.v.sec, "", "%v", err)
		return
	}
	t.rpm = c.Speed
}

// touchThread lays the tool on the turned diameter and zeroes the ring; again says
// that it stands where another thread began.
func (b *build) touchThread(t *threading, again bool) {
	rpm := t.rpm
	if t.cranked {
		rpm = b.speed(cutting.Thread, t.v.aim, t.tool.Steel)
	}
	at := b.touchOn(t.v)
	var moves []sequence.Move
	if again {
		moves = append(moves, b.clearOfBar(), b.along(at))
	}
	moves = append(moves, b.spindle(sequence.Forward, rpm)...)
	moves = append(moves, b.cross.set(t.v.size, sequence.OnDiameter))
	b.x = t.v.size
	b.add("thread/touch", sequence.Step{
		Opening: sequence.Cue{sequence.WordTouching}, Moves: moves, Hand: hand("start_stop", "touch_off"),
		Cautions: []sequence.Word{sequence.WordNearJaws},
		Why:      fmt.Sprintf("Depth is counted from here: %s on radius to the middle of the limits, with a tip of %s.", b.show(t.depth.Aim), t.tool.Tip),
	})
	b.z = at
	moves = []sequence.Move{b.crossOut(0), b.along(t.start)}
	b.add("thread/place", sequence.Step{
		Moves: append(moves, b.stop()...), Hand: hand("dial_set", "start_stop"),
		Why: fmt.Sprintf("The start of every pass: %s in front of the end, enough to take up all slack. It need not be exact.", b.show(-t.start)),
	})
}

// gears fits the train, with the lathe isolated and the cover shut again after.
func (b *build) gears(t *threading, fitted gear.Train) {
	if t.train.String() == fitted.String() && t.train.Lever == fitted.Lever {
		return
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
	}
	lever := ""
	if t.train.Lever != "" {
		lever = fmt.Sprintf("Gearbox lever at %s. ", t.train.Lever)
		b.warnOnce(fmt.Sprintf("%s: gearbox lever at %s", t.v.sec.Thread, t.train.Lever))
	}
	b.add("gears/fit", sequence.Step{
		Moves:   []sequence.Move{sequence.Gears{Drivers: t.train.Drivers, Driven: t.train.Driven, Idlers: t.train.Idlers, Lever: t.train.Lever, Lead: t.lead}},
		Closing: closing,
		Hand:    hand("gears_set"),
		Why:     fmt.Sprintf("%sCuts %s. Read the teeth on each wheel back before tightening; keys in, nuts tight.", lever, t.lead),
	})
	b.add("gears/turn", sequence.Step{
		Moves: []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}}, Closing: sequence.Cue{sequence.WordGearsByHand},
		Hand: hand("deburr"), Why: "Nothing may bind, and the leadscrew turns the way the spindle does.",
	})
	b.turning = sequence.Stop
	shut := []sequence.Move{sequence.Guard{}}
	if !t.cranked {
		shut = append(shut, sequence.Supply{})
		b.isolated = false
	}
	b.add("gears/shut", sequence.Step{Moves: shut, Hand: hand("start_stop"), Why: "Cover shut before there is power again."})
}

func trainText(m sequence.Gears) string {
	return gear.Train{Drivers: m.Drivers, Driven: m.Driven, Idlers: m.Idlers}.String()
}

// cutThread is the thread itself: the scratch pass and its check, the passes, the
// spring pass, and the gauge.
func (b *build) cutThread(t *threading) {
	b.op = sequence.OpThread
	if t.cranked {
		b.add("thread/crank", sequence.Step{
			Moves: append(b.isolate(), sequence.Spindle{Turn: sequence.ByHand}), Closing: sequence.Cue{sequence.WordPlugOut},
			Hand: hand("tailstock_tool"), Why: "With the crank in the spindle the motor must not be able to start: the plug stays out.",
		})
		b.turning = sequence.ByHand
	}
	b.add("thread/halfnuts", sequence.Step{
		Moves: []sequence.Move{sequence.HalfNut{Closed: true}}, Closing: sequence.Cue{sequence.WordKeepShut},
		Hand: hand("feed_engage"), Why: "They stay shut until the gauge fits: opening them loses the groove.",
	})
	first := b.cross.dial.Snap(max(scratch, t.graduate))
	b.pass, b.of = 0, 0
	b.threadPass(t, "thread/scratch", first, sequence.Cue{sequence.WordScratchPass}, true)
	depths, err := thread.Passes(thread.PassPlan{Total: t.depth.Aim, First: b.threadCut(t.v.sec.Thread.Pitch), Smallest: leastCut, Graduation: t.graduate})
	if err != nil {
		b.refuse(t.v.sec, "a finer ring or a deeper first pass is needed", "%v", err)
		return
	}
	total := b.cross.dial.Snap(t.depth.Aim)
	half := false
	if total < t.depth.Start || total > t.depth.Limit {
		total = b.cross.lines(true).Snap(t.depth.Aim)
		half = true
	}
	if total < t.depth.Start || total > t.depth.Limit {
		b.refuse(t.v.sec, "set the top slide over and feed the last passes with it", "the depth of %s may be %s to %s, finer than the cross-slide ring",
			t.v.sec.Thread, b.show(t.depth.Start), b.show(t.depth.Limit))
		return
	}
	if half {
		depths[len(depths)-1] = total
	}
	for len(depths) > 0 && depths[0] <= first {
		depths = depths[1:]
	}
	for i, d := range depths {
		b.pass, b.of = i+1, len(depths)
		b.threadPass(t, fmt.Sprintf("thread/pass%d", i+1), d, nil, false)
	}
	b.pass, b.of = 0, 0
	for i := range springPasses {
		b.threadPass(t, fmt.Sprintf("thread/spring%d", i+1), total, sequence.Cue{sequence.WordSpringPass, sequence.Comma, sequence.WordTheSameAgain}, false)
	}
	b.gauge(t, total)
	b.endThread(t)
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
		id := fmt.Sprintf("thread/gauge%d", k)
		b.add(id, sequence.Step{
			Needs: sequence.NeedFit, Phase: sequence.PhaseCheck,
			Moves: append(b.stopped(), sequence.Gauge{What: t.v.sec.Thread.String(), With: b.ringGauge(t.v.sec)}),
			Hand:  hand("thread_nut"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
			Why: fmt.Sprintf("Brush clean first. The half-nuts stay shut. The depth may go on to %s, not further.%s", b.show(t.depth.Limit), b.overWires(t.v.sec)),
		})
		if b.readings.Fits[b.prefix()+id] != sequence.Tight {
			return
		}
		next := b.cross.dial.Snap(depth + max(t.graduate, leastCut/2))
		if next <= depth {
			next = depth + t.graduate
		}
		if next > t.depth.Limit || k == mostGaugings {
			b.refuse(t.v.sec, "brush and deburr the thread, try the gauge on a sound thread, measure over wires; do not force the nut",
				"%s is still tight at %s, and deeper than %s it would be too thin", t.v.sec.Thread, b.show(depth), b.show(t.depth.Limit))
			return
		}
		depth = next
		b.threadPass(t, fmt.Sprintf("thread/more%d", k), depth, sequence.Cue{sequence.WordOneMore}, false)
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

// threadPass is one pass: set the depth, cut into the groove, clear the tool, go
// back past the start. The scratch pass is checked before it goes back.
func (b *build) threadPass(t *threading, id string, depth calc.Length, opening sequence.Cue, check bool) {
	x := t.v.size - 2*depth
	set := b.crossTo(x, true)
	b.add(id+"/set", sequence.Step{
		Phase: sequence.PhaseSet, Opening: opening, Moves: []sequence.Move{set}, Hand: hand("dial_set", "oil"),
		Cautions: []sequence.Word{sequence.WordOilSteel},
		Why:      fmt.Sprintf("Depth %s on radius.", b.show(depth)),
	})
	travel := t.end - t.start
	cut := sequence.Step{
		Phase: sequence.PhaseCut, RunsInto: "groove", Hand: hand("start_stop"),
		Why: "Power off when you see the tool in the groove and let it coast there. Nothing here tells you when: your eye does.",
	}
	back := sequence.Step{
		Phase: sequence.PhaseReturn, Hand: hand("reverse_setup"),
		Why: fmt.Sprintf("Back to %s in front of the end: all slack is taken up before the next cut.", b.show(-t.start)),
	}
	along := sequence.Carriage{From: t.start, To: t.end, By: sequence.ByHalfNut, PerRev: t.lead, Cutting: true}
	home := sequence.Carriage{From: t.end, To: t.start, By: sequence.ByHalfNut, PerRev: t.lead}
	if t.cranked {
		cut.Why = "Turn steadily; the handle stops where you stop. Look at the groove, count the turns."
		cut.Moves = []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}, along}
		back.Moves = []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}, home}
		cut.Hand += crankTime(t, travel)
		back.Hand += crankTime(t, travel)
	} else {
		cut.Moves = []sequence.Move{sequence.Spindle{Turn: sequence.Forward, RPM: t.rpm}, along, sequence.Spindle{Turn: sequence.Stop}}
		back.Moves = []sequence.Move{sequence.Spindle{Turn: sequence.Reverse, RPM: t.rpm}, home, sequence.Spindle{Turn: sequence.Stop}}
		cut.Machine, back.Machine = t.passTime(travel), t.passTime(travel)
	}
	if b.lathe.Chuck == job.ChuckScrewed && !t.cranked {
		back.Cautions = []sequence.Word{sequence.WordSlowReverse}
	}
	if len(opening) > 0 { // not one of the many
		back.Closing = sequence.Cue{sequence.WordKeepShut}
	}
	if check {
		back.Opening = sequence.Cue{sequence.WordToolClearFirst}
		if !t.cranked {
			back.Opening = append(back.Opening, sequence.FullStop, sequence.WordStandStill)
		}
	}
	b.add(id+"/cut", cut)
	out := b.crossOut(depth)
	b.add(id+"/clear", sequence.Step{
		Phase: sequence.PhaseClear, Moves: []sequence.Move{out}, Hand: hand("dial_set"),
		Why: "Whole turns, so the ring comes back to the same reading. Before anything reverses.",
	})
	if check {
		b.checkScratch(t)
	}
	b.add(id+"/return", back)
	b.z = t.start
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
	pitch := t.v.sec.Thread.Pitch
	usable := t.v.to - t.v.sec.Undercut.Width.Max - t.v.from
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
		Why: fmt.Sprintf("A wrong gear shows here, while nothing is lost: %d threads of %s.", n, pitch),
	})
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

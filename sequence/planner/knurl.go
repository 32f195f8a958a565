package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// What is common practice in knurling.
const (
	// wheelRoom is what the holder of the wheels needs in front of what is thicker.
	wheelRoom = 2 * calc.Millimetre
	// pressTurns is in how many turns of the work the wheels go to depth: quickly, for
	// light passes that are repeated split the pattern.
	pressTurns = 3
	// slowestPress is in how many at most, where drive, jaws or work do not bear more, and
	// slowestAgain where it is pressed deeper afterwards.
	slowestPress = 12
	slowestAgain = 4 * slowestPress
	// oneTurn is the speed at which one turn can still be told from two.
	oneTurn = 150 * calc.RPM
	// fullTeeth is how high teeth of 90 degrees can get, in hundredths of the pitch, a
	// little past the half at which their crests are sharp.
	fullTeeth = 55
	// leastRise is the least of what is sunk that comes up again: a reading that says less
	// is of the blank or of a slip.
	leastRise = 0.1
	// flattest is the least a knurl grows, in hundredths of the pitch, to be one: its crests
	// are broad then.
	flattest = 20
	// deepest is how deep wheels are sunk, in hundredths of the pitch.
	deepest = 35
	// wallPitches is how thick the wall over a bore must be that bears a knurl, in pitches.
	wallPitches = 2
)

// knurling is one knurl being pressed: what is fixed before its first mark.
type knurling struct {
	v      *level
	tool   job.Tool
	wheels int
	front  calc.Length // z of the free end of its section as it is now
	start  calc.Length // z of the chuck side of the wheels where they are pressed in
	end    calc.Length // and where they end
	blank  calc.Length // diameter as measured, or as planned until it is
	deep   calc.Length // how deep the teeth are sunk, on radius
	most   calc.Length // and at most, whatever the blank is measured
	turns  int64       // of the work to full depth
	rise   float64     // how much comes up of what is sunk, as measured, or as planned until it is
	rpm    calc.Speed
	by     sequence.Drive
	feed   calc.Lead
}

// knurled is the section with a knurl; nil for none.
func (b *build) knurled() *level {
	for i := range b.levels {
		if b.levels[i].sec.Knurl != nil {
			return &b.levels[i]
		}
	}
	return nil
}

// knurl finishes the blank of the knurled section and presses the knurl into it, before
// anything else is finished: it pushes the work about. Then the turning tool comes back
// for the rest.
func (b *build) knurl(t job.Tool) {
	v := b.knurled()
	if v == nil {
		return
	}
	tool, ok := b.knurler(v)
	if !ok {
		return
	}
	b.size(v, t)
	if v.shoulder {
		b.shoulder(v)
	}
	k := knurling{v: v, tool: tool, blank: v.size, wheels: 1, rise: 1}
	if tool.Holder == job.HolderClamp || v.sec.Knurl.Pattern == job.Diamond {
		k.wheels = 2
	}
	if !b.layKnurl(&k) {
		return
	}
	b.pressKnurl(&k)
	v.done = true
	for i := range b.levels {
		if w := &b.levels[i]; !w.done && !w.sec.AsBar {
			b.turnAgain(t)
			return
		}
	}
}

// knurler is the knurling tool owned that presses a section's knurl, one with a clamp
// rather than one that is pressed from the side.
func (b *build) knurler(v *level) (best job.Tool, ok bool) {
	k := v.sec.Knurl
	for _, t := range b.lathe.Tools {
		if t.Kind == job.KindKnurling && t.Pattern == k.Pattern && t.Pitch == k.Pitch && (!ok || best.Holder == job.HolderBump && t.Holder == job.HolderClamp) {
			best, ok = t, true
		}
	}
	if !ok {
		b.refuse(v.sec, fmt.Sprintf("list it in %s: [[tool]] kind = \"knurling\" pattern = %q pitch = %q with its holder, width and size", b.lathe.Source.Path, k.Pattern, b.show(k.Pitch)),
			"no %s knurling tool of %s pitch is listed for the lathe", k.Pattern, b.show(k.Pitch))
	}
	return best, ok
}

// layKnurl settles where and how deep a knurl is pressed, or refuses it.
func (b *build) layKnurl(k *knurling) bool {
	v, s := k.v, k.v.sec
	root := v.aim - s.Knurl.Pitch*2*fullTeeth/200 - 2*margin
	if v.n > 1 {
		w := &b.levels[v.n-2]
		k.front = w.end
		if w.rough > root {
			b.refuse(s, fmt.Sprintf("make %s %s or thinner, or the knurl larger", w.sec.Name, b.show((w.sec.Diameter.Mid()-w.rough+root).Floor(100*calc.Micrometre))),
				"the wheels stand half over section %s in front, which is %s when they are pressed in, and they go to %s", w.sec.Name, b.show(w.rough), b.show(root))
			return false
		}
	}
	k.start = (k.front + k.tool.Width/2).Round(calc.Millimetre / 2)
	k.end = v.end - wheelRoom
	if v.shoulder {
		k.end = v.to - wheelRoom
		b.warnOnce(fmt.Sprintf("the knurl of %s ends %s in front of its shoulder: the holder of the wheels needs the room", s.Name, b.show(wheelRoom)))
	}
	if b.carriage != nil {
		k.end = k.start + b.carriage.dial.SnapIn(k.end-k.start)
	}
	k.start = min(k.start, k.end)
	if mouth, held := b.centreMouth(); held {
		if thick := mouth + (k.tool.Width-k.start)*11547/10000; thick > root { // a cone of 60 degrees
			b.refuse(s, "narrower wheels, or a smaller centre drill", "the wheels stand half over the end, where the centre is %s thick, and they go to %s", b.show(thick), b.show(root))
			return false
		}
	}
	if hole := b.hollowAt(k.front, false); hole > 0 && (v.aim-hole)/2 < wallPitches*s.Knurl.Pitch {
		b.refuse(s, "a smaller bore, or a finer knurl", "a knurl of %s pitch needs a wall of %s under it, and %s is drilled into %s", b.show(s.Knurl.Pitch), b.show(wallPitches*s.Knurl.Pitch), b.show(hole), b.show(v.aim))
		return false
	}
	k.deep, k.most = b.settable(k, (s.Knurl.Aim-k.blank)/2), (s.Knurl.Aim-s.Diameter.Min)/2
	k.rpm = b.knurlSpeed(k)
	k.by, k.feed = b.knurlFeed()
	return b.bearsKnurl(k, slowestPress)
}

// knurlSpeed is a third of turning or so, and slow enough that one turn can be seen.
func (b *build) knurlSpeed(k *knurling) calc.Speed {
	rpm := b.speed(cutting.Knurl, k.v.aim, k.tool.Steel)
	if c, err := b.lathe.Speeds.Choose(oneTurn); err == nil && !c.Fast {
		rpm = min(rpm, c.Speed)
	}
	return rpm
}

// centreMouth is the diameter of the centre hole at the end, where a centre stands in it.
func (b *build) centreMouth() (calc.Length, bool) {
	for _, t := range b.lathe.Tools {
		if b.job.Centre && t.Kind == job.KindCentreDrill {
			return t.Size * 212 / 100, true // form A, ISO 866
		}
	}
	return 0, false
}

// knurlFeed is what moves the carriage and its feed: the power feed nearest to the start
// of the table's range inside it, else the hand.
func (b *build) knurlFeed() (sequence.Drive, calc.Lead) {
	f, err := b.job.Material.Feed(cutting.Knurl, 0)
	if err != nil {
		b.refuse(nil, "", "%v", err)
		return sequence.ByHandwheel, calc.Lead{}
	}
	best := calc.Lead{}
	for _, l := range b.lathe.PowerFeeds {
		d := l.Length()
		if d >= f.Min && d <= f.Max && (best.IsZero() || (d-f.Start).Abs() < (best.Length()-f.Start).Abs()) {
			best = l
		}
	}
	if best.IsZero() || b.fitted.Drivers != nil {
		return sequence.ByHandwheel, calc.PerTurn(f.Start)
	}
	return sequence.ByPowerFeed, best
}

// bearsKnurl settles how quickly the wheels are pressed in, by what drive, jaws and work
// bear, or refuses the knurl.
func (b *build) bearsKnurl(k *knurling, slowest int64) bool {
	s := k.v.sec
	ruled := ""
	for k.turns = pressTurns; k.turns <= slowest; k.turns++ {
		f := b.job.Material.Knurling(cutting.Pressing{
			Width: min(k.tool.Width, k.start-k.front), Pitch: s.Knurl.Pitch, Deep: k.most + b.leastPress(k), Step: b.pressStep(k).Length(), Work: k.v.aim, Wheel: k.tool.Size,
		})
		share, by := b.asks(cutting.Force(float64(k.wheels)*cutting.RollShare*float64(f)).Torque(k.v.aim), k.rpm)
		ruled = by
		if k.tool.Holder == job.HolderBump {
			push := cutting.Force(k.wheels) * f
			if bend, _ := b.gives(push, b.stands(k.v.n, k.v.aim), k.front, k.front); float64(bend)/float64(cutting.Give)/loadShare > share {
				share, ruled = float64(bend)/float64(cutting.Give)/loadShare, "by the spring of the work"
			}
			if share <= 1 {
				b.warnOnce(fmt.Sprintf("the knurl of %s is pressed in from the side with about %d N, against the spindle's bearings and the work: a tool with a clamp does without", s.Name, int(push/100+1)*100))
			}
		}
		if share <= 1 {
			return true
		}
	}
	hint := "a finer pitch, narrower wheels, or softer metal"
	if k.tool.Holder == job.HolderBump {
		hint = "a knurling tool with a clamp (holder = \"clamp\"), support = \"centre\", or a shorter stick-out"
	}
	b.refuse(s, hint, "pressing a knurl of %s pitch into %s is held back %s", b.show(s.Knurl.Pitch), b.show(k.v.aim), ruled)
	return false
}

// pressStep is how far the wheels go in for each turn of the work.
func (b *build) pressStep(k *knurling) calc.Lead {
	return calc.PerTurn(max((k.most / calc.Length(k.turns)).Floor(5*calc.Micrometre), 5*calc.Micrometre))
}

// pressKnurl is all steps of a knurl from the tool in the post to a diameter over it that
// is inside its limits.
func (b *build) pressKnurl(k *knurling) {
	v := k.v
	b.section, b.op = v.sec, sequence.OpKnurl
	b.pass, b.of = 0, 0
	b.mountKnurl(k)
	b.section = v.sec
	if b.carriage == nil {
		b.add("knurl/scribe", sequence.Step{
			Moves:   append(b.stop(), sequence.Inspect{What: sequence.MeasureLength, With: b.handy("the line at the end of the knurl", job.KindCaliper, job.KindCaliper, job.KindRule)}),
			Closing: sequence.Cue{sequence.WordScribe, sequence.WordAt, sequence.LengthWord(k.end, b.job.Unit, 2), sequence.WordFromEnd},
			Why:     "The chuck side of the wheels ends at this line.", Hand: hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		})
	}
	b.touchKnurl(k)
	b.markKnurl(k)
	b.press(k, "knurl/press", k.deep, "Quickly, within a few turns: light passes that are repeated split the pattern.", nil)
	for n := 1; ; n++ {
		got := b.knurlAlong(k, n)
		if got == nil || *got >= k.over().Min {
			return
		}
		if !b.deeper(k, *got, n) {
			return
		}
		back := b.along(k.start)
		back.Dial = b.carriageDial(k.start)
		b.press(k, fmt.Sprintf("knurl/again%d", n), k.deep, "The wheels drop into the lines that are there; look that they do, then press.", append(b.spindle(sequence.Forward, k.rpm), back))
	}
}

// over is the limits over the knurl: those of the drawing, and no flatter than a knurl can
// be and still grip.
func (k *knurling) over() fit.Limits {
	s := k.v.sec
	l := s.Knurl.Over
	l.Min = max(l.Min, s.Diameter.Nominal+s.Knurl.Pitch*flattest/100)
	return l
}

// deeper settles a depth for a knurl that was measured under its least diameter: what was
// sunk so far has raised so much of it.
func (b *build) deeper(k *knurling, got calc.Length, n int) bool {
	s := k.v.sec
	k.rise = max(float64(got-k.blank)/float64(2*k.deep), leastRise)
	target := min(k.over().Min+s.Knurl.Pitch/20, s.Knurl.Aim)
	deep := calc.Length(float64(target-k.blank)/2/k.rise) * calc.Nanometre
	deep = max(deep, k.deep+b.leastPress(k)) + b.leastPress(k)/2 // no less when it is set
	if high := float64(deep) * (1 + k.rise); high > float64(s.Knurl.Pitch*fullTeeth/100) || deep > s.Knurl.Pitch*deepest/100 || n == mostReadings {
		b.refuse(s, "take a larger blank: one tooth more round it, or write the diameter as it is", "%s over the knurl is still not reached with its teeth full: %s", b.show(k.over().Min), b.show(got))
		return false
	}
	k.deep = max(b.settable(k, deep), k.deep+b.leastPress(k))
	if n := k.v.n; n > 1 && b.levels[n-2].rough > k.blank-2*k.deep-2*margin {
		b.refuse(s, "make the section in front thinner, or the knurl larger", "%s over the knurl is still not reached, %s: deeper the wheels come down on section %s in front", b.show(k.over().Min), b.show(got), b.levels[n-2].sec.Name)
		return false
	}
	k.most = k.deep
	return b.bearsKnurl(k, slowestAgain)
}

// settable is the depth next to one that can be set: such that what it raises lies inside
// the limits over the knurl, where one of those beside it does.
func (b *build) settable(k *knurling, deep calc.Length) calc.Length {
	step, over := 2*b.leastPress(k), k.over() // on diameter
	n := max(1, int64((2*deep+step/2)/step))
	at := func(n int64) calc.Length {
		return k.blank + calc.Length(float64(step*calc.Length(n))*k.rise)*calc.Nanometre
	}
	switch {
	case at(n) > over.Max && n > 1 && over.Contains(at(n-1)):
		n--
	case at(n) < over.Min && over.Contains(at(n+1)):
		n++
	}
	return step * calc.Length(n) / 2
}

// leastPress is the least change of depth that can be set.
func (b *build) leastPress(k *knurling) calc.Length {
	if k.tool.Holder == job.HolderClamp {
		return k.tool.Closing / (2 * sequence.NutStep)
	}
	return b.cross.dial.Division() / 2
}

// mountKnurl fits the knurling tool.
func (b *build) mountKnurl(k *knurling) {
	t, s := k.tool, k.v.sec
	b.mountStep("knurl/tool", t, sequence.KnurlingTool, "chuck side")
	step := &b.plan.Steps[len(b.plan.Steps)-1]
	m := step.Moves[len(step.Moves)-1].(sequence.Mount)
	m.Width, m.Diameter, m.Pitch, m.Angle, m.Clamp = t.Width, t.Size, s.Knurl.Pitch, s.Knurl.Helix, t.Holder == job.HolderClamp
	m.Tip = knurlText(s.Knurl)
	step.Moves[len(step.Moves)-1] = m
	step.Why = "Now, with all else still thick: it pushes the work about and raises a burr. Wheels free on their pins and oiled, their faces along the work."
	if m.Clamp {
		step.Why += " The clamp open, wider than the work."
	}
}

// knurlerText is a knurling tool in the list of what to lay out.
func (b *build) knurlerText(m sequence.Mount) string {
	how := "pressed from the side"
	if m.Clamp {
		how = "with a clamp"
	}
	return fmt.Sprintf("knurling tool %s, %s, wheels %s wide", how, m.Tip, b.show(m.Width))
}

func knurlText(k *job.Knurl) string {
	return fmt.Sprintf("%s, pitch %s", k.Pattern, k.Pitch)
}

// touchKnurl brings the wheels to where they are pressed in and lays them on the blank.
func (b *build) touchKnurl(k *knurling) {
	moves := append([]sequence.Move{b.along(k.start)}, b.spindle(sequence.Forward, k.rpm)...)
	why := fmt.Sprintf("Half a wheel on the work, the other half off its end: half the width needs half the force. Slowly: at %s a turn can be seen.", k.rpm)
	if k.tool.Holder == job.HolderClamp {
		moves = append(moves, sequence.Zero{Slide: sequence.ClampNut, X: k.blank, On: sequence.OnDiameter})
		why += " The wheels stand over and under the middle, and the nut's turns count from where both touch; mark it."
	} else {
		moves = append(moves, b.cross.set(k.blank, sequence.OnDiameter))
	}
	b.x = k.blank
	closing := sequence.Cue{}
	if b.carriage != nil {
		moves = append(moves, b.carriage.set(k.start, sequence.InPlace))
	}
	b.add("knurl/touch", sequence.Step{
		Moves: moves, Closing: closing, Hand: hand("start_stop", "touch_off"), Cautions: []sequence.Word{sequence.WordNearJaws}, Why: why,
	})
}

// markKnurl presses a first mark, and has it looked at after a turn.
func (b *build) markKnurl(k *knurling) {
	first := k.deep / 3
	if first < b.leastPress(k) {
		first = k.deep
	}
	b.press(k, "knurl/mark", first, "Firmly, for about one turn of the work: enough for the lines to be seen.", nil)
	s := &b.plan.Steps[len(b.plan.Steps)-1]
	s.Closing = sequence.Cue{sequence.WordWorkOnce}
	quarter := (k.v.sec.Knurl.Around() / 4 * 7 / 22).Round(10 * calc.Micrometre)
	b.add("knurl/look", sequence.Step{
		Moves: b.stop(), Closing: sequence.Cue{sequence.WordSingleLines}, Hand: hand("start_stop"),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: fmt.Sprintf("Single: the %d teeth close round the blank. Double, at half the distance: out, and press in again at once, harder. Still double: the wheels' pitch is not quite its name; turn the blank down %s, a quarter of a tooth, and begin again.",
			k.v.sec.Knurl.Teeth, b.show(quarter)),
	})
}

// press presses the wheels to a depth on radius, after some moves.
func (b *build) press(k *knurling, id string, deep calc.Length, why string, first []sequence.Move) {
	from, step := b.x, b.pressStep(k)
	var in sequence.Move
	if k.tool.Holder == job.HolderClamp {
		twentieth := k.tool.Closing / sequence.NutStep
		n := max(1, int((2*deep+twentieth/2)/twentieth))
		turns, err := calc.NewRatio(int64(n), sequence.NutStep)
		if err != nil {
			b.refuse(k.v.sec, "", "%v", err)
			return
		}
		to := k.blank - twentieth*calc.Length(n)
		if to >= from {
			return
		}
		b.x = to
		in = sequence.Clamp{From: from, To: to, Turns: turns, PerRev: step}
	} else {
		if b.cross.snap(k.blank-2*deep, true) >= from && from < k.blank {
			return
		}
		set := b.crossTo(k.blank-2*deep, true)
		in = sequence.Plunge{From: from, To: set.X, Z: b.z, Dial: set.Dial, PerRev: step, Handle: set.Handle}
	}
	moves := append(append(first, b.spindle(sequence.Forward, k.rpm)...), in)
	b.add(id, sequence.Step{
		Moves: moves, Hand: hand("start_stop", "dial_set"), Machine: b.cutTime((from-b.x)/2, step),
		Cautions: []sequence.Word{sequence.WordOilSteel}, Why: why,
	})
}

// knurlAlong feeds the wheels along, takes them off and measures over the knurl.
func (b *build) knurlAlong(k *knurling, n int) *calc.Length {
	v, over := k.v, k.over()
	k.deep = (k.blank - b.x) / 2
	expect := k.blank + calc.Length(float64(2*k.deep)*k.rise)*calc.Nanometre
	id := "knurl/cut"
	if n > 1 {
		id = fmt.Sprintf("knurl/again%d/cut", n-1)
	}
	moves := b.spindle(sequence.Forward, k.rpm)
	if k.end > b.z {
		moves = append(moves, sequence.Carriage{From: b.z, To: k.end, By: k.by, PerRev: k.feed, Cutting: true, Dial: b.carriageDial(k.end)})
	}
	travel := k.end - b.z
	b.z = k.end
	if k.tool.Holder == job.HolderClamp {
		open := max(expect, over.Max) + 2*calc.Millimetre
		moves = append(moves, sequence.Clamp{From: b.x, To: open})
		b.x = open
	} else {
		moves = append(moves, b.crossOut((max(expect, over.Max)+v.sec.Knurl.Pitch-b.x)/2))
	}
	moves = append(moves, b.along(b.start()))
	b.add(id, sequence.Step{
		Moves: moves, Hand: hand("feed_engage", "dial_set"), Machine: b.cutTime(travel, k.feed), Cautions: []sequence.Word{sequence.WordOilSteel, sequence.WordNearJaws},
		Why: fmt.Sprintf("Steadily, %s a turn, without stopping on the way: where the wheels dwell they dig in.", b.show(k.feed.Length())),
	})
	with, division := b.instrument(asked{v.sec.Pos, "the diameter over the knurl", over.Nominal, over.Tolerance(), []string{job.KindCaliper, job.KindMicrometer}}, "caliper", 20*calc.Micrometre)
	id = fmt.Sprintf("knurl/size%d", n)
	m := &sequence.Measure{
		What: sequence.MeasureKnurl, Nominal: min(max(expect, over.Min), over.Max), Min: over.Min, Max: over.Max, Final: true, Grows: true,
		Unit: b.job.Unit, Division: division, Got: b.got(b.prefix() + id),
	}
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(b.stop(), sequence.Inspect{What: m.What, With: with}),
		Hand:  hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: "Over the crests. A knurl grows by 0.3 to 0.5 of its pitch in steel, more in soft metal; under size it is pressed deeper in its own lines.",
	})
	v.size, v.aim = expect, v.sec.Knurl.Aim
	if m.Got != nil {
		v.size = *m.Got
	}
	return m.Got
}

// turnAgain brings the turning tool back after the knurl: its rings are set on the end and
// on what is roughed at the free end.
func (b *build) turnAgain(t job.Tool) {
	b.section, b.op = nil, sequence.OpFinish
	b.turnFrom(t, "turn/again")
	v := &b.levels[0]
	moves := []sequence.Move{b.clearOfBar(), b.along(b.touchOn(v)), b.cross.set(v.rough, sequence.OnDiameter)}
	b.x = v.rough
	b.add("turn/again/touch", sequence.Step{
		Moves: moves, Hand: hand("touch_off"), Why: fmt.Sprintf("On what is roughed at the free end, %s: near enough, for the last cuts are set by a reading.", b.show(v.rough)),
	})
	b.add("turn/again/clear", sequence.Step{
		Moves: []sequence.Move{b.crossOut(0), b.along(b.start())}, Hand: hand("dial_set"), Why: "Back in front of the work for the first cut.",
	})
}

// turnFrom puts the turning tool in the post again and sets its rings along the work on the
// finished end.
func (b *build) turnFrom(t job.Tool, id string) {
	b.pass, b.of, b.parked = 0, 0, parked{}
	b.mountStep(id+"/tool", t, sequence.TurningTool, "tip")
	b.z = 0
	moves := append(b.spindle(sequence.Forward, b.speed(cutting.Turn, b.job.Bar, t.Steel)), b.top.set(0, sequence.OnEnd))
	closing := sequence.Cue{}
	if b.carriage != nil {
		moves = append(moves, b.carriage.set(0, sequence.InPlace))
	} else {
		closing = sequence.Cue{sequence.WordMarkCarriage}
	}
	b.add(id+"/end", sequence.Step{
		Moves: moves, Closing: closing, Hand: hand("start_stop", "touch_off"), Cautions: []sequence.Word{sequence.WordNearJaws},
		Why: "The finished end: lengths count from it as before.",
	})
}

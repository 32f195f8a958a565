package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// Allowances of turning to size (common practice unless named).
const (
	// finishCut is the depth on radius of the equal last cuts: inside the
	// 0.1 to 0.25 mm a finishing cut takes on a small lathe.
	finishCut = 150 * calc.Micrometre
	// leastCut is the smallest cut on radius a keen tool takes without rubbing.
	leastCut = 30 * calc.Micrometre
	// shoulderStock is left on a shoulder by the passes along the work.
	shoulderStock = 300 * calc.Micrometre
	// besideCentre is where it starts when a centre holds the end.
	besideCentre = calc.Millimetre / 2
	// jawMargin is kept between any tool and the jaws.
	jawMargin = 5 * calc.Millimetre
	// mostReadings is how often one size may be measured before the plan gives up.
	mostReadings = 12
)

// ends settles where the passes along the work end: short of each shoulder by
// what is faced off later, whatever the lengths in front of it turn out to be, on
// a line of the carriage ring where there is one.
func (b *build) ends() {
	defer func() {
		var late calc.Length // how far the shoulders in front may lie beyond their place
		for i := range b.levels {
			v := &b.levels[i]
			v.place, v.stub = v.to, v.to-v.end+late
			late += v.sec.Length.Max - v.sec.Length.Mid()
		}
	}()
	var spare calc.Length // how far the shoulders in front may lie short
	for i := range b.levels {
		v := &b.levels[i]
		last := i == len(b.levels)-1
		if last && b.wholeLength() {
			v.shoulder = false
			v.end = v.to + throughEndOut
			if c := b.lathe.Carriage; c != nil {
				v.end = c.Snap(v.end + c.Division()/2)
			}
			continue
		}
		if last && b.job.PartOff {
			v.shoulder = false
			v.end = v.to + b.bladeWidth() + 3*calc.Millimetre/2
			if b.parts() > 0 {
				v.end = v.to + b.bladeWidth() // what goes on behind is the end of the next part
			}
			if v.sec.Knurl != nil {
				v.end += wheelRoom + calc.Millimetre/2
			}
			if c := b.lathe.Carriage; c != nil {
				v.end = c.Snap(v.end + c.Division()/2)
			}
			continue
		}
		v.end = v.to - shoulderStock - spare
		spare += v.sec.Length.Max - v.sec.Length.Mid()
		if b.lathe.Carriage != nil {
			v.end = b.lathe.Carriage.SnapIn(v.end)
		}
	}
}

// bladeWidth is the width of the parting blade owned; zero without one.
func (b *build) bladeWidth() calc.Length {
	if b.job.Sawn {
		return 0
	}
	for _, t := range b.lathe.Tools {
		if t.Kind == string(sequence.PartingTool) {
			return t.Width
		}
	}
	return 0
}

// inches says that the job speaks inches: distances that need not be exact are then
// round ones.
func (b *build) inches() bool { return b.job.Unit == calc.Inch }

// start is where a pass along the work starts: in front of the end.
func (b *build) start() calc.Length {
	switch {
	case b.job.Centre:
		return -besideCentre
	case b.inches():
		return -calc.Inch / 10
	}
	return -2 * calc.Millimetre
}

// touchAt is where the tool is laid on the diameter, from the end.
func (b *build) touchAt() calc.Length {
	if b.inches() {
		return calc.Inch / 8
	}
	return 3 * calc.Millimetre
}

// touchOn is where the tool is laid on a section's diameter: as far from its free end
// as on the bar, or in the middle of what is plain of a short one.
func (b *build) touchOn(v *level) calc.Length {
	from, to := v.from+v.sec.Leg(), v.to
	if u := v.sec.Undercut; u != nil {
		to -= u.Width.Max
	}
	if at := v.from + b.touchAt(); at > from+calc.Millimetre && at < to-calc.Millimetre {
		return at
	}
	return calc.Mid(from, to)
}

// finishDepths are the ring positions of a section's finishing: the last cut, and
// the depth of each of the three equal ones on the lines of the ring.
func (b *build) finishDepths(v *level, stock calc.Length) (last, each calc.Length, ok bool) {
	last = b.cross.dial.Snap(b.cross.offset(v.aim))
	half, fine := b.half(v.aim, v.sec.Diameter.Min, v.sec.Diameter.Max)
	if !fine || v.sec.Diameter.Tolerance() < b.cross.dial.Division() {
		b.refuse(v.sec, "widen the tolerance, or feed the last cuts with the top slide at 11.54 degrees: one in five",
			"%s to %s is finer than the cross-slide ring can be set: half a division moves the diameter by %s",
			b.show(v.sec.Diameter.Min), b.show(v.sec.Diameter.Max), b.show(b.cross.dial.Division()))
		return 0, 0, false
	}
	if half {
		last = b.cross.lines(true).Snap(b.cross.offset(v.aim))
	}
	each = b.cross.dial.Snap(min(finishCut, (stock-v.aim)/6))
	if each < leastCut {
		b.refuse(v.sec, "take a thicker bar, or leave it as the bar is: as_bar = true",
			"%s is too close to the %s it is cut from for two equal last cuts", b.show(v.aim), b.show(stock))
		return 0, 0, false
	}
	class := cutting.ClassOf(cutting.Power(b.lathe.Power))
	if most := max(b.job.Material.Depth(class).Max, b.lathe.DepthOfCut); deeperCut*float64(each) > float64(most) {
		each = b.cross.dial.SnapIn(calc.Length(float64(most)/deeperCut) * calc.Nanometre)
	}
	rpm := b.speed(cutting.Turn, b.job.Bar, b.turningTool().Steel)
	if light, _ := b.held(v, calc.Length(deeperCut*float64(each))*calc.Nanometre, v.aim, cutting.Finish, v.sec.Diameter.Tolerance(), rpm); light < calc.Length(deeperCut*float64(each))*calc.Nanometre {
		each = b.cross.dial.SnapIn(calc.Length(float64(light)/deeperCut) * calc.Nanometre)
	}
	if each < leastCut {
		b.refuse(v.sec, "support = \"centre\", a shorter stick-out, a thicker section, or a wider tolerance",
			"%s springs too far %s from the jaws for the least cut of %s", b.show(v.aim), b.show(b.job.StickOut-b.job.Face-v.place+v.sec.Length.Mid()), b.show(leastCut))
		return 0, 0, false
	}
	return last, each, true
}

// turn roughs all sections from the largest down, then finishes them in the same
// order and faces the shoulders to length.
func (b *build) turn(of []int) {
	t, ok := b.tool(sequence.TurningTool, nil, "turning")
	if !ok {
		return
	}
	b.op = sequence.OpRough
	b.section = nil
	switch {
	case b.keep:
		b.inFront()
	case b.inPost().Kind != sequence.TurningTool: // something else was done first
		b.turnFrom(t, "turn")
		b.op, b.x = sequence.OpRough, 0
		b.touchBar(t)
	default:
		b.touchBar(t)
	}
	stock := b.job.Bar
	for i := len(b.levels) - 1; i >= 0; i-- {
		v := &b.levels[i]
		if v.sec.AsBar {
			continue
		}
		stock = b.rough(v, stock, t)
		v.rough = stock
	}
	b.knurl(t)
	for _, i := range of {
		if v := &b.levels[i]; !v.done {
			b.size(v, t)
		}
	}
	for i := range b.levels {
		v := &b.levels[i]
		if i > 0 {
			v.from = b.levels[i-1].to
			v.to = v.from + v.sec.Length.Mid()
		}
		if !v.sec.AsBar && v.shoulder && !v.done {
			b.shoulder(v)
		}
	}
	b.section = nil
	b.pass, b.of = 0, 0
}

// inFront takes a tool whose ring is set already in front of the work.
func (b *build) inFront() {
	b.add("turn/clear", sequence.Step{
		Moves: append(b.away(), b.along(b.start())), Hand: hand("dial_set"),
		Why: "The tool has not left the post: its ring still counts from the outside of the bar.",
	})
}

// touchBar lays the tool on the outside of the bar and zeroes the ring there.
func (b *build) touchBar(t job.Tool) {
	rpm := b.speed(cutting.Turn, b.job.Bar, t.Steel)
	b.add("turn/touch", sequence.Step{
		Moves: append(append(b.away(), b.along(b.touchAt())), append(b.spindle(sequence.Forward, rpm),
			b.cross.set(b.job.Bar, sequence.OnDiameter))...),
		Hand: hand("start_stop", "touch_off"), Cautions: []sequence.Word{sequence.WordNearJaws},
		Why: "A light touch: the ring now counts from the outside of the bar.",
	})
	b.x = b.job.Bar
	moves := []sequence.Move{b.crossOut(0)}
	moves = append(moves, b.along(b.start()))
	b.add("turn/clear", sequence.Step{Moves: moves, Why: "Back in front of the work for the first cut.", Hand: hand("dial_set")})
}

// away is the way to a place beside the work when the cross slide may stand in.
func (b *build) away() []sequence.Move {
	if b.x > b.job.Bar {
		return nil
	}
	return []sequence.Move{b.clearOfBar()}
}

// rough takes a section down to what the finishing cuts are to leave, from the
// diameter it has; it says what it leaves.
func (b *build) rough(v *level, stock calc.Length, t job.Tool) calc.Length {
	b.section, b.op = v.sec, sequence.OpRough
	v.stock = b.stockOf(v)
	if zero, ok := b.known(v.sec); ok {
		touched := b.cross.zero
		b.rezero(zero)
		defer func() { b.rezero(touched) }()
	}
	last, each, ok := b.finishDepths(v, v.stock)
	if !ok {
		return stock
	}
	from, to := b.cross.offset(stock), last-3*each
	if to-from < max(each/2, leastCut) {
		return stock // so little goes with the first of the equal cuts
	}
	deep := b.roughDepth(t)
	rpm := b.speed(cutting.Turn, b.job.Bar, t.Steel)
	if less, ruled := b.held(v, deep, b.cross.position(to), cutting.Turn, 0, rpm); ruled != "" {
		deep = max(b.cross.dial.SnapIn(less), b.cross.dial.Division())
		b.warnOnce(fmt.Sprintf("roughing cuts of section %s held to %s %s", v.sec.Name, b.show(deep), ruled))
		if loadShare*float64(deep) > float64(less) || less < leastCut {
			b.refuse(v.sec, "support = \"centre\", a shorter stick-out, or a thicker section", "roughing %s is held to %s %s, and %s is the least that cuts", b.show(v.aim), b.show(less.Floor(calc.Micrometre)), ruled, b.show(leastCut))
			return stock
		}
	}
	n := b.roughCuts(from, to, deep)
	if b.carriage == nil {
		b.pass, b.of = 0, 0
		b.add("rough/scribe", sequence.Step{
			Moves:   append(b.stop(), sequence.Inspect{What: sequence.MeasureLength, With: b.handy("the line at the end of the passes", job.KindCaliper, job.KindCaliper, job.KindRule)}),
			Closing: sequence.Cue{sequence.WordScribe, sequence.WordAt, sequence.LengthWord(v.end, b.job.Unit, 2), sequence.WordFromEnd},
			Why:     "The passes along the work end at this line; the shoulder is faced to length afterwards.",
			Hand:    hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		})
	}
	for i := range n {
		b.pass, b.of = i+1, n
		off := b.cross.dial.Snap(from + (to-from)*calc.Length(i+1)/calc.Length(n))
		b.passAlong(v, fmt.Sprintf("rough/pass%d", i+1), b.cross.position(off), false, sequence.Cue{sequence.WordRough}, i == 0, t, cutting.Turn)
	}
	b.pass, b.of = 0, 0
	return b.cross.position(b.cross.dial.Snap(to))
}

// roughCuts is how many cuts take the ring from one place to another, none deeper than asked
// for or, set to a line, than a lathe of that size takes.
func (b *build) roughCuts(from, to, deep calc.Length) int {
	most := max(b.job.Material.Depth(cutting.ClassOf(cutting.Power(b.lathe.Power))).Max, b.lathe.DepthOfCut, deep)
	for n := int((to - from).Ceil(deep) / deep); ; n++ {
		at, deepest := from, calc.Length(0)
		for i := range n {
			next := b.cross.dial.Snap(from + (to-from)*calc.Length(i+1)/calc.Length(n))
			at, deepest = next, max(deepest, next-at)
		}
		if deepest <= most || calc.Length(n)*b.cross.dial.Division() >= to-from {
			return n
		}
	}
}

// passAlong is one pass along the work: the depth is set, then the pass is cut and
// the tool brought back.
func (b *build) passAlong(v *level, id string, x calc.Length, half bool, opening sequence.Cue, first bool, t job.Tool, feed cutting.Op) {
	var moves []sequence.Move
	if first || b.turning != sequence.Forward {
		moves = b.spindle(sequence.Forward, b.speed(cutting.Turn, b.job.Bar, t.Steel))
	}
	moves = append(moves, b.crossInFrom(v, x, half)...)
	b.add(id+"/set", sequence.Step{
		Phase: sequence.PhaseSet, Opening: opening, Moves: moves, Hand: hand("dial_set"),
		Why: fmt.Sprintf("Leaves %s.", b.show(b.x)),
	})
	by, rate := b.drive(feed)
	cut := sequence.Carriage{From: b.z, To: v.end, By: by, PerRev: rate, Cutting: true, Dial: b.carriageDial(v.end)}
	b.z = v.end
	out := b.crossOut(0)
	back := b.along(b.start())
	b.add(id+"/cut", sequence.Step{
		Phase: sequence.PhaseCut, Moves: []sequence.Move{cut, out, back},
		Machine: b.cutTime((cut.To - cut.From).Abs(), rate), Hand: hand("feed_engage", "dial_set"),
		Cautions: b.passCautions(first),
		Why:      fmt.Sprintf("Ends %s from the finished end.", b.show(v.end)),
	})
}

// passCautions are said in full at the first pass of a kind, then left to the
// screen of the step that said them.
func (b *build) passCautions(first bool) []sequence.Word {
	if !first {
		return nil
	}
	return []sequence.Word{sequence.WordNearJaws, sequence.WordSwarf}
}

// carriageDial is what the carriage ring says at a place; nil without a ring.
func (b *build) carriageDial(z calc.Length) *sequence.Dial {
	if b.carriage == nil {
		return nil
	}
	return b.carriage.shown(b.carriage.offset(z))
}

// size finishes a section's diameter: equal cuts, a reading before the last, and
// a last reading inside the limits. A reading that leaves more than one equal cut
// splits what is left again.
func (b *build) size(v *level, t job.Tool) {
	b.section, b.op = v.sec, sequence.OpFinish
	last, each, ok := b.finishDepths(v, v.stock)
	if !ok {
		return
	}
	touched := b.cross.zero
	zero, proven := b.known(v.sec)
	if proven { // what the parts before have shown
		b.rezero(zero)
		if last, each, ok = b.finishDepths(v, v.stock); !ok {
			return
		}
	}
	v.last = last
	defer func() {
		v.ringZero = b.cross.zero
		b.found[v.sec.Name] = b.cross.zero
		b.rezero(touched)
		b.parked = parked{v, b.parkedAt(last, 0)}
	}()
	limits := v.sec.Diameter
	most := max(b.job.Material.Depth(cutting.ClassOf(cutting.Power(b.lathe.Power))).Max, b.lathe.DepthOfCut)
	const cuts = 3
	opening := [cuts]sequence.Cue{{sequence.WordCleanUp}, {sequence.WordFirstCut}, {sequence.WordLastCut}}
	n := 0
	cut := func(off calc.Length, opening sequence.Cue, of int) {
		n++
		b.pass, b.of = n, max(of, n)
		b.passAlong(v, fmt.Sprintf("finish/pass%d", n), b.cross.position(off), true, opening, n == 1, t, cutting.Finish)
	}
	at := last - 2*each
	cut(at, opening[0], cuts)
	at = last - each
	cut(at, opening[1], cuts)
	final := false
	if proven {
		at, final = last, true
		cut(at, opening[2], cuts)
	}
	for k := 1; ; k++ {
		planned := b.cross.position(at)
		id := fmt.Sprintf("finish/size%d", k)
		got := b.got(b.prefix() + id)
		b.measureSize(v, id, planned, 2*each, final, got)
		m := planned
		if got != nil {
			m = *got
			b.rezero(b.cross.zero + m - planned)
		}
		v.size = m
		left := m - v.aim
		inside := m >= limits.Min && m <= limits.Max
		if read := b.plan.Steps[len(b.plan.Steps)-1].Measure.Division; inside && got != nil && !final && stepsLeast*read > limits.Tolerance() {
			final = true // a finer one judges it, with nothing cut
			continue
		}
		if m < limits.Min || inside && (final || got != nil) {
			if !final {
				b.plan.Steps[len(b.plan.Steps)-1].Measure.Final = true
				b.plan.Steps[len(b.plan.Steps)-1].Measure.Min, b.plan.Steps[len(b.plan.Steps)-1].Measure.Max = limits.Min, limits.Max
			}
			return
		}
		if k == mostReadings {
			b.refuse(v.sec, "look for a loose gib, a blunt tool or a bar that springs before cutting on", "%s is still not reached after %d readings", b.show(v.aim), k)
			return
		}
		parts := 1 // one more cut of about the same depth, on diameter
		if left > 3*each {
			parts = 2
		}
		var off calc.Length
		for ; ; parts++ {
			target, half := v.aim, true
			if parts > 1 {
				target = m - left/calc.Length(parts)
			} else if h, fine := b.half(target, limits.Min, limits.Max); fine {
				half = h
			}
			off = max(b.cross.lines(half).Snap(b.cross.offset(target)), at)
			if off == at {
				off = at + b.cross.dial.Division()/2
			}
			if off-at <= most || off-at <= b.cross.dial.Division() {
				break
			}
		}
		words := opening[2]
		if final {
			words = sequence.Cue{sequence.WordCutAgain}
		}
		if parts > 1 {
			words = opening[1]
		}
		at, final = off, parts == 1
		of := n + parts
		cut(at, words, of)
	}
}

// stockOf is the diameter a section is cut from once those behind it are finished:
// their passes run over it.
func (b *build) stockOf(v *level) calc.Length {
	stock := b.job.Bar
	for i := v.n; i < len(b.levels); i++ {
		if w := &b.levels[i]; !w.sec.AsBar {
			stock = min(stock, w.aim)
		}
	}
	return stock
}

func (b *build) measureSize(v *level, id string, planned, plausible calc.Length, final bool, got *calc.Length) {
	size := planned
	if final {
		size = v.aim
	}
	with, division := b.onDiameter(v, size)
	m := &sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: planned, Min: planned - plausible, Max: planned + 2*plausible,
		Unit: b.job.Unit, Division: division, Got: got,
	}
	if final {
		m.Final, m.Nominal, m.Min, m.Max = true, v.aim, v.sec.Diameter.Min, v.sec.Diameter.Max
	}
	why := "What this cut left tells what the last one must take: two equal cuts spring the same."
	if final {
		why = fmt.Sprintf("%s: %s to %s.", limitsName(v.sec), b.show(v.sec.Diameter.Min), b.show(v.sec.Diameter.Max))
	}
	b.pass, b.of = 0, 0
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(b.stop(), sequence.Inspect{What: sequence.MeasureDiameter, With: with}),
		Hand:  hand("mic_outside"), Why: why, Cautions: []sequence.Word{sequence.WordStopBeforeTouch, sequence.WordCoolFirst},
	})
}

// limitsName says where a section's limits come from.
func limitsName(s *job.Section) string {
	if s.Thread != nil {
		return "Outside of " + s.Thread.String()
	}
	if s.Knurl != nil {
		return fmt.Sprintf("Blank for a knurl of %d teeth", s.Knurl.Teeth)
	}
	if s.Diameter.Source != "" {
		return s.Diameter.Class + " (" + s.Diameter.Source + ")"
	}
	return "Limits as written"
}

// readingDivision is the resolution a micrometer is read to.
func (b *build) readingDivision() calc.Length {
	if b.job.Unit == calc.Inch {
		return calc.Thou / 10
	}
	return 10 * calc.Micrometre
}

// rezero takes the ring of the cross slide to have its zero elsewhere; the tool is then
// known to stand elsewhere too.
func (b *build) rezero(zero calc.Length) {
	b.x += zero - b.cross.zero
	b.cross.zero = zero
}

// parked is where a section has left the cross slide, as planned without any
// reading.
type parked struct {
	by *level
	x  calc.Length
}

// parkedAt is where the cross slide stands when it is wound out from a ring setting to
// clear a depth.
func (b *build) parkedAt(last, depth calc.Length) calc.Length {
	d := b.cross.dial
	out := calc.Length(d.WholeTurnsClear(depth, margin)) * d.Travel
	return b.cross.position(last - out + d.Slack)
}

// farOff is more than readings move a slide, on diameter.
const farOff = 4 * calc.Millimetre

// crossInFrom brings the cross slide to a diameter inwards: where it stands further
// in already it is wound out first. Where another section has left it, that is
// decided by what was planned and the way is the same whatever was read there: the
// readings of a section change nothing in another.
func (b *build) crossInFrom(v *level, x calc.Length, half bool) []sequence.Move {
	var m []sequence.Move
	clear := b.job.Bar + farOff + 2*calc.Millimetre
	another := b.parked.by != nil && b.parked.by != v
	near, x := b.parked.x <= x+farOff, b.cross.snap(x, half)
	if another {
		b.parked = parked{}
	}
	switch {
	case another && near && b.x < clear:
		away := b.cross.away(clear)
		away.Lash = calc.Ratio{}
		b.x = away.X
		m = append(m, away)
	case b.x <= x:
		m = append(m, b.crossOut((x-b.x)/2))
	}
	return append(m, b.crossTo(x, half))
}

// shoulder faces the shoulder behind a section to length: touched where the
// passes left it, measured, then taken to length with the top slide.
func (b *build) shoulder(v *level) {
	b.section, b.op = v.sec, sequence.OpShoulder
	b.pass, b.of = 0, 0
	touched := b.cross.zero
	b.rezero(v.ringZero)
	defer func() { b.rezero(touched) }()
	v.rpm, v.feed, v.wide = b.across(v.sec, cutting.Face, b.turningTool(), v.most, v.stub+b.nose(), v.place, false, b.stands(0, 0))
	v.rpm = min(v.rpm, b.speed(cutting.Turn, b.job.Bar, b.turningTool().Steel))
	line := b.cross.dial.Division()
	nose := b.nose()
	if v.wide -= nose; v.wide < shoulderStock/2 {
		b.refuse(v.sec, "a smaller corner radius, or a lathe with more power", "the radius of %s in the corner is too wide a cut across the shoulder of %s", b.show(nose), b.show(v.most))
		return
	}
	if v.least-v.sec.Diameter.Max < max(4*line, 4*margin+2*line)+4*nose {
		b.refuse(v.sec, "make the step larger, or leave both at one diameter", "a step from %s to %s is too small to face", b.show(v.sec.Diameter.Max), b.show(v.least))
		return
	}
	length := v.sec.Length
	if length.Tolerance() < b.top.dial.Division()/2 {
		b.refuse(v.sec, "widen the tolerance of the length", "a length of %s to %s is finer than the top-slide ring can be set: half a division is %s",
			b.show(length.Min), b.show(length.Max), b.show(b.top.dial.Division()/2))
		return
	}
	moves := append(b.spindle(sequence.Forward, v.rpm), b.crossInFrom(v, max(calc.Mid(v.size, v.least)-nose, v.size+2*margin+line), false)...)
	moves = append(moves, b.along(v.end), b.top.set(v.end, sequence.OnShoulder))
	b.add("shoulder/touch", sequence.Step{
		Opening: sequence.Cue{sequence.WordShoulder}, Moves: moves, Closing: sequence.Cue{sequence.WordLockCarriage},
		Cautions: []sequence.Word{sequence.WordNearJaws}, Hand: hand("start_stop", "touch_off"),
		Why: "From here the top slide gives the length; the carriage stays locked.",
	})
	with, division := b.onLength(v.sec.Pos, "the length of "+v.sec.Name, length.Nominal, length.Tolerance())
	m := &sequence.Measure{
		What: sequence.MeasureLength, Nominal: v.end - v.from, Min: v.end - v.from - calc.Millimetre, Max: length.Max,
		Unit: b.job.Unit, Division: division, Grows: true,
	}
	out := b.crossOut((v.most - b.x) / 2)
	if got := b.shoulderSize(1, m, with, out); got != nil {
		b.z = v.from + *got
		b.top.zero = b.z
	}
	for k := 2; ; k++ {
		if b.top.lines(true).Snap(b.top.offset(v.to)) <= 0 { // it is long enough as it was left
			if m.Got != nil {
				m.Final, m.Nominal, m.Min, m.Max = true, length.Mid(), length.Min, length.Max
			}
			break
		}
		b.shoulderCut(v, k-1)
		m := &sequence.Measure{
			What: sequence.MeasureLength, Nominal: length.Mid(), Min: length.Min, Max: length.Max,
			Unit: b.job.Unit, Division: division, Grows: true, Final: true,
		}
		got := b.shoulderSize(k, m, with)
		if got != nil {
			b.top.zero += v.from + *got - b.z
			b.z = v.from + *got
		}
		if got == nil || *got >= m.Min {
			break
		}
		if k == mostReadings {
			b.refuse(v.sec, "look for a loose gib or a top slide that is not locked", "the shoulder at %s is still not reached after %d readings", b.show(length.Mid()), k)
			return
		}
	}
	v.to = b.z
	// A turn less than that where a reading has made it short.
	b.parked = parked{v, touched - v.ringZero + b.parkedAt(v.last, (v.most-v.aim)/2) - 2*b.cross.dial.Travel}
	back := b.along(b.start())
	b.z -= b.top.zero - v.end // what the readings put right belongs to this shoulder
	b.add("shoulder/clear", sequence.Step{
		Moves: []sequence.Move{back}, Opening: sequence.Cue{sequence.WordFreeCarriage},
		Hand: hand("dial_set"), Why: "In front of the work again.",
	})
}

// shoulderSize measures the length of a section up to its shoulder, after some
// moves.
func (b *build) shoulderSize(k int, m *sequence.Measure, with string, moves ...sequence.Move) *calc.Length {
	id := fmt.Sprintf("shoulder/size%d", k)
	m.Got = b.got(b.prefix() + id)
	why := "From the face in front to the shoulder as it is now: the top slide takes what is left."
	if m.Final {
		why = "From the face in front to the shoulder."
	}
	moves = append(moves, b.stop()...)
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(moves, sequence.Inspect{What: m.What, With: with}),
		Hand:  hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Why: why,
	})
	return m.Got
}

// shoulderCut faces a shoulder in to the finished diameter, at the length wanted.
func (b *build) shoulderCut(v *level, k int) {
	left := v.to - b.z
	wide := left
	if k == 1 && b.got(b.prefix()+"shoulder/size1") == nil { // what was read in front does not change the number of cuts
		wide = v.stub
	}
	n := max(1, int(wide.Ceil(v.wide)/v.wide))
	for i := range n - 1 {
		b.shoulderTo(v, fmt.Sprintf("shoulder/cut%d/part%d", k, i+1), v.to-left*calc.Length(n-1-i)/calc.Length(n))
	}
	b.shoulderTo(v, fmt.Sprintf("shoulder/cut%d", k), v.to)
}

// shoulderTo is one cut across a shoulder.
func (b *build) shoulderTo(v *level, id string, z calc.Length) {
	in := b.top.to(z, true)
	b.z = in.Z
	from := b.x
	shift := b.crossTo(v.size, true)
	moves := append(b.spindle(sequence.Forward, v.rpm), in, sequence.Plunge{
		From: from, To: shift.X, Z: b.z, Dial: shift.Dial, PerRev: v.feed, Handle: shift.Handle,
	})
	out := b.crossOut((v.most - b.x) / 2)
	b.add(id, sequence.Step{
		Phase: sequence.PhaseCut, Moves: append(moves, out),
		Hand: hand("start_stop", "dial_set"), Machine: b.cutTime((from-shift.X)/2, v.feed),
		Why: b.cornerWhy(),
	})
}

// cornerWhy says what a cut across a shoulder leaves in the corner.
func (b *build) cornerWhy() string {
	if r := b.nose(); r > 0 {
		return fmt.Sprintf("The cross slide ends on the reading of the last cut: the nose leaves its radius of %s in the corner.", b.show(r))
	}
	return "The cross slide ends on the reading of the last cut, so the corner is clean."
}

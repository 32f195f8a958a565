package planner

import (
	"fmt"
	"slices"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// What is common practice in boring.
const (
	// boreCut is the depth on radius of the equal last cuts: less than outside, a bar
	// springs more than a tool in the post.
	boreCut = 100 * calc.Micrometre
	// barAir is what a boring bar needs beside it for swarf and for being withdrawn.
	barAir = calc.Millimetre
	// boreClear is how far the tip is withdrawn where a whole turn does not fit.
	boreClear = 300 * calc.Micrometre
	// boreBehind is how far a bar stands out of its clamp beyond the depth it works at.
	boreBehind = 5 * calc.Millimetre
	// barReach is how far a steel bar may stand out, in its own thickness.
	barReach = 4
	// barBend is how far the bar may give way in a roughing cut.
	barBend = 50 * calc.Micrometre
	// mostPasses is how many roughing passes one bore may take.
	mostPasses = 60
	// edgeRoom is how deep a bore must be for the edge of a chamfer tool turned to the
	// inside.
	edgeRoom = 5 * calc.Millimetre
	// stepWide is how much of a step in a bore is faced off in one cut.
	stepWide = 500 * calc.Micrometre
)

// cavity is one bore with its places along the work and the sizes on the way.
type cavity struct {
	bore     *job.Bore   // a copy: how it is made may be settled by the tools owned
	aim      calc.Length // diameter aimed at
	end      calc.Length // z where boring passes end
	size     calc.Length // diameter as measured, or as planned until it is
	ringZero calc.Length // where the cross-slide ring stood for the last cut
	deep     calc.Length // z of the step at its end, as measured, or as planned until it is
}

// hollow settles the places of the bores.
func (b *build) hollow() {
	for i := range b.job.Bores {
		own := b.job.Bores[i]
		d := &own
		c := cavity{bore: d, aim: d.Diameter.Mid(), end: b.boreEnd(d)}
		c.size, c.deep = c.aim, b.front+d.Depth.Mid()
		if d.By == job.AsLeft && b.there != nil {
			c.size = b.there.size
		}
		b.cavities = append(b.cavities, c)
	}
}

// boreText is a bore in the words of the drawing.
func (b *build) boreText(d *job.Bore) string {
	if d.Thread != nil {
		switch {
		case d.Through:
			return d.Thread.String() + ", through"
		case d.Full.Nominal > 0:
			return d.Thread.String() + ", " + b.show(d.Full.Nominal) + " deep"
		}
		return d.Thread.String() + ", " + b.show(d.Depth.Nominal) + " deep"
	}
	if t := d.Taper; t != nil {
		size := fmt.Sprintf("%s cone, mouth %s", t.Name, b.show(d.Diameter.Nominal))
		if d.Through {
			return size + ", through"
		}
		return size + ", " + b.show(d.Depth.Nominal) + " deep"
	}
	size := "bore " + b.show(d.Diameter.Min) + " to " + b.show(d.Diameter.Max)
	if c := d.Diameter.Class; c != fit.None && c != fit.Written && c != fit.Default {
		size = "bore " + b.show(d.Diameter.Nominal) + " " + c
	}
	if d.Through {
		return size + ", through"
	}
	return size + ", " + b.show(d.Depth.Nominal) + " deep"
}

// bored is how deep the boring bar has to go; zero where nothing is bored.
func (b *build) bored() (deep calc.Length) {
	for i := range b.cavities {
		if c := &b.cavities[i]; c.bore.By == job.ByBore {
			deep = c.bore.Depth.Nominal
			if c.bore.Through {
				deep = c.end - b.front
			}
		}
	}
	return deep
}

// thick is how thick a boring bar is with its tip, which stands out by a fifth of it
// (common practice).
func thick(t *job.Tool) calc.Length { return t.Size * 6 / 5 }

// chooseBar settles the boring bar: the stoutest owned that goes into the drilled hole
// and may stand out as far as the bores are deep.
func (b *build) chooseBar() {
	if c := b.cavities[0].bore; c.Chamfer > 0 && !c.Through && c.Depth.Min < edgeRoom {
		b.refuseAt(c.Pos, "leave chamfer out and break the edge by hand", "the edge of the chamfer tool needs %s of bore, and this one is %s deep", b.show(edgeRoom), b.show(c.Depth.Nominal))
	}
	deep := b.bored()
	if deep == 0 {
		return
	}
	for i := range b.cavities { // a step that is touched has to be wide enough for it
		c, behind := &b.cavities[i], b.made.hole
		if c.bore.Taper != nil {
			continue // its depth is the end of the cone
		}
		if i+1 < len(b.cavities) && b.cavities[i+1].bore.By == job.ByBore {
			behind = b.cavities[i+1].bore.Diameter.Max
		}
		if least := behind + 4*margin + 2*b.cross.dial.Division(); c.bore.By == job.ByBore && !c.bore.Through && c.bore.Diameter.Min < least {
			b.refuseAt(c.bore.Pos, fmt.Sprintf("%s or more, or one bore instead of two", b.show(least.Ceil(100*calc.Micrometre))),
				"a step from %s to %s is too small to be touched: too close to the hole behind it", b.show(c.bore.Diameter.Min), b.show(behind))
			return
		}
	}
	at := b.cavities[0].bore.Pos
	out := (deep + boreBehind).Ceil(calc.Millimetre)
	owned, fits := false, false
	for i := range b.lathe.Tools {
		t := &b.lathe.Tools[i]
		if t.Kind != job.KindBoringBar {
			continue
		}
		owned = true
		if thick(t)+barAir > b.made.hole {
			continue
		}
		fits = true
		if out <= barMost(t) && (b.made.bar == nil || t.Size > b.made.bar.Size) {
			b.made.bar = t
		}
	}
	largest := ((b.made.hole - barAir) * 5 / 6).Floor(calc.Millimetre / 2)
	switch {
	case b.made.bar != nil:
	case !owned:
		b.refuseAt(at, fmt.Sprintf("list it in %s: [[tool]] kind = \"boring bar\" size = %q", b.lathe.Source.Path, b.show(largest)), "no boring bar is listed for the lathe")
	case !fits:
		b.refuseAt(at, fmt.Sprintf("list a thinner bar, of %s or less, or a larger drill", b.show(largest)), "no boring bar listed goes into the drilled hole of %s: it needs its own thickness, a fifth for the tip, and %s", b.show(b.made.hole), b.show(barAir))
	default:
		b.refuseAt(at, fmt.Sprintf("a stouter bar after a larger drill: %s at least for this depth, or a shallower bore", b.show((out/barReach).Ceil(calc.Millimetre/2))),
			"boring %s deep, the bar stands out %s, and no bar that fits the hole of %s may: a steel bar stands out four times its thickness at most", b.show(deep), b.show(out), b.show(b.made.hole))
	}
}

// barMost is how far a bar may stand out.
func barMost(t *job.Tool) calc.Length {
	if t.Reach > 0 {
		return min(t.Reach, barReach*t.Size)
	}
	return barReach * t.Size
}

// bore bores what is bored, from the mouth inwards, and reams what is reamed behind
// it.
func (b *build) bore() {
	if b.made.bar == nil {
		return
	}
	if b.coned() != nil {
		b.boreCone()
		b.behindCone()
		return
	}
	t := *b.made.bar
	b.op, b.section, b.hole = sequence.OpBore, nil, nil
	b.pass, b.of = 0, 0
	b.cross.inside = true
	b.mountBar(t)
	touched := b.cross.zero
	for i := range b.cavities {
		c := &b.cavities[i]
		if c.bore.By != job.ByBore {
			continue
		}
		b.hole = c.bore
		b.afresh = i > 0
		if !b.roughBore(c, t) || !b.sizeBore(c, t) {
			return
		}
		c.ringZero = b.cross.zero
		b.rezero(touched)
	}
	// The steps come when every pass along is done: the top slide, which gives their
	// depth, takes the carriage ring's zero with it.
	speeds := []calc.Speed{b.rpm}
	for i := range b.cavities {
		if c := &b.cavities[i]; c.bore.By == job.ByBore && !c.bore.Through {
			b.hole, b.afresh = c.bore, true
			b.rezero(c.ringZero)
			b.boreDepth(c, b.behind(i), t)
			b.rezero(touched)
			speeds = append(speeds, b.speed(cutting.Bore, c.aim, t.Steel))
			b.doubt = slices.Clone(speeds)
		}
	}
	b.cross.inside = false
	if c := &b.cavities[len(b.cavities)-1]; c.bore.By == job.ByDrill {
		b.hole = c.bore
		b.checkDrilled(c)
	}
	b.hole, b.boredOut = nil, true
	b.pass, b.of = 0, 0
	if b.made.reamer != nil {
		b.reamBehind(&b.cavities[len(b.cavities)-1])
	}
}

// behind is the least diameter of the hole behind the step of a bore.
func (b *build) behind(i int) calc.Length {
	if i+1 < len(b.cavities) && b.cavities[i+1].bore.By == job.ByBore {
		return b.cavities[i+1].bore.Diameter.Min
	}
	return b.made.hole
}

// reamBehind reams a bore behind bored ones: the bar has to be out of the way.
func (b *build) reamBehind(c *cavity) {
	b.hole, b.op = c.bore, sequence.OpReam
	b.add("ream/clear", sequence.Step{
		Moves: append(b.stop(), sequence.Mount{Kind: sequence.NoTool}, b.along(b.aside())),
		Hand:  hand("tool_plain"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: "The boring bar would stand in the way of the tailstock.",
	})
	b.ream(c)
	b.hole = c.bore
	b.add("ream/back", sequence.Step{Moves: []sequence.Move{b.along(b.start())}, Hand: hand("dial_set"), Why: "In front of the work for the next tool."})
	b.hole = nil
}

// mountBar fits the boring bar and touches it on the end and in the drilled hole.
func (b *build) mountBar(t job.Tool) {
	first := calc.Length(0)
	for i := len(b.cavities) - 1; i >= 0; i-- {
		if b.cavities[i].bore.By == job.ByBore {
			first = b.cavities[i].end
		}
	}
	b.fitBar(t)
	rpm := b.speed(cutting.Bore, b.made.hole, t.Steel)
	b.z = b.front
	moves := append(b.spindle(sequence.Forward, rpm), b.top.set(b.front, sequence.OnEnd))
	closing := sequence.Cue{}
	if b.carriage != nil {
		moves = append(moves, b.carriage.set(b.front, sequence.InPlace))
	} else {
		closing = sequence.Cue{sequence.WordMarkCarriage}
	}
	b.add("boring/end", sequence.Step{
		Moves: moves, Closing: closing, Hand: hand("start_stop", "touch_off"), Cautions: []sequence.Word{sequence.WordNoFinger},
		Why: "Beside the hole, on the finished end: depths are counted from here.",
	})
	enter := b.cross.enter(calc.Mid(b.made.hole, thick(&t)))
	b.x = enter.X
	at := min(b.touchAt(), first/2)
	if left := b.relic.most; left > 0 { // the wall of the drilled hole begins behind it
		at = max(at, left+calc.Millimetre/2)
	}
	b.add("boring/touch", sequence.Step{
		Moves: []sequence.Move{
			b.along(b.start()), enter, b.along(at), b.cross.set(b.made.hole, sequence.OnBore),
		},
		Closing: sequence.Cue{sequence.WordOtherSide}, Hand: hand("touch_off"),
		Why: "A light touch with the slack taken up towards you: the ring now counts from the wall of the drilled hole.",
	})
	b.x = b.made.hole
	b.add("boring/clear", sequence.Step{
		Moves: []sequence.Move{b.withdraw(t), b.along(b.start())}, Hand: hand("dial_set"),
		Why: "Away from the wall, then out of the hole.",
	})
}

// fitBar puts the boring bar in the post.
func (b *build) fitBar(t job.Tool) {
	out := (b.bored() + boreBehind).Ceil(calc.Millimetre)
	b.add("boring/tool", sequence.Step{
		Moves: append(b.stop(), sequence.Mount{
			Kind: sequence.BoringTool, Tip: t.Tip, Hand: "right", Edge: "tip", Inside: true, Diameter: t.Size, Overhang: out,
		}),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Hand: hand("tool_plain"),
		Why: "The stoutest bar that goes in, out of its clamp no further than the bore is deep: half the overhang bends an eighth.",
	})
}

// withdraw winds the tip off the wall it has just cut: by whole turns where the back of
// the bar has room for them, else by just enough.
func (b *build) withdraw(t job.Tool) sequence.Shift {
	d := b.cross.dial
	out := calc.Length(d.WholeTurnsClear(0, margin)) * d.Travel
	if thick(&t)+out-d.Slack+barAir/4 <= b.x {
		return b.crossOut(0)
	}
	m := b.cross.clearOf(b.x - 2*boreClear)
	b.x = m.X
	return m
}

// boreTo brings the tip out to a diameter in front of the work, from further in.
func (b *build) boreTo(x calc.Length, half bool) []sequence.Move {
	var m []sequence.Move
	x = b.cross.snap(x, half)
	switch {
	case b.afresh: // where the last bore's readings have left the slide is nothing to this one
		out := calc.Length(b.cross.dial.WholeTurnsClear(0, margin)) * b.cross.dial.Travel
		in := b.cross.enter(max(0, b.made.hole-2*out-farOff))
		b.x, b.afresh = in.X, false
		m = append(m, in)
	case b.x >= x:
		m = append(m, b.crossOut((b.x-x)/2))
	}
	return append(m, b.crossTo(x, half))
}

// boreDepths are the ring positions of a bore's finishing: the last cut, and the depth
// of each of the three equal ones on the lines of the ring.
func (b *build) boreDepths(c *cavity) (last, each calc.Length, ok bool) {
	half, fine := b.half(c.aim, c.bore.Diameter.Min, c.bore.Diameter.Max)
	if !fine || c.bore.Diameter.Tolerance() < b.cross.dial.Division() {
		b.refuseAt(c.bore.Pos, "widen the tolerance, or ream it: by = \"ream\"",
			"%s to %s is finer than the cross-slide ring can be set: half a division moves the diameter by %s",
			b.show(c.bore.Diameter.Min), b.show(c.bore.Diameter.Max), b.show(b.cross.dial.Division()))
		return 0, 0, false
	}
	last = b.cross.lines(half).Snap(b.cross.offset(c.aim))
	each = b.cross.dial.Snap(min(boreCut, (c.aim-b.made.hole)/6))
	if each < leastCut {
		b.refuseAt(c.bore.Pos, "list a smaller drill, or a lathe with a finer ring", "%s is too close to the drilled hole of %s for two equal last cuts", b.show(c.aim), b.show(b.made.hole))
		return 0, 0, false
	}
	return last, each, true
}

// boreRough is the depth of a roughing cut on radius: half of what is turned outside,
// and no more than bends the bar a little.
func (b *build) boreRough(t job.Tool) calc.Length {
	deep := b.roughDepth(t) / 2
	_, feed := b.drive(cutting.Bore)
	f := b.job.Material.Turning(cutting.Cut{Depth: deep, Feed: feed.Length(), Factor: cutting.Usual * cutting.Internal})
	if bend, err := cutting.Boring(t.Size, b.bored()+boreBehind, 0, cutting.Radial*f); err == nil && bend > barBend {
		deep = calc.Length(float64(deep)*float64(barBend)/float64(bend)) * calc.Nanometre
	}
	return max(b.cross.dial.SnapIn(deep), b.cross.dial.Division())
}

// roughBore takes a bore from the drilled hole to what the finishing cuts are to take.
func (b *build) roughBore(c *cavity, t job.Tool) bool {
	last, each, ok := b.boreDepths(c)
	if !ok {
		return false
	}
	if b.carriage == nil {
		b.add("rough/mark", sequence.Step{
			Moves:   append(b.stop(), sequence.Inspect{What: sequence.MeasureLength, With: b.handy("the mark on the bar", job.KindCaliper, job.KindCaliper, job.KindRule)}),
			Closing: sequence.Cue{sequence.WordMarkBar, sequence.WordAt, sequence.LengthWord(c.end-b.front, b.job.Unit, 2), sequence.WordFromTip},
			Why:     "The passes end when this mark comes to the end of the work.", Hand: hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		})
	}
	from, to := b.cross.offset(b.made.hole), last+3*each
	if from-to < max(each/2, leastCut) {
		return true
	}
	deep := b.boreRough(t)
	n := int((from - to).Ceil(deep) / deep)
	if n > mostPasses {
		b.refuseAt(c.bore.Pos, "list a larger drill and a stouter bar", "boring %s from a drilled hole of %s with a bar of %s takes %d passes", b.show(c.aim), b.show(b.made.hole), b.show(t.Size), n)
		return false
	}
	for i := range n {
		b.pass, b.of = i+1, n
		off := b.cross.dial.Snap(from + (to-from)*calc.Length(i+1)/calc.Length(n))
		b.passBore(c, fmt.Sprintf("rough/pass%d", i+1), b.cross.position(off), false, sequence.Cue{sequence.WordRough}, i == 0, t)
	}
	b.pass, b.of = 0, 0
	return true
}

// passBore is one pass along a bore: the depth is set in front of it, then the pass is
// cut and the bar brought back.
func (b *build) passBore(c *cavity, id string, x calc.Length, half bool, opening sequence.Cue, first bool, t job.Tool) {
	var moves []sequence.Move
	if first || b.turning != sequence.Forward {
		moves = b.spindle(sequence.Forward, b.speed(cutting.Bore, c.aim, t.Steel))
	}
	moves = append(moves, b.boreTo(x, half)...)
	b.add(id+"/set", sequence.Step{
		Phase: sequence.PhaseSet, Opening: opening, Moves: moves, Hand: hand("dial_set"),
		Why: fmt.Sprintf("Leaves a bore of %s.", b.show(b.x)),
	})
	by, rate := b.drive(cutting.Bore)
	cut := sequence.Carriage{From: b.z, To: c.end, By: by, PerRev: rate, Cutting: true, Dial: b.carriageDial(c.end)}
	b.z = c.end
	in := b.withdraw(t)
	back := b.along(b.start())
	b.add(id+"/cut", sequence.Step{
		Phase: sequence.PhaseCut, Moves: []sequence.Move{cut, in, back},
		Machine: b.cutTime((cut.To - cut.From).Abs(), rate), Hand: hand("feed_engage", "dial_set"),
		Cautions: b.boreCautions(first),
		Why:      fmt.Sprintf("Ends %s from the finished end; nobody sees the tip there, the ring does.", b.show(c.end-b.front)),
	})
}

// boreCautions are said in full at the first pass of a kind.
func (b *build) boreCautions(first bool) []sequence.Word {
	if !first {
		return nil
	}
	return []sequence.Word{sequence.WordSwarf, sequence.WordNoFinger}
}

// sizeBore finishes a bore: equal cuts, a reading before the last, and a last reading
// inside the limits. A reading that leaves more than one equal cut splits what is left
// again.
func (b *build) sizeBore(c *cavity, t job.Tool) bool {
	last, each, ok := b.boreDepths(c)
	if !ok {
		return false
	}
	limits := c.bore.Diameter
	const cuts = 3
	opening := [cuts]sequence.Cue{{sequence.WordCleanUp}, {sequence.WordFirstCut}, {sequence.WordLastCut}}
	n := 0
	cut := func(off calc.Length, opening sequence.Cue, of int) {
		n++
		b.pass, b.of = n, max(of, n)
		b.passBore(c, fmt.Sprintf("finish/pass%d", n), b.cross.position(off), true, opening, n == 1, t)
	}
	at := last + 2*each
	cut(at, opening[0], cuts)
	at = last + each
	cut(at, opening[1], cuts)
	final := false
	for k := 1; ; k++ {
		planned := b.cross.position(at)
		m := b.measureBore(c, k, planned, 2*each, final)
		got := m.Got
		c.size = planned
		if got != nil {
			c.size = *got
			b.rezero(b.cross.zero + *got - planned)
		}
		left := c.aim - c.size
		inside := limits.Contains(c.size)
		if inside && got != nil && !final && stepsLeast*m.Division > limits.Tolerance() {
			final = true // a finer one judges it, with nothing cut
			continue
		}
		if c.size > limits.Max || inside && (final || got != nil) {
			if !final {
				m.Final, m.Nominal, m.Min, m.Max = true, c.aim, limits.Min, limits.Max
			}
			return true
		}
		if k == mostReadings {
			b.refuseAt(c.bore.Pos, "look for a loose gib, a blunt tool or a bar that springs before cutting on", "a bore of %s is still not reached after %d readings", b.show(c.aim), k)
			return false
		}
		equal := left <= 3*each // one more cut of about the same depth, on diameter
		target, words := c.aim, opening[2]
		if final {
			words = sequence.Cue{sequence.WordEnlarge}
		}
		if !equal {
			target, words = c.size+left/2, opening[1]
		}
		half := !equal
		if equal {
			if half, ok = b.half(target, limits.Min, limits.Max); !ok {
				half = true
			}
		}
		off := b.cross.lines(half).Snap(b.cross.offset(target))
		if off >= at {
			off = at - b.cross.dial.Division()/2
		}
		at, final = off, equal
		of := n + 1
		if !equal {
			of++
		}
		cut(at, words, of)
	}
}

// measureBore measures a bore between its last cuts or after them.
func (b *build) measureBore(c *cavity, k int, planned, plausible calc.Length, final bool) *sequence.Measure {
	id := fmt.Sprintf("finish/size%d", k)
	size := planned
	if final {
		size = c.aim
	}
	with, division := b.inBore(c, size, boreGauge(size))
	m := &sequence.Measure{
		What: sequence.MeasureBore, Nominal: planned, Min: planned - 2*plausible, Max: planned + plausible, Grows: true,
		Unit: b.job.Unit, Division: division, Got: b.got(b.prefix() + id),
	}
	why := "What this cut left tells what the last one must take: two equal cuts spring the bar the same."
	if final {
		m.Final, m.Nominal, m.Min, m.Max = true, c.aim, c.bore.Diameter.Min, c.bore.Diameter.Max
		why = fmt.Sprintf("%s: %s to %s.", limitsText(c.bore), b.show(m.Min), b.show(m.Max))
	}
	b.pass, b.of = 0, 0
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(b.stop(), sequence.Inspect{What: sequence.MeasureBore, With: with}),
		Hand:  hand("bore_gauge"), Why: why, Cautions: []sequence.Word{sequence.WordStopBeforeTouch, sequence.WordCoolFirst},
	})
	return m
}

// boreDepth takes the step at the end of a bore to its depth: measured with the bar
// out of the hole, touched, then faced outwards with the top slide giving the depth.
func (b *build) boreDepth(c *cavity, behind calc.Length, t job.Tool) {
	d := c.bore.Depth
	b.pass, b.of = 0, 0
	step := c.end
	if b.top.dial.Division()/2 > d.Tolerance() {
		b.refuseAt(c.bore.Pos, "widen the tolerance of the depth", "a depth of %s to %s is finer than the top-slide ring can be set: half a division is %s",
			b.show(d.Min), b.show(d.Max), b.show(b.top.dial.Division()/2))
		return
	}
	m := &sequence.Measure{Nominal: step - b.front, Min: step - b.front - calc.Millimetre, Max: d.Max}
	if got := b.depthSize(1, m); got != nil {
		if step = b.front + *got; *got >= d.Min { // deep enough as it is
			c.deep = step
			m.Final, m.Nominal, m.Min = true, d.Mid(), d.Min
			return
		}
	}
	for k := 1; ; k++ {
		b.faceStep(c, behind, t, k, step)
		got := b.depthSize(k+1, &sequence.Measure{Nominal: d.Mid(), Min: d.Min, Max: d.Max, Final: true})
		if got != nil {
			c.deep = b.front + *got
		}
		if got == nil || *got >= d.Min {
			return
		}
		if k == mostReadings {
			b.refuseAt(c.bore.Pos, "look for a loose gib or a top slide that is not locked", "a depth of %s is still not reached after %d readings", b.show(d.Nominal), k)
			return
		}
		step = b.front + *got
	}
}

// depthSize measures the depth of a bore with the bar in front of the work.
func (b *build) depthSize(k int, m *sequence.Measure) *calc.Length {
	id := fmt.Sprintf("depth/size%d", k)
	with, division := b.onLength(b.hole.Pos, "the depth of "+b.hole.Name, b.hole.Depth.Nominal, b.hole.Depth.Tolerance())
	m.What, m.Unit, m.Division, m.Grows = sequence.MeasureDepth, b.job.Unit, division, true
	m.Got = b.got(b.prefix() + id)
	why := "From the end to the step as it is now: the top slide takes what is left."
	if m.Final {
		why = "From the end to the step."
	}
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(b.stop(), sequence.Inspect{What: m.What, With: with}),
		Hand:  hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Why: why,
	})
	return m.Got
}

// faceStep touches the step of a bore where it stands and faces it at the depth
// wanted, from the hole behind it out to the finished diameter.
func (b *build) faceStep(c *cavity, behind calc.Length, t job.Tool, k int, at calc.Length) {
	suffix := ""
	if k > 1 {
		suffix = fmt.Sprint(k)
	}
	meet := calc.Mid(behind, c.size)
	moves := append(b.spindle(sequence.Forward, b.speed(cutting.Bore, c.aim, t.Steel)), b.boreTo(meet, false)...)
	moves = append(moves, b.along(at), b.top.set(at, sequence.OnStep))
	b.add("depth/touch"+suffix, sequence.Step{
		Opening: sequence.Cue{sequence.WordBoreStep}, Moves: moves, Closing: sequence.Cue{sequence.WordLockCarriage},
		Cautions: []sequence.Word{sequence.WordNoFinger}, Hand: hand("start_stop", "touch_off"),
		Why: "From here the top slide gives the depth; the carriage stays locked.",
	})
	// No wider than a bar cuts across without digging in.
	left := b.front + c.bore.Depth.Mid() - at
	n := max(1, int(left.Ceil(stepWide)/stepWide))
	for i := range n {
		id := "depth/cut" + suffix
		if n > 1 {
			b.pass, b.of = i+1, n
			id = fmt.Sprintf("%s/pass%d", id, i+1)
		}
		var moves []sequence.Move
		if i == 0 {
			clear := b.cross.clearOf(behind - 2*boreClear)
			b.x = clear.X
			moves = append(moves, clear)
		}
		in := b.top.to(b.front+c.bore.Depth.Mid()-left*calc.Length(n-1-i)/calc.Length(n), true)
		b.z = in.Z
		from := b.x
		shift := b.crossTo(c.size, true)
		var out sequence.Shift
		if i < n-1 {
			out = b.cross.clearOf(behind - 2*boreClear)
			b.x = out.X
		} else {
			out = b.withdraw(t)
		}
		feed := b.feed(cutting.Face)
		b.add(id, sequence.Step{
			Phase: sequence.PhaseCut,
			Moves: append(moves, in,
				sequence.Plunge{From: from, To: shift.X, Z: b.z, Dial: shift.Dial, PerRev: feed, Handle: shift.Handle, Inside: true},
				out),
			Hand: hand("dial_set"), Machine: b.cutTime((shift.X-from)/2, feed),
			Why: "The cross slide ends on the reading of the last cut, so the corner is clean.",
		})
	}
	b.pass, b.of = 0, 0
	c.deep = b.z
	b.add("depth/clear"+suffix, sequence.Step{
		Opening: sequence.Cue{sequence.WordFreeCarriage}, Moves: []sequence.Move{b.along(b.start())}, Hand: hand("dial_set"),
		Why: "The bar out of the hole: the depth gauge needs the room.",
	})
}

// chamferBore breaks the edge at the mouth of the bore with the 45 degree edge turned
// to the inside.
func (b *build) chamferBore() {
	if len(b.cavities) == 0 || b.cavities[0].bore.Chamfer == 0 {
		return
	}
	c := &b.cavities[0]
	leg := c.bore.Chamfer
	t, ok := b.ownedAt(c.bore.Pos, job.KindChamfer, "a chamfer")
	if !ok {
		return
	}
	if leg > longEdge(t)-margin {
		b.refuseAt(c.bore.Pos, fmt.Sprintf("a tool with a longer edge: edge = %q, or a smaller chamfer", b.show((leg*3/2+2*margin).Ceil(calc.Millimetre))),
			"a chamfer of %s is more than the edge of the chamfer tool, %s long, cuts at 45 degrees", b.show(leg), b.show(t.Edge))
		return
	}
	b.op, b.section, b.hole = sequence.OpChamfer, nil, c.bore
	b.pass, b.of = 0, 0
	m := b.mount(t, sequence.ChamferTool, "edge at the corner")
	m.Inside = true
	b.add("chamfer/tool", sequence.Step{
		Opening: sequence.Cue{sequence.WordChamfer}, Moves: append(b.stop(), m),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Hand: hand("tool_plain"),
		Why: "Its edge faces you and the chuck now, so that it meets the edge of the hole.",
	})
	rpm, feed := b.acrossInside(c.bore, t, c.bore.Diameter.Max+2*leg, leg, b.front, true)
	b.cross.inside = true
	mouth := b.mouth()
	touch := b.cross.set(mouth, sequence.OnMouth)
	touch.Z = b.front
	b.z, b.x = b.front, mouth
	b.add("chamfer/touch", sequence.Step{
		Moves:   append(b.spindle(sequence.Forward, rpm), touch),
		Closing: sequence.Cue{sequence.WordOtherSide}, Hand: hand("start_stop", "touch_off"), Cautions: []sequence.Word{sequence.WordNoFinger},
		Why: "The edge at 45 degrees just rubs the edge of the bore.",
	})
	shift := b.crossTo(mouth+2*leg, true)
	cut := sequence.Plunge{From: mouth, To: shift.X, Z: b.front, Dial: shift.Dial, PerRev: feed, Handle: shift.Handle, Inside: true}
	in := b.crossOut(0)
	b.add("chamfer/cut", sequence.Step{
		Moves: []sequence.Move{cut, in, b.along(b.start())}, Hand: hand("feed_engage", "dial_set"),
		Machine: b.cutTime(leg, feed),
		Why:     fmt.Sprintf("A leg of %s: the ring tells the depth, the eye the width.", b.show(leg)),
	})
	b.cross.inside = false
	b.hole = nil
}

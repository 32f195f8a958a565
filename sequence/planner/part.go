package planner

import (
	"fmt"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// bladeReach is how deep a parting blade of a width goes on a small lathe: six
// times its width (common practice; makers print eight).
const bladeReach = 6

// deburr breaks the edges the tools have left.
func (b *build) deburr() {
	b.op = sequence.OpDeburr
	closing := sequence.Cue{sequence.WordDeburr}
	if len(b.cavities) > 0 || b.second != nil && len(b.drawing.Bores) > 0 {
		closing = append(closing, sequence.FullStop, sequence.WordDeburrBore)
	}
	b.add("deburr", sequence.Step{
		Moves: b.stop(), Closing: closing, Hand: hand("deburr"),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why:      "Edges not given a chamfer, with a hand deburrer and the spindle standing still. No cloth or file held by hand against turning work.",
	})
}

// partOff cuts the part from the bar.
func (b *build) partOff() {
	if !b.job.PartOff {
		return
	}
	b.op = sequence.OpPartOff
	if b.job.Sawn {
		b.sawOff()
		return
	}
	last := &b.levels[len(b.levels)-1]
	t, ok := b.tool(sequence.PartingTool, last.sec, "parting off")
	if !ok {
		return
	}
	b.section = nil
	b.pass, b.of = 0, 0
	reach := reachOf(t)
	to, thick := b.partTo(), max(last.sec.Diameter.Max, last.aim)
	if deep := (thick - to) / 2; deep > reach {
		what := "half of " + b.show(thick)
		if to > 0 {
			what = "the wall of " + b.show(deep)
		}
		b.refuse(last.sec, "part_off = false and saw it off, or a wider blade", "a parting blade of %s reaches %s deep, and %s is more", b.show(t.Width), b.show(reach), what)
		return
	}
	b.mountStep("part/tool", t, sequence.PartingTool, "tailstock side", sequence.WordPartOff)
	b.section = last.sec
	cut := max(last.aim, last.size)
	if k := last.sec.Knurl; k != nil {
		_ = b.speed(cutting.Part, k.Over.Max, t.Steel) // as thick as it may be read it must not be too fast
	}
	var late calc.Length // how far it may come to stand behind its place
	for i := range b.levels {
		late += b.levels[i].sec.Length.Max - b.levels[i].sec.Length.Mid()
	}
	if last.end < last.place+t.Width+late {
		cut = b.job.Bar // the blade may stand in what was not turned
	}
	rpm, feed, _ := b.across(last.sec, cutting.Part, t, cut, t.Width, last.place, false, b.stands(0, 0))
	b.z = -t.Width
	touch := append(b.spindle(sequence.Forward, rpm), b.top.set(b.z, sequence.OnEnd))
	if b.carriage != nil {
		c := b.carriage.set(b.z, sequence.InPlace)
		touch = append(touch, c)
	}
	b.add("part/touch", sequence.Step{
		Moves: touch, Hand: hand("start_stop", "touch_off"),
		Why: "The chuck side of the blade against the finished end.",
	})
	b.placeBlade(last)
	b.cutoff = b.z
	from := b.x
	b.add("part/cut", sequence.Step{
		Moves: append(b.spindle(sequence.Forward, rpm), sequence.Plunge{
			From: from, To: to, Z: b.z, PerRev: feed, Handle: b.cross.turn(sequence.In),
		}),
		Closing:  sequence.Cue{sequence.WordCatchPart},
		Cautions: []sequence.Word{sequence.WordOilSteel},
		Machine:  b.cutTime((from-to)/2, feed), Hand: hand("start_stop"),
		Why: "Steady feed with oil: too little chatters. Slower in the last millimetres.",
	})
	b.x = to
	b.section = nil
}

// sawOff takes the part from the bar with a saw, a little longer than it is to be.
func (b *build) sawOff() {
	last := &b.levels[len(b.levels)-1]
	b.section, b.pass, b.of = last.sec, 0, 0
	if room := b.job.StickOut - b.job.Face - jawMargin - last.to; room < 0 {
		b.refuse(last.sec, fmt.Sprintf("stickout = %q or more", b.whole(b.job.StickOut-room)), "the saw comes within %s of the jaws", b.show(jawMargin+room))
	}
	b.add("saw", sequence.Step{
		Moves: append(append(b.stop(), b.besideSaw()...), sequence.Saw{Z: last.to}), Hand: sawTime,
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why:      "The supply off, a board over the bed, the carriage out of the saw's way. A saw drifts: what is over is faced off.",
	})
	b.z = last.to
	b.section = nil
}

// besideSaw takes the tool out of the way of a saw: one that works inside in front of the
// work, any other outwards where it does not stand clear of the bar already.
func (b *build) besideSaw() []sequence.Move {
	switch {
	case b.inPost().Inside:
		return []sequence.Move{b.along(b.start() - roomToLoad)}
	case b.x >= b.job.Bar+2*calc.Millimetre:
		return nil
	}
	return []sequence.Move{b.clearOfBar()}
}

// sawTime is that of sawing a bar through by hand (common practice).
const sawTime = 3 * time.Minute

// partTo is the diameter at which the part comes off: a little inside a bore that goes
// through, else the middle.
func (b *build) partTo() calc.Length {
	if n := len(b.cavities); n > 0 && b.cavities[n-1].bore.Through {
		return max(0, b.cavities[n-1].bore.Narrow().Min-calc.Millimetre)
	}
	return 0
}

// placeBlade brings the blade to the length of the part and has the place
// measured before the cut.
func (b *build) placeBlade(last *level) {
	target := last.to
	low, high := target+last.sec.Length.Min-last.sec.Length.Mid(), target+last.sec.Length.Max-last.sec.Length.Mid()
	if all := b.job.Overall; all.Nominal > 0 {
		low, high = max(low, all.Min), min(high, all.Max)
		if low >= high {
			b.refuse(last.sec, "make overall and the length of the last section agree", "no length is inside the limits of section %s and of overall, with the shoulder in front of it at %s", last.sec.Name, b.show(last.from))
			return
		}
		target = min(max(target, low), high)
	}
	to, ring := target, false
	if b.carriage != nil {
		at := b.carriage.snap(target, false)
		if ring = at >= low && at <= high; ring { // else it is set by the caliper alone
			to = at
		}
	}
	x := b.clearOfBar()
	move := b.along(to)
	if ring {
		move.Dial = b.carriageDial(to)
	}
	id := "part/size1"
	got := b.got(b.prefix() + id)
	b.add("part/place", sequence.Step{
		Moves: append([]sequence.Move{x, move}, b.stop()...), Closing: sequence.Cue{sequence.WordLockCarriage},
		Hand: hand("dial_set", "start_stop"), Why: "The length of the part and the width of the blade from the end.",
	})
	with, division := b.instrument(asked{last.sec.Pos, "the length to the blade", to, high - low, []string{job.KindCaliper, job.KindRule}}, "caliper", 10*calc.Micrometre)
	m := &sequence.Measure{
		What: sequence.MeasureEdge, Nominal: to, Min: low, Max: high, Final: true, Unit: b.job.Unit,
		Division: division, Got: got, Grows: true,
	}
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: []sequence.Move{sequence.Inspect{What: sequence.MeasureEdge, With: with}},
		Hand:  hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: fmt.Sprintf("Length %s to %s.", b.show(low), b.show(high)),
	})
	if got != nil {
		b.z = *got
	}
}

// end is the last step.
func (b *build) end() {
	b.op = sequence.OpEnd
	b.section = nil
	b.add("end", sequence.Step{
		Moves: b.stop(), Closing: sequence.Cue{sequence.WordFinished, sequence.FullStop, sequence.WordClean},
		Hand: hand("swarf"), Why: "Measure the whole part once more, cold, and put the tools away.",
	})
}

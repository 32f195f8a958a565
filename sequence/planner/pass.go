package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// nuts is what is said of the half-nuts where a thread is tried.
func (t *threading) nuts() string {
	if t.way == job.WayDial {
		return ""
	}
	return "The half-nuts stay shut. "
}

// threadPass is one pass: set the depth, cut, clear the tool, go back to the start.
// The scratch pass is checked before it goes back.
func (b *build) threadPass(t *threading, id string, depth calc.Length, opening sequence.Cue, check bool) {
	x := t.v.surface(b.z) - 2*depth
	if t.inside != nil {
		x = t.v.size + 2*depth
	}
	var set []sequence.Move
	if t.way == job.WayDial {
		set = b.spindle(t.cut, t.rpm)
	}
	b.add(id+"/set", sequence.Step{
		Phase: sequence.PhaseSet, Opening: opening, Moves: append(set, b.crossTo(x, true)), Hand: hand("dial_set", "oil"),
		Cautions: []sequence.Word{sequence.WordOilSteel},
		Why:      fmt.Sprintf("Depth %s on radius.", b.show(depth)),
	})
	if t.fade != nil {
		t.end = t.endAt(depth)
	}
	cut, back := b.passSteps(t)
	if len(opening) > 0 && t.way != job.WayDial { // not one of the many
		back.Closing = sequence.Cue{sequence.WordKeepShut}
	}
	if check && t.fade != nil && t.inside != nil {
		cut.Opening = sequence.Cue{sequence.WordEarlier}
	}
	if check && t.way != job.WayDial {
		back.Opening = sequence.Cue{sequence.WordToolClearFirst}
		if !t.cranked {
			back.Opening = append(back.Opening, sequence.FullStop, sequence.WordStandStill)
		}
	}
	b.deepest = b.x
	cut.Moves = b.followed(cut.Moves)
	if t.onTheRun() {
		b.takeOut(&cut, t, depth)
		b.add(id+"/cut", cut)
	} else {
		b.add(id+"/cut", cut)
		out, why := b.clearThread(t, t.out(depth))
		b.add(id+"/clear", sequence.Step{Phase: sequence.PhaseClear, Moves: []sequence.Move{out}, Hand: hand("dial_set"), Why: why})
	}
	if check && t.inside == nil {
		b.checkScratch(t)
	}
	back.Moves = b.followed(back.Moves)
	b.add(id+"/return", back)
	b.z = t.start + t.index
	if check && t.inside != nil {
		b.makeRoom(t, id+"/room")
		b.checkScratch(t)
	}
}

// out is how far the tool is wound out of a depth, on radius, to be clear on the way
// back: the same number of turns in every pass where something stands behind.
func (t *threading) out(depth calc.Length) calc.Length {
	if t.v.sec.Tapered() { // one side of the tool stands where the cone is thicker
		return depth + t.v.sec.Thread.Pitch.Length()/16
	}
	if t.clear == 0 {
		return depth
	}
	return max(t.depth.Limit, (t.clear-t.v.size)/2+t.depth.Limit)
}

// passSteps are the cut of a pass and its way back, by the way chosen.
func (b *build) passSteps(t *threading) (cut, back sequence.Step) {
	from := t.start + t.index
	if t.inside != nil {
		from = b.z // or where room was made
	}
	travel := (t.end - from).Abs()
	along := sequence.Carriage{From: from, To: t.end, By: sequence.ByHalfNut, PerRev: t.lead, Cutting: true}
	home := sequence.Carriage{From: t.end, To: t.start + t.index, By: sequence.ByHalfNut, PerRev: t.lead}
	if t.onTheRun() {
		home.From += t.fade.on
	}
	cut = sequence.Step{
		Phase: sequence.PhaseCut, RunsInto: sequence.IntoGroove, Hand: hand("start_stop"),
		Why: "Power off when you see the tool in the groove and let it coast there. Nothing here tells you when: your eye does.",
	}
	back = sequence.Step{
		Phase: sequence.PhaseReturn, Hand: hand("reverse_setup"),
		Why: fmt.Sprintf("Back to %s in front of the end: all slack is taken up before the next cut.", b.show(-t.start)),
	}
	if t.outward {
		cut.RunsInto, back.RunsInto = sequence.IntoOpen, sequence.IntoGroove
		cut.Why = "From standstill in the groove: the slack runs out before the carriage moves, the tool still in air. Power off past the end; your eye decides when."
		back.Why = "The tool is clear of all that stands behind the groove. Past it? A short run the other way; then over the groove, where the next pass starts."
	}
	if t.inside != nil {
		cut.RunsInto, cut.Why = sequence.InBore, t.inside.why
	}
	if t.fades() {
		cut.RunsInto, cut.Why = sequence.IntoAir, b.pipeWhy(t)
	}
	switch t.way {
	case job.WayDial:
		cut.Why = "Half-nuts and tool go together: open in the groove, then out. Nothing here tells you when: your eye does."
		if t.fades() {
			cut.Why = b.pipeWhy(t) + " Half-nuts open then, the tool out."
		}
		if t.inside != nil {
			cut.Why = "Half-nuts first, when you see the mark on the bar at the end of the work; then the tip in, away from the thread. Nothing here tells you when: your eye does."
		}
		cut.Moves = []sequence.Move{sequence.HalfNut{Closed: true, Marks: t.marks}, along, sequence.HalfNut{}}
		cut.Hand, cut.Machine = hand("feed_engage"), t.passTime(travel)
		home.By, home.PerRev = sequence.ByHandwheel, calc.Lead{}
		back.Moves, back.Hand = []sequence.Move{home}, hand("dial_set")
	case job.WayCrank:
		cut.Why = "Turn steadily; the handle stops where you stop. Look at the groove, count the turns."
		if t.fades() {
			cut.Why = "Turn steadily, count the turns; past the place where the thread fades out nothing is in the way."
		}
		if t.inside != nil {
			cut.Why = "Turn steadily; the handle stops where you stop. Look at the mark on the bar, count the turns."
		}
		cut.Moves = []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}, along}
		back.Moves = []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}, home}
		cut.Hand += crankTime(t, travel)
		back.Hand += crankTime(t, travel)
	default:
		cut.Moves = []sequence.Move{sequence.Spindle{Turn: t.cut, RPM: t.rpm}, along, sequence.Spindle{Turn: sequence.Stop}}
		back.Moves = []sequence.Move{sequence.Spindle{Turn: t.back, RPM: t.rpm}, home, sequence.Spindle{Turn: sequence.Stop}}
		cut.Machine, back.Machine = t.passTime(travel), t.passTime(travel)
		if t.back == sequence.Reverse && b.lathe.Chuck == job.ChuckScrewed {
			back.Cautions = []sequence.Word{sequence.WordSlowReverse}
		}
	}
	switch {
	case t.fade == nil:
	case t.inside == nil:
		cut.RunsInto, cut.Why = sequence.IntoLine, b.fadeWhy(t)
	default:
		cut.Why = b.fadeWhy(t)
	}
	return cut, back
}

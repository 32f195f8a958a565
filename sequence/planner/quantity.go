package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// countFrom is how many parts there are before they are counted half way too.
const countFrom = 4

// roomToLoad is how far in front of the work a tool that works inside waits while the
// next blank goes in.
const roomToLoad = 20 * calc.Millimetre

// inPost is the tool that stands in the post.
func (b *build) inPost() sequence.Mount {
	for i := len(b.plan.Steps) - 1; i >= 0; i-- {
		for _, m := range b.plan.Steps[i].Moves {
			if m, ok := m.(sequence.Mount); ok && !m.Kind.InTailstock() {
				return m
			}
		}
	}
	return sequence.Mount{}
}

// parts is how many equal parts are made; zero for a single one.
func (b *build) parts() int {
	if b.job.Quantity > 1 {
		return b.job.Quantity
	}
	return 0
}

// setStop sets the stop that the end of the bar comes to for every further part.
func (b *build) setStop() {
	if b.parts() == 0 {
		return
	}
	b.add("setup/stop", sequence.Step{
		Moves: b.stop(), Closing: sequence.Cue{sequence.WordSetStop}, Hand: hand("tailstock_tool"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: "Every further part begins here: a rod in the tailstock with its place marked on the bed, or a bed stop. Out of the way while cutting.",
	})
}

// begin starts a part of several. The stops stay as they were set; what the first part
// has shown of a tool that still stands where it stood is used again.
func (b *build) begin(k int) {
	if b.parts() == 0 {
		return
	}
	b.part = k
	b.announce = sequence.Cue{sequence.WordPart, sequence.CountWord(k, b.parts())}
	if k == 1 {
		return
	}
	b.leaves()
	b.levels, b.parked, b.afresh, b.boredOut = nil, parked{}, false, false
	b.sections()
	b.ends()
	for i := range b.cavities {
		c := &b.cavities[i]
		c.size, c.ringZero, c.deep = c.aim, 0, c.bore.Depth.Mid()
	}
	b.keep = b.inPost().Kind == sequence.TurningTool
	b.op, b.section, b.hole = sequence.OpSetUp, nil, nil
	b.pass, b.of = 0, 0
	load, why := sequence.PullOut, "The end against the stop, so that all places along the work are where they were."
	if !b.job.PartOff {
		load, why = sequence.Blank, "Its end against the stop, so that all places along the work are where they were."
	}
	moves := b.stop()
	if b.inPost().Inside { // it stands in front of the work
		moves = append(moves, b.along(b.start()-roomToLoad))
	} else if b.x < b.job.Bar+4*calc.Millimetre {
		moves = append(moves, b.clearOfBar())
	}
	b.add("load", sequence.Step{
		Moves: append(moves, sequence.Hold{How: "three-jaw chuck", StickOut: b.job.StickOut, Load: load}),
		Hand:  hand("chuck_load"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Why: why,
	})
	b.add("key", sequence.Step{
		Moves: []sequence.Move{sequence.ChuckKey{}}, Closing: sequence.Cue{sequence.WordGuardsShut},
		Hand: hand("start_stop"), Why: "Key on its hook and the stop out of the way, every time.",
	})
}

// relic is what the bore of the part before leaves in the end of the bar, behind the face
// of this one.
type relic struct {
	most calc.Length // how deep it goes at most, whatever was measured
	size calc.Length // its diameter where it reaches the face as measured; zero where it does not
}

// leaves notes what the part that is finished leaves of its bore.
func (b *build) leaves() {
	b.relic = relic{}
	n := len(b.cavities)
	if n == 0 || !b.job.PartOff || !b.cavities[n-1].bore.Through {
		return
	}
	short := calc.Length(0)
	for i := range b.job.Sections {
		short += b.job.Sections[i].Length.Min
	}
	on := b.throughEnd() - b.bladeWidth() - b.job.Face
	b.relic.most = on - short
	if on-b.cutoff > 0 {
		b.relic.size = b.cavities[n-1].size
	}
}

// mouth is the diameter of the first bore at the face.
func (b *build) mouth() calc.Length {
	c := &b.cavities[0]
	if len(b.cavities) > 1 {
		return c.size // it is larger than what goes through
	}
	return max(c.size, b.relic.size)
}

// finishPart counts what lies finished, half way and at the end.
func (b *build) finishPart(k int) {
	n := b.parts()
	if n == 0 || k != n && (k != n/2 || n < countFrom) {
		return
	}
	b.op, b.section, b.hole = sequence.OpEnd, nil, nil
	b.pass, b.of = 0, 0
	b.add("count", sequence.Step{
		Moves: b.stop(), Closing: sequence.Cue{sequence.WordCountParts, sequence.NumberWord(k)}, Hand: hand("swarf"),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why:      fmt.Sprintf("%d of %d should lie finished. Count the parts themselves: a press too many or too few shows here.", k, n),
	})
}

// pitch is how much of the bar each part takes.
func (b *build) pitch() calc.Length {
	long := b.job.Face + b.bladeWidth()
	for i := range b.levels {
		long += b.levels[i].sec.Length.Max
	}
	return long
}

// checkQuantity refuses a bar too short for all the parts.
func (b *build) checkQuantity() {
	if b.parts() == 0 || !b.job.PartOff {
		return
	}
	last := &b.levels[len(b.levels)-1]
	left := last.end - last.to - b.bladeWidth() + last.sec.Length.Mid() - last.sec.Length.Min
	if least := (left + margin).Ceil(margin); !last.sec.AsBar && least > b.job.Face {
		b.refuse(nil, fmt.Sprintf("face = %q", b.show(least)),
			"the last passes of a part go %s into the end of the next one, and %s are faced off it", b.show(left), b.show(b.job.Face))
	}
	c, long := &b.lathe.Capacity, b.job.BarLength
	need := b.job.StickOut + calc.Length(b.parts()-1)*b.pitch() + b.job.Bar // the last is held by its diameter at least
	b.barNeeded = need
	switch {
	case long > 0 && long < need:
		fit := max(1, int((long-b.job.StickOut-b.job.Bar)/b.pitch())+1)
		b.refuse(nil, fmt.Sprintf("bar_length = %q or more, or quantity = %d", b.whole(need), fit),
			"%d parts take %s of bar each, and the last is held by %s: %s in all, and the bar is %s", b.parts(), b.show(b.pitch()), b.show(b.job.Bar), b.whole(need), b.show(long))
	case c.SpindleBore > 0 && b.job.Bar > c.SpindleBore && (c.ChuckDepth == 0 || need-b.job.StickOut > c.ChuckDepth):
		b.refuse(nil, "part_off = false with a sawn blank for each part, or a bar that goes through the spindle",
			"%d parts are pulled out of one bar, %s long, and a bar of %s does not go through the spindle bore of %s", b.parts(), b.whole(need), b.show(b.job.Bar), b.show(c.SpindleBore))
	}
}

// regard says in the plan what is done once and what in every part, where the tools
// change within a part.
func (b *build) regard() {
	if b.parts() == 0 {
		return
	}
	kinds := map[sequence.ToolKind]bool{}
	for _, s := range b.plan.Steps {
		for _, m := range s.Moves {
			if m, ok := m.(sequence.Mount); ok && s.Part == 1 && !m.Kind.InTailstock() {
				kinds[m.Kind] = true
			}
		}
	}
	why := "the bar would have to be parted off and held again between two tools"
	if !b.job.PartOff {
		why = "every part would be held again for each tool, and run out by as much as the chuck does"
	}
	if len(kinds) > 1 {
		b.warnOnce(fmt.Sprintf("%d tools in the post for each part: each is touched again when it comes back, and its sizes are measured again. Doing one tool's work on all parts first would save nothing: %s", len(kinds), why))
	}
}

// proven is what the parts so far have shown of a section: where the ring of the cross
// slide has its zero for it, with the tool never moved in the post since.
type proven map[string]calc.Length

// known is the zero that was found for a section, where it still holds.
func (b *build) known(s *job.Section) (calc.Length, bool) {
	z, ok := b.found[s.Name]
	return z, ok && b.keep
}

package bench

import (
	"slices"

	"turncue/sequence"
)

// warned is what has been said, and what has still to be said before something is done.
type warned struct {
	guards   *sequence.Step // where they are to be shut, after the work was held; nil for said
	cranked  bool           // the crank is in the spindle
	finger   bool           // an inside tool was fitted and has not run yet
	drilling bool           // a drill was fitted and has not cut yet
	cut      map[string]bool
}

// handWords are said where hands go to the work, the tool or the chuck with no move of its
// own.
var handWords = []sequence.Word{sequence.WordDeburr, sequence.WordFitCentre, sequence.WordCountParts, sequence.WordSingleLines, sequence.WordBlueTaper, sequence.WordScribe, sequence.WordSetStop}

// says looks for words in what a step says, in full or in short.
func (b *lathe) says(words ...sequence.Word) bool {
	s := b.step
	return slices.ContainsFunc(words, func(w sequence.Word) bool {
		return slices.Contains(s.Cautions, w) || slices.Contains(s.Opening, w) || slices.Contains(s.Closing, w) || slices.Contains(s.Cue, w)
	})
}

// must is the check that a step says a caution.
func (b *lathe) must(rule int, doing string, w sequence.Word) {
	if !b.says(w) {
		b.fault(rule, "%s, and it is not said: %s", doing, w)
	}
}

// cautions is the check of what has to be said, every time, where hands come near work that
// turns or could: a trained person who hears it often hears it short, and never not at all
// (public guidance on the safety of lathes).
func (b *lathe) cautions() {
	if b.at == 0 {
		for _, w := range []sequence.Word{sequence.WordEyes, sequence.WordKnowStop, sequence.WordLocalRules} {
			b.must(Standing, "the work begins", w)
		}
	}
	if doing := b.handsOn(); doing != "" && !b.isolated {
		b.must(Standing, doing, sequence.WordStopBeforeTouch)
	}
	if b.says(sequence.WordDeburr) && (len(b.bores) > 0 || b.other != nil && len(b.other.drawing.Bores) > 0) {
		b.must(Standing, "a part with a bore is deburred", sequence.WordDeburrBore)
	}
	for _, m := range b.step.Moves {
		switch m := m.(type) {
		case sequence.Hold:
			if m.Support == "" || b.warned.guards != nil {
				b.warned.guards = b.step
			}
			if b.says(sequence.WordGuardsShut) {
				b.warned.guards = nil
			}
			b.warned.cut = nil
			if m.Load == "" && m.Support == "" && b.screwed() {
				b.must(NoReverseCut, "the chuck is screwed on", sequence.WordNoReverseCut)
			}
		case sequence.ChuckKey:
			b.shutGuards()
		case sequence.Mount:
			b.warned.finger, b.warned.drilling, b.warned.cut = m.Inside, m.Kind == sequence.DrillTool, nil
		case sequence.Spindle:
			b.runs(m)
		case sequence.Supply:
			if !m.Isolated && b.warned.cranked {
				b.must(Standing, "the power comes back after the hand crank", sequence.WordCrankOut)
				b.warned.cranked = false
			}
		case sequence.Zero:
			if b.powered() && b.inside() && m.On == sequence.OnStep {
				b.must(Standing, "a tool is touched inside with the spindle turning", sequence.WordNoFinger)
			}
		case sequence.Carriage:
			b.swarf(m)
			b.goesBack(m)
		case sequence.Tailstock:
			b.drilled(m)
		case sequence.Plunge:
			if b.tool != nil && b.tool.Kind == sequence.PartingTool && b.parted {
				b.must(Standing, "the part comes off", sequence.WordCatchPart)
			}
		}
	}
}

// handsOn is what hands do at the work, the tool or the chuck in a step; "" for nothing.
func (b *lathe) handsOn() string {
	for _, m := range b.step.Moves {
		switch m := m.(type) {
		case sequence.Mount:
			return "a tool is changed"
		case sequence.Hold:
			return "the work is held"
		case sequence.Inspect:
			if m.What != sequence.MeasureRunOut {
				return "something is measured"
			}
		case sequence.Gauge:
			return "a gauge is tried"
		case sequence.Seat:
			return "the tool is laid in a groove"
		case sequence.Swivel:
			return "the top slide is swivelled"
		case sequence.TaperSlide:
			return "the taper slide is set or freed"
		case sequence.Saw:
			return "a part is sawn off"
		}
	}
	if b.says(handWords...) {
		return "hands are at the work"
	}
	return ""
}

// powered says that the motor turns the spindle.
func (b *lathe) powered() bool { return b.turn == sequence.Forward || b.turn == sequence.Reverse }

// shutGuards notes that guards were said to be shut, or where that belongs.
func (b *lathe) shutGuards() {
	switch {
	case b.says(sequence.WordGuardsShut):
		b.warned.guards = nil
	case b.warned.guards != nil:
		b.warned.guards = b.step
	}
}

// runs is what has to be said before and when the spindle turns.
func (b *lathe) runs(m sequence.Spindle) {
	switch m.Turn {
	case sequence.ByHand:
		b.shutGuards()
		if b.isolated && b.step.Op == sequence.OpThread && !b.warned.cranked {
			b.warned.cranked = true
			if !b.says(sequence.WordPlugOut) {
				b.fault(Standing, "the hand crank is fitted, and it is not said: %s", sequence.WordPlugOut)
			}
		}
		return
	case sequence.Forward, sequence.Reverse:
	default:
		return
	}
	if at := b.warned.guards; at != nil {
		b.faultAt(at, Standing, "the spindle is started after it, and it is not said: %s", sequence.WordGuardsShut)
		b.warned.guards = nil
	}
	if b.warned.finger {
		b.warned.finger = false
		b.must(Standing, "an inside tool is brought to a turning bore", sequence.WordNoFinger)
	}
	if m.Turn == sequence.Reverse && b.screwed() {
		b.must(Standing, "a screwed chuck is run in reverse", sequence.WordSlowReverse)
	}
}

// swarf is what has to be said at the first of like cuts along the work or a bore.
func (b *lathe) swarf(m sequence.Carriage) {
	if !m.Cutting || m.By == sequence.ByHalfNut || b.tool == nil || b.tool.Kind != sequence.TurningTool && b.tool.Kind != sequence.BoringTool {
		return
	}
	key := string(b.step.Op) + " " + b.step.Section
	if b.warned.cut[key] {
		return
	}
	if b.warned.cut == nil {
		b.warned.cut = map[string]bool{}
	}
	b.warned.cut[key] = true
	b.must(Standing, "the first cut of its kind", sequence.WordSwarf)
	if b.inside() {
		b.must(Standing, "the first cut of its kind in a bore", sequence.WordNoFinger)
	}
}

// drilled is what has to be said where a drill or a reamer cuts first.
func (b *lathe) drilled(m sequence.Tailstock) {
	brought := b.does("zero") // up to the end only
	switch {
	case brought:
	case m.Kind == sequence.ReamerTool:
		b.must(Standing, "a reamer is drawn back", sequence.WordNeverBack)
		b.must(Standing, "a reamer is drawn back", sequence.WordReamBack)
	case b.warned.drilling:
		b.warned.drilling = false
		b.must(Standing, "a drill begins", sequence.WordSwarf)
	}
}

// goesBack is what has to be said the first time a tool goes back along a thread with the
// half-nuts shut.
func (b *lathe) goesBack(m sequence.Carriage) {
	if m.Cutting || m.By != sequence.ByHalfNut || b.step.RunsInto == sequence.Beside {
		return
	}
	key := "back " + b.step.Section
	if b.warned.cut[key] {
		return
	}
	if b.warned.cut == nil {
		b.warned.cut = map[string]bool{}
	}
	b.warned.cut[key] = true
	b.must(ToolClear, "the first way back of a thread", sequence.WordToolClearFirst)
	if slices.ContainsFunc(b.step.Moves, func(m sequence.Move) bool {
		s, ok := m.(sequence.Spindle)
		return ok && (s.Turn == sequence.Forward || s.Turn == sequence.Reverse)
	}) {
		b.must(Standing, "the spindle turns the other way", sequence.WordStandStill)
	}
}

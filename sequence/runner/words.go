package runner

import (
	"fmt"
	"slices"
	"strings"

	"turncue/calc"
	"turncue/sequence"
)

// Words is how much is spoken. The screen is the same with all of them.
type Words int

// The ways of speaking.
const (
	// ShortWords says cautions, handle directions and how to answer where they are
	// first met.
	ShortWords Words = iota
	// FullWords says them every time.
	FullWords
	// NumbersOnly says the rings, the sizes and the limits. A step without a figure is
	// said in short, and so is a pass along a thread, where a bare figure could be
	// taken for one to stop at.
	NumbersOnly
)

var wordsNames = []string{"short", "full", "numbers"}

func (w Words) String() string { return wordsNames[w] }

// MarshalText and UnmarshalText are the names short, full and numbers.
func (w Words) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

func (w *Words) UnmarshalText(b []byte) error {
	i := slices.Index(wordsNames, string(b))
	if i < 0 {
		return fmt.Errorf("%q is not known: full, short or numbers", b)
	}
	*w = Words(i)
	return nil
}

// Spoken is what is said at a step of a plan in that unit. It is a pure function of
// the step, and every part of it is a part of the step's own cue in one of its two
// lengths.
func Spoken(st *sequence.Step, unit calc.Length, w Words) sequence.Cue {
	if len(st.Parts) > 0 && w != ShortWords {
		c := slices.Clip(st.Opening)
		for i := range st.Parts {
			if len(c) > 0 && c[len(c)-1] != sequence.FullStop {
				c = append(c, sequence.FullStop)
			}
			c = append(c, Spoken(&st.Parts[i], unit, w)...)
		}
		return c
	}
	again := *st
	switch w {
	case FullWords:
		again.Brief = false
	case NumbersOnly:
		again.Brief = true
	default:
		return st.Cue
	}
	sequence.Compose(&again, unit)
	if len(again.Cue) == 0 { // its words were not made from its moves
		return st.Cue
	}
	if w == FullWords || st.Op == sequence.OpThread && (st.Phase == sequence.PhaseCut || st.Phase == sequence.PhaseReturn) {
		return again.Cue
	}
	if c := figures(again.Cue, slices.ContainsFunc(st.Moves, sequence.Cuts)); len(c) > 0 {
		return c
	}
	return again.Cue
}

// figures keeps the sentences that hold a figure or set a ring to zero, without the
// words an old hand does not need; what must not be missed is kept whole, and after a cut
// so is the way out of it.
func figures(c sequence.Cue, cut bool) sequence.Cue {
	var kept sequence.Cue
	counted := false
	for _, sentence := range sentencesOf(c) {
		said := trimmed(sentence)
		switch {
		case slices.ContainsFunc(sentence, mustBeSaid), cut && slices.ContainsFunc(sentence, wayOut):
			said = sentence
		case slices.ContainsFunc(said, figure):
			counted = true
		default:
			continue
		}
		if len(kept) > 0 {
			kept = append(kept, sequence.FullStop)
		}
		kept = append(kept, said...)
	}
	if !counted {
		return nil
	}
	return kept
}

func sentencesOf(c sequence.Cue) []sequence.Cue {
	var all []sequence.Cue
	for len(c) > 0 {
		i := slices.Index(c, sequence.FullStop)
		if i < 0 {
			return append(all, c)
		}
		if i > 0 {
			all = append(all, c[:i])
		}
		c = c[i+1:]
	}
	return all
}

// figure is a quantity, or a ring set to zero.
func figure(w sequence.Word) bool {
	switch w {
	case sequence.WordZeroCross, sequence.WordZeroTop, sequence.WordZeroCarriage:
		return true
	}
	return strings.ContainsAny(string(w), "0123456789")
}

// wayOut is a word of winding a tool clear.
func wayOut(w sequence.Word) bool {
	switch w {
	case sequence.WordFullTurn, sequence.WordFullTurns, sequence.WordClearOfBar, sequence.WordClearOfBore:
		return true
	}
	return false
}

func mustBeSaid(w sequence.Word) bool {
	switch w {
	case sequence.WordNeedsSignOff, sequence.WordReverse, sequence.WordIsolate, sequence.WordNoReverseCut:
		return true
	}
	return false
}

// spare are the words a figure is understood without.
var spare = []sequence.Word{
	sequence.WordPass, sequence.WordSetSpeed, sequence.WordHoldBar, sequence.WordClockwise, sequence.WordAnticlockwise,
	sequence.WordFitTurning, sequence.WordFitGrooving, sequence.WordFitChamfer, sequence.WordFitThreading,
	sequence.WordFitParting, sequence.WordOnCentre, sequence.WordMeasureThreads, sequence.WordRunOut,
	sequence.WordTouchDiameter, sequence.WordTouchEnd, sequence.WordTouchShoulder, sequence.WordTouchCorner, sequence.WordTipAtEnd,
}

// trimmed is a sentence without the spare words and the pauses left bare by them.
func trimmed(sentence sequence.Cue) sequence.Cue {
	var c sequence.Cue
	for _, w := range sentence {
		pauseFirst := w == sequence.Comma && (len(c) == 0 || c[len(c)-1] == sequence.Comma)
		if pauseFirst || slices.Contains(spare, w) {
			continue
		}
		c = append(c, w)
	}
	for len(c) > 0 && c[len(c)-1] == sequence.Comma {
		c = c[:len(c)-1]
	}
	return c
}

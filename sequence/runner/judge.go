package runner

import (
	"fmt"
	"slices"
	"strings"

	"turncue/calc"
	"turncue/sequence"
)

// What a reading is judged by, where the measure itself does not say. All are
// common practice.
const (
	// agreeing is how near a second reading must be where no division is known.
	agreeing = 20 * calc.Micrometre
	// farOff is how far outside its limits a finished size may be before it is more
	// likely a slip than a wrong cut.
	farOff = calc.Millimetre
	// longest is more than any lathe this is for can hold.
	longest = 10_000 * calc.Millimetre
)

// A judgement is what a reading means, looked at alone.
type judgement struct {
	result Result
	notice string
	likely calc.Length // the size if the named slip was made; zero when none is named
	// firm says that a second reading that agrees settles it. A slip of units, or a
	// size that cannot be, is not made likelier by being typed twice.
	firm bool
}

// judge says what a reading of m is worth. before is the accepted size the last
// reading of the same place gave, nil when there is none.
func judge(m *sequence.Measure, v calc.Length, before *calc.Length) judgement {
	if v < 0 || v == 0 && m.What != sequence.MeasureRunOut {
		return judgement{result: Impossible, notice: fmt.Sprintf("%s cannot be: a %s is more than zero", size(v, m.Unit), m.What)}
	}
	if v > longest {
		return judgement{result: Impossible, notice: fmt.Sprintf("%s is longer than any lathe", size(v, m.Unit))}
	}
	switch m.What {
	case sequence.MeasureRunOut:
		if v > m.Max {
			return judgement{result: RunOutBad, notice: fmt.Sprintf("run-out of %s is more than %s: true it again and read again", size(v, m.Unit), size(m.Max, m.Unit))}
		}
		return judgement{result: Accepted}
	case sequence.MeasureThreads:
		return judgeThreads(m, v)
	case sequence.MeasureEdge:
		return judgeEdge(m, v)
	case sequence.MeasureRingOn:
		return judgeRing(m, v)
	}
	if before != nil && (m.Grows && v < *before-agree(m) || !m.Grows && v > *before+agree(m)) {
		than := "bigger"
		if m.Grows {
			than = "smaller"
		}
		j := judgement{result: Questioned, notice: fmt.Sprintf("%s is %s than before (%s)", size(v, m.Unit), than, size(*before, m.Unit))}
		if sl, ok := likelySlip(m, v); ok {
			j.likely = sl.size
			j.notice += "; " + sl.text(m.Unit)
		}
		j.notice += ": measure again, or go back and correct the reading before"
		return j
	}
	if v >= m.Min && v <= m.Max {
		return judgement{result: Accepted}
	}
	if m.Final {
		return judgeFinal(m, v)
	}
	return question(m, v, fmt.Sprintf("%s is not near %s", size(v, m.Unit), size(m.Nominal, m.Unit)))
}

// agree is how near two readings of one size must be to count as the same: two
// divisions of what it is read on.
func agree(m *sequence.Measure) calc.Length {
	if m.Division > 0 {
		return 2 * m.Division
	}
	return agreeing
}

// question asks for a second reading, with the slip it may be.
func question(m *sequence.Measure, v calc.Length, why string) judgement {
	j := judgement{result: Questioned, notice: why, firm: true}
	if sl, ok := likelySlip(m, v); ok {
		j.notice += "; " + sl.text(m.Unit)
		j.likely, j.firm = sl.size, sl.turn > 0
	}
	j.notice += ": measure again"
	return j
}

// judgeFinal judges a finished size outside its limits.
func judgeFinal(m *sequence.Measure, v calc.Length) judgement {
	if _, slipped := likelySlip(m, v); slipped || max(m.Min-v, v-m.Max) > farOff {
		return question(m, v, beyond(m, v))
	}
	j := judgement{result: wrongSize(m, v < m.Min), notice: beyond(m, v)}
	j.notice += remedy(m, j.result)
	return j
}

// beyond is how far a size is outside its limits, in words.
func beyond(m *sequence.Measure, v calc.Length) string {
	word, by, limit := "over size", v-m.Max, m.Max
	if v < m.Min {
		word, by, limit = "under size", m.Min-v, m.Min
	}
	return fmt.Sprintf("%s is %s by %s (limit %s)", size(v, m.Unit), word, size(by, m.Unit), size(limit, m.Unit))
}

// remedy is what to do about a size past saving here; one that can be cut again needs
// no words. All of it is common practice.
func remedy(m *sequence.Measure, r Result) string {
	then := ""
	switch {
	case r == UnderSize:
		then = "sleeve it, make it anew, or try the next smaller size"
	case r != OverSize:
		return ""
	case m.What == sequence.MeasureKnurl:
		then = "take the crests down with a light cut, or make it anew"
	case m.What == sequence.MeasureBore || m.What == sequence.MeasureMouth:
		then = "sleeve the bore, make what goes into it to suit, or make it anew"
	default:
		then = "the other faces must be cut to suit, or it is made anew"
	}
	return ": leave it in the chuck and measure again; if it stays so, " + then
}

// wrongSize is what a size outside its limits is: one that another cut can still
// bring in (MoreCuts), or one past saving here.
func wrongSize(m *sequence.Measure, short bool) Result {
	switch {
	case short == m.Grows:
		return MoreCuts
	case short:
		return UnderSize
	}
	return OverSize
}

func judgeThreads(m *sequence.Measure, v calc.Length) judgement {
	if v >= m.Min && v <= m.Max {
		return judgement{result: Accepted}
	}
	if m.Threads < 1 {
		return judgement{result: WrongLead, notice: size(v, m.Unit) + ": wrong pitch, check the gears"}
	}
	notice := fmt.Sprintf("%d threads in %s are %s, wanted %s", m.Threads, size(v, m.Unit), pitchText(v, m), pitchText(m.Nominal, m))
	for _, counted := range []int{m.Threads - 1, m.Threads + 1} {
		if as := share(m.Nominal, counted, m.Threads); counted > 0 && v >= as-(m.Nominal-m.Min) && v <= as+(m.Max-m.Nominal) {
			notice += fmt.Sprintf("; or %d were counted", counted)
		}
	}
	return judgement{result: WrongLead, notice: notice + ": wrong pitch, check the gears"}
}

// share is a length times n over of, rounded to the nanometre.
func share(l calc.Length, n, of int) calc.Length {
	r, err := calc.NewRatio(int64(n), int64(of))
	if err != nil { // of is zero
		return l
	}
	return l.Scale(r)
}

// pitchText is the pitch that so many threads in a length make, as the unit of the
// measure has it: millimetres to 0.01, or threads per inch to 0.1.
func pitchText(v calc.Length, m *sequence.Measure) string {
	pitch := share(v, 1, m.Threads)
	if m.Unit == calc.Inch {
		if n, err := calc.PerTurn(pitch).PerInch(); err == nil {
			return strings.TrimSuffix(n.Rat().FloatString(1), ".0") + " tpi"
		}
	}
	return pitch.Trimmed(calc.Millimetre, 2) + " mm pitch"
}

func judgeEdge(m *sequence.Measure, v calc.Length) judgement {
	switch {
	case v < m.Min:
		return judgement{result: Misplaced, notice: fmt.Sprintf("%s is %s short of %s: move the blade, lock, measure again", size(v, m.Unit), size(m.Nominal-v, m.Unit), size(m.Nominal, m.Unit))}
	case v > m.Max:
		return judgement{result: Misplaced, notice: fmt.Sprintf("%s is %s past %s: move the blade, lock, measure again", size(v, m.Unit), size(v-m.Nominal, m.Unit), size(m.Nominal, m.Unit))}
	}
	return judgement{result: Accepted}
}

// judgeRing judges how far a ring gauge goes on a taper thread. Short of its length by
// some turns is no slip: that is how a pass more is told.
func judgeRing(m *sequence.Measure, v calc.Length) judgement {
	switch {
	case v < m.Min:
		return judgement{result: MoreCuts, notice: fmt.Sprintf("the ring goes on %s, %s short of %s", size(v, m.Unit), size(m.Nominal-v, m.Unit), size(m.Nominal, m.Unit))}
	case v > m.Max:
		return judgement{result: UnderSize, notice: fmt.Sprintf("the ring goes on %s, %s past its limit of %s: the thread is too thin; measure again; if it stays so, face the end back by %s or more, or make it anew",
			size(v, m.Unit), size(v-m.Max, m.Unit), size(m.Max, m.Unit), size(v-m.Max, m.Unit))}
	}
	return judgement{result: Accepted}
}

// scatter is a line about readings of one size that lie too far apart to be
// believed, or "" when they do not. Between cuts that is more than two readings may
// differ; at a finished size, more than its tolerance.
func scatter(m *sequence.Measure, values []calc.Length) string {
	allowed, name := agree(m), "readings of one size differ"
	if m.Final {
		allowed, name = m.Max-m.Min, "the tolerance"
	}
	spread := slices.Max(values) - slices.Min(values)
	if spread <= allowed {
		return ""
	}
	return fmt.Sprintf("the readings scatter by %s, more than %s (%s): wipe both faces and measure again",
		size(spread, m.Unit), name, size(allowed, m.Unit))
}

// settle is the one size that several readings stand for: the worst of them where
// one is outside the limits, otherwise their middle.
func settle(m *sequence.Measure, values []calc.Length) calc.Length {
	low, high := slices.Min(values), slices.Max(values)
	spoilt, mended := low, high
	if m.Grows {
		spoilt, mended = high, low
	}
	for _, v := range []calc.Length{spoilt, mended} {
		if v < m.Min || v > m.Max {
			return v
		}
	}
	return calc.Mid(low, high)
}

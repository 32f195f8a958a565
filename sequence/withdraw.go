package sequence

import "turncue/calc"

// Line is a line scribed round the work with the spindle standing: the mark at which a
// thread ends that has no groove.
type Line struct{ Z calc.Length }

// Withdraw winds the cross slide out quickly while the carriage goes on: the tool leaves
// the thread within half a turn of the work. The next move takes the drive away.
type Withdraw struct {
	From calc.Length // z where the hand begins, at the line or a little before it
	To   calc.Length // z where the carriage stands when it has run out, at the latest
	X    calc.Length // diameter at which the tool then stands
	Dial *Dial       // what the cross-slide ring says there
	// WholeTurns of the handle bring the ring back to the same reading.
	WholeTurns int
	Handle     Rotation
	Lash       calc.Ratio // handle travel lost on the way, in turns
}

// Do names the move in a written plan.
func (Line) Do() string     { return "line" }
func (Withdraw) Do() string { return "withdraw" }

// withdrawWords are the words of a tool taken out at a line.
func withdrawWords(s *Step, m Withdraw) Cue {
	c := append(Cue{WordOutAtLine, Comma, WordCrossOut}, wholeTurns(m.WholeTurns)...)
	if !s.Brief && m.Handle != "" {
		c = append(c, Comma, handleWord(m.Handle))
	}
	return c
}

// lineWords are the words of a thread pass that ends at a line: how the tool comes out,
// then the start.
func (r run) lineWords(s *Step) Cue {
	var c Cue
	if r.out != nil {
		c = append(withdrawWords(s, *r.out), FullStop)
		if r.shut != nil {
			c = append(c, WordOpenHalfNuts, FullStop)
		} else { // never dropped: the carriage goes on with the tool out
			c = append(c, WordThenOff, FullStop)
		}
	}
	if !s.Brief {
		c = append(c, WordEarlier, FullStop)
	}
	if turns, err := r.along.PerRev.Turns((r.along.To - r.along.From).Abs()); err == nil && (r.cranked || !s.Brief) {
		c = append(c, WordAbout, TurnsWord(calc.Whole(turnsNear(turns))), FullStop)
	}
	switch {
	case r.shut != nil:
		return append(c, shutWords(r.shut.Marks)...)
	case r.cranked:
		return append(c, WordCrankLine)
	}
	return append(c, WordForwardLine)
}

// wireWithdraw writes a tool taken out at a line.
func wireWithdraw(f fields, m Withdraw) {
	f["from_mm"], f["to_mm"], f["x_mm"] = mm(m.From), mm(m.To), mm(m.X)
	dial(f, m.Dial, m.WholeTurns)
	if m.Handle != "" {
		f["handle"] = m.Handle
	}
	if m.Lash.Sign() > 0 {
		f["lash_turns"] = decimal(m.Lash.Float(), 4)
	}
}

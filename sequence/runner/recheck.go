package runner

import (
	"fmt"

	"turncue/calc"
	"turncue/sequence"
)

// place is how the lathe should stand, as far as the moves of a plan tell.
type place struct {
	nuts     *sequence.HalfNut
	carriage *calc.Length // z of the finished part
}

// placeBefore is how the lathe should stand before step i: what the last moves before
// it left.
func placeBefore(p *sequence.Plan, i int) place {
	var at place
	for k := range i {
		for _, m := range p.Steps[k].Moves {
			switch m := m.(type) {
			case sequence.HalfNut:
				at.nuts = &m
			case sequence.Carriage:
				at.carriage = &m.To
			case sequence.Withdraw:
				at.carriage = &m.To
			}
		}
	}
	return at
}

// checkWords are what is said when a run is taken up again.
func (s State) checkWords() sequence.Cue {
	c := sequence.Cue{sequence.WordRecheck, sequence.FullStop, sequence.WordToolClear}
	at := placeBefore(s.plan, s.pos)
	if at.nuts != nil {
		w := sequence.WordHalfNutsOpen
		if at.nuts.Closed {
			w = sequence.WordHalfNutsWere
		}
		c = append(c, sequence.FullStop, w)
	}
	if at.carriage != nil && *at.carriage <= 0 {
		c = append(c, sequence.FullStop, sequence.WordInFront)
	}
	return c
}

// checks are the lines shown with them. Where the step itself moves what is
// checked, the line says so: nobody knows whether it was begun.
func (s State) checks() []string {
	lines := []string{
		"The program cannot see the lathe: look before you press.",
		"Is the tool clear of the work?",
	}
	at, after := placeBefore(s.plan, s.pos), placeBefore(s.plan, s.pos+1)
	if at.nuts != nil {
		line := "The half-nuts should be open."
		if at.nuts.Closed {
			line = "The half-nuts should be shut; if they were opened, the thread must be picked up again before the next cut."
		}
		if after.nuts.Closed != at.nuts.Closed {
			line += " This step changes them."
		}
		lines = append(lines, line)
	}
	if at.carriage != nil {
		line := "The carriage should be " + standing(*at.carriage, s.plan.Unit)
		if *after.carriage != *at.carriage {
			line += ", or " + standing(*after.carriage, s.plan.Unit) + " if this step was already done"
		}
		lines = append(lines, line+".")
	}
	return lines
}

func standing(z, unit calc.Length) string {
	if z == 0 {
		return "at the end"
	}
	if z < 0 {
		return fmt.Sprintf("%s in front of the end", size(-z, unit))
	}
	return fmt.Sprintf("%s from the end", size(z, unit))
}

// size is a length as people write it, in the unit of the job.
func size(l, unit calc.Length) string {
	if unit == calc.Inch {
		return l.Trimmed(calc.Inch, 5) + " in"
	}
	return l.Trimmed(calc.Millimetre, 4) + " mm"
}

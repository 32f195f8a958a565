package bench

import (
	"math/big"
	"slices"

	"turncue/calc"
	"turncue/sequence"
)

// apart is how far two passes can be beside each other along the work when the
// half-nuts were opened between them and shut both times as told; zero where every
// shutting allowed finds the groove. The half-nuts drop in at every thread of the
// leadscrew, its lead p further on. By the dial they drop in k lines and m turns of its
// wheel of T teeth later, (k/N + m) T threads of the leadscrew. The tool is in its groove
// where that travel is a whole number of leads.
func (b *lathe) apart(first, now sequence.Marks, lead calc.Lead) calc.Length {
	over, err := b.own.Leadscrew.Over(lead)
	if err != nil {
		return lead.Length()
	}
	perThread := big.NewRat(over.Num(), over.Den()) // leads in a thread of the leadscrew
	var worst calc.Length
	see := func(threads *big.Rat) {
		if d := beside(new(big.Rat).Mul(threads, perThread), lead); d > worst {
			worst = d
		}
	}
	if b.own.Dial == nil || first.None() || now.None() || first.Anywhere || now.Anywhere {
		see(big.NewRat(1, 1))
		return worst
	}
	wheel, lines := big.NewRat(int64(b.own.Dial.Wheel), 1), int64(b.own.Dial.Lines)
	see(wheel)
	for _, i := range first.Lines {
		for _, k := range now.Lines {
			threads := new(big.Rat).Mul(big.NewRat(int64(k-i), lines), wheel)
			if !threads.IsInt() {
				continue // the half-nuts do not drop in on that line
			}
			see(threads)
		}
	}
	return worst
}

// beside is how far a number of leads is from a whole number of them.
func beside(leads *big.Rat, lead calc.Lead) calc.Length {
	whole := new(big.Int).Quo(leads.Num(), leads.Denom())
	rest := new(big.Rat).Sub(leads, new(big.Rat).SetInt(whole))
	if rest.Sign() < 0 {
		rest.Add(rest, big.NewRat(1, 1))
	}
	if other := new(big.Rat).Sub(big.NewRat(1, 1), rest); other.Cmp(rest) < 0 {
		rest = other
	}
	if rest.Sign() == 0 {
		return 0
	}
	share, err := calc.NewRatio(rest.Num().Int64(), rest.Denom().Int64())
	if err != nil || !rest.Num().IsInt64() || !rest.Denom().IsInt64() {
		return lead.Length() / 2 // finer than anything can be told
	}
	return max(calc.Nanometre, lead.Travel(share))
}

// shutOn is the check of the lines the half-nuts are told to be shut on.
func (b *lathe) shutOn(m sequence.Marks) {
	if len(m.Lines) == 0 {
		return
	}
	switch d := b.own.Dial; {
	case d == nil:
		b.fault(Consistent, "the half-nuts are shut on a line, and the lathe has no threading dial")
	case !slices.IsSorted(m.Lines) || m.Lines[0] < 1 || m.Lines[len(m.Lines)-1] > d.Lines:
		b.fault(Consistent, "the half-nuts are shut on the lines %v of a threading dial that has %d", m.Lines, d.Lines)
	case m.Any && len(m.Lines) != d.Lines:
		b.fault(Consistent, "the half-nuts are shut on any line, but only %v serve", m.Lines)
	}
}

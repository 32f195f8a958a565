package fit

import (
	"turncue/calc"
)

// The classes a [Limits] can carry besides an ISO 286 zone such as h9.
const (
	None    = ""        // no tolerance was written: Min and Max are the nominal
	Written = "±"       // the tolerance was written out in figures
	Default = "general" // ISO 2768-1 was applied
)

// Limits is a size and the band it may lie in, on diameter (or on length, for a
// length). Min and Max belong to the band. The zero Limits means no size.
type Limits struct {
	Nominal, Min, Max calc.Length
	Class             string // an ISO 286 zone such as h9 or H7, or one of None, Written, Default
	Source            string // the standard the band is from; empty where it was written out
}

// Mid is the middle of the band, rounded towards minus infinity to the
// nanometre: the size to aim at.
func (l Limits) Mid() calc.Length { return calc.Mid(l.Min, l.Max) }

// Tolerance is the width of the band.
func (l Limits) Tolerance() calc.Length { return l.Max - l.Min }

// Contains says whether a size lies in the band, its ends included.
func (l Limits) Contains(size calc.Length) bool { return l.Min <= size && size <= l.Max }

// Over is how far a size lies outside the band: above zero over the upper
// limit, below zero under the lower one, zero inside.
func (l Limits) Over(size calc.Length) calc.Length {
	switch {
	case size > l.Max:
		return size - l.Max
	case size < l.Min:
		return size - l.Min
	}
	return 0
}

// Hole says that the limits are those of an ISO 286 hole (a capital letter).
func (l Limits) Hole() bool { return l.Class != "" && l.Class[0] >= 'A' && l.Class[0] <= 'Z' }

// String writes the size and its tolerance in millimetres, exactly, in a form
// that [Parse] reads back to the same value: "16 mm h9", "12.5 mm ±0.05 mm",
// "12.7 mm +0/-0.0508 mm", "12 mm".
func (l Limits) String() string {
	nominal := l.Nominal.String()
	switch l.Class {
	case None:
		return nominal
	case Written:
		up, down := l.Max-l.Nominal, l.Min-l.Nominal
		if up == -down {
			return nominal + " ±" + up.String()
		}
		return nominal + " " + signed(up) + "/" + signed(down) + " mm"
	}
	return nominal + " " + l.Class
}

// signed writes a deviation with its sign; nothing is +0.
func signed(l calc.Length) string {
	s := l.Trimmed(calc.Millimetre, 6)
	if l >= 0 {
		return "+" + s
	}
	return s
}

package cutting

import "turncue/calc"

// Removed is what each of a series of advances takes off, all on radius, where
// tool and work give way by a share of the depth (0.05 to 0.2 on a small lathe).
// What is left standing by one cut is met by the next: equal cuts soon take off
// just what the dial says, a light cut after a heavy one takes off more, and an
// advance of nothing recovers what was left. Each is rounded to the nanometre.
func Removed(give float64, advances []calc.Length) []calc.Length {
	left := 0.0
	out := make([]calc.Length, len(advances))
	for i, a := range advances {
		mm := a.Millimetres()
		stays := give * (mm + left) / (1 + give)
		out[i] = calc.Millimetres(mm + left - stays)
		left = stays
	}
	return out
}

// Measured is one finishing cut and what it left, all on diameter.
type Measured struct {
	Before, After calc.Length // diameters before and after the cut
	Advanced      calc.Length // what the dial was set on, as a change of diameter
}

// Next is the advance on diameter that comes to a target at the same depth and
// feed: the rest, and as much more as the last cut fell short.
func (m Measured) Next(target calc.Length) calc.Length {
	return (m.After - target) + (m.Advanced - (m.Before - m.After))
}

// NextByShare is the advance on diameter if the cut falls short by the same share
// instead, rounded to the nanometre. A cut that removed nothing gives the rest.
func (m Measured) NextByShare(target calc.Length) calc.Length {
	removed := m.Before - m.After
	r, err := calc.NewRatio(int64(m.Advanced), int64(removed))
	if err != nil || removed <= 0 {
		return m.After - target
	}
	return (m.After - target).Scale(r)
}

// NextSteady is the advance on diameter after two equal cuts: just what is left.
func (m Measured) NextSteady(target calc.Length) calc.Length { return m.After - target }

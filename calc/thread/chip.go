package thread

import (
	"math"

	"turncue/calc"
)

// ChipArea is the cross section, in square millimetres, of the chip a straight
// infeed from depth h0 to depth h1 takes, both on radius from the surface, with
// the thread's flank angle and that tool tip.
func (t Thread) ChipArea(tip Tip, h0, h1 calc.Length) float64 {
	return tip.groove(h1.Millimetres(), t.half()) - tip.groove(h0.Millimetres(), t.half())
}

// groove is the cross section of a groove of depth h millimetres, square
// millimetres.
func (t Tip) groove(h, half float64) float64 {
	if h <= 0 {
		return 0
	}
	flat, r := t.Flat.Millimetres(), t.Radius.Millimetres()
	if nose := r * (1 - math.Sin(half)); h < nose {
		// Only the nose is in: a segment of its circle.
		a := math.Acos(1 - h/r)
		return r * r * (a - math.Sin(a)*math.Cos(a))
	}
	if r > 0 {
		// The triangle to the point of the flanks, less the corner the nose
		// leaves standing there.
		deep := h + r*(1/math.Sin(half)-1)
		return deep*deep*math.Tan(half) - r*r*(1/math.Tan(half)-math.Pi/2+half)
	}
	return h*flat + h*h*math.Tan(half)
}

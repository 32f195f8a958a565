package cutting

import (
	"math"

	"turncue/calc"
)

// Pressing is one wheel of a knurling tool pressed into the work.
type Pressing struct {
	Width calc.Length // of the wheel that stands on the work
	Pitch calc.Length // across the teeth
	Deep  calc.Length // how deep the teeth are sunk, on radius
	Step  calc.Length // of it, in one turn of the work
	Work  calc.Length // diameter of the blank
	Wheel calc.Length // diameter of the wheel
}

// RollShare is the part of the force on a knurl's wheel that turns against the spindle:
// rolling and the friction of its pin (from memory: a tenth to a fifth, the upper middle
// taken).
const RollShare = 0.15

// Knurling is the force that presses a wheel in: the pressure at which the metal gives,
// taken as the specific cutting force at a chip of 1 mm, on the part of the arc of contact
// that the teeth cover. The arc is that of one step between two cylinders; teeth of 90
// degrees sunk t cover 2 t of a pitch. Derived here; a thousand newtons and more for 1 mm
// in mild steel is what the trade tells of tools pressed from one side.
func (m Material) Knurling(p Pressing) Force {
	if p.Pitch <= 0 || p.Work <= 0 || p.Wheel <= 0 || p.Deep <= 0 || p.Step <= 0 {
		return 0
	}
	d, w := p.Work.Millimetres(), p.Wheel.Millimetres()
	arc := math.Sqrt(p.Step.Millimetres() * d * w / (d + w))
	covered := min(1, 2*p.Deep.Millimetres()/p.Pitch.Millimetres())
	return Force(m.Force.KC * p.Width.Millimetres() * covered * arc)
}

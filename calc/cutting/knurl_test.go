package cutting

import (
	"math"
	"testing"

	"turncue/calc"
)

// Worked by hand: half of a wheel of 8 mm, teeth of 1 mm sunk 0.2 mm in three turns, wheel
// and work of 20 mm: arc = sqrt(0.0667 x 400 / 40) = 0.816 mm, of which 2 x 0.2 / 1 is
// covered; times 4 mm and the material's pressure.
func TestKnurlingForce(t *testing.T) {
	m, err := FindMaterial("mild steel")
	if err != nil {
		t.Fatal(err)
	}
	mm := calc.Millimetre
	p := Pressing{Width: 4 * mm, Pitch: mm, Deep: mm / 5, Step: mm / 15, Work: 20 * mm, Wheel: 20 * mm}
	got, want := float64(m.Knurling(p)), m.Force.KC*4*0.4*math.Sqrt(10./15)
	if math.Abs(got-want) > want/1000 {
		t.Errorf("%.1f N, want %.1f", got, want)
	}
	if got < 1000 || got > 4000 {
		t.Errorf("%.0f N: a thousand and more in mild steel", got)
	}
	for _, less := range []func(*Pressing){
		func(p *Pressing) { p.Width /= 2 }, func(p *Pressing) { p.Deep /= 2 }, func(p *Pressing) { p.Step /= 2 }, func(p *Pressing) { p.Wheel /= 2 },
	} {
		q := p
		less(&q)
		if f := float64(m.Knurling(q)); f >= got {
			t.Errorf("%+v: %.0f N, not less than %.0f", q, f, got)
		}
	}
	if f := m.Knurling(Pressing{}); f != 0 {
		t.Errorf("nothing pressed: %.0f N", float64(f))
	}
}

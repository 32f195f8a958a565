package thread

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/fit"
)

// BestWire is the wire that touches the flanks at the pitch line of the basic
// profile, P / (2 cos A), rounded to the nanometre: 0.57735 P at 60 degrees.
func (t Thread) BestWire() calc.Length {
	return nearest(t.Pitch.Nanometres().Float() / (2 * math.Cos(t.half())))
}

// OverWires is the reading over three wires at the limits of the pitch diameter,
// on diameter, lead angle taken in; Nominal is the reading at the middle of the
// band. With E the pitch diameter, W the wire and B the lead angle it is
//
//	E - (P/2) cot A + W (1 + cosec A) + (W/2) tan²B cos A cot A
//
// rounded to the nanometre (Machinery's Handbook 31). A wire that would not rest
// on the flanks, or would not stand above the crests, is refused with those that
// do. Outside threads only.
func (t Thread) OverWires(wire calc.Length) (fit.Limits, error) {
	l, err := t.Limits()
	if err != nil {
		return fit.Limits{}, err
	}
	if err := t.checkWire(wire, l); err != nil {
		return fit.Limits{}, err
	}
	return fit.Limits{
		Nominal: t.over(l.Pitch.Mid(), wire), Min: t.over(l.Pitch.Min, wire), Max: t.over(l.Pitch.Max, wire),
		Class: l.Pitch.Class, Source: "Machinery's Handbook 31",
	}, nil
}

// PitchFromWires is the pitch diameter a reading over three wires stands for,
// rounded to the nanometre: the inverse of [Thread.OverWires].
func (t Thread) PitchFromWires(reading, wire calc.Length) (calc.Length, error) {
	l, err := t.Limits()
	if err != nil {
		return 0, err
	}
	if err := t.checkWire(wire, l); err != nil {
		return 0, err
	}
	e, err := t.measured(wire).PitchDiameter(reading)
	if err != nil {
		return 0, fmt.Errorf("%w for %s: is it the right thread?", err, t)
	}
	return e, nil
}

func (t Thread) over(pitchDiameter, wire calc.Length) calc.Length {
	return t.measured(wire).Over(pitchDiameter)
}

func (t Thread) measured(wire calc.Length) Wires {
	return Wires{Pitch: t.Pitch, Lead: t.Lead, Angle: t.Angle, Wire: wire}
}

// Wires is a groove measured over three wires, whatever the thread's family.
type Wires struct {
	Pitch, Lead calc.Lead   // a Lead of zero leaves the lead angle out
	Angle       calc.Angle  // included angle of the flanks
	Wire        calc.Length // diameter
}

// steep is the half angle under which the lead angle is taken in exactly: on the
// steep flanks of trapezoidal and Acme threads the correction falls short.
const steep = 20 * calc.Degree

// Over is the reading over the wires at a pitch diameter, rounded to the
// nanometre; see [Thread.OverWires] for the formula. With a half angle under 20
// degrees the screw is taken as an involute helicoid instead (Machinery's
// Handbook 31, Acme threads of large lead angle).
func (w Wires) Over(pitchDiameter calc.Length) calc.Length {
	if w.Angle/2 < steep && !w.Lead.IsZero() && pitchDiameter > 0 {
		return nearest(w.helicoid(float64(pitchDiameter)))
	}
	half := (w.Angle / 2).Radians()
	tanB := 0.0
	if !w.Lead.IsZero() {
		tanB = w.Lead.Nanometres().Float() / (math.Pi * float64(pitchDiameter))
	}
	d := float64(w.Wire)
	return pitchDiameter + nearest(-w.Pitch.Nanometres().Float()/2/math.Tan(half)+
		d*(1+1/math.Sin(half))+d/2*tanB*tanB*math.Cos(half)/math.Tan(half))
}

// helicoid is the reading over the wires on an involute helicoid, in nanometres.
func (w Wires) helicoid(e float64) float64 {
	p, half := w.Pitch.Nanometres().Float(), (w.Angle / 2).Radians()
	lead := w.Lead.Nanometres().Float()
	tanB := lead / (math.Pi * e)
	f := math.Atan(math.Tan(half) / tanB)
	base := e / 2 * math.Cos(f)
	hb := math.Atan(math.Cos(f) / tanB)
	inv := func(x float64) float64 { return math.Tan(x) - x }
	want := p/2/tanB/e + inv(f) + float64(w.Wire)/(2*base*math.Cos(hb)) - math.Pi*p/lead
	low, high := 0.0, 1.57
	for range 100 {
		if m := (low + high) / 2; inv(m) < want {
			low = m
		} else {
			high = m
		}
	}
	return 2*base/math.Cos(low) + float64(w.Wire)
}

// PitchDiameter is the pitch diameter a reading stands for, rounded to the
// nanometre: the inverse of [Wires.Over].
func (w Wires) PitchDiameter(reading calc.Length) (calc.Length, error) {
	if reading <= 0 {
		return 0, fmt.Errorf("a reading of %s is not above zero", reading)
	}
	flat := w
	flat.Lead = calc.Lead{}
	// The lead angle depends a little on the pitch diameter itself: a few rounds
	// settle it to the nanometre.
	e := 2*reading - flat.Over(reading)
	for range 30 {
		if e <= 0 {
			return 0, fmt.Errorf("a reading of %s over wires of %s leaves no pitch diameter", reading, w.Wire)
		}
		next := e + reading - w.Over(e)
		if (next - e).Abs() <= calc.Nanometre {
			break
		}
		e = next
	}
	return e, nil
}

// checkWire refuses a wire that does not rest on the flanks.
func (t Thread) checkWire(wire calc.Length, l Limits) error {
	if !t.External {
		return fmt.Errorf("%s is an inside thread: wires measure outside ones only, use a plug gauge", t)
	}
	if t.Angle == 0 {
		return fmt.Errorf("%s has no flanks for wires to rest on: measure the groove and the root", t)
	}
	if t.Taper != (calc.Ratio{}) {
		return fmt.Errorf("%s is a taper thread: wires measure it in one place only, use a ring gauge", t)
	}
	low, high := t.wires(l)
	if wire < low || wire > high {
		return fmt.Errorf("a wire of %s does not rest on the flanks of %s: use %s to %s, best %s",
			wire, t, low.Ceil(um), high.Floor(um), t.BestWire().Round(um))
	}
	return nil
}

// wires are the thinnest and the thickest wire that touch the flanks between
// crest and root, stand above the crest and clear the root, at the middle of
// the bands. With a the radius of the point of the groove and r that of the
// wire, its centre is at a + r/sin A and it touches at a + r cos²A / sin A.
func (t Thread) wires(l Limits) (low, high calc.Length) {
	half := t.half()
	sin, cos := math.Sin(half), math.Cos(half)
	point := float64(l.Pitch.Mid())/2 - float64(t.Pitch.Length())/4/math.Tan(half)
	crest, root := float64(l.Major.Min)/2, float64(l.Minor.Max)/2
	above := (float64(l.Major.Max)/2 - point) / (1/sin + 1) // its top reaches the crests
	clear := (root - point) / (1/sin - 1)                   // its underside reaches a root at its highest
	touch := (crest - point) * sin / (cos * cos)            // it touches at the edge of the crest
	return nearest(math.Ceil(2 * math.Max(above, clear))), nearest(math.Floor(2 * touch))
}

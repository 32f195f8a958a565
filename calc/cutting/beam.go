package cutting

import (
	"math"

	"turncue/calc"
)

// Beam is round work of several thicknesses standing out of a chuck, taken as rigid as
// in [Bar]: a bend is the least there will be.
type Beam struct {
	Material Material
	Spans    []Span // from the jaws outwards
	Centre   bool   // a tailstock centre holds its end
}

// Span is a stretch of a beam, hollow where Bore is above zero.
type Span struct{ Length, Diameter, Bore calc.Length }

// Bend is how far the beam gives at a place, counted from the jaws, under a radial force
// there, rounded to the nanometre; zero at the jaws and where nothing is known of the
// material. It is the sum of the moments squared over the stiffness along the work.
func (m Beam) Bend(f Force, at calc.Length) calc.Length {
	if m.Material.Stiffness <= 0 || at <= 0 {
		return 0
	}
	a := at.Millimetres()
	mm := m.gives(a, a)
	if m.Centre {
		end := 0.0
		for _, s := range m.Spans {
			end += s.Length.Millimetres()
		}
		if g := m.gives(end, end); g > 0 {
			r := m.gives(a, end)
			mm -= r * r / g
		}
	}
	return calc.Millimetres(math.Min(float64(f)*math.Max(mm, 0), 1000))
}

// gives is how far the beam gives at one place under a newton at another, held in the
// jaws alone; places from the jaws, all in millimetres.
func (m Beam) gives(a, b float64) (mm float64) {
	u0 := 0.0
	for _, s := range m.Spans {
		u1 := math.Min(u0+s.Length.Millimetres(), math.Min(a, b))
		if u1 <= u0 {
			break
		}
		// The integral of (a-u)(b-u) over the stretch.
		f := func(u float64) float64 { return a*b*u - (a+b)*u*u/2 + u*u*u/3 }
		i4 := inertia(s.Diameter.Millimetres()) - inertia(s.Bore.Millimetres())
		mm += (f(u1) - f(u0)) / (m.Material.Stiffness * math.Max(i4, 1e-6))
		u0 = u1
	}
	return mm
}

// Give is how far work or boring bar may spring under a cut: at a tenth of a millimetre
// it climbs on the tool and chatters (common practice).
const Give = 100 * calc.Micrometre

// GiveThread is that for the passes of a thread, which follow one another in one groove:
// the next takes what the last has left standing, and the spring pass the rest (common
// practice).
const GiveThread = 2 * Give

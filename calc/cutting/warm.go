package cutting

import "turncue/calc"

// Reference is the temperature in degrees Celsius at which a size is a size (ISO
// 1).
const Reference = 20.0

// Grown is how much longer a length is at a temperature than at the reference
// (negative when colder), rounded to the nanometre. Bores grow as shafts do.
func (m Material) Grown(l calc.Length, celsius float64) calc.Length {
	return calc.Millimetres(l.Millimetres() * m.Expansion * 1e-6 * (celsius - Reference))
}

// Cold is what a length measured warm with a gauge at the reference will be when
// it has cooled: the length less its growth, first order, rounded to the nanometre.
func (m Material) Cold(measured calc.Length, celsius float64) calc.Length {
	return measured - m.Grown(measured, celsius)
}

// WarmTarget is the reading to cut to on a warm part so that it is right when it
// has cooled, rounded to the nanometre.
func (m Material) WarmTarget(target calc.Length, celsius float64) calc.Length {
	return target + m.Grown(target, celsius)
}

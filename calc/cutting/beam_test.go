package cutting

import (
	"math"
	"testing"

	"turncue/calc"
)

// A beam of one thickness is a bar: the figures of DE4 to DE6 and DE8 in examples.csv.
func TestBeamOfOneThicknessIsABar(t *testing.T) {
	for _, c := range []struct {
		id               string
		length, diameter calc.Length
		at               calc.Length
		centre           bool
		want, tolerance  float64
	}{
		{"DE4", 48 * calc.Millimetre, 12 * calc.Millimetre, 48 * calc.Millimetre, false, 0.01767, 5e-5},
		{"DE5", 36 * calc.Millimetre, 12 * calc.Millimetre, 36 * calc.Millimetre, false, 0.00745, 5e-5},
		{"DE6", 24 * calc.Millimetre, 6 * calc.Millimetre, 24 * calc.Millimetre, false, 0.03534, 1e-4},
		{"DE8", 150 * calc.Millimetre, 20 * calc.Millimetre, 75 * calc.Millimetre, true, 0.001910587, 2e-5},
	} {
		// Cut in three: it must not matter.
		third := c.length / 3
		b := Beam{Material: Material{Stiffness: 205000}, Centre: c.centre, Spans: []Span{{third, c.diameter, 0}, {third, c.diameter, 0}, {c.length - 2*third, c.diameter, 0}}}
		if got := b.Bend(100, c.at).Millimetres(); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%s: %.6f mm, want %.6f", c.id, got, c.want)
		}
	}
}

// A stepped, hollow beam against the moment summed up in small steps.
func TestBeamOfSteps(t *testing.T) {
	spans := []Span{{20 * calc.Millimetre, 16 * calc.Millimetre, 0}, {15 * calc.Millimetre, 12 * calc.Millimetre, 5 * calc.Millimetre}, {25 * calc.Millimetre, 8 * calc.Millimetre, 5 * calc.Millimetre}}
	for _, at := range []float64{60, 40, 18} {
		sum, u := 0.0, 0.0
		const step = 0.001
		for _, s := range spans {
			i4 := math.Pi / 64 * (math.Pow(s.Diameter.Millimetres(), 4) - math.Pow(s.Bore.Millimetres(), 4))
			for end := u + s.Length.Millimetres(); u < end; u += step {
				if arm := at - u - step/2; arm > 0 {
					sum += 80 * arm * arm * step / (205000 * i4)
				}
			}
		}
		got := Beam{Material: Material{Stiffness: 205000}, Spans: spans}.Bend(80, calc.Millimetres(at)).Millimetres()
		if math.Abs(got-sum) > 0.001*sum {
			t.Errorf("at %g mm: %.6f mm, summed up %.6f", at, got, sum)
		}
	}
}

// What a centre takes: the end itself does not give.
func TestBeamOnACentre(t *testing.T) {
	b := Beam{Material: Material{Stiffness: 205000}, Centre: true, Spans: []Span{{30 * calc.Millimetre, 16 * calc.Millimetre, 0}, {40 * calc.Millimetre, 8 * calc.Millimetre, 0}}}
	if got := b.Bend(100, 70*calc.Millimetre); got.Abs() > calc.Nanometre {
		t.Errorf("the end gives %s on the centre", got)
	}
	free := b
	free.Centre = false
	if on, off := b.Bend(100, 50*calc.Millimetre), free.Bend(100, 50*calc.Millimetre); on <= 0 || on*4 > off {
		t.Errorf("with the centre %s, without %s", on, off)
	}
}

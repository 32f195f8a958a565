package gear

import (
	"testing"

	"turncue/calc"
)

// fifteen is a set of fifteen wheels with duplicates.
var fifteen = Wheels{20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 60, 65, 80, 80}

// forty is forty wheels, all different but for two.
func forty() (w Wheels) {
	for z := 20; len(w) < 38; z += 2 {
		w = append(w, z)
	}
	return append(w, 63, 127)
}

func chartWant(b testing.TB) Want {
	l, err := calc.ParseLead("1.5 mm")
	if err != nil {
		b.Fatal(err)
	}
	return Want{Leadscrew: l, Wheels: fifteen}
}

// BenchmarkChart is every row of the chart from fifteen wheels on one stud;
// BenchmarkChartTwin the same by nested loops, row by row: it takes more than
// twenty times as long (24 ms to 1.04 ms).
func BenchmarkChart(b *testing.B) {
	w, rows := chartWant(b), Standards()
	b.ReportMetric(float64(len(rows)), "rows")
	for b.Loop() {
		if _, err := Chart(w, rows); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChartTwin(b *testing.B) {
	w, rows := chartWant(b), Standards()
	for b.Loop() {
		for _, s := range rows {
			w.Lead = s.Lead
			twin(w)
		}
	}
}

// BenchmarkTwoStuds is one pitch from forty wheels on two studs: 13 ms and 6 MB
// allocated, a seventieth of the second a person would wait.
func BenchmarkTwoStuds(b *testing.B) {
	w := chartWant(b)
	w.Wheels, w.Banjo.Studs, w.Tumbler = forty(), 2, true
	w.Lead = calc.PerTurn(calc.Millimetres(1.27))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Search(w); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTwoStudsNothingExact is the same for a lead that no wheels give exactly,
// with the search for a wheel that would.
func BenchmarkTwoStudsNothingExact(b *testing.B) {
	w := chartWant(b)
	w.Wheels, w.Banjo.Studs, w.Tumbler = forty(), 2, true
	w.Lead = calc.PerTurn(calc.Millimetres(3.141593))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Search(w); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkTwoStudsSpan is the same on a lathe whose geometry is given in full.
func BenchmarkTwoStudsSpan(b *testing.B) {
	w := chartWant(b)
	w.Wheels, w.Tumbler = forty(), true
	w.Banjo = Banjo{Studs: 2, Span: 120 * calc.Millimetre, First: 9 * calc.Millimetre, Stud: 7 * calc.Millimetre, Last: 9 * calc.Millimetre, SwingFrom: calc.Degree, SwingTo: 120 * calc.Degree}
	w.Lead = calc.PerTurn(calc.Millimetres(1.27))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Search(w); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkWheels shows how the cost grows with the wheels, on two studs.
func BenchmarkWheels(b *testing.B) {
	for _, n := range []int{10, 20, 40} {
		b.Run(string(rune('0'+n/10))+"0", func(b *testing.B) {
			w := chartWant(b)
			w.Wheels, w.Banjo.Studs, w.Tumbler = forty()[:n], 2, true
			w.Lead = calc.PerTurn(calc.Millimetres(1.27))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Search(w); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// TestChartAgreesWithTwin: the best error of every row, by nested loops.
func TestChartAgreesWithTwin(t *testing.T) {
	w, list := chartWant(t), Standards()
	if len(list) < 120 {
		t.Errorf("%d rows, want at least 120", len(list))
	}
	rows, err := Chart(w, list)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range rows {
		w.Lead = list[i].Lead
		best, e := twin(w)
		if !r.Found {
			if e < 0.1 {
				t.Errorf("%s: none found, the loops find %v", r.Name, best)
			}
			continue
		}
		got := r.Train.Error.Float()
		if got < 0 {
			got = -got
		}
		if d := got - e; d > 1e-12 || d < -1e-12 {
			t.Errorf("%s: %s is %g off, the loops find %v at %g", r.Name, r.Train, got, best, e)
		}
		checkExact(t, r.Train, w)
	}
}

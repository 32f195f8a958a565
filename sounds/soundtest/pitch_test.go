package soundtest

import (
	"math"
	"testing"
)

// A voice without its lowest tone, falling from 120 to 80 Hz, with a pause in it.
func TestPitch(t *testing.T) {
	t.Parallel()
	const rate = 24000
	x := make([]float64, rate)
	want := make([]float64, rate)
	phase := 0.0
	for i := range x {
		want[i] = 120 - 40*float64(i)/rate
		phase += 2 * math.Pi * want[i] / rate
		if i < rate/2 || i > rate*6/10 {
			for n := 3.0; n < 20; n++ {
				x[i] += math.Sin(n*phase) / n
			}
		}
	}
	got := Pitch(x, rate)
	if len(got) < 90 {
		t.Fatalf("%d values for a second", len(got))
	}
	for n, hz := range got {
		i := n * rate / 100
		switch from, to := i, i+rate*62/1000; {
		case from > rate/2 && to < rate*6/10:
			if hz != 0 {
				t.Errorf("at %d ms: %.1f Hz in the pause", n*10, hz)
			}
		case to < rate/2 || from > rate*6/10:
			if math.Abs(hz-want[i]) > 4 {
				t.Errorf("at %d ms: %.1f Hz, want %.1f", n*10, hz, want[i])
			}
		}
	}
}

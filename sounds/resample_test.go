package sounds

import (
	"math"
	"testing"

	"github.com/gopxl/beep/v2"
)

// The short way for clips of half the rate gives what the library gives.
func TestDoubleIsResample(t *testing.T) {
	t.Parallel()
	x := make([]float64, 3000)
	for i := range x {
		x[i] = 0.4*math.Sin(float64(i)*0.3) + 0.3*math.Sin(float64(i)*1.1+1)
	}
	fade(x, 120, 480)
	rs := beep.Resample(resampleQuality, Rate/2, Rate, &monoStreamer{x})
	want := make([][2]float64, 2*len(x)+10)
	n, _ := rs.Stream(want)
	got := double(x)
	if len(got) != n {
		t.Fatalf("%d samples, want %d", len(got), n)
	}
	for i, v := range got {
		if i < 8 || i >= len(got)-8 {
			continue // the library uses fewer points at the ends, where a clip is faded
		}
		if d := math.Abs(float64(v) - want[i][0]*32768); d > 1 {
			t.Fatalf("sample %d is %d, want %.1f", i, v, want[i][0]*32768)
		}
	}
}

func TestOtherRates(t *testing.T) {
	t.Parallel()
	for _, rate := range []int{8000, 16000, 22050, 24000, 32000, 44100, 48000} {
		x := make([]float64, rate/2)
		for i := range x {
			x[i] = 0.5 * math.Sin(2*math.Pi*440*float64(i)/float64(rate))
		}
		c := resample(x, rate)
		if want := int(Rate) / 2; c.Len() < want-2 || c.Len() > want+2 {
			t.Errorf("%d Hz: %d samples, want %d", rate, c.Len(), want)
		}
		for i, v := range c.Samples()[100 : c.Len()-100] {
			want := 0.5 * math.Sin(2*math.Pi*440*float64(i+100)/float64(Rate))
			if math.Abs(v-want) > 0.003 {
				t.Fatalf("%d Hz: sample %d is %.4f, want %.4f", rate, i+100, v, want)
			}
		}
	}
}

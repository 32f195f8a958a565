package sounds

import (
	"math"
	"slices"
	"testing"
)

const trimRate = 24000

// tape is a recording made of levels, each of so many milliseconds of a 1 kHz tone.
func tape(parts ...[2]float64) (x []float64) {
	for _, p := range parts {
		for range int(p[1]) * trimRate / 1000 {
			x = append(x, p[0]*math.Sin(2*math.Pi*1000*float64(len(x))/trimRate))
		}
	}
	return x
}

func TestTrim(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name string
		x    []float64
		ms   int // 0: refused
	}{
		{"word in silence", tape([2]float64{0, 200}, [2]float64{0.5, 300}, [2]float64{0, 200}), 342},
		{"word in a quiet room", tape([2]float64{0.001, 200}, [2]float64{0.5, 300}, [2]float64{0.001, 200}), 342},
		{"click before the word", tape([2]float64{0, 50}, [2]float64{0.5, 20}, [2]float64{0, 60}, [2]float64{0.5, 300}, [2]float64{0, 100}), 342},
		{"pause within", tape([2]float64{0, 100}, [2]float64{0.5, 200}, [2]float64{0, 150}, [2]float64{0.5, 200}, [2]float64{0, 100}), 592},
		{"no silence at all", tape([2]float64{0.5, 300}), 300},
		{"soft ending", tape([2]float64{0, 100}, [2]float64{0.5, 200}, [2]float64{0.03, 100}, [2]float64{0, 100}), 342},
		{"silence", tape([2]float64{0, 500}), 0},
		{"click alone", tape([2]float64{0, 100}, [2]float64{0.5, 20}, [2]float64{0, 100}), 0},
		{"too short", tape([2]float64{0.5, 20}), 0},
		{"nothing", nil, 0},
	} {
		got, err := trim(c.x, trimRate)
		if (err != nil) != (c.ms == 0) || len(got) != c.ms*trimRate/1000 {
			t.Errorf("%s: %d ms (%v), want %d", c.name, len(got)*1000/trimRate, err, c.ms)
		}
		if err == nil && (got[0] != 0 || got[len(got)-1] != 0) {
			t.Errorf("%s: does not begin and end at zero", c.name)
		}
	}
}

// Nothing of a word is lost: what is cut off the clips is more than 17 dB under full
// scale throughout, where the words themselves reach 0 to -6 dB.
func TestTrimCutsNoSpeech(t *testing.T) {
	t.Parallel()
	var files []string
	for _, e := range Vocabulary() {
		files = append(files, e.Files()...)
	}
	for _, file := range files {
		whole, rate, err := Decoded(file)
		if err != nil {
			t.Fatal(err)
		}
		x := slices.Clip(slices.Clone(whole))
		kept, err := trim(x, rate)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		from := cap(x) - cap(kept)
		for i, v := range x {
			if (i < from || i >= from+len(kept)) && math.Abs(v) > 0.14 {
				t.Errorf("%s: %.2f was cut off at %d ms, kept are %d to %d ms", file, v, i*1000/rate,
					from*1000/rate, (from+len(kept))*1000/rate)
				break
			}
		}
	}
}

package sounds_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"turncue/sounds"
	"turncue/sounds/soundtest"
)

// A matcher that knows every beep as a pattern of pitch over time, but neither its
// phase nor when it comes, names each in the noise of a shop at the same level, and
// never takes noise alone for one. The few are named 5 dB under the noise as well.
func TestEveryBeepIsNamedInShopNoise(t *testing.T) {
	t.Parallel()
	var shapes []shape
	for _, b := range sounds.Beeps() {
		shapes = append(shapes, shapeOf(slices.Concat(b.Clip().Samples(), make([]float64, 2*soundtest.Rate))).trimmed(b.Clip().Len()))
	}
	const seed, draws = 5, 4
	r := rand.New(rand.NewPCG(seed, seed))
	worst, worstNoise := 1.0, 0.0
	for _, c := range []struct {
		over  float64
		beeps []sounds.Beep
	}{{0, sounds.Beeps()}, {-5, sounds.FewBeeps()}} {
		for _, b := range c.beeps {
			for draw := range draws {
				x := soundtest.AtLevel(soundtest.ShopNoise(3*soundtest.Rate/2, uint64(100*draw)+uint64(b)), -20)
				at := r.IntN(len(x) - b.Clip().Len())
				for i, v := range soundtest.AtLevel(b.Clip().Samples(), -20+c.over) {
					x[at+i] += v
				}
				got, lead := named(shapeOf(x), shapes)
				worst = min(worst, lead)
				if sounds.Beeps()[got] != b {
					t.Errorf("seed %d: %v at %+g dBA is taken for %v (draw %d)", seed, b, c.over, sounds.Beeps()[got], draw)
				}
			}
		}
	}
	for draw := range draws {
		s := shapeOf(soundtest.ShopNoise(3*soundtest.Rate/2, uint64(7000+draw)))
		got, _ := named(s, shapes)
		worstNoise = max(worstNoise, s.like(shapes[got]))
	}
	t.Logf("least lead over the next beep %.2f; noise alone is like a beep by %.2f at most", worst, worstNoise)
	if worstNoise > 0.5 {
		t.Errorf("noise alone is like a beep by %.2f", worstNoise)
	}
	// The beeps among themselves.
	for i, a := range shapes {
		for j, b := range shapes[:i] {
			if like := a.like(b); like > 0.75 {
				t.Errorf("%v and %v are alike by %.2f", sounds.Beeps()[i], sounds.Beeps()[j], like)
			}
		}
	}
}

// named is the beep that a sound is most like, and by how much it leads the next.
func named(s shape, shapes []shape) (best int, lead float64) {
	scores := make([]float64, len(shapes))
	for i, b := range shapes {
		scores[i] = s.like(b)
		if scores[i] > scores[best] {
			best = i
		}
	}
	sorted := slices.Sorted(slices.Values(scores))
	return best, sorted[len(sorted)-1] - sorted[len(sorted)-2]
}

// shape is how much stands out of the lasting noise, by time and pitch: frames of
// 20 ms, bands of a sixth of an octave from 280 to 1300 Hz.
type shape [][]float64

func shapeOf(x []float64) shape {
	const hop, window = soundtest.Rate / 50, 2048
	const bands, lowest = 14, 280.0
	x = slices.Concat(make([]float64, window), x, make([]float64, window))
	var s shape
	for at := 0; at+window <= len(x); at += hop {
		power, width := soundtest.Power(x[at:at+window], soundtest.Rate)
		row := make([]float64, bands)
		for i, p := range power {
			if band := int(math.Floor(6 * math.Log2(float64(i)*width/lowest))); band >= 0 && band < bands {
				row[band] += p
			}
		}
		for i := range row {
			row[i] = math.Sqrt(row[i])
		}
		s = append(s, row)
	}
	// What is there all the time is noise.
	for band := range bands {
		levels := make([]float64, len(s))
		for i := range s {
			levels[i] = s[i][band]
		}
		slices.Sort(levels)
		floor := levels[len(levels)/4]
		for i := range s {
			s[i][band] = max(0, s[i][band]-1.5*floor)
		}
	}
	return s
}

// trimmed leaves out the silence after so many samples.
func (s shape) trimmed(samples int) shape { return s[:samples/(soundtest.Rate/50)+3] }

// like is the best correlation over all places of one in the other, 0 to 1.
func (s shape) like(b shape) float64 {
	energy := func(s shape) (sum float64) {
		for _, row := range s {
			for _, v := range row {
				sum += v * v
			}
		}
		return sum
	}
	best := 0.0
	for off := -len(b) / 2; off < len(s); off++ {
		sum := 0.0
		for i, row := range b {
			if i+off < 0 || i+off >= len(s) {
				continue
			}
			for j, v := range row {
				sum += v * s[i+off][j]
			}
		}
		best = max(best, sum)
	}
	return best / math.Sqrt(energy(s)*energy(b))
}

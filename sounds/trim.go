package sounds

import (
	"errors"
	"math"
	"slices"
	"time"
)

// How the ends of a recording are found, by level: encoders pad by different amounts
// and decoders ignore what the tags say of it. A synthesiser's click before the word
// is shorter than speechRun and does not count.
const (
	window     = 5 * time.Millisecond
	speechRun  = 6    // windows in a row above the threshold
	belowLoud  = 30.0 // dB under the 95th percentile of the windows
	keepBefore = 12 * time.Millisecond
	keepAfter  = 30 * time.Millisecond
	fadeIn     = 5 * time.Millisecond
	fadeOut    = 20 * time.Millisecond
)

var errSilent = errors.New("nothing is heard in it")

// trim cuts silence off both ends of a recording at the given rate and fades them,
// changing x.
func trim(x []float64, rate int) ([]float64, error) {
	n := func(d time.Duration) int { return int(d * time.Duration(rate) / time.Second) }
	w := n(window)
	if w == 0 || len(x) < w*speechRun {
		return nil, errSilent
	}
	levels := make([]float64, len(x)/w)
	for i := range levels {
		sum := 0.0
		for _, v := range x[i*w : (i+1)*w] {
			sum += v * v
		}
		levels[i] = math.Sqrt(sum / float64(w))
	}
	sorted := slices.Clone(levels)
	slices.Sort(sorted)
	loud := sorted[len(sorted)*95/100]
	if loud < 1e-4 {
		return nil, errSilent
	}
	threshold := loud * math.Pow(10, -belowLoud/20)

	first, last, run := -1, -1, 0
	for i, l := range levels {
		if l < threshold {
			run = 0
			continue
		}
		if run++; run >= speechRun {
			last = i
			if first < 0 {
				first = i - speechRun + 1
			}
		}
	}
	if first < 0 {
		return nil, errSilent
	}
	x = x[max(0, first*w-n(keepBefore)):min(len(x), (last+1)*w+n(keepAfter))]
	fade(x, n(fadeIn), n(fadeOut))
	return x, nil
}

// fade ramps the first in and the last out samples linearly from and to zero.
func fade(x []float64, in, out int) {
	in, out = min(in, len(x)), min(out, len(x))
	for i := range in {
		x[i] *= float64(i) / float64(in)
	}
	for i := range out {
		x[len(x)-1-i] *= float64(i) / float64(out)
	}
}

package soundtest

import "math"

// Pitch follows how high a man's voice is: Hz for every 10 ms, from 60 to 170, and 0
// where nothing repeats itself in windows of 45 ms or it is more than 30 dB under the
// loudest. A sound of whole-number multiples is found by its period though its lowest
// tone is filtered out.
func Pitch(x []float64, rate int) []float64 {
	window, step := rate*45/1000, rate/100
	shortest, longest := rate/170, rate/60
	power := func(s []float64) (p float64) {
		for _, v := range s {
			p += v * v
		}
		return p
	}
	var hz, powers []float64
	loudest := 0.0
	for from := 0; from+window+longest <= len(x); from += step {
		s := x[from : from+window]
		own := power(s)
		best, at := 0.0, 0
		for lag := shortest; lag <= longest; lag++ {
			u := x[from+lag : from+lag+window]
			dot := 0.0
			for i, v := range s {
				dot += v * u[i]
			}
			if like := dot / math.Sqrt(own*power(u)+1e-12); like > best {
				best, at = like, lag
			}
		}
		pitch := 0.0
		if best > 0.6 {
			pitch = float64(rate) / float64(at)
		}
		hz, powers = append(hz, pitch), append(powers, own)
		loudest = max(loudest, own)
	}
	for i, p := range powers {
		if p < loudest/1000 {
			hz[i] = 0
		}
	}
	return hz
}

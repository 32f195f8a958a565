package soundtest

import "math"

// ActiveLevel is the A-weighted level of the parts of a sound that are not pauses, in
// dB under full scale (a full-scale square wave at 1 kHz is 0): the mean power of the
// 20 ms blocks within 25 dB of the loudest. A-weighting is that of IEC 61672-1, done
// in the spectrum. Silence is minus infinity.
func ActiveLevel(x []float64, rate int) float64 {
	weighted := aWeighted(x, rate)
	n := rate / 50
	var blocks []float64
	top := 0.0
	for ; len(weighted) > 0; weighted = weighted[min(n, len(weighted)):] {
		sum := 0.0
		block := weighted[:min(n, len(weighted))]
		for _, v := range block {
			sum += v * v
		}
		blocks = append(blocks, sum/float64(len(block)))
		top = max(top, blocks[len(blocks)-1])
	}
	sum, active := 0.0, 0.0
	for _, b := range blocks {
		if b > top*math.Pow(10, -2.5) {
			sum += b
			active++
		}
	}
	if sum == 0 {
		return math.Inf(-1)
	}
	return 10 * math.Log10(sum/active)
}

// Power is the power spectrum of a sound under a Hann window: element i is the power
// at i*width Hz.
func Power(x []float64, rate int) (power []float64, width float64) {
	n := 1
	for n < len(x) {
		n *= 2
	}
	bins := make([]complex128, n)
	for i, v := range x {
		bins[i] = complex(v*(1-math.Cos(2*math.Pi*float64(i)/float64(len(x))))/2, 0)
	}
	transform(bins, false)
	power = make([]float64, n/2+1)
	for i := range power {
		if i < len(bins) {
			re, im := real(bins[i]), imag(bins[i])
			power[i] = re*re + im*im
		}
	}
	return power, float64(rate) / float64(n)
}

func aWeighted(x []float64, rate int) []float64 {
	n := 1
	for n < 2*len(x) {
		n *= 2
	}
	bins := make([]complex128, n)
	for i, v := range x {
		bins[i] = complex(v, 0)
	}
	transform(bins, false)
	for i := range bins {
		f := float64(min(i, n-i)) * float64(rate) / float64(n)
		bins[i] *= complex(aWeight(f)/aWeight(1000), 0)
	}
	transform(bins, true)
	out := make([]float64, len(x))
	for i := range out {
		out[i] = real(bins[i])
	}
	return out
}

// aWeight is the A-weighting curve of IEC 61672-1 without its normalisation.
func aWeight(f float64) float64 {
	const f1, f2, f3, f4 = 20.598997, 107.65265, 737.86223, 12194.217
	s := f * f
	return f4 * f4 * s * s / ((s + f1*f1) * math.Sqrt((s+f2*f2)*(s+f3*f3)) * (s + f4*f4))
}

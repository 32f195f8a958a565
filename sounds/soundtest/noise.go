package soundtest

import (
	"math"
	"math/rand/v2"
)

// ShopNoise is the noise beside a running lathe, made up: pink noise, hum at 50, 100
// and 300 Hz, and the tick of a joint or a tooth at 2.8 kHz every 0.37 s. The same
// seed gives the same samples, at [Rate]; the level is of no meaning ([AtLevel]).
func ShopNoise(samples int, seed uint64) []float64 {
	r := rand.New(rand.NewPCG(seed, seed))
	x := make([]float64, samples)
	// Pink noise as the sum of white noises renewed at every second, fourth, ... sample.
	const rows = 14
	var held [rows]float64
	for i := range x {
		for k := range rows {
			if i%(1<<k) == 0 {
				held[k] = r.NormFloat64()
			}
			x[i] += held[k] / rows
		}
	}
	const every, lasts = Rate * 37 / 100, Rate / 50
	phase := r.Float64() * 2 * math.Pi
	for i := range x {
		t := float64(i) / Rate
		for _, h := range []struct{ hz, gain float64 }{{50, 0.35}, {100, 0.25}, {300, 0.12}} {
			x[i] += h.gain * math.Sin(2*math.Pi*h.hz*t+phase)
		}
		if at := i % every; at < lasts {
			x[i] += 0.5 * math.Exp(-float64(at)/(Rate/250)) * math.Sin(2*math.Pi*2800*float64(at)/Rate)
		}
	}
	return x
}

// AtLevel scales a sound so that its [ActiveLevel] is the one wanted, in dB.
func AtLevel(x []float64, want float64) []float64 {
	gain := math.Pow(10, (want-ActiveLevel(x, Rate))/20)
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = gain * v
	}
	return out
}

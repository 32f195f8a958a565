package soundtest

import (
	"math"
	"math/cmplx"
	"time"
)

// Above Same a stretch of sound is the one looked for, below Different it is not: an
// undisturbed capture gives 1.00, the same words in another order about 0.2.
const (
	Same      = 0.98
	Different = 0.70
)

// The search goes over sums of three samples, and the best few places are then
// compared sample by sample.
const (
	coarse     = 3
	candidates = 8
)

// Find looks for the place in what was captured that is most like what is expected,
// both at [Rate]. It gives how long after the beginning of the capture that place is,
// and the normalised correlation there: 1 for the same sound at any volume, 0 for
// nothing like it. What is expected and longer than the capture is not found.
func Find(captured, expected []float64) (at time.Duration, match float64) {
	if len(expected) == 0 || len(expected) > len(captured) {
		return 0, 0
	}
	c, e := sums(captured), sums(expected)
	best := 0
	for _, i := range peaks(c, e) {
		for j := max(0, (i-1)*coarse); j <= min((i+1)*coarse, len(captured)-len(expected)); j++ {
			if m := correlation(captured[j:j+len(expected)], expected); m > match {
				best, match = j, m
			}
		}
	}
	return time.Duration(best) * time.Second / Rate, match
}

func sums(x []float64) []float64 {
	out := make([]float64, len(x)/coarse)
	for i := range out {
		for _, v := range x[i*coarse : (i+1)*coarse] {
			out[i] += v
		}
	}
	return out
}

func correlation(a, b []float64) float64 {
	var ab, aa, bb float64
	for i := range a {
		ab += a[i] * b[i]
		aa += a[i] * a[i]
		bb += b[i] * b[i]
	}
	if aa == 0 || bb == 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}

// peaks gives the places of the highest normalised correlations of e in c, no two
// within 5 ms of each other.
func peaks(c, e []float64) []int {
	places := len(c) - len(e) + 1
	size := 1 << 14
	for size < 4*len(e) {
		size *= 2
	}
	pattern := make([]complex128, size)
	energy := 0.0
	for i, v := range e {
		pattern[i] = complex(v, 0)
		energy += v * v
	}
	if energy == 0 {
		return nil
	}
	transform(pattern, false)
	for i := range pattern {
		pattern[i] = cmplx.Conj(pattern[i])
	}
	power := make([]float64, len(c)+1) // sums from the start
	for i, v := range c {
		power[i+1] = power[i] + v*v
	}

	scores := make([]float64, places)
	step := size - len(e) + 1
	block := make([]complex128, size)
	for from := 0; from < places; from += step {
		clear(block)
		for i, v := range c[from:min(from+size, len(c))] {
			block[i] = complex(v, 0)
		}
		transform(block, false)
		for i := range block {
			block[i] *= pattern[i]
		}
		transform(block, true)
		for i := from; i < min(from+step, places); i++ {
			// Silence resembles nothing; the floor keeps rounding from being scored.
			if p := power[i+len(e)] - power[i]; p > 1e-6*energy {
				scores[i] = real(block[i-from]) / math.Sqrt(p*energy)
			}
		}
	}

	const apart = Rate / coarse / 200
	var found []int
	for len(found) < candidates {
		top := -1
		for i, s := range scores {
			if s > 0 && (top < 0 || s > scores[top]) {
				top = i
			}
		}
		if top < 0 {
			break
		}
		found = append(found, top)
		for i := max(0, top-apart); i <= min(top+apart, places-1); i++ {
			scores[i] = 0
		}
	}
	return found
}

// transform is the discrete Fourier transform in place, of a power of two points.
func transform(x []complex128, inverse bool) {
	n := len(x)
	for i, j := 1, 0; i < n; i++ {
		bit := n >> 1
		for ; j&bit != 0; bit >>= 1 {
			j ^= bit
		}
		j ^= bit
		if i < j {
			x[i], x[j] = x[j], x[i]
		}
	}
	sign := -1.0
	if inverse {
		sign = 1
	}
	turn := make([]complex128, n/2)
	for i := range turn {
		turn[i] = cmplx.Rect(1, sign*2*math.Pi*float64(i)/float64(n))
	}
	for size := 2; size <= n; size *= 2 {
		half, stride := size/2, n/size
		for start := 0; start < n; start += size {
			for k := range half {
				a, b := x[start+k], x[start+k+half]*turn[k*stride]
				x[start+k], x[start+k+half] = a+b, a-b
			}
		}
	}
	if inverse {
		for i := range x {
			x[i] /= complex(float64(n), 0)
		}
	}
}

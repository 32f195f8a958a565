package soundtest

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

const seed = 7

func noise(r *rand.Rand, n int, gain float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = gain * (2*r.Float64() - 1)
	}
	return x
}

// speechLike is noise with most of its energy below 2 kHz.
func speechLike(r *rand.Rand, n int) []float64 {
	x := noise(r, n, 1)
	y := 0.0
	for i, v := range x {
		y += 0.2 * (v - y)
		x[i] = y
	}
	return x
}

func TestFind(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(seed, seed))
	for _, at := range []int{0, 1, 2, 3, 12_345, 48_000, 200_000 - 30_000} {
		captured := make([]float64, 200_000)
		expected := speechLike(r, 30_000)
		for i, v := range expected {
			captured[at+i] = 0.5 * v
		}
		got, match := Find(captured, expected)
		want := time.Duration(at) * time.Second / Rate
		if got != want || math.Abs(match-1) > 1e-9 {
			t.Errorf("seed %d: found at %v with %.6f, want %v", seed, got, match, want)
		}
		for i, v := range noise(r, len(captured), 0.2) {
			captured[i] += v
		}
		if got, match := Find(captured, expected); got != want || match > Same || match < 0.5 {
			t.Errorf("seed %d: in noise found at %v with %.3f, want %v", seed, got, match, want)
		}
		if _, match := Find(captured, speechLike(r, 30_000)); match > Different {
			t.Errorf("seed %d: a sound that is not there matches %.3f", seed, match)
		}
	}
	silence := make([]float64, 1000)
	for _, c := range [][2][]float64{{nil, nil}, {silence, nil}, {nil, silence}, {silence, silence}, {silence[:10], silence}, {silence[:1], silence[:1]}} {
		if at, match := Find(c[0], c[1]); at != 0 || match != 0 {
			t.Errorf("%d in %d samples of silence: %v, %.3f", len(c[1]), len(c[0]), at, match)
		}
	}
}

// IEC 61672-1:2013 table 3, A-weighting at nominal frequencies, printed to 0.1 dB;
// quoted from memory.
func TestActiveLevel(t *testing.T) {
	t.Parallel()
	for hz, weight := range map[float64]float64{100: -19.1, 250: -8.6, 500: -3.2, 1000: 0, 2000: 1.2, 4000: 1.0, 8000: -1.1} {
		x := make([]float64, Rate)
		for i := range x {
			x[i] = 0.5 * math.Sin(2*math.Pi*hz*float64(i)/Rate)
		}
		want := 20*math.Log10(0.5) - 10*math.Log10(2) + weight
		if got := ActiveLevel(x, Rate); math.Abs(got-want) > 0.1 {
			t.Errorf("%g Hz: %.2f dB, want %.2f", hz, got, want)
		}
		// A pause as long as the tone does not count.
		if got := ActiveLevel(append(x, make([]float64, Rate)...), Rate); math.Abs(got-want) > 0.2 {
			t.Errorf("%g Hz with a pause: %.2f dB, want %.2f", hz, got, want)
		}
	}
	if got := ActiveLevel(make([]float64, 1000), Rate); !math.IsInf(got, -1) {
		t.Errorf("silence: %g dB", got)
	}
}

func TestPower(t *testing.T) {
	t.Parallel()
	x := make([]float64, 10_000)
	for i := range x {
		x[i] = math.Sin(2 * math.Pi * 1234 * float64(i) / Rate)
	}
	power, width := Power(x, Rate)
	top := 0
	for i, p := range power {
		if p > power[top] {
			top = i
		}
	}
	if hz := float64(top) * width; math.Abs(hz-1234) > width {
		t.Errorf("strongest at %.1f Hz, want 1234 within %.1f", hz, width)
	}
	// The transform keeps energy (Parseval): 2/n of the one-sided sum.
	var inTime, inBins float64
	for i, v := range x {
		h := (1 - math.Cos(2*math.Pi*float64(i)/float64(len(x)))) / 2
		inTime += v * h * v * h
	}
	for _, p := range power {
		inBins += 2 * p / (float64(Rate) / width)
	}
	if math.Abs(inBins/inTime-1) > 1e-6 {
		t.Errorf("energy %.6f in the bins, %.6f in time", inBins, inTime)
	}
}

func TestTransformInverts(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(seed, seed))
	x := make([]complex128, 1024)
	for i := range x {
		x[i] = complex(r.Float64(), r.Float64())
	}
	y := append([]complex128(nil), x...)
	transform(y, false)
	transform(y, true)
	for i := range x {
		if d := x[i] - y[i]; math.Hypot(real(d), imag(d)) > 1e-12 {
			t.Fatalf("seed %d: point %d comes back as %v, was %v", seed, i, y[i], x[i])
		}
	}
	// The slow obvious sum.
	short := x[:16]
	want := make([]complex128, 16)
	for k := range want {
		for n, v := range short {
			a := -2 * math.Pi * float64(k*n) / 16
			want[k] += v * complex(math.Cos(a), math.Sin(a))
		}
	}
	got := append([]complex128(nil), short...)
	transform(got, false)
	for k := range want {
		if d := got[k] - want[k]; math.Hypot(real(d), imag(d)) > 1e-12 {
			t.Fatalf("seed %d: bin %d is %v, want %v", seed, k, got[k], want[k])
		}
	}
}

func TestTraceOverGaps(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(seed, seed))
	expected := speechLike(r, 3*Rate)
	for i := Rate; i < Rate*11/10; i++ {
		expected[i] = 0 // a pause
	}
	broken := func(gaps int) []float64 {
		out := make([]float64, 12_345)
		at := 0
		for g := range gaps {
			to := (g + 1) * len(expected) / (gaps + 1)
			out = append(out, expected[at:to]...)
			out = append(out, make([]float64, r.IntN(Rate/2))...) // late
			at = min(to+r.IntN(Rate/50), len(expected))           // and lost
		}
		return append(append(out, expected[at:]...), make([]float64, Rate)...)
	}
	for _, gaps := range []int{0, 1, 5} {
		c := broken(gaps)
		at, share := Trace(c, expected)
		want := time.Duration(12_345) * time.Second / Rate
		if share < Heard || at > want || at < want-time.Second/2 {
			t.Errorf("seed %d, %d gaps: %.3f at %v, want %v", seed, gaps, share, at, want)
		}
		if gaps == 0 && (at != want || share < 0.999) {
			t.Errorf("seed %d: undisturbed %.4f at %v, want %v", seed, share, at, want)
		}
		if _, share := Trace(c, speechLike(r, 3*Rate)); share > NotHeard/2 {
			t.Errorf("seed %d, %d gaps: another sound has %.3f", seed, gaps, share)
		}
		// The halves the wrong way round.
		swapped := append(append([]float64(nil), expected[len(expected)/2:]...), expected[:len(expected)/2]...)
		if _, share := Trace(c, swapped); share > NotHeard {
			t.Errorf("seed %d, %d gaps: wrong order has %.3f", seed, gaps, share)
		}
		// One half missing.
		if _, share := Trace(c[:12_345+len(expected)/2], expected[:len(expected)*95/100]); share > NotHeard {
			t.Errorf("seed %d, %d gaps: half of the sound has %.3f", seed, gaps, share)
		}
	}
}

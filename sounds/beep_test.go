package sounds_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"turncue/sounds"
	"turncue/sounds/soundtest"
)

func TestBeeps(t *testing.T) {
	t.Parallel()
	names, meanings := map[string]bool{}, map[string]bool{}
	speech := 0.0
	for _, p := range [][]string{{"pass", "7 of 9"}, {"stop the spindle"}, {"9.884 mm"}} {
		c, err := sounds.Default().Render(p)
		if err != nil {
			t.Fatal(err)
		}
		speech += soundtest.ActiveLevel(c.Samples(), int(sounds.Rate)) / 3
	}
	for _, b := range sounds.Beeps() {
		x := b.Clip().Samples()
		if names[b.String()] || meanings[b.Meaning()] || b.Meaning() == "" {
			t.Errorf("%v: name or meaning %q is not its own", b, b.Meaning())
		}
		names[b.String()], meanings[b.Meaning()] = true, true

		peak := 0.0
		for _, v := range x {
			peak = max(peak, math.Abs(v))
		}
		if peak > 1 || peak < 0.35 {
			t.Errorf("%v: peak %.2f", b, peak)
		}
		if d := b.Clip().Duration(); d < 60*time.Millisecond || d > time.Second {
			t.Errorf("%v lasts %v", b, d)
		}
		if l := soundtest.ActiveLevel(x, int(sounds.Rate)); math.Abs(l-speech) > 5 {
			t.Errorf("%v: %.1f dBFS(A), speech %.1f", b, l, speech)
		}
		power, width := soundtest.Power(x, int(sounds.Rate))
		var all, high float64
		for i, p := range power {
			all += p
			if float64(i)*width > 3500 {
				high += p
			}
		}
		if share := 10 * math.Log10(high/all); share > -30 {
			t.Errorf("%v: energy above 3.5 kHz is %.1f dB of the whole, want under -30", b, share)
		}
		if x[0] != 0 || math.Abs(x[len(x)-1]) > 1e-3 {
			t.Errorf("%v begins at %g and ends at %g", b, x[0], x[len(x)-1])
		}
		if c := b.Clip().Samples(); !slices.Equal(c, x) {
			t.Errorf("%v differs the second time", b)
		}
	}
	if sounds.NoBeep.Clip().Len() != 0 || sounds.Beep(99).Clip().Len() != 0 || sounds.Beep(99).String() != "beep(99)" {
		t.Error("a beep that is none is not silent")
	}
}

// Hum of the mains and of motors fed from it lies on the multiples of 50 and 60 Hz. A
// tone within 2 Hz of one could be taken for it. Measured as the strongest line of the
// first 70 ms of each note.
func TestBeepsAreNoMainsTones(t *testing.T) {
	t.Parallel()
	for _, b := range sounds.Beeps() {
		for i, hz := range notes(b.Clip().Samples()) {
			for _, mains := range []float64{50, 60} {
				if off := math.Abs(hz - mains*math.Round(hz/mains)); off < 2 {
					t.Errorf("%v: note %d of %.1f Hz is %.1f Hz from a multiple of %g", b, i+1, hz, off, mains)
				}
			}
		}
	}
}

// No two beeps have the same number of notes and the same contour, nor is one the
// slower copy of another.
func TestBeepsDiffer(t *testing.T) {
	t.Parallel()
	seen := map[string]sounds.Beep{}
	for _, b := range sounds.Beeps() {
		hz := notes(b.Clip().Samples())
		contour := ""
		for i := range hz {
			switch {
			case i == 0:
				contour = "o"
				if len(hz) == 1 && hz[0] < 400 {
					contour = "low"
				}
			case hz[i] > hz[i-1]*1.03:
				contour += "/"
			case hz[i] < hz[i-1]*0.97:
				contour += "\\"
			default:
				contour += "-"
			}
		}
		if other, ok := seen[contour]; ok {
			t.Errorf("%v and %v have the same contour %s", b, other, contour)
		}
		seen[contour] = b
	}
}

// notes finds the pitch of every note by its onset: the strongest line of the 70 ms
// from where the level rises after a dip.
func notes(x []float64) (hz []float64) {
	const w = int(sounds.Rate) / 200
	var levels []float64
	top := 0.0
	for i := 0; i+w <= len(x); i += w {
		sum := 0.0
		for _, v := range x[i : i+w] {
			sum += v * v
		}
		levels = append(levels, sum)
		top = max(top, sum)
	}
	armed := true
	for i, l := range levels {
		if l < top/12 {
			armed = true
		} else if armed {
			armed = false
			hz = append(hz, pitch(x[i*w:min(len(x), i*w+14*w)]))
		}
	}
	return hz
}

// pitch is the frequency from 250 to 1300 Hz of the strongest line.
func pitch(x []float64) float64 {
	strongest := func(from, to, step float64) (best float64) {
		top := 0.0
		for f := from; f < to; f += step {
			var re, im float64
			for i, v := range x {
				s, c := math.Sincos(2 * math.Pi * f * float64(i) / float64(sounds.Rate))
				h := (1 - math.Cos(2*math.Pi*float64(i)/float64(len(x)))) / 2
				re, im = re+v*c*h, im+v*s*h
			}
			if p := re*re + im*im; p > top {
				best, top = f, p
			}
		}
		return best
	}
	f := strongest(250, 1300, 7) // a line of 70 ms is 28 Hz wide
	return strongest(f-7, f+7, 0.5)
}

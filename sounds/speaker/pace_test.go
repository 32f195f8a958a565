package speaker

import (
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"turncue/sounds"
	"turncue/sounds/soundtest"
)

// A thousand cues, one every 300 ms by the clock of the test: each is heard for its
// 300 ms before the next takes its place, and neither goroutines nor memory grow.
func TestThousandCuesEvery300ms(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, l := open(t, d)
		goroutines := runtime.NumGoroutine()
		// Ten go first, so that what is made once is there when memory is measured.
		const first, cues = 10, 1000
		var before, after runtime.MemStats
		for i := range first + cues {
			if i == first {
				runtime.GC()
				runtime.ReadMemStats(&before)
			}
			v := int16(1000 + 10*i)
			p.Play(steady(v, 600*ms)) // longer than it is left
			heard := d.pull(t, 300*ms)
			wait(300 * ms)
			if n := count(heard, v); n < sounds.Rate.N(300*ms-fadeTime) {
				t.Fatalf("cue %d is heard for %v of 300 ms", i, sounds.Rate.D(n))
			}
			if n := inMixer(p); n > 4 {
				t.Fatalf("%d sounds in the mixer at cue %d", n, i)
			}
		}
		runtime.GC()
		runtime.ReadMemStats(&after)
		if n := runtime.NumGoroutine(); n > goroutines {
			t.Errorf("%d goroutines, %d before", n, goroutines)
		}
		// A cue of 600 ms that were kept would be over 50 kB, its streamer alone over 100 bytes.
		if grown := int64(after.HeapObjects) - int64(before.HeapObjects); grown > cues/2 {
			t.Errorf("%d things more on the heap after %d cues", grown, cues)
		}
		if lines, bells := l.heard(); len(lines) != 0 || bells != 0 {
			t.Errorf("told %q, %d bells", lines, bells)
		}
	})
}

// Cues every 300 ms through a real sound server, in real time: a few, and a thousand,
// which take five minutes, where TURNCUE_WHOLE is set. They are all heard, no goroutine
// is left, and the program ends.
func TestCuesEvery300msThroughAServer(t *testing.T) {
	t.Parallel()
	cues := 10
	if os.Getenv("TURNCUE_WHOLE") != "" {
		cues = 1000
	}
	sink := soundtest.Start(t)
	s := speak(t, sink, "auto")
	s.expect("settled: ")
	fmt.Fprintln(s.in, "cues", cues)
	s.expectWithin(fmt.Sprintf("cues: %d goroutines: 0", cues), time.Duration(cues)*cueEvery*3/2+20*time.Second)
	s.close()
	heard := loudFor(sink.Stop())
	// A busy computer may starve the server for moments, in which nothing sounds.
	if all := time.Duration(cues) * cueEvery; heard < all*9/10 || heard > all*11/10 {
		t.Errorf("%v of %v is heard", heard, all)
	}
	t.Logf("%d cues, %v heard", cues, heard)
}

// A hush through a real sound server: what sounds after it was in the device's buffer.
// How far the recorder is behind counts against it, so the best of three holds.
func TestHushThroughAServer(t *testing.T) {
	t.Parallel()
	for _, choice := range []string{"auto", "pipe"} {
		t.Run(choice, func(t *testing.T) {
			t.Parallel()
			sink := soundtest.Start(t)
			s := speak(t, sink, choice)
			s.expect("settled: ")
			const recorder = 20 * time.Millisecond // its own buffer; 10 ms are those beyond [Latency]
			var late []time.Duration
			for range 3 {
				from := len(sink.Heard())
				begun := time.Now()
				fmt.Fprintln(s.in, "tone")
				s.expect("tone")
				sink.Record(400 * time.Millisecond)
				fmt.Fprintln(s.in, "hush")
				s.expect("hush")
				lasted, hushed := time.Since(begun), len(sink.Heard())
				sink.Record(300 * time.Millisecond)
				heard := sink.Heard()
				sounding := loudFor(heard[from:])
				if sounding < 100*time.Millisecond || sounding > lasted+Latency {
					t.Errorf("%v of the tone is heard, which was played for %v", sounding, lasted)
				}
				last := len(heard)
				for last > hushed && math.Abs(heard[last-1]) < silent {
					last--
				}
				late = append(late, time.Duration(last-hushed)*time.Second/soundtest.Rate)
			}
			s.close()
			slices.Sort(late)
			if most := Latency + 10*ms + recorder; late[0] > most {
				t.Errorf("%v after a hush it still sounds, want %v at most", late[0], most)
			}
			t.Logf("after a hush it sounds for %v", late)
		})
	}
}

const silent = 0.02 // of full scale; what is below it does not sound

// loudFor is how long a recording is not silent.
func loudFor(x []float64) time.Duration {
	const block = soundtest.Rate / 200 // 5 ms: five waves of the tone
	n := 0
	for b := range slices.Chunk(x, block) {
		if slices.Max(b) > silent {
			n += len(b)
		}
	}
	return time.Duration(n) * time.Second / soundtest.Rate
}

package soundtest

import (
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A Drawn is a private sound server whose sink plays only as fast as it is drawn from:
// minutes of speech go through it in seconds, and nothing is lost meanwhile.
type Drawn struct {
	*Sink
	samples *os.File
	pace    *time.Ticker
}

const drawEvery = 10 * time.Millisecond

// StartDrawn runs a server with a sink to draw from. It ends with the test.
func StartDrawn(t testing.TB) *Drawn {
	t.Helper()
	s := prepare(t)
	path := filepath.Join(s.dir, "samples")
	s.serve("module-pipe-sink sink_name=cap rate=48000 format=s16le channels=2 file=" + path)
	f, err := os.OpenFile(path, os.O_RDONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	pace := time.NewTicker(drawEvery)
	t.Cleanup(func() {
		pace.Stop()
		f.Close()
	})
	return &Drawn{Sink: s, samples: f, pace: pace}
}

// Draw takes the next stretch of sound: one channel, -1 to 1, [Rate] a second. It is
// silent while nothing plays. The sound goes by so many times as fast as it is heard: on
// an idle machine a player program that buffers two seconds keeps up with forty times.
func (d *Drawn) Draw(long time.Duration, speed int) []float64 {
	d.t.Helper()
	raw := make([]byte, 4*int(long*Rate/time.Second))
	if err := d.samples.SetReadDeadline(time.Now().Add(upLimit + long)); err != nil {
		d.t.Fatal(err)
	}
	for rest := raw; len(rest) > 0; {
		<-d.pace.C
		n := min(len(rest), 4*int(time.Duration(speed)*drawEvery*Rate/time.Second))
		if _, err := io.ReadFull(d.samples, rest[:n]); err != nil {
			d.t.Fatalf("drawing: %v", err)
		}
		rest = rest[n:]
	}
	out := make([]float64, len(raw)/4)
	for i := range out {
		out[i] = one(raw[4*i:])
	}
	return out
}

// Follows is how much like what is expected the first sound is that comes out of the
// silence of a capture: the normalised correlation from its first sample on. It is far
// quicker than [Find], which looks everywhere.
func Follows(captured, expected []float64) (match float64) {
	at := onset(captured) - onset(expected)
	for j := max(0, at-2); j <= min(at+2, len(captured)-len(expected)); j++ {
		match = max(match, correlation(captured[j:j+len(expected)], expected))
	}
	return match
}

// onset is the first sample that is not silence.
func onset(x []float64) int {
	for i, v := range x {
		if v > 0.003 || v < -0.003 {
			return i
		}
	}
	return len(x)
}

package sounds

import (
	"fmt"
	"io"
	"math"
	"time"

	"github.com/gopxl/beep/v2"
	"github.com/gopxl/beep/v2/wav"
)

// Rate is the number of samples a second of everything this package renders.
const Rate beep.SampleRate = 48000

// A Clip is rendered sound: one channel at [Rate] in 16 bits. It never changes once
// made and may be played any number of times at once. The zero Clip is empty.
type Clip struct {
	pcm []int16
}

// Len is the number of samples.
func (c *Clip) Len() int { return len(c.pcm) }

// Duration is how long the clip lasts.
func (c *Clip) Duration() time.Duration { return Rate.D(len(c.pcm)) }

// Streamer plays the clip from its beginning, the same in both ears. Each call gives
// a new one.
func (c *Clip) Streamer() beep.StreamSeeker { return &clipStreamer{pcm: c.pcm} }

// Samples gives the clip as numbers from -1 to 1.
func (c *Clip) Samples() []float64 {
	out := make([]float64, len(c.pcm))
	for i, v := range c.pcm {
		out[i] = float64(v) / 32768
	}
	return out
}

// WriteWAV writes the clip as a WAV file: 48 kHz, one channel, 16 bits.
func (c *Clip) WriteWAV(w io.WriteSeeker) error {
	if err := wav.Encode(w, c.Streamer(), beep.Format{SampleRate: Rate, NumChannels: 1, Precision: 2}); err != nil {
		return fmt.Errorf("write WAV: %w", err)
	}
	return nil
}

type clipStreamer struct {
	pcm []int16
	pos int
}

func (s *clipStreamer) Stream(samples [][2]float64) (int, bool) {
	n := min(len(samples), len(s.pcm)-s.pos)
	if n <= 0 {
		return 0, false
	}
	for i, v := range s.pcm[s.pos : s.pos+n] {
		x := float64(v) / 32768
		samples[i] = [2]float64{x, x}
	}
	s.pos += n
	return n, true
}

func (s *clipStreamer) Err() error    { return nil }
func (s *clipStreamer) Len() int      { return len(s.pcm) }
func (s *clipStreamer) Position() int { return s.pos }

func (s *clipStreamer) Seek(p int) error {
	if p < 0 || p > len(s.pcm) {
		return fmt.Errorf("seek to sample %d: the clip has %d", p, len(s.pcm))
	}
	s.pos = p
	return nil
}

// toPCM rounds to 16 bits; what is beyond full scale is held there.
func toPCM(x float64) int16 {
	return int16(math.Round(max(-32768, min(32767, x*32768))))
}

// Repeated is the clip so many times, one every so often; it is cut where it is longer
// than that.
func (c *Clip) Repeated(times int, every time.Duration) *Clip {
	step := Rate.N(every)
	pcm := make([]int16, times*step)
	for i := range times {
		copy(pcm[i*step:(i+1)*step], c.pcm)
	}
	return &Clip{pcm: pcm}
}

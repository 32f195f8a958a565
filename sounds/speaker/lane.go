package speaker

import (
	"time"

	"github.com/gopxl/beep/v2"

	"turncue/sounds"
)

const (
	fadeTime = 5 * time.Millisecond  // a cue that is silenced ends without a click
	beepGap  = 60 * time.Millisecond // between a beep and the words after it
	ducked   = 0.35                  // words under a beep
)

// lane is one sound in the mixer. It always fills what it is asked for until it ends,
// because the mixer drops a streamer that does not.
type lane struct {
	s            beep.Streamer
	after        *lane // silent until this one has ended
	lead         int   // samples of silence before s
	gain, target float64
	fading       bool // towards its end
	started      bool
	done         bool
}

func newLane(s beep.Streamer, after *lane) *lane {
	l := &lane{s: s, gain: 1, target: 1}
	if after.active() {
		l.after = after
	}
	return l
}

// active is false for no lane at all.
func (l *lane) active() bool { return l != nil && !l.done }

// heard reports whether its sound has begun and goes on.
func (l *lane) heard() bool { return l.active() && l.started }

// fade lets the lane end within fadeTime; one that nobody has heard ends at once.
func (l *lane) fade() {
	l.fading, l.target = true, 0
	if !l.started {
		l.done = true
	}
}

func (l *lane) Stream(out [][2]float64) (int, bool) {
	if l.done {
		return 0, false
	}
	if l.after != nil {
		if !l.after.done {
			clear(out)
			return len(out), true
		}
		l.after, l.lead = nil, sounds.Rate.N(beepGap)
	}
	n := min(l.lead, len(out))
	clear(out[:n])
	l.lead -= n
	for n < len(out) && !l.done {
		l.started = true
		k, ok := l.s.Stream(out[n:])
		l.shape(out[n : n+k])
		n += k
		if !ok || k == 0 || l.fading && l.gain == 0 {
			l.done = true
		}
	}
	return n, n > 0
}

// shape moves the gain towards its target.
func (l *lane) shape(out [][2]float64) {
	if l.gain == 1 && l.target == 1 {
		return
	}
	step := 1 / float64(sounds.Rate.N(fadeTime))
	for i := range out {
		if l.gain < l.target {
			l.gain = min(l.target, l.gain+step)
		} else {
			l.gain = max(l.target, l.gain-step)
		}
		out[i][0] *= l.gain
		out[i][1] *= l.gain
	}
}

func (l *lane) Err() error { return nil }

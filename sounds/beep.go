package sounds

import (
	"fmt"
	"math"
	"sync"
	"time"

	"github.com/gopxl/beep/v2"
)

// A Beep is a sound made in code, with one meaning. Beeps differ in rhythm and
// contour first and in pitch second, never by loudness, and keep their energy below
// 3.5 kHz. None of them counts down and none says when to stop a moving carriage.
type Beep int

// The beeps. The zero Beep is none and silent.
const (
	NoBeep    Beep = iota
	Advance        // one note
	Attention      // two falling pairs
	Done           // four notes rising
	Refused        // one low note
	Measure        // up and down again
	LastPass       // three short, one long
	Back           // one falling step
	Fault          // six high, fast
)

// note is a tone of hz for on, then silence for off.
type note struct {
	hz      float64
	on, off time.Duration
}

const ms = time.Millisecond

// Pitches stay at least 2 Hz away from the multiples of 50 and 60 Hz, which is where
// motors and lamps hum.
var beepTable = map[Beep]struct {
	name, meaning string
	notes         []note
}{
	Advance:   {"advance", "your press was taken; the next step follows", []note{{668, 90 * ms, 0}}},
	Attention: {"attention", "listen before you go on; the word for it follows", []note{{622, 200 * ms, 20 * ms}, {466, 200 * ms, 60 * ms}, {622, 200 * ms, 20 * ms}, {466, 200 * ms, 0}}},
	Done:      {"done", "the part is finished", []note{{523, 130 * ms, 30 * ms}, {668, 130 * ms, 30 * ms}, {784, 130 * ms, 30 * ms}, {1047, 420 * ms, 0}}},
	Refused:   {"refused", "your press or entry was not taken; nothing has changed", []note{{311, 280 * ms, 0}}},
	Measure:   {"measure", "a reading is wanted", []note{{587, 160 * ms, 60 * ms}, {784, 160 * ms, 60 * ms}, {587, 160 * ms, 0}}},
	LastPass:  {"last pass", "the next cut is the final pass of this section", []note{{988, 70 * ms, 60 * ms}, {988, 70 * ms, 60 * ms}, {988, 70 * ms, 60 * ms}, {988, 320 * ms, 0}}},
	Back:      {"back", "gone back one step", []note{{784, 110 * ms, 40 * ms}, {523, 180 * ms, 0}}},
	Fault:     {"fault", "the program itself has failed; no more prompts will come", []note{{1175, 75 * ms, 50 * ms}, {1175, 75 * ms, 50 * ms}, {1175, 75 * ms, 50 * ms}, {1175, 75 * ms, 50 * ms}, {1175, 75 * ms, 50 * ms}, {1175, 75 * ms, 0}}},
}

// Beeps lists every beep that sounds.
func Beeps() []Beep {
	return []Beep{Advance, Attention, Done, Refused, Measure, LastPass, Back, Fault}
}

// FewBeeps are the beeps a run uses unless more are asked for: few enough to be told
// apart without having learnt them.
func FewBeeps() []Beep { return []Beep{Advance, Attention, Done, Refused} }

// Few is the beep among the few that stands for this one. What is said at the same
// time tells the rest.
func (b Beep) Few() Beep {
	switch b {
	case Measure, LastPass, Fault:
		return Attention
	case Back:
		return Advance
	}
	return b
}

func (b Beep) String() string {
	if e, ok := beepTable[b]; ok {
		return e.name
	}
	if b == NoBeep {
		return "no beep"
	}
	return fmt.Sprintf("beep(%d)", int(b))
}

// Meaning is what the beep tells, in words for the screen.
func (b Beep) Meaning() string { return beepTable[b].meaning }

// Streamer plays the beep from its beginning; NoBeep ends at once.
func (b Beep) Streamer() beep.Streamer { return b.Clip().Streamer() }

// Clip is the beep rendered, the same samples every time.
func (b Beep) Clip() *Clip {
	if c, ok := beepClips()[b]; ok {
		return c
	}
	return &Clip{}
}

var beepClips = sync.OnceValue(func() map[Beep]*Clip {
	m := make(map[Beep]*Clip, len(beepTable))
	for b, e := range beepTable {
		m[b] = renderNotes(e.notes)
	}
	return m
})

const (
	beepCeiling = 3500.0 // Hz; harmonics above are left out
	beepRise    = 8 * ms
	beepFall    = 25 * ms
	beepPeak    = 0.4 // brings beeps to the loudness of the voice
)

var harmonicWeights = []float64{1, 0.7, 0.5, 0.35}

func renderNotes(notes []note) *Clip {
	var x []float64
	for _, n := range notes {
		x = append(x, tone(n.hz, Rate.N(n.on))...)
		x = append(x, make([]float64, Rate.N(n.off))...)
	}
	peak := 0.0
	for _, v := range x {
		peak = max(peak, math.Abs(v))
	}
	pcm := make([]int16, len(x))
	for i, v := range x {
		pcm[i] = toPCM(v / peak * beepPeak)
	}
	return &Clip{pcm: pcm}
}

// tone sums the harmonics under the ceiling; raised-cosine edges keep it free of
// clicks.
func tone(hz float64, n int) []float64 {
	x := make([]float64, n)
	rise, fall := Rate.N(beepRise), Rate.N(beepFall)
	for i := range x {
		for h, w := range harmonicWeights {
			if f := hz * float64(h+1); f < beepCeiling {
				x[i] += w * math.Sin(2*math.Pi*f*float64(i)/float64(Rate))
			}
		}
		if i < rise {
			x[i] *= (1 - math.Cos(math.Pi*float64(i)/float64(rise))) / 2
		}
		if left := n - 1 - i; left < fall {
			x[i] *= (1 - math.Cos(math.Pi*float64(left)/float64(fall))) / 2
		}
	}
	return x
}

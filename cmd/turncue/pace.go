package main

import (
	"context"
	"fmt"
	"math"
	"sync"
	"time"

	"github.com/gopxl/beep/v2"
	"github.com/spf13/pflag"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/job"
	"turncue/sequence/runner"
	"turncue/sounds"
	"turncue/sounds/speaker"
)

// paceFlag asks for the ticks of an even hand.
func paceFlag(f *pflag.FlagSet, on *bool) {
	f.BoolVar(on, "pace-beat", false, "tick while something is fed by hand: so many divisions of the ring with each tick; when to stop is for the eye")
}

// A pace is an even feed by hand: so many divisions of a ring with each tick. It
// says how fast, never how far.
type pace struct {
	ring      string
	divisions int
	every     time.Duration // from tick to tick
	takes     time.Duration // the whole feed at this pace
}

// Bounds of a pace a hand can follow (common practice).
const (
	tickLeast = 600 * time.Millisecond // ticks closer than this blur
	tickMost  = 4 * time.Second        // and farther apart than this are no beat
	ticksFew  = 3                      // a shorter feed needs none
)

// perTick are the numbers of divisions that are easy to follow.
var perTick = []int{1, 2, 5, 10, 20, 50}

// paceOf is the pace of a step of a plan, if it has metal fed by hand along a ring at a
// known speed of the spindle.
func paceOf(p *sequence.Plan, l *job.Lathe, step *sequence.Step) (pace, bool) {
	i := p.Index(step.ID)
	if i < 0 {
		return pace{}, false
	}
	var speed calc.Speed
	turns := func(m sequence.Move) {
		if s, ok := m.(sequence.Spindle); ok {
			speed = 0
			if s.Turn == sequence.Forward || s.Turn == sequence.Reverse {
				speed = s.RPM
			}
		}
	}
	for j := range i {
		for _, m := range p.Steps[j].Moves {
			turns(m)
		}
	}
	for _, m := range step.Moves {
		turns(m)
		switch m := m.(type) {
		case sequence.Plunge:
			if m.Deeper() && !m.PerRev.IsZero() {
				return newPace("cross-slide", l.Cross, (m.From-m.To).Abs()/2, m.PerRev, speed)
			}
		case sequence.Carriage:
			if m.By == sequence.ByHandwheel && m.Cutting && l.Carriage != nil && !m.PerRev.IsZero() {
				return newPace("carriage", *l.Carriage, max(m.To-m.From, m.From-m.To), m.PerRev, speed)
			}
		case sequence.Tailstock:
			if l.Tailstock != nil && !m.PerRev.IsZero() {
				return newPace("tailstock", *l.Tailstock, m.To-m.From, m.PerRev, speed)
			}
		}
	}
	return pace{}, false
}

// newPace is the pace for a travel of the slide itself, with a feed for each turn of the
// spindle.
func newPace(ring string, d setup.Dial, travel calc.Length, feed calc.Lead, speed calc.Speed) (pace, bool) {
	rate := math.Abs(feed.Millimetres()) * speed.PerMinute() / 60 // mm in a second
	division := d.Division().Millimetres()
	if rate <= 0 || division <= 0 {
		return pace{}, false
	}
	seconds := func(mm float64) time.Duration { return time.Duration(mm / rate * float64(time.Second)) }
	for _, n := range perTick {
		p := pace{ring, n, seconds(division * float64(n)), seconds(travel.Millimetres())}
		if p.every >= tickLeast {
			return p, p.every <= tickMost && p.takes >= ticksFew*p.every
		}
	}
	return pace{}, false
}

// String is the pace as a sentence for the screen.
func (p pace) String() string {
	divisions := "divisions"
	if p.divisions == 1 {
		divisions = "division"
	}
	return fmt.Sprintf("Even hand: %d %s of the %s ring with each tick; about %s in all.", p.divisions, divisions, p.ring, minutes(p.takes))
}

// minutes is a time as minutes and seconds.
func minutes(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// The sound of a tick: short, above the beeps that say something.
const (
	tickPitch = 1318.5 // Hz
	tickOn    = 35 * time.Millisecond
	tickPeak  = 0.3
)

// ticks is a tick at once and then one every so often, exact to the sample, for ever.
func ticks(every time.Duration) beep.Streamer {
	period, on := max(sounds.Rate.N(every), 1), sounds.Rate.N(tickOn)
	at := 0
	return beep.StreamerFunc(func(samples [][2]float64) (int, bool) {
		for i := range samples {
			v := 0.0
			if at < on {
				x := float64(at) / float64(on)
				v = tickPeak * math.Sin(math.Pi*x) * math.Sin(2*math.Pi*tickPitch*float64(at)/float64(sounds.Rate))
			}
			samples[i] = [2]float64{v, v}
			at = (at + 1) % period
		}
		return len(samples), true
	})
}

// pacer ticks beside a run. The ticks take the place of speech: whatever is said next
// silences them, and they begin only when it has been said.
type pacer struct {
	runner.Voice
	player *speaker.Player
	work   *work
	ctx    context.Context

	mu    sync.Mutex
	fresh bool // something was said or silenced since the ticks were begun
	stop  context.CancelFunc
}

func newPacer(ctx context.Context, v runner.Voice, p *speaker.Player, w *work) *pacer {
	return &pacer{Voice: v, player: p, work: w, ctx: ctx, stop: func() {}}
}

// Say silences the ticks and speaks.
func (p *pacer) Say(parts []string) {
	p.halt()
	p.Voice.Say(parts)
}

// Hush silences everything.
func (p *pacer) Hush() {
	p.halt()
	p.Voice.Hush()
}

func (p *pacer) halt() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.stop()
	p.fresh = true
}

// beside has the run speak through the pacer and tell it what is shown.
func (p *pacer) beside(c *runner.Config) {
	c.Voice = p
	before := c.Effect
	c.Effect = func(e runner.Effect) {
		if show, ok := e.(runner.Show); ok {
			p.shown(show.Frame)
		}
		if before != nil {
			before(e)
		}
	}
}

// shown begins the ticks of a step that has a pace.
func (p *pacer) shown(f runner.Frame) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.fresh {
		return // the same step at a later time
	}
	p.fresh = false
	if f.Phase != runner.Running {
		return
	}
	pace, ok := paceOf(f.Plan, p.work.lathe, f.Step)
	if !ok {
		return
	}
	ctx, stop := context.WithCancel(p.ctx)
	p.stop = stop
	go func() {
		if p.player.WaitQuiet(ctx) != nil {
			return
		}
		p.mu.Lock()
		defer p.mu.Unlock()
		if ctx.Err() == nil {
			p.player.Play(ticks(pace.every))
		}
	}()
}

// paced adds the pace of the step to what is shown, and how long the step has been
// shown. Timed is false where every change would be a new line.
func paced(v terminal.View, f runner.Frame, w *work, timed bool) terminal.View {
	p, ok := paceOf(f.Plan, w.lathe, f.Step)
	if !ok || f.Phase != runner.Running {
		return v
	}
	line := p.String()
	if timed {
		line += fmt.Sprintf(" On this step %s.", minutes(f.OnStep))
	}
	v.Lines = append(v.Lines[:len(v.Lines):len(v.Lines)], line)
	return v
}

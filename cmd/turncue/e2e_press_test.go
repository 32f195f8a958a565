//go:build unix

package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/creack/pty"

	"turncue/calc"
	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
	"turncue/sounds/speaker"
)

// A pressBench is a run as it is wired for a person, in this process: keys go through
// the entry and its filter, the loop writes a journal on the disk, the voice speaks
// through a player, the display draws. Only the ends are the bench's own: the keys are
// made, the device pulls samples and throws them away, nobody looks at the terminal.
type pressBench struct {
	b       *testing.B
	display *display
	player  *speaker.Player
	events  chan runner.Event
	device  *pulling
	shown   chan time.Time
	settled chan struct{}
	at      time.Duration // the clock of the keys
	presses int
}

func newPressBench(b *testing.B) *pressBench {
	b.Helper()
	b.Setenv("XDG_STATE_HOME", b.TempDir())
	w, err := load("", "")
	if err != nil {
		b.Fatal(err)
	}
	out := benchScreen(b)
	p := &pressBench{
		b: b, events: make(chan runner.Event, 16), device: &pulling{quit: make(chan struct{})},
		shown: make(chan time.Time, 4), settled: make(chan struct{}, 4),
	}
	o := &runOptions{}
	journal, state, err := o.open(w, streams{err: io.Discard})
	if err != nil {
		b.Fatal(err)
	}
	p.display = &display{
		screen: terminal.NewScreen(out, terminal.ScreenOptions{Environ: []string{"TERM=xterm-256color"}}),
		viewer: viewer{w.plan}, entry: newEntry(pedal.Safe(), calc.Millimetre),
	}
	p.display.screen.Enter()
	p.player = speaker.Open(speaker.Options{Devices: []speaker.Device{p.device}})
	<-p.player.Settled()
	sound := newVoice(p.player, func(line string) { b.Error(line) })
	if err := sound.clips.Warm(); err != nil {
		b.Fatal(err)
	}
	ctx, stop := context.WithCancel(b.Context())
	over := make(chan error, 1)
	go func() {
		_, err := runner.Run(ctx, runner.Config{
			State: state, Log: journal, Events: p.events, Voice: sound, Display: p,
			Settled: func(runner.State, runner.Event) { p.settled <- struct{}{} },
		})
		over <- err
	}()
	b.Cleanup(func() {
		stop()
		for {
			select {
			case <-p.shown:
			case <-p.settled:
			case err := <-over:
				p.display.screen.Leave()
				if err := errors.Join(err, p.player.Close(), journal.Close()); err != nil {
					b.Error(err)
				}
				return
			}
		}
	})
	<-p.shown
	<-p.settled
	return p
}

// Show is the display's, and tells when the frame was written.
func (p *pressBench) Show(f runner.Frame) {
	p.display.Show(f)
	p.shown <- time.Now()
}

// press presses a key that the filter takes: forward and back in turn, between two
// steps that want nothing but presses. It gives the moment of the press.
func (p *pressBench) press() time.Time {
	p.b.Helper()
	name := []string{"pgdn", "pgup"}[p.presses%2]
	p.presses++
	p.at += time.Second
	pressed := time.Now()
	kind := p.display.key(terminal.Key{Name: name, At: p.at})
	if kind == nil {
		p.b.Fatalf("press %d of %s is not taken", p.presses, name)
	}
	p.events <- runner.Event{Kind: kind}
	return pressed
}

// BenchmarkPressToFrame is from a key to its frame written to the terminal. Run it, and
// the next, 10 000 times: -benchtime 10000x.
func BenchmarkPressToFrame(b *testing.B) {
	p := newPressBench(b)
	var took []time.Duration
	for b.Loop() {
		pressed := p.press()
		took = append(took, (<-p.shown).Sub(pressed))
		<-p.settled
	}
	report(b, took)
}

// BenchmarkPressToSample is from a key to the first sample of its beep in the hands of
// a device that pulls every millisecond.
func BenchmarkPressToSample(b *testing.B) {
	p := newPressBench(b)
	var took []time.Duration
	for b.Loop() {
		p.player.Hush() // the cue before would be heard until the press
		silence := p.device.when(silent)
		p.device.hurry.Store(true) // nobody listens to what is left of the beep before
		<-silence
		first := p.device.when(sounding)
		pressed := p.press()
		took = append(took, (<-first).Sub(pressed))
		<-p.shown
		<-p.settled
	}
	report(b, took)
}

// What a press may take to be answered.
const (
	mostInTheMiddle = 10 * time.Millisecond
	mostAtWorst     = 30 * time.Millisecond
)

// report adds the median and the worst to a benchmark's figures and holds them to what
// they may be. A key of a terminal is held back to tell it from a burst before it comes
// to where the clock starts; that time is added. A pedal read directly has none of it.
func report(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
	median, worst := took[len(took)/2]+terminal.BurstGap, took[len(took)-1]+terminal.BurstGap
	b.ReportMetric(ms(median), "ms-median")
	b.ReportMetric(ms(worst), "ms-worst")
	if median > mostInTheMiddle || worst > mostAtWorst {
		b.Errorf("%d presses: median %v, worst %v, may be %v and %v", len(took), median, worst, mostInTheMiddle, mostAtWorst)
	}
}

// pulling is a device that takes what is to be heard, a millisecond each, and tells
// when sound or silence comes. In a hurry it takes all there is until silence comes.
type pulling struct {
	quit   chan struct{}
	ended  sync.WaitGroup
	closed atomic.Bool
	hurry  atomic.Bool

	mu     sync.Mutex
	wanted bool           // sounding or silent
	tell   chan time.Time // nil when nobody waits
}

const (
	silent   = false
	sounding = true
)

func (*pulling) Name() string { return "bench" }
func (*pulling) Err() error   { return nil }

func (d *pulling) Start(samples io.Reader) error {
	d.ended.Go(func() {
		tick := time.NewTicker(time.Millisecond)
		defer tick.Stop()
		block := make([]byte, 48*4)
		for {
			if !d.hurry.Load() {
				select {
				case <-tick.C:
				case <-d.quit:
					return
				}
			}
			n, err := samples.Read(block)
			if err != nil {
				return
			}
			d.heard(block[:n])
		}
	})
	return nil
}

func (d *pulling) Close() error {
	if !d.closed.Swap(true) {
		close(d.quit)
		d.ended.Wait()
	}
	return nil
}

// when gives the moment of the next block with sound in it, or without.
func (d *pulling) when(sound bool) <-chan time.Time {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.wanted, d.tell = sound, make(chan time.Time, 1)
	return d.tell
}

func (d *pulling) heard(block []byte) {
	now := time.Now()
	sound := slices.ContainsFunc(block, func(v byte) bool { return v != 0 })
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.tell != nil && sound == d.wanted {
		d.tell <- now
		d.tell = nil
		d.hurry.Store(false)
	}
}

// benchScreen is a terminal that is read and forgotten.
func benchScreen(b *testing.B) *os.File {
	b.Helper()
	master, slave, err := pty.Open()
	if err != nil {
		b.Fatal(err)
	}
	if err := pty.Setsize(master, &pty.Winsize{Cols: 100, Rows: 30}); err != nil {
		b.Fatal(err)
	}
	read := make(chan struct{})
	go func() {
		defer close(read)
		buf := make([]byte, 1<<16)
		for {
			n, err := master.Read(buf)
			if err != nil || bytes.IndexByte(buf[:n], 4) >= 0 {
				return
			}
		}
	}()
	b.Cleanup(func() {
		slave.Write([]byte{4})
		<-read
		slave.Close()
		master.Close()
	})
	return slave
}

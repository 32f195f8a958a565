package speaker

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"sync"
	"sync/atomic"
	"time"

	"github.com/gopxl/beep/v2"

	"turncue/sounds"
)

const (
	watchEvery = 200 * time.Millisecond
	// A device that has pulled nothing for this long is lost. One second is too
	// short: a new sink may begin with a block of two.
	lossAfter  = 2500 * time.Millisecond
	retryFirst = 3 * time.Second
	retryMost  = 30 * time.Second
	// A device counts as back once it has pulled this much in earnest.
	provenAfter = 500 * time.Millisecond
	drainLimit  = 300 * time.Millisecond
	// Wireless links cut the beginning of a sound after a pause; this one is one.
	leadAfter = time.Second
	bellEvery = 250 * time.Millisecond
)

const goingOn = "; going on with screen and terminal bell"

// Options of a Player. The zero Options are good.
type Options struct {
	// Choice of device; zero is Auto.
	Choice Choice
	// Devices to try in this order, instead of those that Choice means.
	Devices []Device
	// Tell is given one line when there is no sound, when it is lost and when it is
	// back. Nil: nobody is told.
	Tell func(string)
	// Gain is what every sample is multiplied by; zero is 1.
	Gain float64
	// LeadIn is silence put before a sound that follows a pause of a second or more,
	// for wireless links that cut its beginning although the stream never stops.
	LeadIn time.Duration
	// Bell is called for a cue that cannot be heard, at most four times a second.
	// Tell and Bell are called one after the other on a goroutine of their own and may
	// take their time.
	Bell func()
}

type state int

const (
	opening state = iota // cues wait for the device
	running
	lost // cues go to the bell until a device is back
	off  // no sound was wanted, or closed
)

// A Player plays one spoken cue and one beep at a time. Its methods may be called
// from any goroutine except from inside a streamer that it plays, and return within a
// millisecond or so; only Close and WaitQuiet wait, and only so long as they say.
type Player struct {
	opts    Options
	devices []Device

	mu       sync.Mutex // guards all below and every streamer that plays
	mixer    beep.Mixer
	speech   *lane
	beep     *lane
	buf      [512][2]float64
	state    state
	feed     *feed  // the one that is given samples
	device   Device // behind feed; nil before the first is open
	lastRead time.Time
	lastBell time.Time
	quietFor int             // samples since the last that could be heard
	quiet    []chan struct{} // closed once nothing plays
	closed   bool
	told     chan func()

	settled chan struct{} // closed when the first opening is over
	quit    chan struct{}
	ended   chan struct{} // closed when the keeper has ended
}

// Open returns at once and opens a device beside the caller. What is played meanwhile
// is heard as soon as the device runs.
func Open(o Options) *Player {
	if o.Gain == 0 {
		o.Gain = 1
	}
	p := &Player{
		quietFor: sounds.Rate.N(leadAfter),
		opts:     o,
		devices:  o.Devices,
		told:     make(chan func(), 32),
		settled:  make(chan struct{}),
		quit:     make(chan struct{}),
		ended:    make(chan struct{}),
	}
	if p.devices == nil {
		p.devices = o.Choice.devices()
	}
	go func(told <-chan func()) {
		for f := range told {
			f()
		}
	}(p.told)
	if len(p.devices) == 0 {
		p.state = off
		close(p.settled)
		close(p.ended)
		return p
	}
	go p.keep()
	return p
}

// Settled is closed once it is known whether there is sound.
func (p *Player) Settled() <-chan struct{} { return p.settled }

// Device is the name of the device that sounds, "" when none does.
func (p *Player) Device() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.state != running || p.device == nil {
		return ""
	}
	return p.device.Name()
}

// Play silences the cue before it and plays s, after the beep if one is sounding.
// Without sound the bell rings and s is dropped.
func (p *Player) Play(s beep.Streamer) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.audible() {
		return
	}
	old := p.speech
	p.speech = p.newLane(s, p.beep)
	p.remix(old)
}

// Beep plays a beep over what is said, which goes on more quietly. It replaces the
// beep before it.
func (p *Player) Beep(b sounds.Beep) {
	s := b.Streamer()
	p.mu.Lock()
	defer p.mu.Unlock()
	if b == sounds.NoBeep || !p.audible() {
		return
	}
	old := p.beep
	p.beep = p.newLane(s, nil)
	p.remix(old)
}

// Hush silences everything; what the device has already taken, [Latency] at most, is
// still heard.
func (p *Player) Hush() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.hush()
}

func (p *Player) hush() {
	speech, beep := p.speech, p.beep
	p.speech, p.beep = nil, nil
	p.remix(speech, beep)
	p.signalQuiet()
}

// Playing reports whether a cue or a beep is sounding or waiting to.
func (p *Player) Playing() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.busy()
}

// WaitQuiet returns when nothing plays any more, or with the context's error. Without
// sound it returns at once. The device's buffer is still to be heard then.
func (p *Player) WaitQuiet(ctx context.Context) error {
	p.mu.Lock()
	if !p.busy() {
		p.mu.Unlock()
		return nil
	}
	done := make(chan struct{})
	p.quiet = append(p.quiet, done)
	p.mu.Unlock()
	select {
	case <-done:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// Close takes no more cues, lets one that ends within 300 ms be heard to its last
// sample, silences a longer one, and lets the device go: under a second together.
func (p *Player) Close() error {
	p.mu.Lock()
	if p.closed {
		p.mu.Unlock()
		return nil
	}
	p.closed = true
	p.mu.Unlock()

	ctx, cancel := context.WithTimeout(context.Background(), drainLimit)
	defer cancel()
	if err := p.WaitQuiet(ctx); err != nil {
		p.Hush()
	}
	close(p.quit)
	<-p.ended

	p.mu.Lock()
	defer p.mu.Unlock()
	p.state = off
	p.mixer.Clear()
	close(p.told)
	p.told = nil
	return nil
}

// newLane is a lane with the lead-in that is due now.
func (p *Player) newLane(s beep.Streamer, after *lane) *lane {
	l := newLane(s, after)
	if l.after == nil && p.quietFor >= sounds.Rate.N(leadAfter) {
		l.lead = sounds.Rate.N(p.opts.LeadIn)
	}
	return l
}

func (p *Player) busy() bool { return p.speech.active() || p.beep.active() }

// audible reports whether a cue may be played now, and rings if not.
func (p *Player) audible() bool {
	if p.closed {
		return false
	}
	if p.state == opening || p.state == running {
		return true
	}
	p.ring()
	return false
}

// remix puts the current lanes into the mixer and lets the old ones fade. A lane that
// was fading before is cut: nobody hears three cues in 5 ms.
func (p *Player) remix(old ...*lane) {
	p.mixer.Clear()
	for _, l := range old {
		if l.active() {
			l.fade()
		}
		if l.active() {
			p.mixer.Add(l)
		}
	}
	// The beep first: the words after it begin in the same block.
	for _, l := range []*lane{p.beep, p.speech} {
		if l.active() {
			p.mixer.Add(l)
		}
	}
}

func (p *Player) signalQuiet() {
	if p.busy() {
		return
	}
	for _, c := range p.quiet {
		close(c)
	}
	p.quiet = nil
}

func (p *Player) ring() {
	if now := time.Now(); p.opts.Bell != nil && now.Sub(p.lastBell) >= bellEvery {
		p.lastBell = now
		p.post(p.opts.Bell)
	}
}

func (p *Player) tell(line string) {
	if p.opts.Tell != nil {
		p.post(func() { p.opts.Tell(line) })
	}
}

// post never waits: with 32 calls outstanding the listener is gone anyway.
func (p *Player) post(f func()) {
	if p.told == nil {
		return
	}
	select {
	case p.told <- f:
	default:
	}
}

// feed is the reader that one device pulls from. Only the player's current feed gets
// samples; another gets silence until it is revoked, then io.EOF.
type feed struct {
	p       *Player
	revoked atomic.Bool
	pulled  atomic.Int64 // samples
}

func (f *feed) Read(b []byte) (int, error) {
	n := len(b) / frameBytes
	if f.revoked.Load() {
		return 0, io.EOF
	}
	f.p.read(f, b[:n*frameBytes])
	f.pulled.Add(int64(n))
	return n * frameBytes, nil
}

func (p *Player) read(f *feed, b []byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.feed != f {
		clear(b)
		return
	}
	p.lastRead = time.Now()
	for len(b) > 0 {
		if p.speech.active() {
			p.speech.target = 1
			if p.beep.active() {
				p.speech.target = ducked
			}
		}
		block := p.buf[:min(len(p.buf), len(b)/frameBytes)]
		p.mixer.Stream(block)
		if p.speech.heard() || p.beep.heard() {
			p.quietFor = 0
		} else {
			p.quietFor += len(block)
		}
		for _, s := range block {
			for c, x := range s {
				v := int16(math.Round(max(-32768, min(32767, x*p.opts.Gain*32768))))
				b[2*c], b[2*c+1] = byte(v), byte(uint16(v)>>8)
			}
			b = b[frameBytes:]
		}
	}
	p.signalQuiet()
}

// keep opens the device, watches it and replaces it. It alone starts and closes
// devices.
func (p *Player) keep() {
	defer close(p.ended)
	var trial *attempt
	defer func() {
		if trial != nil {
			trial.drop()
		}
		p.letGo()
	}()

	err := p.openFirst()
	select { // closed meanwhile: then nothing is to be told
	case <-p.quit:
		close(p.settled)
		return
	default:
	}
	if err != nil {
		p.lose("no sound: " + err.Error())
	}
	close(p.settled)

	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	wait := retryFirst
	next := time.Now().Add(wait)
	for {
		select {
		case <-p.quit:
			return
		case <-tick.C:
		}
		now := time.Now()
		p.mu.Lock()
		st, device, last := p.state, p.device, p.lastRead
		p.mu.Unlock()

		switch {
		case st == running:
			var reason string
			if err := device.Err(); err != nil {
				reason = err.Error()
			} else if now.Sub(last) > lossAfter {
				reason = device.Name() + " takes no more samples"
			}
			if reason != "" {
				p.lose("sound lost: " + reason)
				wait = retryFirst
				next = now.Add(wait)
			}
		case device != nil && now.Sub(last) < lossAfter && device.Err() == nil:
			// The old device pulls again by itself.
			if trial != nil {
				trial.drop()
				trial = nil
			}
			p.regain(device, nil)
		case trial != nil && trial.feed.pulled.Load() >= int64(sounds.Rate.N(provenAfter)):
			p.regain(trial.device, trial.feed)
			trial = nil
		case trial != nil && (trial.device.Err() != nil || now.Sub(trial.since) > lossAfter):
			trial.drop()
			trial = nil
			next = now.Add(wait)
		case trial == nil && !now.Before(next):
			if p.probe() == nil { // asking costs nothing, trying starts programs
				trial = p.try()
				wait = min(2*wait, retryMost)
			}
			next = time.Now().Add(wait)
		}
	}
}

// lose drops what was to be heard, so that it does not come out late, and says so.
func (p *Player) lose(line string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	pending := p.busy()
	p.state = lost
	// A device that was slow and not dead shows itself by a read after now.
	p.lastRead = time.Time{}
	p.speech, p.beep = nil, nil
	p.mixer.Clear()
	p.signalQuiet()
	p.tell(line + goingOn)
	if pending {
		p.ring()
	}
}

// regain makes a device the one that sounds; with a nil feed it is the old one.
func (p *Player) regain(d Device, f *feed) {
	p.mu.Lock()
	old, oldFeed := p.device, p.feed
	p.device, p.state, p.lastRead = d, running, time.Now()
	if f != nil {
		p.feed = f
	}
	p.tell("sound is back through " + d.Name())
	p.mu.Unlock()
	if f != nil && oldFeed != nil {
		oldFeed.revoked.Store(true)
	}
	if old != nil && old != d {
		_ = old.Close() // it is dead; nothing to be told
	}
}

// letGo closes the device at the end.
func (p *Player) letGo() {
	p.mu.Lock()
	d, f := p.device, p.feed
	p.mu.Unlock()
	if d != nil {
		_ = d.Close() // the program is going; nothing to be told
	}
	if f != nil {
		f.revoked.Store(true)
	}
}

var errQuit = errors.New("closed")

// openFirst tries the devices in order and lets the first that opens sound.
func (p *Player) openFirst() error {
	if err := p.probe(); err != nil {
		return err
	}
	var errs []error
	for _, d := range p.devices {
		f := &feed{p: p}
		p.mu.Lock()
		p.feed, p.lastRead = f, time.Now()
		p.mu.Unlock()
		err := p.start(d, f)
		if err == nil {
			p.mu.Lock()
			p.device, p.state, p.lastRead = d, running, time.Now()
			p.mu.Unlock()
			return nil
		}
		f.revoked.Store(true)
		errs = append(errs, fmt.Errorf("%s: %w", d.Name(), err))
	}
	return oneLine(errs)
}

// attempt is a device that runs on silence until it has shown that it takes samples.
type attempt struct {
	device Device
	feed   *feed
	since  time.Time
}

func (a *attempt) drop() {
	_ = a.device.Close() // it was never heard; nothing to be told
	a.feed.revoked.Store(true)
}

// try starts the first device that will, or gives nil.
func (p *Player) try() *attempt {
	for _, d := range p.devices {
		f := &feed{p: p}
		if p.start(d, f) == nil {
			return &attempt{device: d, feed: f, since: time.Now()}
		}
		f.revoked.Store(true)
	}
	return nil
}

func (p *Player) probe() error {
	if p.opts.Devices != nil {
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), openLimit)
	defer cancel()
	return probe(ctx, soundCards)
}

// start starts a device, for no longer than openLimit. One that opens later than that
// is closed again.
func (p *Player) start(d Device, f *feed) error {
	result := make(chan error)
	given := make(chan struct{})
	go func() {
		err := d.Start(f)
		select {
		case result <- err:
		case <-given:
			if err == nil {
				_ = d.Close() // nobody waits for it any more
			}
		}
	}()
	limit := time.NewTimer(openLimit)
	defer limit.Stop()
	quit := p.quit
	for {
		select {
		case err := <-result:
			return err
		case <-limit.C:
			close(given)
			return fmt.Errorf("not open after %v", openLimit)
		case <-quit:
			if f.pulled.Load() == 0 {
				close(given)
				return errQuit
			}
			// It plays already and only has to be let go in order.
			quit = nil
			limit.Reset(closeLimit)
		}
	}
}

// oneLine joins errors into one line.
func oneLine(errs []error) error {
	line := ""
	for _, err := range errs {
		if line != "" {
			line += "; "
		}
		for _, r := range err.Error() {
			if r == '\n' {
				line += "; "
				continue
			}
			line += string(r)
		}
	}
	return errors.New(line)
}

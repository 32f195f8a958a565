package runner

import (
	"context"
	"fmt"
	"runtime/debug"
	"time"
)

// Config is what a run is made of. State is from Start, or from Replay where a
// journal is gone on with. Every port may be nil: a run without a voice, a display or
// a log still works.
type Config struct {
	State   State
	Voice   Voice
	Display Display
	Log     Log
	// Events are what happens, in order. Closing it stops the run with the place kept,
	// and so does the end of the context, which is looked at first.
	Events <-chan Event
	// Tick is how often the shown times are brought up to date; zero is never.
	Tick time.Duration
	// Effect, when it is not nil, is told every effect once it has been carried out.
	Effect func(Effect)
	// Settled, when it is not nil, is told every event that was dealt with, once its
	// record is on the disk; only then is the next one taken. It is called from the
	// goroutine of Run, and must return soon.
	Settled func(State, Event)
}

// A Report is how a run ended and where.
type Report struct {
	How   Ending
	State State
}

// Panicked is the error of a run in which the program itself failed.
type Panicked struct {
	Value any
	Stack []byte
}

func (p *Panicked) Error() string { return fmt.Sprintf("fault, stop: %v", p.Value) }

// Limits of the loop.
const (
	// patience is how long the end of a run waits for the disk.
	patience = 3 * time.Second
	// mostWaiting is how many events wait while the disk is busy.
	mostWaiting = 256
)

// Run leads through the plan until it ends, the context ends or Events is closed. An
// accepted press is written before its cue begins; the disk is waited for beside the
// cue, and before the next event is taken. The error says why a run could not go on: a
// journal that cannot be written, or a *Panicked. In both cases the place is kept.
func Run(ctx context.Context, c Config) (Report, error) {
	if c.State.plan == nil {
		return Report{}, fmt.Errorf("no plan to run")
	}
	if c.State.phase == Done {
		return Report{State: c.State}, fmt.Errorf("this run is finished: start it again from the first step")
	}
	l := &loop{Config: c, opened: time.Now()}
	err := l.guarded(func() error { return l.run(ctx) })
	if err != nil {
		err = l.fail(err)
	}
	return Report{l.how, l.State}, err
}

type loop struct {
	Config
	opened  time.Time
	how     Ending
	waiting []Event    // taken while the disk was busy
	syncing chan error // nil when the disk is not busy
	settles Event      // what it is busy with
	ticks   <-chan time.Time
}

// guarded makes a panic an error.
func (l *loop) guarded(f func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &Panicked{v, debug.Stack()}
		}
	}()
	return f()
}

func (l *loop) run(ctx context.Context) error {
	if l.Tick > 0 {
		t := time.NewTicker(l.Tick)
		defer t.Stop()
		l.ticks = t.C
	}
	first := Event{Kind: Kind(Begin{})}
	if l.State.phase != Ready {
		first.Kind = Resume{}
	}
	if ctx.Err() != nil {
		return nil // stopped before it began: there is nothing to keep
	}
	for e := first; ; {
		if err := l.deal(e); err != nil {
			return err
		}
		if l.how != NotEnded {
			return l.wait()
		}
		var err error
		if e, err = l.next(ctx); err != nil {
			return err
		}
	}
}

// next is the event to deal with now. A stop goes before everything; nothing else is
// dealt with while the disk is busy.
func (l *loop) next(ctx context.Context) (Event, error) {
	stop := Event{Kind: Halt{}}
	for {
		if ctx.Err() != nil {
			return stop, nil
		}
		if l.syncing == nil && len(l.waiting) > 0 {
			e := l.waiting[0]
			l.waiting = l.waiting[1:]
			return e, nil
		}
		events := l.Events
		if len(l.waiting) >= mostWaiting {
			events = nil
		}
		select {
		case <-ctx.Done():
		case err := <-l.syncing:
			l.syncing = nil
			if err != nil {
				return Event{}, err
			}
			l.settled(l.settles)
		case e, open := <-events:
			if !open {
				return stop, nil
			}
			if _, stops := e.Kind.(Halt); stops {
				return e, nil
			}
			if l.syncing == nil {
				return e, nil
			}
			if _, press := e.Kind.(Advance); press && !e.Scripted && e.Guard == 0 {
				e.Guard, _ = l.State.Position() // it was meant for the step it was made at
			}
			l.waiting = append(l.waiting, e)
		case <-l.ticks:
			if l.syncing == nil {
				return Event{Kind: TimePassed{}}, nil
			}
		}
	}
}

// deal carries an event out: silence first, then the record, then the rest.
func (l *loop) deal(e Event) error {
	if e.At == 0 {
		e.At = time.Since(l.opened)
	}
	state, effects := Next(l.State, e)
	written := false
	for _, f := range effects {
		if _, ok := f.(Hush); ok {
			l.hush()
		}
	}
	for _, f := range effects {
		if r, ok := f.(Record); ok && l.Log != nil {
			if err := l.Log.Append(r); err != nil {
				return err
			}
			written = true
		}
	}
	l.State = state
	for _, f := range effects {
		l.perform(f)
	}
	if !written {
		l.settled(e)
		return nil
	}
	l.settles, l.syncing = e, make(chan error, 1)
	go func(log Log, done chan<- error) {
		done <- l.guarded(log.Sync)
	}(l.Log, l.syncing)
	return nil
}

func (l *loop) hush() {
	if l.Voice != nil {
		l.Voice.Hush()
	}
}

// perform carries out an effect; records and silence come before, in deal.
func (l *loop) perform(f Effect) {
	switch f := f.(type) {
	case Say:
		if l.Voice != nil {
			l.Voice.Say(f.Cue.Parts())
		}
	case Beep:
		if l.Voice != nil {
			l.Voice.Beep(f)
		}
	case Show:
		if l.Display != nil {
			l.Display.Show(f.Frame)
		}
	case Finish:
		l.how = f.How
	}
	if l.Effect != nil {
		l.Effect(f)
	}
}

func (l *loop) settled(e Event) {
	if l.Settled != nil {
		l.Settled(l.State, e)
	}
}

// wait brings what was written last to the disk, for a while.
func (l *loop) wait() error {
	if l.syncing == nil {
		return nil
	}
	late := time.NewTimer(patience)
	defer late.Stop()
	select {
	case err := <-l.syncing:
		l.syncing = nil
		if err == nil {
			l.settled(l.settles)
		}
		return err
	case <-late.C:
		return fmt.Errorf("the disk did not take the last record within %s: the place may be one step behind", patience)
	}
}

// fail says that the run cannot go on, keeps what can be kept, and gives the error
// back. Every port gets its chance, whatever the others do.
func (l *loop) fail(cause error) error {
	if l.how != NotEnded { // it had ended, and everybody was told
		return cause
	}
	e := Event{At: time.Since(l.opened), Kind: Fault{cause.Error()}}
	state, effects := Next(l.State, e)
	l.State, l.how = state, Failed
	_ = l.guarded(func() error { l.hush(); return nil })
	for _, f := range effects {
		if r, ok := f.(Record); ok && l.Log != nil {
			_ = l.guarded(func() error { return l.Log.Append(r) })
			_ = l.guarded(l.Log.Sync)
		}
	}
	for _, f := range effects {
		_ = l.guarded(func() error { l.perform(f); return nil })
	}
	return cause
}

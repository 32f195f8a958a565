package terminal

import (
	"errors"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/eiannone/keyboard"
)

// ErrNoTerminal says that there is no terminal to read keys from; ErrBackground
// that there is one, but another program has it.
var (
	ErrNoTerminal = errors.New("no terminal to read keys from: start it in a terminal, or send it events with --control -")
	ErrBackground = errors.New("running in the background, where no keys arrive: bring it to the foreground with fg")
)

const (
	closeLimit = 500 * time.Millisecond // the reader can hang when it is closed
	backPoll   = 200 * time.Millisecond // how often a background job looks whether it is in front
	room       = 64                     // keys waiting to be taken
	spare      = 16                     // of these, kept for keys that end the run
)

// Options are what Keys needs to know. The zero value is right without a screen.
type Options struct {
	// Screen is left before the program is suspended or the terminal is put
	// back, and entered again when it goes on. It may be nil.
	Screen *Screen

	table bool          // use the reader's own key tables instead of taking single bytes
	gap   time.Duration // within a sequence; 0 is sequenceGap
}

// Keys reads the keys of the terminal that controls the process. There can be one
// at a time. All of its methods may be called from any goroutine.
type Keys struct {
	opt    Options
	tty    *tty
	start  time.Time
	events chan Key
	quit   chan struct{}
	gone   chan struct{} // closed when the pump has ended
	once   sync.Once
	raw    atomic.Bool // the terminal is not as it was found

	// owned by the pump
	source <-chan keyboard.KeyEvent
	exact  bool
	asm    assembler
	burst  burst
	lost   bool // the terminal is gone
}

// OpenKeys puts the terminal into raw mode and starts to read keys. Keys typed
// before it returns are thrown away. Fails with ErrNoTerminal or ErrBackground.
func OpenKeys(opt Options) (*Keys, error) {
	t, err := openTTY()
	if err != nil {
		return nil, err
	}
	if opt.gap == 0 {
		opt.gap = sequenceGap
	}
	k := &Keys{
		asm: assembler{gap: opt.gap},
		opt: opt, tty: t, start: time.Now(),
		events: make(chan Key, room),
		quit:   make(chan struct{}),
		gone:   make(chan struct{}),
	}
	if err := k.attach(); err != nil {
		k.Restore()
		t.close()
		return nil, err
	}
	signals := make(chan os.Signal, 8)
	notify(signals)
	go k.pump(signals)
	return k, nil
}

// Events delivers the keys. It is closed by Close. Keys that nobody takes are
// dropped rather than kept: a press must not act long after the foot has left.
func (k *Keys) Events() <-chan Key { return k.events }

// Now is the time on the clock of Key.At.
func (k *Keys) Now() time.Duration { return time.Since(k.start) }

// Close stops reading and puts the terminal back. It returns within a second
// even if the reader hangs.
func (k *Keys) Close() {
	k.once.Do(func() { close(k.quit) })
	select {
	case <-k.gone:
	case <-time.After(2 * closeLimit):
	}
	k.Restore()
}

// Restore puts the terminal back as it was found and leaves the screen. It takes
// no locks that could be held by the failing code, can be called at any time, from
// any goroutine, and more than once.
func (k *Keys) Restore() {
	if k.opt.Screen != nil {
		k.opt.Screen.Leave()
	}
	if k.raw.CompareAndSwap(true, false) {
		k.tty.restore()
	}
}

// attach takes the terminal: raw mode, seven bits, an empty queue.
func (k *Keys) attach() error {
	if !k.tty.inFront() {
		return ErrBackground
	}
	name := os.Getenv("TERM")
	k.raw.Store(true)
	k.tty.flush()
	k.tty.prepare(name, k.opt.table)
	source, exact, err := listen(name, k.opt.table)
	if err != nil {
		return err
	}
	k.source, k.exact = source, exact
	k.tty.strip()
	k.tty.flush()
	return nil
}

// detach gives the terminal back to whoever had it. The reader can take a busy
// computer for a reader already closed, so it is asked until its channel is shut.
func (k *Keys) detach() {
	source, limit := k.source, time.After(closeLimit)
	k.source = nil
	for open := true; open; {
		asked := make(chan struct{})
		go func() {
			keyboard.Close()
			close(asked)
		}()
		for waiting := true; open && waiting; {
			select {
			case _, open = <-source: // what is still in the pipe is nobody's
			case <-asked:
				waiting = false
				open = stillOpen(source)
			case <-limit:
				open = false
			}
		}
	}
	k.Restore()
}

// stillOpen empties the channel and tells whether more can come.
func stillOpen(source <-chan keyboard.KeyEvent) bool {
	for {
		select {
		case _, ok := <-source:
			if !ok {
				return false
			}
		default:
			return true
		}
	}
}

// pump is the one goroutine that owns the reader.
func (k *Keys) pump(signals chan os.Signal) {
	defer close(k.gone)
	defer close(k.events)
	defer stopNotify(signals)
	defer k.tty.close()
	timer := time.NewTimer(time.Hour)
	defer timer.Stop()
	for {
		select {
		case e, ok := <-k.source:
			k.batch(e, ok, signals)
		case <-timer.C:
			k.drain(k.Now(), signals)
			k.settle(k.Now(), signals)
		case s := <-signals:
			k.signal(s, signals)
		case <-k.quit:
			if k.source != nil {
				k.detach()
			}
			return
		}
		timer.Reset(k.untilDue())
	}
}

// untilDue is how long nothing has to be done unless a key comes.
func (k *Keys) untilDue() time.Duration {
	wait := time.Hour
	for _, due := range []func() (time.Duration, bool){k.asm.due, k.burst.due} {
		if at, ok := due(); ok {
			wait = min(wait, at-k.Now())
		}
	}
	return max(wait, 0)
}

// batch takes one event of the reader and those that came with it: one read, one
// time.
func (k *Keys) batch(e keyboard.KeyEvent, ok bool, signals chan os.Signal) {
	at := k.Now()
	if !k.take(e, ok, at, signals) {
		return
	}
	k.drain(at, signals)
	k.settle(at, signals)
}

// drain takes what has already been read.
func (k *Keys) drain(at time.Duration, signals chan os.Signal) {
	for range room {
		select {
		case e, ok := <-k.source:
			if !k.take(e, ok, at, signals) {
				return
			}
		default:
			return
		}
	}
}

// take handles one event of the reader. It is false when there will be no more.
func (k *Keys) take(e keyboard.KeyEvent, ok bool, at time.Duration, signals chan os.Signal) bool {
	if !ok || e.Err != nil && e.Key != keyboard.KeyEsc {
		k.hangup()
		return false
	}
	var keys []Key
	switch {
	case e.Key == keyboard.KeyEsc && (e.Rune != 0 || e.Err != nil):
		keys = k.asm.swallowed(at)
	case k.exact && e.Key == escapeKey:
		keys = k.asm.add(0x1b, at)
	case e.Rune > 0x7f:
		keys = k.asm.whole(string(e.Rune), at)
		for i := range keys {
			if keys[i].Name == string(e.Rune) {
				keys[i].Rune = e.Rune
			}
		}
	case e.Rune != 0:
		keys = k.asm.add(byte(e.Rune), at)
	case e.Key <= 0x7f:
		keys = k.asm.add(byte(e.Key), at)
	default:
		name, known := tableNames[e.Key]
		if !known {
			name = "unknown"
		}
		keys = k.asm.whole(name, at)
	}
	k.pass(keys, signals)
	return k.source != nil
}

// settle lets out what has waited long enough.
func (k *Keys) settle(at time.Duration, signals chan os.Signal) {
	k.pass(k.asm.expire(at), signals)
	k.deliver(k.burst.expire(at), signals)
}

func (k *Keys) pass(keys []Key, signals chan os.Signal) {
	for _, key := range keys {
		if key.Name == "ctrl+c" { // stops at once, whatever it is in the midst of
			k.send(key)
			continue
		}
		k.deliver(k.burst.add(key), signals)
	}
}

func (k *Keys) deliver(keys []Key, signals chan os.Signal) {
	for _, key := range keys {
		if key.Name == "ctrl+z" && !key.Text && canSuspend() {
			k.suspend(signals)
			continue
		}
		k.send(key)
	}
}

// send hands a key over, or drops it if nobody has been taking any; a key that
// ends the run waits for its turn.
func (k *Keys) send(key Key) {
	if key.Ends() {
		select {
		case k.events <- key:
		case <-k.quit:
		}
		return
	}
	if len(k.events) < room-spare {
		k.events <- key // the pump is the only sender
	}
}

// hangup says once that the terminal is gone, and stops reading: the reader
// would report the same error without end.
func (k *Keys) hangup() {
	if k.lost {
		return
	}
	k.lost = true
	k.detach()
	k.send(Key{Name: "hangup", At: k.Now()})
}

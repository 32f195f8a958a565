package speaker

import (
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/gopxl/beep/v2"

	"turncue/sounds"
)

// hand is a device that pulls when the test says so.
type hand struct {
	name     string
	startErr error
	slow     time.Duration // how long Start takes
	mu       sync.Mutex
	r        io.Reader
	err      error
	starts   int
	closes   int
}

func (h *hand) Name() string { return h.name }

func (h *hand) Start(r io.Reader) error {
	if h.slow > 0 {
		<-time.After(h.slow)
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.starts++
	if h.startErr != nil {
		return h.startErr
	}
	h.r = r
	return nil
}

func (h *hand) Err() error {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.err
}

func (h *hand) Close() error {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closes++
	return nil
}

func (h *hand) counts() (starts, closes int) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.starts, h.closes
}

func (h *hand) fail(err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.err = err
}

// pull takes that much sound, and gives what the left ear hears.
func (h *hand) pull(t testing.TB, d time.Duration) []int16 {
	t.Helper()
	h.mu.Lock()
	r := h.r
	h.mu.Unlock()
	if r == nil {
		t.Fatalf("%s was not started", h.name)
	}
	b := make([]byte, sounds.Rate.N(d)*frameBytes)
	n, err := io.ReadFull(r, b)
	if err != nil && !errors.Is(err, io.EOF) {
		t.Fatalf("%s: %d of %d bytes: %v", h.name, n, len(b), err)
	}
	return leftEar(b[:n])
}

func leftEar(b []byte) []int16 {
	out := make([]int16, len(b)/frameBytes)
	for i := range out {
		out[i] = int16(uint16(b[frameBytes*i]) | uint16(b[frameBytes*i+1])<<8)
	}
	return out
}

// run pulls 10 ms every 10 ms until stop is closed and keeps what it heard.
func (h *hand) run(t testing.TB, stop <-chan struct{}) (heard func() []int16) {
	var mu sync.Mutex
	var all []int16
	go func() {
		tick := time.NewTicker(10 * time.Millisecond)
		defer tick.Stop()
		for {
			select {
			case <-stop:
				return
			case <-tick.C:
			}
			x := h.pull(t, 10*time.Millisecond)
			mu.Lock()
			all = append(all, x...)
			mu.Unlock()
		}
	}()
	return func() []int16 {
		mu.Lock()
		defer mu.Unlock()
		return slices.Clone(all)
	}
}

// listener keeps what a player tells.
type listener struct {
	mu    sync.Mutex
	lines []string
	bells int
}

func (l *listener) tell(s string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.lines = append(l.lines, s)
}

func (l *listener) bell() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.bells++
}

func (l *listener) heard() ([]string, int) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Clone(l.lines), l.bells
}

// open opens a player on devices and waits until it is known whether they work.
func open(t testing.TB, devices ...Device) (*Player, *listener) {
	t.Helper()
	l := &listener{}
	p := Open(Options{Devices: devices, Tell: l.tell, Bell: l.bell})
	<-p.Settled()
	t.Cleanup(func() { p.Close() })
	return p, l
}

// wait lets time go by inside a synctest bubble.
func wait(d time.Duration) {
	<-time.After(d)
	synctest.Wait()
}

// steady is a cue of one value, so that what is heard can be told apart.
func steady(v int16, d time.Duration) beep.Streamer {
	left := sounds.Rate.N(d)
	return beep.StreamerFunc(func(out [][2]float64) (int, bool) {
		n := min(left, len(out))
		for i := range n {
			x := float64(v) / 32768
			out[i] = [2]float64{x, x}
		}
		left -= n
		return n, n > 0
	})
}

func count(x []int16, v int16) int {
	n := 0
	for _, y := range x {
		if y == v {
			n++
		}
	}
	return n
}

func inMixer(p *Player) int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.mixer.Len()
}

const ms = time.Millisecond

func TestWhatIsPlayedIsHeard(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, _ := open(t, d)
		clip, err := sounds.Default().Render([]string{"pass", "7 of 9"})
		if err != nil {
			t.Fatal(err)
		}
		p.Play(clip.Streamer())
		if !p.Playing() || p.Device() != "hand" {
			t.Error("not playing through hand")
		}
		heard := d.pull(t, clip.Duration()+100*ms)
		want := clip.Samples()
		for i, v := range heard {
			w := 0.0
			if i < len(want) {
				w = want[i] * 32768
			}
			if float64(v) != w {
				t.Fatalf("sample %d is %d, want %g", i, v, w)
			}
		}
		if p.Playing() {
			t.Error("still playing after the last sample")
		}
	})
}

func TestHushWithinOneBuffer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, _ := open(t, d)
		p.Play(steady(1000, time.Second))
		p.Beep(sounds.Done)
		d.pull(t, 100*ms)
		p.Hush()
		if p.Playing() {
			t.Error("playing after Hush")
		}
		heard := d.pull(t, 20*ms)
		for i, v := range heard {
			if i >= sounds.Rate.N(fadeTime) && v != 0 {
				t.Fatalf("sample %d after Hush is %d", i, v)
			}
		}
		for i := 1; i < len(heard); i++ {
			if step := math.Abs(float64(heard[i]) - float64(heard[i-1])); step > 8000 {
				t.Fatalf("step of %g while fading: a click", step)
			}
		}
		p.Hush() // of nothing
	})
}

func TestNewestCueWins(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, _ := open(t, d)
		p.Play(steady(1000, time.Second))
		d.pull(t, 50*ms)
		for v := int16(2000); v <= 9000; v += 1000 {
			p.Play(steady(v, 200*ms))
		}
		heard := d.pull(t, 400*ms)
		fade := sounds.Rate.N(fadeTime)
		if n := count(heard[fade:], 9000); n != sounds.Rate.N(200*ms)-fade {
			t.Errorf("%d samples of the newest cue", n)
		}
		for v := int16(1000); v < 9000; v += 1000 {
			if n := count(heard[fade:], v); n > 0 {
				t.Errorf("%d samples of an older cue are heard", n)
			}
		}
	})
}

func TestWordsFollowTheBeep(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, _ := open(t, d)
		p.Play(steady(1000, time.Second))
		d.pull(t, 20*ms)
		p.Beep(sounds.Advance)
		p.Play(steady(2000, 100*ms))
		beepLen := sounds.Advance.Clip().Len()
		heard := d.pull(t, 400*ms)
		first, last := -1, len(heard)-1
		for i := range heard { // a beep also passes 2000, for a sample or two
			if first < 0 && i+100 < len(heard) && count(heard[i:i+100], 2000) == 100 {
				first = i
			}
		}
		for last > 0 && (heard[last] != 2000 || heard[last-1] != 2000) {
			last--
		}
		// The beep's end is seen at the end of a block of 512.
		if gap := first - beepLen; gap < sounds.Rate.N(beepGap) || gap > sounds.Rate.N(beepGap)+512 {
			t.Errorf("the words begin %d samples after the beep", gap)
		}
		if last-first+1 != sounds.Rate.N(100*ms) {
			t.Errorf("%d samples of the words are heard", last-first+1)
		}
	})
}

// A beep alone, such as that for a key refused, does not take away an instruction that
// is still good.
func TestBeepGoesOverWords(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, _ := open(t, d)
		p.Play(steady(1000, time.Second))
		d.pull(t, 100*ms)
		p.Beep(sounds.Refused)
		p.Beep(sounds.Refused)
		under := d.pull(t, sounds.Refused.Clip().Duration())
		loudest := int16(0)
		sum := 0.0
		for _, v := range under {
			loudest = max(loudest, v)
			sum += float64(v)
		}
		if mean := sum / float64(len(under)); loudest < 10000 || mean < 300 || mean > 500 {
			t.Errorf("under the beep (peak %d) the words are at %.0f, want about 350", loudest, mean)
		}
		d.pull(t, 50*ms)
		if after := d.pull(t, 50*ms); count(after, 1000) != len(after) {
			t.Error("the words are not back at their level")
		}
	})
}

func TestThousandCuesWithoutALeak(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, _ := open(t, d)
		before := runtime.NumGoroutine()
		for i := range 1000 {
			p.Play(steady(int16(i), time.Second))
			p.Beep(sounds.Advance)
			if i%10 == 9 {
				d.pull(t, ms)
			}
			if i%7 == 6 {
				p.Hush()
			}
		}
		if n := inMixer(p); n > 4 {
			t.Errorf("%d sounds in the mixer", n)
		}
		if after := runtime.NumGoroutine(); after > before {
			t.Errorf("%d goroutines, %d before", after, before)
		}
	})
}

// Row C161 of the cases: a cue of 300 ms every 300 ms for a minute.
func TestCueEvery300msFor60s(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, l := open(t, d)
		stop := make(chan struct{})
		heard := d.run(t, stop)
		for range 200 {
			p.Play(steady(500, 300*ms))
			wait(300 * ms)
		}
		close(stop)
		synctest.Wait()
		if n := count(heard(), 500); n < sounds.Rate.N(59*time.Second) {
			t.Errorf("%v of a minute was heard", sounds.Rate.D(n))
		}
		if lines, bells := l.heard(); len(lines) != 0 || bells != 0 {
			t.Errorf("told %q, %d bells", lines, bells)
		}
	})
}

// Row C159: ten presses 300 ms apart with cues of 600 ms; the last is heard whole.
func TestTenPressesLastCueComplete(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, _ := open(t, d)
		stop := make(chan struct{})
		defer close(stop)
		heard := d.run(t, stop)
		for i := range 10 {
			p.Play(steady(int16(100*(i+1)), 600*ms))
			wait(300 * ms)
		}
		if err := p.WaitQuiet(t.Context()); err != nil {
			t.Fatal(err)
		}
		fade := sounds.Rate.N(fadeTime)
		if n := count(heard(), 1000); n < sounds.Rate.N(600*ms)-fade {
			t.Errorf("%d samples of the last cue", n)
		}
	})
}

// Row C155: a cue of 60 ms and quit at once.
func TestShortCueThenCloseIsHeardWhole(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, slow := range []time.Duration{0, 100 * ms} {
			d := &hand{name: "hand", slow: slow}
			p := Open(Options{Devices: []Device{d}})
			stop := make(chan struct{})
			p.Play(steady(700, 60*ms))
			go func() { // pulls as soon as the device runs
				<-p.Settled()
				<-stop
			}()
			var heard func() []int16
			begun := make(chan struct{})
			go func() {
				<-p.Settled()
				heard = d.run(t, stop)
				close(begun)
			}()
			start := time.Now()
			p.Close()
			if took := time.Since(start); took > drainLimit {
				t.Errorf("Close took %v", took)
			}
			<-begun
			if n := count(heard(), 700); n != sounds.Rate.N(60*ms) {
				t.Errorf("start %v: %d of %d samples reached the device", slow, n, sounds.Rate.N(60*ms))
			}
			if _, closes := d.counts(); closes != 1 {
				t.Errorf("device closed %d times", closes)
			}
			close(stop)
			synctest.Wait()
		}
	})
}

func TestCloseCutsALongCue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hand"}
		p, l := open(t, d)
		stop := make(chan struct{})
		heard := d.run(t, stop)
		p.Play(steady(700, 10*time.Second))
		start := time.Now()
		p.Close()
		if took := time.Since(start); took != drainLimit {
			t.Errorf("Close took %v", took)
		}
		close(stop)
		synctest.Wait()
		if n := count(heard(), 700); n < sounds.Rate.N(250*ms) || n > sounds.Rate.N(drainLimit) {
			t.Errorf("%v of the long cue was heard", sounds.Rate.D(n))
		}
		p.Close() // again
		p.Play(steady(800, ms))
		p.Beep(sounds.Advance)
		p.Hush()
		synctest.Wait()
		if lines, bells := l.heard(); p.Playing() || len(lines) != 0 || bells != 0 {
			t.Errorf("after Close: told %q, %d bells", lines, bells)
		}
	})
}

// Row C154: a sink that takes nothing holds nobody up.
func TestSinkThatNeverPulls(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "deaf"}
		p, l := open(t, d)
		start := time.Now()
		for range 100 {
			p.Play(steady(700, time.Second))
			p.Beep(sounds.Advance)
			p.Playing()
		}
		if took := time.Since(start); took != 0 {
			t.Errorf("playing took %v", took)
		}
		wait(2 * time.Second)
		if lines, _ := l.heard(); len(lines) != 0 {
			t.Errorf("told %q before the time", lines)
		}
		wait(time.Second)
		if p.Playing() || p.Device() != "" {
			t.Error("a cue is kept for later although sound is lost")
		}
		for range 20 {
			p.Play(steady(700, time.Second))
			wait(100 * ms)
		}
		lines, bells := l.heard()
		if len(lines) != 1 || lines[0] != "sound lost: deaf takes no more samples; going on with screen and terminal bell" {
			t.Errorf("told %q", lines)
		}
		// One for the cue that was dropped; then 2 s with a bell every 300 ms, the
		// first cue after each quarter of a second.
		if bells < 6 || bells > 9 {
			t.Errorf("%d bells in 2 s, want at most four a second", bells)
		}
		start = time.Now()
		p.Close()
		if took := time.Since(start); took > drainLimit {
			t.Errorf("Close took %v", took)
		}
	})
}

func TestLostAndBackThroughAnotherDevice(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		first, second := &hand{name: "first"}, &hand{name: "second"}
		p, l := open(t, first, second)
		first.pull(t, 10*ms)
		first.startErr = errors.New("only once")
		p.Play(steady(700, 10*time.Second))
		first.fail(errors.New("server gone"))
		wait(400 * ms)
		if lines, bells := l.heard(); len(lines) != 1 || bells != 1 ||
			lines[0] != "sound lost: server gone; going on with screen and terminal bell" {
			t.Fatalf("told %q, %d bells", lines, bells)
		}
		if starts, _ := second.counts(); starts != 0 {
			t.Error("the second device was tried at once")
		}
		wait(retryFirst)
		if starts, _ := second.counts(); starts != 1 {
			t.Fatalf("second device started %d times", starts)
		}
		// It counts only once it takes samples, and until then plays nothing.
		p.Play(steady(800, 10*time.Second))
		if lines, _ := l.heard(); len(lines) != 1 || p.Playing() {
			t.Errorf("told %q before any sample was taken", lines)
		}
		if heard := second.pull(t, provenAfter); count(heard, 0) != len(heard) {
			t.Error("a stale cue came out of the new device")
		}
		wait(watchEvery)
		lines, _ := l.heard()
		if len(lines) != 2 || lines[1] != "sound is back through second" || p.Device() != "second" {
			t.Fatalf("told %q", lines)
		}
		p.Play(steady(900, 100*ms))
		if heard := second.pull(t, 200*ms); count(heard, 900) != sounds.Rate.N(100*ms) {
			t.Error("the new cue is not heard whole")
		}
		if heard := first.pull(t, 10*ms); len(heard) != 0 {
			t.Error("the dead device still gets samples")
		}
		if _, closes := first.counts(); closes != 1 {
			t.Errorf("the dead device was closed %d times", closes)
		}
	})
}

// A sink that was suspended and takes up again is the same device, not a new one.
func TestSlowDeviceComesBackByItself(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "sleeper"}
		p, l := open(t, d)
		d.pull(t, 10*ms)
		wait(2 * time.Second) // a block of two seconds is no loss
		d.pull(t, 10*ms)
		wait(2 * time.Second)
		if lines, _ := l.heard(); len(lines) != 0 {
			t.Fatalf("told %q", lines)
		}
		d.mu.Lock()
		d.startErr = errors.New("only once")
		d.mu.Unlock()
		wait(20 * time.Second)
		p.Play(steady(700, time.Second))
		d.pull(t, 10*ms)
		wait(watchEvery)
		lines, bells := l.heard()
		want := []string{"sound lost: sleeper takes no more samples; going on with screen and terminal bell", "sound is back through sleeper"}
		if !slices.Equal(lines, want) || bells != 1 {
			t.Errorf("told %q, %d bells", lines, bells)
		}
		if heard := d.pull(t, 100*ms); count(heard, 0) != len(heard) {
			t.Error("a stale cue is heard")
		}
	})
}

func TestRetriesGrowRarer(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "broken", startErr: errors.New("line one\nline two")}
		p, l := open(t, d)
		p.Play(steady(700, time.Second))
		wait(10 * time.Minute)
		lines, bells := l.heard()
		if len(lines) != 1 || lines[0] != "no sound: broken: line one; line two; going on with screen and terminal bell" || bells != 1 {
			t.Errorf("told %q, %d bells", lines, bells)
		}
		if starts, _ := d.counts(); starts < 15 || starts > 30 {
			t.Errorf("%d attempts in ten minutes", starts)
		}
		d.mu.Lock()
		d.startErr = nil
		d.mu.Unlock()
		for before, _ := d.counts(); ; {
			wait(watchEvery)
			if now, _ := d.counts(); now > before {
				break
			}
		}
		d.pull(t, provenAfter)
		wait(watchEvery)
		if lines, _ := l.heard(); len(lines) != 2 || lines[1] != "sound is back through broken" {
			t.Errorf("told %q", lines)
		}
	})
}

func TestSecondDeviceWhenTheFirstFails(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		first, second := &hand{name: "first", startErr: errors.New("no")}, &hand{name: "second"}
		p, l := open(t, first, second)
		p.Play(steady(700, 100*ms))
		if n := count(second.pull(t, 200*ms), 700); n != sounds.Rate.N(100*ms) {
			t.Errorf("%d samples heard", n)
		}
		if lines, _ := l.heard(); len(lines) != 0 || p.Device() != "second" {
			t.Errorf("told %q", lines)
		}
	})
}

func TestDeviceThatHangsWhileOpening(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := &hand{name: "hanging", slow: time.Minute}
		l := &listener{}
		p := Open(Options{Devices: []Device{d}, Tell: l.tell, Bell: l.bell})
		for i := range 40 { // cues during the opening are not heard late
			p.Play(steady(int16(i), time.Second))
			wait(100 * ms)
		}
		if n := inMixer(p); n > 4 {
			t.Errorf("%d sounds wait in the mixer", n)
		}
		wait(1200 * ms)
		lines, bells := l.heard()
		if len(lines) != 1 || lines[0] != "no sound: hanging: not open after 5s; going on with screen and terminal bell" || bells != 1 {
			t.Errorf("told %q, %d bells", lines, bells)
		}
		start := time.Now()
		p.Close()
		if took := time.Since(start); took > drainLimit {
			t.Errorf("Close took %v", took)
		}
		wait(3 * time.Minute)
		if starts, closes := d.counts(); starts != closes {
			t.Errorf("%d starts came too late, %d were closed again", starts, closes)
		}
	})
}

func TestNoSoundWanted(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := &listener{}
		p := Open(Options{Choice: None, Tell: l.tell, Bell: l.bell})
		<-p.Settled()
		p.Play(steady(700, time.Second))
		p.Beep(sounds.Advance)
		if err := p.WaitQuiet(t.Context()); err != nil || p.Playing() {
			t.Errorf("playing: %v", err)
		}
		p.Close()
		synctest.Wait()
		if lines, bells := l.heard(); len(lines) != 0 || bells != 1 {
			t.Errorf("told %q, %d bells; want a bell only", lines, bells)
		}
	})
}

// A listener that never returns must not hold up the voice.
func TestStuckListener(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		stuck := make(chan struct{})
		p := Open(Options{Devices: []Device{&hand{name: "x", startErr: errors.New("no")}}, Tell: func(string) { <-stuck }, Bell: func() {}})
		<-p.Settled()
		for range 100 {
			p.Play(steady(700, time.Second))
			wait(300 * ms)
		}
		p.Close()
		close(stuck)
	})
}

func TestEveryMethodAtOnce(t *testing.T) {
	d := &hand{name: "hand"}
	p, _ := open(t, d)
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			for j := range 200 {
				switch (i + j) % 5 {
				case 0:
					p.Play(steady(100, 5*ms))
				case 1:
					p.Beep(sounds.Advance)
				case 2:
					p.Hush()
				case 3:
					p.Playing()
				case 4:
					d.pull(t, ms)
				}
			}
		})
	}
	wg.Wait()
}

func TestChoiceText(t *testing.T) {
	for _, c := range []Choice{Auto, Pipe, None} {
		text, err := c.MarshalText()
		var back Choice = 99
		if err != nil || back.UnmarshalText(text) != nil || back != c {
			t.Errorf("%v reads back as %v (%v)", c, back, err)
		}
	}
	var c Choice
	if err := c.UnmarshalText([]byte("loud")); err == nil || !strings.Contains(err.Error(), "auto, pipe or none") {
		t.Errorf("error %v", err)
	}
	if len(None.devices()) != 0 || len(Pipe.devices()) != 1 || len(Auto.devices()) < 1 || Choice(9).String() != "choice(9)" {
		t.Error("wrong devices")
	}
}

// From the call of Play to the first sample that is not silent in what a device takes
// that pulls 10 ms every 10 ms, as a player program does.
func BenchmarkPressToFirstSample(b *testing.B) {
	d := &hand{name: "hand"}
	p := Open(Options{Devices: []Device{d}})
	defer p.Close()
	<-p.Settled()
	clip, err := sounds.Default().Render([]string{"pass", "7 of 9"})
	if err != nil {
		b.Fatal(err)
	}
	press := make(chan struct{}, 1)
	first := make(chan time.Time)
	quit := make(chan struct{})
	defer close(quit)
	go func() {
		tick := time.NewTicker(10 * ms)
		defer tick.Stop()
		wanted := false
		for {
			select {
			case <-quit:
				return
			case <-press:
				wanted = true
				continue
			case <-tick.C:
			}
			x := d.pull(b, 10*ms)
			if wanted && count(x, 0) != len(x) {
				wanted = false
				first <- time.Now()
			}
		}
	}()
	var all []time.Duration
	r := rand.New(rand.NewPCG(1, 1))
	for b.Loop() {
		p.Hush()
		<-time.After(time.Duration(r.IntN(20_000)) * time.Microsecond) // anywhere between two pulls
		press <- struct{}{}
		start := time.Now()
		p.Beep(sounds.Advance)
		p.Play(clip.Streamer())
		all = append(all, (<-first).Sub(start))
	}
	slices.Sort(all)
	b.ReportMetric(float64(all[len(all)/2].Microseconds())/1000, "ms-median")
	b.ReportMetric(float64(all[len(all)-1].Microseconds())/1000, "ms-worst")
	b.Log(fmt.Sprint(len(all), " presses"))
}

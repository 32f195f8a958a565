//go:build unix

package main

import (
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// begun is an operator at the first step of the example.
func begun(t *testing.T) (o *operator, w *twin, env []string) {
	t.Helper()
	env = []string{"XDG_STATE_HOME=" + t.TempDir()}
	w = newTwin(t, example(t))
	o = seat(t, w, env, "run", "--audio", "none")
	w.does(runner.Begin{})
	o.sees()
	return o, w, env
}

// resumed is an operator at a step that a run was left at, the re-check done.
func resumed(t *testing.T, at func(*twin) bool) (o *operator, w *twin) {
	t.Helper()
	env := []string{"XDG_STATE_HOME=" + t.TempDir()}
	w = newTwin(t, example(t))
	leave(t, w, env, at)
	o = seat(t, w, env, "resume", "--audio", "none")
	w.does(runner.Resume{})
	o.sees()
	o.press("space")
	return o, w
}

// quit stops the run with control C; the place is kept.
func (o *operator) quit(env []string) {
	o.t.Helper()
	o.send("\x03")
	o.twin.does(runner.Halt{})
	o.ends(exitStopped)
	if env != nil {
		kept(o.t, o.twin, env)
	}
}

// stalls tells whether this computer stood still for longer than the default filter
// allows for between two keys, while f ran: then a key that is held did not come as one.
func stalls(f func()) bool {
	const most = 100 * time.Millisecond
	over, worst := make(chan struct{}), make(chan time.Duration)
	go func() {
		tick := time.NewTicker(5 * time.Millisecond)
		defer tick.Stop()
		longest, last := time.Duration(0), time.Now()
		for {
			select {
			case <-tick.C:
				now := time.Now()
				longest, last = max(longest, now.Sub(last)), now
			case <-over:
				worst <- max(longest, time.Since(last))
				return
			}
		}
	}()
	f()
	close(over)
	return <-worst > most
}

// A foot left on the pedal is one press: a key that repeats 40 times, 33 ms apart after
// half a second, moves on by one step.
func TestHeldKeyAdvancesOnce(t *testing.T) {
	t.Parallel()
	o, w, env := begun(t)
	hold := func() {
		start := time.Now()
		o.send(" ")
		for i := range 39 {
			o.pause(start.Add(500*time.Millisecond + time.Duration(i)*33*time.Millisecond))
			o.send(" ")
		}
	}
	for try := 1; stalls(hold); try++ {
		if try == 10 {
			t.Fatal("this computer stood still in ten of ten tries: nothing can be said")
		}
		t.Logf("try %d: the computer stood still meanwhile; once more", try)
		o.quit(nil)
		o, w, env = begun(t)
	}
	w.does(runner.Advance{})
	// A key of another name is settled after all that came before it.
	o.pause(time.Now().Add(apart))
	o.send("p")
	w.does(runner.Pause{})
	o.sees()
	if n, _ := w.state.Position(); n != 2 {
		t.Fatalf("the twin is at step %d", n)
	}
	o.quit(env)
}

// A byte that no keyboard sends does not make the program deaf. In seven bits it is a
// backspace, which at most goes back a step.
func TestBadByteDoesNotDeafen(t *testing.T) {
	t.Parallel()
	o, _, env := begun(t)
	o.does("bad", runner.Back{}) // there is no step before the first
	o.press("b")
	o.press("space")
	o.does("bad", runner.Back{})
	o.press("b")
	o.press("b")
	o.quit(env)
}

// ignored is what is said of keys that came faster than a hand types.
const ignored = "a burst of keys was ignored"

// What is pasted, and what a device types that is no figure with enter, does nothing.
func TestPasteDoesNothing(t *testing.T) {
	t.Parallel()
	o, _, env := begun(t)
	for _, text := range []string{
		"\x1b[200~b b b\rnext\r\x1b[201~", // marked by the terminal
		"bench b b\r",                     // not marked
		"16.28\r",                         // a measuring tool where nothing is measured
		"https://b.b/ \r",
	} {
		o.send(text)
		o.seesWith("", ignored)
		o.last = time.Now()
		o.does("r", runner.Again{}) // takes the hint away
	}
	if n, _ := o.twin.state.Position(); n != 1 {
		t.Fatalf("the twin is at step %d", n)
	}
	o.press("space")
	o.quit(env)
}

// A measuring tool types its figure and enter in one burst: a reading where a size is
// wanted.
func TestMeasuringToolTypes(t *testing.T) {
	t.Parallel()
	o, w := resumed(t, func(w *twin) bool {
		m := w.step().Measure
		return m != nil && m.What == sequence.MeasureDiameter
	})
	was := w.step().N
	for _, c := range []struct{ text, notice string }{
		{"hello\r", `"hello" is no length: write one such as 12.5 mm, 7/16 in or 375 thou`},
		{"\x1b[200~16.28\r\x1b[201~", ignored}, // pasted
		{"16.28", ignored},                     // without enter
		{"16.28 and so on and so on\r", ignored},
	} {
		o.send(c.text)
		o.seesWith("", c.notice)
		o.pause(time.Now().Add(apart))
	}
	figure := w.reading().Trimmed(calc.Millimetre, 3) + "\r"
	o.send(figure)
	w.does(runner.Reading{Value: w.reading()})
	o.sees()
	if now := w.step().N; now != was+1 {
		t.Fatalf("step %d after the reading at %d", now, was)
	}
	o.pause(time.Now().Add(apart))
	o.send(figure)
	o.seesWith("", ignored)
	o.quit(nil)
}

// However a run is asked to end, the terminal is as it was found and the place is kept.
func TestAskedToEnd(t *testing.T) {
	for name, ask := range map[string]func(*operator){
		"control C": func(o *operator) { o.send("\x03") },
		"terminate": func(o *operator) { o.cmd.Process.Signal(syscall.SIGTERM) },
		"hangup":    func(o *operator) { o.cmd.Process.Signal(syscall.SIGHUP) },
		"interrupt": func(o *operator) { o.cmd.Process.Signal(syscall.SIGINT) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			o, w, env := begun(t)
			o.press("space")
			o.press("pgdn")
			o.send(" ") // too soon after the one before: no press
			ask(o)
			w.does(runner.Halt{})
			o.ends(exitStopped)
			o.says("turncue: stopped at step 3 of")
			kept(t, w, env)
			if n, _ := w.state.Position(); n != 3 {
				t.Errorf("kept at step %d", n)
			}
		})
	}
}

// A window that is closed ends the run; the place is kept.
func TestTerminalGone(t *testing.T) {
	t.Parallel()
	o, w, env := begun(t)
	o.press("space")
	o.hangUp()
	w.does(runner.Halt{})
	limit := time.NewTimer(longWait)
	defer limit.Stop()
	select {
	case <-o.exited:
	case <-limit.C:
		t.Fatal("goes on without its terminal")
	}
	kept(t, w, env)
}

// A change of the window's size in the middle shows the step again at the new size.
func TestResizeRedraws(t *testing.T) {
	t.Parallel()
	o, w, env := begun(t)
	o.press("space")
	for _, size := range [][2]int{{60, 20}, {200, 60}, {20, 8}, {100, 30}} {
		o.mu.Lock()
		o.emu.Resize(size[0], size[1])
		o.mu.Unlock()
		if err := pty.Setsize(o.master, &pty.Winsize{Cols: uint16(size[0]), Rows: uint16(size[1])}); err != nil {
			t.Fatal(err)
		}
		o.sees()
	}
	o.press("pgdn")
	if n, _ := w.state.Position(); n != 3 {
		t.Fatalf("the twin is at step %d", n)
	}
	o.quit(env)
}

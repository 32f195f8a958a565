package runner

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"turncue/calc"
)

// bench is every port at once, and keeps what was called in order.
type bench struct {
	mu     sync.Mutex
	calls  []string
	sync   func() error // nil succeeds at once
	append func(Record) error
	say    func()
	show   func()
}

func (b *bench) called(format string, args ...any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.calls = append(b.calls, fmt.Sprintf(format, args...))
}

func (b *bench) Say(parts []string) {
	b.called("say %s", strings.Join(parts, " "))
	if b.say != nil {
		b.say()
	}
}

func (b *bench) Beep(k Beep) { b.called("beep %s", string(k)) }
func (b *bench) Hush()       { b.called("hush") }

func (b *bench) Show(f Frame) {
	b.called("show %d", f.N)
	if b.show != nil {
		b.show()
	}
}

func (b *bench) Append(r Record) error {
	b.called("append %s", r.Event)
	if b.append != nil {
		return b.append(r)
	}
	return nil
}

func (b *bench) Sync() error {
	if b.sync != nil {
		if err := b.sync(); err != nil {
			b.called("sync failed")
			return err
		}
	}
	b.called("sync")
	return nil
}

// seen is what was called, once everything that runs has come to rest.
func (b *bench) seen() []string {
	synctest.Wait()
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.calls)
}

func (b *bench) has(call string) bool { return slices.Contains(b.seen(), call) }

func simplePart(t *testing.T) State {
	t.Helper()
	p := testPart{unit: calc.Millimetre, sections: []testSection{
		{name: "s1", nominal: 16 * calc.Millimetre, tol: 20 * calc.Micrometre, passes: 2}, {name: "s2", nominal: 20 * calc.Millimetre, tol: 20 * calc.Micrometre},
	}}
	s, err := p.start("")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// running is a run in a bubble of its own time.
type running struct {
	*bench
	events chan Event
	stop   context.CancelFunc
	report Report
	err    error
	done   chan struct{}
}

func runIn(t *testing.T, b *bench, s State, change func(*Config)) *running {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	r := &running{bench: b, events: make(chan Event, 64), stop: stop, done: make(chan struct{})}
	c := Config{State: s, Voice: b, Display: b, Log: b, Events: r.events}
	if change != nil {
		change(&c)
	}
	go func() {
		defer close(r.done)
		r.report, r.err = Run(ctx, c)
	}()
	synctest.Wait()
	return r
}

func (r *running) send(kinds ...Kind) {
	for _, k := range kinds {
		r.events <- Event{Kind: k}
	}
	synctest.Wait()
}

func (r *running) end() { r.stop(); <-r.done }

// order fails unless the calls came in this order, others between them.
func order(t *testing.T, calls []string, want ...string) {
	t.Helper()
	i := 0
	for _, c := range calls {
		if i < len(want) && c == want[i] {
			i++
		}
	}
	if i < len(want) {
		t.Errorf("%q did not come, or not in this order: %q\ncalls: %q", want[i], want, calls)
	}
}

// A press is written before its cue; the disk is waited for beside the cue and before the
// next press counts.
func TestWriteThenSayThenSync(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		slow := 80 * time.Millisecond
		b := &bench{sync: func() error { <-time.After(slow); return nil }}
		r := runIn(t, b, simplePart(t), nil)
		calls := b.seen()
		order(t, calls, "hush", "append begin", "beep advance", "say take the chuck key out", "show 1")
		if slices.Contains(calls, "sync") {
			t.Error("the cue waited for the disk")
		}
		r.send(Advance{})
		if b.has("append advance") {
			t.Error("a press was taken before the disk had the one before")
		}
		<-time.After(slow)
		order(t, b.seen(), "show 1", "sync", "append advance", "beep measure", "show 2")
		r.end()
		if r.report.How != Halted || r.err != nil {
			t.Errorf("ended %s, %v", r.report.How, r.err)
		}
		order(t, b.seen(), "append stop", "say stopped, your place is kept", "sync")
	})
}

// A stop goes before everything: silence at once, even while the disk hangs.
func TestStopFirst(t *testing.T) {
	for _, how := range []string{"context", "event", "closed"} {
		synctest.Test(t, func(t *testing.T) {
			b := &bench{sync: func() error { <-time.After(time.Second); return nil }}
			r := runIn(t, b, simplePart(t), nil)
			r.send(Advance{}, Advance{})
			before := len(b.seen())
			switch how {
			case "context":
				r.stop()
			case "event":
				r.send(Halt{})
			case "closed":
				close(r.events)
			}
			calls := b.seen()[before:]
			if len(calls) < 3 || calls[0] != "hush" || calls[1] != "append stop" {
				t.Errorf("%s: after the stop came %q", how, calls)
			}
			<-r.done
			if b.has("append advance") {
				t.Errorf("%s: a press was taken after the stop", how)
			}
			if n, _ := r.report.State.Position(); n != 1 || r.report.How != Halted {
				t.Errorf("%s: ended %s at step %d", how, r.report.How, n)
			}
			r.stop()
		})
	}
}

// Presses made while the disk is busy belong to the step that was shown then: only one of
// them counts.
// Lines of a script wait their turn.
func TestPressesWhileDiskIsBusy(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := &bench{sync: func() error { <-time.After(time.Second); return nil }}
		s := after(t, simplePart(t), Begin{}, Advance{}, Reading{Value: 10 * calc.Micrometre}, Advance{}, Reading{Value: 16200 * calc.Micrometre},
			Advance{}, Reading{Value: 16 * calc.Millimetre}, Advance{}, Reading{Value: 15 * calc.Millimetre})
		at(t, s, "s1/thread/pass1/set")
		r := runIn(t, b, s, nil)
		<-time.After(2 * time.Second)
		r.send(Advance{}) // the re-check
		<-time.After(2 * time.Second)
		r.send(Advance{}, Advance{}, Advance{}, Advance{}) // one at the first step, three at the next
		<-time.After(time.Minute)
		synctest.Wait()
		r.end()
		at(t, r.report.State, "s1/thread/pass2/set")
	})
	synctest.Test(t, func(t *testing.T) {
		b := &bench{sync: func() error { <-time.After(time.Second); return nil }}
		r := runIn(t, b, simplePart(t), nil)
		for _, line := range []string{"next", "reading 0.01mm @2", "next @3", "next @3", "reading 16.2mm", "next"} {
			e, _, err := ParseControl(line)
			if err != nil {
				t.Fatal(err)
			}
			r.events <- e
		}
		<-time.After(time.Minute)
		synctest.Wait()
		r.end()
		if id := r.report.State.Step().ID; id != "s1/size0" {
			t.Errorf("the script ended at %s, want s1/size0", id)
		}
	})
}

// More events than may wait: the loop stops taking them, and loses none.
func TestManyEventsWait(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := &bench{sync: func() error { <-time.After(time.Second); return nil }}
		r := runIn(t, b, simplePart(t), nil)
		const notes = 2*mostWaiting + 10
		go func() {
			for i := range notes {
				r.events <- Event{Scripted: true, Kind: Note{fmt.Sprint("note ", i)}}
			}
		}()
		<-time.After(time.Duration(notes+5) * time.Second)
		n := 0
		for _, c := range b.seen() {
			if c == "append note" {
				n++
			}
		}
		if n != notes {
			t.Errorf("%d of %d notes were kept", n, notes)
		}
		r.end()
	})
}

func TestTicksMoveNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := &bench{}
		var frames []Frame
		r := runIn(t, b, simplePart(t), func(c *Config) {
			c.Tick = time.Second
			c.Effect = func(f Effect) {
				if s, ok := f.(Show); ok {
					frames = append(frames, s.Frame)
				}
			}
		})
		before := len(b.seen())
		<-time.After(10*time.Minute + time.Millisecond)
		for _, c := range b.seen()[before:] {
			if c != "show 1" {
				t.Fatalf("time alone made a %q", c)
			}
		}
		r.end()
		if last := frames[len(frames)-2]; last.Elapsed != 10*time.Minute || last.OnStep != 10*time.Minute {
			t.Errorf("after ten minutes the frame shows %s, %s on the step", last.Elapsed, last.OnStep)
		}
	})
}

// A panic in any port, or in the planner, is said, kept and given back; the others still get
// their chance.
func TestPanics(t *testing.T) {
	boom := func() { panic("boom") }
	once := func() func() {
		done := false
		return func() {
			if !done {
				done = true
				boom()
			}
		}
	}
	for _, c := range []struct {
		name  string
		bench *bench
		want  []string
	}{
		{"voice", &bench{say: once()}, []string{"append fault", "sync", "beep fault", "say a fault in the program, stop the lathe", "show 1"}},
		{"voice for good", &bench{say: boom}, []string{"append fault", "sync", "beep fault", "show 1"}},
		{"display for good", &bench{show: boom}, []string{"append fault", "sync", "say a fault in the program, stop the lathe"}},
		{"log", &bench{append: func(Record) error { boom(); return nil }}, []string{"say a fault in the program, stop the lathe", "show 1"}},
		{"sync", &bench{sync: func() error { boom(); return nil }}, []string{"append fault", "say a fault in the program, stop the lathe"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := runIn(t, c.bench, simplePart(t), nil)
				<-r.done
				var p *Panicked
				if !errors.As(r.err, &p) || p.Value != "boom" || len(p.Stack) == 0 || r.report.How != Failed {
					t.Errorf("ended %s, %v", r.report.How, r.err)
				}
				calls := c.bench.seen()
				order(t, calls, append([]string{"hush"}, c.want...)...)
				r.stop()
			})
		})
	}
}

// The first, second, third ... call to the disk fails, until a whole run goes through: every
// failing run ends with one clear line, and nothing that was acknowledged is lost.
func TestNthDiskCallFails(t *testing.T) {
	full := errors.New("no space left on device")
	for at := 1; ; at++ {
		clean := false
		synctest.Test(t, func(t *testing.T) {
			calls := 0
			var kept []Record
			fail := func() error {
				if calls++; calls == at {
					return full
				}
				return nil
			}
			b := &bench{sync: fail}
			b.append = func(r Record) error {
				if err := fail(); err != nil {
					return err
				}
				r.N = len(kept) + 1
				kept = append(kept, r)
				return nil
			}
			acked := Event{}
			ackedAt := 0
			fresh := simplePart(t)
			r := runIn(t, b, fresh, func(c *Config) {
				c.Settled = func(s State, e Event) { acked = e; ackedAt, _ = s.Position() }
			})
			for _, k := range []Kind{
				Advance{}, Reading{Value: 10 * calc.Micrometre}, Advance{}, Reading{Value: 16200 * calc.Micrometre}, Advance{},
			} {
				select {
				case r.events <- Event{Kind: k}:
					synctest.Wait()
				case <-r.done:
				}
			}
			r.end()
			if clean = r.err == nil; clean {
				return
			}
			if !errors.Is(r.err, full) {
				t.Errorf("call %d: %v", at, r.err)
			}
			if r.report.How == Failed && !b.has("say a fault in the program, stop the lathe") {
				t.Errorf("call %d: the fault was not said", at)
			}
			if acked.Kind == nil {
				return
			}
			for len(kept) > 0 && (kept[len(kept)-1].Event == "fault" || kept[len(kept)-1].Event == "stop") {
				kept = kept[:len(kept)-1]
			}
			s, err := Replay(kept, fresh)
			if err != nil {
				t.Fatalf("call %d: %v", at, err)
			}
			if n, _ := s.Position(); n < ackedAt || n > ackedAt+1 {
				t.Errorf("call %d: step %d was acknowledged, the records lead to %d", at, ackedAt, n)
			}
		})
		if clean {
			if at < 12 {
				t.Errorf("a clean run when call %d should fail", at)
			}
			return
		}
		if t.Failed() || at > 100 {
			t.Fatalf("no clean run by call %d", at)
		}
	}
}

// The disk never comes back: the run still ends, and says what may be lost.
func TestDiskHangsAtTheEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		hang := make(chan struct{})
		b := &bench{sync: func() error { <-hang; return nil }}
		r := runIn(t, b, simplePart(t), nil)
		start := time.Now()
		r.stop()
		<-r.done
		if took := time.Since(start); took != patience || r.err == nil || !strings.Contains(r.err.Error(), "the place may be one step behind") {
			t.Errorf("after %s: %v", took, r.err)
		}
		close(hang)
	})
}

// A run with no voice, no display and no log goes from the first step to the last.
func TestRunWithNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		events := make(chan Event)
		var report Report
		var err error
		done := make(chan struct{})
		script := []Kind{
			Advance{}, Reading{Value: 10 * calc.Micrometre}, Advance{}, Reading{Value: 16200 * calc.Micrometre}, Advance{}, Reading{Value: 16 * calc.Millimetre},
			Advance{}, Reading{Value: 15 * calc.Millimetre}, Advance{}, Advance{}, Advance{}, Advance{}, Answer{"fits"}, Advance{},
			Advance{}, Reading{Value: 20200 * calc.Micrometre}, Advance{}, Reading{Value: 20 * calc.Millimetre}, Advance{},
		}
		go func() {
			defer close(done)
			report, err = Run(t.Context(), Config{State: simplePart(t), Events: events})
		}()
		for _, k := range script {
			events <- Event{Kind: k}
		}
		<-done
		if err != nil || report.How != Finished || report.State.Phase() != Done {
			t.Fatalf("ended %s at %s, %v", report.How, report.State.Frame(), err)
		}
		if _, err := Run(t.Context(), Config{State: report.State, Events: events}); err == nil {
			t.Error("a finished run was begun again")
		}
	})
}

func TestRunRefusals(t *testing.T) {
	if _, err := Run(t.Context(), Config{}); err == nil {
		t.Error("a run without a plan began")
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	b := &bench{}
	if r, err := Run(ctx, Config{State: simplePart(t), Voice: b, Display: b, Log: b}); err != nil || r.How != NotEnded || len(b.calls) > 0 {
		t.Errorf("stopped before it began: %v, %s, %q", err, r.How, b.calls)
	}
}

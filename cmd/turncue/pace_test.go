package main

import (
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
	"turncue/sounds"
	"turncue/sounds/speaker"
)

// Worked by hand: feed a turn times turns a second is the rate of the slide; the rate
// over the travel of a division is divisions a second.
func TestPaceByHand(t *testing.T) {
	metric := setup.Dial{Travel: 2 * calc.Millimetre, Divisions: 100}                  // 0.02 mm a line
	across := setup.Dial{Travel: 2 * calc.Millimetre, Divisions: 80, OnDiameter: true} // 0.025 mm a line, marked 0.05
	inch := setup.Dial{Travel: calc.Inch / 10, Divisions: 100}                         // a thou a line
	per := func(text string) calc.Lead {
		l, err := calc.ParseLead(text)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	for _, c := range []struct {
		name   string
		dial   setup.Dial
		travel calc.Length
		feed   calc.Lead
		rpm    int64
		want   string
		every  time.Duration
	}{
		// 0.05 x 2 a second = 0.1 mm a second = 5 lines a second
		{"metric", metric, 3 * calc.Millimetre, per("0.05 mm"), 120, "5 divisions of the cross-slide ring with each tick; about 0:30 in all", time.Second},
		// 0.04 x 5 = 0.2 mm a second = 8 lines a second; 5 are 0.625 s
		{"on diameter", across, 12 * calc.Millimetre, per("0.04 mm"), 300, "5 divisions of the cross-slide ring with each tick; about 1:00 in all", 625 * time.Millisecond},
		// 0.02 x 0.5 = 0.01 mm a second: half a line a second
		{"slow", metric, calc.Millimetre, per("0.02 mm"), 30, "1 division of the cross-slide ring with each tick; about 1:40 in all", 2 * time.Second},
		// 2 thou x 1 a second: 2 lines a second
		{"inch", inch, calc.Inch / 10, per("0.0508 mm"), 60, "2 divisions of the cross-slide ring with each tick; about 0:50 in all", time.Second},
	} {
		p, ok := newPace("cross-slide", c.dial, c.travel, c.feed, calc.Speed(c.rpm)*calc.RPM)
		if got := p.String(); !ok || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		if d := p.every - c.every; d < -time.Microsecond || d > time.Microsecond {
			t.Errorf("%s: a tick every %v, want %v", c.name, p.every, c.every)
		}
	}
	for name, ok := range map[string]bool{
		"spindle stands": second(newPace("", metric, calc.Millimetre, per("0.05 mm"), 0)),
		"too short":      second(newPace("", metric, calc.Millimetre/10, per("0.05 mm"), 120*calc.RPM)),
		"too slow":       second(newPace("", metric, calc.Millimetre, per("0.001 mm"), 30*calc.RPM)),
		"too fast":       second(newPace("", metric, 100*calc.Millimetre, per("2 mm"), 2000*calc.RPM)),
		"no feed":        second(newPace("", metric, calc.Millimetre, calc.Lead{}, 120*calc.RPM)),
	} {
		if ok {
			t.Errorf("%s: there is a pace", name)
		}
	}
}

func second(_ pace, ok bool) bool { return ok }

// The pace of every step of the example is the feed of its move; steps without metal
// fed by hand have none.
func TestPaceOfTheExample(t *testing.T) {
	w := example(t)
	n := 0
	for i := range w.plan.Steps {
		s := &w.plan.Steps[i]
		p, ok := paceOf(w.plan, w.lathe, s)
		fed := false
		for _, m := range s.Moves {
			switch m := m.(type) {
			case sequence.Plunge:
				fed = fed || m.Deeper() && !m.PerRev.IsZero()
			case sequence.Carriage:
				fed = fed || m.By == sequence.ByHandwheel && m.Cutting
			}
		}
		if ok && !fed {
			t.Errorf("%s has a pace and nothing is fed by hand", s.ID)
		}
		if !ok {
			continue
		}
		n++
		if p.every < tickLeast || p.every > tickMost || p.takes < 3*p.every {
			t.Errorf("%s: %+v", s.ID, p)
		}
		// every tick moves the slide by as much as the move's feed does in that time
		if ratio := float64(p.takes) / float64(s.Machine); p.ring == "cross-slide" && (ratio < 0.5 || ratio > 2) {
			t.Errorf("%s: %v at this pace, the plan says %v", s.ID, p.takes, s.Machine)
		}
	}
	if n == 0 {
		t.Error("no step of the example has a pace")
	}
	t.Logf("%d steps have a pace", n)
}

// Ticks come at once and then exactly apart, for ever, with silence between.
func TestTicksAreEven(t *testing.T) {
	every := 700 * time.Millisecond
	s, period := ticks(every), sounds.Rate.N(every)
	all := make([][2]float64, 10*period+1)
	for i := 0; i < len(all); {
		n, ok := s.Stream(all[i:min(len(all), i+997)])
		if !ok {
			t.Fatal("the ticks ended")
		}
		i += n
	}
	for i, v := range all {
		if at := i % period; at >= sounds.Rate.N(tickOn) && v[0] != 0 {
			t.Fatalf("sound at sample %d of a tick", at)
		}
		if math.Abs(v[0]) > tickPeak {
			t.Fatalf("%g at sample %d", v[0], i)
		}
		if i >= period && v != all[i-period] {
			t.Fatalf("sample %d differs from the tick before", i)
		}
	}
}

// tape is a device from which the test itself takes the sound.
type tape struct{ samples chan io.Reader }

func (d *tape) Name() string                  { return "tape" }
func (d *tape) Err() error                    { return nil }
func (d *tape) Start(samples io.Reader) error { d.samples <- samples; return nil }
func (d *tape) Close() error                  { return nil }

// loudIn tells how many samples of the next seconds are not silent.
func loudIn(t *testing.T, r io.Reader, d time.Duration) (loud int) {
	t.Helper()
	const frame = 4 // two of 16 bits
	b := make([]byte, frame*sounds.Rate.N(d))
	if _, err := io.ReadFull(r, b); err != nil {
		t.Fatal(err)
	}
	for ; len(b) > 0; b = b[frame:] {
		if int16(binary.LittleEndian.Uint16(b)) != 0 {
			loud++
		}
	}
	return loud
}

// mutter is a voice that speaks for a second.
type mutter struct{ player *speaker.Player }

func (m mutter) Say([]string)     { m.player.Play(sounds.Done.Clip().Streamer()) }
func (m mutter) Beep(runner.Beep) {}
func (m mutter) Hush()            { m.player.Hush() }

// The ticks begin when what was said has ended, go on past the expected time, and are
// silent at the next word, at a pause and when the run is hushed.
func TestTicksBesideARun(t *testing.T) {
	w := example(t)
	var step *sequence.Step
	for i := range w.plan.Steps {
		if _, ok := paceOf(w.plan, w.lathe, &w.plan.Steps[i]); ok {
			step = &w.plan.Steps[i]
			break
		}
	}
	d := &tape{make(chan io.Reader, 1)}
	player := speaker.Open(speaker.Options{Devices: []speaker.Device{d}})
	defer player.Close()
	r := <-d.samples
	<-player.Settled()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	p := newPacer(ctx, mutter{player}, player, w)
	var c runner.Config
	p.beside(&c)
	show := func(s *sequence.Step, phase runner.Phase) {
		c.Effect(runner.Show{Frame: runner.Frame{Plan: w.plan, Step: s, Phase: phase}})
	}
	begins := func() {
		t.Helper()
		limit := time.Now().Add(10 * time.Second)
		for loudIn(t, r, 5*time.Second) == 0 || !player.Playing() {
			if time.Now().After(limit) {
				t.Fatal("no ticks")
			}
		}
	}
	c.Voice.Say(nil)
	show(step, runner.Running)
	begins()
	pace, _ := paceOf(w.plan, w.lathe, step)
	each := sounds.Rate.N(tickOn)
	for range 3 { // the time passes, and is shown
		show(step, runner.Running)
	}
	span := 10 * pace.every
	if got := loudIn(t, r, span); got < 8*each || got > 11*each {
		t.Errorf("%d loud samples in ten ticks of %d", got, each)
	}
	loudIn(t, r, 2*pace.takes) // twice as long as it should take
	if loudIn(t, r, span) < 8*each {
		t.Error("the ticks end by themselves")
	}
	for name, end := range map[string]func(){
		"hush":       func() { c.Voice.Hush(); show(step, runner.Paused) },
		"a new step": func() { c.Voice.Say(nil); show(&w.plan.Steps[0], runner.Running) },
		"a re-check": func() { c.Voice.Say(nil); show(step, runner.Recheck) },
	} {
		c.Voice.Say(nil)
		show(step, runner.Running)
		begins()
		end()
		loudIn(t, r, 3*time.Second) // what is said
		if got := loudIn(t, r, span); got != 0 {
			t.Errorf("%s: %d samples are loud", name, got)
		}
	}
}

// The screen shows the pace and how long the step has been shown, never what is left.
func TestPaceIsShown(t *testing.T) {
	w := example(t)
	for i := range w.plan.Steps {
		s := &w.plan.Steps[i]
		f := runner.Frame{Plan: w.plan, Step: s, Phase: runner.Running, OnStep: 754 * time.Second}
		v := paced(terminal.View{Lines: []string{"Cut."}}, f, w, true)
		p, ok := paceOf(w.plan, w.lathe, s)
		if ok != (len(v.Lines) == 2) {
			t.Fatalf("%s: %q", s.ID, v.Lines)
		}
		if !ok {
			continue
		}
		if want := p.String() + " On this step 12:34."; v.Lines[1] != want {
			t.Errorf("%s: %q, want %q", s.ID, v.Lines[1], want)
		}
		f.Phase = runner.Paused
		if v := paced(terminal.View{}, f, w, true); len(v.Lines) > 0 {
			t.Errorf("paused: %q", v.Lines)
		}
	}
}

// A cut that a reading has added is fed at the pace of those planned at the start.
func TestPaceOfACutAddedLater(t *testing.T) {
	w := example(t)
	s, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan})
	if err != nil {
		t.Fatal(err)
	}
	s, _ = runner.Next(s, runner.Event{Kind: runner.Begin{}})
	for n := 0; s.Step().ID != "s1/shoulder/cut2"; n++ {
		var k runner.Kind = runner.Advance{}
		if st := s.Step(); st.Needs == sequence.NeedReading {
			k = runner.Reading{Value: st.Measure.Nominal}
			if st.ID == "s1/shoulder/size2" { // too short: it is cut again
				k = runner.Reading{Value: st.Measure.Min - 100*calc.Micrometre}
			}
		}
		if s, _ = runner.Next(s, runner.Event{Kind: k}); n > 200 {
			t.Fatalf("no second cut of the shoulder: at %s", s.Step().ID)
		}
	}
	if w.plan.Index("s1/shoulder/cut2") >= 0 {
		t.Fatal("the second cut is planned from the start")
	}
	cut1 := &s.Plan().Steps[s.Plan().Index("s1/shoulder/cut1")]
	first, ok := paceOf(s.Plan(), w.lathe, cut1)
	if !ok {
		t.Fatal("no pace of the first cut")
	}
	want := fmt.Sprintf("Even hand: %d divisions of the cross-slide ring", first.divisions)
	if v := paced(terminal.View{}, s.Frame(), w, false); len(v.Lines) != 1 || !strings.HasPrefix(v.Lines[0], want) {
		t.Errorf("shows %q, want %q", v.Lines, want)
	}
}

// A drill is fed by the wheel of the tailstock, so many divisions of its ring a tick.
func TestPaceOfADrill(t *testing.T) {
	w, err := load("../../testdata/jobs/bush.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for i := range w.plan.Steps {
		st := &w.plan.Steps[i]
		if p, ok := paceOf(w.plan, w.lathe, st); ok && p.ring == "tailstock" {
			told++
			drilled := st.Moves[len(st.Moves)-1].(sequence.Tailstock)
			// 5 mm a turn in 50 divisions: a division is 0.1 mm
			if depth := float64(drilled.To-drilled.From) / float64(calc.Millimetre) * 10 / float64(p.divisions) * p.every.Seconds(); math.Abs(depth-p.takes.Seconds()) > 0.1*depth {
				t.Errorf("%s: %d divisions every %v take %.1f s, not %v", st.ID, p.divisions, p.every, depth, p.takes)
			}
		}
	}
	if told < 2 {
		t.Errorf("%d drillings have a pace", told)
	}
}

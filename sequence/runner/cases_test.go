package runner

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// The cases are situations people met at the lathe, told by their numbers; the values
// are theirs.

// fixed is a state, begun, of a plan that no reading changes.
func fixed(t *testing.T, steps ...sequence.Step) State {
	t.Helper()
	p := &sequence.Plan{Part: "case", Lathe: "lathe", Unit: calc.Millimetre, Steps: steps}
	for i := range p.Steps {
		p.Steps[i].N = i + 1
		if p.Steps[i].ID == "" {
			p.Steps[i].ID = fmt.Sprintf("step%d", i+1)
		}
		if m := p.Steps[i].Measure; m != nil {
			p.Unit = m.Unit
		}
	}
	for i := range p.Steps {
		if len(p.Steps[i].Cue) == 0 {
			sequence.Compose(&p.Steps[i], p.Unit)
		}
	}
	s, err := Start(Setup{Plan: p})
	if err != nil {
		t.Fatal(err)
	}
	return after(t, s, Begin{})
}

func measuring(m sequence.Measure) sequence.Step {
	return sequence.Step{Section: "s1", Op: sequence.OpFinish, Needs: sequence.NeedReading, Measure: &m}
}

func pressed() sequence.Step {
	return sequence.Step{Op: sequence.OpEnd, Closing: sequence.Cue{sequence.WordClean}}
}

// after is the state after some events.
func after(t *testing.T, s State, kinds ...Kind) State {
	t.Helper()
	for _, k := range kinds {
		s, _ = Next(s, Event{At: s.screen.now + time.Second, Kind: k})
	}
	return s
}

func at(t *testing.T, s State, id string) {
	t.Helper()
	if got := s.Step().ID; got != id {
		t.Fatalf("at %s, want %s: %s", got, id, s.Frame())
	}
}

// shows checks what the last notice says.
func shows(t *testing.T, s State, texts ...string) {
	t.Helper()
	for _, text := range texts {
		if !strings.Contains(s.screen.notice, text) {
			t.Errorf("notice %q does not say %q", s.screen.notice, text)
		}
	}
}

func length(t *testing.T, text string) calc.Length {
	t.Helper()
	l, err := calc.ParseLength(text)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func reads(t *testing.T, texts ...string) Reading {
	t.Helper()
	var r Reading
	for i, text := range texts {
		if i == 0 {
			r.Value = length(t, text)
			continue
		}
		r.More = append(r.More, length(t, text))
	}
	return r
}

// A square inside thread from 3.5 to 5.0 mm in cuts of 0.04 mm: 19 passes, the last of
// 0.03 mm. After 11 are confirmed and the power fails, the twelfth is asked for again,
// at 0.48 mm.
func TestC058CountSurvivesRestart(t *testing.T) {
	var steps []sequence.Step
	for n := 1; n <= 19; n++ {
		depth := min(calc.Length(n)*40*calc.Micrometre, 750*calc.Micrometre)
		steps = append(steps, sequence.Step{
			Section: "s1", Op: sequence.OpThread, Phase: sequence.PhaseSet, Pass: n, Of: 19,
			Moves: []sequence.Move{sequence.Shift{Slide: sequence.Cross, Approach: sequence.In, Dial: &sequence.Dial{
				Reading: depth, Division: 10 * calc.Micrometre, Unit: calc.Millimetre,
			}}},
		})
	}
	s := fixed(t, append(steps, pressed())...)
	fresh, err := Start(*s.setup)
	if err != nil {
		t.Fatal(err)
	}
	var records []Record
	s = fresh
	for _, k := range append([]Kind{Begin{}}, repeat(Advance{}, 11)...) {
		next, effects := Next(s, Event{Kind: k})
		records, s = append(records, effects[0].(Record)), next
	}
	s, err = Replay(records, fresh)
	if err != nil {
		t.Fatal(err)
	}
	s = after(t, s, Resume{})
	if s.Phase() != Recheck || !strings.Contains(s.screen.prompt.Text(), "Check the lathe first") {
		t.Fatalf("resume opens with %q", s.screen.prompt.Text())
	}
	s = after(t, s, Advance{})
	said := s.screen.prompt.Text()
	for _, want := range []string{"Not confirmed", "12 of 19", "0.48"} {
		if !strings.Contains(said, want) {
			t.Errorf("first prompt after the re-check is %q, without %q", said, want)
		}
	}
	if !s.Frame().NotConfirmed {
		t.Error("the frame does not say that the step is not confirmed")
	}
}

func repeat(k Kind, n int) []Kind {
	all := make([]Kind, n)
	for i := range all {
		all[i] = k
	}
	return all
}

// A thread paused after pass 6 for twenty minutes: first the tool and the half-nuts, then
// pass 7.
func TestC060PauseThenRecheck(t *testing.T) {
	steps := []sequence.Step{{Op: sequence.OpThread, Moves: []sequence.Move{sequence.HalfNut{Closed: true}}}}
	for n := 1; n <= 9; n++ {
		steps = append(steps, sequence.Step{
			Op: sequence.OpThread, Phase: sequence.PhaseSet, Pass: n, Of: 9,
			Moves: []sequence.Move{sequence.Carriage{From: 0, To: -5 * calc.Millimetre, By: sequence.ByHalfNut}},
		})
	}
	s := after(t, fixed(t, steps...), repeat(Advance{}, 7)...)
	s = after(t, s, Pause{})
	s, _ = Next(s, Event{At: 20 * time.Minute, Kind: TimePassed{}})
	if s.Phase() != Paused {
		t.Fatalf("time ended the pause: %s", s.Phase())
	}
	s = after(t, s, Go{})
	said := s.screen.prompt.Text()
	for _, want := range []string{"Going on", "Is the tool clear of the work", "The half-nuts should be shut", "Carriage in front of the work"} {
		if !strings.Contains(said, want) {
			t.Errorf("the re-check is %q, without %q", said, want)
		}
	}
	if checks := strings.Join(s.Frame().Checks, "\n"); !strings.Contains(checks, "5 mm in front of the end") || !strings.Contains(checks, "half-nuts should be shut") {
		t.Errorf("the re-check shows %q", checks)
	}
	s = after(t, s, Advance{})
	if said := s.screen.prompt.Text(); !strings.Contains(said, "7 of 9") {
		t.Errorf("after the re-check comes %q, want pass 7", said)
	}
}

func between(t *testing.T, previous, want, band, division string) State {
	t.Helper()
	unit := calc.Millimetre
	if strings.HasSuffix(want, "in") {
		unit = calc.Inch
	}
	before, now := length(t, previous), length(t, want)
	b, d := length(t, band), length(t, division)
	measure := func(nominal calc.Length) sequence.Measure {
		return sequence.Measure{What: sequence.MeasureDiameter, Nominal: nominal, Min: nominal - b, Max: nominal + b, Unit: unit, Division: d}
	}
	s := fixed(t, measuring(measure(before)), measuring(measure(now)), pressed())
	s = after(t, s, Reading{Value: before})
	at(t, s, "step2")
	return s
}

// 2.500 in before, 2.496 in expected, 2.522 in read: one thimble turn off, it is 2.497.
func TestC121ThimbleTurn(t *testing.T) {
	s := after(t, between(t, "2.500 in", "2.496 in", "0.002 in", "0.0005 in"), reads(t, "2.522 in"))
	at(t, s, "step2")
	shows(t, s, "bigger than before (2.5 in)", "one thimble turn (0.025 in) off it would be 2.497 in")
	s = after(t, s, Advance{})
	at(t, s, "step2")
	s = after(t, s, reads(t, "2.522 in"))
	at(t, s, "step2") // bigger than before stays impossible, however often it is read
	at(t, after(t, s, reads(t, "2.4960 in")), "step3")
}

// Limits 2.317 to 2.319 in, 2.321 in read: over by 0.002 in, the pedal does not go on.
func TestC123OutsideLimitsBlocks(t *testing.T) {
	s := fixed(t, measuring(sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: length(t, "2.318 in"), Min: length(t, "2.317 in"), Max: length(t, "2.319 in"),
		Unit: calc.Inch, Final: true, Division: length(t, "0.0001 in"),
	}), pressed())
	s = after(t, s, reads(t, "2.321 in"))
	at(t, s, "step1")
	shows(t, s, "over size by 0.002 in")
	at(t, after(t, s, Advance{}, Advance{}), "step1")
}

// Eight threads per inch wanted, ten threads on the scratch pass measure 1.54 in: that is
// 6.5 threads per inch.
func TestC131WrongPitch(t *testing.T) {
	s := fixed(t, measuring(sequence.Measure{
		What: sequence.MeasureThreads, Threads: 10, Nominal: length(t, "1.25 in"), Min: length(t, "1.23 in"), Max: length(t, "1.27 in"),
		Unit: calc.Inch, Division: length(t, "0.02 in"),
	}), pressed())
	s, effects := Next(s, Event{Kind: reads(t, "1.54 in")})
	at(t, s, "step1")
	shows(t, s, "10 threads in 1.54 in are 6.5 tpi, wanted 8 tpi")
	if !strings.Contains(fmt.Sprint(effects), "Wrong pitch, check the gears") {
		t.Errorf("it is not said: %s", effects)
	}
	at(t, after(t, s, Advance{}, reads(t, "1.54 in")), "step1")
	at(t, after(t, s, reads(t, "1.25 in")), "step2")
}

// A tolerance of 0.001 in; 0.997, 1.001 and 0.999 in are read: they scatter by 0.004 in.
func TestC132ScatteredReadings(t *testing.T) {
	m := sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: length(t, "1.000 in"), Min: length(t, "0.9995 in"), Max: length(t, "1.0005 in"),
		Unit: calc.Inch, Final: true, Division: length(t, "0.0001 in"),
	}
	s := after(t, fixed(t, measuring(m), pressed()), reads(t, "0.997 in", "1.001 in", "0.999 in"))
	at(t, s, "step1")
	shows(t, s, "the readings scatter by 0.004 in", "the tolerance (0.001 in)")
	// The same, typed one after the other, and then a wished-for one.
	s = fixed(t, measuring(m), pressed())
	s = after(t, s, reads(t, "0.997 in"), reads(t, "1.001 in"), reads(t, "0.999 in"), reads(t, "1.000 in"))
	at(t, s, "step1")
	shows(t, s, "does not agree with 0.999 in")
	at(t, after(t, s, reads(t, "1.0001 in")), "step2")
}

// Two students read 0.751 and 0.749 in on 0.750 plus or minus 0.010: both inside, the
// difference is shown.
func TestC166DifferenceShown(t *testing.T) {
	s := fixed(t, measuring(sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: length(t, "0.750 in"), Min: length(t, "0.740 in"), Max: length(t, "0.760 in"),
		Unit: calc.Inch, Final: true, Division: length(t, "0.001 in"),
	}), pressed())
	s = after(t, s, reads(t, "0.751 in", "0.749 in"))
	at(t, s, "step2")
	shows(t, s, "0.002 in apart")
}

// A step that must be watched is not done by the learner's own key.
func TestC167LearnerCannotSign(t *testing.T) {
	s := fixed(t, sequence.Step{Needs: sequence.NeedSignOff, Closing: sequence.Cue{sequence.WordClean}}, pressed())
	s.setup.Teaching.Learner = "T1"
	at(t, after(t, s, Advance{}, SignOff{""}, SignOff{"t1"}), "step1")
	at(t, after(t, s, SignOff{"S1"}), "step2")
}

// Run-out of 0.01 mm is accepted, 0.1 mm is not.
func TestRunOut(t *testing.T) {
	s := fixed(t, measuring(sequence.Measure{What: sequence.MeasureRunOut, Max: 20 * calc.Micrometre, Unit: calc.Millimetre, Final: true}), pressed())
	at(t, after(t, s, reads(t, "0.01 mm")), "step2")
	at(t, after(t, s, reads(t, "0 mm")), "step2")
	s = after(t, s, reads(t, "0.1 mm"))
	at(t, s, "step1")
	shows(t, s, "run-out of 0.1 mm is more than 0.02 mm")
	at(t, after(t, s, Advance{}, reads(t, "0.1 mm")), "step1")
}

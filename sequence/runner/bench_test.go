package runner

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"
)

// BenchmarkNextPress is the rules alone, a press.
func BenchmarkNextPress(b *testing.B) {
	s, _, err := benchStates()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, effects := Next(s, Event{Kind: Advance{}}); len(effects) == 0 {
			b.Fatal("no effects")
		}
	}
}

// BenchmarkNextReading is the rules with the rest of the plan made again.
func BenchmarkNextReading(b *testing.B) {
	_, s, err := benchStates()
	if err != nil {
		b.Fatal(err)
	}
	k := willing(s, rand.New(rand.NewPCG(1, 1)))
	b.ReportAllocs()
	for b.Loop() {
		if _, effects := Next(s, Event{Kind: k}); len(effects) == 0 {
			b.Fatal("no effects")
		}
	}
}

// benchStates are states at a step that waits for a press, and at one that waits for a size.
func benchStates() (press, size State, err error) {
	part := randomPart(rand.New(rand.NewPCG(5, 5)))
	s, err := part.start("")
	if err != nil {
		return s, s, err
	}
	r := rand.New(rand.NewPCG(1, 1))
	s, _ = Next(s, Event{Kind: Begin{}})
	for s.Step().ID != "s1/between" {
		press = s
		s, _ = Next(s, Event{Kind: willing(s, r)})
	}
	return press, s, nil
}

// said measures when a cue begins.
type said struct{ at chan time.Time }

func (said) Beep(Beep)      {}
func (said) Hush()          {}
func (v said) Say([]string) { v.at <- time.Now() }

// BenchmarkPressToCue is from a press in the channel to the cue at the voice, with a journal
// on the disk; the time of the sync is beside it and not in it.
func BenchmarkPressToCue(b *testing.B) {
	part := testPart{}
	s, err := part.start("")
	if err != nil {
		b.Fatal(err)
	}
	j, err := OpenJournal(b.TempDir(), testHead())
	if err != nil {
		b.Fatal(err)
	}
	ctx, stop := context.WithCancel(b.Context())
	v := said{make(chan time.Time, 4)}
	events, settled, done := make(chan Event), make(chan struct{}, 1), make(chan error)
	go func() {
		_, err := Run(ctx, Config{State: s, Voice: v, Log: j, Events: events, Settled: func(State, Event) { settled <- struct{}{} }})
		done <- err
	}()
	<-v.at
	<-settled
	var total, worst time.Duration
	kinds := []Kind{Advance{}, Back{}}
	n := 0
	for b.Loop() {
		start := time.Now()
		events <- Event{Kind: kinds[n%2]}
		took := (<-v.at).Sub(start)
		<-settled
		total, worst = total+took, max(worst, took)
		n++
	}
	b.ReportMetric(float64(total.Microseconds())/float64(n), "µs/press")
	b.ReportMetric(float64(worst.Microseconds()), "µs-worst")
	stop()
	go func() {
		for range v.at {
			continue
		}
	}()
	<-settled
	if err := <-done; err != nil {
		b.Fatal(err)
	}
	if err := j.Close(); err != nil {
		b.Fatal(err)
	}
}

package main

import (
	"context"
	"errors"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"turncue/sounds"
)

// tapping sends a tap so long after each beat.
func tapping(taps chan<- time.Time, late time.Duration) {
	<-time.After(late)
	for range tapTimes {
		taps <- time.Now()
		<-time.After(tapEvery)
	}
}

// A person who hears everything 200 ms late taps along with the beeps and the marks.
func TestTapAlong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		taps := make(chan time.Time, 64)
		taps <- time.Now() // the key that started it does not count
		var marks []int
		along := func(late time.Duration) []time.Duration {
			done := make(chan []time.Duration)
			go func() {
				got, err := tapAlong(context.Background(), taps, func(i int) { marks = append(marks, i) })
				if err != nil {
					t.Error(err)
				}
				done <- got
			}()
			synctest.Wait()
			go tapping(taps, late)
			got := <-done
			<-time.After(2 * tapEvery)
			synctest.Wait()
			return got
		}
		heard := along(180 * time.Millisecond)
		marks = nil
		seen := along(-20*time.Millisecond + tapEvery)
		if len(marks) != tapTimes {
			t.Errorf("%d marks: %v", len(marks), marks)
		}
		if got := lateness(heard, seen); !strings.Contains(got, "The sound is 200 ms behind") {
			t.Errorf("%q from %v and %v", got, heard, seen)
		}
	})
}

func TestTapAlongStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	taps := tapsFrom(strings.NewReader("\x03"), cancel)
	_, err := tapAlong(ctx, taps, func(int) {})
	var e exit
	if !errors.As(err, &e) || e.code != exitStopped {
		t.Errorf("control C: %v", err)
	}
}

// The beeps to tap along with are one every 600 ms, to the sample.
func TestTapBeepsAreExact(t *testing.T) {
	t.Parallel()
	x := tapBeeps().Samples()
	one := sounds.Advance.Clip().Samples()
	step := sounds.Rate.N(tapEvery)
	if len(x) != tapTimes*step {
		t.Fatalf("%d samples", len(x))
	}
	for i := range tapTimes {
		for j, v := range one {
			if x[i*step+j] != v {
				t.Fatalf("beep %d differs at sample %d", i, j)
			}
		}
	}
}

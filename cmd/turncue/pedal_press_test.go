package main

import (
	"fmt"
	"testing"
	"time"

	"turncue/cmd/turncue/pedal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// Holding takes the press back: back if the press had moved on, and said again if it
// had not. The other keys, and a pedal without it, do nothing when held.
func TestHoldTakesThePressBack(t *testing.T) {
	one, two := &sequence.Step{ID: "one"}, &sequence.Step{ID: "two"}
	for _, c := range []struct {
		name     string
		takeBack bool
		key      string
		after    *sequence.Step // shown after the press
		want     string
	}{
		{"moved on", true, "b", two, "[advance back]"},
		{"moved nothing", true, "b", one, "[advance again]"},
		{"not wanted", false, "b", two, "[advance]"},
		{"back", true, "a", two, "[back]"},
		{"again", true, "c", one, "[again]"},
		{"a key for nothing", true, "x", one, "[]"},
	} {
		for _, profile := range []pedal.Profile{pedal.Safe(), pedal.Tuned(500*time.Millisecond, 0), pedal.Direct()} {
			s := defaultSettings()
			s.takeBack = c.takeBack
			p := newPresses(profile, s)
			got := []string{}
			step := one
			at := func(ms int, up bool) {
				if kind, _ := p.edge(pedal.Edge{Key: c.key, At: time.Duration(ms) * time.Millisecond, Up: up}, step); kind != nil {
					got = append(got, map[runner.Kind]string{runner.Advance{}: "advance", runner.Back{}: "back", runner.Again{}: "again"}[kind])
				}
				step = c.after
			}
			at(0, false)
			for ms := 500; ms < 2000; ms += 33 {
				at(ms, false)
			}
			at(2000, true)
			if fmt.Sprint(got) != c.want {
				t.Errorf("%s, %s: %v, want %s", c.name, profile.Name, got, c.want)
			}
		}
	}
}

// The second of two quick presses takes the first back where that is wanted and can be
// told; else it is a press.
func TestDoublePress(t *testing.T) {
	steps := []*sequence.Step{{ID: "one"}, {ID: "two"}}
	for _, c := range []struct {
		name    string
		double  bool
		profile pedal.Profile
		key     string
		moves   bool // the first press moves on
		want    string
	}{
		{"direct", true, pedal.Direct(), "b", true, "[advance back]"},
		{"moved nothing", true, pedal.Direct(), "b", false, "[advance again]"},
		{"tuned", true, pedal.Tuned(250*time.Millisecond, 0), "b", true, "[advance back]"},
		{"a long delay", true, pedal.Tuned(350*time.Millisecond, 0), "b", true, "[advance advance]"},
		{"not wanted", false, pedal.Direct(), "b", true, "[advance advance]"},
		{"back twice", true, pedal.Direct(), "a", true, "[back back]"},
	} {
		s := defaultSettings()
		s.double = c.double
		p := newPresses(c.profile, s)
		var got []string
		for i, ms := range []int{0, 450} {
			step := steps[0]
			if i > 0 && c.moves {
				step = steps[1]
			}
			at := time.Duration(ms) * time.Millisecond
			kind, _ := p.edge(pedal.Edge{Key: c.key, At: at}, step)
			p.edge(pedal.Edge{Key: c.key, At: at + 90*time.Millisecond, Up: true}, step)
			got = append(got, map[runner.Kind]string{runner.Advance{}: "advance", runner.Back{}: "back", runner.Again{}: "again"}[kind])
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s: %v, want %s", c.name, got, c.want)
		}
	}
}

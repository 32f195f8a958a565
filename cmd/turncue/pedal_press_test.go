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
			p := newPresses(profile, pedal.DefaultLayout(), c.takeBack)
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

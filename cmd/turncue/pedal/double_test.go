package pedal

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

func TestDouble(t *testing.T) {
	type e struct {
		at int
		up bool
	}
	tap := func(at int) []e { return []e{{at, false}, {at + 90, true}} }
	join := func(all ...[]e) (out []e) {
		for _, a := range all {
			out = append(out, a...)
		}
		return out
	}
	direct, _ := Direct().WithDouble()
	tuned, _ := Tuned(ms(250), 0).WithDouble()
	for _, c := range []struct {
		name    string
		profile Profile
		edges   []e
		want    string
	}{
		{"direct", direct, join(tap(0), tap(200)), "[press double]"},
		{"direct, 600 ms", direct, join(tap(0), tap(600)), "[press double]"},
		{"direct, later", direct, join(tap(0), tap(601)), "[press press]"},
		{"direct, three", direct, join(tap(0), tap(200), tap(400), tap(600)), "[press double press double]"},
		{"direct, bouncing", direct, []e{{0, false}, {3, true}, {8, false}, {100, true}, {105, false}, {110, true}, {300, false}}, "[press double]"},
		{"direct, after a hold", direct, []e{{0, false}, {600, true}, {640, false}}, "[press hold press]"},
		{"tuned", tuned, join(tap(0), tap(330)), "[press double]"},
		{"tuned, too fast", tuned, join(tap(0), tap(300)), "[press]"},
		{"tuned, later", tuned, join(tap(0), tap(700)), "[press press]"},
		{"not asked for", Direct(), join(tap(0), tap(200)), "[press press]"},
	} {
		f := NewFilter(c.profile)
		got := []Verdict{}
		for _, e := range c.edges {
			if v := f.Feed(Edge{Key: "b", At: ms(e.at), Up: e.up}); v != Swallowed {
				got = append(got, v)
			}
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s: %v, want %s", c.name, got, c.want)
		}
	}
	for _, p := range []Profile{Safe(), SafeSSH(), Quick(ms(250)), Tuned(ms(301), 0)} {
		if with, can := p.WithDouble(); can || with != p {
			t.Errorf("%s, delay %v, tells doubles", p.Name, p.Delay)
		}
	}
}

// Two taps 330 to 500 ms apart with a delay of 250 ms: 99.95 % were seen as a double on
// a clean switch, 78 % on a worn one, and none was ever counted as three. Telling doubles
// changes no other verdict. A tap is shorter than the delay: the spread of 0.2 keeps it so.
func TestDoublesOfTaps(t *testing.T) {
	for _, c := range []struct {
		worn  bool
		least float64
	}{{false, 99.9}, {true, 77}} {
		r := rand.New(rand.NewPCG(3, 6))
		taps := condition{pace: [2]time.Duration{ms(330), ms(500)}, down: ms(120), spread: 0.2, worn: c.worn, delay: console, repeat: repeats}
		const n = 20_000
		doubles := 0
		for range n {
			events, delay, repeat := taps.trace(r)
			plain := NewFilter(Tuned(delay, repeat))
			profile, ok := Tuned(delay, repeat).WithDouble()
			if !ok {
				t.Fatal("a delay of 250 ms cannot tell doubles")
			}
			f := NewFilter(profile)
			counted := 0
			for _, e := range events {
				v, was := f.Feed(e.edge), plain.Feed(e.edge)
				if v == Double {
					if e.press < 2 {
						doubles++
					}
					v = Press
				}
				if v != was {
					t.Fatalf("seed 3: %v where doubles are told apart, else %v", v, was)
				}
				if v == Press {
					counted++
				}
			}
			if counted > presses {
				t.Fatalf("seed 3: %d presses counted of %d", counted, presses)
			}
		}
		t.Logf("seed 3, worn %v: %.2f %% of doubles seen", c.worn, percent(doubles, n))
		if got := percent(doubles, n); got < c.least {
			t.Errorf("worn %v: %.2f %% of doubles seen, want %.2f %%", c.worn, got, c.least)
		}
	}
}

package pedal

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// feed gives edges of one key to a filter and returns how often each verdict fell.
func feed(f *Filter, key string, times ...time.Duration) map[Verdict]int {
	got := map[Verdict]int{}
	for _, at := range times {
		got[f.Feed(Edge{Key: key, At: at})]++
	}
	return got
}

// train is the edges of a key held for a time.
func train(start, delay, repeat, down time.Duration) []time.Duration {
	times := []time.Duration{start}
	for at := start + delay; at < start+down; at += repeat {
		times = append(times, at)
	}
	return times
}

func TestLeastGap(t *testing.T) {
	for _, c := range []struct {
		profile Profile
		limit   time.Duration // accepted after more than this
	}{
		{Safe(), ms(790)},
		{SafeSSH(), ms(990)},
		{Tuned(ms(250), 0), ms(310)},
		{Tuned(ms(500), ms(90)), ms(560)},
		{Quick(ms(500)), ms(230)},
	} {
		for _, gap := range []time.Duration{c.limit, c.limit + 1} {
			got := feed(NewFilter(c.profile), "b", ms(5), ms(5)+gap)[Press]
			want := 1
			if gap > c.limit {
				want = 2
			}
			if got != want {
				t.Errorf("%s: two edges %v apart: %d presses, want %d", c.profile.Name, gap, got, want)
			}
		}
	}
}

func TestFirstEdgeIsAPress(t *testing.T) {
	for _, p := range []Profile{Safe(), SafeSSH(), Tuned(ms(250), 0), Quick(ms(250)), Direct()} {
		if got := NewFilter(p).Feed(Edge{Key: "b"}); got != Press {
			t.Errorf("%s: first edge is %v, want a press", p.Name, got)
		}
	}
}

func TestHeldKeyCountsOnce(t *testing.T) {
	for _, p := range []Profile{Safe(), SafeSSH(), Tuned(ms(500), ms(33)), Quick(ms(500)), Direct()} {
		f := NewFilter(p)
		got := feed(f, "space", train(0, ms(500), ms(33), 20*time.Second)...)
		if got[Press] != 1 || got[Hold] != 1 {
			t.Errorf("%s: held 20 s: %v, want one press and one hold", p.Name, got)
		}
		f.Feed(Edge{Key: "space", At: 20 * time.Second, Up: true})
		if got := f.Feed(Edge{Key: "space", At: 21 * time.Second}); got != Press {
			t.Errorf("%s: a second after the hold: %v, want a press", p.Name, got)
		}
	}
}

// A keyboard set to repeat slowly: kbdrate goes down to two a second. The next repeat
// comes later than the first did, and is still the same press.
func TestHeldKeyThatRepeatsSlowly(t *testing.T) {
	for _, repeat := range []time.Duration{ms(92), ms(200), ms(500)} {
		for _, p := range []Profile{Tuned(ms(250), repeat), Safe(), SafeSSH()} {
			got := feed(NewFilter(p), "b", train(0, ms(250), repeat, 5*time.Second)...)
			if got[Press] != 1 || p.Name == "tuned" && got[Hold] != 1 {
				t.Errorf("%s, held 5 s, a repeat every %v: %v, want one press", p.Name, repeat, got)
			}
		}
	}
}

func TestAfterAHoldSafeIsQuickAgain(t *testing.T) {
	f := NewFilter(Safe())
	times := train(0, ms(500), ms(33), 2*time.Second)
	feed(f, "b", times...)
	last := times[len(times)-1]
	if got := f.Feed(Edge{Key: "b", At: last + ms(170)}); got != Swallowed {
		t.Errorf("170 ms after a hold: %v, want swallowed", got)
	}
	if got := f.Feed(Edge{Key: "b", At: last + ms(170+171)}); got != Press {
		t.Errorf("171 ms after that: %v, want a press", got)
	}
}

// A tap that bounces as the foot lifts is over: what follows the bounce by more than any
// repeat is another press, however long the delay of the keyboard.
func TestAfterABounceOfOpening(t *testing.T) {
	for _, c := range []struct {
		profile Profile
		limit   time.Duration
	}{{Safe(), ms(630)}, {SafeSSH(), ms(830)}, {Tuned(ms(500), ms(33)), ms(100)}, {Tuned(ms(500), ms(90)), ms(150)}, {Tuned(ms(500), 0), ms(560)}} {
		for _, gap := range []time.Duration{c.limit, c.limit + 1} {
			tap := ms(61 + int(c.profile.Jitter/time.Millisecond)) // longer than a bounce of closing can come late
			got := feed(NewFilter(c.profile), "b", 0, tap, tap+ms(9), tap+ms(9)+gap)[Press]
			want := 1
			if gap > c.limit {
				want = 2
			}
			if got != want {
				t.Errorf("%s, delay %v: an edge %v after the bounce: %d presses, want %d", c.profile.Name, c.profile.Delay, gap, got, want)
			}
		}
	}
}

func TestTooFast(t *testing.T) {
	f := NewFilter(Safe())
	var got []Verdict
	for i := range 6 {
		got = append(got, f.Feed(Edge{Key: "b", At: ms(300 * i)}))
	}
	if want := "[press swallowed too fast too fast too fast too fast]"; fmt.Sprint(got) != want {
		t.Errorf("six presses 300 ms apart: %v, want %s", got, want)
	}
	// one long press with a bounce at either end is not hurry
	f = NewFilter(Safe())
	for _, at := range []time.Duration{0, ms(9), ms(400), ms(409)} {
		if v := f.Feed(Edge{Key: "b", At: at}); v == TooFast {
			t.Errorf("edge at %v of one long press called too fast", at)
		}
	}
}

func TestBurstOfTypedText(t *testing.T) {
	// A pedal types an address and enter, a character every 16 ms: at most its first
	// character can count.
	f := NewFilter(Safe())
	n := 0
	for i, c := range "bhttps://example.org/abc" {
		if f.Feed(Edge{Key: string(c), At: ms(16 * i)}) == Press {
			n++
		}
	}
	if f.Feed(Edge{Key: "enter", At: ms(16 * 25)}) != Burst || n != 1 {
		t.Errorf("a typed address made %d presses, or its enter counted; want the first character only", n)
	}
	if v := f.Feed(Edge{Key: "enter", At: 2 * time.Second}); v != Press {
		t.Errorf("enter two seconds later: %v, want a press", v)
	}
	if v := f.Feed(Edge{Key: "space", At: 4 * time.Second, Text: true}); v != Burst {
		t.Errorf("an edge marked as text: %v, want burst", v)
	}
}

func TestDirect(t *testing.T) {
	type e struct {
		at int
		up bool
	}
	for _, c := range []struct {
		name  string
		edges []e
		want  string
	}{
		{"two presses 40 ms apart", []e{{0, false}, {80, true}, {120, false}}, "[press swallowed press]"},
		{"bounce on closing", []e{{0, false}, {4, true}, {9, false}, {200, true}}, "[press swallowed swallowed swallowed]"},
		{"bounce on opening", []e{{0, false}, {200, true}, {210, false}, {215, true}, {245, false}}, "[press swallowed swallowed swallowed swallowed]"},
		{"still for 36 ms", []e{{0, false}, {200, true}, {236, false}}, "[press swallowed press]"},
		{"a release without a press", []e{{0, true}, {10, false}}, "[swallowed press]"},
		{"held, with the kernel's repeats", []e{{0, false}, {250, false}, {550, false}, {610, false}, {650, false}}, "[press swallowed swallowed hold swallowed]"},
		{"unplugged while held: the release comes from the reader", []e{{0, false}, {500, true}, {5000, false}}, "[press swallowed press]"},
	} {
		f := NewFilter(Direct())
		var got []Verdict
		for _, e := range c.edges {
			got = append(got, f.Feed(Edge{Key: "b", At: ms(e.at), Up: e.up}))
		}
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s: %v, want %s", c.name, got, c.want)
		}
	}
}

func TestClockSteppingBackMakesNoPress(t *testing.T) {
	for _, p := range []Profile{Safe(), Quick(ms(250)), Direct()} {
		f := NewFilter(p)
		got := feed(f, "b", ms(10_000), ms(0), ms(9_000), ms(1))
		if got[Press] != 1 {
			t.Errorf("%s: %d presses, want 1", p.Name, got[Press])
		}
	}
}

// Whatever arrives, in any order of keys, two presses of one key are further
// apart than a bounce and a repeat, and the same edges give the same verdicts.
func TestAnyEdges(t *testing.T) {
	const seed = 3
	r := rand.New(rand.NewPCG(seed, 6))
	keys := []string{"b", "space", "pgup"}
	for round := range 2000 {
		p := []Profile{Safe(), SafeSSH(), Tuned(ms(250), ms(30))}[round%3]
		a, b := NewFilter(p), NewFilter(p)
		at, last := time.Duration(0), map[string]time.Duration{}
		for i := range 60 {
			at += time.Duration(r.ExpFloat64() * float64(ms([]int{5, 40, 300}[r.IntN(3)])))
			e := Edge{Key: keys[r.IntN(1+round%3)], At: at, Text: r.IntN(20) == 0}
			v := a.Feed(e)
			if w := b.Feed(e); v != w {
				t.Fatalf("seed %d round %d edge %d: %v, then %v", seed, round, i, v, w)
			}
			if v != Press {
				continue
			}
			if before, ok := last[e.Key]; ok && at-before <= p.afterHold() {
				t.Fatalf("seed %d round %d, %s: presses of %s %v apart", seed, round, p.Name, e.Key, at-before)
			}
			last[e.Key] = at
		}
	}
}

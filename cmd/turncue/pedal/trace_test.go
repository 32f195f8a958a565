package pedal

import (
	"math"
	"math/rand/v2"
	"sort"
	"time"
)

// The traces are those the profiles were measured with: the contacts bounce on
// 30 % of all edges, for up to 30 ms, opening and closing every 2 to 15 ms; the
// foot is down for a log-normal time; a trace is six presses of one key. That switches
// bounce so is an assumption, common practice for worn switches. How the presses were
// spread beyond their least distance was not recorded; here it is evenly, as far as gave
// condition A the share of missed presses it had, by the filter it was measured with.

const presses = 6 // of a trace

// A condition is one kind of foot, switch and computer.
type condition struct {
	name string

	pace     [2]time.Duration // between the starts of two presses
	down     time.Duration    // median of the foot-down time
	spread   float64          // sigma of its logarithm
	holds    float64          // share of presses held for 0.8 to 3 s
	worn     bool             // the switch bounces
	delay    [2]time.Duration // first repeat
	repeat   [2]time.Duration // further repeats
	remote   bool             // over a network: 20 ms late in the mean, 1 % stalls of 50 to 200 ms
	releases bool             // releases are delivered, with the times of the kernel
}

func ms(n int) time.Duration { return time.Duration(n) * time.Millisecond }

var (
	tapPace   = [2]time.Duration{ms(250), ms(2100)}
	slowTaps  = [2]time.Duration{ms(330), ms(2100)}
	stepPace  = [2]time.Duration{ms(800), ms(6000)}
	desktops  = [2]time.Duration{ms(250), ms(660)}
	console   = [2]time.Duration{ms(250), ms(250)}
	repeats   = [2]time.Duration{ms(20), ms(45)}
	widest    = [2]time.Duration{ms(200), ms(700)}
	widestRep = [2]time.Duration{ms(20), ms(60)}
)

// conditions are the rows of the measured table, and two wider ones: any delay
// from 200 to 700 ms, any repeat from 20 to 60 ms.
var conditions = []condition{
	{name: "A clean taps", pace: tapPace, down: ms(120), spread: 0.45, delay: desktops, repeat: repeats},
	{name: "B worn taps", pace: tapPace, down: ms(120), spread: 0.45, worn: true, delay: desktops, repeat: repeats},
	{name: "C worn, step pace", pace: stepPace, down: ms(250), spread: 0.45, worn: true, delay: desktops, repeat: repeats},
	{name: "D C with holds", pace: stepPace, down: ms(250), spread: 0.45, holds: 0.2, worn: true, delay: desktops, repeat: repeats},
	{name: "E D, delay 250", pace: stepPace, down: ms(250), spread: 0.45, holds: 0.2, worn: true, delay: console, repeat: repeats},
	{name: "H worn, delay 250", pace: slowTaps, down: ms(120), spread: 0.45, worn: true, delay: console, repeat: repeats},
	{name: "G D over a network", pace: stepPace, down: ms(250), spread: 0.45, holds: 0.2, worn: true, delay: [2]time.Duration{ms(500), ms(660)}, repeat: repeats, remote: true},
	{name: "W worn taps, widest", pace: tapPace, down: ms(120), spread: 0.45, worn: true, delay: widest, repeat: widestRep},
	{name: "X holds, widest", pace: stepPace, down: ms(250), spread: 0.45, holds: 0.2, worn: true, delay: widest, repeat: widestRep},
}

// An event is an edge and the press it belongs to.
type event struct {
	edge  Edge
	press int
}

// trace makes the edges of six presses, and the delay and repeat of its computer.
func (c condition) trace(r *rand.Rand) (events []event, delay, repeat time.Duration) {
	between := func(b [2]time.Duration) time.Duration {
		return b[0] + time.Duration(r.Float64()*float64(b[1]-b[0]))
	}
	delay, repeat = between(c.delay), between(c.repeat)
	start := time.Duration(0)
	for p := range presses {
		pace := between(c.pace)
		down := time.Duration(float64(c.down) * math.Exp(c.spread*r.NormFloat64()))
		if r.Float64() < c.holds {
			down = between([2]time.Duration{ms(800), ms(3000)})
			pace += down
		}
		down = min(max(down, ms(35)), pace-ms(65)) // up and still before the next press
		add := func(at time.Duration, up bool) {
			events = append(events, event{Edge{Key: "b", At: at, Up: up}, p})
		}
		// closing, with bounce: the repeat counts from the last closing
		add(start, false)
		closed := start
		for _, gap := range c.bounce(r) {
			add(closed+gap[0], true)
			closed += gap[0] + gap[1]
			add(closed, false)
		}
		for at := closed + delay; at < start+down; at += repeat {
			add(at, false)
		}
		// opening, with bounce
		opened := start + down
		add(opened, true)
		for _, gap := range c.bounce(r) {
			add(opened+gap[0], false)
			opened += gap[0] + gap[1]
			add(opened, true)
		}
		start += pace
	}
	if c.remote {
		late := time.Duration(0) // what has been delivered cannot be overtaken
		for i := range events {
			at := events[i].edge.At + time.Duration(r.ExpFloat64()*float64(ms(20)))
			if r.Float64() < 0.01 {
				at += between([2]time.Duration{ms(50), ms(200)})
			}
			late = max(late, at)
			events[i].edge.At = late
		}
	}
	if !c.releases {
		n := 0
		for _, e := range events {
			if !e.edge.Up {
				events[n] = e
				n++
			}
		}
		events = events[:n]
	}
	sort.SliceStable(events, func(i, j int) bool { return events[i].edge.At < events[j].edge.At })
	return events, delay, repeat
}

// bounce is pairs of times, away from the new state and back, within 30 ms.
func (c condition) bounce(r *rand.Rand) (pairs [][2]time.Duration) {
	if !c.worn || r.Float64() >= 0.3 {
		return nil
	}
	step := func() time.Duration { return ms(2) + time.Duration(r.Float64()*float64(ms(13))) }
	for total := time.Duration(0); ; {
		a, b := step(), step()
		total += a + b
		if total > ms(30) {
			return pairs
		}
		pairs = append(pairs, [2]time.Duration{a, b})
	}
}

// A score is what a filter made of many presses.
type score struct {
	presses, twice, missed int
	holds, held            int // of a second and more; and those recognised
}

// run judges n presses of a condition with a filter made for each trace.
func (c condition) run(seed uint64, n int, profile func(delay, repeat time.Duration) Profile) (s score) {
	c.releases = profile(0, 0).Release > 0
	if c.releases {
		c.remote = false // the stamps are the local kernel's
	}
	r := rand.New(rand.NewPCG(seed, 6))
	for s.presses < n {
		events, delay, repeat := c.trace(r)
		f := NewFilter(profile(delay, repeat))
		var counted [presses]int
		var first, last [presses]time.Duration
		var hold [presses]bool
		for i := range first {
			first[i] = -1
		}
		for _, e := range events {
			if first[e.press] < 0 {
				first[e.press] = e.edge.At
			}
			last[e.press] = e.edge.At
			switch f.Feed(e.edge) {
			case Press:
				counted[e.press]++
			case Hold:
				hold[e.press] = true
			}
		}
		for i, n := range counted {
			s.presses++
			s.twice += max(0, n-1)
			if n == 0 {
				s.missed++
			}
			if last[i]-first[i] >= time.Second {
				s.holds++
				if hold[i] {
					s.held++
				}
			}
		}
	}
	return s
}

func percent(n, of int) float64 { return 100 * float64(n) / float64(max(of, 1)) }

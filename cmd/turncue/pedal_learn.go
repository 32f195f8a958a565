package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"turncue/cmd/turncue/pedal"
)

// A learner finds out what a pedal sends. It is told every edge and, from time to
// time, that time has passed; it reads no clock. What it asks for and sees goes to say,
// a line each.
type learner struct {
	say  func(string)
	asks ask
	done bool

	key    [3]string // of next, back and again; "" where there is no such button
	direct bool      // the pedal was read from its device
	holds  []held
	heard  []heard // in the present ask
	last   time.Duration
	raw    []heard // everything, with its ask
}

// ask is what the person is asked to do now.
type ask int

const (
	askNext ask = iota
	askBack
	askAgain
	askHold
	askHoldAgain
	asked // everything
)

var askText = [...]string{
	askNext:      "press the button that shall go on, once",
	askBack:      "press the button that shall go back; if there is none, the first one again",
	askAgain:     "press the button that shall say it again; if there is none, the first one again",
	askHold:      "now hold the first button down for two seconds, then let go",
	askHoldAgain: "and once more: two seconds",
}

// askName is how an ask is called in the log.
var askName = [...]string{askNext: "next", askBack: "back", askAgain: "again", askHold: "hold", askHoldAgain: "hold"}

// heard is one edge with when it came.
type heard struct {
	pedal.Edge
	asks   ask
	direct bool
	gap    time.Duration // since the edge before of the same ask; 0 for the first
}

// held is what one long press showed.
type held struct {
	delay   time.Duration   // to the first repeat
	repeats []time.Duration // between the further ones
	lasted  time.Duration   // from the first edge to the last
}

// Bounds of learning.
const (
	pressQuiet   = time.Second             // after a press nothing comes for so long
	holdQuiet    = 1200 * time.Millisecond // after a hold, longer than any delay
	holdLeast    = 1500 * time.Millisecond // a hold that says something
	holdNoRepeat = 3500 * time.Millisecond // a hold of which only its beginning is seen
	leastDelay   = 100 * time.Millisecond  // closer edges are bounces
	longestDelay = 2 * time.Second
	fewRepeats   = 5
)

func newLearner(say func(string)) *learner {
	l := &learner{say: say}
	say(askText[askNext])
	return l
}

// feed takes an edge that came at the time now.
func (l *learner) feed(e pedal.Edge, direct bool, now time.Duration) {
	if l.done {
		return
	}
	h := heard{Edge: e, asks: l.asks, direct: direct}
	if n := len(l.heard); n > 0 {
		h.gap = e.At - l.heard[n-1].At
	}
	l.heard, l.raw, l.last = append(l.heard, h), append(l.raw, h), now
	l.say(h.line())
}

// line is the edge for a person to read.
func (h heard) line() string {
	text := "  " + h.Key
	switch {
	case h.Up:
		text += " released"
	case h.gap > 0:
		text += " again"
		if h.Text {
			text = "  " + h.Key
		}
	}
	if h.gap > 0 {
		text += fmt.Sprintf(" after %d ms", h.gap.Milliseconds())
	}
	if h.direct {
		text += ", read directly"
	}
	return text
}

// tick says that it is now.
func (l *learner) tick(now time.Duration) {
	if l.done || len(l.heard) == 0 {
		return
	}
	still := now - l.last
	first := l.heard[0]
	switch l.asks {
	case askHold, askHoldAgain:
		released := l.heard[len(l.heard)-1].Up
		if still < holdQuiet || !released && len(l.heard) < fewRepeats && still < holdNoRepeat {
			return
		}
	default:
		if still < pressQuiet {
			return
		}
	}
	edges := l.heard
	l.heard = nil
	if text := typed(edges); text != "" {
		l.say(fmt.Sprintf("that is %q typed all at once, which is never acted on: have the pedal send one key instead", text))
		l.say(askText[l.asks])
		return
	}
	if err := (pedal.Layout{Next: []string{first.Key}}).Check(); err != nil {
		l.say(err.Error() + ": have the pedal send another one")
		l.say(askText[l.asks])
		return
	}
	switch l.asks {
	case askNext:
		l.key[0], l.direct = first.Key, first.direct
		l.next(askBack)
	case askBack, askAgain:
		if first.Key == l.key[0] || first.Key == l.key[1] {
			l.next(askHold)
			return
		}
		l.key[l.asks] = first.Key
		l.next(l.asks + 1)
	default:
		if first.Key != l.key[0] {
			l.say(fmt.Sprintf("that was %s: hold %s", first.Key, l.key[0]))
			return
		}
		h := measured(edges)
		if (h.delay > 0 || first.direct) && h.lasted < holdLeast {
			l.say(fmt.Sprintf("that was %.1f seconds: hold it for two", h.lasted.Seconds()))
			return
		}
		l.holds = append(l.holds, h)
		l.next(l.asks + 1)
	}
}

func (l *learner) next(a ask) {
	l.asks = a
	if a == asked {
		l.done = true
		return
	}
	l.say(askText[a])
}

// typed is the text of edges that a device typed: more than one key. It is "" for a
// press.
func typed(edges []heard) string {
	var b strings.Builder
	many := false
	for _, e := range edges {
		if e.Up {
			continue
		}
		many = many || e.Key != edges[0].Key
		if len(e.Key) == 1 {
			b.WriteString(e.Key)
		} else {
			b.WriteString(" " + e.Key + " ")
		}
	}
	if !many {
		return ""
	}
	return strings.TrimSpace(b.String())
}

// measured takes the delay and the repeats from the edges of a hold. Edges closer than
// any delay, before the first repeat, are bounces: the repeat counts from the last.
func measured(edges []heard) (h held) {
	var last time.Duration
	for i, e := range edges {
		h.lasted = e.At - edges[0].At
		if e.Up {
			continue
		}
		gap := e.At - last
		last = e.At
		switch {
		case i == 0:
		case h.delay == 0 && gap < leastDelay:
		case h.delay == 0:
			h.delay = gap
		default:
			h.repeats = append(h.repeats, gap)
		}
	}
	if len(h.repeats) < fewRepeats { // a bounce at the release, or a second press
		h.delay, h.repeats = 0, nil
	}
	return h
}

// repeat is the longest delay and the longest time between repeats of all holds, or
// zero if not every one repeated.
func (l *learner) repeat() (delay, repeat time.Duration) {
	for _, h := range l.holds {
		if h.delay == 0 {
			return 0, 0
		}
		delay, repeat = max(delay, h.delay), max(repeat, slices.Max(h.repeats))
	}
	return delay, repeat
}

// propose is what the pedal should do, as settings, and why, a line each. Device is
// the pedal that was read directly.
func (l *learner) propose(s settings, device string) (settings, []string) {
	var why []string
	buttons := 1
	s.keys = s.keys.Give(l.key[0], pedal.Next)
	for i, a := range []pedal.Action{pedal.Back, pedal.Again} {
		if k := l.key[i+1]; k != "" {
			s.keys = s.keys.Give(k, a)
			buttons++
		}
	}
	s.takeBack = buttons < 3
	why = append(why, fmt.Sprintf("%s goes on", l.key[0]))
	if l.key[1] != "" {
		why = append(why, fmt.Sprintf("%s goes back", l.key[1]))
	}
	if l.key[2] != "" {
		why = append(why, fmt.Sprintf("%s says it again", l.key[2]))
	}
	if s.takeBack {
		why = append(why, fmt.Sprintf("holding %s takes the press back and says the step again", l.key[0]))
	}
	if l.direct {
		s.pedal = device
		return s, append(why, "read directly: presses and releases are known, so every press counts once, however quick")
	}
	delay, repeat := l.repeat()
	switch {
	case delay == 0:
		s.press = pressing{name: "auto"}
		why = append(why, "no repeats were seen while it was held: on a worn switch letting go can count as a press",
			"a pedal read directly has no such fault: turncue pedal --pedal DEVICE, on Linux; or turn key repeat on and learn it again")
	case delay > longestDelay || repeat > time.Second:
		s.press = pressing{name: "auto"}
		why = append(why, fmt.Sprintf("it repeats after %d ms, every %d ms, which is too slow to go by: set the delay to 250 ms, 30 a second, and learn it again",
			delay.Milliseconds(), repeat.Milliseconds()))
	case os.Getenv("SSH_CONNECTION") != "":
		s.press = pressing{name: "auto"}
		why = append(why, "over a network presses come unevenly: the safest filter stays")
		if delay > pedal.SafeSSH().Delay {
			why = append(why, fmt.Sprintf("it repeats only after %d ms, which that filter does not allow for: set the delay to 250 ms", delay.Milliseconds()))
		}
	default:
		s.press = pressing{"tuned", delay.Truncate(10*time.Millisecond) + 10*time.Millisecond, repeat.Truncate(time.Millisecond) + time.Millisecond}
		why = append(why, fmt.Sprintf("it repeats after %d ms, then every %d ms at most: presses more than %d ms apart count",
			delay.Milliseconds(), repeat.Milliseconds(), s.press.profile().Silence().Milliseconds()))
		if delay > 350*time.Millisecond {
			why = append(why, "a shorter delay lets quicker presses count: 250 ms is good; leave repeat on")
		}
	}
	return s, why
}

// gaps is every edge that came, as lines of a table: ask, way, key, down or up,
// milliseconds since the edge before.
func (l *learner) gaps() (lines []string) {
	for _, h := range l.raw {
		way, edge := "keys", "down"
		if h.direct {
			way = "direct"
		}
		if h.Up {
			edge = "up"
		}
		lines = append(lines, fmt.Sprintf("%s,%s,%q,%s,%.1f", askName[h.asks], way, h.Key, edge, float64(h.gap.Microseconds())/1000))
	}
	return lines
}

package pedal

import "time"

// An Edge is one event of one key.
type Edge struct {
	Key  string        // its name, as the terminal or the device calls it
	At   time.Duration // monotonic, from any start
	Text bool          // known to be part of a burst or a paste
	Up   bool          // a release; only a pedal read directly knows it
}

// A Filter judges edges in the order of their times. It is not for concurrent
// use. The same edges always give the same verdicts.
type Filter struct {
	profile Profile
	keys    map[string]*key

	seen    bool // an edge has been fed
	last    string
	lastAt  time.Duration
	inBurst bool
}

// A key is what is remembered of one key.
type key struct {
	seen   bool
	last   time.Duration // its last edge
	run    time.Duration // first edge of the present run of close edges
	train  bool          // the run is a repeat: the key is held
	later  bool          // an edge came that no bounce of closing can be
	onsets int           // swallowed edges that began a run, since the last press

	pressed time.Duration // the last press
	single  bool          // it was no double

	down  bool          // direct: closed now
	since time.Duration // direct: closed since
	held  bool          // direct: hold reported
}

// NewFilter makes a filter that has seen nothing yet.
func NewFilter(p Profile) *Filter {
	return &Filter{profile: p, keys: map[string]*key{}}
}

// Profile is the profile the filter works by.
func (f *Filter) Profile() Profile { return f.profile }

// Feed judges one edge. An edge with a time before the last one is taken to be
// at the same moment, so a clock that steps back cannot make a press.
func (f *Filter) Feed(e Edge) Verdict {
	if f.seen && e.At < f.lastAt {
		e.At = f.lastAt
	}
	k := f.keys[e.Key]
	if k == nil {
		k = &key{}
		f.keys[e.Key] = k
	}
	if e.Up {
		if f.profile.Release > 0 && k.down {
			k.down, k.seen, k.last = false, true, e.At
			if !k.held && e.At-k.since >= heldFor { // a pedal that does not repeat
				k.held = true
				return Hold
			}
		}
		return Swallowed
	}
	burst := f.burst(e)
	switch {
	case f.profile.Release > 0:
		return k.direct(f.profile, e.At, burst)
	case burst:
		return Burst
	case f.profile.Lockout > 0:
		return k.quick(f.profile, e.At)
	}
	return k.silence(f.profile, e.At)
}

// burst tells whether the edge belongs to a string typed by a device: two
// different keys closer than any foot could press them, and all that follows
// without a pause.
func (f *Filter) burst(e Edge) bool {
	gap := e.At - f.lastAt
	switch {
	case e.Text:
		f.inBurst = true
	case !f.seen || gap >= together:
		f.inBurst = false
	case e.Key != f.last:
		f.inBurst = true
	}
	f.seen, f.last, f.lastAt = true, e.Key, e.At
	return f.inBurst
}

// silence accepts an edge only after a silence that cannot occur inside one
// physical press. While the switch is closed the next edge comes within Delay of
// an edge, or within Repeat of a repeat; after it opens, bounces come within
// Bounce; nothing is late by more than Jitter.
//
// The long Delay is waited for only once in a press: an edge that cannot be a bounce of
// closing is its first repeat or a bounce of opening, and either way the next edge of
// that press comes within Slowest or Bounce. Where it was another press, made too
// soon to count, that one can still count at a later edge of its own, once.
func (k *key) silence(p Profile, at time.Duration) Verdict {
	gap, limit := at-k.last, p.Silence()
	switch {
	case k.train:
		limit = p.afterHold()
	case k.later && p.Slowest > 0:
		limit = p.Slowest + p.Bounce + p.Jitter
	}
	if !k.seen || gap > limit {
		was := *k
		*k = key{seen: true, last: at, run: at}
		return k.press(p, at, was, was.train)
	}
	onset := gap > p.Repeat+p.Jitter
	if onset {
		k.run = at
	}
	k.last = at
	k.later = k.later || gap > p.Bounce+p.Jitter
	switch {
	case k.train:
		return Swallowed
	case at-k.run > p.afterHold():
		k.train, k.onsets = true, 0
		return Hold
	case onset:
		k.onsets++
		if k.onsets >= 2 {
			return TooFast
		}
	}
	return Swallowed
}

// quick accepts an edge after the dead time, except where the first repeat of a
// held key is due.
func (k *key) quick(p Profile, at time.Duration) Verdict {
	gap, first := at-k.last, !k.seen
	repeat := gap >= p.Delay-quickBefore && gap <= p.Delay+quickAfter
	k.seen, k.last = true, at
	switch {
	case first || gap > p.Lockout && !repeat:
		k.run, k.train = at, false
		return Press
	case gap > p.Repeat+quickAfter:
		k.run = at
	case !k.train && at-k.run > p.afterHold()+quickAfter:
		k.train = true
		return Hold
	}
	return Swallowed
}

// direct accepts an edge when the switch has been open long enough. A key that
// is already down repeats, whatever the kernel calls it.
func (k *key) direct(p Profile, at time.Duration, burst bool) Verdict {
	if k.down {
		if !burst && !k.held && at-k.since >= heldFor {
			k.held = true
			return Hold
		}
		return Swallowed
	}
	open := !k.seen || at-k.last > p.Release
	k.down = true
	if burst {
		k.since, k.held = at, true
		return Burst
	}
	if !open {
		return Swallowed
	}
	was := *k
	k.since, k.held = at, false
	return k.press(p, at, was, was.held)
}

// press is an accepted edge: the second of two that begin close together is a double,
// unless the first was held.
func (k *key) press(p Profile, at time.Duration, was key, held bool) Verdict {
	k.pressed, k.single = at, true
	if p.Double > 0 && was.single && !held && at-was.pressed <= p.Double {
		k.single = false
		return Double
	}
	return Press
}

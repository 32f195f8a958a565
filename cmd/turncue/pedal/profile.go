package pedal

import "time"

// A Profile holds the bounds a filter relies on. A press is accepted after a
// silence that cannot occur inside one physical press, so every bound must be a
// true upper bound: within Delay of an edge, or Repeat of a repeat, the next edge
// of a closed switch arrives; within Bounce of opening it is still; and no edge
// is delivered later than the others by more than Jitter.
type Profile struct {
	Name string // as written in the settings

	Delay  time.Duration // longest time from key down to its first repeat
	Repeat time.Duration // longest time between repeats
	Bounce time.Duration // longest bounce of the contacts
	Jitter time.Duration // largest difference in delivery

	// Slowest, when not zero, is the longest time between repeats at all, where those
	// seen so far do not tell: Repeat where it was measured.
	Slowest time.Duration

	// Lockout, when not zero, replaces the proof by a dead time after every edge
	// and needs a clean switch: see Quick.
	Lockout time.Duration

	// Release, when not zero, says that releases are known, and is the time the
	// switch must have been open: see Direct.
	Release time.Duration

	// Double, when not zero, is the longest time between the beginnings of two
	// presses that are a Double: see WithDouble.
	Double time.Duration
}

// Usual bounds. Repeat delays in the wild are 200 to 660 ms (X server 660,
// desktops 500 to 600, console 250) and repeat intervals 20 to 50 ms; a mechanical
// switch settles within 30 ms (common practice).
const (
	usualDelay  = 660 * time.Millisecond
	usualRepeat = 40 * time.Millisecond
	usualBounce = 30 * time.Millisecond
	// slowest is two a second, the fewest the Linux console can be set to (kbdrate).
	slowest = 500 * time.Millisecond

	localJitter   = 100 * time.Millisecond // unknown local keyboard, busy computer
	remoteJitter  = 300 * time.Millisecond // over a network
	learnedJitter = 30 * time.Millisecond  // measured on this computer

	quickLockout = 230 * time.Millisecond
	quickBefore  = 20 * time.Millisecond // a first repeat may come this much early
	quickAfter   = 45 * time.Millisecond // or this much late

	openFor  = 35 * time.Millisecond  // bounce and a margin
	doubleIn = 600 * time.Millisecond // two presses that begin within this are a double
	leastFor = 300 * time.Millisecond // a longer repeat delay swallows the second of them
	heldFor  = 600 * time.Millisecond // a press longer than this is a hold
	together = 50 * time.Millisecond  // different keys closer than this are typed by a device
)

// Safe is the default: it needs nothing to be known about the pedal. Two presses
// less than 790 ms apart count as one.
func Safe() Profile {
	return Profile{Name: "safe", Delay: usualDelay, Repeat: usualRepeat, Bounce: usualBounce, Jitter: localJitter, Slowest: slowest}
}

// SafeSSH is Safe for a terminal at the far end of a network. Two presses less
// than 990 ms apart count as one.
func SafeSSH() Profile {
	return Profile{Name: "safe-ssh", Delay: usualDelay, Repeat: usualRepeat, Bounce: usualBounce, Jitter: remoteJitter, Slowest: slowest}
}

// Tuned is for a pedal whose repeat delay and interval have been measured. A repeat
// of zero is one that was not; it, or one below 40 ms, is taken as 40 ms. Of two
// presses less than delay + 60 ms apart the second does not count; where the repeat was
// measured, a third that follows it by more than repeat + 60 ms does.
func Tuned(delay, repeat time.Duration) Profile {
	p := Profile{Name: "tuned", Delay: delay, Repeat: max(repeat, usualRepeat), Bounce: usualBounce, Jitter: learnedJitter}
	if repeat > 0 {
		p.Slowest = p.Repeat
	}
	return p
}

// Quick accepts a press 230 ms after the last edge, except where a first repeat
// is due. It is for a clean switch with a known delay only: a switch that bounces
// on release can be counted twice. It is never chosen unasked.
func Quick(delay time.Duration) Profile {
	return Profile{Name: "quick", Delay: delay, Repeat: usualRepeat, Bounce: usualBounce, Lockout: quickLockout}
}

// Direct is for a pedal whose releases are known as well, read from its event
// device: a press counts when the switch has been open for 35 ms.
func Direct() Profile {
	return Profile{Name: "direct", Bounce: usualBounce, Release: openFor}
}

// WithDouble is the profile with double presses told apart, and whether it can: where
// releases are known, or the delay is 300 ms or less. On a worn switch one in five
// doubles of a tuned profile is then seen as a single press, none as three.
func (p Profile) WithDouble() (Profile, bool) {
	if p.Release == 0 && (p.Lockout > 0 || p.Delay > leastFor) {
		return p, false
	}
	p.Double = doubleIn
	return p, true
}

// Silence is the least time from the last edge of a key, of whatever kind, to a
// press that is sure to be accepted, when the key was not being held.
func (p Profile) Silence() time.Duration {
	switch {
	case p.Release > 0:
		return p.Release
	case p.Lockout > 0:
		return p.Delay + quickAfter
	}
	return p.Delay + p.Bounce + p.Jitter
}

// afterHold is the same once the key has been seen to repeat.
func (p Profile) afterHold() time.Duration { return p.Repeat + p.Bounce + p.Jitter }

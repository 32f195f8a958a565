package terminal

import "time"

// BurstGap: two different keys closer than this came from no hand.
const BurstGap = 8 * time.Millisecond

// A burst holds every key back for BurstGap, to see whether a different one
// follows at once. If one does, all of the run are marked as text, those already
// on their way too. A run of one key is a bouncing switch, not text.
type burst struct {
	waiting []Key
	last    Key // newest key of the run, sent or not
	open    bool
	mixed   bool
}

// add takes the next key and returns those that are settled by it.
func (b *burst) add(k Key) []Key {
	var out []Key
	if !b.open || k.At-b.last.At >= BurstGap {
		out = b.waiting
		b.waiting, b.mixed = nil, false
	} else if k.Name != b.last.Name {
		b.mixed = true
	}
	if b.mixed {
		for i := range b.waiting {
			b.waiting[i].Text = true
		}
		k.Text = true
	}
	b.waiting = append(b.waiting, k)
	b.last, b.open = k, true
	return out
}

// expire returns the keys that have waited long enough at the time now.
func (b *burst) expire(now time.Duration) []Key {
	n := 0
	for n < len(b.waiting) && now-b.waiting[n].At >= BurstGap {
		n++
	}
	out := b.waiting[:n:n]
	b.waiting = b.waiting[n:]
	return out
}

// due is when the next key will have waited long enough.
func (b *burst) due() (time.Duration, bool) {
	if len(b.waiting) == 0 {
		return 0, false
	}
	return b.waiting[0].At + BurstGap, true
}

package pedal

import "fmt"

// A Verdict is what an edge means. Only Press and Double move anything on; the zero value
// does nothing.
type Verdict int

const (
	// Swallowed is an edge that is part of a press already counted.
	Swallowed Verdict = iota
	// Press is one press of the foot.
	Press
	// Double is one press of the foot, the second of two in quick succession; only a
	// profile made by WithDouble tells. After it the next is a Press again.
	Double
	// Hold says, once, that the press already counted is being held.
	Hold
	// TooFast is a swallowed edge that looks like a press made too soon, the
	// second or a later one since the last press that counted.
	TooFast
	// Burst is an edge of a string typed by a device or pasted: never acted on.
	Burst
)

// String is the verdict as one word or two.
func (v Verdict) String() string {
	switch v {
	case Swallowed:
		return "swallowed"
	case Press:
		return "press"
	case Double:
		return "double"
	case Hold:
		return "hold"
	case TooFast:
		return "too fast"
	case Burst:
		return "burst"
	}
	return fmt.Sprintf("verdict %d", int(v))
}

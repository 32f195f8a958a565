package cutting

import (
	"fmt"
	"time"

	"turncue/calc"
)

// CutTime is how long a cut of a length takes at a feed per turn and a spindle
// speed, rounded to the millisecond. The length includes approach and over-travel.
// For facing it is the radius.
func CutTime(length, feed calc.Length, n calc.Speed) (time.Duration, error) {
	if feed <= 0 {
		return 0, fmt.Errorf("feed %s is not above zero", feed)
	}
	return ThreadTime(length, calc.PerTurn(feed), n)
}

// ThreadTime is how long one threading pass takes, without the way back. It is
// for telling how long to expect, never for stopping by.
func ThreadTime(length calc.Length, lead calc.Lead, n calc.Speed) (time.Duration, error) {
	if length < 0 || n <= 0 {
		return 0, fmt.Errorf("a cut of %s at %s: give a length and a speed above zero", length, n)
	}
	turns, err := lead.Turns(length)
	if err != nil {
		return 0, err
	}
	return n.Time(turns), nil
}

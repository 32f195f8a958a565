package cutting

import (
	"math"
	"time"

	"turncue/calc"
)

// QuickTurn is the time of a quick turn of a slide's handle by a hand that is ready on it
// (common practice: two turns in a second).
const QuickTurn = 500 * time.Millisecond

// outIn is the part of a turn of the work within which the tool has to be out.
const outIn = 0.5

// PullOut is a tool wound out of a thread by hand at a mark, the work turning and the
// carriage driven on.
type PullOut struct {
	Lead  calc.Lead
	Delay time.Duration // from seeing the mark to the hand moving
	Turns float64       // of the handle until the tip is out of the work
}

// Travel is how far the carriage goes at the most from the mark to where the tip is out:
// by the delay, and half a turn more. Rounded to the nanometre.
func (p PullOut) Travel(n calc.Speed) calc.Length {
	return calc.Millimetres(p.Lead.Millimetres() * (n.PerMinute()/60*p.Delay.Seconds() + outIn))
}

// HandSpeed is the fastest spindle speed at which the hand has the tool out within half a
// turn of the work, rounded down to a thousandth of a turn a minute; zero with ok false
// where there is nothing to wind.
func (p PullOut) HandSpeed() (n calc.Speed, ok bool) {
	if p.Turns <= 0 {
		return 0, false
	}
	return speedOf(60 * outIn / (p.Turns * QuickTurn.Seconds())), true
}

// MaxSpeed is the fastest spindle speed at which the tip is out within a room behind the
// mark and the hand keeps up, rounded down to a thousandth of a turn a minute; zero where
// half a turn takes up the room.
func (p PullOut) MaxSpeed(room calc.Length) calc.Speed {
	w := room.Millimetres() - outIn*p.Lead.Millimetres()
	if w <= 0 || p.Lead.Sign() <= 0 {
		return 0
	}
	most := calc.Speed(math.MaxInt64)
	if d := p.Delay.Seconds(); d > 0 {
		most = speedOf(60 * w / (p.Lead.Millimetres() * d))
	}
	if n, ok := p.HandSpeed(); ok {
		most = min(most, n)
	}
	return most
}

func speedOf(v float64) calc.Speed { return calc.Speed(math.Min(v, 1e9)*1000) * calc.RPM / 1000 }

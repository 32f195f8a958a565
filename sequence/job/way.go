package job

// Way is how the passes of a thread are made. The zero Way leaves it to the lathe and
// the thread.
type Way string

// The ways.
const (
	WayReverse Way = "reverse" // half-nuts shut throughout, back with the spindle in reverse
	WayCrank   Way = "crank"   // half-nuts shut throughout, the spindle turned by the hand crank
	WayDial    Way = "dial"    // half-nuts opened in the groove, shut again by the threading dial
	WayAway    Way = "away"    // tool upside down, out of the groove with the spindle in reverse
)

func (a arg) way() Way {
	return Way(a.word(string(WayReverse), string(WayCrank), string(WayDial), string(WayAway)))
}

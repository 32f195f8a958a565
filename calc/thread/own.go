package thread

import (
	"fmt"
	"math"

	"turncue/calc"
)

// squareBasic is half a pitch deep; root and inside root have a clearance of
// 0.005 P on radius and 0.1 mm at least (common practice).
func squareBasic(t Thread) Basic {
	p := t.Pitch.Length()
	free := max(p/200, 100*um)
	return Basic{Major: t.Nominal, Pitch: t.Nominal - p/2, Minor: t.Nominal - p, Root: t.Nominal - p - 2*free, InsideRoot: t.Nominal + 2*free}
}

// ownBasic is the profile of a form of one's own.
func ownBasic(t Thread) Basic {
	pitch := t.Nominal - 2*t.Addendum
	root := pitch - 2*t.Dedendum
	return Basic{Major: t.Nominal, Pitch: pitch, Minor: root, Root: root, InsideRoot: t.Nominal}
}

// Form is a thread form of one's own.
type Form struct {
	Nominal  calc.Length // diameter over the crests
	Pitch    calc.Lead
	Angle    calc.Angle  // included, above 0 and under 120 degrees
	Addendum calc.Length // from the pitch line to the crests, on radius; zero: 3/8 of the sharp height
	Dedendum calc.Length // from the pitch line to the roots, on radius; zero: as the addendum
	LeftHand bool
	Inside   bool
	Starts   int // zero: 1
}

// Custom makes a thread of a form of one's own. A form whose crests or roots
// would pass the point the flanks meet in is refused.
func Custom(f Form) (Thread, error) {
	if f.Pitch.Sign() <= 0 || f.Nominal <= 0 || f.Nominal > 1000*mm || f.Pitch.Length() > 100*mm || f.Pitch.Length() < 50*um {
		return Thread{}, fmt.Errorf("an own form needs a diameter up to 1000 mm and a pitch of 0.05 to 100 mm, not %s and %s", f.Nominal, f.Pitch)
	}
	if f.Angle < calc.Degree || f.Angle > 120*calc.Degree {
		return Thread{}, fmt.Errorf("an angle of %s is not between 1 and 120 degrees: write square for a square thread", f.Angle)
	}
	f.Starts = max(f.Starts, 1)
	if f.Starts > 12 {
		return Thread{}, fmt.Errorf("%d starts: 1 to 12 are possible", f.Starts)
	}
	height := nearest(f.Pitch.Nanometres().Float() / (2 * math.Tan((f.Angle / 2).Radians()))) // of the sharp triangle
	if f.Addendum == 0 {
		f.Addendum = (height * 3 / 8).Round(um)
	}
	if f.Dedendum == 0 {
		f.Dedendum = f.Addendum
	}
	if f.Addendum < 0 || f.Dedendum < 0 || f.Addendum > height/2 || f.Dedendum > height/2 {
		return Thread{}, fmt.Errorf("heights of %s and %s pass the point of the flanks, %s from the pitch line", f.Addendum, f.Dedendum, height/2)
	}
	if 2*(f.Addendum+f.Dedendum) >= f.Nominal {
		return Thread{}, fmt.Errorf("a thread %s deep leaves nothing of a diameter of %s", f.Addendum+f.Dedendum, f.Nominal)
	}
	lead, err := f.Pitch.Times(calc.Whole(int64(f.Starts)))
	if err != nil {
		return Thread{}, err
	}
	t := Thread{Family: Own, Nominal: f.Nominal, Pitch: f.Pitch, Lead: lead, Starts: f.Starts, LeftHand: f.LeftHand, External: !f.Inside,
		Angle: f.Angle, Addendum: f.Addendum, Dedendum: f.Dedendum}
	text, err := f.Pitch.MarshalText()
	if err != nil {
		return Thread{}, err
	}
	t.Designation = fmt.Sprintf("own %s x %s %s addendum %s dedendum %s", f.Nominal, text, f.Angle, f.Addendum, f.Dedendum)
	return t, nil
}

// valveSizes are the tyre valve threads of ISO 4570: the diameter in micrometres
// and the pitch, in micrometres or threads per inch.
var valveSizes = []struct {
	name       string
	major      int
	pitch, tpi int
}{
	{"5V1", 5334, 705, 0}, {"5V2", 5370, 0, 24}, {"6V1", 6160, 800, 0}, {"8V1", 7798, 0, 32}, {"9V1", 9525, 0, 32}, {"10V2", 10414, 0, 28},
	{"12V1", 12319, 0, 26}, {"13V1", 12700, 0, 20}, {"8V2", 7938, 0, 24}, {"10V1", 9800, 1000, 0}, {"11V1", 11113, 0, 20}, {"13V2", 12700, 0, 32},
	{"15V1", 15137, 1000, 0}, {"16V1", 15875, 0, 27}, {"17V1", 17137, 1000, 0}, {"17V2", 17463, 0, 24}, {"17V3", 17463, 0, 16},
	{"19V1", 19050, 0, 16}, {"20V1", 20642, 1000, 0},
}

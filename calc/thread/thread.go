package thread

import (
	"turncue/calc"
)

// Family is the system a thread belongs to.
type Family int

// The families. The zero Family means none given.
const (
	NoFamily Family = iota
	Metric          // ISO general purpose metric, ISO 68-1 and ISO 965-1
)

var familyNames = map[Family]string{
	NoFamily: "none", Metric: "ISO metric",
}

// String is the name of the family in words.
func (f Family) String() string { return familyNames[f] }

// Thread is one screw thread with its side and class. It is a plain value: two
// that are equal under == are the same thread. The zero Thread means none;
// [Parse] makes the others.
type Thread struct {
	Family      Family
	Designation string      // size and pitch as the standard writes them, without class or hand: "M10x1"
	Nominal     calc.Length // basic major diameter
	Pitch       calc.Lead   // from one thread to the next
	Lead        calc.Lead   // travel per turn: Pitch times Starts
	Starts      int         // 1 or more
	LeftHand    bool
	External    bool       // outside thread; false is an inside one
	Class       string     // as the standard writes it: "6g", "4g6g", "6H"
	Angle       calc.Angle // included angle of the flanks
}

// String is the standard's designation, with class and hand: "M10x1-6g",
// "M20xPh4P2-6g-LH". [Parse] reads it back to the same value.
func (t Thread) String() string {
	s := t.Designation
	if t.Class != "" {
		s += t.classJoint() + t.Class
	}
	if t.LeftHand {
		s += t.classJoint() + "LH"
	}
	return s
}

func (t Thread) classJoint() string { return "-" }

// half is the half angle of the flanks in radians.
func (t Thread) half() float64 { return (t.Angle / 2).Radians() }

package thread

import (
	"fmt"
	"strings"

	"turncue/calc"
)

// Family is the system a thread belongs to.
type Family int

// The families. The zero Family means none given.
const (
	NoFamily     Family = iota
	Metric              // ISO general purpose metric, ISO 68-1 and ISO 965-1
	Unified             // UNC, UNF, UNEF, UN, UNS: ASME B1.1
	Whitworth           // BSW, BSF and the model engineers' 55 degree threads: BS 84
	Association         // BA: BS 93
	Pipe                // G, parallel, not sealing: ISO 228-1
	SealingPipe         // R, Rp, Rc, sealing: ISO 7-1
	AmericanPipe        // NPT: ASME B1.20.1
	Trapezoidal         // Tr: ISO 2904 and ISO 2903
	Acme                // general purpose Acme: ASME B1.5
	Valve               // tyre valves: ISO 4570
	Cycle               // BSC, 60 degrees: BS 811
	Square              // no standard
	Own                 // a form of one's own
)

var familyNames = map[Family]string{
	NoFamily: "none", Metric: "ISO metric", Unified: "Unified", Whitworth: "Whitworth form", Association: "BA",
	Pipe: "parallel pipe", SealingPipe: "sealing pipe", AmericanPipe: "American taper pipe", Trapezoidal: "trapezoidal",
	Acme: "Acme", Valve: "tyre valve", Cycle: "cycle", Square: "square", Own: "own form",
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
	Class       string     // as the standard writes it: "6g", "4g6g", "6H", "2A"; empty where the family has none
	Angle       calc.Angle // included angle of the flanks; zero is a square thread
	Series      string     // within the family: "UNC", "BSF", "R", "Rc"; empty where there is one only
	Taper       calc.Ratio // growth of the diameter over length, 1/16 on taper pipe; zero is parallel
	// Height above and below the pitch line, on radius; for an own form only.
	Addendum, Dedendum calc.Length
}

// String is the standard's designation, with class and hand: "M10x1-6g",
// "M20xPh4P2-6g-LH", "3/8-24 UNF-2A", "G 1/4 A", "Tr12x3-LH-7e". [Parse] reads it
// back to the same value. What a standard's designation leaves open, the number
// of starts of an inch thread and the side of a thread without classes, follows
// in words.
func (t Thread) String() string {
	s := t.Designation
	hand := func() {
		switch {
		case !t.LeftHand:
		case t.Family == Own || t.Family == Square:
			s += " LH"
		default:
			s += "-LH"
		}
	}
	if t.Family == Trapezoidal { // ISO 2904 puts the hand first
		hand()
	}
	if t.Class != "" {
		switch t.Family {
		case Pipe, Whitworth, Association:
			s += " " + t.Class
		default:
			s += "-" + t.Class
		}
	}
	if t.Family != Trapezoidal {
		hand()
	}
	if t.Starts > 1 && t.Family != Metric && t.Family != Trapezoidal {
		s += fmt.Sprintf(" %d starts", t.Starts)
	}
	if !t.External && !t.sideShows() {
		s += " inside"
	}
	return s
}

// sideShows says that the designation itself tells inside from outside.
func (t Thread) sideShows() bool {
	switch t.Family {
	case Metric, Unified, Whitworth, Trapezoidal, Pipe, SealingPipe:
		return true
	}
	return false
}

// Mate is the thread of the other side that goes with this one, in its usual
// class: the 6H nut of a 6g bolt. A sealing outside thread mates with the taper
// inside one.
func (t Thread) Mate() Thread {
	t.External = !t.External
	side := func(outside, inside string) string {
		if t.External {
			return outside
		}
		return inside
	}
	switch t.Family {
	case Metric:
		t.Class = side("6g", "6H")
	case Unified:
		t.Class = side("2A", "2B")
	case Whitworth:
		t.Class = side("medium", "normal nut")
	case Association:
		t.Class = side("normal", "")
	case Pipe:
		t.Class = side("A", "")
	case Trapezoidal:
		t.Class = side("7e", "7H")
	case SealingPipe:
		size := strings.TrimPrefix(t.Designation, t.Series)
		t.Series, t.Taper = side("R", "Rc"), oneIn(16)
		t.Designation = t.Series + size
	}
	return t
}

// half is the half angle of the flanks in radians.
func (t Thread) half() float64 { return (t.Angle / 2).Radians() }

package gear

import (
	"errors"
	"fmt"

	"turncue/calc"
)

// ThreadDial is a threading dial: a wheel driven by the leadscrew and a face with
// lines on it.
type ThreadDial struct {
	Wheel int // teeth of the wheel, leadscrew threads per turn of the dial
	Lines int // lines on the face
	First int // the line the first pass was closed on; 0 is 1
}

// Check refuses a dial that cannot be one.
func (d ThreadDial) Check() error {
	switch {
	case d.Wheel < 1 || d.Wheel > 200:
		return fmt.Errorf("a threading dial with a wheel of %d teeth: give 1 to 200", d.Wheel)
	case d.Lines < 1 || d.Lines > 64:
		return fmt.Errorf("a threading dial with %d lines: give 1 to 64", d.Lines)
	case d.First < 0 || d.First > d.Lines:
		return fmt.Errorf("line %d of a dial with %d lines", d.First, d.Lines)
	}
	return nil
}

// Turn is the travel of the carriage, half-nuts open and leadscrew turning, in one
// turn of the dial, rounded to the nanometre.
func (d ThreadDial) Turn(leadscrew calc.Lead) calc.Length {
	return leadscrew.Travel(calc.Whole(int64(d.Wheel)))
}

// HalfNuts is when the half-nuts may be opened and closed again.
type HalfNuts int

// The answers, from the strictest. The zero value is the safe one.
const (
	StayClosed HalfNuts = iota // no line can be trusted: reverse the spindle instead
	TheseLines                 // only on the lines named
	AnyLine                    // on any line, not between lines
	Anywhere                   // wherever the half-nuts close
)

// String is the answer in words.
func (h HalfNuts) String() string {
	switch h {
	case TheseLines:
		return "these lines only"
	case AnyLine:
		return "any line, not between lines"
	case Anywhere:
		return "anywhere"
	default:
		return "half-nuts stay closed"
	}
}

// Marks is which lines of a threading dial serve for a thread.
type Marks struct {
	HalfNuts HalfNuts
	Lines    []int       // the lines that serve, rising; none with StayClosed
	Step     int         // lines from one to the next; 0 with StayClosed
	Threads  int64       // leadscrew threads after which thread and leadscrew come together again
	Common   calc.Length // the travel of that many, rounded to the nanometre
}

// Marks is which lines serve for a thread of a lead. Closing the half-nuts k lines
// later is right when k x wheel / lines is a whole number, so that they close, and
// that many leadscrew pitches are a whole number of leads, so that the tool finds
// its groove. Where the same line is not right every time it comes round, the
// half-nuts stay closed.
func (d ThreadDial) Marks(leadscrew, lead calc.Lead) (Marks, error) {
	if err := d.Check(); err != nil {
		return Marks{}, err
	}
	m, err := Repeat(leadscrew, lead)
	if err != nil {
		return m, err
	}
	if m.HalfNuts == Anywhere {
		m.Step = 1
		for i := range d.Lines {
			m.Lines = append(m.Lines, i+1)
		}
		return m, nil
	}
	n, wheel := int64(d.Lines), int64(d.Wheel)
	for k := int64(1); k <= n; k++ {
		if n%k != 0 || k*wheel%n != 0 || k*wheel/n%m.Threads != 0 {
			continue
		}
		m.Step, m.HalfNuts = int(k), TheseLines
		if k == 1 {
			m.HalfNuts = AnyLine
		}
		first := max(1, d.First)
		for i := range d.Lines {
			if (i+1-first)%int(k) == 0 {
				m.Lines = append(m.Lines, i+1)
			}
		}
		break
	}
	return m, nil
}

// Repeat is how far thread and leadscrew are from coming together again, without a
// dial: after how many leadscrew threads, and what travel. One thread means that
// the half-nuts may close anywhere.
func Repeat(leadscrew, lead calc.Lead) (Marks, error) {
	if leadscrew.Sign() <= 0 || lead.Sign() <= 0 {
		return Marks{}, errors.New("leadscrew and thread need leads above zero, such as 16 tpi and 1.5 mm")
	}
	r, err := leadscrew.Over(lead)
	if err != nil {
		return Marks{}, err
	}
	m := Marks{Threads: r.Den(), Common: leadscrew.Travel(calc.Whole(r.Den()))}
	if m.Threads == 1 {
		m.HalfNuts = Anywhere
	}
	return m, nil
}

// DialWheel is the smallest wheel of at least a number of teeth whose dial comes
// right in one turn for all of these leads, and the lines it may have, each of them
// right for all; it is an error where the wheel would have more than 200 teeth.
func DialWheel(leadscrew calc.Lead, least int, leads ...calc.Lead) (ThreadDial, error) {
	threads := int64(1)
	for _, l := range leads {
		m, err := Repeat(leadscrew, l)
		if err != nil {
			return ThreadDial{}, err
		}
		threads = threads / gcd(threads, m.Threads) * m.Threads
		if threads > 200 {
			return ThreadDial{}, fmt.Errorf("a wheel of %d teeth: no dial serves these leads on a leadscrew of %s, leave the half-nuts closed", threads, leadscrew)
		}
	}
	n := int64(max(1, least))
	teeth := (n + threads - 1) / threads * threads
	if teeth > 200 {
		return ThreadDial{}, fmt.Errorf("a wheel of %d teeth: no dial serves these leads on a leadscrew of %s, leave the half-nuts closed", teeth, leadscrew)
	}
	return ThreadDial{Wheel: int(teeth), Lines: int(teeth / threads)}, nil
}

// Useful says whether a dial comes right for every thread of a whole number per
// inch (or, on a metric screw, of whole millimetres) at least once a turn: one
// that does not is not worth reading.
func (d ThreadDial) Useful(leadscrew calc.Lead) bool {
	unit := calc.PerTurn(calc.Inch)
	if tpi, err := leadscrew.PerInch(); err != nil || tpi.Den() > 4 {
		unit = calc.PerTurn(calc.Millimetre)
	}
	turns, err := calc.PerTurn(d.Turn(leadscrew)).Over(unit)
	return err == nil && turns.Den() == 1 && d.Lines > 0 && d.Wheel%d.Lines == 0
}

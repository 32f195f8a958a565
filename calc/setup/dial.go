package setup

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"math/bits"

	"turncue/calc"
)

// Dial is the ring of a handwheel. Travel per turn is what the slide really
// moves; Marked is what the ring says for it. They differ by a little on a ring
// that does not belong to its screw (1.25 mm marked on a screw of 20 tpi), and
// by a factor of two on a ring that shows the change of diameter.
type Dial struct {
	Travel     calc.Length // true slide travel per turn
	Marked     calc.Length // what the ring says per turn; 0 is Travel, or twice Travel OnDiameter
	Divisions  int         // lines on the ring
	OnDiameter bool        // the ring shows the change of diameter
	Slack      calc.Length // slide travel lost on reversing; 0 is none
}

// The limits of [Dial.Check].
const (
	maxDivisions = 2000
	maxTravel    = 100 * calc.Millimetre
)

// Check refuses a dial that cannot be one. A marking more than a tenth away from
// the travel it stands for (twice the travel OnDiameter) is taken for a mistake
// in the figures rather than for an odd ring.
func (d Dial) Check() error {
	switch {
	case d.Travel <= 0:
		return errors.New("dial travel per turn is not above zero: give what the slide really moves in one turn")
	case d.Travel > maxTravel:
		return fmt.Errorf("dial travel of %s per turn is more than any handwheel gives (%s)", d.Travel, maxTravel)
	case d.Marked < 0:
		return fmt.Errorf("dial marked %s per turn: leave the marking out where it agrees with the screw", d.Marked)
	case d.Divisions < 1:
		return fmt.Errorf("dial with %d divisions: count the lines on the ring", d.Divisions)
	case d.Divisions > maxDivisions:
		return fmt.Errorf("dial with %d divisions: no ring has more than %d", d.Divisions, maxDivisions)
	case d.Slack < 0:
		return fmt.Errorf("dial slack %s is below zero: give the travel lost on reversing", d.Slack)
	case d.Slack >= 3*d.Travel:
		return fmt.Errorf("dial slack %s is three turns or more: adjust the slide before working with it", d.Slack)
	}
	want := d.Travel
	if d.OnDiameter {
		want = 2 * d.Travel
	}
	if off := (d.marked() - want).Abs(); off > want/10 {
		return fmt.Errorf("dial marked %s per turn on %s of travel: %s", d.marked(), d.Travel, d.remedy())
	}
	return nil
}

func (d Dial) remedy() string {
	switch m := d.marked(); {
	case !d.OnDiameter && (m-2*d.Travel).Abs() <= d.Travel/5:
		return "a ring that says twice the travel shows diameter, say so"
	case d.OnDiameter && (m-d.Travel).Abs() <= d.Travel/10:
		return "a ring that says the travel shows radius, say so"
	default:
		return "measure the travel of one turn with a dial gauge"
	}
}

// marked is what the ring says per turn, with the default filled in.
func (d Dial) marked() calc.Length {
	switch {
	case d.Marked != 0:
		return d.Marked
	case d.OnDiameter:
		return 2 * d.Travel
	default:
		return d.Travel
	}
}

// Division is the true slide travel of one division, rounded to the nanometre.
// It is for showing and for limits; a position is never made by adding
// divisions up, [Dial.Setting] and [Dial.Snap] keep the fraction.
func (d Dial) Division() calc.Length { return d.lines(1) }

// MarkedDivision is what the ring says for one division, rounded to the
// nanometre.
func (d Dial) MarkedDivision() calc.Length {
	if d.Divisions < 1 {
		return 0
	}
	return scale(d.marked(), 1, int64(d.Divisions))
}

// Setting is a position as the ring shows it.
type Setting struct {
	Turns     int         // whole turns from zero, the floor: -1 is up to one turn outwards
	Reading   calc.Length // what the ring shows, from 0 to less than one turn
	Divisions calc.Ratio  // the line on the ring, from 0 to less than one turn
	Exact     calc.Ratio  // divisions from zero before rounding to a line
	Rest      calc.Length // travel wanted less the travel set, at most half a division
}

// Setting is where the ring stands when the slide is that far from its zero,
// inwards positive, rounded to the nearest division (halves away from zero) once
// on the whole distance. Call [Dial.Check] first: a dial without travel or
// divisions gives the zero Setting.
func (d Dial) Setting(offset calc.Length) Setting {
	if d.Travel <= 0 || d.Divisions < 1 {
		return Setting{}
	}
	lines := d.nearest(offset)
	n := int64(d.Divisions)
	turns, line := lines/n, lines%n
	if line < 0 {
		turns, line = turns-1, line+n
	}
	s := Setting{
		Turns:     int(turns),
		Reading:   scale(d.marked(), line, n),
		Divisions: calc.Whole(line),
		Rest:      offset - d.lines(lines),
	}
	s.Exact = d.exactly(offset, lines)
	return s
}

// Position is the true travel from zero at a setting read off the ring, rounded
// half away from zero to the nanometre. The reading is in what the ring says.
func (d Dial) Position(turns int, reading calc.Length) calc.Length {
	m := d.marked()
	if m <= 0 {
		return 0
	}
	const many = 1_000_000 // turns, and as many metres
	if turns > many || turns < -many || reading.Abs() > maxTravel*many || m > maxTravel*many {
		r := big.NewRat(int64(reading), int64(m))
		r.Add(r, big.NewRat(int64(turns), 1))
		return calc.Length(round(r.Mul(r, big.NewRat(int64(d.Travel), 1)))) * calc.Nanometre
	}
	return scale(d.Travel, int64(reading)+int64(turns)*int64(m), int64(m))
}

// Snap is the travel nearest to the offset that stands on a division, rounded to
// the nanometre.
func (d Dial) Snap(offset calc.Length) calc.Length {
	if d.Travel <= 0 || d.Divisions < 1 {
		return offset
	}
	return d.lines(d.nearest(offset))
}

// SnapIn is the travel on a division that is not beyond the offset: the last
// line before it, where going past would take too much off.
func (d Dial) SnapIn(offset calc.Length) calc.Length {
	if d.Travel <= 0 || d.Divisions < 1 {
		return offset
	}
	n := d.nearest(offset)
	if !d.reaches(offset, n) {
		n--
	}
	return d.lines(n)
}

// WholeTurnsClear is the smallest whole number of turns out that leaves a depth
// cut so far, takes up the slack and stays clear by a margin, so that the ring
// comes back to the same reading.
func (d Dial) WholeTurnsClear(depth, margin calc.Length) int {
	if d.Travel <= 0 {
		return 0
	}
	need := depth.Abs() + d.Slack + margin
	return max(1, int(need.Ceil(d.Travel)/d.Travel))
}

// exact is the distance in divisions, exactly.
func (d Dial) exact(offset calc.Length) *big.Rat {
	r := big.NewRat(int64(offset), int64(d.Travel))
	return r.Mul(r, big.NewRat(int64(d.Divisions), 1))
}

// exactly is the distance in divisions; where it does not fit, the lines nearest to it.
func (d Dial) exactly(offset calc.Length, lines int64) calc.Ratio {
	if n, ok := times(int64(offset), int64(d.Divisions)); ok {
		if r, err := calc.NewRatio(n, int64(d.Travel)); err == nil {
			return r
		}
	}
	if r, err := ratio(d.exact(offset)); err == nil {
		return r
	}
	return calc.Whole(lines)
}

// nearest is the distance in whole divisions, halves away from zero.
func (d Dial) nearest(offset calc.Length) int64 {
	return int64(scale(offset, int64(d.Divisions), int64(d.Travel)))
}

// reaches says that so many divisions are not beyond an offset.
func (d Dial) reaches(offset calc.Length, lines int64) bool {
	a, fits := times(int64(offset), int64(d.Divisions))
	b, fit := times(lines, int64(d.Travel))
	if fits && fit {
		return a >= b
	}
	return d.exact(offset).Cmp(big.NewRat(lines, 1)) >= 0
}

// times is a product; ok is false where 64 bits do not hold it. b is above zero.
func times(a, b int64) (p int64, ok bool) {
	p = a * b
	return p, p/b == a
}

// lines is the true travel of so many divisions.
func (d Dial) lines(n int64) calc.Length {
	if d.Divisions < 1 {
		return 0
	}
	return scale(d.Travel, n, int64(d.Divisions))
}

// scale is l x num / den, rounded half away from zero to the nanometre; den is above
// zero.
func scale(l calc.Length, num, den int64) calc.Length {
	hi, lo := bits.Mul64(magnitude(int64(l)), magnitude(num))
	lo, carry := bits.Add64(lo, uint64(den)/2, 0)
	if hi += carry; hi >= uint64(den) {
		return scaleLong(l, num, den)
	}
	q, _ := bits.Div64(hi, lo, uint64(den))
	if q > math.MaxInt64 {
		return scaleLong(l, num, den)
	}
	if (l < 0) != (num < 0) {
		return -(calc.Length(q) * calc.Nanometre)
	}
	return calc.Length(q) * calc.Nanometre
}

// magnitude is a number without its sign.
func magnitude(n int64) uint64 {
	if n < 0 {
		return -uint64(n)
	}
	return uint64(n)
}

// scaleLong is scale where 64 bits do not hold it.
func scaleLong(l calc.Length, num, den int64) calc.Length {
	r := new(big.Rat).SetFrac(big.NewInt(num), big.NewInt(den))
	return calc.Length(round(r.Mul(r, big.NewRat(int64(l), 1)))) * calc.Nanometre
}

// microns is so many micrometres.
func microns(n int64) calc.Length { return calc.Length(n) * calc.Micrometre }

// round is the nearest whole number, halves away from zero.
func round(r *big.Rat) int64 {
	n := new(big.Int).Abs(r.Num())
	n.Lsh(n, 1).Add(n, r.Denom())
	n.Quo(n, new(big.Int).Lsh(r.Denom(), 1))
	if r.Sign() < 0 {
		n.Neg(n)
	}
	return n.Int64()
}

func ratio(r *big.Rat) (calc.Ratio, error) {
	if !r.Num().IsInt64() || !r.Denom().IsInt64() {
		return calc.Ratio{}, fmt.Errorf("ratio %s does not fit in 64 bits", r.FloatString(6))
	}
	return calc.NewRatio(r.Num().Int64(), r.Denom().Int64())
}

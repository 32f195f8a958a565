package bench

import (
	"math/bits"

	"turncue/calc"
)

// Piece is a stretch of the work with straight sides: a cylinder where Left and
// Right agree, else a cone.
type Piece struct {
	From, To    calc.Length // z
	Left, Right calc.Length // diameters at From and To
	Thread      *Thread     // nil for none
	Knurl       *Knurl      // nil for none
	Step        int         // the step that left it so; zero for the raw bar

	latest int // the last step that cut any of it
}

// Thread is a thread as it was cut into a piece.
type Thread struct {
	Lead     calc.Lead   // what the gears cut
	Depth    calc.Length // on radius, from the turned diameter
	Passes   int
	From, To calc.Length // z over which the tool's point travelled

	// Of a thread without a groove: z to which it is full, and where it has faded out.
	Full, Faded calc.Length

	root calc.Length // diameter the tip has reached
}

// Profile is the work from the free end towards the chuck, without overlaps.
type Profile []Piece

// edge is a straight line that nothing of the work may stick out of: what a tool
// leaves behind when it cuts, or stands at when it does not.
type edge struct {
	from, to    calc.Length // z
	left, right calc.Length // diameters at from and to
}

func flat(from, to, diameter calc.Length) edge { return edge{from, to, diameter, diameter} }

// far is further than any lathe reaches.
const far = 100_000 * calc.Millimetre

// at is the diameter of a line at z.
func (e edge) at(z calc.Length) calc.Length { return between(e.from, e.to, e.left, e.right, z) }

func (p Piece) edge() edge { return edge{p.From, p.To, p.Left, p.Right} }

// between reads a straight line at z, rounded to the nanometre.
func between(from, to, left, right, z calc.Length) calc.Length {
	switch {
	case left == right || z <= from:
		return left
	case z >= to:
		return right
	}
	return left + share(right-left, z-from, to-from)
}

// share is l x part / whole for a part between zero and the whole, rounded half
// away from zero.
func share(l, part, whole calc.Length) calc.Length {
	if l < 0 {
		return -share(-l, part, whole)
	}
	hi, lo := bits.Mul64(uint64(l), uint64(part))
	lo, carry := bits.Add64(lo, uint64(whole)/2, 0)
	q, _ := bits.Div64(hi+carry, lo, uint64(whole))
	return calc.Length(q) * calc.Nanometre
}

// At is the diameter of the work at z: the larger side where z is at a shoulder,
// zero where there is no work.
func (p Profile) At(z calc.Length) calc.Length {
	var d calc.Length
	for _, q := range p {
		if q.From <= z && z <= q.To {
			d = max(d, q.edge().at(z))
		}
	}
	return d
}

// piece is the piece at z, towards the chuck where two meet; nil for none.
func (p Profile) piece(z calc.Length) *Piece {
	for i := len(p) - 1; i >= 0; i-- {
		if p[i].From <= z && z <= p[i].To {
			return &p[i]
		}
	}
	return nil
}

// span is the smallest and largest diameter strictly between two places; ok is
// false where there is no work.
func (p Profile) span(from, to calc.Length) (smallest, largest calc.Length, ok bool) {
	for _, q := range p {
		a, b := max(from, q.From), min(to, q.To)
		if a >= b {
			continue
		}
		l, r := q.edge().at(a), q.edge().at(b)
		if !ok {
			smallest, largest = l, l
		}
		ok = true
		smallest, largest = min(smallest, l, r), max(largest, l, r)
	}
	return smallest, largest, ok
}

// room is how far the work stays inside an edge, on diameter; below zero it
// sticks out. ok is false where they do not meet.
func (p Profile) room(e edge) (room calc.Length, ok bool) {
	for _, q := range p {
		a, b := max(e.from, q.From), min(e.to, q.To)
		if a >= b {
			continue
		}
		r := min(e.at(a)-q.edge().at(a), e.at(b)-q.edge().at(b))
		if !ok || r < room {
			room, ok = r, true
		}
	}
	return room, ok
}

// cut takes off what sticks out of an edge and returns what is left, appended to
// dst, and the most that came off, on diameter.
func (p Profile) cut(dst Profile, e edge, step int) (Profile, calc.Length) {
	var most calc.Length
	for _, q := range p {
		a, b := max(e.from, q.From), min(e.to, q.To)
		if a >= b {
			dst = dst.add(q)
			continue
		}
		dst = dst.add(q.part(q.From, a))
		over := func(z calc.Length) calc.Length { return q.edge().at(z) - e.at(z) }
		oa, ob := over(a), over(b)
		most = max(most, oa, ob)
		switch {
		case oa <= 0 && ob <= 0:
			dst = dst.add(q.part(a, b))
		case oa >= 0 && ob >= 0:
			dst = dst.add(q.turned(e, a, b, step))
		default:
			c := a + share(b-a, oa.Abs(), oa.Abs()+ob.Abs())
			if oa > 0 {
				dst = dst.add(q.turned(e, a, c, step))
				dst = dst.add(q.part(c, b))
			} else {
				dst = dst.add(q.part(a, c))
				dst = dst.add(q.turned(e, c, b, step))
			}
		}
		dst = dst.add(q.part(b, q.To))
	}
	return dst, most
}

// part is the stretch of a piece between two places inside it.
func (q Piece) part(from, to calc.Length) Piece {
	r := q
	r.From, r.To = from, to
	r.Left, r.Right = q.edge().at(from), q.edge().at(to)
	return r
}

// turned is the stretch of a piece between two places brought down to an edge.
func (q Piece) turned(e edge, from, to calc.Length, step int) Piece {
	return Piece{From: from, To: to, Left: e.at(from), Right: e.at(to), Thread: q.Thread, Step: step, latest: step}
}

// add appends a piece: nothing for an empty one or one turned away, and grown on
// to the last where it goes on as a cylinder; the longer of the two says which
// step left it so.
func (p Profile) add(q Piece) Profile {
	if q.To <= q.From || (q.Left <= 0 && q.Right <= 0) {
		return p
	}
	q.Left, q.Right = max(q.Left, 0), max(q.Right, 0)
	if n := len(p); n > 0 {
		last := &p[n-1]
		if last.To == q.From && last.Left == last.Right && q.Left == q.Right && last.Left == q.Left && last.Thread == q.Thread && last.Knurl == q.Knurl && (last.Step == relic) == (q.Step == relic) {
			if q.To-q.From > last.To-last.From {
				last.Step = q.Step
			}
			last.To, last.latest = q.To, max(last.latest, q.latest)
			return p
		}
	}
	return append(p, q)
}

// gap is the index of the first piece that no longer hangs on to the one before
// it; zero when the work is whole.
func (p Profile) gap() int {
	for i := 1; i < len(p); i++ {
		if p[i].From > p[i-1].To {
			return i
		}
	}
	return 0
}

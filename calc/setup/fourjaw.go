package setup

import "turncue/calc"

// FourJawMove is what to do with a pair of opposite jaws: move the bar by so much
// away from the jaw that reads high.
type FourJawMove struct {
	From, To int         // slacken To, tighten From; jaws 1 to 4
	Move     calc.Length // half the difference of the readings; zero leaves the pair
}

// FourJawMoves is the moves for readings of an indicator at the four jaws, larger
// where the bar stands out more: pairs of opposite jaws, the pair further out first.
// In practice take about a third of a move when the high spot is not at a jaw, then
// finish by tightening (a teaching page; theory says the whole).
func FourJawMoves(readings [4]calc.Length) [2]FourJawMove {
	pair := func(i int) FourJawMove {
		d := readings[i] - readings[i+2]
		if d < 0 {
			return FourJawMove{i + 3, i + 1, FourJaw(-d)}
		}
		return FourJawMove{i + 1, i + 3, FourJaw(d)}
	}
	a, b := pair(0), pair(1)
	if b.Move > a.Move {
		a, b = b, a
	}
	return [2]FourJawMove{a, b}
}

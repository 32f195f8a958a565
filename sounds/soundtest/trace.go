package soundtest

import (
	"math"
	"time"
)

// Above Heard a sound traced over gaps was played, below NotHeard it was not: an
// undisturbed capture gives 1.00, another sentence with a word in common about 0.3.
const (
	Heard    = 0.80
	NotHeard = 0.60
)

const (
	piece      = Rate / 20       // 50 ms
	mostGap    = Rate * 6 / 10   // inserted at one place
	mostDrop   = Rate / 10       // lost at one place
	pieceMatch = 0.95            // above it a piece is at its place
	quietPiece = 1e-3            // of the loudest piece's energy: it says nothing
	anchors    = 3               // beginnings that are tried
	slack      = coarse + coarse // samples that the coarse search may be off
)

// Trace looks for an expected sound in a capture that may have gaps: silence put in
// where the player was late, pieces of sound lost after it. The expected sound is cut
// into pieces of 50 ms, which must follow each other in order, none further from the
// one before than 0.6 s later or 0.1 s earlier than it should be. It gives where the sound
// begins and the share of its energy that is in the pieces found.
func Trace(captured, expected []float64) (at time.Duration, share float64) {
	if len(expected) < piece || len(expected) > len(captured) {
		return Find(captured, expected)
	}
	tr := tracer{captured: captured, coarseC: sums(captured)}
	top, total := 0.0, 0.0
	for from := 0; from+piece <= len(expected); from += piece {
		x := expected[from : from+piece]
		e := 0.0
		for _, v := range x {
			e += v * v
		}
		top = max(top, e)
		tr.pieces = append(tr.pieces, x)
		tr.energy = append(tr.energy, e)
	}
	for i, e := range tr.energy {
		if e < quietPiece*top {
			tr.energy[i] = 0
		}
		total += tr.energy[i]
	}
	if total == 0 {
		return 0, 0
	}
	best := 0
	for n, p := range peaks(tr.coarseC, sums(expected)) {
		if n == anchors {
			break
		}
		if from, found := tr.follow(p * coarse); found/total > share {
			best, share = from, found/total
		}
	}
	return time.Duration(best) * time.Second / Rate, share
}

type tracer struct {
	captured, coarseC []float64
	pieces            [][]float64
	energy            []float64
}

// follow begins with the piece that fits best if the whole began at offset, and goes
// from there to both ends.
func (tr *tracer) follow(offset int) (from int, found float64) {
	first, best, place := -1, 0.0, 0
	for i := range tr.pieces {
		if tr.energy[i] == 0 {
			continue
		}
		if m, at := tr.near(i, offset+i*piece); m > best {
			first, best, place = i, m, at
		}
	}
	if best < pieceMatch {
		return offset, 0
	}
	found = tr.energy[first]
	from = place - first*piece
	for _, way := range []int{1, -1} {
		last, lastPlace := first, place
		for i := first + way; i >= 0 && i < len(tr.pieces); i += way {
			if tr.energy[i] == 0 {
				continue
			}
			due := lastPlace + (i-last)*piece
			m, at := tr.near(i, due)
			if m < pieceMatch && way > 0 {
				m, at = tr.search(i, due-mostDrop, due+mostGap)
			} else if m < pieceMatch {
				m, at = tr.search(i, due-mostGap, due+mostDrop)
			}
			if m >= pieceMatch {
				found += tr.energy[i]
				last, lastPlace = i, at
				from = min(from, at-i*piece)
			}
		}
	}
	return max(0, from), found
}

// near compares piece i with the captured samples within slack of a place.
func (tr *tracer) near(i, place int) (match float64, at int) {
	for j := max(0, place-slack); j <= min(place+slack, len(tr.captured)-piece); j++ {
		if m := correlation(tr.captured[j:j+piece], tr.pieces[i]); m > match {
			match, at = m, j
		}
	}
	return match, at
}

// search looks for piece i between two places.
func (tr *tracer) search(i, from, to int) (match float64, at int) {
	x := sums(tr.pieces[i])
	top, place := 0.0, 0
	for j := max(0, from/coarse); j <= min(to/coarse, len(tr.coarseC)-len(x)); j++ {
		var ab, aa float64
		for k, v := range x {
			c := tr.coarseC[j+k]
			ab += v * c
			aa += c * c
		}
		if ab > 0 && ab/math.Sqrt(aa) > top {
			top, place = ab/math.Sqrt(aa), j
		}
	}
	return tr.near(i, place*coarse)
}

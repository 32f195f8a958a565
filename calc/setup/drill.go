package setup

import (
	"errors"
	"fmt"
	"math"
	"time"

	"turncue/calc"
)

// CommonPoint is the point angle of a common twist drill.
const CommonPoint = 118 * calc.Degree

// PointLength is the length of a drill's point, rounded to the nanometre; it is
// added for through holes. An angle of 0 is [CommonPoint].
func PointLength(diameter calc.Length, point calc.Angle) calc.Length {
	if point == 0 {
		point = CommonPoint
	}
	return calc.Millimetres(diameter.Millimetres() / 2 / math.Tan(point.Radians()/2))
}

// QuillTurns is the exact turns of a tailstock wheel for a depth, zeroed when the
// drill's corners start to cut.
func QuillTurns(depth calc.Length, quill calc.Lead) (calc.Ratio, error) {
	if quill.Sign() <= 0 {
		return calc.Ratio{}, errors.New("tailstock wheel without a travel per turn: give what the quill moves in one turn")
	}
	return quill.Turns(depth)
}

// QuillTime is how long one turn of the tailstock wheel should take for a feed per
// turn of the spindle, rounded to the millisecond; zero where nothing turns.
func QuillTime(quill calc.Lead, feed calc.Length, n calc.Speed) time.Duration {
	if feed <= 0 {
		return 0
	}
	turns, err := quill.Over(calc.PerTurn(feed))
	if err != nil {
		return 0
	}
	return n.Time(turns)
}

// Pecks is the depths of the drill's corners, each absolute, at which to withdraw
// and clear the swarf: first at three diameters, then every diameter, half of one
// where the swarf is short of room (aluminium, stainless). The last is the depth.
func Pecks(diameter, depth calc.Length, short bool) []calc.Length {
	if diameter <= 0 || depth <= 0 {
		return nil
	}
	step := diameter
	if short {
		step = diameter / 2
	}
	var out []calc.Length
	for d := 3 * diameter; d < depth && len(out) < 1000; d += max(step, calc.Nanometre) {
		out = append(out, d)
	}
	return append(out, depth)
}

// Deep is what is left of speed and feed in a hole as deep as so many diameters, as
// shares of 1: the published reductions, the middle where a range is given, from
// three diameters on.
func Deep(depth, diameter calc.Length) (speed, feed float64) {
	switch {
	case diameter <= 0 || depth < 3*diameter:
		return 1, 1
	case depth < 4*diameter:
		return 0.9, 0.9
	case depth < 5*diameter:
		return 0.8, 0.9
	case depth < 6*diameter:
		return 0.7, 0.8
	default:
		return 0.6, 0.8
	}
}

// ReamAllowance is what to leave on diameter for a machine reamer: a published
// range by size. Half of it suits a hand reamer (from memory).
func ReamAllowance(diameter calc.Length) (low, high calc.Length, err error) {
	const um = calc.Micrometre
	for _, r := range []struct{ from, to, low, high calc.Length }{
		{2300 * um, 4300 * um, 130 * um, 250 * um}, {4300 * um, 7100 * um, 200 * um, 300 * um},
		{7100 * um, 22400 * um, 250 * um, 400 * um}, {22400 * um, 64000 * um, 400 * um, 750 * um},
	} {
		if diameter >= r.from && diameter <= r.to {
			return r.low, r.high, nil
		}
	}
	return 0, 0, fmt.Errorf("no reaming allowance for %s: the table goes from 2.3 to 64 mm, bore to size instead", diameter)
}

// BeforeReaming is the diameter to drill or bore to for a reamer, leaving an
// allowance on diameter; 0 takes the middle of [ReamAllowance] rounded down to a
// tenth of a millimetre, and never less than its least.
func BeforeReaming(diameter, allowance calc.Length) (calc.Length, error) {
	if allowance == 0 {
		low, high, err := ReamAllowance(diameter)
		if err != nil {
			return 0, err
		}
		allowance = max(low, calc.Mid(low, high).Floor(100*calc.Micrometre))
	}
	if allowance < 0 || allowance >= diameter {
		return 0, fmt.Errorf("an allowance of %s on a hole of %s", allowance, diameter)
	}
	return diameter - allowance, nil
}

// CentreDrill is a centre drill for work of a range of diameters.
type CentreDrill struct {
	Pilot, Body  calc.Length
	From, To     calc.Length // diameters of work
	Countersunk  calc.Length // diameter of the finished countersink
	AfterSources string      // "handbook" or "memory"
}

var centreDrills = []CentreDrill{
	centre(500, 3150, 0, 4, 1500, "handbook"), centre(800, 3150, 4, 6, 2000, "handbook"), centre(1000, 3150, 6, 10, 2500, "handbook"),
	centre(1600, 4000, 8, 14, 3400, "memory"), centre(2000, 5000, 10, 25, 5000, "handbook"), centre(2500, 6300, 15, 32, 5300, "memory"),
	centre(3150, 8000, 25, 63, 8000, "handbook"), centre(4000, 10000, 40, 80, 8500, "memory"), centre(5000, 12500, 63, 100, 12000, "memory"),
	centre(6300, 16000, 80, 140, 14000, "memory"),
}

// centre is a row of the table: micrometres, and millimetres of work.
func centre(pilot, body, from, to, sunk int64, source string) CentreDrill {
	return CentreDrill{microns(pilot), microns(body), microns(1000 * from), microns(1000 * to), microns(sunk), source}
}

// CentreDrillFor is the centre drill for a diameter of work: of the sizes that
// serve, the one a handbook lists, the smaller where two do.
func CentreDrillFor(work calc.Length) (CentreDrill, error) {
	var best CentreDrill
	for _, c := range centreDrills {
		if work > c.From && work <= c.To && (best.Pilot == 0 || best.AfterSources == "memory" && c.AfterSources == "handbook") {
			best = c
		}
	}
	if best.Pilot == 0 {
		return best, fmt.Errorf("no centre drill for work of %s: the table ends at 140 mm", work)
	}
	return best, nil
}

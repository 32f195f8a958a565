package cutting

import (
	"fmt"

	"turncue/calc"
)

// Feeds is the carriage travel per turn for an operation on a small lathe, and
// the one to start with.
type Feeds struct{ Min, Max, Start calc.Length }

// feeds is feeds given in micrometres.
func feeds(low, high, start int64) Feeds { return Feeds{microns(low), microns(high), microns(start)} }

// microns is so many micrometres.
func microns(n int64) calc.Length { return calc.Length(n) * calc.Micrometre }

// Feed is the feed per turn. The diameter matters for drilling alone. Published
// engine-lathe figures are two to four times the roughing ones: small lathes run
// out of power and stiffness first. A thread's feed is its lead.
func (m Material) Feed(op Op, diameter calc.Length) (Feeds, error) {
	if f, ok := m.Feeds[op]; ok {
		return Feeds{f, f, f}, nil
	}
	switch op {
	case Turn:
		switch m.Group {
		case Stainless:
			return feeds(80, 150, 100), nil
		case Iron, Copperlike, Aluminium:
			return feeds(100, 250, 150), nil
		case Plastic:
			return feeds(100, 400, 200), nil
		case Titanium:
			return feeds(80, 150, 100), nil
		default:
			return feeds(80, 200, 120), nil
		}
	case Finish:
		if m.Group == Plastic {
			return feeds(50, 130, 100), nil
		}
		return feeds(30, 100, 60), nil
	case Face:
		return feeds(40, 120, 80), nil
	case Bore:
		return feeds(30, 100, 60), nil
	case Part, Groove:
		return feeds(20, 60, 40), nil
	case Ream:
		return feeds(100, 400, 200), nil
	case Knurl:
		return feeds(200, 500, 300), nil
	case Drill:
		switch {
		case diameter <= 0:
			return Feeds{}, fmt.Errorf("drill diameter %s is not above zero", diameter)
		case diameter <= 3*calc.Millimetre:
			return feeds(25, 75, 40), nil
		case diameter <= 6*calc.Millimetre:
			return feeds(50, 150, 80), nil
		case diameter <= 13*calc.Millimetre:
			return feeds(100, 250, 140), nil
		case diameter <= 25*calc.Millimetre:
			return feeds(180, 380, 220), nil
		default:
			return Feeds{}, fmt.Errorf("no feed for a drill of %s: tables end at 25 mm, bore instead", diameter)
		}
	}
	return Feeds{}, fmt.Errorf("no feed for the operation %s", op)
}

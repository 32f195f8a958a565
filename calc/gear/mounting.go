package gear

import (
	"fmt"

	"turncue/calc"
)

// A fault is one reason why a train cannot be mounted.
type fault struct {
	kind  faultKind
	wheel int         // the wheel in the way
	other int         // the wheel on the shaft it touches, 0 for none
	have  calc.Length // what there is
	need  calc.Length // what there should be
}

type faultKind int

const (
	touchesShaft faultKind = iota // wheel too near the shaft of other
	tooFar                        // the wheels do not span the shafts
	tooNear                       // the wheels are larger than the span
	slotShort                     // the stud would be outside the slot, too near the leadscrew
	slotLong                      // the same, too far
	touchesFirst                  // the wheel on the leadscrew touches the first shaft
	touchesScrew                  // the first driver touches the leadscrew
	overCover                     // a wheel is too large for the cover
	fewStuds                      // not enough studs; have and need are counts
)

func (f fault) String() string {
	short := func() string {
		return fmt.Sprintf("%s, %s needed: %s short", mm(f.have), mm(f.need), mm((f.need - f.have).Abs()))
	}
	switch f.kind {
	case touchesShaft:
		return fmt.Sprintf("the %d wheel touches the shaft of the %d: tip to shaft centre %s", f.wheel, f.other, short())
	case tooFar:
		return fmt.Sprintf("the wheels do not reach from spindle to leadscrew: together %s", short())
	case tooNear:
		return fmt.Sprintf("the wheels are too large for the distance from spindle to leadscrew: %s there, %s at least taken up: %s too much", mm(f.have), mm(f.need), mm(f.need-f.have))
	case slotShort:
		return fmt.Sprintf("the stud of the %d comes too near the leadscrew for the slot: %s", f.wheel, short())
	case slotLong:
		return fmt.Sprintf("the stud of the %d comes too far from the leadscrew for the slot: %s, at most %s: %s too far", f.wheel, mm(f.have), mm(f.need), mm(f.have-f.need))
	case touchesFirst:
		return fmt.Sprintf("the %d wheel on the leadscrew touches the first shaft: tip to shaft centre %s", f.wheel, short())
	case touchesScrew:
		return fmt.Sprintf("the %d wheel on the first shaft touches the leadscrew: tip to shaft centre %s", f.wheel, short())
	case overCover:
		return fmt.Sprintf("the %d wheel is too large for the gear cover: %s across, %s covered: %s too much", f.wheel, mm(f.have), mm(f.need), mm(f.have-f.need))
	default:
		return fmt.Sprintf("needs %d studs, the banjo has %d", int64(f.need), int64(f.have))
	}
}

// mm is a length to a hundredth of a millimetre.
func mm(l calc.Length) string { return l.Trimmed(calc.Millimetre, 2) + " mm" }

// shaft is one place of a laid-out train: the wheels that turn together, in is
// meshed with by the shaft before, out with the one after. On an idler's stud in
// and out are the same wheel.
type shaft struct {
	in, out int // 0 at the ends
	idler   bool
}

// shafts is the train as a chain of shafts from the first driver to the
// leadscrew.
func (t Train) shafts() []shaft {
	s := []shaft{{out: t.Drivers[0]}}
	for i := range t.Drivers {
		for k, z := range t.Idlers {
			if t.mesh(k) == i {
				s = append(s, shaft{in: z, out: z, idler: true})
			}
		}
		last := shaft{in: t.Driven[i]}
		if i+1 < len(t.Drivers) {
			last.out = t.Drivers[i+1]
		}
		s = append(s, last)
	}
	return s
}

// mounting is the gaps at each stud with two wheels and every reason why the
// train cannot be mounted; none means that it can, as far as is known.
func (b Banjo) mounting(t Train) (gaps []calc.Length, faults []fault) {
	s := t.shafts()
	for i := 1; i+1 < len(s); i++ {
		if s[i].idler {
			continue
		}
		before, after := s[i-1].out, s[i+1].in
		g1 := b.gap(before, s[i].in, s[i].out)
		g2 := b.gap(s[i].out, after, s[i].in)
		gaps = append(gaps, g1, g2)
		if g1 < b.clearance() {
			faults = append(faults, fault{touchesShaft, s[i].out, before, g1, b.clearance()})
		}
		if g2 < b.clearance() {
			faults = append(faults, fault{touchesShaft, s[i].in, after, g2, b.clearance()})
		}
	}
	if b.Studs != 0 && len(s)-2 > b.Studs {
		faults = append(faults, fault{kind: fewStuds, have: calc.Length(b.Studs), need: calc.Length(len(s) - 2)})
	}
	if b.Cover != 0 {
		for _, z := range t.wheels() {
			if d := 2 * b.tip(z); d > b.Cover {
				faults = append(faults, fault{overCover, z, 0, d, b.Cover})
				break
			}
		}
	}
	return gaps, append(faults, b.spanned(s)...)
}

// spanned is what the distance from spindle to leadscrew and the slot have to
// say, where they are given.
func (b Banjo) spanned(s []shaft) (faults []fault) {
	n := len(s)
	last := b.centres(s[n-2].out, s[n-1].in)
	if n > 2 {
		if b.Near != 0 && last < b.Near {
			faults = append(faults, fault{slotShort, s[n-1].in, 0, last, b.Near})
		}
		if b.Far != 0 && last > b.Far {
			faults = append(faults, fault{slotLong, s[n-1].in, 0, last, b.Far})
		}
	}
	if b.Span == 0 {
		return faults
	}
	var sum, longest calc.Length
	for i := 1; i < n; i++ {
		c := b.centres(s[i-1].out, s[i].in)
		sum += c
		longest = max(longest, c)
	}
	if sum < b.Span {
		faults = append(faults, fault{kind: tooFar, have: sum, need: b.Span})
	}
	if least := 2*longest - sum; least > b.Span || (n == 2 && sum > b.Span) {
		faults = append(faults, fault{kind: tooNear, have: b.Span, need: max(least, longest)})
	}
	if n > 2 {
		if g := b.Span - b.tip(s[0].out); g < b.clearance() {
			faults = append(faults, fault{touchesScrew, s[0].out, 0, g, b.clearance()})
		}
		if g := b.Span - b.tip(s[n-1].in); g < b.clearance() {
			faults = append(faults, fault{touchesFirst, s[n-1].in, 0, g, b.clearance()})
		}
	}
	return faults
}

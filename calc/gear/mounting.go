package gear

import (
	"errors"
	"fmt"
	"math"

	"turncue/calc"
)

// A fault is one reason why a train cannot be mounted.
type fault struct {
	kind  faultKind
	wheel int         // the wheel in the way
	other int         // the wheel on the shaft it touches, 0 for none
	have  calc.Length // what there is
	need  calc.Length // what there should be
	at    calc.Angle  // where the banjo would stand, with badSwing
	limit calc.Angle  // the end of its swing
	studs int         // how many are needed, with fewStuds
	given int         // how many there are
}

// short is by how much a train misses, for finding the one that misses least. A
// swing, a place or a stud that is not there counts as a centimetre.
func (f fault) short() calc.Length {
	switch f.kind {
	case badSwing, noPlace, fewStuds:
		return 10 * calc.Millimetre
	}
	return (f.need - f.have).Abs()
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
	touchesWheel                  // first driver and the wheel on the leadscrew touch each other
	badSwing                      // the banjo does not swing that far
	noPlace                       // no position of two studs clears everything
	overCover                     // a wheel is too large for the cover
	fewStuds                      // not enough studs
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
	case touchesWheel:
		return fmt.Sprintf("the %d wheel on the first shaft touches the %d on the leadscrew: %s between the shafts, %s needed: %s short", f.wheel, f.other, mm(f.have), mm(f.need), mm(f.need-f.have))
	case badSwing:
		return fmt.Sprintf("the banjo would have to stand at %.1f degrees, %.1f degrees outside its swing", f.at.Degrees(), math.Abs((f.at - f.limit).Degrees()))
	case noPlace:
		return "no position of the studs in the swing of the banjo keeps every wheel clear of the others and of the shafts"
	case overCover:
		return fmt.Sprintf("the %d wheel is too large for the gear cover: %s across, %s covered: %s too much", f.wheel, mm(f.have), mm(f.need), mm(f.have-f.need))
	default:
		return fmt.Sprintf("needs %d studs, the banjo has %d", f.studs, f.given)
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

// chain is the shafts of a train, from the first driver to the leadscrew.
type chain []shaft

// shafts is the train as a chain of shafts from the first driver to the
// leadscrew, put behind s.
func (t Train) shafts(s chain) chain {
	s = append(s, shaft{out: t.Drivers[0]})
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
	var room [8]shaft
	s := t.shafts(room[:0])
	if len(t.Drivers) > 1 {
		gaps = make([]calc.Length, 0, 2*len(t.Drivers)-2)
	}
	for i := 1; i+1 < len(s); i++ {
		if s[i].idler {
			continue
		}
		before, after := s[i-1].out, s[i+1].in
		g1 := b.gap(before, s[i].in, s[i].out)
		g2 := b.gap(s[i].out, after, s[i].in)
		gaps = append(gaps, g1, g2)
		if need := b.need(i-1, len(s)); g1 < need {
			faults = append(faults, fault{kind: touchesShaft, wheel: s[i].out, other: before, have: g1, need: need})
		}
		if need := b.need(i+1, len(s)); g2 < need {
			faults = append(faults, fault{kind: touchesShaft, wheel: s[i].in, other: after, have: g2, need: need})
		}
	}
	if b.Studs != 0 && len(s)-2 > b.Studs {
		faults = append(faults, fault{kind: fewStuds, studs: len(s) - 2, given: b.Studs})
	}
	if b.Cover != 0 {
		for _, z := range t.Teeth() {
			if d := 2 * b.tip(z); d > b.Cover {
				faults = append(faults, fault{kind: overCover, wheel: z, have: d, need: b.Cover})
				break
			}
		}
	}
	if b.Span != 0 || b.Near != 0 || b.Far != 0 {
		faults = b.spanned(s, faults)
	}
	return gaps, faults
}

// spanned adds what the distance from spindle to leadscrew and the slot have to
// say, where they are given.
func (b Banjo) spanned(s chain, faults []fault) []fault {
	n := len(s)
	last := b.centres(s[n-2].out, s[n-1].in)
	if n > 2 {
		if b.Near != 0 && last < b.Near {
			faults = append(faults, fault{kind: slotShort, wheel: s[n-1].in, have: last, need: b.Near})
		}
		if b.Far != 0 && last > b.Far {
			faults = append(faults, fault{kind: slotLong, wheel: s[n-1].in, have: last, need: b.Far})
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
	if n == 2 || len(faults) > 0 {
		return faults
	}
	if g, need := b.Span-b.tip(s[0].out), b.need(n-1, n); g < need {
		faults = append(faults, fault{kind: touchesScrew, wheel: s[0].out, have: g, need: need})
	}
	if g, need := b.Span-b.tip(s[n-1].in), b.need(0, n); g < need {
		faults = append(faults, fault{kind: touchesFirst, wheel: s[n-1].in, have: g, need: need})
	}
	if need := b.tip(s[0].out) + b.tip(s[n-1].in); s.plane(n-1) == 0 && b.Span < need {
		faults = append(faults, fault{kind: touchesWheel, wheel: s[0].out, other: s[n-1].in, have: b.Span, need: need})
	}
	switch {
	case len(faults) > 0:
	case n == 3:
		if v := b.angle(s); b.SwingTo > 0 && (v < b.SwingFrom || v > b.SwingTo) {
			near := b.SwingFrom
			if v > b.SwingTo {
				near = b.SwingTo
			}
			faults = append(faults, fault{kind: badSwing, at: v, limit: near})
		}
	case n == 4 && !b.placed(s):
		faults = append(faults, fault{kind: noPlace})
	}
	return faults
}

// plane is the plane in which the i-th shaft is meshed with: the number of studs
// with two wheels before it.
func (s chain) plane(i int) (p int) {
	for _, sh := range s[1:i] {
		if !sh.idler {
			p++
		}
	}
	return p
}

// angle is the angle at the leadscrew between the first shaft and the one stud.
func (b Banjo) angle(s chain) calc.Angle {
	x := b.Span.Millimetres()
	r1 := b.centres(s[0].out, s[1].in).Millimetres()
	r2 := b.centres(s[1].out, s[2].in).Millimetres()
	return calc.Radians(math.Acos(min(1, max(-1, (x*x+r2*r2-r1*r1)/(2*x*r2)))))
}

// Angle is the angle at the leadscrew between the line to the first shaft and the
// line to the stud, for a train with one stud and a known span. It is an error
// where the wheels do not reach or are too large.
func (b Banjo) Angle(t Train) (calc.Angle, error) {
	if err := t.check(); err != nil {
		return 0, err
	}
	s := t.shafts(nil)
	if b.Span <= 0 || len(s) != 3 {
		return 0, errors.New("the angle of the banjo needs one stud and the distance from spindle to leadscrew")
	}
	for _, f := range b.spanned(s, nil) {
		if f.kind == tooFar || f.kind == tooNear {
			return 0, errors.New(f.String())
		}
	}
	return b.angle(s), nil
}

// placed says that two studs can be set so that nothing touches: the first is
// taken round the first shaft by half degrees, the second is then where both its
// distances are right.
func (b Banjo) placed(s chain) bool {
	const steps = 360
	x := b.Span.Millimetres()
	var r [3]float64
	for i := range r {
		r[i] = b.centres(s[i].out, s[i+1].in).Millimetres()
	}
	rules := b.apart(s)
	at := [4][2]float64{3: {x, 0}}
	for k := range steps + 1 {
		sin, cos := math.Sincos(float64(k) * math.Pi / steps)
		at[1] = [2]float64{r[0] * cos, r[0] * sin}
		// The second stud, at r[1] from the first and r[2] from the leadscrew.
		dx, dy := x-at[1][0], -at[1][1]
		d := math.Hypot(dx, dy)
		along := (d*d + r[1]*r[1] - r[2]*r[2]) / (2 * d)
		aside := r[1]*r[1] - along*along
		if aside < 0 {
			continue
		}
		aside = math.Sqrt(aside)
		for _, side := range [2]float64{aside, -aside} {
			at[2] = [2]float64{at[1][0] + (along*dx-side*dy)/d, at[1][1] + (along*dy+side*dx)/d}
			if b.SwingTo > 0 {
				v := calc.Radians(math.Atan2(math.Abs(at[2][1]), x-at[2][0]))
				if v < b.SwingFrom || v > b.SwingTo {
					continue
				}
			}
			if rules.kept(at) {
				return true
			}
		}
	}
	return false
}

// apart is how far in mm each two of four shafts have to stand apart so that no
// wheel touches a wheel it does not mesh with, nor a shaft.
type apart [4][4]float64

func (b Banjo) apart(s chain) (out apart) {
	var on [4][]placedWheel
	for i := range on {
		on[i] = s.on(i)
	}
	for i := range on {
		for j := range i {
			least := calc.Length(0)
			meshed := map[placedWheel]bool{}
			for _, w := range on[i] {
				for _, v := range on[j] {
					switch {
					case v.plane != w.plane:
					case i-j == 1:
						meshed[w], meshed[v] = true, true
					default:
						least = max(least, b.tip(w.teeth)+b.tip(v.teeth))
					}
				}
			}
			for _, w := range on[i] {
				if !meshed[w] {
					least = max(least, b.tip(w.teeth)+b.need(j, 4))
				}
			}
			for _, v := range on[j] {
				if !meshed[v] {
					least = max(least, b.tip(v.teeth)+b.need(i, 4))
				}
			}
			out[i][j] = least.Millimetres()
		}
	}
	return out
}

// kept says that four shafts at these places in mm stand far enough apart.
func (a apart) kept(at [4][2]float64) bool {
	const touch = 1e-6
	for i := range at {
		for j := range i {
			dx, dy, least := at[i][0]-at[j][0], at[i][1]-at[j][1], a[i][j]-touch
			if least > 0 && dx*dx+dy*dy < least*least {
				return false
			}
		}
	}
	return true
}

// placedWheel is a wheel and the plane it turns in.
type placedWheel struct{ teeth, plane int }

// on is the wheels on the i-th shaft.
func (s chain) on(i int) []placedWheel {
	sh := s[i]
	switch {
	case i == 0:
		return []placedWheel{{sh.out, 0}}
	case i == len(s)-1 || sh.idler:
		return []placedWheel{{sh.in, s.plane(i)}}
	default:
		return []placedWheel{{sh.in, s.plane(i)}, {sh.out, s.plane(i) + 1}}
	}
}

package job

import (
	"slices"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/thread"
)

// What radii keep (common practice).
const (
	// MaxRadius is the largest radius that is planned.
	MaxRadius = 10 * calc.Millimetre
	// besideRound is what stays of a face in front of a rounded edge, and of its section
	// behind it: there the form tool has its ends.
	besideRound = calc.Millimetre / 2
	behindRound = 3 * calc.Millimetre
)

// RadiusLimits is the band of a radius: ISO 2768-1 class m, and a tenth of a millimetre
// below the 0.5 mm where that begins (common practice).
func RadiusLimits(r calc.Length) fit.Limits {
	if l, err := fit.General(r, fit.Edge); err == nil {
		return l
	}
	return fit.Limits{Nominal: r, Min: r - 100*calc.Micrometre, Max: r + 100*calc.Micrometre}
}

// Nose is the radius of the tip of a turning tool, zero for a sharp one or where none is
// written; of a rounding tool, that of its hollow.
func (t *Tool) Nose() calc.Length {
	if t.Kind == KindRounding {
		return t.Size
	}
	if t.Tip == "" {
		return 0
	}
	tip, err := thread.ParseTip(t.Tip, calc.Lead{})
	if err != nil {
		return 0
	}
	return tip.Radius
}

// Leg is how far what is broken off the edge at the free end of a section goes along it:
// its chamfer or its radius.
func (s *Section) Leg() calc.Length { return max(s.Chamfer, s.Round) }

// radii reads the radius left in the corner at a section's shoulder and that of the edge
// at its free end.
func (p *jobParser) radii(st *stretch) {
	st.cornerAt, st.roundAt = st.scope.get("corner"), st.scope.get("round")
	if st.cornerAt.value != nil {
		st.Corner = st.cornerAt.length(MaxRadius)
	}
	if st.roundAt.value != nil {
		st.Round = st.roundAt.length(MaxRadius)
	}
}

// radiiFit checks them for section i.
func (p *jobParser) radiiFit(i int) {
	st := p.parts[i]
	if st.Corner > 0 {
		p.cornerFits(st, i)
	}
	if st.Round > 0 {
		p.roundFits(st, i)
	}
}

func (p *jobParser) cornerFits(st *stretch, i int) {
	why := ""
	switch {
	case st.undercut.value != nil || !st.plain:
		why = "its undercut takes the corner"
	case st.Taper != nil:
		why = "is tapered"
	case st.AsBar:
		why = "is left as the bar"
	case slices.ContainsFunc(p.parts, func(o *stretch) bool { return o.knurled.value != nil }):
		why = "the part is knurled, and the wheels come too near to a shoulder that is not sharp"
	case i == len(p.parts)-1 && p.job.PartOff:
		why = "no shoulder behind it: the part is parted off there"
	}
	if why != "" {
		st.cornerAt.fault("corner-here", st.number, why)
		return
	}
	if p.job.PickUp {
		st.cornerAt.fault("pick-up-key", "corner")
		return
	}
	next := p.job.Bar
	if i+1 < len(p.parts) {
		next = p.parts[i+1].Diameter.Min
	}
	if st.Diameter.Nominal == 0 || next == 0 {
		return
	}
	if high := (next - st.Diameter.Max) / 2; high > 0 && 2*st.Corner > high {
		st.cornerAt.fault("corner-step", p.show(st.Corner), p.show(high), p.show((high / 2).Floor(50*calc.Micrometre)))
	}
}

func (p *jobParser) roundFits(st *stretch, i int) {
	d, r := st.Diameter.Min, st.Round
	switch {
	case st.chamfer.value != nil:
		st.roundAt.fault("round-chamfer", st.number)
		return
	case !st.plain || st.Taper != nil || st.knurled.value != nil:
		kind := "a thread"
		if st.Taper != nil {
			kind = "tapered"
		} else if st.knurled.value != nil {
			kind = "knurled"
		}
		st.roundAt.fault("round-here", st.number, kind)
		return
	case p.job.PickUp:
		st.roundAt.fault("pick-up-key", "round")
		return
	}
	if l := st.Length.Min; l > 0 && r+behindRound > l {
		st.roundAt.fault("round-long", p.show(r), p.show(l), p.show(behindRound))
		return
	}
	if d == 0 {
		return
	}
	in := calc.Length(0)
	if i > 0 {
		front := p.parts[i-1]
		if front.Diameter.Nominal == 0 {
			return
		}
		in = front.Diameter.Max + 2*front.Corner
	} else if len(p.hollows) > 0 {
		in = p.hollows[0].Outer() + 2*p.hollows[0].Chamfer
	}
	if high := (d - in) / 2; r+besideRound > high {
		st.roundAt.fault("round-step", p.show(r), p.show(r+besideRound), p.show(max(0, high)), p.show(max(0, high-besideRound).Floor(50*calc.Micrometre)))
	}
}

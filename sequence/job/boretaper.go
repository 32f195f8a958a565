package job

import (
	"strconv"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/setup"
)

// steepestBore is the largest half angle of a cone in a bore: a steeper one is met at the
// end by a tool in the way of its own bar (common practice).
const steepestBore = 15 * calc.Degree

// Narrow is the least diameter a bore has: of a cone its small end.
func (b *Bore) Narrow() fit.Limits {
	if b.Taper != nil {
		return b.Taper.Small
	}
	return b.Diameter
}

// tapered says that a bore is written as a cone, right or wrong.
func (h *hollow) tapered() bool { return h.taper.value != nil || h.small.value != nil }

// boreTaper reads the cone of a bore: taper = "1:10", "Morse 2" or an angle, or the second
// diameter as small. It narrows inwards.
func (p *jobParser) boreTaper(i int, h *hollow) {
	a, small := h.taper, h.small
	at := a
	if at.value == nil {
		at = small
	}
	switch {
	case !h.tapered():
		return
	case p.prefix != "":
		at.fault("second-bore-taper", h.number)
		return
	case h.size.f.key == "thread":
		at.fault("bore-taper-thread", h.number)
		return
	case i > 0:
		at.fault("bore-taper-not-first", h.number)
		return
	case a.value != nil && small.value != nil:
		small.fault("bore-taper-both", h.number)
		return
	}
	t := Taper{}
	if small.value != nil {
		t.Small = small.size()
	} else {
		text, ok := a.written()
		if !ok {
			return
		}
		own := coned{&h.Diameter, &h.size, func() { a.fault("bore-taper-diameter", h.number, text) }}
		if t.By, ok = p.cone(own, a, text, &t); !ok {
			return
		}
		t.Name = text
	}
	length, large := h.Depth.Nominal, h.Diameter.Nominal
	if h.Through && p.lengthsKnown() {
		length = p.job.Total()
	}
	if length <= 0 || large <= 0 || small.value != nil && t.Small.Nominal == 0 {
		return // said where that is read
	}
	if p.boreCone(h, &t, at, length, large) {
		t.Half = t.halfBand(length)
		h.Taper = &t
	}
}

// boreCone settles the small end of a cone in a bore of a length.
func (p *jobParser) boreCone(h *hollow, t *Taper, at arg, length, large calc.Length) (ok bool) {
	if h.taper.value == nil {
		by, err := setup.Between(large, t.Small.Nominal, length)
		if err != nil || t.Small.Nominal >= large {
			at.fault("bore-taper-small", p.show(t.Small.Nominal), p.show(large))
			return false
		}
		t.By, t.Name = by, p.show(large)+" to "+p.show(t.Small.Nominal)
	} else {
		end := large - calc.Millimetres(length.Millimetres()*t.By.PerLength())
		if end >= calc.Millimetre {
			t.Small, ok = t.end(end)
		}
		if !ok {
			most := calc.Millimetres((large - calc.Millimetre).Millimetres() / t.By.PerLength()).Floor(calc.Millimetre)
			at.fault("bore-taper-point", t.Name, p.show(length), p.show(large), p.show(max(0, most)))
			return false
		}
		short, deep := p.coneSpread(h) // it follows from where the cone ends
		t.Small.Min -= calc.Millimetres(deep.Millimetres() * t.By.PerLength())
		t.Small.Max += calc.Millimetres(short.Millimetres() * t.By.PerLength())
	}
	switch half := t.By.HalfAngle(); {
	case large-t.Small.Nominal < leastTaper:
		at.fault("taper-slight", t.Name, p.show(large-t.Small.Nominal), p.show(leastTaper))
		return false
	case half > steepestBore:
		at.fault("bore-taper-steep", t.Name, half.String(), steepestBore.String())
		return false
	}
	return true
}

// coneSpread is how much shorter and longer than its nominal length a cone may be.
func (p *jobParser) coneSpread(h *hollow) (short, deep calc.Length) {
	if !h.Through {
		return h.Depth.Nominal - h.Depth.Min, h.Depth.Max - h.Depth.Nominal
	}
	for _, st := range p.parts {
		short += st.Length.Nominal - st.Length.Min
		deep += st.Length.Max - st.Length.Nominal
	}
	return short, deep
}

// boreTaperFits checks what else a bore with a cone has, and what is behind it.
func (p *jobParser) boreTaperFits(i int) {
	h := p.hollows[i]
	if i == 1 && p.hollows[0].tapered() && (h.By == ByBore || h.By == ByTap) {
		at := h.by
		if at.value == nil {
			at = h.size
		}
		at.fault("bore-taper-behind", h.number, p.hollows[0].number)
	}
	if !h.tapered() || h.size.f.key == "thread" || i > 0 {
		return
	}
	at := h.taper
	if at.value == nil {
		at = h.small
	}
	if h.by.value != nil && h.By != ByBore && h.By != "" && len(p.hollows) == 1 {
		h.by.fault("bore-taper-by", h.number, string(h.By))
	}
	if h.Chamfer > 0 {
		h.chamfer.fault("bore-taper-chamfer", h.number)
	}
	if p.job.Quantity > 1 {
		p.top.get("quantity").fault("bore-taper-quantity", strconv.Itoa(p.job.Quantity))
	}
	if p.job.Second != nil {
		at.fault("bore-taper-second", h.number)
	}
}

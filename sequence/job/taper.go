package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/setup"
)

// Taper is the cone of a section, its small end at the free end, or of a bore, its large
// end at the mouth. The diameter of the section or the bore is that of its large end.
type Taper struct {
	Name  string // "Morse 2", "1:20", "8 deg included", "14.5 mm to 17.78 mm"
	By    setup.Taper
	Small fit.Limits // diameter at the free end; of a bore at its depth, or where it comes out
	// Half is what the half angle may be off by, either way.
	Half calc.Angle
	// Mates says that it has to sit in a socket, or a shank in it: it is tried with blue.
	Mates bool
}

// Limits of tapers, common practice unless named.
const (
	// mates is the band of the ends of a cone that has to sit in a socket, either way,
	// where the job gives none: it only sits a little deeper.
	mates = 50 * calc.Micrometre
	// matesHalf is what its half angle may be off by before blue decides.
	matesHalf = calc.Degree / 60
	// leastTaper is the least change of diameter that is turned as a cone.
	leastTaper = calc.Millimetre / 5
)

// angleBand is the general tolerance of an angle by its shorter side, ISO 2768-1
// table 3 classes f and m, either way. Half of it goes to the half angle.
var angleBand = []struct {
	upTo calc.Length
	band calc.Angle
}{
	{10 * calc.Millimetre, calc.Degree},
	{50 * calc.Millimetre, calc.Degree / 2},
	{120 * calc.Millimetre, calc.Degree / 3},
	{400 * calc.Millimetre, calc.Degree / 6},
	{maxOut, calc.Degree / 12},
}

// Thin is the least diameter a section has at its free end: of a taper its small end.
func (s *Section) Thin() calc.Length {
	if s.Taper != nil {
		return s.Taper.Small.Min
	}
	return s.Diameter.Min
}

// taper reads the cone of a section: taper = "Morse 2", "1:20" or an angle, or the
// second diameter as small.
func (p *jobParser) taper(st *stretch) {
	a, small := st.taperAt, st.smallAt
	if a.value == nil && small.value == nil {
		return
	}
	if st.Thread != nil || st.AsBar {
		for _, b := range []arg{a, small} {
			if b.value != nil {
				b.fault("taper-kind", st.number, b.f.key, st.size.f.key)
			}
		}
		return
	}
	t := Taper{}
	if small.value != nil {
		t.Small = small.size()
	}
	if a.value != nil {
		text, ok := a.written()
		if !ok {
			return
		}
		if t.By, ok = p.cone(coned{&st.Diameter, &st.size, func() { a.fault("taper-diameter", st.number, text) }}, a, text, &t); !ok {
			return
		}
		t.Name = text
	}
	length, large := st.Length.Nominal, st.Diameter.Nominal
	if length == 0 || large == 0 || small.value != nil && t.Small.Nominal == 0 {
		return
	}
	if a.value != nil && small.value != nil {
		small.fault("taper-both", st.number)
		return
	}
	if a.value == nil {
		by, err := setup.Between(large, t.Small.Nominal, length)
		if err != nil || t.Small.Nominal >= large {
			small.fault("taper-small", p.show(t.Small.Nominal), p.show(large))
			return
		}
		t.By, t.Name = by, p.show(t.Small.Nominal)+" to "+p.show(large)
	} else {
		end := large - calc.Millimetres(length.Millimetres()*t.By.PerLength())
		if end < calc.Millimetre {
			a.fault("taper-point", t.Name, p.show(length), p.show(large), p.show(max(0, calc.Millimetres((large-calc.Millimetre).Millimetres()/t.By.PerLength())).Floor(calc.Millimetre)))
			return
		}
		var ok bool
		if t.Small, ok = t.end(end); !ok {
			a.fault("taper-point", t.Name, p.show(length), p.show(large), p.show(length))
			return
		}
	}
	if large-t.Small.Nominal < leastTaper {
		at := a
		if at.value == nil {
			at = small
		}
		at.fault("taper-slight", t.Name, p.show(large-t.Small.Nominal), p.show(leastTaper))
		return
	}
	t.Half = t.halfBand(length)
	st.Taper = &t
}

// end is the band of the small end of a cone that comes out at a diameter.
func (t *Taper) end(small calc.Length) (fit.Limits, bool) {
	if t.Mates {
		return fit.Limits{Nominal: small, Min: small - mates, Max: small + mates, Class: fit.Written, Source: "common practice"}, true
	}
	band, err := fit.General(small, fit.Linear)
	return band, err == nil
}

// halfBand is what the half angle of a cone of a length may be off by.
func (t *Taper) halfBand(length calc.Length) (half calc.Angle) {
	if t.Mates {
		return matesHalf
	}
	for _, g := range angleBand {
		if half = g.band / 2; length <= g.upTo {
			break
		}
	}
	return half
}

// coned is a section or a bore that may have a taper: its diameter, where that is written,
// and what is said where it is not.
type coned struct {
	diameter *fit.Limits
	size     *arg
	lacks    func()
}

// cone reads how steep a taper is, and for a Morse taper the diameter at its gauge
// plane where none is given.
func (p *jobParser) cone(own coned, a arg, text string, t *Taper) (by setup.Taper, ok bool) {
	words := strings.Fields(strings.ToLower(text))
	if len(words) == 2 && words[0] == "morse" {
		n, err := strconv.Atoi(words[1])
		m, err2 := setup.MorseNumber(n)
		if err != nil || err2 != nil {
			a.fault("taper", "no Morse taper number "+clip(words[1]), "there are 0 to 6: write one such as "+a.f.example)
			return by, false
		}
		if own.diameter.Nominal == 0 && own.size.value == nil {
			*own.diameter = fit.Limits{Nominal: m.Gauge, Min: m.Gauge - mates, Max: m.Gauge + mates, Class: fit.Written, Source: "ISO 296 (from memory)"}
			*own.size = a
		}
		t.Mates = true
		return m.Taper, true
	}
	if one, n, ratio := strings.Cut(text, ":"); ratio {
		r, err := calc.ParseRatio(strings.TrimSpace(n))
		if err == nil && strings.TrimSpace(one) == "1" {
			if by, err = setup.OneIn(r); err == nil {
				err = by.Check()
			}
			if err == nil {
				t.Mates = true
				return by, own.wantsLarge()
			}
		}
		a.fault("taper", fmt.Sprintf("%q is no taper of one in so many", clip(text)), `write one such as "1:20": the diameter changes by one in twenty of the length`)
		return by, false
	}
	figure, of := text, ""
	if n := len(words); n > 1 {
		switch words[n-1] {
		case "included", "half":
			of = words[n-1]
			figure = strings.TrimSpace(text)
			figure = figure[:len(figure)-len(of)]
		}
	}
	angle, err := calc.ParseAngle(figure)
	if err != nil {
		a.fault("taper", fmt.Sprintf("%q is no taper", clip(text)), `write one such as "Morse 2", "1:20", "8 deg included" or "4 deg half"`)
		return by, false
	}
	if of == "" {
		a.fault("taper-bare", angle.String(), (angle / 2).String(), (2 * angle).String())
		return by, false
	}
	if of == "included" {
		angle /= 2
	}
	if angle <= 0 || angle > 60*calc.Degree {
		a.fault("taper", fmt.Sprintf("a cone of %s half angle", angle), "a top slide turns cones from above 0 to 60 deg half angle")
		return by, false
	}
	metre := 1000 * calc.Millimetre
	by = setup.Taper{Change: calc.Millimetres(2 * metre.Millimetres() * math.Tan(angle.Radians())), Length: metre}
	if err := by.Check(); err != nil {
		what, hint := parted(err, "write a steeper one")
		a.fault("taper", what, hint)
		return by, false
	}
	return by, own.wantsLarge()
}

// wantsLarge refuses a taper without the diameter of its large end.
func (own coned) wantsLarge() bool {
	if own.size.value == nil {
		own.lacks()
		return false
	}
	return true
}

// taperFits checks where a tapered section stands and what else it has.
func (p *jobParser) taperFits(i int) {
	st := p.parts[i]
	if st.Taper == nil {
		return
	}
	at := st.taperAt
	if at.value == nil {
		at = st.smallAt
	}
	if at.value == nil { // a taper thread
		at = st.size
	}
	switch {
	case i > 0:
		at.fault("taper-not-first", st.number)
	case st.Chamfer > 0:
		st.chamfer.fault("taper-chamfer", st.number)
	case p.job.Quantity > 1:
		p.top.get("quantity").fault("taper-quantity", strconv.Itoa(p.job.Quantity))
	}
}

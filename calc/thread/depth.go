package thread

import (
	"fmt"
	"math"

	"turncue/calc"
)

// Depth is how deep to feed a threading tool, on radius, from the surface that
// was turned (or bored): a window, because the pitch diameter has one.
type Depth struct {
	Start calc.Length // the thread is just inside its limit: begin to gauge here
	Aim   calc.Length // the pitch diameter is in the middle of its band
	Limit calc.Length // the pitch diameter is at its last limit: never go past this
	// FromNominal is Aim counted from the nominal diameter instead of from the
	// turned surface.
	FromNominal calc.Length
	// Root is the diameter left at the bottom of the groove at Aim.
	Root calc.Length
}

// Depth is the infeed for a tool tip from the diameter actually turned (bored,
// for an inside thread); a turned diameter of zero means the one [Thread.TurnTo]
// aims at. With d the turned and d2 the wanted pitch diameter it is
//
//	(d - d2)/2 + P/(4 tan A) - t
//
// where t is how far the tip stops short of a point; rounded to the nanometre.
//
// A tip too blunt for the thread, one that would leave its root above the
// diameter a GO gauge needs when the pitch diameter is right, is refused with
// the largest that serves, and so is a turned diameter that leaves no thread.
func (t Thread) Depth(tip Tip, turned calc.Length) (Depth, error) {
	if tip.Flat < 0 || tip.Radius < 0 || (tip.Flat > 0 && tip.Radius > 0) {
		return Depth{}, fmt.Errorf("a tool tip has a flat or a radius, not %s and %s", tip.Flat, tip.Radius)
	}
	l, err := t.Limits()
	if err != nil {
		return Depth{}, err
	}
	if turned == 0 {
		to, err := t.TurnTo()
		if err != nil {
			return Depth{}, err
		}
		turned = to.Nominal
	}
	if t.Angle == 0 {
		return t.squareDepth(tip, turned)
	}
	half := t.half()
	short := tip.short(half)
	nominal, first, last, edge := t.Nominal, l.Pitch.Max, l.Pitch.Min, l.Minor.Max
	if !t.External {
		b, err := t.Basic()
		if err != nil {
			return Depth{}, err
		}
		nominal, first, last, edge = b.Minor, l.Pitch.Min, l.Pitch.Max, l.Major.Min
	}
	d := Depth{
		Start: t.Infeed(tip, turned, first), Aim: t.Infeed(tip, turned, l.Pitch.Mid()), Limit: t.Infeed(tip, turned, last),
	}
	d.FromNominal = d.Aim + t.inwards(nominal-turned)/2
	d.Root = turned - 2*t.inwards(d.Aim)
	// The root has to pass the edge too: with a blunt tip that comes later than
	// the pitch diameter's own limit.
	clear := t.inwards(turned-edge) / 2
	if clear > d.Aim+t.slack() {
		room := short - (clear - d.Aim)
		return Depth{}, fmt.Errorf("%s is too blunt for %s: it leaves the root at %s when the pitch diameter is right, and a gauge needs %s; the largest that serves is flat %s or radius %s",
			tip, t, d.Root.Round(um), edge,
			nearest(2*math.Tan(half)*float64(room)).Floor(um), nearest(float64(room)/(1/math.Sin(half)-1)).Floor(um))
	}
	d.Start = max(d.Start, min(clear, d.Aim))
	if d.Start <= 0 {
		return Depth{}, fmt.Errorf("%s cannot be cut on %s: that is already past its pitch diameter", t, turned)
	}
	return d, nil
}

// squareDepth is the depth of a square thread: to its root, whatever the pitch
// diameter. A tool wider than the groove is refused.
func (t Thread) squareDepth(tip Tip, turned calc.Length) (Depth, error) {
	b, err := t.Basic()
	if err != nil {
		return Depth{}, err
	}
	if groove := t.Pitch.Length() / 2; tip.Radius > 0 || tip.Flat > groove {
		return Depth{}, fmt.Errorf("%s does not cut a square groove of %s: use a flat tool of that width, or a narrower one with side shifts", tip, groove)
	}
	nominal, root := b.Major, b.Root
	if !t.External {
		nominal, root = b.Minor, b.InsideRoot
	}
	d := Depth{Aim: t.inwards(turned-root) / 2, Root: root}
	d.Start, d.Limit, d.FromNominal = d.Aim, d.Aim, t.inwards(nominal-root)/2
	if d.Aim <= 0 {
		return Depth{}, fmt.Errorf("%s cannot be cut on %s: that is already past its root", t, turned)
	}
	return d, nil
}

// inwards turns a difference of diameters round on an inside thread, where into
// the metal is away from the axis.
func (t Thread) inwards(l calc.Length) calc.Length {
	if t.External {
		return l
	}
	return -l
}

// Infeed is the depth on radius from a turned (or bored) diameter that brings
// the pitch diameter to a size with that tip; see [Thread.Depth] for the formula.
// It checks nothing.
func (t Thread) Infeed(tip Tip, turned, pitchDiameter calc.Length) calc.Length {
	half := t.half()
	if half == 0 { // a square groove: half its depth from crest to pitch line
		return t.inwards(turned-pitchDiameter)/2 + nearest(t.Pitch.Nanometres().Float()/4)
	}
	point := t.Pitch.Nanometres().Float() / (4 * math.Tan(half))
	return t.inwards(turned-pitchDiameter)/2 + nearest(point) - tip.short(half)
}

// PitchDiameter is the pitch diameter an infeed from a turned (or bored)
// diameter leaves with that tip: the inverse of [Thread.Infeed].
func (t Thread) PitchDiameter(tip Tip, turned, infeed calc.Length) calc.Length {
	return turned - 2*t.inwards(infeed-t.Infeed(tip, turned, turned))
}

// nearest is a number of nanometres as a length, rounded half away from zero.
func nearest(nm float64) calc.Length { return calc.Length(math.Round(nm)) * calc.Nanometre }

// Along is the aimed depth as travel along a slide set at an angle from the
// cross slide (zero is straight in): depth / cos a, rounded to the nanometre. An
// angle of 90 degrees or more, or below zero, gives zero.
func (d Depth) Along(slide calc.Angle) calc.Length { return Along(d.Aim, slide) }

// Along is a depth on radius as travel along a slide set at an angle from the
// cross slide; see [Depth.Along].
func Along(depth calc.Length, slide calc.Angle) calc.Length {
	if slide < 0 || slide >= 90*calc.Degree {
		return 0
	}
	return nearest(float64(depth) / math.Cos(slide.Radians()))
}

// Shift is how far a tool moves along the work when it is fed to a depth along
// a slide set at an angle from the cross slide: depth * tan a, rounded to the
// nanometre.
func Shift(depth calc.Length, slide calc.Angle) calc.Length {
	if slide < 0 || slide >= 90*calc.Degree {
		return 0
	}
	return nearest(float64(depth) * math.Tan(slide.Radians()))
}

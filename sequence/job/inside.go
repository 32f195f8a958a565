package job

import (
	"fmt"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/thread"
)

// tappedTo is the largest thread that is tapped by hand unless the job says so: a
// larger one is cut with a threading tool (common practice).
const tappedTo = 12 * calc.Millimetre

// insideThread reads the thread of a bore. A designation without a class is the nut of
// its bolt.
func (p *jobParser) insideThread(h *hollow) {
	a := h.size
	text, ok := a.written()
	if !ok {
		return
	}
	t, err := thread.Parse(text)
	if err != nil {
		what, hint := parted(err, "write one such as M6 or M20x1.5-6H")
		if te, ok := err.(*thread.Error); ok {
			what, hint = parted(fmt.Errorf("%s", te.Msg), hint)
		}
		a.fault("thread", what, hint)
		return
	}
	if t.External {
		mate := t.Mate()
		if c := t.Class; c != "" && (strings.Contains(text, "-"+c) || strings.Contains(text, " "+c)) {
			a.fault("outside-thread", t.String(), mate.String())
			return
		}
		t = mate
	}
	switch {
	case t.LeftHand:
		a.fault("inside-kind", t.String(), "left-hand")
		return
	case t.Taper.Sign() != 0:
		a.fault("inside-kind", t.String(), "tapered")
		return
	}
	to, err := t.TurnTo()
	if err != nil {
		what, hint := parted(err, "take a size that is in the standard")
		a.fault("thread", what, hint)
		return
	}
	h.Thread, h.Diameter = &t, to
}

// threaded settles how the thread of a bore is made, how deep its hole goes and where
// it runs out.
func (p *jobParser) threaded(h *hollow) {
	switch {
	case h.By == ByDrill || h.By == ByReam:
		h.by.fault("thread-by", h.Thread.String(), string(h.By))
		return
	case h.By == "" && h.by.value != nil:
		return // said already
	case h.By == ByTap && h.Thread.Starts > 1:
		h.by.fault("tap-starts", h.Thread.String(), strconv.Itoa(h.Thread.Starts))
		return
	case h.By == "" && h.Thread.Starts > 1:
		h.By = ByBore
	case h.By == "" && h.recess.value == nil && h.runOutAt.value == nil && h.Thread.Nominal <= tappedTo:
		h.By, h.Free = ByTap, h.Through
	case h.By == "":
		h.By = ByBore
	}
	if h.chamfer.value == nil && h.number == "1" {
		if leg, err := h.Thread.Chamfer(); err == nil && p.mouthFree(h) >= leg {
			h.Chamfer = leg
		}
	}
	pitch := h.Thread.Pitch.Length()
	switch {
	case h.By == ByTap && h.recess.value != nil:
		h.recess.fault("recess-not-here", h.number)
	case h.By == ByTap && h.runOutAt.value != nil:
		h.runOutAt.fault("runout-not-here", h.number)
	case h.By == ByTap && h.Depth.Nominal > 0:
		p.tapped(h, pitch)
	case h.By == ByBore && h.runOutAt.value != nil && h.Depth.Nominal > 0:
		p.insideRunOut(h, pitch)
	case h.By == ByBore && !h.Through && h.Depth.Nominal > 0:
		p.recessed(h, pitch)
	}
}

// mouthFree is how wide a chamfer the end face has room for.
func (p *jobParser) mouthFree(h *hollow) calc.Length {
	if len(p.parts) == 0 || p.parts[0].Diameter.Nominal == 0 {
		return 0
	}
	first := p.parts[0]
	return (first.Thin()-h.Diameter.Max)/2 - first.Leg() - LeastWall/2
}

// tapped gives a blind tapped bore the depth of its hole: the run-out of DIN 76-1 (e1)
// is the room for the tap's tapered end, five pitches where it has none. A depth
// without a tolerance is the least of the full thread, and two threads more may be.
func (p *jobParser) tapped(h *hollow, pitch calc.Length) {
	h.Full = h.Depth
	if h.Full.Class == fit.Default {
		h.Full = fit.Limits{Nominal: h.Depth.Nominal, Min: h.Depth.Nominal, Max: h.Depth.Nominal + 2*pitch, Source: "common practice"}
	}
	room := 5 * pitch
	if u, err := h.Thread.Undercut(thread.Regular); err == nil {
		room = u.RunOut
	}
	deep := h.Full.Mid() + room
	h.Depth = fit.Limits{Nominal: deep, Min: deep - pitch/2, Max: deep + pitch/2, Source: "DIN 76-1 (from memory)"}
}

// recessed reads the recess a blind thread runs out into.
func (p *jobParser) recessed(h *hollow, pitch calc.Length) {
	a, t := h.recess, h.Thread
	if a.value == nil {
		u, err := t.Undercut(thread.Regular)
		if err != nil || t.Angle != 60*calc.Degree {
			h.size.fault("no-recess-own", h.number, t.String(), p.show(4*pitch), p.show((t.Nominal + pitch/2).Ceil(100*calc.Micrometre)), t.Pitch.String())
			return
		}
		h.size.fault("no-recess", h.number, t.String(), t.Pitch.String(), p.show(u.MinWidth), p.show(u.MaxWidth), u.Source)
		return
	}
	if !a.there() {
		return
	}
	if a.kind == kindTable {
		u := p.ownGroove(a)
		if u == nil {
			return
		}
		lim, err := t.Limits()
		switch {
		case u.Width.Nominal < pitch:
			a.fault("recess-narrow", p.show(u.Width.Nominal), t.Pitch.String(), p.show(pitch))
		case err == nil && u.Diameter.Min < lim.Major.Min:
			a.fault("recess-shallow", p.show(u.Diameter.Nominal), t.String(), p.show((t.Nominal + pitch/4).Ceil(100*calc.Micrometre)))
		}
		h.Recess = u
	} else {
		form := a.word(thread.Regular, thread.Short)
		if form == "" {
			return
		}
		u, err := standardRecess(*t, form)
		if err != nil {
			what, hint := parted(err, "")
			a.fault("recess-form", what, hint)
			return
		}
		h.Recess = u
	}
	if left := h.Depth.Nominal - h.Recess.Width.Max - h.Chamfer; left < pitch {
		a.fault("recess-wide", p.show(h.Recess.Width.Max), p.show(h.Depth.Nominal), t.String())
	}
}

// standardRecess is the groove of DIN 76-1 inside. Its diameter may go over by H13.
func standardRecess(t thread.Thread, form string) (*Undercut, error) {
	u, err := t.Undercut(form)
	if err != nil {
		return nil, err
	}
	d := u.Diameter(t.Nominal)
	band := fit.Limits{Nominal: d, Min: d, Max: d, Class: "H13", Source: "ISO 286-1 (from memory)"}
	for _, g := range it13 {
		if d <= g.upTo {
			band.Max = d + g.tolerance
			break
		}
	}
	return &Undercut{
		Form:     form,
		Width:    fit.Limits{Nominal: calc.Mid(u.MinWidth, u.MaxWidth), Min: u.MinWidth, Max: u.MaxWidth, Class: fit.Written, Source: u.Source},
		Diameter: band,
		Source:   u.Source,
	}, nil
}

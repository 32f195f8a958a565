package job

import (
	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/thread"
)

// it13 is the standard tolerance that DIN 76-1 gives the diameter of an undercut:
// h13, and h12 up to a thread of 3 mm. ISO 286-1 table 1, from memory.
var it13 = []struct{ upTo, tolerance calc.Length }{
	{3 * calc.Millimetre, 100 * calc.Micrometre}, // IT12
	{6 * calc.Millimetre, 180 * calc.Micrometre},
	{10 * calc.Millimetre, 220 * calc.Micrometre},
	{18 * calc.Millimetre, 270 * calc.Micrometre},
	{30 * calc.Millimetre, 330 * calc.Micrometre},
	{50 * calc.Millimetre, 390 * calc.Micrometre},
	{80 * calc.Millimetre, 460 * calc.Micrometre},
	{120 * calc.Millimetre, 540 * calc.Micrometre},
	{180 * calc.Millimetre, 630 * calc.Micrometre},
	{250 * calc.Millimetre, 720 * calc.Micrometre},
	{315 * calc.Millimetre, 810 * calc.Micrometre},
	{400 * calc.Millimetre, 890 * calc.Micrometre},
}

// standardUndercut is the groove of DIN 76-1 for a thread. Its width may lie
// anywhere between the least at the bottom and the greatest over all.
func standardUndercut(t thread.Thread, form string) (*Undercut, error) {
	u, err := t.Undercut(form)
	if err != nil {
		return nil, err
	}
	d := u.Diameter(t.Nominal)
	band := fit.Limits{Nominal: d, Min: d, Max: d, Class: "h13", Source: "ISO 286-1 (from memory)"}
	for _, g := range it13 {
		if d <= g.upTo {
			band.Min = d - g.tolerance
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

// groove reads the undercut of a section.
func (p *jobParser) groove(st *stretch) {
	a := st.undercut
	if st.runOutAt.value != nil && (a.value == nil || st.RunOut != nil) {
		return // or refused already
	}
	if a.value == nil {
		p.wantsGroove(st)
		return
	}
	if !a.there() {
		return
	}
	form := "own"
	if a.kind == kindTable {
		st.Undercut = p.ownGroove(a)
	} else if form = a.word(thread.Regular, thread.Short, "none"); form == "" {
		return
	}
	if form == "none" {
		p.wantsGroove(st)
		return
	}
	switch {
	case st.plain:
		a.fault("undercut-on-plain", st.number)
		st.Undercut = nil
	case st.Thread == nil:
		st.Undercut = nil
	case form != "own":
		u, err := standardUndercut(*st.Thread, form)
		if err != nil {
			what, hint := parted(err, "")
			a.fault("undercut-form", what, hint)
			return
		}
		st.Undercut = u
	}
}

// ownGroove is an undercut given by its width and diameter, nil when one of them
// cannot be read.
func (p *jobParser) ownGroove(a arg) *Undercut {
	s := p.scope(a.table, " in undercut", undercutFields, nil)
	u := Undercut{Form: "own", Width: s.need("width").size(), Diameter: s.need("diameter").size(), Source: "as written"}
	if u.Width.Nominal == 0 || u.Diameter.Nominal == 0 {
		return nil
	}
	return &u
}

// wantsGroove refuses a thread that has nowhere to run out.
func (p *jobParser) wantsGroove(st *stretch) {
	if st.Thread == nil || st.Tapered() { // a taper thread fades out on the cylinder behind its cone
		return
	}
	at := st.size
	if st.undercut.value != nil {
		at = st.undercut
	}
	t := *st.Thread
	u, err := t.Undercut(thread.Regular)
	short, err2 := t.Undercut(thread.Short)
	if err != nil || err2 != nil {
		lim, err := t.Limits()
		if err != nil {
			return
		}
		at.fault("no-undercut-own", st.number, t.String(), p.show(t.Pitch.Length()*7/2), p.show((lim.Minor.Min - 200*calc.Micrometre).Floor(100*calc.Micrometre)), t.Pitch.String(), p.runOutOf(t))
		return
	}
	at.fault("no-undercut", st.number, t.String(), t.Pitch.String(), p.show(u.MinWidth), p.show(u.MaxWidth), u.Source, p.show(short.MinWidth), p.show(short.MaxWidth), p.runOutOf(t))
}

// runOutOf is how the end of a thread without a groove is written.
func (p *jobParser) runOutOf(t thread.Thread) string {
	if t.LeftHand {
		return ""
	}
	if o, err := thread.RunOutFor(t.Pitch, thread.Regular); err == nil {
		return `; or let it fade out: runout = "` + RunOutDIN + `" leaves the last ` + p.show(o.Shoulder) + " in front of the shoulder without full thread"
	}
	return `; or let it fade out: runout = "` + p.show((3 * t.Pitch.Length()).Ceil(100*calc.Micrometre)) + `" in front of the shoulder without full thread`
}

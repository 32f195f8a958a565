package job

import (
	"turncue/calc"
	"turncue/calc/thread"
)

// What the geometry keeps free, common practice.
const (
	// JawMargin is kept between the work and the jaws.
	JawMargin = 5 * calc.Millimetre
	// cleanUp is the least that is turned off the bar, on diameter.
	cleanUp = 50 * calc.Micrometre
)

// Blade is the width of the parting blade a diameter is parted with where the
// lathe does not say: 1.5 mm up to 12 mm, 2 mm up to 25 mm, then 3 mm (common
// practice).
func Blade(diameter calc.Length) calc.Length {
	switch {
	case diameter <= 12*calc.Millimetre:
		return 1500 * calc.Micrometre
	case diameter <= 25*calc.Millimetre:
		return 2 * calc.Millimetre
	}
	return 3 * calc.Millimetre
}

func (p *jobParser) show(l calc.Length) string { return show(l, p.job.Unit) }

// geometry checks whether the part can be made of this bar from one end. A figure
// that is not known leaves out only what depends on it.
func (p *jobParser) geometry() {
	p.parting()
	p.reach()
	var front *stretch
	for i, st := range p.parts {
		p.againstBar(st, i)
		if st.Diameter.Nominal > 0 {
			if front != nil && !front.AsBar && st.Diameter.Mid() < front.Diameter.Mid() {
				st.size.fault("thinner-behind", st.number, st.called(p), front.number, front.called(p))
			}
			front = st
		}
		p.chamfer(i)
		p.taperFits(i)
		p.grooveFits(st)
		p.runOutFits(st)
		p.pipeFits(st)
		p.groovesFit(i)
		p.radiiFit(i)
	}
	p.knurlPlace()
	p.boreGeometry()
	p.pickedUp()
	p.tip()
	if a := p.top.get("threading"); a.there() && p.threads() == 0 && !p.cutInBore() && len(p.parts) > 0 {
		a.fault("threading-without-thread")
	}
}

// cutInBore says that a thread in a bore is not tapped by hand.
func (p *jobParser) cutInBore() bool {
	for _, h := range p.hollows {
		if h.Thread != nil && h.By != ByTap || h.size.f.key == "thread" && h.Thread == nil {
			return true
		}
	}
	return false
}

// threads is how many sections are threads, readable or not.
func (p *jobParser) threads() (n int) {
	for _, st := range p.parts {
		if st.size.f.key == "thread" || st.size.value == nil {
			n++
		}
	}
	return n
}

// called is a section as it is named in a message: its thread or its diameter.
func (st *stretch) called(p *jobParser) string {
	if st.Thread != nil {
		return st.Thread.String()
	}
	return p.show(st.Diameter.Nominal)
}

func (p *jobParser) parting() {
	if !p.job.Centre || !p.job.PartOff {
		return
	}
	at := p.top.get("part_off")
	if at.value == nil {
		at = p.top.get("support")
	}
	if at.there() {
		at.fault("parting-on-centre")
	}
}

// reach checks what sticks out of the jaws against what is worked on.
func (p *jobParser) reach() {
	j := p.job
	if j.StickOut == 0 || j.Face == 0 && !j.PickUp || len(p.parts) == 0 {
		return
	}
	total, blade, known := calc.Length(0), calc.Length(0), true
	for _, st := range p.parts {
		total += st.Length.Nominal
		known = known && st.Length.Nominal > 0
	}
	what := "facing " + p.show(j.Face) + ", the part " + p.show(total)
	if j.PartOff {
		d := p.parts[len(p.parts)-1].Diameter.Nominal
		if d == 0 {
			d = j.Bar
		}
		blade = Blade(d)
		what += ", parting " + p.show(blade)
	}
	left := calc.Length(0)
	if j.Second != nil {
		left = j.Second.Face
		what += ", facing the other end " + p.show(left)
	}
	what += " and clearance to the jaws " + p.show(JawMargin)
	room := j.StickOut - j.Face - blade - left - JawMargin
	long := false
	for _, st := range p.parts {
		if l := st.Length.Nominal; l > 0 && l > room {
			long = true
			need := roundUp(max(l, total)+j.StickOut-room, j.Unit)
			st.length.fault("longer-than-out", st.number, p.show(l), p.show(max(0, room)), p.show(need), p.show(JawMargin))
		}
	}
	if total > room && !long {
		if !known {
			what = "what is given of it alone, " + what + ","
		}
		p.top.get("stickout").fault("stickout-short", p.show(j.StickOut), what, p.show(total+j.StickOut-room), p.show(roundUp(total+j.StickOut-room, j.Unit)))
	}
}

// roundUp brings a length to a figure people write: whole millimetres, or eighths
// of an inch.
func roundUp(l, unit calc.Length) calc.Length {
	if unit == calc.Inch {
		return l.Ceil(calc.Inch / 8)
	}
	return l.Ceil(calc.Millimetre)
}

func (p *jobParser) againstBar(st *stretch, i int) {
	bar, d := p.job.Bar, st.Diameter
	if st.AsBar && i != len(p.parts)-1 {
		st.size.fault("as-bar-not-last", st.number)
	}
	if st.AsBar || bar == 0 || d.Nominal == 0 {
		return
	}
	stock := d.Mid() + cleanUp
	switch {
	case d.Mid() > bar || d.Nominal > bar:
		st.size.fault("larger-than-bar", st.called(p), p.show(bar), p.show(roundUp(max(stock, d.Nominal), p.job.Unit)))
	case stock > bar && !p.job.PickUp:
		st.size.fault("no-clean-up", st.called(p), p.show(bar-d.Mid()), p.show(bar), p.show(roundUp(stock, p.job.Unit)))
	}
}

func (p *jobParser) chamfer(i int) {
	st := p.parts[i]
	c := st.Chamfer
	if c == 0 {
		return
	}
	if l := st.Length.Nominal; l > 0 && c > l {
		st.chamfer.fault("chamfer-long", p.show(c), p.show(l))
	}
	d := st.Diameter.Nominal
	if d == 0 {
		return
	}
	if 2*c >= d {
		st.chamfer.fault("chamfer-radius", p.show(c), st.called(p), p.show(d/2))
		return
	}
	if i == 0 {
		return
	}
	front := p.parts[i-1]
	in := front.Diameter.Nominal
	if front.Undercut != nil {
		in = front.Undercut.Diameter.Nominal
	} else if front.Thread != nil && front.RunOut == nil && !front.Tapered() { // its undercut is not known
		return
	}
	switch step := (d - in) / 2; {
	case in == 0 || step < 0: // not known, or refused already
	case step == 0:
		st.chamfer.fault("chamfer-no-step", st.number)
	case c > step:
		st.chamfer.fault("chamfer-step", p.show(c), p.show(step))
	}
}

func (p *jobParser) grooveFits(st *stretch) {
	u := st.Undercut
	if u == nil || st.Thread == nil {
		return
	}
	pitch := st.Thread.Pitch.Length()
	if l := st.Length.Nominal; l > 0 && u.Width.Nominal+st.Chamfer+pitch > l {
		what := "an undercut of " + p.show(u.Width.Nominal)
		if st.Chamfer > 0 {
			what += " and a chamfer of " + p.show(st.Chamfer)
		}
		st.undercut.fault("undercut-wide", what, p.show(l))
	}
	if u.Form != "own" {
		return
	}
	if u.Width.Nominal < pitch {
		st.undercut.fault("undercut-narrow", p.show(u.Width.Nominal), st.Thread.Pitch.String(), p.show(pitch))
	}
	lim, err := st.Thread.Limits()
	if err != nil {
		return
	}
	if u.Diameter.Max > lim.Minor.Min {
		most := (lim.Minor.Min - (u.Diameter.Max - u.Diameter.Nominal)).Floor(10 * calc.Micrometre)
		st.undercut.fault("undercut-shallow", p.show(u.Diameter.Nominal), st.Thread.String(), p.show(lim.Minor.Min), p.show(most))
	}
	if 2*u.Diameter.Nominal < st.Thread.Nominal {
		st.undercut.fault("undercut-deep", p.show(u.Diameter.Nominal), st.Thread.String(), p.show((st.Thread.Nominal / 2).Ceil(100*calc.Micrometre)))
	}
}

// tip checks the tip of the threading tool against every thread of the job.
func (p *jobParser) tip() {
	a := p.top.get("tip")
	text := a.name()
	if text == "" {
		return
	}
	threads := 0
	for _, st := range p.parts {
		if st.size.f.key == "thread" || st.size.value == nil {
			threads++
		}
		if st.Thread == nil {
			continue
		}
		t, err := thread.ParseTip(text, st.Thread.Pitch)
		if err == nil {
			_, err = st.Thread.Depth(t, 0)
		}
		if err != nil {
			what, hint := parted(err, "take a smaller tip")
			a.fault("tip", what, hint)
			return
		}
	}
	if threads == 0 && len(p.parts) > 0 {
		a.fault("tip-without-thread")
		return
	}
	p.job.Tip = text
}

package job

import (
	"turncue/calc"
	"turncue/calc/thread"
)

// RunOut is the end of a thread in front of a shoulder without a groove: it fades out.
type RunOut struct {
	Form     string      // "DIN 76", "short" or "own"
	Shoulder calc.Length // from the last full thread to the shoulder, at most
	Fade     calc.Length // from the last full thread to where none is left, at most
	Source   string
}

// The words of run-outs.
const (
	RunOutDIN   = "DIN 76"
	RunOutShort = "short"
)

// runOut reads the run-out of a section's thread, which stands in place of an undercut.
func (p *jobParser) runOut(st *stretch) {
	a := st.runOutAt
	if !a.there() {
		return
	}
	switch {
	case st.plain:
		a.fault("runout-on-plain", st.number)
		return
	case st.undercut.value != nil && !(st.undercut.there() && st.undercut.kind == kindText && st.undercut.str == "none"):
		a.fault("runout-undercut", st.number)
		return
	case p.job.PickUp:
		a.fault("pick-up-key", "runout")
		return
	}
	own := a.kind != kindText || a.str != RunOutDIN && a.str != RunOutShort
	o := &RunOut{Form: "own", Source: "as written"}
	if own {
		o.Shoulder = a.length(maxBar)
		o.Fade = o.Shoulder
		if o.Shoulder == 0 {
			return
		}
	}
	if st.Thread == nil {
		return
	}
	if st.Tapered() {
		a.fault("runout-taper", st.Thread.String())
		return
	}
	if st.Thread.LeftHand {
		a.fault("runout-left", st.number, st.Thread.String())
		return
	}
	if !own {
		form := thread.Regular
		if a.str == RunOutShort {
			form = thread.Short
		}
		table, err := thread.RunOutFor(st.Thread.Pitch, form)
		if err != nil {
			a.fault("runout-form", st.Thread.Pitch.String(), p.show((3 * st.Thread.Pitch.Length()).Ceil(100*calc.Micrometre)))
			return
		}
		*o = RunOut{Form: a.str, Shoulder: table.Shoulder, Fade: table.Fade, Source: table.Source}
	}
	st.RunOut = o
}

// runOutFits checks whether full thread is left in front of a run-out.
func (p *jobParser) runOutFits(st *stretch) {
	o := st.RunOut
	if o == nil || st.Thread == nil {
		return
	}
	if l, turn := st.Length.Nominal, st.Thread.Pitch.Length(); l > 0 && o.Shoulder+st.Chamfer+turn > l {
		st.runOutAt.fault("runout-long", p.show(o.Shoulder), p.show(l))
	}
}

// Core is the least diameter of what a section leaves of the work: the bottom of its
// undercut, or the root of a thread that fades out; else its own.
func (s *Section) Core() calc.Length {
	switch {
	case s.Undercut != nil && s.Undercut.Diameter.Nominal > 0:
		return s.Undercut.Diameter.Nominal
	case s.RunOut != nil && s.Thread != nil:
		if lim, err := s.Thread.Limits(); err == nil && lim.Minor.Min > 0 {
			return lim.Minor.Min
		}
	}
	return s.Diameter.Nominal
}

// insideRunOut reads the run-out of a thread that is cut in a bore, in place of a recess:
// by DIN 76-1 what a tapped hole has beyond its full thread, e1.
func (p *jobParser) insideRunOut(h *hollow, pitch calc.Length) {
	a := h.runOutAt
	if !a.there() {
		return
	}
	if h.recess.value != nil {
		a.fault("runout-recess", h.number)
		return
	}
	o := &RunOut{Form: "own", Source: "as written"}
	if a.kind == kindText && a.str == RunOutDIN {
		u, err := h.Thread.Undercut(thread.Regular)
		if err != nil {
			a.fault("runout-form", h.Thread.Pitch.String(), p.show((5 * pitch).Ceil(100*calc.Micrometre)))
			return
		}
		o.Form, o.Shoulder, o.Source = RunOutDIN, u.RunOut, u.Source
	} else if o.Shoulder = a.length(maxBar); o.Shoulder == 0 {
		return
	}
	o.Fade = o.Shoulder
	h.RunOut = o
	if o.Shoulder+h.Chamfer+pitch > h.Depth.Nominal {
		a.fault("runout-deep", p.show(o.Shoulder), p.show(h.Depth.Nominal), h.Thread.String())
	}
}

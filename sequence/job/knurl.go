package job

import (
	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/setup"
)

// Knurl is what is pressed into a section. The section's own diameter is then that of its
// blank, on which the teeth close round the work.
type Knurl struct {
	setup.Knurl
	Pattern string      // "straight" or "diamond"
	Over    fit.Limits  // diameter over the crests
	Aim     calc.Length // the middle of what of Over this knurl reaches from its blank
	Teeth   int         // round the blank
}

// The patterns of a knurl.
const (
	Straight = "straight"
	Diamond  = "diamond"
)

// diamondHelix is the angle of the teeth of diamond wheels to the axis (usual, common
// practice).
const diamondHelix = 30 * calc.Degree

// The pitches a knurl can have: 0.6 mm is fine, 1.0 mm medium, 1.6 mm coarse (common
// practice).
const (
	finest   = 300 * calc.Micrometre
	coarsest = 3 * calc.Millimetre
)

// HelixOf is the angle of the teeth of a pattern to the axis.
func HelixOf(pattern string) calc.Angle {
	if pattern == Diamond {
		return diamondHelix
	}
	return 0
}

// The ways a knurling tool is pressed.
const (
	HolderBump  = "bump"  // from the side, by the cross slide
	HolderClamp = "clamp" // two wheels that hold the work between them
)

var knurlFields = []field{
	{"pattern", `"diamond"`},
	{"pitch", `"1 mm"`},
}

const knurlExample = `knurl = { pattern = "diamond", pitch = "1 mm" }`

// knurl reads the knurl of a section, whose diameter is read already.
func (p *jobParser) knurl(st *stretch) {
	a := st.scope.get("knurl")
	if a.value == nil || !a.there() {
		return
	}
	st.plain = st.Thread == nil // it has no undercut then
	if a.kind != kindTable {
		a.fault("not-a-table", "knurl", kindNames[a.kind], knurlExample)
		return
	}
	s := p.scope(a.table, " in knurl", knurlFields, nil)
	k := Knurl{Pattern: s.need("pattern").word(Straight, Diamond)}
	k.Pitch = knurlPitch(s.need("pitch"), p.job.Unit)
	k.Helix = HelixOf(k.Pattern)
	st.knurled = a
	switch {
	case p.job.PickUp:
		a.fault("pick-up-key", "knurl")
		return
	case p.prefix != "":
		a.fault("knurl-second")
		return
	case st.taperAt.value != nil || st.smallAt.value != nil:
		a.fault("knurl-diameter", st.number, "a taper")
		return
	case st.size.value != nil && st.size.f.key != "diameter":
		a.fault("knurl-diameter", st.number, st.size.f.key)
		return
	}
	if k.Over = st.Diameter; k.Pattern == "" || k.Pitch == 0 || k.Over.Nominal == 0 {
		return
	}
	t, err := k.For(k.Over.Min, k.Over.Max)
	if err != nil {
		what, hint := parted(err, "take a finer pitch or a larger diameter")
		st.size.fault("knurl-blank", st.number, show(k.Over.Min, p.job.Unit), show(k.Over.Max, p.job.Unit), what, hint)
		st.Diameter = fit.Limits{}
		return
	}
	k.Teeth, k.Aim = t.Teeth, calc.Mid(t.Least, t.Most)
	st.Knurl = &k
	st.Diameter = fit.Limits{Nominal: t.Blank, Min: t.Blank - k.Track(), Max: t.Blank + k.Track(), Class: fit.Written}
}

// knurlPitch is the pitch of a knurl, zero when there is none.
func knurlPitch(a arg, unit calc.Length) calc.Length {
	l := a.length(maxWidth)
	if l > 0 && (l < finest || l > coarsest) {
		a.fault("out-of-range", a.f.key, show(l, unit), show(finest, unit), show(coarsest, unit), "the pitch is from tooth to tooth: 0.6 mm is fine, 1 mm medium, 1.6 mm coarse")
		return 0
	}
	return l
}

// knurlPlace refuses a knurl that cannot be pressed before what is beside it is finished:
// it is the free end with nothing turned behind it, or what is parted off.
func (p *jobParser) knurlPlace() {
	parts := p.parts
	for i, st := range parts {
		if st.knurled.value == nil {
			continue
		}
		last := i == len(parts)-1
		switch {
		case last && p.job.Second != nil:
			st.knurled.fault("knurl-turned-round", st.number)
		case last && i > 0 && !p.job.PartOff:
			st.knurled.fault("knurl-not-parted", st.number)
		case !last && (i > 0 || len(parts) > 2 || !parts[1].AsBar):
			st.knurled.fault("knurl-behind", st.number)
		}
	}
}

// knurling reads what a knurling tool has beyond its pitch and its wheels.
func (p *latheParser) knurling(out *Tool, s *scope) {
	out.Pattern = s.get("pattern").word(Straight, Diamond)
	out.Holder = s.get("holder").word(HolderBump, HolderClamp)
	if a := s.get("pitch"); a.value != nil {
		out.Pitch = knurlPitch(a, calc.Millimetre)
	}
	closing := s.get("closing")
	out.Closing = closing.length(maxWidth)
	switch {
	case out.Holder == HolderClamp && closing.value == nil:
		s.missing(field{"closing", `"1.5 mm"`})
	case out.Holder == HolderBump && closing.value != nil:
		closing.fault("knurl-closing")
	}
}

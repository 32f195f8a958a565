package bench

import (
	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// layout is where the finished part's sections lie, and how far each may be cut.
type layout struct {
	index map[string]int
	from  []calc.Length // nominal free end of each section, and the end of the last
	body  []calc.Length // a z in the plain body of each section
	zones []zone
}

// zone is a stretch of the finished part that no tool of another purpose may cut
// below its least diameter. Its ends are drawn in by what the lengths allow.
type zone struct {
	section  int
	undercut bool
	groove   bool // one in the middle of the section
	from, to calc.Length
	least    calc.Length
}

func lay(j *job.Job) layout {
	l := layout{index: map[string]int{}}
	var at, spare, early calc.Length // how far the shoulder in front may lie towards the chuck, and short of its place
	for i, s := range j.Sections {
		if _, twice := l.index[s.Name]; !twice {
			l.index[s.Name] = i
		}
		end := at + s.Length.Nominal
		groove := calc.Length(0)
		if s.Undercut != nil {
			groove = s.Undercut.Width.Max
		}
		before := early
		if s.Length.Min > 0 {
			early += max(0, s.Length.Nominal-s.Length.Min)
		}
		l.from = append(l.from, at)
		body := zone{section: i, from: at + spare, to: end - early - groove, least: turned(j, s).Min}
		if len(s.Grooves) > 0 {
			l.body = append(l.body, widestLand(&s, at, end))
			late := spare + max(0, s.Length.Max-s.Length.Nominal)
			l.zones = append(l.zones, grooved(body, s.Grooves, [2]calc.Length{at - before, at + spare}, [2]calc.Length{end - early, end + late})...)
		} else {
			plain := calc.Mid(at+s.Leg(), end-groove-s.Corner)
			if s.Knurl != nil { // its end at a shoulder stays plain
				plain = calc.Mid(at+s.Leg(), plain)
			}
			l.body = append(l.body, plain)
			l.zones = append(l.zones, body)
		}
		if groove > 0 {
			l.zones = append(l.zones, zone{section: i, undercut: true, from: end - early - groove, to: end - early, least: s.Undercut.Diameter.Min})
		}
		at = end
		spare += max(0, s.Length.Max-s.Length.Nominal)
	}
	l.from = append(l.from, at)
	return l
}

// turned is the band of a section's diameter; a section left as bar is the bar.
func turned(j *job.Job, s job.Section) fit.Limits {
	if s.AsBar && s.Diameter.Max == 0 {
		return fit.Limits{Nominal: j.Bar, Min: j.Bar, Max: j.Bar}
	}
	return s.Diameter
}

// ownSection is the section the step serves; -1 for none.
func (b *lathe) ownSection() int {
	if b.step == nil {
		return -1
	}
	if i, ok := b.layout.index[b.step.Section]; ok {
		return i
	}
	return -1
}

// allowed says that a zone is the business of this step's tool: turning and
// chamfering in the own section, grooving in its undercut.
func (b *lathe) allowed(z zone) bool {
	if b.tool == nil || z.section != b.ownSection() {
		return false
	}
	switch b.tool.Kind {
	case sequence.GroovingTool:
		s := &b.job.Sections[z.section]
		return z.undercut || z.groove || s.Undercut == nil && len(s.Grooves) == 0
	case sequence.PartingTool:
		return false
	}
	return true
}

// gouges is the check that a cut leaves alone what the part needs elsewhere.
func (b *lathe) gouges(edges []edge) {
	for _, z := range b.layout.zones {
		if b.allowed(z) {
			continue
		}
		for _, e := range edges {
			from, to := max(e.from, z.from), min(e.to, z.to)
			if to-from <= same {
				continue
			}
			if e.at(from) >= z.least-same && e.at(to) >= z.least-same {
				continue
			}
			name := b.job.Sections[z.section].Name
			what := "section " + name
			if z.undercut {
				what = "the undercut of " + name
			}
			if z.groove {
				what = "a groove of " + name
			}
			b.fault(WithinLimits, "the cut at diameter %s goes %s into %s, which needs %s", e.at(from), to-from, what, z.least)
			b.spoiled[name] = true
			return
		}
	}
}

// centreShank is the thickness of a dead centre behind its cone: Morse taper 2,
// 17.780 mm at the large end (ISO 296). Live centres are thicker.
const centreShank = 17780 * um

// obstacles is the check for the jaws and the tailstock centre, for a tool whose
// reference edge goes between two places.
func (b *lathe) obstacles(x calc.Length, from, to calc.Length) {
	if b.tool == nil || b.inside() {
		return // inside the work there are no jaws, and no centre stands in a bore
	}
	if over := max(from, to) + b.tool.chuckSide() - (b.jaws() - jawRoom); over > same {
		b.fault(WithinLimits, "the tool comes within %s of the jaws at %s, %s too near", jawRoom-over, b.jaws(), over)
	}
	if !b.centre || !b.cross.known {
		return
	}
	// The centre is a cone of 60 degrees from the hole's mouth: it grows by
	// 2 tan 30 on diameter for each length in front of the end, up to the shank.
	mouth := b.mouth
	if mouth == 0 {
		mouth = 5 * mm
	}
	if z := min(from, to); z < 0 || (z == 0 && x < mouth) {
		if need := min(mouth+(-z)*11547/10000, max(mouth, centreShank)); need-x > same {
			b.fault(WithinLimits, "the tool at diameter %s and %s in front of the end runs into the tailstock centre, %s thick there", x, -z, need)
		}
	}
}

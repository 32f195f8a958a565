package bench

import (
	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// drove is the way the leadscrew last moved the carriage in a grip of the half-nuts: its
// slack is taken up that way. The zero drove has not moved it.
type drove struct {
	grip     int
	moved    bool
	outwards bool
}

// finished is the part of a job that is taken back into the chuck, at the middle of its
// limits, and what of the bar is behind it.
func finished(j *job.Job) Profile {
	var p Profile
	piece := func(from, to, left, right calc.Length) {
		if to > from {
			p = append(p, Piece{From: from, To: to, Left: left, Right: right})
		}
	}
	at := calc.Length(0)
	for _, s := range j.Sections {
		d, end := turned(j, s).Mid(), at+s.Length.Mid()
		if s.Thread != nil {
			d = s.Diameter.Mid()
		}
		piece(at, at+s.Chamfer, d-2*s.Chamfer, d)
		body := end
		if u := s.Undercut; u != nil {
			body -= u.Width.Mid()
		}
		piece(at+s.Chamfer, body, d, d)
		if u := s.Undercut; u != nil {
			piece(body, end, u.Diameter.Mid(), u.Diameter.Mid())
		}
		at = end
	}
	piece(at, j.StickOut-j.Face, j.Bar, j.Bar)
	return p
}

// seat lays the tool in the groove of a thread that is there: from then on passes follow
// it as long as the half-nuts stay shut and the top slide where it stands.
func (b *lathe) seat(m sequence.Seat) {
	if !b.sane(m.X, m.Z) {
		return
	}
	b.standing("laying the tool in a groove")
	k := b.ownSection()
	switch {
	case k < 0 || b.job.Sections[k].Thread == nil || !b.job.PickUp:
		b.fault(Consistent, "the tool is laid in a thread where there is none")
		return
	case b.tool == nil || b.tool.Kind != sequence.ThreadingTool || !b.cross.known || !b.carriage.known:
		b.fault(Consistent, "a tool that is not in place is laid in a thread")
		return
	case (b.z()-m.Z).Abs() > same || b.z() <= b.layout.from[k] || b.z() >= b.layout.from[k+1]:
		b.fault(Consistent, "the tool stands at z %s, the thread is laid hold of at %s", b.z(), m.Z)
	}
	switch cuts := b.job.Sections[k].Thread.LeftHand; {
	case !b.nut:
		b.fault(InStep, "the tool is laid in the groove with the half-nuts open: it is lost again when they shut")
	case !b.drove.moved || b.drove.grip != b.grip.n || b.drove.outwards != cuts:
		b.fault(InStep, "the tool is laid in the groove before the slack is run out the way it cuts")
	}
	if m.X > -b.cross.stands {
		b.fault(Consistent, "the groove at diameter %s is outside where the tool stands, %s", m.X, b.x())
	}
	b.cross = b.cross.after(-m.X, sequence.In, b.step)
	b.top.way = sequence.In
	if m.Dial != nil {
		b.readable(&b.cross, m.Dial, "cross slide")
	}
	b.pass = &lastPass{ring: b.cross.ring()}
	h := &b.sections[k]
	h.passes, h.grip, h.top, h.marks, h.tip = 1, b.grip.n, b.top.stands, b.grip.marks, b.tool.Tip
	h.root, h.cutAt, h.start = m.X, b.step, 0
	h.cut = &Thread{}
	h.starts = make([]startCut, max(1, b.job.Sections[k].Thread.Starts))
	h.starts[0] = startCut{passes: 1, root: m.X, by: b.step}
}

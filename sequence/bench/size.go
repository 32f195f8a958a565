package bench

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence"
)

// endPart judges the part that is finished.
func (b *lathe) endPart() {
	plan := b.plan
	b.part++
	if !b.parted {
		b.result.Profile = b.work
	} else {
		b.result.Rest = b.work
	}
	b.result.Parted = b.parted
	if b.job.PartOff && !b.parted {
		b.fault(ToSize, "the part is never parted off")
	}
	p := b.result.Profile
	last := map[string]*sequence.Step{}
	for i := b.begun; i < b.at; i++ {
		last[plan.Steps[i].Section] = &plan.Steps[i]
	}
	b.begun = b.at
	j := judge{b, p, plan, last}
	for k := range b.job.Sections {
		j.diameter(k)
		j.length(k)
		j.undercut(k)
		j.grooves(k)
		j.chamfer(k)
		j.rounded(k)
		j.corner(k)
		j.thread(k)
		j.taper(k)
		b.twoEqualCuts(k)
		if j.job.Sections[k].Taper != nil {
			b.equalCuts(j.job.Sections[k].Name, &b.cones[k])
		}
	}
	for k := range b.bores {
		j.bore(k)
		j.boreThread(k)
	}
	b.overAll()
	b.result.Bore = b.boreProfile(p)
}

// judge holds the finished part against the job.
type judge struct {
	*lathe
	p    Profile
	plan *sequence.Plan
	last map[string]*sequence.Step // of each section
}

// size records a size, and where it is outside its limits the step that left it
// so: the one named, or the section's last.
func (j judge) size(k int, what string, got calc.Length, want fit.Limits, n int) {
	name := j.job.Sections[k].Name
	s := Size{Part: j.part, Section: name, What: what, Got: got, Min: want.Min, Max: want.Max, OK: want.Contains(got)}
	j.result.Sizes = append(j.result.Sizes, s)
	if s.OK || j.follows(k) {
		return
	}
	by := "over"
	if want.Over(got) < 0 {
		by = "under"
	}
	j.faultAt(j.by(k, n), ToSize, "%s of %s is %s, %s %s its limits of %s to %s", what, name, got, want.Over(got).Abs(), by, want.Min, want.Max)
}

// follows says that a wrong size of a section follows from a fault already
// named: one in its own cuts or in those of its neighbours, which share its
// shoulders.
func (j judge) follows(k int) bool {
	if k == 0 && j.spoiled[""] {
		return true
	}
	for i := max(0, k-1); i <= min(k+1, len(j.job.Sections)-1); i++ {
		if j.spoiled[j.job.Sections[i].Name] {
			return true
		}
	}
	return false
}

// by is the step of that number, or the section's last.
func (j judge) by(k, n int) *sequence.Step {
	if n > 0 && n <= len(j.plan.Steps) && j.plan.Steps[n-1].N == n {
		return &j.plan.Steps[n-1]
	}
	if s := j.last[j.job.Sections[k].Name]; s != nil {
		return s
	}
	return j.step
}

// freeEnd is the z at which a section begins.
func (b *lathe) freeEnd(p Profile, k int) (calc.Length, bool) {
	if len(p) == 0 {
		return 0, false
	}
	if k == 0 {
		return p[0].From, true
	}
	return b.shoulder(p, k-1)
}

// shoulder is the z at which a section ends: where the work first gets thicker
// than it or, before a thinner one, thinner. The last section ends where the part
// does. ok is false where the next section is as thick and nothing tells them
// apart.
func (b *lathe) shoulder(p Profile, k int) (calc.Length, bool) {
	if len(p) == 0 {
		return 0, false
	}
	if b.job.Sections[k].Taper != nil && (k < len(b.job.Sections)-1 || !b.parted) {
		return b.coneEnd(p, k)
	}
	z := b.layout.body[k]
	d := p.At(z)
	lastOne := k == len(b.job.Sections)-1
	if lastOne && b.parted {
		return p[len(p)-1].To, true
	}
	next := calc.Length(far)
	if !lastOne {
		next = p.At(b.layout.body[k+1])
	}
	over := d + same
	if next > over && b.cornered() {
		leg := calc.Length(0)
		if !lastOne {
			leg = b.job.Sections[k+1].Leg()
		}
		over = max(over, calc.Mid(d+2*b.nosed, min(next, b.job.Bar)-2*leg)) // on the wall between both
	}
	grooved := false
	for _, q := range p {
		if q.To <= z {
			continue
		}
		thicker, thinner := max(q.Left, q.Right) > over, min(q.Left, q.Right) < d-same
		switch {
		case next > d+same && thicker:
			return q.From, true
		case next < d-same && thinner && b.job.Sections[k].Undercut == nil:
			return max(q.From, z), true
		case next <= d+same && next >= d-same && grooved && !thinner && b.job.Sections[k].Undercut != nil:
			return q.From, true
		}
		grooved = grooved || thinner
	}
	return 0, false
}

// undercutAt is the groove in front of a section's shoulder; from is not below to
// where there is none.
func (b *lathe) undercutAt(p Profile, k int) (from, to calc.Length) {
	end, ok := b.shoulder(p, k)
	if !ok {
		return 0, 0
	}
	d := p.At(b.layout.body[k])
	from, to = end, end
	for i := len(p) - 1; i >= 0; i-- {
		q := p[i]
		if q.To != from || min(q.Left, q.Right) >= d-same || q.From < b.layout.body[k] {
			continue
		}
		from = q.From
	}
	return from, to
}

// stretch is the plain part of a section: behind its chamfer, before its groove.
func (j judge) stretch(k int) (from, to calc.Length) {
	s := j.job.Sections[k]
	mid := j.layout.body[k]
	from, to = mid, mid
	if z, ok := j.freeEnd(j.p, k); ok {
		from = min(mid, z)
		if s.Leg() > 0 {
			from = min(mid, z+max(s.Leg(), j.cone(k, z)))
		}
	}
	if z, ok := j.shoulder(j.p, k); ok {
		to = max(mid, z)
		if s.Undercut != nil {
			if a, b := j.undercutAt(j.p, k); a < b {
				to = max(mid, a)
			}
		} else if j.cornered() {
			z, _ = j.filletFrom(j.p, z)
			to = max(mid, z)
		}
	}
	return from, to
}

func (j judge) diameter(k int) {
	if j.job.Sections[k].Knurl != nil {
		j.knurl(k)
		return
	}
	want := turned(j.job, j.job.Sections[k])
	from, to := j.stretch(k)
	low, high, ok := j.lands(k, from, to)
	if !ok {
		low = j.p.At(j.layout.body[k])
		high = low
	}
	got := high
	if low < want.Min && j.job.Sections[k].Taper == nil { // of a cone it is the large end
		got = low
	}
	n := 0
	for _, q := range j.p {
		if q.To > from && q.From < to && (q.Left == got || q.Right == got) {
			n = max(n, q.Step)
		}
	}
	if q := j.p.piece(j.layout.body[k]); q != nil && q.Left == got {
		n = q.Step
	}
	j.size(k, "diameter", got, want, n)
}

func (j judge) length(k int) {
	from, ok := j.freeEnd(j.p, k)
	if !ok {
		return
	}
	to, ok := j.shoulder(j.p, k)
	if !ok || (k == len(j.job.Sections)-1 && j.job.PartOff && !j.parted) {
		return
	}
	n := 0
	for _, q := range j.p {
		if q.To == to || q.From == to {
			n = max(n, q.latest)
		}
	}
	if k == len(j.job.Sections)-1 {
		n = 0
	}
	j.size(k, "length", to-from, j.job.Sections[k].Length, n)
}

func (j judge) undercut(k int) {
	u := j.job.Sections[k].Undercut
	if u == nil {
		return
	}
	from, to := j.undercutAt(j.p, k)
	low, high, _ := j.p.span(from, to)
	n := 0
	if q := j.p.piece(calc.Mid(from, to)); q != nil {
		n = q.Step
	}
	j.size(k, "undercut width", to-from, u.Width, n)
	got := high
	if low < u.Diameter.Min {
		got = low
	}
	j.size(k, "undercut diameter", got, u.Diameter, n)
}

// edgeLimits is the band of a chamfer's leg: ISO 2768-1 class m, and a tenth of a
// millimetre below the 0.5 mm where that begins (common practice).
func edgeLimits(leg calc.Length) fit.Limits {
	if l, err := fit.General(leg, fit.Edge); err == nil {
		return l
	}
	return fit.Limits{Nominal: leg, Min: leg - 100*um, Max: leg + 100*um}
}

// cone is how far along the cone at a section's free end goes.
func (j judge) cone(k int, at calc.Length) calc.Length {
	d, end := j.p.At(j.layout.body[k]), at
	for _, q := range j.p {
		if q.From == end && q.Left < q.Right && q.Left < d-same {
			end = q.To
		}
	}
	return end - at
}

func (j judge) chamfer(k int) {
	leg := j.job.Sections[k].Chamfer
	if leg <= 0 {
		return
	}
	want := edgeLimits(leg)
	at, ok := j.freeEnd(j.p, k)
	if !ok {
		return
	}
	d := j.p.At(j.layout.body[k])
	across := (d - j.p.right(at)) / 2
	along, n := j.cone(k, at), 0
	if q := j.p.piece(at); q != nil && along > 0 {
		n = q.Step
	}
	got := across
	if want.Contains(across) {
		got = along
	}
	j.size(k, "chamfer", got, want, n)
}

func (j judge) thread(k int) {
	s, h := j.job.Sections[k], &j.sections[k]
	if s.Thread == nil {
		return
	}
	if h.passes == 0 {
		j.size(k, "thread depth", 0, fit.Limits{Min: calc.Nanometre, Max: s.Thread.Pitch.Length()}, 0)
		return
	}
	d := j.crest(j.p, k)
	h.limits(s.Thread, h.tip, d)
	if h.depthErr != nil {
		return // said when it was cut
	}
	for i, c := range h.starts {
		what, n, got := "thread depth", 0, calc.Length(0)
		if len(h.starts) > 1 {
			what = fmt.Sprintf("thread depth of start %d", i+1)
		}
		if c.passes > 0 {
			got, n = (d-c.root)/2, c.by.N
		}
		j.size(k, what, got, fit.Limits{Min: h.window.Start, Max: h.window.Limit}, n)
	}
	j.runOut(k)
}

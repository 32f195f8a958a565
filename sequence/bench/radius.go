package bench

import (
	"math"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	// chords is how many straight pieces a quarter of a circle is drawn with: they lie
	// within two thousandths of its radius.
	chords = 12
	// ear and heel are how far a rounding tool goes on along the work in front of its
	// hollow and behind it, there relieved by lift.
	ear  = mm / 2
	heel = 2 * mm
	lift = 200 * um // on diameter
)

// quarter is a part of a radius, at an angle of so many of the chords.
func quarter(r calc.Length, of func(float64) float64, n int) calc.Length {
	return calc.Length(math.Round(float64(r)*of(math.Pi/2*float64(n)/chords))) * calc.Nanometre
}

// nose is the round tip of a turning tool at x whose foremost point is at z.
func (t *tool) nose(x, z calc.Length) (edges []edge) {
	r := t.Radius
	if r <= 0 || t.Kind != sequence.TurningTool {
		return nil
	}
	for n := range chords {
		edges = append(edges, edge{
			from: z - r + quarter(r, math.Sin, n), to: z - r + quarter(r, math.Sin, n+1),
			left: x + 2*(r-quarter(r, math.Cos, n)), right: x + 2*(r-quarter(r, math.Cos, n+1)),
		})
	}
	return edges
}

// hollow is a rounding tool at x whose hollow begins at z, anywhere between two places.
func (t *tool) hollow(x, from, to calc.Length) (edges []edge) {
	r := t.Radius
	if from < to { // on its way: as if it had no hollow
		return []edge{flat(from-ear, to+r+heel, x)}
	}
	edges = append(edges, flat(to-ear, to, x))
	for n := range chords {
		edges = append(edges, edge{
			from: to + r - quarter(r, math.Cos, n), to: to + r - quarter(r, math.Cos, n+1),
			left: x + 2*quarter(r, math.Sin, n), right: x + 2*quarter(r, math.Sin, n+1),
		})
	}
	return append(edges, flat(to+r, to+r+heel, x+2*r+lift))
}

// ownsRadius is the check that there is a tool of that kind and radius.
func (b *lathe) ownsRadius(m sequence.Mount) {
	if m.Radius == 0 {
		return
	}
	if m.Radius < 0 || m.Radius > job.MaxRadius || m.Kind != sequence.TurningTool && m.Kind != sequence.RoundingTool {
		b.fault(Consistent, "a %s tool with a radius of %s", m.Kind, m.Radius)
		b.tool.Radius = 0
		return
	}
	for i := range b.own.Tools {
		if t := &b.own.Tools[i]; t.Kind == string(m.Kind) && t.Nose() == m.Radius {
			return
		}
	}
	b.fault(Consistent, "the lathe has no %s tool with a radius of %s", m.Kind, m.Radius)
}

// cornered says that the job wants radii in its corners: the shoulder is then the wall
// behind them.
func (b *lathe) cornered() bool {
	for i := range b.job.Sections {
		if b.job.Sections[i].Corner > 0 {
			return true
		}
	}
	return false
}

// filletFrom is where the radius in the corner at a wall begins, the wall itself where there
// is none, and the index of the piece in front of it.
func (b *lathe) filletFrom(p Profile, wall calc.Length) (from calc.Length, before int) {
	from, before = wall, -1
	for i := len(p) - 1; i >= 0; i-- {
		switch q := p[i]; {
		case q.To == from && q.Left < q.Right && q.From >= wall-b.nosed-2*same:
			from = q.From
		case q.To == from:
			return from, i
		}
	}
	return from, before
}

// corner judges the radius in the corner at a section's shoulder: along, across, and at 45
// degrees between them.
func (j judge) corner(k int) {
	r := j.job.Sections[k].Corner
	if r <= 0 {
		return
	}
	wall, ok := j.shoulder(j.p, k)
	if !ok {
		return
	}
	d := j.p.At(j.layout.body[k])
	from, _ := j.filletFrom(j.p, wall)
	across := (j.p.left(wall) - d) / 2
	share := eighth(across)
	n := 0
	for _, q := range j.p {
		if q.To == wall {
			n = max(n, q.latest)
		}
	}
	j.radius(k, "corner radius", n, edgeLimits(r), wall-from, across, (j.p.left(wall-share)-d)/2)
}

// rounded judges the rounded edge at a section's free end, in the same three ways.
func (j judge) rounded(k int) {
	r := j.job.Sections[k].Round
	if r <= 0 {
		return
	}
	at, ok := j.freeEnd(j.p, k)
	if !ok {
		return
	}
	d := j.p.At(j.layout.body[k])
	across := (d - j.p.right(at)) / 2
	share := eighth(across)
	j.radius(k, "edge radius", j.latest(at+share), edgeLimits(r), j.cone(k, at), across, (d-j.p.right(at+share))/2)
}

// eighth is how far a quarter of a circle lies from both its sides in its middle.
func eighth(r calc.Length) calc.Length {
	return calc.Length(float64(r)*(1-math.Sqrt2/2)) * calc.Nanometre
}

// radius records the one of two figures for a radius that is outside its limits, or none
// where the middle does not lie on a quarter of a circle.
func (j judge) radius(k int, what string, n int, want fit.Limits, along, across, middle calc.Length) {
	got := along
	if !want.Contains(across) {
		got = across
	}
	if (middle - eighth(across)).Abs() > across/20 {
		got = 0
	}
	j.size(k, what, got, want, n)
}

// latest is the step that cut the work at z.
func (j judge) latest(z calc.Length) int {
	if q := j.p.piece(z); q != nil {
		return q.Step
	}
	return 0
}

// moveWall moves a shoulder with the radius in its corner by what a reading showed, and the
// carriage's scale with it.
func (b *lathe) moveWall(wall, by calc.Length) {
	from, before := b.filletFrom(b.work, wall)
	if before < 0 || from+by <= b.work[0].From {
		return
	}
	var moved Profile
	for i, q := range b.work {
		switch {
		case i <= before && q.From >= from+by: // it was not there
			continue
		case i < before:
			q = q.part(q.From, min(q.To, from+by))
		case i == before:
			q.To = from + by
		case q.To <= wall:
			q.From, q.To = q.From+by, q.To+by
		case q.From == wall:
			q.From += by
		}
		moved = append(moved, q)
	}
	b.work = moved
	b.carriage.correct(by)
}

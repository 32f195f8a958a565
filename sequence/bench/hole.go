package bench

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

// full is a diameter larger than any work. The hole in the work is held as the
// profile of full less its diameter: cutting a bore larger then takes that profile
// down as turning takes the outside down, with the same exact pieces.
const full = 4 * longest

// leastWall is the thinnest wall, on radius, a cut may leave on the part. A job is
// held to more: this is what tolerances and chamfers leave of it.
const leastWall = 300 * um

// tipStands is how thick a boring bar is with its tip, in bars: the tip stands out by
// a fifth of the bar (common practice).
const tipStands = 1.2

// insideEdge is how far the edge of a chamfer tool turned to the inside reaches into
// the bore.
const insideEdge = 4 * mm

// boreZone is one bore of the finished part.
type boreZone struct {
	job.Bore
	from, to calc.Length // z of its mouth and its end
	past     calc.Length // how far its end may lie
	body     calc.Length // a z inside it that every pass along it reaches
}

// layBores is where the bores of the finished part lie.
func layBores(j *job.Job) []boreZone {
	var zones []boreZone
	at, end := calc.Length(0), j.Total()
	for _, c := range j.Bores {
		z := boreZone{Bore: c, from: at, to: c.Depth.Nominal, past: c.Depth.Max}
		if c.Through {
			z.to, z.past = end, far
		}
		body := z.to
		if c.Recess != nil {
			body -= c.Recess.Width.Max
		}
		start := max(z.from, c.Chamfer)
		if n := len(zones); n > 0 {
			start = max(start, zones[n-1].past)
		}
		z.body = start + max(0, body-start)/8 // the passes along a bore end short of its step
		if c.Taper != nil {
			z.body = z.from + mm/10 // those along a cone reach its mouth
		}
		zones = append(zones, z)
		at = z.to
	}
	return zones
}

// boreAt is the diameter of the hole at z, the smaller where it changes there.
func (b *lathe) boreAt(z calc.Length) calc.Length { return full - b.hole.At(z) }

// bored is the smallest and largest diameter of the hole strictly between two places.
func (b *lathe) bored(from, to calc.Length) (smallest, largest calc.Length) {
	s, l, ok := b.hole.span(from, to)
	if !ok {
		return 0, 0
	}
	return full - l, full - s
}

// ownBore is the bore the step serves; -1 for none.
func (b *lathe) ownBore() int {
	if b.step == nil {
		return -1
	}
	for i := range b.bores {
		if b.bores[i].Name == b.step.Section {
			return i
		}
	}
	return -1
}

// inside says that the tool in the post works inside a bore.
func (b *lathe) inside() bool { return b.tool != nil && b.tool.Inside }

// tipEdges is what the tip of an inside tool takes up between two places of its
// reference edge, as edges of the hole. A boring bar is behind its tip all along; the bar
// of a threading or grooving tool stands back from it.
func (t *tool) tipEdges(x, from, to calc.Length) []edge {
	a, z := min(from, to), max(from, to)
	switch t.Kind {
	case sequence.InsideThreadingTool:
		return []edge{flat(a-t.width/2, z+t.width/2, full-x)}
	case sequence.InsideGroovingTool:
		return []edge{flat(a-t.width, z, full-x)}
	}
	edges := []edge{flat(-far, z, full-x)}
	if t.Kind == sequence.ChamferTool {
		reach := min(x/2, insideEdge, t.edge)
		edges = append(edges, edge{z, z + reach, full - x, full - x + 2*reach})
	}
	return edges
}

// stands is how far the tip stands out of the bar: a fifth of its thickness, and a third
// where it cuts a groove (common practice).
func (t *tool) stands() calc.Length {
	if t.Kind == sequence.BoringTool {
		return calc.Length(float64(t.Diameter)*(tipStands-1)) * calc.Nanometre
	}
	return t.Diameter / 3
}

// barEdges are the two sides of the bar across the hole: its back, and its side behind
// the tip.
func (t *tool) barEdges(x, z calc.Length) []edge {
	thick := t.Diameter + t.stands()
	edges := []edge{flat(-far, z, full-max(0, 2*thick-x))}
	if t.Kind != sequence.BoringTool {
		edges = append(edges, flat(-far, z, full-max(0, x-2*t.stands())))
	}
	return edges
}

// roomInside is how far the work stays outside an edge of the hole, on diameter; ok
// is false where the edge is in front of the work.
func (b *lathe) roomInside(e edge) (calc.Length, bool) {
	if len(b.work) == 0 {
		return 0, false
	}
	if front := b.work[0].From; e.from < front {
		if e.to <= front {
			return 0, false
		}
		e.from, e.left = front, e.at(front)
	}
	return b.hole.room(e)
}

// clearInside is the check of rule 1 for a tool that goes between two places in the bore.
func (b *lathe) clearInside(from, to calc.Length, before string) {
	for _, e := range b.tool.tipEdges(b.x(), from, to) {
		room, ok := b.roomInside(e)
		if !ok || room >= 2*margin {
			continue
		}
		b.crashed = true
		if room <= 0 {
			b.fault(ToolClear, "the tool stands %s deep in the wall of the bore before %s; wind the handle in %s first, its slack of %s included", -room/2, before, margin-room/2+b.own.Cross.Slack, b.own.Cross.Slack)
		} else {
			b.fault(ToolClear, "the tool is clear of the bore by %s before %s, it needs %s beyond the slack of %s", room/2, before, margin, b.own.Cross.Slack)
		}
		return
	}
	b.barFits(max(from, to), 2*margin)
}

// barFits is the check that the bar of an inside tool has some air, on diameter: its back
// at the wall opposite, and its side at the wall its tip cuts.
func (b *lathe) barFits(z, air calc.Length) {
	if b.crashed || b.tool.Diameter == 0 {
		return
	}
	for i, e := range b.tool.barEdges(b.x(), z) {
		room, ok := b.roomInside(e)
		if !ok || room >= air {
			continue
		}
		b.crashed = true
		what, remedy := "back", "a thinner bar, or the tip not so far in"
		if i > 0 {
			what, remedy = "side", fmt.Sprintf("the tip stands out of it %s, take a stouter one", b.tool.stands())
		}
		if room < 0 {
			b.fault(ToolClear, "with the tip at diameter %s the %s of the bar of %s is %s deep in the wall of the bore: %s", b.x(), what, b.tool.Diameter, (-room / 2).Ceil(10*um), remedy)
		} else {
			b.fault(ToolClear, "with the tip at diameter %s the %s of the bar of %s clears the wall of the bore by %s only, and should by %s: %s", b.x(), what, b.tool.Diameter, (room / 2).Floor(um), air/2, remedy)
		}
		return
	}
}

// takeInside lets an inside tool cut up to z.
func (b *lathe) takeInside(z calc.Length, doing string) {
	b.cutting(doing)
	b.fromOneSide(doing)
	b.barFits(z, 0)
	edges := b.tool.tipEdges(b.x(), z, z)
	b.bears(b.bitesInside(edges), true, doing)
	if k := b.ownBore(); k >= 0 && b.along {
		b.boreCuts[k].awaiting.taper = b.taper(b.bores[k].from, b.bores[k].to)
	}
	b.enlarge(edges, b.tool.Kind == sequence.BoringTool)
}

// bitesInside is what some edges of the hole take off the wall.
func (b *lathe) bitesInside(edges []edge) bite {
	if len(b.work) == 0 {
		return bite{}
	}
	within := make([]edge, len(edges))
	for i, e := range edges {
		within[i] = e
		if front := b.work[0].From; e.from < front {
			within[i].from, within[i].left = front, e.at(front)
		}
	}
	return b.hole.bites(within)
}

// enlarge takes metal off inside, as edges of the hole, and notes cuts of the boring
// bar for the bores.
func (b *lathe) enlarge(edges []edge, boring bool) {
	b.gougesInside(edges)
	n := 0
	if b.step != nil {
		n = b.step.N
	}
	before := make([]calc.Length, len(b.bores))
	for i, z := range b.bores {
		before[i] = b.boreAt(z.body)
	}
	for _, e := range edges {
		left, _ := b.hole.cut(nil, e, n)
		b.hole = left
	}
	for i, z := range b.bores {
		if after := b.boreAt(z.body); boring && after > before[i] {
			b.boreCuts[i].note(after-before[i], b.setting, b.step)
		}
	}
	b.walls()
}

// gougesInside is the check that a cut inside leaves alone what the part needs.
func (b *lathe) gougesInside(edges []edge) {
	for i, z := range b.bores {
		last := i == len(b.bores)-1
		from, to, most := z.from, z.to, z.Diameter.Max
		if i > 0 {
			from = b.bores[i-1].past
		}
		for _, e := range edges {
			if last && e.left == e.right && e.to > z.past+same { // a drill's point may go on
				b.fault(WithinLimits, "the cut at diameter %s ends at %s, %s past the end of %s at most", full-e.left, e.to, e.to-z.past, z.Name)
				b.spoiled[z.Name] = true
				return
			}
			if i == b.ownBore() {
				continue
			}
			a, c := max(e.from, from), min(e.to, to)
			if c-a <= same {
				continue
			}
			if d := full - min(e.at(a), e.at(c)); d > most+same {
				b.fault(WithinLimits, "the cut at diameter %s goes %s into %s, which takes %s at most", d, c-a, z.Name, most)
				b.spoiled[z.Name] = true
				return
			}
		}
	}
	if len(b.bores) == 0 {
		b.fault(WithinLimits, "the part has no bore")
	}
}

// walls is the check that the part keeps a wall between its bore and its outside.
func (b *lathe) walls() {
	if b.tool != nil && b.tool.Kind == sequence.PartingTool || b.thin {
		return
	}
	end := b.layout.from[len(b.layout.from)-1]
	if b.round {
		end = b.work[len(b.work)-1].To
	}
	for _, p := range b.work {
		for _, h := range b.hole {
			from, to := max(p.From, h.From, 0), min(p.To, h.To, end)
			if from >= to || min(h.Left, h.Right) == full {
				continue
			}
			wall := min(p.edge().at(from)-(full-h.edge().at(from)), p.edge().at(to)-(full-h.edge().at(to)))
			if wall < 2*leastWall {
				b.thin = true
				b.fault(WithinLimits, "a wall of %s is left between bore and outside at %s from the end, %s is the least", wall/2, from, leastWall)
				return
			}
		}
	}
}

// breakThrough takes away what an outside cut along an edge leaves of the work where
// the hole is as large: there is no wall any more.
func (b *lathe) breakThrough(e edge, n int) {
	for _, h := range b.hole {
		from, to := max(e.from, h.From), min(e.to, h.To)
		if from >= to || min(h.Left, h.Right) == full || full-max(h.Left, h.Right) < max(e.at(from), e.at(to)) {
			continue
		}
		left, _ := b.work.cut(b.spare[:0], flat(from, to, 0), n)
		b.spare, b.work = b.work, left
	}
}

// tailstock is a drill, a reamer or a centre drill.
func (b *lathe) tailstock(m sequence.Tailstock) {
	if !b.sane(m.Diameter, m.From, m.To) {
		return
	}
	if m.Kind == sequence.TapTool {
		b.tap(m)
		return
	}
	if b.turn != sequence.Forward {
		b.fault(Consistent, "drilling from the tailstock with the spindle %s", b.turn)
	}
	if b.centre {
		b.fault(WithinLimits, "drilling the end while the centre stands in it")
	}
	if b.placed() && b.x() < m.Diameter {
		b.fault(ToolClear, "the tool in the post stands at diameter %s, in the way of the %s of %s", b.x(), m.Kind, m.Diameter)
	}
	if m.Kind == sequence.CentreDrillTool {
		b.centreDrill(m)
		return
	}
	if q := b.quill; q == nil || q.Kind != m.Kind || q.Diameter != m.Diameter {
		b.fault(Consistent, "there is no %s of %s in the tailstock", m.Kind, m.Diameter)
		return
	}
	if m.To > same {
		b.drill(m)
	}
	b.sleeve.stands, b.sleeve.known, b.sleeve.way = m.To, true, sequence.In
	if m.Dial != nil {
		switch {
		case b.own.Tailstock == nil || b.sleeve.dial.Divisions == 0:
			b.fault(Consistent, "the lathe has no ring on its tailstock wheel")
		default:
			b.readable(&b.sleeve, m.Dial, "tailstock")
		}
	}
	b.clock((m.To - m.From).Abs(), m.PerRev, true)
}

// centreDrill drills a centre: its pilot, and where it goes deep enough the cone of
// 60 degrees, up to a mouth of 2.12 times the pilot (ISO 866, form A).
func (b *lathe) centreDrill(m sequence.Tailstock) {
	b.drillLoad(m, 0)
	b.mouth = min(m.Diameter, m.To)
	edges := []edge{flat(-far, m.To, full-m.Diameter)}
	if cone := m.To - m.Diameter; cone > 0 {
		// On diameter a cone of 60 degrees grows by 1.1547 for each length.
		b.mouth = min(m.Diameter+cone*11547/10000, m.Diameter*212/100)
		edges = append(edges, edge{0, cone, full - b.mouth, full - m.Diameter})
	}
	if len(b.bores) == 0 {
		return // a centre for support: the part keeps it
	}
	edges[0].from = 0
	b.enlarge(edges, false)
}

// drill makes the hole of a drill or a reamer.
func (b *lathe) drill(m sequence.Tailstock) {
	smallest, _ := b.bored(0, max(m.To, um))
	opened, _ := b.bored(max(0, m.From), max(m.To, um))
	b.drillLoad(m, opened)
	end := b.boreAt(um)
	edges := []edge{flat(0, m.To, full-m.Diameter)}
	switch {
	case m.Kind == sequence.ReamerTool:
		if stock := m.Diameter - smallest; stock > mm || stock < 50*um || smallest == 0 {
			b.fault(WithinLimits, "the reamer of %s goes into a hole of %s: it takes a tenth to a few tenths of a millimetre", m.Diameter, smallest)
		}
	case end == 0:
		b.fault(WithinLimits, "the drill of %s starts on a bare end: it wanders without a centre", m.Diameter)
		fallthrough
	default:
		point := setup.PointLength(m.Diameter, 0)
		edges = append(edges, edge{m.To, m.To + point, full - m.Diameter, full})
	}
	b.enlarge(edges, false)
}

// zeroSleeve sets the ring of the tailstock with the drill's corners at the end.
func (b *lathe) zeroSleeve(m sequence.Zero) {
	switch {
	case b.own.Tailstock == nil:
		b.fault(Consistent, "the lathe has no ring on its tailstock wheel")
	case b.quill == nil || !b.sleeve.known:
		b.fault(Consistent, "the tailstock ring is zeroed with nothing brought up to the end")
	case (b.sleeve.stands - m.Z).Abs() > same:
		b.fault(Consistent, "the tailstock ring is zeroed at %s, the drill stands at %s", m.Z, b.sleeve.stands)
	}
	b.sleeve.zero, b.sleeve.zeroed = m.Z, true
}

// touchBore is the check that there is a wall of that diameter under the tip.
func (b *lathe) touchBore(x calc.Length) {
	if !b.carriage.known {
		b.fault(Consistent, "the wall of a bore is touched, but how far in is not known")
		return
	}
	if got := b.boreAt(b.z()); (got - x).Abs() > 2*same {
		b.fault(Consistent, "the tool is touched on a bore of %s, but at z %s it is %s", x, b.z(), got)
	}
}

// touchMouth is the check that the edge of the bore at z has that diameter.
func (b *lathe) touchMouth(x, z calc.Length) {
	if got := full - b.hole.right(z); (got - x).Abs() > 2*same {
		b.fault(Consistent, "there is no edge of a bore of %s at z %s: it is %s there", x, z, got)
	}
}

// touchStep is the check that a step in the bore is there to be touched.
func (b *lathe) touchStep(z calc.Length) {
	large, small := full-b.hole.left(z), full-b.hole.right(z)
	switch {
	case large <= small:
		b.fault(Consistent, "there is no step in the bore at z %s to touch on", z)
	case b.cross.known && (b.x() > large || b.x() < small):
		b.fault(Consistent, "the tool at diameter %s does not meet the step from %s to %s", b.x(), small, large)
	}
}

// believeBore gives a bore the diameter that was read, and the cross slide the
// difference.
func (b *lathe) believeBore(k int, got calc.Length) {
	q := b.hole.piece(b.bores[k].body)
	if q == nil || q.Left != q.Right {
		return
	}
	old, step := q.Left, q.Step
	for i := range b.hole {
		if p := &b.hole[i]; p.Step == step && p.Left == old && p.Right == old {
			p.Left, p.Right = full-got, full-got
		} else if p.Step == relic && p.To > p.From && full-p.Right < got && full-p.Right >= full-old-mm {
			p.Left, p.Right = full-got, full-got // it went through that as well
		}
	}
	for _, q := range b.relics { // nothing of it has come back
		b.hole, _ = b.hole.cut(nil, edge{q.From, q.To, q.Left, q.Right}, relic)
	}
	b.cross.correct(-(got - (full - old)))
	b.boreCuts[k].corrected = (got - (full - old)).Abs()
}

// believeDepth moves the step of a bore to where it was read, and the carriage's
// scale with it.
func (b *lathe) believeDepth(k int, got calc.Length) {
	to, ok := b.boreEnd(k)
	if !ok || len(b.work) == 0 {
		return
	}
	by := b.work[0].From + got - to
	if by > 0 { // deeper than thought, whatever was behind
		n := 0
		if q := b.hole.piece(b.bores[k].body); q != nil {
			n = q.Step
		}
		b.hole, _ = b.hole.cut(nil, flat(to, to+by, full-b.boreAt(b.bores[k].body)), n)
		b.carriage.correct(by)
		return
	}
	for i := 1; i < len(b.hole); i++ {
		p, q := &b.hole[i-1], &b.hole[i]
		if p.To == to && q.From == to && to+by > p.From && to+by < q.To {
			p.To, q.From = to+by, to+by
			b.carriage.correct(by)
			return
		}
	}
}

// boreEnd is the z at which a bore ends: where the hole first gets narrower behind its
// body.
func (b *lathe) boreEnd(k int) (calc.Length, bool) {
	z := b.bores[k].body
	d := b.boreAt(z)
	for _, q := range b.hole {
		if q.To > z && full-max(q.Left, q.Right) < d-same {
			return max(q.From, z), true
		}
	}
	return 0, false
}

// bore judges one bore of the finished part.
func (j judge) bore(k int) {
	z := j.bores[k]
	if z.Taper != nil {
		j.coneIn(k)
		return
	}
	if len(j.p) == 0 {
		return
	}
	front := j.p[0].From
	from, to := front, j.p[len(j.p)-1].To
	if j.round && z.Through { // into the hole of the first setting
		to = z.to
	}
	if k > 0 {
		if j.bores[k-1].Taper != nil {
			from = max(j.coneFloor(front), front+j.bores[k-1].past)
		} else if e, ok := j.boreEnd(k - 1); ok {
			from = e
		}
	}
	d := j.boreAt(z.body)
	if z.Chamfer > 0 {
		from = j.mouthEnd(front, d)
	}
	if e, ok := j.boreEnd(k); ok && !z.Through {
		to = e
	}
	plain := to
	if z.Recess != nil && !z.Through {
		plain = j.recessed(k, d, to)
	}
	low, high := j.bored(from, plain)
	got := low
	if low >= z.Diameter.Min {
		got = high
	}
	n := 0
	if q := j.hole.piece(z.body); q != nil {
		n = q.Step
	}
	j.boreSize(k, "bore", got, z.Diameter, n)
	if !z.Through {
		j.boreSize(k, "depth", to-front, z.Depth, 0)
	}
	if z.Chamfer > 0 {
		want := edgeLimits(z.Chamfer)
		across, along := (full-j.hole.right(front)-d)/2, from-front
		got := across
		if want.Contains(across) {
			got = along
		}
		j.boreSize(k, "chamfer", got, want, 0)
	}
	j.equalCuts(z.Name, &j.boreCuts[k])
	j.straight(z.Name, &j.boreCuts[k], z.Diameter.Tolerance())
}

// mouthEnd is where the cone at the mouth of a bore of a diameter ends.
func (j judge) mouthEnd(front, d calc.Length) calc.Length {
	end := front
	for _, q := range j.hole {
		if q.To <= front || q.From > end {
			continue
		}
		if full-q.Left > d+same && q.Right > q.Left {
			end = q.To
		}
	}
	return end
}

func (j judge) boreSize(k int, what string, got calc.Length, want fit.Limits, n int) {
	name := j.bores[k].Name
	s := Size{Part: j.part, Section: name, What: what, Got: got, Min: want.Min, Max: want.Max, OK: want.Contains(got)}
	j.result.Sizes = append(j.result.Sizes, s)
	if s.OK || j.spoiled[""] || j.spoiled[name] || k > 0 && j.spoiled[j.bores[k-1].Name] {
		return
	}
	by := "over"
	if want.Over(got) < 0 {
		by = "under"
	}
	step := j.last[name]
	if n > 0 && n <= len(j.plan.Steps) && j.plan.Steps[n-1].N == n {
		step = &j.plan.Steps[n-1]
	}
	if step == nil {
		step = j.step
	}
	j.faultAt(step, ToSize, "%s of %s is %s, %s %s its limits of %s to %s", what, name, got, want.Over(got).Abs(), by, want.Min, want.Max)
}

// boreProfile is the hole of the finished part as true diameters.
func (b *lathe) boreProfile(part Profile) Profile {
	var out Profile
	if len(part) == 0 {
		return nil
	}
	for _, q := range b.hole {
		from, to := max(q.From, part[0].From), min(q.To, part[len(part)-1].To)
		if from >= to || min(q.Left, q.Right) == full {
			continue
		}
		r := q.part(from, to)
		r.Left, r.Right = full-r.Left, full-r.Right
		out = append(out, r)
	}
	return out
}

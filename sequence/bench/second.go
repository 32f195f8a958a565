package bench

import (
	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// leastGrip is the share of its diameter that jaws hold a part by.
const leastGrip = 3

// other is the second setting: the part turned round.
type other struct {
	drawing  *job.Job
	jaws     calc.Length // z where the chuck begins
	long     calc.Length // of what is worked on, at most
	keep     calc.Length // nothing of the part is cut behind this z
	shoulder calc.Length // z of the shoulder at which the last section of the first setting begins
	step     bool        // there is one
	measured *calc.Length
	whole    bool        // the part is turned from end to end
	moved    calc.Length // how far its bores lie further in, the end faced off so much more
}

// lengthLimits is what the length over all may be.
func lengthLimits(j *job.Job) fit.Limits {
	if j.Overall.Nominal > 0 {
		return j.Overall
	}
	last := j.Sections[len(j.Sections)-1].Length
	front := j.Total() - last.Nominal
	return fit.Limits{Nominal: j.Total(), Min: front + last.Min, Max: front + last.Max}
}

// turnRound holds the part that is off the bar the other way round. Its profile is what
// the first setting left, read from the other end; the jaws stand on the section named.
func (b *lathe) turnRound(m sequence.Hold) {
	o := b.other
	switch {
	case o == nil || o.drawing.Second == nil:
		b.fault(Consistent, "the part is turned round, but the job has no second setting")
		return
	case b.round:
		b.fault(Consistent, "the part is turned round twice")
		return
	case !b.parted:
		b.fault(Consistent, "the part is turned round with the bar still on it")
		return
	}
	b.endPart()
	b.part--
	part := b.result.Profile
	if len(part) == 0 {
		return
	}
	second := o.drawing.Second
	if n := len(b.job.Sections); n > 1 {
		if z, ok := b.shoulder(part, n-2); ok {
			o.shoulder, o.step = z, true
		}
	}
	from, to := b.heldFrom(part, second)
	last := &part[len(part)-1]
	if o.measured != nil {
		last.To = part[0].From + *o.measured
	}
	end, long := last.To, last.To-part[0].From
	raw := lengthLimits(o.drawing).Mid() - long // z of the end that is now outwards
	flip := func(z calc.Length) calc.Length { return raw + end - z }
	var work, hole Profile
	for i := len(part) - 1; i >= 0; i-- {
		q := part[i]
		q.From, q.To, q.Left, q.Right, q.Step, q.latest = flip(q.To), flip(q.From), q.Right, q.Left, 0, 0
		work = work.add(q)
	}
	for i := len(b.hole) - 1; i >= 0; i-- {
		q := b.hole[i]
		if q.From >= end || q.To <= part[0].From {
			continue
		}
		q = q.part(max(q.From, part[0].From), min(q.To, end))
		q.From, q.To, q.Left, q.Right, q.Step, q.latest = flip(q.To), flip(q.From), q.Right, q.Left, 0, 0
		hole = append(hole, q)
	}
	hole = append(hole, Piece{From: flip(part[0].From), To: far, Left: full, Right: full})
	o.shoulder = flip(o.shoulder)
	o.jaws = raw + m.StickOut
	b.holds(second, flip(to), flip(from), work)
	b.job = b.otherJob(second)
	b.round, b.parted, b.thin, b.rest, b.spare = true, false, false, nil, nil
	b.work, b.hole = work, hole
	b.bores = layBores(b.job)
	if n := len(b.bores); n > 0 {
		z := &b.bores[n-1]
		switch {
		case z.By == job.AsLeft:
			z.past, z.to = far, b.wideFrom(z.Chamfer, z.Diameter.Max+same)
			z.body = calc.Mid(z.Chamfer, z.to)
		case z.Through:
			z.to = b.wideFrom(z.from, z.Diameter.Min) - 2*same
			z.body = calc.Mid(max(z.from, z.Chamfer), z.to)
		}
	}
	b.boreCuts = make([]history, len(b.bores))
	b.tapped = make([]calc.Length, len(b.bores))
	b.layout = lay(b.job)
	b.sections = make([]history, len(b.job.Sections))
	clear(b.dug)
	clear(b.spoiled)
	clear(b.put)
	clear(b.proven)
	b.held, b.key = true, true
	b.carriage.known, b.touched, b.against, b.crashed, b.pass = false, false, false, false, nil
}

// wideFrom is where, behind a place, the hole is first as wide as a diameter; the end of
// the work where it is nowhere.
func (b *lathe) wideFrom(behind, d calc.Length) calc.Length {
	end := b.work[len(b.work)-1].To
	for _, q := range b.hole {
		from, to := max(q.From, behind), min(q.To, end)
		if from >= to {
			continue
		}
		switch a, c := full-q.edge().at(from), full-q.edge().at(to); {
		case a >= d:
			return from
		case c >= d:
			return from + share(to-from, d-a, c-a)
		}
	}
	return end
}

// saw cuts the bar through at z with the spindle standing: the part is put by, the bar
// stays in the chuck.
func (b *lathe) saw(m sequence.Saw) {
	b.standing("sawing")
	switch {
	case b.parted || b.round || len(b.work) == 0:
		b.fault(Consistent, "sawn off, and it is off already")
		return
	case m.Z <= b.work[0].From || m.Z > b.jaws()-jawRoom:
		b.fault(WithinLimits, "sawn at %s, the bar stands out from %s to the jaws at %s", m.Z, b.work[0].From, b.jaws())
		return
	}
	if b.placed() && !b.inside() && b.x() < b.work.At(b.z())+2*margin {
		b.fault(ToolClear, "sawn with the tool at diameter %s beside the bar", b.x())
	}
	var part, rest Profile
	for _, q := range b.work {
		if q.From < m.Z {
			part = part.add(q.part(q.From, min(q.To, m.Z)))
		}
		if q.To > m.Z {
			rest = rest.add(q.part(max(q.From, m.Z), q.To))
		}
	}
	b.result.Profile, b.work, b.parted = part, rest, true
}

// heldFrom is where the section begins and ends that holds the part; of a bore, where
// the part does.
func (b *lathe) heldFrom(part Profile, s *job.Second) (from, to calc.Length) {
	for k := range b.job.Sections {
		if b.job.Sections[k].Name != s.Held {
			continue
		}
		from, _ = b.freeEnd(part, k)
		to, _ = b.shoulder(part, k)
		return from, to
	}
	return part[0].From, part[len(part)-1].To
}

// holds is the check that the jaws close on the section named and on enough of it, and
// that a mandrel carries the part clear of the chuck.
func (b *lathe) holds(s *job.Second, from, to calc.Length, work Profile) {
	jaws := b.other.jaws
	if s.By == job.OnMandrel {
		if end := work[len(work)-1].To; jaws < end+jawRoom {
			b.fault(WithinLimits, "the part on its mandrel ends %s in front of the chuck, it needs %s", jaws-end, jawRoom)
		}
		return
	}
	d := work.At(calc.Mid(from, to))
	switch {
	case jaws < from-same:
		b.fault(WithinLimits, "the jaws close %s in front of %s, over its shoulder", from-jaws, s.Held)
	case to-jaws < d/leastGrip:
		b.fault(WithinLimits, "the jaws hold %s of %s, %s at least is wanted", max(0, to-jaws), s.Held, d/leastGrip)
	}
}

// mandrel is how thick the mandrel is that carries the part: as its bore; zero for none.
func (b *lathe) mandrel() calc.Length {
	if !b.round || b.other.drawing.Second.By != job.OnMandrel || len(b.work) == 0 {
		return 0
	}
	smallest, _ := b.bored(b.work[0].From, b.work[len(b.work)-1].To)
	return smallest
}

// otherJob is the second setting as a job, for what is judged section by section.
func (b *lathe) otherJob(s *job.Second) *job.Job {
	d := b.other.drawing
	last := d.Sections[len(d.Sections)-1]
	two := *d
	two.Second, two.Bores, two.PartOff, two.Overall, two.Quantity, two.BarLength = nil, s.Bores, false, fit.Limits{}, 1, 0
	two.Sections, two.Bar, two.Face = s.Sections, b.work.At(b.work[0].From), s.Face
	if len(s.Sections) == 0 {
		last.AsBar, last.Chamfer = true, s.Chamfer
		last.Diameter, last.Thread, last.Undercut = turned(d, last), nil, nil
		two.Sections = []job.Section{last}
	}
	var total calc.Length
	for _, q := range two.Sections {
		b.other.long += q.Length.Max
		total += q.Length.Nominal
	}
	b.other.whole = s.By == job.OnMandrel && total == d.Total()
	if b.other.whole {
		b.other.long = far
	}
	b.other.keep = b.other.long
	return &two
}

// spares is the check that no cut of the second setting takes anything off behind what
// it is for.
func (b *lathe) spares(edges []edge) {
	if !b.round {
		return
	}
	for _, e := range edges {
		rest := edge{max(e.from, b.other.keep+same), e.to, e.at(max(e.from, b.other.keep+same)), e.right}
		if rest.from >= rest.to {
			continue
		}
		if room, ok := b.work.room(rest); ok && room < -2*same {
			b.fault(WithinLimits, "the cut takes %s off what the first setting finished, behind %s from the new end", -room/2, b.other.keep)
			return
		}
	}
}

// mostShift is how far the end of a part turned round may lie from where the drawing and
// the first setting put it.
const mostShift = 2 * mm

// touchRound lets the end of a part turned round be where it is touched first: places
// count from that touch, and what comes of it is judged by the lengths.
func (b *lathe) touchRound(z calc.Length) {
	if !b.round || b.work[0].latest != 0 {
		return
	}
	by := z - b.work[0].From
	if by.Abs() > mostShift {
		return
	}
	for _, p := range []Profile{b.work, b.hole} {
		for i := range p {
			p[i].From += by
			p[i].To += by
		}
	}
	b.other.jaws += by
	b.other.shoulder += by
	b.meetShift(by)
}

// meetShift moves the place where a bore of the second setting meets the first one's.
func (b *lathe) meetShift(by calc.Length) {
	if n := len(b.bores); n > 0 && b.bores[n-1].Through {
		b.bores[n-1].to += by
	}
}

// readOverAll believes a reading of the length over all: in the hand, before the part is
// held again; later, the end that is in the chuck is where it says.
func (b *lathe) readOverAll(got calc.Length) {
	if b.other == nil || !b.sane(got) || got <= 0 {
		return
	}
	if !b.round {
		b.other.measured = &got
		return
	}
	if n := len(b.work); n > 0 && b.work[0].From+got > b.work[n-1].From {
		end := b.work[n-1].To
		by := b.work[0].From + got - end
		b.work[n-1].To += by
		for i := range b.hole { // what the first setting bored lies as deep from that end as it did
			q := &b.hole[i]
			if i > 0 {
				q.From += by
			}
			if q.To < far {
				q.To += by
			}
		}
		b.meetShift(by)
		for i := range b.work[:n-1] { // the places counted from the end in the chuck go with it
			if z := &b.work[i].To; *z == b.other.shoulder {
				*z += by
				b.work[i+1].From += by
			}
		}
		b.other.shoulder += by
	}
	d := b.other.drawing
	rest, last := b.other.shoulder-b.work[0].From, d.Sections[len(d.Sections)-1].Length
	over, least := rest > last.Max, got-rest+last.Min
	if !b.other.step {
		all := lengthLimits(d)
		over, least = got > all.Max, all.Min
	}
	if all := d.Overall; all.Nominal > 0 {
		over, least = over || got > all.Max, max(least, all.Min)
	}
	if over { // more is faced off
		b.layout = lay(b.job)
		by := b.work[0].From + got - least
		b.layout.shift(by)
		more := by - b.other.moved
		b.other.moved = by
		for i := range b.bores {
			z := &b.bores[i]
			z.from, z.body = z.from+more, z.body+more
			if !z.Through { // else it ends where the hole of the first setting begins
				z.to, z.past = z.to+more, z.past+more
			}
		}
		b.other.keep = b.other.long + by
	}
}

// shift moves the places of a layout along the work.
func (l *layout) shift(by calc.Length) {
	for i := range l.from {
		l.from[i] += by
	}
	for i := range l.body {
		l.body[i] += by
	}
	for i := range l.zones {
		l.zones[i].from += by
		l.zones[i].to += by
	}
}

// overAll judges the length over all, and the length of the section that was finished
// by facing the new end.
func (b *lathe) overAll() {
	d := b.job
	if b.round {
		d = b.other.drawing
	}
	p := b.result.Profile
	if len(p) == 0 || !b.round && (d.Overall.Nominal == 0 || !b.parted) {
		return
	}
	if !b.round || d.Overall.Nominal > 0 || !b.other.step {
		b.judgeLength("", "length over all", p[len(p)-1].To-p[0].From, lengthLimits(d))
	}
	if last := d.Sections[len(d.Sections)-1]; b.round && b.other.step && !b.other.whole {
		b.judgeLength(last.Name, "length", b.other.shoulder-p[0].From, last.Length)
	}
}

func (b *lathe) judgeLength(section, what string, got calc.Length, want fit.Limits) {
	s := Size{Part: b.part, Section: section, What: what, Got: got, Min: want.Min, Max: want.Max, OK: want.Contains(got)}
	b.result.Sizes = append(b.result.Sizes, s)
	if !s.OK && len(b.spoiled) == 0 {
		b.fault(ToSize, "%s is %s, its limits are %s to %s", what, got, want.Min, want.Max)
	}
}

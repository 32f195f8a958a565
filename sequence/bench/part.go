package bench

import (
	"turncue/calc"
	"turncue/sequence"
)

// loadNext judges the part that is finished and holds the next one: the bar pulled out
// to the stop, or a fresh blank against it. Either way its end is where the first
// one's was.
func (b *lathe) loadNext(m sequence.Hold) {
	b.endPart()
	raw := -b.job.Face
	front := flat(raw, b.jaws(), b.job.Bar)
	switch m.Load {
	case sequence.PullOut:
		if !b.parted {
			b.fault(Consistent, "the bar is pulled out with a part still on it")
			break
		}
		b.pullOut(raw)
	case sequence.Blank:
		if b.job.PartOff {
			b.fault(Consistent, "a fresh blank is put in, but the job parts off from a bar")
		}
		b.work = Profile{{From: front.from, To: front.to, Left: front.left, Right: front.right}}
		b.hole = Profile{{From: raw, To: far, Left: full, Right: full}}
	default:
		b.fault(Consistent, "nothing is loaded by %q", m.Load)
	}
	b.spare, b.rest, b.parted, b.thin, b.centre, b.mouth = nil, nil, false, false, false, 0
	for i := range b.sections {
		b.sections[i] = history{}
	}
	b.boreCuts = make([]history, len(b.bores))
	b.tapped = make([]calc.Length, len(b.bores))
	clear(b.dug)
	clear(b.spoiled)
	b.held, b.key = true, true
	b.touched, b.against, b.crashed, b.pass, b.lines = false, false, false, nil, nil
	if !b.placed() || len(b.work) == 0 {
		return
	}
	edges := b.tool.covers(b.x(), b.z(), b.z())
	if b.inside() { // in front of the work it meets nothing at any diameter
		edges = []edge{flat(-far, b.z()+insideEdge, 0)}
	}
	for _, e := range edges {
		if room, ok := b.work.room(e); ok && room < 2*margin {
			b.fault(ToolClear, "the work is brought to the stop with the tool at diameter %s in its way", b.x())
			return
		}
	}
}

// relic is the step of what the part before has left of its bore in the end of the bar.
const relic = -1

// pullOut moves what is left of the bar out until its end is at raw; what was drilled
// or turned of it stays.
func (b *lathe) pullOut(raw calc.Length) {
	by := raw - b.work[0].From
	var work, hole Profile
	b.relics = b.relics[:0]
	for _, q := range b.work {
		q.From, q.To, q.Step, q.latest = q.From+by, min(q.To+by, b.jaws()), 0, 0
		work = work.add(q)
	}
	work = work.add(Piece{From: work[len(work)-1].To, To: b.jaws(), Left: b.job.Bar, Right: b.job.Bar})
	for _, q := range b.hole {
		if q.To+by <= raw {
			continue
		}
		if from := raw - by; q.From < from {
			q = q.part(from, q.To)
		}
		q.From, q.To = q.From+by, min(q.To+by, far)
		if q.Left < full || q.Right < full {
			q.Step, q.latest = relic, 0
			b.relics = append(b.relics, q)
		}
		hole = append(hole, q)
	}
	if n := len(hole); n > 0 {
		hole[n-1].To = far
	}
	b.work, b.hole = work, hole
}

package job

import (
	"strings"

	"turncue/calc"
)

// AsLeft is the bore of the first setting as it comes out at the new end.
const AsLeft BoreBy = "as left"

// ThroughBore is the bore that comes out at the end that is parted off; nil for none.
func (j *Job) ThroughBore() *Bore {
	if n := len(j.Bores); n > 0 && j.Bores[n-1].Through {
		return &j.Bores[n-1]
	}
	return nil
}

// secondBores reads what is bored from the new end, and the chamfer at the new mouth of a
// bore that is there.
func (p *jobParser) secondBores(q *jobParser) {
	two, chamfer := p.job.Second, q.top.get("bore_chamfer")
	if q.top.get("bore").value != nil {
		q.bores()
	}
	two.Bores = q.job.Bores
	if chamfer.value != nil {
		leg, there := chamfer.length(maxBar), p.job.ThroughBore()
		switch {
		case len(q.hollows) > 0:
			chamfer.fault("second-bore-chamfer")
		case there == nil:
			chamfer.fault("second-bore-mouth-none")
		case leg > 0:
			left := *there
			left.Name, left.Pos, left.By, left.Free, left.Chamfer = "far-bore1", two.Pos, AsLeft, false, leg
			left.Note, left.ThreadNote = "", ""
			two.Bores = []Bore{left}
			p.secondMouth(q, &left, chamfer)
		}
	}
	if len(q.hollows) == 0 && len(two.Bores) == 0 {
		return
	}
	for _, st := range p.parts {
		for _, b := range two.Bores {
			if strings.EqualFold(st.Name, b.Name) {
				a := st.scope.get("name")
				a.fault("bore-name", st.number, st.Name)
			}
		}
	}
	if two.By == OnMandrel {
		q.top.get("by").fault("second-bore-mandrel")
	}
	for i, h := range q.hollows {
		p.secondBore(q, i, h)
	}
}

// secondBore checks one bore from the new end against those in front of it and against
// the hole of the first setting.
func (p *jobParser) secondBore(q *jobParser, i int, h *hollow) {
	last := i == len(q.hollows)-1
	if h.Thread != nil || h.size.f.key == "thread" {
		h.size.fault("second-bore-thread", h.number)
		return
	}
	there := p.job.ThroughBore()
	if h.Free && (there != nil || h.By == ByReam && !h.Through) {
		h.By, h.Free = ByBore, false
	}
	q.boreMade(h, last && there == nil)
	if i > 0 {
		q.boreBehind(q.hollows[i-1], h)
		if h.Chamfer > 0 {
			h.chamfer.fault("bore-chamfer-inside", h.number)
		}
	}
	if h.Through && !last {
		h.at.fault("bore-through-first", h.number, q.hollows[i+1].number)
		return
	}
	if h.Diameter.Nominal == 0 || !p.lengthsKnown() {
		return
	}
	p.secondMeets(h, there, last)
	p.secondBoreWall(q, h)
	if i == 0 && h.Chamfer > 0 {
		if d := h.Depth.Nominal; d > 0 && h.Chamfer >= d {
			h.chamfer.fault("bore-chamfer-deep", p.show(h.Chamfer), p.show(d))
			return
		}
		p.secondMouth(q, h.Bore, h.chamfer)
	}
}

// secondMeets checks where a bore from the new end ends: in front of the floor or the
// step of the first setting's, or in its hole. The point of a drill of 118 degrees is 0.3
// of its diameter long.
func (p *jobParser) secondMeets(h *hollow, there *Bore, last bool) {
	total, n := p.job.Total(), len(p.job.Bores)
	least := 2 * calc.Millimetre / 5
	switch {
	case there != nil && h.Through:
		h.at.fault("second-bore-through", h.number)
		return
	case there != nil && h.Diameter.Nominal < there.Outer()+least:
		h.size.fault("second-bore-step", h.number, p.show(h.Diameter.Nominal), p.show(there.Outer()), p.show(there.Outer()+least))
		return
	case h.Through && n == 0:
		h.at.fault("second-bore-none", h.number)
		return
	case h.Through:
		if d := p.job.Bores[n-1].Diameter.Nominal; d > 0 && h.Diameter.Nominal+least > d {
			h.size.fault("second-bore-wide", h.number, p.show(h.Diameter.Nominal), p.show(d), p.show(max(0, d-least)))
		}
		return
	}
	most := total - LeastWall
	if there == nil {
		if last {
			most -= h.Diameter.Nominal * 3 / 10
		}
		if n > 0 {
			most -= p.job.Bores[n-1].Depth.Nominal + p.job.Bores[n-1].Diameter.Nominal*3/10
		}
	} else if n > 1 {
		most -= p.job.Bores[n-2].Depth.Nominal
	}
	if h.Depth.Nominal > most {
		h.depth.fault("second-bore-deep", h.number, p.show(h.Depth.Nominal), p.show(max(0, most).Floor(100*calc.Micrometre)))
	}
}

// outsideFromNewEnd calls what is outside of the finished part, from the new end.
func (p *jobParser) outsideFromNewEnd(q *jobParser, each func(st *stretch, from, to calc.Length)) {
	at := calc.Length(0)
	for _, st := range q.parts {
		each(st, at, at+st.Length.Nominal)
		at += st.Length.Nominal
	}
	to := p.job.Total()
	for _, st := range p.parts {
		from := to - st.Length.Nominal
		if max(from, at) < to {
			each(st, max(from, at), to)
		}
		to = from
	}
}

// secondBoreWall checks what is left between a bore from the new end and the outside.
func (p *jobParser) secondBoreWall(q *jobParser, h *hollow) {
	deep := h.Depth.Nominal
	if h.Through && len(p.job.Bores) == 0 {
		return // said already
	}
	if h.Through {
		deep = p.job.Total() - p.job.Bores[len(p.job.Bores)-1].Depth.Nominal
	}
	said := false
	p.outsideFromNewEnd(q, func(st *stretch, from, _ calc.Length) {
		outside := st.Thin()
		if st.AsBar {
			outside = p.job.Bar
		}
		if st.Taper == nil && st.Core() > 0 {
			outside = min(outside, st.Core())
		}
		wall := (outside - h.Diameter.Nominal) / 2
		if said || outside <= 0 || from >= deep+LeastWall || wall >= LeastWall { // at a shoulder a floor stays
			return
		}
		said = true
		h.size.fault("bore-wall", h.number, p.show(h.Diameter.Nominal), p.show(max(0, wall)), st.number, p.show(outside), p.show(LeastWall), p.show(max(0, outside-2*LeastWall).Floor(100*calc.Micrometre)))
	})
}

// secondMouth checks the chamfer of the bore's edge at the new end.
func (p *jobParser) secondMouth(q *jobParser, b *Bore, at arg) {
	outside, edge := calc.Length(0), p.job.Second.Chamfer
	if len(q.parts) > 0 {
		outside, edge = q.parts[0].Thin(), q.parts[0].Chamfer
	} else if n := len(p.parts); n > 0 {
		if outside = p.parts[n-1].Thin(); p.parts[n-1].AsBar {
			outside = p.job.Bar
		}
	}
	if outside == 0 || b.Diameter.Nominal == 0 {
		return
	}
	if free := (outside-b.Diameter.Max)/2 - edge; b.Chamfer > free-LeastWall/2 {
		at.fault("bore-chamfer-wide", p.show(b.Chamfer), p.show(max(0, free)), p.show(max(0, free-LeastWall/2).Floor(100*calc.Micrometre)))
	}
}

package job

import (
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/thread"
)

// Bore is one stretch of the hole in the part. The bores are given from the free
// end inwards and can only get smaller.
type Bore struct {
	Name     string // "bore1", "bore2" ... from the free end
	Pos      Pos
	Diameter fit.Limits
	Depth    fit.Limits  // from the finished end to where it ends; zero when Through
	Through  bool        // it goes on to the end of the part
	By       BoreBy      // what brings it to size
	Free     bool        // By was left out: where the lathe lacks the tool it is bored
	Chamfer  calc.Length // leg of the 45 degree chamfer at its mouth; zero for none
	Note     string      // the author's, at its first step; "" for none
	// ThreadNote is the author's at the first step of its thread.
	ThreadNote string

	// Taper is the cone of a bore that narrows inwards; nil for a cylinder. Diameter is then
	// that of its mouth.
	Taper *Taper

	// Thread is the inside thread; nil for a plain bore. Diameter is then that of its
	// crests: what is bored or drilled before the thread.
	Thread *thread.Thread
	Recess *Undercut // where a thread cut with a threading tool runs out; nil when tapped or through
	RunOut *RunOut   // how such a thread ends instead, in front of the step; nil for none
	// Full is how deep a tapped thread has to be full; zero when Through. Depth is then
	// that of its hole, which has room for the tap's tapered end.
	Full fit.Limits
}

// Outer is the largest diameter of the bore: of its recess or its thread where it has
// one.
func (b *Bore) Outer() calc.Length {
	switch {
	case b.Recess != nil && b.Recess.Diameter.Nominal > 0:
		return b.Recess.Diameter.Nominal
	case b.Thread != nil:
		return max(b.Thread.Nominal, b.Diameter.Nominal)
	}
	return b.Diameter.Nominal
}

// BoreBy is the tool that brings a bore to size.
type BoreBy string

// The ways to make a bore.
const (
	ByDrill BoreBy = "drill"
	ByReam  BoreBy = "ream"
	ByBore  BoreBy = "bore" // its thread, where it has one, with a threading tool
	ByTap   BoreBy = "tap"
)

// What a bore is made by and what it leaves, common practice.
const (
	// LeastWall is the thinnest wall, on radius, and the thinnest floor.
	LeastWall = calc.Millimetre
	// drilledTo and reamedTo are the largest diameters that are drilled to size or
	// reamed unless the job says so: small lathes stall with larger drills in steel,
	// and a larger hole is bored.
	drilledTo = 13 * calc.Millimetre
	reamedTo  = 12 * calc.Millimetre
	// drilledIn is the tolerance a drill keeps to: it cuts up to a tenth over its size.
	drilledIn = 150 * calc.Micrometre
	maxBores  = 6
)

var boreFields = []field{
	{"diameter", `"25 mm H7"`},
	{"thread", `"M6"`},
	{"taper", `"1:10"`},
	{"small", `"22 mm"`},
	{"depth", `"20 mm"`},
	{"through", `true`},
	{"by", `"bore"`},
	{"recess", `"regular"`},
	{"runout", `"DIN 76"`},
	{"chamfer", `"0.5 mm"`},
	noteField,
	{"thread_note", `"half a turn at a time near the end"`},
}

// boreWords are words of the trade for what is written otherwise.
var boreWords = map[string]string{
	"counterbore": counterbored, "counterbore_depth": counterbored, "spotface": counterbored, "step": counterbored,
	"countersink": `write chamfer = "1 mm", the leg of a 45 degree chamfer at the mouth`,
	"tap":         `write thread = "M6" instead of diameter, and by = "tap" where a threading tool is not meant`,
	"undercut":    `a groove inside is a recess: write recess = "regular"`,
	"length":      `write depth, from the finished end`,
}

const counterbored = "a counterbore is a [[bore]] of its own in front of the narrower one: its diameter, and its depth from the finished end"

// hollow is a bore while it is read, with the places of its values.
type hollow struct {
	*Bore
	number                                         string
	size, depth, by, chamfer, recess, runOutAt, at arg
	taper, small                                   arg
}

// bores reads the bores of a job.
func (p *jobParser) bores() {
	tables, ok := p.tables("bore", `[[bore]] with diameter = "25 mm H7" and through = true`)
	if !ok || len(tables) == 0 {
		return
	}
	if len(tables) > maxBores {
		p.fault("bore-count", tables[maxBores].pos, strconv.Itoa(maxBores))
		tables = tables[:maxBores]
	}
	p.job.Bores = make([]Bore, len(tables))
	for i, t := range tables {
		p.hollows = append(p.hollows, p.bore(&p.job.Bores[i], t, i))
	}
	for i, h := range p.hollows {
		p.boreTaper(i, h)
		if h.Thread != nil && p.prefix != "" {
			continue // none in the second setting: said there
		}
		if h.Thread != nil {
			p.threaded(h)
		} else if h.By == ByTap && h.size.f.key != "thread" {
			h.by.fault("tap-no-thread", h.number)
			h.By = ""
		} else if h.By == "" && (h.by.value == nil || h.by.there()) {
			h.By, h.Free = h.usual(i == len(p.hollows)-1), true
		}
	}
	for _, st := range p.parts {
		for _, h := range p.hollows {
			if strings.EqualFold(st.Name, h.Name) {
				a := st.scope.get("name")
				a.fault("bore-name", st.number, st.Name)
			}
		}
	}
}

func (p *jobParser) bore(b *Bore, t *table, i int) *hollow {
	s := p.scope(t, " in a bore", boreFields, func(key string) (not, instead string) {
		if contains(keysOf(jobFields), key) && key != "section" && key != "bore" {
			return "in a bore", "write it above the first heading"
		}
		if instead := boreWords[key]; instead != "" {
			return "in a bore", instead
		}
		return "", ""
	})
	h := &hollow{
		Bore: b, number: strconv.Itoa(i + 1), depth: s.get("depth"),
		taper: s.get("taper"), small: s.get("small"), by: s.get("by"), chamfer: s.get("chamfer"), recess: s.get("recess"), runOutAt: s.get("runout"), at: s.get("through"),
	}
	b.Pos, b.Name = t.pos, "bore"+h.number
	if p.prefix != "" {
		b.Name = "far-bore" + h.number
	}
	if h.size = s.get("thread"); h.size.value != nil {
		p.insideThread(h)
		if a := s.get("diameter"); a.value != nil {
			a.fault("bore-two-kinds", h.number)
		}
	} else if h.size = s.get("diameter"); h.size.value != nil || h.taper.value == nil { // a Morse taper has a diameter of its own
		h.size = s.need("diameter")
		b.Diameter = h.size.size()
	}
	if c := b.Diameter.Class; b.Thread == nil && !b.Diameter.Hole() && b.Diameter.Source != "" && c != fit.Default && b.Diameter.Nominal > 0 {
		h.size.fault("shaft-zone", show(b.Diameter.Nominal, p.job.Unit), c, strings.ToUpper(c))
		b.Diameter = fit.Limits{}
	}
	b.Note, b.ThreadNote = s.get("note").note(), p.threadNote(s)
	b.Through = h.at.truth(false)
	if h.depth.value != nil {
		b.Depth = h.depth.size()
	}
	switch {
	case b.Through && h.depth.value != nil:
		h.depth.fault("bore-depth-through", h.number)
		b.Depth = fit.Limits{}
	case !b.Through && h.depth.value == nil && (h.at.value == nil || h.at.there()):
		p.fault("bore-depth", t.pos, h.number)
	}
	if h.by.value != nil {
		b.By = BoreBy(h.by.word(string(ByDrill), string(ByReam), string(ByBore), string(ByTap)))
	}
	if h.chamfer.value != nil {
		b.Chamfer = h.chamfer.length(maxBar)
	}
	if h.recess.value != nil && (b.Thread == nil || b.Through) && h.size.there() {
		h.recess.fault("recess-not-here", h.number)
		h.recess.value = nil
	}
	if a := h.runOutAt; a.value != nil && (b.Thread == nil || b.Through) && h.size.there() {
		a.fault("runout-not-here", h.number)
		h.runOutAt.value = nil
	}
	return h
}

// usual is how a bore is made unless the job says so: a step in front of a smaller
// bore is bored, a small hole drilled or, within the limits of a fit, reamed.
func (h *hollow) usual(deepest bool) BoreBy {
	d := h.Diameter
	switch {
	case !deepest || d.Nominal == 0 || h.tapered():
		return ByBore
	case d.Tolerance() >= drilledIn && d.Nominal <= drilledTo:
		return ByDrill
	case d.Hole() && h.Through && d.Nominal <= reamedTo:
		return ByReam
	}
	return ByBore
}

// boreGeometry checks whether the bores can be made from the free end of the part.
func (p *jobParser) boreGeometry() {
	if len(p.hollows) == 0 {
		return
	}
	if p.job.Centre {
		p.top.get("support").fault("bore-on-centre")
	}
	total := p.job.Total()
	for i, h := range p.hollows {
		p.boreMade(h, i == len(p.hollows)-1)
		if i > 0 {
			p.boreBehind(p.hollows[i-1], h)
		}
		if h.Through && i < len(p.hollows)-1 {
			h.at.fault("bore-through-first", h.number, p.hollows[i+1].number)
		}
		if h.Through && !p.job.PartOff && p.job.Second == nil {
			h.at.fault("bore-not-parted")
		}
		if total > 0 && p.lengthsKnown() {
			p.boreFloor(i, total)
		}
		p.wall(i)
		p.mouth(i)
		p.boreTaperFits(i)
	}
}

// boreFloor checks how deep a bore goes into a part of a length. The point of a drill
// of 118 degrees is 0.3 of its diameter long.
func (p *jobParser) boreFloor(i int, total calc.Length) {
	h := p.hollows[i]
	deep := h.Depth.Nominal
	if deep == 0 {
		return
	}
	if i < len(p.hollows)-1 {
		if deep > total-LeastWall {
			h.depth.fault("bore-step-deep", h.number, p.show(deep), p.show(total), p.hollows[i+1].number, p.show(max(0, total-LeastWall)))
		}
		return
	}
	point := h.Narrow().Nominal * 3 / 10
	if h.Full.Nominal > 0 && deep+point > total-LeastWall {
		h.depth.fault("tap-deep", h.Thread.String(), p.show(h.Full.Nominal), p.show(deep), p.show(point), p.show(total))
		return
	}
	if deep+point > total-LeastWall {
		h.depth.fault("bore-deep", h.number, p.show(deep), p.show(total), p.show(point), p.show(max(0, total-point-LeastWall).Floor(100*calc.Micrometre)))
	}
}

func (p *jobParser) lengthsKnown() bool {
	for _, st := range p.parts {
		if st.Length.Nominal == 0 {
			return false
		}
	}
	return true
}

// boreMade checks how a bore is made.
func (p *jobParser) boreMade(h *hollow, deepest bool) {
	if h.By == ByTap && !deepest {
		h.size.fault("bore-step-by", h.number, string(h.By))
		return
	}
	if h.by.value == nil || h.By == ByBore || h.By == "" || h.By == ByTap {
		return
	}
	switch {
	case !deepest:
		h.by.fault("bore-step-by", h.number, string(h.By))
	case h.By == ByReam && !h.Through && h.Depth.Nominal > 0:
		h.by.fault("ream-blind", p.show(h.Diameter.Nominal))
	case h.By == ByDrill && h.Diameter.Nominal > 0 && h.Diameter.Tolerance() < drilledIn:
		h.by.fault("drill-close", p.show(h.Diameter.Tolerance()), p.show(drilledIn))
	}
}

// boreBehind checks a bore against the one in front of it.
func (p *jobParser) boreBehind(front, h *hollow) {
	if a, b := front.Narrow().Nominal, h.Outer(); a > 0 && b > 0 && b+calc.Millimetre/5 > a {
		h.size.fault("bore-grows", h.number, p.show(b), front.number, p.show(a))
	}
	if a, b := front.Depth.Nominal, h.Depth.Nominal; a > 0 && b > 0 && b < a+calc.Millimetre {
		h.depth.fault("bore-order", h.number, p.show(b), front.number, p.show(a))
	}
}

// wall checks what is left between a bore and the outside of the part.
func (p *jobParser) wall(i int) {
	h := p.hollows[i]
	from, to := calc.Length(0), h.Depth.Nominal
	if i > 0 {
		from = p.hollows[i-1].Depth.Nominal
	}
	if h.Through {
		to = p.job.Total()
	}
	if h.Diameter.Nominal == 0 || to == 0 {
		return
	}
	at := calc.Length(0)
	for _, st := range p.parts {
		end := at + st.Length.Nominal
		outside := st.Diameter.Nominal
		if st.Taper != nil {
			outside = st.Thin()
		}
		if st.Taper == nil {
			outside = st.Core()
		}
		for _, g := range st.rings {
			outside = min(outside, g.Diameter.Min)
		}
		if wall := (outside - h.Outer()) / 2; outside > 0 && end > from && at < to && wall < LeastWall {
			most := (outside - 2*LeastWall).Floor(100 * calc.Micrometre)
			h.size.fault("bore-wall", h.number, p.show(h.Outer()), p.show(max(0, wall)), st.number, p.show(outside), p.show(LeastWall), p.show(max(0, most)))
			return
		}
		at = end
	}
}

// mouth checks the chamfer of a bore.
func (p *jobParser) mouth(i int) {
	h := p.hollows[i]
	if i > 0 {
		if h.Chamfer > 0 {
			h.chamfer.fault("bore-chamfer-inside", h.number)
		}
		return
	}
	if len(p.parts) == 0 {
		return
	}
	if d := h.Depth.Nominal; d > 0 && h.Chamfer >= d {
		h.chamfer.fault("bore-chamfer-deep", p.show(h.Chamfer), p.show(d))
		return
	}
	first := p.parts[0]
	if first.Diameter.Nominal == 0 || h.Diameter.Nominal == 0 {
		return
	}
	room := (first.Thin()-h.Diameter.Max)/2 - first.Leg()
	switch {
	case h.Chamfer <= room-LeastWall/2 || h.Chamfer == 0 && first.Chamfer == 0:
	case h.Chamfer == 0 && first.chamfer.value == nil, h.Chamfer > 0 && h.chamfer.value == nil:
		// Nobody wrote that chamfer: what is wrong is the wall, and that is said.
	case h.Chamfer == 0:
		first.chamfer.fault("bore-face", p.show(first.Chamfer), p.show(max(0, room)), p.show(max(0, room+first.Chamfer-LeastWall/2).Floor(100*calc.Micrometre)))
	default:
		h.chamfer.fault("bore-chamfer-wide", p.show(h.Chamfer), p.show(max(0, room)), p.show(max(0, room-LeastWall/2).Floor(100*calc.Micrometre)))
	}
}

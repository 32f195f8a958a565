package planner_test

import (
	"math"

	"turncue/calc/fit"
	"turncue/calc/thread"
	"turncue/sequence/job"
)

// wantedBore is a bore of the drawing, in millimetres; one that goes through has no depth.
type wantedBore struct {
	name       string
	dia, depth [2]float64
	through    bool
	chamfer    float64
	thread     *thread.Thread
	tapped     bool
	free       bool        // or cut, as the lathe has it
	full       [2]float64  // length of full thread
	taper      float64     // of the tap's end
	recess     *[4]float64 // width from, to; diameter from, to
	fade       float64     // or how far before the step the full thread may end; zero for a recess

	small, half [2]float64 // of a cone: its small end, and its half angle in degrees
}

// hollows is what the pencil notes of the hole: what was cut out of it, each a cylinder
// from the end of the work.
type hollows struct {
	own   int // the bore the step serves, -1 for none
	holes []hollow
	far   []hollow // of a part turned round, from its other end
	spot  bool     // the end has a centre
	quill writtenMove

	sleeve, sleeveZero float64 // where what is in the tailstock stands
	brought, sleeveSet bool

	cuts  [][]pencilCut
	since []pencilCut
	right []bool
	step  []float64 // depth each was faced to
	mouth float64   // leg of the chamfer

	recess  [][3]float64          // of each bore: from, to, least diameter
	rings   []map[float64]float64 // how wide the recess was cut at each place
	threads []threadNote
	reach   []float64 // how far every pass of a thread went
	tapped  []float64 // length of full thread
}

// hollow is a cylinder from the end of the work, or with a half angle a cone: dia is then at
// its mouth.
type hollow struct{ to, dia, half float64 }

func (h hollow) at(z float64) float64 { return h.dia - widens(h.half, max(0, z)) }

func boresOf(bores []job.Bore, l *job.Lathe) (list []wantedBore) {
	for _, b := range bores {
		w := wantedBore{name: b.Name, dia: millimetres(b.Diameter), depth: millimetres(b.Depth), through: b.Through, chamfer: b.Chamfer.Millimetres(), thread: b.Thread, full: millimetres(b.Full)}
		if t := b.Taper; t != nil {
			w.small = millimetres(t.Small)
			w.half = [2]float64{(t.By.HalfAngle() - t.Half).Degrees(), (t.By.HalfAngle() + t.Half).Degrees()}
		}
		if u := b.Recess; u != nil {
			width, dia := millimetres(u.Width), millimetres(u.Diameter)
			w.recess = &[4]float64{width[0], width[1], dia[0], dia[1]}
		}
		if o := b.RunOut; o != nil {
			w.fade = o.Shoulder.Millimetres()
		}
		if t := b.Thread; t != nil {
			w.tapped, w.free, w.taper = b.By == job.ByTap, b.Free, 4*t.Pitch.Millimetres() // as a second tap
			for _, o := range l.Tools {
				if o.Thread != nil && o.Thread.Nominal == t.Nominal && o.Thread.Lead == t.Lead && o.LeadIn > 0 {
					w.taper = o.LeadIn.Millimetres()
				}
			}
		}
		list = append(list, w)
	}
	return list
}

func millimetres(l fit.Limits) [2]float64 {
	return [2]float64{l.Min.Millimetres(), l.Max.Millimetres()}
}

// behind is what a part leaves of its hole in the bar, which is pulled out by so much; the
// point of a drill of 118 degrees goes 0.3 of its diameter further.
func (b *hollows) behind(bar bool, out float64) (left []hollow) {
	for _, h := range b.holes {
		if bar && h.to+0.3*h.dia > out {
			left = append(left, hollow{to: h.to - out, dia: h.dia})
		}
	}
	return left
}

func newHollows(n int) hollows {
	return hollows{own: -1, cuts: make([][]pencilCut, n), since: make([]pencilCut, n), right: make([]bool, n), step: make([]float64, n),
		recess: make([][3]float64, n), rings: make([]map[float64]float64, n), threads: make([]threadNote, n), reach: make([]float64, n), tapped: make([]float64, n)}
}

// owner tells the sections and the bores apart whose readings put the rings right.
func (c *pencil) owner() int {
	if c.bore.own >= 0 {
		return 1000 + c.bore.own
	}
	return c.own
}

// bored is the diameter of the hole at a depth.
func (c *pencil) bored(z float64) (dia float64) {
	for _, h := range c.bore.holes {
		if z < h.to-tiny/2 {
			dia = max(dia, h.at(z))
		}
	}
	for _, h := range c.bore.far {
		if z > c.long-c.raw-h.to+tiny/2 {
			dia = max(dia, h.dia)
		}
	}
	return dia
}

// meets is where, from the new end, the hole of the first setting begins; the end it came
// out at where it goes through.
func (c *pencil) meets() float64 {
	at := c.long - c.raw
	for _, h := range c.bore.far {
		at = min(at, c.long-c.raw-h.to)
	}
	return max(c.faced, at)
}

// begins is where a bore begins, behind its chamfer.
func (c *pencil) begins(k int) float64 {
	if k == 0 {
		return c.faced + c.want.bores[0].chamfer
	}
	return c.faced + c.want.bores[k-1].depth[1]
}

// within is a depth inside a bore.
func (c *pencil) within(k int) float64 {
	w := c.want.bores[k]
	from, to := c.begins(k), c.faced+w.depth[0]
	if w.through && c.turned2 {
		if to = c.meets(); to <= from {
			to = from + 0.2
		}
	} else if w.through {
		to = 0
		for _, s := range c.want.sections {
			to += s.length[0]
		}
	}
	return (from + to) / 2
}

// drilled is a drill, a reamer, a centre drill or a tap.
func (c *pencil) drilled(m writtenMove) {
	b := &c.bore
	if m.Kind == "tap" {
		c.tapped(m)
		return
	}
	if c.spindle != "forward" {
		c.say("drilled with the spindle %s", c.spindle)
	}
	if c.xKnown() && c.zKnown && c.x < m.Dia {
		c.say("drilled with the tool in the post at %.3f in the way", c.x)
	}
	if m.Kind != "centre drill" && (b.quill.Kind != m.Kind || b.quill.Dia != m.Dia) {
		c.say("there is no %s of %.3f in the tailstock", m.Kind, m.Dia)
	}
	c.sleeve(m)
	if m.To <= tiny {
		return
	}
	switch m.Kind {
	case "centre drill":
		b.spot = true
		if len(c.want.bores) == 0 {
			return
		}
	case "reamer":
		at := m.To
		if c.turned2 {
			at = min(at, c.meets())
		}
		if hole := c.bored(at - 2*tiny); m.Dia-hole > 1 || m.Dia <= hole {
			c.say("the reamer of %.3f goes into a hole of %.3f", m.Dia, hole)
		}
	default:
		if !b.spot {
			c.say("the drill starts on a bare end")
		}
	}
	for i := range c.want.bores { // no deeper than what is that wide, the point apart
		if w := c.want.bores[i]; i == len(c.want.bores)-1 && !w.through && m.To > c.faced+w.depth[1]+tiny {
			c.say("drilled to %.3f, %s ends at %.3f", m.To, w.name, w.depth[1])
		}
		if w := c.want.bores[i]; m.To > c.begins(i)+0.1 && m.Dia > w.dia[1]+tiny {
			c.say("a drill of %.3f goes into %s", m.Dia, w.name)
		}
	}
	b.holes = append(b.holes, hollow{to: m.To, dia: m.Dia})
}

// sleeve is where a drill goes and what the tailstock's ring says there.
func (c *pencil) sleeve(m writtenMove) {
	b := &c.bore
	if m.Kind == "centre drill" {
		return
	}
	if b.sleeveSet && math.Abs(m.From-b.sleeve) > tiny && m.From > b.sleeve {
		c.say("drilled from %.3f on, and drilled to %.3f before", m.From, b.sleeve)
	}
	b.sleeve, b.brought = m.To, true
	if r := c.want.tailstock; m.Dial != nil && (!b.sleeveSet || math.Abs(b.sleeveZero+m.inMM(r)-m.To) > r.division/2+tiny) {
		c.say("the tailstock ring says %.3f, the drill is to go to %.3f", b.sleeveZero+m.inMM(r), m.To)
	}
}

// boredAlong is a pass of the boring bar.
func (c *pencil) boredAlong(m writtenMove) {
	k := c.bore.own
	if k < 0 || !c.zeroed || m.To < m.From || c.tool.Kind != "boring bar" {
		c.say("bored in no bore, unzeroed, outwards or with a %s", c.tool.Kind)
		return
	}
	w := c.want.bores[k]
	if c.x > w.dia[1]+tiny || !w.through && m.To > c.faced+w.depth[1]+tiny {
		c.say("bored %.3f to a depth of %.3f, %s is at most %.3f and %.3f", c.x, m.To, w.name, w.dia[1], w.depth[1])
	}
	deepest, dia := 0.0, 0.0
	for _, h := range c.bore.holes {
		if h.to > deepest {
			deepest, dia = h.to, h.dia
		}
	}
	if c.turned2 && c.meets() <= deepest+tiny || c.turned2 && c.meets() <= c.faced {
		deepest = c.long
	}
	if m.To > deepest+0.3*dia+tiny { // the point of a drill goes so much further
		c.say("bored to %.3f, the hole is %.3f deep", m.To, deepest)
	}
	c.backOfBar(min(m.To, deepest) - 2*tiny)
	before := c.bored(c.within(k))
	c.bore.holes = append(c.bore.holes, hollow{to: m.To, dia: c.x})
	if c.x > before+tiny/10 {
		cut := c.bore.since[k]
		cut.depth = (c.x - before) / 2
		c.bore.cuts[k], c.bore.since[k], c.bore.right[k] = append(c.bore.cuts[k], cut), pencilCut{}, false
		c.bore.step[k] = m.To
	}
}

// plungedInside faces the step of a bore or breaks the edge at its mouth.
func (c *pencil) plungedInside(m writtenMove) {
	k := c.bore.own
	c.inwards()
	switch {
	case m.PerRev == 0 || k < 0:
		c.say("fed out with no feed, or in no bore")
	case c.tool.Kind == "chamfer":
		c.bore.mouth = (m.To - c.bored(c.faced)) / 2
	case c.tool.Kind == "inside grooving":
		c.recessed(m)
	default:
		w := c.want.bores[k]
		if *m.Z > c.faced+w.depth[1]+tiny || m.To > c.bored(min(c.within(k), c.bore.step[k]-2*tiny))+tiny+c.want.cross.division {
			c.say("the step of %s is faced at %.3f to %.3f", w.name, *m.Z, m.To)
		}
		c.bore.holes = append(c.bore.holes, hollow{to: *m.Z, dia: m.To})
		c.bore.step[k] = *m.Z
	}
}

// clearInside is the check that a tool in a bore has air on its way.
func (c *pencil) clearInside(from, to float64) {
	deep := max(from, to) - 2*tiny
	if c.tool.Kind == "chamfer" { // it stands at the mouth
		if mouth := c.bored(c.faced) + 2*c.bore.mouth; c.zeroed && c.x > mouth-0.2+tiny {
			c.say("goes away at %.3f from a mouth of %.3f", c.x, mouth)
		}
		return
	}
	c.backOfBar(deep)
	if hole := c.bored(deep); c.xKnown() && deep > 0 && c.x > hole-0.2+tiny {
		c.say("goes along at %.3f in a hole of %.3f", c.x, hole)
	}
}

// readInside believes what was measured in a bore.
func (c *pencil) readInside(what string, final bool, got *float64) {
	k := c.bore.own
	b := &c.bore
	switch what {
	case "bore":
		b.since[k].read = true
		b.since[k].mended = b.since[k].mended || final && got != nil
		if got == nil {
			return
		}
		was := c.bored(c.within(k))
		for i := range b.holes {
			if h := &b.holes[i]; math.Abs(h.dia-was) < tiny/10 || h.to > c.within(k) && h.dia > *got {
				h.dia = *got
			}
		}
		if c.tool.Kind == "boring bar" {
			c.off[c.owner()] += *got - was
			c.x += *got - was
		}
		b.since[k].slip = math.Abs(*got - was)
		b.right[k] = *got >= c.want.bores[k].dia[0] && *got <= c.want.bores[k].dia[1]
	case "depth":
		if got == nil {
			return
		}
		to := c.faced + *got
		by := to - b.step[k]
		for i := range b.holes {
			if math.Abs(b.holes[i].to-b.step[k]) < tiny/10 {
				b.holes[i].to = to
			}
		}
		b.step[k] = to
		c.topZero += by
		c.z += by
		c.shift += by
	}
}

// boresFinished holds the hole against the drawing.
func (c *pencil) boresFinished() {
	for k, w := range c.want.bores {
		if w.small[1] > 0 {
			c.coneInsideFinished(k)
			continue
		}
		if d := c.bored(c.within(k)); d < w.dia[0]-tiny || d > w.dia[1]+tiny {
			c.say("%s is %.4f, wanted %.4f to %.4f", w.name, d, w.dia[0], w.dia[1])
		}
		deep := 0.0
		for _, h := range c.bore.holes {
			if h.dia > w.dia[0]-tiny {
				deep = max(deep, h.to)
			}
		}
		end := c.ends[len(c.ends)-1]
		deep -= c.faced
		if c.turned2 { // where it meets the first setting's
			end = c.meets() - c.faced
		}
		if w.through && end > 0 && deep < end-tiny || !w.through && (deep < w.depth[0]-tiny || deep > w.depth[1]+tiny) {
			c.say("%s is %.4f deep, wanted %.4f to %.4f", w.name, deep, w.depth[0], w.depth[1])
		}
		if len(c.bore.cuts[k]) > 0 {
			c.equalInside(k)
		}
		c.threadFinished(k)
	}
	for i := range c.dia {
		if d := c.bored(c.front(i) + 2*tiny); d > 0 && c.dia[i]-d < 0.6-tiny {
			c.say("a wall of %.3f is left under %s", (c.dia[i]-d)/2, c.want.sections[i].name)
		}
	}
	if len(c.want.bores) == 0 || c.want.bores[0].chamfer == 0 {
		return
	}
	leg, give := c.want.bores[0].chamfer, 0.2
	if leg < 0.5 {
		give = 0.1
	}
	if math.Abs(c.bore.mouth-leg) > give+tiny {
		c.say("the chamfer of the bore is %.3f, wanted %.3f", c.bore.mouth, leg)
	}
}

// equalInside is the check of the two equal last cuts of a bore with a reading between.
func (c *pencil) equalInside(k int) {
	name, cuts := c.want.bores[k].name, c.bore.cuts[k]
	n := len(cuts)
	for n > 1 && cuts[n-1].mended {
		n--
	}
	switch {
	case c.bore.right[k]:
	case n < 2:
		c.say("%s is brought to size in one cut", name)
	case !cuts[n-1].read:
		c.say("the last cut of %s has no reading before it", name)
	case math.Abs(cuts[n-1].depth-cuts[n-2].depth) > c.want.cross.division+cuts[n-1].slip/2+tiny:
		c.say("the last cuts of %s are %.3f and %.3f deep", name, cuts[n-2].depth, cuts[n-1].depth)
	}
}

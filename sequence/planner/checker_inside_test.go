package planner_test

import "math"

// reversedInside is the check that a tool in a bore is off the wall before the spindle
// turns the other way.
func (c *pencil) reversedInside(turn string) {
	deep := c.z
	if k := c.bore.own; c.nuts && k >= 0 && turn == c.cutsIn() { // taken along to the end
		deep = max(deep, c.bore.reach[k])
	}
	if turn == c.cutsIn() || !c.zeroed || !c.zKnown || deep <= 0 {
		return
	}
	if hole := c.bored(deep - 2*tiny); c.x > hole-0.2+tiny {
		c.say("reversed with the tool at %.3f in a hole of %.3f", c.x, hole)
	}
}

// backOfBar is the check that the back of a bar has room across the hole: with its tip
// it is a fifth thicker, where that cuts a groove or a thread a third.
func (c *pencil) backOfBar(z float64) {
	if c.tool.Dia == 0 || !c.zeroed || z <= 0 {
		return
	}
	thick := c.tool.Dia * 4 / 3
	if c.tool.Kind == "boring bar" {
		thick = c.tool.Dia * 1.2
	}
	if back, hole := 2*thick-c.x, c.bored(z); back > hole+tiny {
		c.say("the back of the bar reaches %.3f in a hole of %.3f", back, hole)
	}
}

// wholeTurnsFit says that a threading tool has room to be wound clear by whole turns: always
// outside, in a bore where that leaves the back of its bar a millimetre of air.
func (c *pencil) wholeTurnsFit() bool {
	k := c.bore.own
	if !c.tool.Inside || k < 0 || c.want.bores[k].thread == nil {
		return true
	}
	t, hole, r := c.want.bores[k].thread, c.bored(c.within(k)), c.want.cross
	deep := (t.Nominal.Millimetres()+0.6*t.Pitch.Millimetres()-hole)/2 + 0.5 // the most a blunt or a sharp tip needs
	out := math.Ceil((deep+r.slack)/r.travel)*r.travel - r.slack
	return 2*(c.tool.Dia*4/3+out)+2 < 2*hole
}

// recessed is a cut of the recess that a thread in a bore runs out into.
func (c *pencil) recessed(m writtenMove) {
	k := c.bore.own
	w := c.want.bores[k]
	from, to := *m.Z-c.tool.Width, *m.Z
	if w.recess == nil || to > c.bore.step[k]+tiny || from < c.begins(k) {
		c.say("a recess from %.3f to %.3f, the bore ends at %.3f", from, to, c.bore.step[k])
	}
	c.backOfBar(to - 2*tiny)
	g, rings := &c.bore.recess[k], &c.bore.rings[k]
	if *rings == nil {
		*rings, *g = map[float64]float64{}, [3]float64{from, to}
	}
	(*rings)[to] = max((*rings)[to], m.To)
	*g = [3]float64{min(g[0], from), max(g[1], to), math.Inf(1)}
	for _, d := range *rings {
		g[2] = min(g[2], d)
	}
}

// threadInside is a pass of a thread in a bore.
func (c *pencil) threadInside(m writtenMove) {
	k := c.bore.own
	if k < 0 || c.want.bores[k].thread == nil || !c.zeroed {
		c.say("a thread where none is wanted, or with a tool never zeroed")
		return
	}
	w := c.want.bores[k]
	long := w.depth[1]
	if w.through {
		for _, q := range c.want.sections {
			long += q.length[1]
		}
	}
	_, back := c.threadPass(&c.bore.threads[k], w.thread, m, long)
	from, to := back-c.tool.Width/2, back+c.tool.Width/2
	hole := c.bored(c.within(k))
	switch g := c.bore.recess[k]; {
	case w.through && c.bored(to-2*tiny) < hole-tiny:
		c.say("the pass goes to %.3f, where the hole is %.3f", to, c.bored(to-2*tiny))
	case w.through:
	case w.fade > 0:
		c.fadesInside(m, to)
	case from < g[0]-tiny || to > g[1]+tiny || c.x > g[2]+tiny:
		c.say("the pass is in the recess from %.3f to %.3f at %.3f, the recess is from %.3f to %.3f, %.3f in diameter", from, to, c.x, g[0], g[1], g[2])
	}
	if b := &c.bore; b.reach[k] == 0 || from < b.reach[k] {
		b.reach[k] = from
	}
	c.backOfBar(back)
	for i := range k {
		if d := c.bored(c.within(i)); c.x > d+tiny {
			c.say("the pass cuts %s of %.3f", c.want.bores[i].name, d)
		}
	}
}

// tapped is a tap turned in by hand.
func (c *pencil) tapped(m writtenMove) {
	c.standing("tapped")
	k := c.bore.own
	switch q := c.bore.quill; {
	case !c.isolated:
		c.say("tapped with the power on")
	case k < 0 || c.want.bores[k].thread == nil:
		c.say("tapped where no thread is wanted")
		return
	case q.Kind != m.Kind || q.Dia != m.Dia:
		c.say("there is no tap of %.3f at the work", m.Dia)
	}
	if c.xKnown() && c.zKnown && c.x < 3*m.Dia {
		c.say("tapped with the tool in the post at %.3f in the way of the wrench", c.x)
	}
	w := c.want.bores[k]
	if t := w.thread; math.Abs(m.Dia-t.Nominal.Millimetres()) > tiny || math.Abs(m.PerRev-t.Lead.Millimetres()) > tiny {
		c.say("a tap of %.3f and %.3f a turn for %s", m.Dia, m.PerRev, t)
	}
	if hole := c.bored(m.To - 2*tiny); hole < w.dia[0]-tiny {
		c.say("the tap goes to %.3f, where the hole is %.3f", m.To, hole)
	}
	c.bore.tapped[k] = max(c.bore.tapped[k], m.To-w.taper)
}

// threadFinished holds the thread of a bore and its recess against the drawing.
func (c *pencil) threadFinished(k int) {
	w, b, end := c.want.bores[k], &c.bore, c.ends[len(c.ends)-1]
	in := func(what string, got float64, band [2]float64) {
		if got < band[0]-tiny || got > band[1]+tiny {
			c.say("%s of %s is %.4f, wanted %.4f to %.4f", what, w.name, got, band[0], band[1])
		}
	}
	tapped := w.tapped && (!w.free || b.tapped[k] > 0) // left free, it may have been cut instead
	switch {
	case w.thread == nil:
		return
	case tapped && w.through:
		in("length of full thread", b.tapped[k], [2]float64{end, math.Inf(1)})
	case tapped:
		in("length of full thread", b.tapped[k], w.full)
	default:
		c.pitchDiameters(w.name, w.thread, &b.threads[k], -1)
		c.insideFaded(k)
		if w.through {
			in("reach of the thread", b.reach[k], [2]float64{end, math.Inf(1)})
		}
	}
	if w.recess != nil {
		g := b.recess[k]
		in("recess width", g[1]-g[0], [2]float64{w.recess[0], w.recess[1]})
		in("recess", g[2], [2]float64{w.recess[2], w.recess[3]})
		for _, d := range b.rings[k] {
			in("recess", d, [2]float64{w.recess[2], w.recess[3]})
		}
	}
}

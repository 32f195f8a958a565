package planner_test

import "math"

// pencilGuide is the checker's note of the taper slide.
type pencilGuide struct {
	clamped bool
	half    float64 // degrees
	far     float64 // from where the carriage goes towards the chuck
	gone    bool
}

// caughtUp is the check that the slack of the taper slide is out at a place.
func (g *pencilGuide) caughtUp(c *pencil, at float64, what string) {
	if g.clamped && (!g.gone || at < g.far+c.want.guide[1]-tiny) {
		c.say("%s at %.3f, come to from %.3f: the taper slide follows after %.3f", what, at, g.far, c.want.guide[1])
	}
}

func (c *pencil) taperSlide(m writtenMove) {
	c.standing("the taper slide handled")
	if c.nuts {
		c.say("the taper slide is handled with the half-nuts shut")
	}
	if m.Half <= 0 || m.Half > c.want.guide[0] {
		c.say("the taper slide is set to %.4f degrees, its most is %.4f", m.Half, c.want.guide[0])
	}
	if rise := m.Travel * math.Tan(m.Half*math.Pi/180); m.Travel > 0 && math.Abs(rise-m.Rise) > tiny {
		c.say("over %.1f the cross slide goes %.4f, not %.4f", m.Travel, rise, m.Rise)
	}
	if m.Set == "clamped" && m.Travel == 0 && math.Abs(m.Half-c.guide.half) > 1e-5 {
		c.say("clamped at %.4f, set to %.4f", m.Half, c.guide.half)
	}
	if (m.Set == "clamped") == c.guide.clamped {
		c.say("the taper slide is %s already", m.Set)
	}
	c.guide = pencilGuide{clamped: m.Set == "clamped", half: m.Half}
	c.zeroed, c.way = false, ""
	clear(c.off)
	c.setting++
}

// led is a movement of the carriage with the taper slide clamped.
func (c *pencil) led(m writtenMove) {
	g := &c.guide
	known := c.zeroed || c.way != ""
	by := widens(g.half, m.To-m.From)
	if m.X == 0 && !c.zeroed {
		m.X = c.x + by
	}
	if known && math.Abs(c.x+by-m.X) > 2*tiny+math.Abs(c.off[c.owner()]) {
		c.say("led from %.3f by %.3f the tool comes to %.3f, not %.3f", c.x, by, c.x+by, m.X)
	}
	if m.By == "halfnut" {
		c.drove = m.To - m.From
		c.driven(m)
	}
	// The end of the work is where the metal begins.
	if m.Cutting {
		g.caughtUp(c, max(0, m.From), "cut")
		c.inwards()
		if c.own != 0 || c.want.sections[0].small[1] == 0 {
			c.say("led along where no cone is wanted")
			return
		}
	}
	at := func(z float64) float64 { return c.x + widens(g.half, z-m.From) } // of the tip
	switch {
	case m.Cutting && c.tool.Kind == "turning":
		k := &c.cone
		before := k.small
		if before == 0 {
			before = c.dia[0]
		}
		cut := k.since
		cut.depth = (before - at(0)) / 2
		k.cuts, k.since = append(k.cuts, cut), pencilCut{}
		k.small, k.half, k.right = at(0), g.half, false
		if run := (c.dia[0] - at(m.To)) / 2; run > tiny {
			c.say("the cut along the cone ends %.3f deep", run)
		}
	case m.Cutting && c.tool.Kind == "threading":
		c.ledThread(m, at)
	case m.Cutting:
		c.say("a %s led along", c.tool.Kind)
	default:
		// Clear of the cone where there is one, and of the cylinder behind it.
		for _, z := range []float64{0, m.From, m.To} {
			thick := c.dia[0]
			if c.cone.small > 0 {
				thick = min(thick, c.cone.at(z))
			}
			if z >= 0 && z <= max(m.From, m.To) && known && at(z) < thick+0.2-tiny && !(z > c.ends[0]) {
				c.say("goes along at %.3f over work of %.3f at %.3f", at(z), thick, z)
			}
		}
	}
	c.zeroX += m.X - c.x
	c.x = m.X
	if m.To < m.From {
		g.far = m.To
	} else if !g.gone {
		g.far = m.From
	}
	g.gone = true
}

// ledThread is a pass of a taper thread.
func (c *pencil) ledThread(m writtenMove, at func(float64) float64) {
	w := c.want.sections[0]
	t := w.thread
	sizes, err := t.TaperSizes()
	if err != nil || math.Abs(math.Tan(c.guide.half*math.Pi/180)-1.0/32) > 1e-6 {
		c.say("%s led along at %.4f degrees: %v", t, c.guide.half, err)
		return
	}
	gauge := sizes.Gauge.Millimetres()
	stood := c.x
	c.x = at(gauge) // the sizes stand at the gauge plane
	_, back := c.threadPass(&c.threads[0], t, m, w.length[1])
	c.x = stood
	if g := c.groove[0]; w.groove != nil && (back <= g[0] || back >= g[1]+tiny || g[1] == 0) {
		c.say("the pass is in the groove at %.3f, the groove is from %.3f to %.3f", back, g[0], g[1])
	}
	if w.groove == nil && (at(back) < c.dia[0]-tiny || back > c.ends[0]) {
		c.say("the pass ends at %.3f, %.3f deep in the cylinder; its shoulder is at %.3f", back, (c.dia[0]-at(back))/2, c.ends[0])
	}
}

// ringOn believes how far the ring gauge went on: a taper of 1 in 16 makes the thread so
// much thicker at its gauge plane.
func (c *pencil) ringOn(got *float64) {
	n, t := &c.threads[0], c.want.sections[0].thread
	sizes, err := t.TaperSizes()
	if err != nil || n.passes == 0 {
		c.say("a ring gauge where no taper thread is cut")
		return
	}
	if got == nil {
		return
	}
	basic := sizes.GaugePitch.Millimetres()
	have := n.starts[0] + c.point(n.tip, t)
	want := basic + (sizes.Gauge.Millimetres()-*got)/16
	n.starts[0] += want - have
	c.x += want - have
	c.off[0] += want - have
}

package planner_test

import "math"

// slopeInside is a movement of the top slide along a cone in a bore, done already: mouth is
// the diameter at which its path meets the end, half the angle it goes at.
func (c *pencil) slopeInside(m writtenMove, mouth, half, along float64) {
	k, b := c.bore.own, &c.bore
	if m.PerRev == 0 {
		deep := max(c.z, c.z-along) - 2*tiny
		if c.xKnown() && math.Abs(along) > tiny && deep > 0 {
			c.backOfBar(deep)
			if air := min(c.bored(0)-mouth, c.bored(deep)-mouth+widens(half, deep)); air < 0.2-tiny {
				c.say("goes along the slope with %.3f of air", air/2)
			}
		}
		return
	}
	c.inwards()
	if k < 0 || c.want.bores[k].small[1] == 0 || c.tool.Kind != "boring bar" || !c.zeroed || along <= 0 {
		c.say("a cone is bored in no bore that has one, unzeroed, outwards or with a %s", c.tool.Kind)
		return
	}
	w := c.want.bores[k]
	if !w.through && c.z > w.depth[1]+tiny {
		c.say("the cone is bored to %.3f, it is at most %.3f deep", c.z, w.depth[1])
	}
	deepest := hollow{}
	for _, h := range b.holes {
		if h.to > deepest.to {
			deepest = h
		}
	}
	if c.z > deepest.to+0.3*deepest.dia+tiny {
		c.say("bored to %.3f, the hole is %.3f deep", c.z, deepest.to)
	}
	c.backOfBar(min(c.z, deepest.to) - 2*tiny)
	if cut := b.since[k]; mouth > c.bored(0)+tiny/10 { // else it is in air at the mouth
		cut.depth = (mouth - c.bored(0)) / 2
		b.cuts[k], b.since[k], b.right[k] = append(b.cuts[k], cut), pencilCut{}, false
	}
	b.holes = append(b.holes, hollow{to: c.z, dia: mouth, half: half})
}

// readConeInside believes what was measured in a cone in a bore.
func (c *pencil) readConeInside(what string, at float64, final bool, got *float64) {
	k, b := c.bore.own, &c.bore
	if k < 0 || len(b.holes) == c.cone.holes {
		c.say("the %s is measured where none was bored", what)
		return
	}
	if what == "mouth of the bore" {
		b.since[k].read = true
		b.since[k].mended = b.since[k].mended || final && got != nil
	}
	if got == nil {
		return
	}
	last := &b.holes[len(b.holes)-1]
	by := 0.0
	if what == "mouth of the bore" {
		by = *got - last.dia
		last.dia = *got
		for i := range b.holes { // what was cut before cannot be wider
			b.holes[i].dia = min(b.holes[i].dia, *got)
		}
		b.since[k].slip = math.Abs(by)
		b.right[k] = *got >= c.want.bores[k].dia[0] && *got <= c.want.bores[k].dia[1]
	} else {
		half := math.Atan((last.dia-*got)/2/at) * 180 / math.Pi
		by = widens(last.half, c.z) - widens(half, c.z)
		c.cone.out = half - c.cone.set
		for i := range b.holes {
			switch h := &b.holes[i]; {
			case i >= c.cone.holes: // all cuts at this setting
				h.half = half
			case h.half > 0 && h.at(at) > *got: // so it was never that wide
				h.dia = 0
			}
		}
	}
	c.x += by
	c.zeroX += by
}

// coneInsideFinished holds a cone in a bore against the drawing.
func (c *pencil) coneInsideFinished(k int) {
	w, b := c.want.bores[k], &c.bore
	if len(b.holes) == 0 || b.holes[len(b.holes)-1].half == 0 && len(c.want.bores) == 1 {
		c.say("%s is no cone", w.name)
		return
	}
	cone := hollow{}
	for _, h := range b.holes {
		if h.half > 0 {
			cone = h
		}
	}
	deep := cone.to
	if w.through {
		deep = c.ends[len(c.ends)-1]
		if cone.to < deep-tiny {
			c.say("the cone of %s ends at %.3f in a part of %.3f", w.name, cone.to, deep)
		}
	} else if deep < w.depth[0]-tiny || deep > w.depth[1]+tiny {
		c.say("%s is %.4f deep, wanted %.4f to %.4f", w.name, deep, w.depth[0], w.depth[1])
	}
	for _, s := range []struct {
		what string
		got  float64
		want [2]float64
	}{{"mouth", c.bored(0), w.dia}, {"small end", c.bored(deep - 2*tiny), w.small}, {"half angle", cone.half, w.half}} {
		if s.got < s.want[0]-tiny || s.got > s.want[1]+tiny {
			c.say("the %s of %s is %.4f, wanted %.4f to %.4f", s.what, w.name, s.got, s.want[0], s.want[1])
		}
	}
	for _, z := range []float64{0, deep / 2, deep - 2*tiny} {
		if over := c.bored(z) - cone.at(z); over > 2*tiny {
			c.say("%s is %.4f wider at %.3f than its cone", w.name, over, z)
		}
	}
	c.equalInside(k)
	if c.cone.set != 0 {
		c.say("the top slide is left swivelled")
	}
}

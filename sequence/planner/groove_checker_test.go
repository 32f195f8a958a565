package planner_test

import (
	"math"

	"turncue/calc/fit"
	"turncue/sequence/job"
)

// wantedRing is a groove in the middle of a section, in millimetres.
type wantedRing struct {
	shoulder       bool // measured from there, else from the free end
	at, width, dia [2]float64
}

// cutRing is one as it was cut: its walls and its bottom.
type cutRing struct {
	from, to, bottom float64
	read, before     bool // a reading since the last cut, and one before it
	right            bool // that was inside the limits
}

func ringsOf(grooves []job.Groove) (list []wantedRing) {
	band := func(l fit.Limits) [2]float64 { return [2]float64{l.Min.Millimetres(), l.Max.Millimetres()} }
	for _, g := range grooves {
		list = append(list, wantedRing{g.From == job.Shoulder, band(g.At), band(g.Width), band(g.Diameter)})
	}
	return list
}

// ringAt is the groove of a section that a place lies in.
func (c *pencil) ringAt(k int, z float64) *cutRing {
	for i := range c.rings[k] {
		if r := &c.rings[k][i]; z > r.from-tiny && z < r.to+tiny {
			return r
		}
	}
	return nil
}

// ringed notes what was cut, as part of the groove it touches or as a new one.
func (c *pencil) ringed(k int, from, to, bottom float64) {
	for i := range c.rings[k] {
		if r := &c.rings[k][i]; from < r.to && to > r.from {
			if bottom < r.bottom-tiny {
				r.before, r.read, r.right = r.read, false, false
			}
			r.from, r.to, r.bottom = min(r.from, from), max(r.to, to), min(r.bottom, bottom)
			return
		}
	}
	c.rings[k] = append(c.rings[k], cutRing{from: from, to: to, bottom: bottom})
}

// sideways is a movement of the top slide: with a feed it cuts along the bottom of a
// groove, without one the tool is clear of the section.
func (c *pencil) sideways(m writtenMove, from float64) {
	switch {
	case m.PerRev > 0 && (c.own < 0 || c.ringAt(c.own, from-c.tool.Width/2) == nil || m.Approach != "in"):
		c.say("fed along with the top slide where no groove is")
	case m.PerRev > 0:
		c.inwards()
		c.ringed(c.own, from-c.tool.Width, c.z, c.x)
	case c.own >= 0 && len(c.want.sections[c.own].rings) > 0 && c.zeroed && c.z > 0 && c.x < c.dia[c.own]+0.2-tiny:
		c.say("goes along with the top slide at %.3f beside %.3f", c.x, c.dia[c.own])
	}
}

// ringsFinished holds the grooves of a section against the drawing.
func (c *pencil) ringsFinished(i int) {
	w := c.want.sections[i]
	if len(c.rings[i]) != len(w.rings) {
		c.say("%s has %d grooves, wanted %d", w.name, len(c.rings[i]), len(w.rings))
		return
	}
	for _, g := range w.rings {
		found := false
		for _, r := range c.rings[i] {
			at := r.from - c.front(i)
			if g.shoulder {
				at = c.ends[i] - r.to
			}
			if at > g.at[0]-tiny && at < g.at[1]+tiny {
				found = true
				if wide := r.to - r.from; wide < g.width[0]-tiny || wide > g.width[1]+tiny {
					c.say("a groove of %s is %.4f wide, wanted %.4f", w.name, wide, g.width)
				}
				if r.bottom < g.dia[0]-tiny || r.bottom > g.dia[1]+tiny {
					c.say("a groove of %s goes to %.4f, wanted %.4f", w.name, r.bottom, g.dia)
				}
			}
		}
		if !found {
			c.say("no groove of %s is %.4f from its edge, cut are %v", w.name, g.at, c.rings[i])
		}
	}
	for _, r := range c.rings[i] {
		if math.IsNaN(r.from) || r.to > c.ends[i] {
			c.say("a groove of %s runs past its shoulder", w.name)
		}
		if !r.before && !r.right {
			c.say("the last cut of a groove of %s has no reading before it", w.name)
		}
	}
}

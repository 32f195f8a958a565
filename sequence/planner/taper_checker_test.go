package planner_test

import "math"

// pencilCone is the checker's note of a cone and of the swivelled top slide.
type pencilCone struct {
	set, out float64 // half angle as told, and how much more it is in truth, degrees
	small    float64 // diameter of the cone at the end; zero before the first cut
	half     float64 // half angle of the cone as it was cut
	cuts     []pencilCut
	since    pencilCut
	right    bool
	narrows  bool // swung for a cone in a bore
	holes    int  // what was cut out of the work before that
}

func widens(degrees, along float64) float64 { return 2 * along * math.Tan(degrees*math.Pi/180) }

// at is the diameter of the cone at a place.
func (k *pencilCone) at(z float64) float64 { return k.small + widens(k.half, z) }

func (c *pencil) swivel(m writtenMove) {
	c.standing("top slide swivelled")
	if rise := m.Travel * math.Sin(m.Half*math.Pi/180); math.Abs(rise-m.Rise) > tiny {
		c.say("over %.1f the indicator changes by %.4f, not %.4f", m.Travel, rise, m.Rise)
	}
	c.cone.set, c.cone.narrows, c.cone.holes = m.Half, m.Narrows, len(c.bore.holes)
	if m.Half == 0 {
		c.cone.out = 0
	}
	c.zeroed, c.topZeroed, c.zKnown, c.way, c.topWay = false, false, false, "", ""
	c.setting++
}

// slope is a movement of the top slide along its angle.
func (c *pencil) slope(m writtenMove) {
	if math.Abs(m.Half-c.cone.set) > 1e-5 {
		c.say("the top slide stands at %.4f, the move is for %.4f", c.cone.set, m.Half)
	}
	if !c.topZeroed {
		c.say("the swivelled top slide is moved before its ring has a zero")
		return
	}
	if m.Narrows != c.cone.narrows || m.Narrows != c.tool.Inside {
		c.say("the top slide is swung the other way, or for a tool that works elsewhere")
	}
	real := c.cone.set + c.cone.out
	if m.Narrows {
		real = -real // towards the chuck the tool comes to less
	}
	along := *m.Z - c.z
	if along > tiny && m.Approach != "in" || along < -tiny && m.Approach != "out" {
		c.say("the top slide goes %s by %.3f", m.Approach, along)
	}
	if m.Dial != nil {
		ring := m.inMM(c.want.top)
		if m.Approach == "out" { // the tool stays behind the ring
			ring += c.want.top.slack
		}
		if at := ring * math.Cos(real*math.Pi/180); math.Abs(at-*m.Z) > c.want.top.division/2+0.05 {
			c.say("the top ring says %.3f along the work, the tool is to be at %.3f", at, *m.Z)
		}
	}
	if by := widens(real, along); c.zeroed && math.Abs(c.x+by-m.X) > 2*tiny {
		c.say("the tool comes to %.3f on the slope, not %.3f", c.x+by, m.X)
	}
	c.zeroX += m.X - c.x // the cross slide's ring stays, what it stands for goes with the slope
	c.x, c.z = m.X, *m.Z
	c.beforeJaws(c.z)
	front := c.x - widens(real, c.z) // where the path meets the end
	if m.Narrows {
		c.slopeInside(m, front, -real, along)
		return
	}
	if m.PerRev == 0 {
		if c.zeroed && c.way != "" && c.cone.small > 0 && front < c.cone.small+0.2-tiny && math.Abs(along) > tiny && c.z > 0 {
			c.say("goes along the slope at %.3f with the cone at %.3f", front, c.cone.small)
		}
		return
	}
	c.inwards()
	if c.own != 0 || c.want.sections[0].small[1] == 0 {
		c.say("a cone where none is wanted")
		return
	}
	if end := c.ends[0]; c.z > end-tiny && len(c.dia) > 1 && c.dia[1] > c.x+tiny {
		c.say("the cone is cut to %.3f, the shoulder is at %.3f", c.z, end)
	}
	before := c.cone.small
	if before == 0 {
		before = c.dia[0]
	}
	cut := c.cone.since
	cut.depth = (before - front) / 2
	c.cone.cuts, c.cone.since = append(c.cone.cuts, cut), pencilCut{}
	c.cone.small, c.cone.half, c.cone.right = front, real, false
}

// readCone believes what was measured on a cone.
func (c *pencil) readCone(what string, at float64, final bool, got *float64) {
	k := &c.cone
	if what == "small end" {
		k.since.read = true
		k.since.mended = k.since.mended || final && got != nil
		if got == nil {
			return
		}
		by := *got - k.small
		k.small, k.since.slip = *got, math.Abs(by)
		c.x += by
		c.zeroX += by
		k.right = *got >= c.want.sections[0].small[0] && *got <= c.want.sections[0].small[1]
		return
	}
	if got == nil {
		return
	}
	half := math.Atan((*got-k.small)/2/at) * 180 / math.Pi
	by := widens(half, c.z) - widens(k.half, c.z)
	c.x += by
	c.zeroX += by
	k.out, k.half = half-k.set, half
}

// coneFinished holds the cone against the drawing.
func (c *pencil) coneFinished(w wantedSection) {
	k := &c.cone
	if k.small < w.small[0]-tiny || k.small > w.small[1]+tiny {
		c.say("the small end of %s is %.4f, wanted %.4f to %.4f", w.name, k.small, w.small[0], w.small[1])
	}
	if k.half < w.half[0]-2e-4 || k.half > w.half[1]+2e-4 {
		c.say("the half angle of %s is %.4f, wanted %.4f to %.4f", w.name, k.half, w.half[0], w.half[1])
	}
	n := len(k.cuts)
	for n > 1 && k.cuts[n-1].mended {
		n--
	}
	switch {
	case k.right:
	case n < 2:
		c.say("the cone of %s is brought to size in one cut", w.name)
	case !k.cuts[n-1].read:
		c.say("the last cut of the cone has no reading before it")
	case math.Abs(k.cuts[n-1].depth-k.cuts[n-2].depth) > c.want.cross.division+k.cuts[n-1].slip/2+tiny:
		c.say("the last cuts of the cone are %.3f and %.3f deep", k.cuts[n-2].depth, k.cuts[n-1].depth)
	}
	if k.set != 0 {
		c.say("the top slide is left swivelled")
	}
}

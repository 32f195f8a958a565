package planner_test

import "math"

// cutRadii is what was cut of the radii of a section.
type cutRadii struct {
	corner          float64 // of the nose that faced its shoulder last
	round, deep, at float64 // of the tool that rounded its edge, how far that was fed in and where it stood from the edge
}

// radiiFinished holds the radii of a section against the drawing.
func (c *pencil) radiiFinished(i int) {
	w, r := c.want.sections[i], c.radii[i]
	near := func(got, want float64) bool { // as for chamfers
		give := 0.2
		switch {
		case want < 0.5:
			give = 0.1
		case want > 3:
			give = 0.5
		}
		if want > 6 {
			give = 1
		}
		return math.Abs(got-want) <= give+tiny
	}
	if w.corner > 0 && !near(r.corner, w.corner) {
		c.say("the corner of %s has %.3f, wanted %.3f", w.name, r.corner, w.corner)
	}
	if w.round > 0 && (!near(r.round, w.round) || !near(r.deep, w.round) || math.Abs(r.deep-r.round) > 0.1 || math.Abs(r.at) > 0.1) {
		c.say("the edge of %s is rounded with %.3f, fed in %.3f, %.3f from the edge, wanted %.3f", w.name, r.round, r.deep, r.at, w.round)
	}
	if w.round == 0 && r.round > 0 {
		c.say("an edge of %s is rounded, and none is wanted", w.name)
	}
}

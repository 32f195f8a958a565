package planner_test

import (
	"math"

	"turncue/calc/fit"
	"turncue/calc/thread"
)

// threadNote is what the pencil notes of one thread, outside or in a bore.
type threadNote struct {
	starts  []float64 // x of the deepest pass of each start; zero for none
	tip     string    // of the tool that cut it
	passes  int
	grip    int   // of the half-nuts in the last pass
	first   []int // lines of the dial they were shut on for the first
	zeroTop float64
}

// threadPass is what every pass of a thread has to be; front and back are where it lies.
func (c *pencil) threadPass(n *threadNote, t *thread.Thread, m writtenMove, long float64) (front, back float64) {
	// A wrong lead over the length of a nut is like a thicker thread, by cot 30: a
	// third of the pitch diameter's tolerance is the most (common practice).
	nut := min(long, t.Nominal.Millimetres())
	limits, _ := t.Limits()
	lead, pitch := t.Lead.Millimetres(), t.Pitch.Millimetres()
	if math.Abs(c.gears/lead-1)*nut/math.Tan(t.Angle.Radians()/2) > limits.Pitch.Tolerance().Millimetres()/3+tiny {
		c.say("the gears cut %.5f, wanted %.5f", c.gears, lead)
	}
	c.driven(m)
	if c.backward != t.LeftHand {
		c.say("%s with the leadscrew backward %t", t, c.backward)
	}
	front, back = min(m.From, m.To), max(m.From, m.To)
	if room := -3 * lead; m.To > m.From && front > room+tiny || front > 0 {
		c.say("starts or ends %.3f in front, %.3f are needed", -front, -room)
	}
	if n.passes == 0 {
		*n = threadNote{first: c.lines, zeroTop: c.topAt, starts: make([]float64, max(1, t.Starts))}
	}
	along := math.Mod(math.Mod(c.topAt-n.zeroTop, lead)+lead, lead)
	start := math.Round(along / pitch)
	if math.Abs(along-start*pitch) > 0.03 {
		c.say("cut %.3f beside start %.0f", along-start*pitch, start+1)
	}
	if s := &n.starts[int(start)%len(n.starts)]; *s == 0 || (c.x < *s) != c.tool.Inside {
		*s, n.tip = c.x, c.tool.Tip
	}
	ground := c.tool.Angle
	if c.tool.Inside && ground == 0 {
		ground = 60 // unless it is written
	}
	if a := t.Angle.Degrees(); math.Abs(ground-a) > tiny {
		c.say("cut with a tool of %.1f degrees, %s has %.1f", ground, t, a)
	}
	if n.passes > 0 && n.grip != c.grips && !(c.opened && c.finds(n.first)) {
		c.say("the half-nuts were opened between passes")
	}
	n.grip = c.grips
	n.passes++
	return front, back
}

// finds says that the half-nuts, opened and shut on one of their lines, are in the
// groove again: the travel of the dial from a line to any of them, and once round, is a
// whole number of threads of the leadscrew and of the thread.
func (c *pencil) finds(first []int) bool {
	whole := func(v float64) bool { return math.Abs(v-math.Round(v)) < 1e-5*max(1, v) } // a lead is written to a nanometre
	if len(first) == 0 || len(c.lines) == 0 {
		return c.all && whole(c.want.screw/c.gears)
	}
	wheel, lines := float64(c.want.dial[0]), float64(c.want.dial[1])
	for _, a := range first {
		for _, b := range c.lines {
			threads := float64(b-a) / lines * wheel
			if whole(threads) && !whole(threads*c.want.screw/c.gears) {
				return false
			}
		}
	}
	return whole(wheel * c.want.screw / c.gears)
}

// gauged is a gauge tried on the thread of a step: it is cut as deep by then as a thread
// inside its limits is, on every start.
func (c *pencil) gauged(m writtenMove) {
	switch k := c.bore.own; {
	case m.Inside && (k < 0 || c.want.bores[k].thread == nil), !m.Inside && (c.own < 0 || c.want.sections[c.own].thread == nil):
		c.say("a gauge is tried where there is no thread")
	case !m.Inside:
		c.pitchDiameters(c.want.sections[c.own].name, c.want.sections[c.own].thread, &c.threads[c.own], 1)
	case !c.want.bores[k].tapped || c.want.bores[k].free && c.bore.tapped[k] == 0:
		c.pitchDiameters(c.want.bores[k].name, c.want.bores[k].thread, &c.bore.threads[k], -1)
	case c.bore.tapped[k] == 0:
		c.say("gauged and never tapped")
	}
}

// pitchDiameters works back from the deepest pass and the tip to the pitch diameter:
// with a the half angle of the flanks, a point would reach P / (4 tan a) beyond the pitch
// line; a flat f stops f / (2 tan a) short of a point, a radius r by r (1 / sin a - 1).
// Outside is 1, in a bore, where it goes the other way, it is -1.
func (c *pencil) pitchDiameters(name string, t *thread.Thread, n *threadNote, outside float64) {
	limits, err := t.Limits()
	if err != nil || n.passes == 0 {
		c.say("%s has no thread", name)
		return
	}
	point := c.point(n.tip, t)
	for i, x := range n.starts {
		if x == 0 {
			c.say("start %d of %s is never cut", i+1, t)
			continue
		}
		c.pitchOf(t, limits.Pitch, x+outside*point)
	}
}

// point is how much larger on diameter the pitch diameter is than where a tip stands.
func (c *pencil) point(text string, t *thread.Thread) float64 {
	tip, err := thread.ParseTip(text, t.Pitch)
	if err != nil {
		c.say("%v", err)
		return 0
	}
	half := t.Angle.Radians() / 2
	short := tip.Radius.Millimetres()*(1/math.Sin(half)-1) + tip.Flat.Millimetres()/(2*math.Tan(half))
	return t.Pitch.Millimetres()/(2*math.Tan(half)) - 2*short
}

// pitchOf holds a pitch diameter against its limits.
func (c *pencil) pitchOf(t *thread.Thread, want fit.Limits, d2 float64) {
	if d2 < want.Min.Millimetres()-tiny || d2 > want.Max.Millimetres()+tiny {
		c.say("pitch diameter of %s is %.4f, wanted %s to %s", t, d2, want.Min, want.Max)
	}
}

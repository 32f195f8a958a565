package planner_test

import (
	"math"

	"turncue/sequence/job"
)

// handFacts are what a hand and a spindle need to stop a carriage: seconds, and turns at
// so many in a minute.
type handFacts struct{ delay, coastTime, coastTurns, coastAt float64 }

func handOf(l *job.Lathe) handFacts {
	return handFacts{l.Delay.Seconds(), l.Coast.Time.Seconds(), l.Coast.Turns, l.Coast.At.PerMinute()}
}

// coasts is the turns from the power off to standstill.
func (h handFacts) coasts(rpm float64) float64 {
	if h.coastAt > 0 {
		return h.coastTurns * (rpm / h.coastAt) * (rpm / h.coastAt)
	}
	return rpm / 60 * h.coastTime / 2
}

// fadeOf is how far the full thread may end before the shoulder and how long the rest of
// it may be, in millimetres; nil for a thread with a groove.
func fadeOf(s *job.Section) *[2]float64 {
	if s.RunOut == nil {
		return nil
	}
	return &[2]float64{s.RunOut.Shoulder.Millimetres(), s.RunOut.Fade.Millimetres()}
}

// runningOn is a pass at its end, the spindle turning.
type runningOn struct {
	mark, x float64
	out     bool
	to      float64
}

// fadeNote is how one start of a thread without a groove ended.
type fadeNote struct{ deepest, last, full, faded float64 }

// fadingPass is a pass that ends in front of a shoulder: at or before a line, no later than
// the one before it.
func (c *pencil) fadingPass(m writtenMove) {
	k := c.own
	t := c.want.sections[k].thread
	pitch := t.Pitch.Millimetres()
	lined := false
	for _, z := range c.scribed {
		lined = lined || m.To < z+tiny && m.To > z-pitch/2
	}
	if !lined {
		c.say("the pass ends at %.3f, where no line is", m.To)
	}
	if m.To < m.From {
		c.say("the pass starts in the metal")
	}
	start := int(math.Round(math.Mod(math.Mod(c.topAt-c.threads[k].zeroTop, t.Lead.Millimetres())+t.Lead.Millimetres(), t.Lead.Millimetres()) / pitch))
	if c.fades == nil {
		c.fades = map[[2]int]*fadeNote{}
	}
	key := [2]int{k, start % max(1, t.Starts)}
	n := c.fades[key]
	if n == nil {
		n = &fadeNote{deepest: math.Inf(1), last: math.Inf(1)}
		c.fades[key] = n
	}
	if m.To > n.last+tiny {
		c.say("the pass ends %.3f behind the one before it", m.To-n.last)
	}
	faded := m.To
	if c.spindle == "hand" {
		c.short(k, m.To, "cranked")
	} else {
		faded += c.outAt()
		c.running = &runningOn{mark: m.To, x: c.x}
	}
	if c.x < n.deepest-tiny/10 {
		n.deepest, n.full = c.x, m.To
	} else if c.x < n.deepest+tiny/10 {
		n.full = max(n.full, m.To)
	}
	n.last, n.faded = m.To, max(n.faded, faded)
}

// outAt is how far the carriage goes until a hand has the tool out: its delay, and half a
// turn.
func (c *pencil) outAt() float64 { return c.gears * (c.rpm/60*c.want.hand.delay + 0.5) }

// short is the check that a vee at a place in the thread is short of the shoulder.
func (c *pencil) short(k int, z float64, how string) {
	if half := 0.35 * c.want.sections[k].thread.Pitch.Millimetres(); z+half > c.ends[k]+tiny {
		c.say("%s to %.3f with the shoulder at %.3f", how, z, c.ends[k])
	}
}

// withdrawn winds the tool out while the carriage goes on.
func (c *pencil) withdrawn(m writtenMove) {
	r := c.running
	if r == nil || r.out || c.own < 0 {
		c.say("wound out on the run where no pass ends")
		return
	}
	if math.Abs(m.From-r.mark) > tiny {
		c.say("wound out at %.3f, the pass ends at %.3f", m.From, r.mark)
	}
	cross := c.want.cross
	if turns := ((c.dia[c.own]-r.x)/2 + cross.slack) / cross.travel; c.rpm/60*turns*0.5 > 0.5+0.001 {
		c.say("%.2f turns of the handle within half a turn at %.0f rpm", turns, c.rpm)
	}
	c.short(c.own, r.mark+c.outAt(), "taken out of the thread")
	m.Slide, m.Approach = "cross", "out"
	c.slide(m)
	if c.x < c.dia[c.own]+0.2-tiny {
		c.say("wound out to %.3f only, in front of %.3f", c.x, c.dia[c.own])
	}
	if m.Whole == 0 {
		c.say("wound out by no whole number of turns")
	}
	r.out, r.to = true, m.To
}

// rests is the carriage at standstill behind such a pass; coast is the turns after the
// power is off.
func (c *pencil) rests(coast float64) {
	r := c.running
	if r == nil {
		return
	}
	c.running = nil
	if !r.out {
		c.say("the tool stays in the thread at %.3f while the carriage runs on", r.mark)
		return
	}
	on := c.gears * (c.rpm/60*max(1, c.want.hand.delay) + coast)
	c.short(c.own, r.mark+on, "the carriage runs on")
	if r.mark+on > r.to+tiny {
		c.say("runs on to %.3f, not %.3f", r.mark+on, r.to)
	}
	c.topZero += r.to - r.mark
	c.z = r.to
}

// stillRuns is the check that nothing else is done while the carriage runs on.
func (c *pencil) stillRuns(m *writtenMove) {
	if c.running == nil {
		return
	}
	if m != nil && (m.Do == "withdraw" || m.Do == "spindle" && m.Turn == "stop" || m.Do == "halfnut" && m.Set == "open") {
		return
	}
	c.say("the carriage runs on at the end of a pass")
	c.running = nil
}

// fadesFinished holds the ends of a thread without a groove against the drawing.
func (c *pencil) fadesFinished(k int) {
	w := c.want.sections[k]
	if w.fade == nil {
		return
	}
	for start := range max(1, w.thread.Starts) {
		n := c.fades[[2]int{k, start}]
		if n == nil {
			c.say("no pass of start %d of %s ends in front of the shoulder", start+1, w.name)
			continue
		}
		if a := c.ends[k] - n.full; a > w.fade[0]+tiny {
			c.say("the full thread of %s ends %.3f before the shoulder, %.3f at most", w.name, a, w.fade[0])
		}
		if x := n.faded - n.full; x > w.fade[1]+tiny {
			c.say("the thread of %s fades out over %.3f, %.3f at most", w.name, x, w.fade[1])
		}
	}
}

// fadesInside is a pass that ends in a bore in front of its step, side being how far the
// tool reaches: cranked, and no later than the one before it.
func (c *pencil) fadesInside(m writtenMove, side float64) {
	k := c.bore.own
	if c.spindle != "hand" {
		c.say("the pass ends in the thread with the spindle %s", c.spindle)
	}
	if side > c.bore.step[k]+tiny {
		c.say("cranked to %.3f with the step at %.3f", side, c.bore.step[k])
	}
	t := c.want.bores[k].thread
	lead := t.Lead.Millimetres()
	start := int(math.Round(math.Mod(math.Mod(c.topAt-c.bore.threads[k].zeroTop, lead)+lead, lead) / t.Pitch.Millimetres()))
	if c.fades == nil {
		c.fades = map[[2]int]*fadeNote{}
	}
	key := [2]int{-1 - k, start % max(1, t.Starts)}
	n := c.fades[key]
	if n == nil {
		n = &fadeNote{deepest: math.Inf(-1), last: math.Inf(1)}
		c.fades[key] = n
	}
	if m.To > n.last+tiny {
		c.say("the pass ends %.3f behind the one before it", m.To-n.last)
	}
	if c.x > n.deepest+tiny/10 {
		n.deepest, n.full = c.x, m.To
	}
	n.last = m.To
}

// insideFaded holds the end of a thread without a recess against the drawing.
func (c *pencil) insideFaded(k int) {
	w := c.want.bores[k]
	if w.fade == 0 {
		return
	}
	for start := range max(1, w.thread.Starts) {
		n := c.fades[[2]int{-1 - k, start}]
		if n == nil {
			c.say("no pass of start %d of %s ends in front of the step", start+1, w.name)
		} else if a := c.bore.step[k] - n.full; a > w.fade+tiny {
			c.say("the full thread of %s ends %.3f before the step, %.3f at most", w.name, a, w.fade)
		}
	}
}

package planner_test

import (
	"math"

	"turncue/sequence/job"
)

// wantedKnurl is a knurl as drawn: its diameter over the crests, its pitch round the work.
type wantedKnurl struct {
	over          [2]float64
	pitch, around float64
}

func knurlOf(s *job.Section) *wantedKnurl {
	k := s.Knurl
	if k == nil {
		return nil
	}
	p := k.Pitch.Millimetres()
	return &wantedKnurl{over: [2]float64{k.Over.Min.Millimetres(), k.Over.Max.Millimetres()}, pitch: p, around: p / math.Cos(k.Helix.Radians())}
}

// closingsOf are the clamps owned.
func closingsOf(l *job.Lathe) map[m2]float64 {
	c := map[m2]float64{}
	for _, t := range l.Tools {
		if t.Closing > 0 {
			c[m2{t.Pitch.Millimetres(), job.HelixOf(t.Pattern).Degrees()}] = t.Closing.Millimetres()
		}
	}
	return c
}

// pencilKnurl is a knurl as it was pressed.
type pencilKnurl struct {
	blank, root float64
	rise        float64 // what came up of what was sunk
	from, to    float64
	nut         float64 // diameter at which the clamp touched
}

// knurl is the note of the knurl of the step's own section.
func (c *pencil) knurl() *pencilKnurl {
	if c.own < 0 || c.want.sections[c.own].knurl == nil {
		c.say("knurled where nothing is to be knurled")
		return &pencilKnurl{rise: 1}
	}
	if c.knurls == nil {
		c.knurls = map[int]*pencilKnurl{}
	}
	if c.knurls[c.own] == nil {
		c.knurls[c.own] = &pencilKnurl{blank: c.dia[c.own], root: c.dia[c.own], rise: 1, from: math.Inf(1), to: math.Inf(-1)}
	}
	return c.knurls[c.own]
}

// m2 is a pitch and an angle.
type m2 [2]float64

// clampZero is the clamp closed until its wheels touch.
func (c *pencil) clampZero(m writtenMove) {
	k := c.knurl()
	if !c.tool.Clamp || math.Abs(m.X-k.blank) > 2*tiny {
		c.say("the clamp closed on %.3f, the blank is %.3f", m.X, k.blank)
	}
	c.x, k.nut, c.way, c.zeroed = m.X, m.X, "in", true
}

func (c *pencil) clamped(m writtenMove) {
	if !c.tool.Clamp || math.Abs(m.From-c.x) > tiny {
		c.say("the nut is turned from %.3f, the wheels stand at %.3f", m.From, c.x)
	}
	c.x = m.To
	if m.To > m.From {
		return
	}
	// The lathe's clamp closes as drawn: turns times what one of them does.
	if k := c.knurl(); math.Abs(k.nut-m.To-m.Nut*c.want.closing[m2{c.tool.Pitch, c.tool.Angle}]) > 2*tiny {
		c.say("%.2f turns of the nut are not from %.3f to %.3f", m.Nut, k.nut, m.To)
	}
	c.pressed()
}

// pressed is the wheels going in where they stand.
func (c *pencil) pressed() {
	if c.spindle != "forward" {
		c.say("pressed with the spindle %s", c.spindle)
	}
	k := c.knurl()
	if c.own < 0 || c.want.sections[c.own].knurl == nil {
		return
	}
	w := c.want.sections[c.own].knurl
	if c.tool.Pitch != w.pitch || math.Abs(math.Cos(c.tool.Angle*math.Pi/180)*w.around-w.pitch) > tiny {
		c.say("knurled with %.2f mm at %.0f degrees", c.tool.Pitch, c.tool.Angle)
	}
	if teeth := math.Pi * k.blank / w.around; math.Abs(teeth-math.Round(teeth)) > 0.25 {
		c.say("%.2f teeth on a blank of %.3f", teeth, k.blank)
	}
	for i := range c.dia {
		if i != c.own && !c.want.sections[i].asBar && c.dia[i] <= c.want.sections[i].dia[1] {
			c.say("%s is finished before the knurl", c.want.sections[i].name)
		}
	}
	k.root = min(k.root, c.x)
	if high := (k.blank - k.root) * (1 + k.rise) / 2; high > 0.6*w.pitch {
		c.say("teeth %.3f high of a pitch of %.2f", high, w.pitch)
	}
	k.from, k.to = min(k.from, c.z-c.tool.Width), max(k.to, c.z)
	if front := c.front(c.own); c.own > 0 && c.x < c.dia[c.own-1]+0.2-tiny && k.from < front {
		c.say("the wheels at %.3f stand over %.3f", c.x, c.dia[c.own-1])
	}
	c.dia[c.own] = k.blank + (k.blank-k.root)*k.rise
}

// knurledAlong is the wheels fed along.
func (c *pencil) knurledAlong(m writtenMove) {
	if m.PerRev == 0 {
		c.say("knurled with no feed")
	}
	k := c.knurl()
	if c.x > k.root+tiny {
		c.say("knurled along at %.3f, pressed to %.3f", c.x, k.root)
	}
	k.to = max(k.to, m.To)
	c.pressed()
}

// overKnurl believes what was measured over a knurl.
func (c *pencil) overKnurl(got float64) {
	k := c.knurl()
	if k.blank > k.root {
		k.rise = max(0.1, (got-k.blank)/(k.blank-k.root))
	}
	c.dia[c.own] = max(got, k.blank)
}

// knurlFinished holds a knurl against the drawing.
func (c *pencil) knurlFinished(i int, in func(string, float64, [2]float64)) {
	w := c.want.sections[i]
	k := c.knurls[i]
	if k == nil {
		c.say("%s is never knurled", w.name)
		return
	}
	in("blank of "+w.name, k.blank, w.dia)
	in("knurl of "+w.name, c.dia[i], w.knurl.over)
	if k.blank-k.root < 0.2*w.knurl.pitch {
		c.say("the knurl of %s is %.3f deep", w.name, (k.blank-k.root)/2)
	}
	end := c.ends[i]
	if !(i == len(c.dia)-1 && c.want.parted) {
		end -= 3
	}
	if k.from > c.front(i)+tiny || k.to < end-tiny {
		c.say("the knurl of %s is from %.3f to %.3f, the section from %.3f to %.3f", w.name, k.from, k.to, c.front(i), c.ends[i])
	}
}

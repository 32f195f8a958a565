package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/gear"
	"turncue/sequence"
	"turncue/sequence/job"
)

// overshoot is the room to stop in where nothing stands in the way, so that the groove
// is found again (common practice).
const overshoot = 4 * calc.Millimetre

// chooseWay settles how the passes are made, where they start and end and how fast
// they run: as job or lathe say, else the first way that lathe, thread and groove allow.
func (b *build) chooseWay(t *threading) bool {
	s := t.v.sec
	if s.RunOut != nil {
		return b.chooseFade(t)
	}
	width := b.threadWidth(t)
	line := b.top.dial.Division() / 2 // the groove is as wide as the lines of the top slide make it
	if t.fades() {
		if !b.fadesOut(t, width) {
			return false
		}
	} else if groove := s.Undercut.Width.Mid(); width > groove-line {
		b.refuse(s, fmt.Sprintf("grind the tool to %s or less and list its width, or ask for a wider undercut", b.show((groove-line).Floor(100*calc.Micrometre))),
			"the threading tool is %s wide and the undercut of %s only %s", b.show(width), s.Thread, b.show(groove))
		return false
	}
	asked := b.job.Threading
	if asked == "" {
		asked = b.lathe.Threading
	}
	if asked != "" {
		why, hint := b.tryWay(t, asked, width)
		if why != "" {
			b.refuse(s, hint, "%s cannot be cut with threading = %q: %s", s.Thread, asked, why)
		}
		return why == ""
	}
	for _, way := range []job.Way{job.WayDial, job.WayReverse, job.WayAway} {
		if why, _ := b.tryWay(t, way, width); why == "" {
			return true
		}
	}
	if slowest := b.lathe.Speeds.Slowest(); b.tooFastFor(t, slowest) {
		b.warn("%s: the slowest speed, %s, is more than the tool stands in %s; the spindle is turned by the hand crank", s.Thread, slowest, b.job.Material.Name)
	} else if b.lathe.Reverse != job.ReverseNone && !s.Thread.LeftHand && !t.fades() {
		b.warn("%s: the groove leaves %s to stop in, less than the slowest speed needs; the spindle is turned by the hand crank", s.Thread, b.show(cutting.Room(s.Undercut.Width.Mid(), width, stopSafety)))
	}
	_, _ = b.tryWay(t, job.WayCrank, width)
	return true
}

// threadWidth is how wide the threading tool is in a groove: as listed, or that of a
// vee at the full depth of the coarsest thread, 0.7 of its pitch.
func (b *build) threadWidth(t *threading) calc.Length {
	w := t.tool.Width
	if w == 0 {
		for i := range b.levels {
			if th := b.levels[i].sec.Thread; th != nil {
				w = max(w, th.Pitch.Length()*7/10)
			}
		}
	}
	return w
}

// tryWay makes the passes by one way; why says what stands against it, hint what
// would help.
func (b *build) tryWay(t *threading, way job.Way, width calc.Length) (why, hint string) {
	s := t.v.sec
	left := s.Thread.LeftHand
	t.way, t.cranked, t.outward = way, way == job.WayCrank, left || way == job.WayAway
	t.cut, t.back, t.marks, t.clear, t.rpm = sequence.Forward, sequence.Reverse, sequence.Marks{}, 0, 0
	b.placePasses(t, width)
	if why = b.mayPickUp(way); why != "" {
		return why, "leave threading out"
	}
	if t.fade != nil && t.inside != nil && way != job.WayCrank {
		return "nobody sees its point in the bore, to take it out in front of the step", "threading = \"crank\", or a recess"
	}
	stop := cutting.Stop{Lead: t.lead, Delay: b.lathe.Delay, Coast: b.lathe.Coast}
	groove := calc.Length(0)
	if t.fade == nil {
		groove = b.room(t, width)
	}
	none := b.lathe.Reverse == job.ReverseNone
	crank := "threading = \"crank\""
	switch way {
	case job.WayCrank:
		return "", ""
	case job.WayDial:
		if why, hint = b.dialMarks(t); why != "" {
			return why, hint
		}
		stop.Coast = cutting.Coast{}
		return b.passSpeed(t, stop, groove)
	case job.WayAway:
		t.cut, t.back = sequence.Reverse, sequence.Forward
		switch {
		case s.Tapered():
			return "the slack of the taper slide would not be taken up before the metal", "leave threading out"
		case t.inside != nil:
			return "its passes would start in the recess or behind the part, and before each of them the tool has to be brought back there unseen", "leave threading out"
		case t.fade != nil:
			return "its passes would start at the shoulder, where no groove is", "leave threading out, or write undercut = \"regular\""
		case s.Thread.Starts > 1:
			return "it has more than one start, and in the groove there is no room to move from one to the next", "leave threading out"
		case left:
			return "a left-hand thread runs away from the shoulder as it is, the tool the right way up", "leave threading out"
		case b.lathe.Chuck == job.ChuckScrewed:
			return "it cuts in reverse, and a screwed chuck comes off in reverse", crank
		case none:
			return "it cuts in reverse, and the lathe has none", crank
		}
		if !b.upsideDown(t) {
			return "no threading tool can be clamped upside down", "list one with upside_down = true, or " + crank
		}
		return b.passSpeed(t, stop, b.outwardRoom(t, width))
	}
	switch {
	case none:
		return "the lathe has no reverse", crank
	case left:
		return b.passSpeed(t, stop, b.outwardRoom(t, width))
	}
	return b.passSpeed(t, stop, groove)
}

// placePasses settles where the passes start and end.
func (b *build) placePasses(t *threading, width calc.Length) {
	front := -max(t.lead.Travel(calc.Whole(startLeads)), 5*calc.Millimetre)
	if n := t.starts(); n > 1 { // the last start begins so much nearer
		front -= calc.Length(n-1) * (t.v.sec.Thread.Pitch.Length() + b.top.dial.Division())
	}
	if t.v.sec.Tapered() {
		front = min(front, b.slideFront())
	}
	if b.inches() {
		front = front.Floor(calc.Inch / 10)
	} else {
		front = front.Floor(calc.Millimetre)
	}
	t.start = front
	if t.fade != nil {
		t.end = t.fade.line
		return
	}
	u := t.v.sec.Undercut
	if t.fades() {
		t.end = (b.fades(t) + pastFade).Ceil(calc.Millimetre)
		return
	}
	t.end = t.v.to - u.Width.Mid()/2
	if !t.outward {
		return
	}
	// In the groove nearer the shoulder, so that there is air before the metal.
	t.start, t.end = t.v.to-min(stopSafety, (u.Width.Mid()-width)/2)-width/2, front
	t.clear = t.v.size
	reach := t.start + overshoot + width
	for i := t.v.n; i < len(b.levels); i++ {
		if w := &b.levels[i]; b.levels[i-1].to < reach {
			t.clear = max(t.clear, w.sec.Diameter.Max, w.size)
		}
	}
	if b.levels[len(b.levels)-1].to < reach {
		t.clear = b.job.Bar
	}
}

// room is what a pass has to stop in: the groove, or the cylinder on which it fades out.
func (b *build) room(t *threading, width calc.Length) calc.Length {
	if !t.fades() {
		return cutting.Room(t.v.sec.Undercut.Width.Mid()-b.top.dial.Division()/2, width, stopSafety) // it is cut on lines of the ring
	}
	return min(t.v.to, b.job.StickOut-b.job.Face-jawMargin) - stopSafety - width/2 - (b.fades(t) + pastFade).Ceil(calc.Millimetre)
}

// fades says that a thread has no groove: its root comes out of a cylinder.
func (t *threading) fades() bool {
	return t.inside == nil && t.v.sec.Tapered() && t.v.sec.Undercut == nil
}

// fadesOut refuses a taper thread whose section ends before its root is out of the metal.
func (b *build) fadesOut(t *threading, width calc.Length) bool {
	s := t.v.sec
	if room := b.room(t, width); room < overshoot/2 {
		sizes := t.v.taperSizes()
		b.refuse(s, fmt.Sprintf("length = %q or more, or a groove to run out into: undercut = { width = %q, diameter = %q }", b.show((t.v.to-t.v.from+overshoot/2-room).Ceil(calc.Millimetre)),
			b.show((3*s.Thread.Pitch.Length()).Ceil(calc.Millimetre)), b.show((t.v.surface(t.v.from+sizes.Useful)-2*t.depth.Limit-calc.Millimetre/2).Floor(calc.Millimetre/10))),
			"%s of %s fades out %s from the end, and section %s is %s long: the tool would still be in the metal at its end", s.Thread, b.show(t.v.size), b.show(b.fades(t)), s.Name, b.show(s.Length.Mid()))
		return false
	}
	return true
}

// outwardRoom is the room on the way back to the groove: to the jaws, and no more than
// lets the groove be found again.
func (b *build) outwardRoom(t *threading, width calc.Length) calc.Length {
	return min(overshoot, b.job.StickOut-b.job.Face-jawMargin-t.start-width/2)
}

// passSpeed is the speed of the passes from the room there is to stop in.
func (b *build) passSpeed(t *threading, stop cutting.Stop, room calc.Length) (why, hint string) {
	if t.fade != nil {
		return b.fadeSpeed(t, stop.Coast)
	}
	if stop.ByHand(room, b.lathe.Speeds) {
		return fmt.Sprintf("there are %s to stop in, less than the slowest speed needs", b.show(room)), "threading = \"crank\", or a wider undercut"
	}
	want := b.wanted(cutting.Thread, t.widest(), t.tool.Steel)
	if most, ok := stop.MaxSpeed(room); ok {
		want = min(want, most)
	}
	c, err := b.lathe.Speeds.Choose(want)
	if err != nil {
		return err.Error(), ""
	}
	if b.tooFastFor(t, c.Speed) {
		return fmt.Sprintf("the slowest speed is more than the tool stands in %s", b.job.Material.Name), "threading = \"crank\""
	}
	t.rpm = c.Speed
	return "", ""
}

// upsideDown is whether a tool owned can be clamped upside down; it is taken then.
func (b *build) upsideDown(t *threading) bool {
	for _, o := range b.lathe.Tools {
		if o.Kind == string(sequence.ThreadingTool) && o.UpsideDown && o.Angle == t.tool.Angle && (o.Tip == t.tool.Tip || b.job.Tip != "" || t.tool == o) {
			t.tool = b.tipped(o)
			return true
		}
	}
	return false
}

// dialMarks are the lines of the lathe's threading dial for what the gears cut.
func (b *build) dialMarks(t *threading) (why, hint string) {
	const shut = "leave threading out: the half-nuts stay shut"
	th := t.v.sec.Thread
	switch {
	case b.lathe.Dial == nil:
		return "the lathe has no threading dial", "list it under [thread_dial], or leave threading out"
	case th.LeftHand:
		return "a left-hand pass starts in the groove, where no line can be waited for", shut
	case th.Starts > 1:
		return "it has more than one start", shut
	}
	m, err := b.lathe.Dial.Marks(b.lathe.Leadscrew, t.lead)
	if err != nil {
		return err.Error(), shut
	}
	if m.HalfNuts == gear.StayClosed {
		return fmt.Sprintf("no line of a dial of %d lines on a wheel of %d teeth finds the groove of %s again with a leadscrew of %s", b.lathe.Dial.Lines, b.lathe.Dial.Wheel, t.lead, b.lathe.Leadscrew), shut
	}
	t.marks = sequence.Marks{Lines: m.Lines, Any: m.HalfNuts != gear.TheseLines, Anywhere: m.HalfNuts == gear.Anywhere}
	return "", ""
}

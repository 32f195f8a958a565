package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	// earlier is the share of a pitch by which the passes of a thread without a groove end
	// earlier one after the other, from the first to the last (common practice).
	earlier = 4
	// crankSafety is kept clear of the shoulder where the spindle is turned by hand and
	// stops with the hand.
	crankSafety = 200 * calc.Micrometre
)

// fading is the end of a thread that fades out in front of a shoulder.
type fading struct {
	line  calc.Length // z of the line scribed round the work: where the first pass ends
	early calc.Length // how much before it a pass of the full depth ends
	wall  calc.Length // z where the shoulder begins, or the radius in its corner
	width calc.Length // of the tool
	on    calc.Length // how far the carriage runs on from there under power, at the latest
}

// endAt is where a pass of a depth ends: each a little before the one that was less deep,
// so that the tool never meets metal as deep as that at once.
func (t *threading) endAt(depth calc.Length) calc.Length {
	share := float64(depth) / float64(t.depth.Limit)
	return t.fade.line - calc.Millimetres(share*t.fade.early.Millimetres()).Round(calc.Micrometre)
}

// onTheRun says that the tool is taken out of the thread while the carriage goes on.
func (t *threading) onTheRun() bool { return t.fade != nil && !t.cranked }

// checkRunOuts refuses a thread that fades out where no shoulder is.
func (b *build) checkRunOuts() {
	last := &b.levels[len(b.levels)-1]
	if last.sec.RunOut != nil && b.job.PartOff {
		b.refuse(last.sec, "add a section behind it, such as a collar of the bar's diameter with as_bar = true", "the run-out of %s has no shoulder behind it: the part is parted off there", last.sec.Name)
	}
}

// placeFade settles where the passes of a thread end in front of a wall.
func (b *build) placeFade(t *threading, wall, width calc.Length, groove string) bool {
	s := t.v.sec
	f := &fading{early: s.Thread.Pitch.Length() / earlier, wall: wall, width: width}
	f.line = t.v.to - (s.RunOut.Shoulder - 2*f.early).Floor(calc.Millimetre/10)
	t.fade = f
	room := f.wall - crankSafety - f.width/2 - f.line
	if room < 0 {
		longer := (s.RunOut.Shoulder - room).Ceil(calc.Millimetre / 10)
		b.refuse(s, fmt.Sprintf("write runout = %q, grind the tool narrower and list its width, or write %s = \"regular\"", b.show(longer), groove),
			"the full thread of %s may end %s before the shoulder; half the tool's %s of width, half a pitch and %s to spare take %s more",
			s.Thread, b.show(s.RunOut.Shoulder), b.show(f.width), b.show(crankSafety+t.v.to-f.wall), b.show(-room))
	}
	return room >= 0
}

// insideFade settles how a thread in a bore ends in front of its step: by the hand crank,
// which stops at a mark on the bar.
func (b *build) insideFade(t *threading) bool {
	if !b.placeFade(t, t.v.to, t.tool.Width, "recess") || !b.insideWay(t) {
		return false
	}
	b.clearsWhole(t)
	return true
}

// chooseFade settles where the passes of a thread without a groove end, how they are made
// and how fast: the tool is taken out by hand at a line, or the hand crank stops there.
func (b *build) chooseFade(t *threading) bool {
	s := t.v.sec
	if !b.placeFade(t, t.v.to-b.nose(), b.threadWidth(t), "undercut") {
		return false
	}
	f := t.fade
	asked := b.job.Threading
	if asked == "" {
		asked = b.lathe.Threading
	}
	if asked != "" {
		why, hint := b.tryWay(t, asked, f.width)
		if why != "" {
			b.refuse(s, hint, "%s cannot be cut with threading = %q: %s", s.Thread, asked, why)
			return false
		}
		b.warnHand(t)
		return true
	}
	for _, way := range []job.Way{job.WayDial, job.WayReverse} {
		if why, _ := b.tryWay(t, way, f.width); why == "" {
			b.warnHand(t)
			return true
		}
	}
	if why, _ := b.tryWay(t, job.WayReverse, f.width); b.lathe.Reverse != job.ReverseNone {
		b.warn("%s: %s; the spindle is turned by the hand crank", s.Thread, why)
	}
	_, _ = b.tryWay(t, job.WayCrank, f.width)
	return true
}

// warnHand says what is asked of the hand where the tool is taken out on the run.
func (b *build) warnHand(t *threading) {
	if t.onTheRun() {
		b.warnOnce(fmt.Sprintf("%s: the tool is taken out by hand at a line, the spindle turning at %s: practise it in air first; threading = \"crank\" stops at the line instead", t.v.sec.Thread, t.rpm))
	}
}

// fadeSpeed is the speed of passes whose tool is taken out by hand at a line: so slow that
// the hand has it out in time and that the carriage stands before the shoulder even where
// one hand winds and the other switches off or opens the half-nuts.
func (b *build) fadeSpeed(t *threading, coast cutting.Coast) (why, hint string) {
	f, d := t.fade, b.cross.dial
	room := f.wall - stopSafety - f.width/2 - f.line
	pull := cutting.PullOut{Lead: t.lead, Delay: b.lathe.Delay, Turns: float64(t.depth.Limit+d.Slack) / float64(d.Travel)}
	most := pull.MaxSpeed(min(room, t.v.sec.RunOut.Fade-f.early))
	stop := cutting.Stop{Lead: t.lead, Delay: max(b.lathe.Delay, cutting.DelayApprentice), Coast: coast}
	if n, ok := stop.MaxSpeed(max(0, room)); ok {
		most = min(most, n)
	}
	if slowest := b.lathe.Speeds.Slowest(); most < slowest {
		return fmt.Sprintf("taken out by hand at the line, the tool is clear in time up to %s, and the slowest speed is %s", roundRPM(most), slowest), "threading = \"crank\", a longer run-out, or an undercut"
	}
	want := min(b.wanted(cutting.Thread, t.widest(), t.tool.Steel), most)
	c, err := b.lathe.Speeds.Choose(want)
	if err != nil {
		return err.Error(), ""
	}
	if b.tooFastFor(t, c.Speed) {
		return fmt.Sprintf("the slowest speed is more than the tool stands in %s", b.job.Material.Name), "threading = \"crank\""
	}
	t.rpm = c.Speed
	f.on = stop.Travel(t.rpm).Ceil(calc.Micrometre)
	return "", ""
}

// scribeEnd has the line scribed that the passes end at.
func (b *build) scribeEnd(t *threading) {
	o := t.v.sec.RunOut
	before := t.v.to - t.fade.line
	b.add("thread/line", sequence.Step{
		Moves: append(b.stop(), sequence.Inspect{What: sequence.MeasureLength, With: b.handy("the line at the end of the thread", job.KindCaliper, job.KindCaliper, job.KindRule)}, sequence.Line{Z: t.fade.line}), Hand: hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: fmt.Sprintf("With marking ink, so that it shows under oil: %s before the shoulder. Full thread ends at most %s before it (%s), and from this line on it fades out.", b.show(before), b.show(o.Shoulder), o.Source),
	})
}

// takeOut puts the tool's way out into the cut of a pass, right behind the run to the line.
func (b *build) takeOut(cut *sequence.Step, t *threading, depth calc.Length) {
	m := b.crossOut(t.out(depth))
	out := sequence.Withdraw{From: t.end, To: t.end + t.fade.on, X: m.X, Dial: m.Dial, WholeTurns: m.WholeTurns, Handle: m.Handle, Lash: m.Lash}
	var moves []sequence.Move
	for _, q := range cut.Moves {
		moves = append(moves, q)
		if _, run := q.(sequence.Carriage); run {
			moves = append(moves, out)
		}
	}
	cut.Moves = moves
}

// fadeWhy is why a pass ends where it does.
func (b *build) fadeWhy(t *threading) string {
	before := ""
	if e := t.fade.line - t.end; e >= 50*calc.Micrometre {
		before = fmt.Sprintf(" This one about %s before it.", b.show(e.Round(10*calc.Micrometre)))
	}
	switch {
	case t.inside != nil:
		return "Turn steadily; the handle stops where you stop, with the mark on the bar at the end of the work. Count the turns: behind is the step." + before
	case t.cranked:
		return "Turn steadily; the handle stops where you stop, with the point at the line. Count the turns." + before
	}
	off := "Then the power off; the other hand may be on the switch."
	if t.way == job.WayDial {
		off = "The half-nuts open with it."
	}
	return fmt.Sprintf("One hand on the cross slide: whole turns in one go, the point out of the work within half a turn of it. %s The carriage stands within %s of the line, short of the shoulder. Your eye decides when, nothing here tells you.%s", off, b.show(t.fade.on.Ceil(calc.Millimetre/10)), before)
}

package planner

import (
	"fmt"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// wanted is the spindle speed the material asks for on a diameter.
func (b *build) wanted(op cutting.Op, diameter calc.Length, steel string) calc.Speed {
	n, err := cutting.Speed(b.job.Material, cutting.Tool(steel), op, diameter)
	if err != nil {
		b.refuse(nil, "use a tool of HSS", "%v", err)
		return 0
	}
	if b.lathe.ChuckLimit > 0 {
		n = min(n, b.lathe.ChuckLimit)
	}
	return n
}

// speed is the spindle speed the lathe has for an operation: the highest that is
// not above what the material asks for. Where the lathe has nothing so slow, its
// slowest is taken and said.
func (b *build) speed(op cutting.Op, diameter calc.Length, steel string) calc.Speed {
	want := b.wanted(op, diameter, steel)
	if want == 0 {
		return 0
	}
	c, err := b.lathe.Speeds.Choose(want)
	if err != nil {
		b.refuse(nil, "", "%v", err)
		return 0
	}
	if c.Fast && b.tooFast(op, diameter, steel, c.Speed) {
		return c.Speed
	}
	if c.Fast {
		b.warnOnce(fmt.Sprintf("%s on %s asks for %s, the slowest this lathe has is %s", op, b.show(diameter), roundRPM(want), c.Speed))
	}
	return c.Speed
}

// tooFast refuses a cut that burns its tool: the lathe's slowest speed is above the
// material's range.
func (b *build) tooFast(op cutting.Op, diameter calc.Length, steel string, rpm calc.Speed) bool {
	r, err := b.job.Material.Speed(cutting.Tool(steel), op)
	if err != nil || rpm.Surface(diameter) <= r.Max {
		return false
	}
	hint := "thinner work, or a lathe that turns slower"
	if steel == string(cutting.HSS) {
		hint = "a carbide tool (steel = \"carbide\"), thinner work, or a lathe that turns slower"
	}
	b.refuse(b.section, hint, "the slowest speed of this lathe, %s, is %s on %s: to %s %s with a tool of %s, %s is the most", rpm, rpm.Surface(diameter), b.show(diameter), op, b.job.Material.Name, steel, r.Max)
	return true
}

// warnOnce warns where the same has not been said.
func (b *build) warnOnce(s string) {
	for _, w := range b.plan.Warnings {
		if w == s {
			return
		}
	}
	b.plan.Warnings = append(b.plan.Warnings, s)
}

// drive is what moves the carriage along, and its feed per turn: the power feed
// nearest to the table's, or the hand at the table's.
func (b *build) drive(op cutting.Op) (sequence.Drive, calc.Lead) {
	want := b.feed(op)
	if len(b.lathe.PowerFeeds) == 0 || b.fitted.Drivers != nil { // the gears of a thread feed too fast
		return sequence.ByHandwheel, want
	}
	best := b.lathe.PowerFeeds[0]
	off := func(l calc.Lead) calc.Length { return (l.Length() - want.Length()).Abs() }
	for _, f := range b.lathe.PowerFeeds[1:] {
		if off(f) < off(best) {
			best = f
		}
	}
	return sequence.ByPowerFeed, best
}

// feed is the feed per turn to start with.
func (b *build) feed(op cutting.Op) calc.Lead {
	f, err := b.job.Material.Feed(op, b.job.Bar)
	if err != nil {
		b.refuse(nil, "", "%v", err)
		return calc.Lead{}
	}
	return calc.PerTurn(f.Start)
}

// roughDepth is the depth of a roughing cut on radius, on a line of the ring: what
// the lathe file says or the table gives for a lathe of this power, held to what
// the motor can drive on the bar.
func (b *build) roughDepth(t job.Tool) calc.Length {
	deep := b.lathe.DepthOfCut
	drive := b.lathe.Drive()
	if deep == 0 {
		deep = b.job.Material.Depth(cutting.ClassOf(cutting.Power(b.lathe.Power))).Start
	}
	if b.second != nil {
		deep /= 2 // held lightly
	}
	_, feed := b.drive(cutting.Turn)
	n := b.speed(cutting.Turn, b.job.Bar, t.Steel)
	cut := cutting.Cut{Feed: feed.Length()}
	most, ruled, err := b.job.Material.MaxDepth(cut, drive, n, b.job.Bar)
	if err == nil && most < deep {
		b.warnOnce(fmt.Sprintf("roughing cuts held to %s by %s", b.show(most.Floor(10*calc.Micrometre)), ruled))
		deep = most
	}
	return max(b.cross.dial.SnapIn(deep), b.cross.dial.Division())
}

// threadCut is the deepest pass of a thread on radius. Six passes of about 0.1 mm for
// a pitch of 1 mm, eleven for 1.75 mm: inside the 5 to 9 and 8 to 14 that tool makers
// print, with a first bite below their 0.18 to 0.30 mm (common practice on a small
// lathe).
func (b *build) threadCut(pitch calc.Lead) calc.Length {
	fine, coarse := 150*calc.Micrometre, 200*calc.Micrometre
	if cutting.ClassOf(cutting.Power(b.lathe.Power)) == cutting.Micro {
		fine, coarse = 120*calc.Micrometre, 150*calc.Micrometre
	}
	if pitch.Length() > 1250*calc.Micrometre {
		return coarse
	}
	return fine
}

// cutTime is the time of a cut along a length at a feed, at the speed the spindle
// has; zero where it does not turn.
func (b *build) cutTime(length calc.Length, feed calc.Lead) time.Duration {
	turns, err := feed.Turns(length.Abs())
	if err != nil || b.rpm <= 0 {
		return 0
	}
	return b.rpm.Time(turns)
}

// roundRPM is a speed to a whole turn a minute, for a message.
func roundRPM(n calc.Speed) calc.Speed { return (n + calc.RPM/2) / calc.RPM * calc.RPM }

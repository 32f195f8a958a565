package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	// loadShare is how much a plan asks of what drive, jaws and work bear: the figures
	// of forces scatter by a fifth and more.
	loadShare = 0.8
	// deeperCut is how much deeper than planned a last cut may become by a reading.
	deeperCut = 1.5
)

// stands is the work as it stands out of the jaws while section n from the free end is
// turned to a diameter: those behind it have their size, those in front are not thinner.
// With n of zero all are finished, grooves and threads too.
func (b *build) stands(n int, d calc.Length) cutting.Beam {
	m := cutting.Beam{Material: b.job.Material, Centre: b.job.Centre}
	add := func(from, to, thick calc.Length) {
		if from < to {
			m.Spans = append(m.Spans, cutting.Span{Length: to - from, Diameter: thick, Bore: b.hollowAt(from, n == 0)})
		}
	}
	last := &b.levels[len(b.levels)-1]
	at := last.place
	if b.job.PartOff && !last.sec.AsBar { // it is turned on behind it, for the blade
		add(last.end, b.job.StickOut-b.job.Face, b.job.Bar)
		add(at, last.end, last.aim)
	} else {
		add(at, b.job.StickOut-b.job.Face, b.job.Bar)
	}
	for i := len(b.levels) - 1; i >= 0; i-- {
		v := &b.levels[i]
		from := at - v.sec.Length.Mid()
		switch u := v.sec.Undercut; {
		case i < n:
			add(from, at, d)
		case n == 0 && u != nil:
			add(at-u.Width.Max, at, u.Diameter.Min)
			add(from, at-u.Width.Max, b.core(v))
		case n == 0 && len(v.sec.Grooves) > 0:
			end := at
			for k := len(v.sec.Grooves) - 1; k >= 0; k-- {
				g := &v.sec.Grooves[k]
				left, right := g.Span(v.sec.Length.Mid())
				add(from+right, end, v.aim)
				add(from+left, from+right, g.Diameter.Min)
				end = from + left
			}
			add(from, end, v.aim)
		case n == 0:
			add(from, at, b.core(v))
		default:
			add(from, at, v.aim)
		}
		at = from
	}
	return m
}

// core is about the diameter that a finished section resists bending with: of a thread
// its root.
func (b *build) core(v *level) calc.Length {
	if t := v.sec.Thread; t != nil {
		return v.aim - t.Pitch.Length()*13/10
	}
	if k := v.sec.Knurl; k != nil && v.done {
		return v.sec.Diameter.Mid() - k.Pitch*deepest*2/100
	}
	return v.aim
}

// hollowAt is the diameter of the hole behind a place, drilled or finished.
func (b *build) hollowAt(z calc.Length, finished bool) (bore calc.Length) {
	for i := range b.cavities {
		c := &b.cavities[i]
		deep := c.bore.Depth.Max
		if c.bore.Through {
			deep = b.throughEnd()
		}
		if z >= deep {
			continue
		}
		d := b.made.hole
		if finished || b.boredOut {
			d = c.bore.Diameter.Max
		}
		bore = max(bore, d)
	}
	return bore
}

// asks is the share of what drive and jaws bear that a torque takes, and which of them
// rules. No speed is the hand crank's.
func (b *build) asks(t cutting.Torque, rpm calc.Speed) (float64, string) {
	have, ruled := cutting.Crank, "by the arm on the hand crank"
	if rpm > 0 {
		have, ruled = b.lathe.Drive().TorqueAt(rpm), fmt.Sprintf("by what the motor gives at %s", rpm)
	}
	if hold := cutting.ClassOf(cutting.Power(b.lathe.Power)).Holds(b.job.Bar); hold < have {
		have, ruled = hold, fmt.Sprintf("by the grip of the jaws on a bar of %s", b.show(b.job.Bar))
	}
	return float64(t) / float64(have) / loadShare, ruled
}

// gives is how far the work gives at most under a push between two places, and how much
// the diameter differs by it along them.
func (b *build) gives(push cutting.Force, m cutting.Beam, from, to calc.Length) (most, taper calc.Length) {
	const steps = 6
	out := b.job.StickOut - b.job.Face
	var least calc.Length
	for i := range int64(steps + 1) {
		v := m.Bend(push, out-from-calc.Length(int64(to-from)*i/steps)*calc.Nanometre)
		if i == 0 {
			least = v
		}
		most, least = max(most, v), min(least, v)
	}
	return most, 2 * (most - least)
}

// held is the depth on radius of a cut along a section, held to what drive, jaws and
// work bear. Zero taper does not matter.
func (b *build) held(v *level, deep, d calc.Length, op cutting.Op, taper calc.Length, rpm calc.Speed) (calc.Length, string) {
	_, feed := b.drive(op)
	f := b.job.Material.Turning(cutting.Cut{Depth: deep, Feed: feed.Length()})
	share, ruled := b.asks(f.Torque(b.job.Bar), rpm)
	from, to := v.place-v.sec.Length.Mid(), v.place
	if taper == 0 {
		from = 0
	}
	bend, along := b.gives(cutting.Radial*f, b.stands(v.n, d), from, to)
	if s := float64(bend) / float64(cutting.Give) / loadShare; s > share {
		share, ruled = s, "by the spring of the work"
	}
	if taper > 0 {
		if s := float64(along) / float64(taper); s > share {
			share, ruled = s, "by the spring of the work"
		}
	}
	if share <= 1 {
		return deep, ""
	}
	return calc.Length(float64(deep)/share) * calc.Nanometre, ruled
}

// across is the speed and the feed of a cut across the work, so wide on a diameter: the
// material's where drive, jaws and work bear it, else slower, and then with the least
// feed; and how wide it may be so. slope is for an edge at 45 degrees.
func (b *build) across(s *job.Section, op cutting.Op, t job.Tool, diameter, width, z calc.Length, slope bool, m cutting.Beam) (calc.Speed, calc.Lead, calc.Length) {
	cut, push := cutting.Cut{Depth: width, Factor: cutting.Usual}, cutting.Radial
	switch {
	case slope:
		cut, push = cutting.Chamfering(width, 0, cutting.Usual), cutting.Spread
	case op == cutting.Part:
		cut.Factor *= cutting.Hemmed
	}
	a := b.bearable(op, t, diameter, cut, push, z, m)
	if a.ruled != "" {
		hint := "a narrower tool, a thicker bar, or support = \"centre\""
		if op == cutting.Face {
			hint = "a thicker bar, a shorter stick-out, or support = \"centre\""
		}
		b.refuse(s, hint, "a cut across %s, %s wide, is held back %s even at the least feed of %s", b.show(diameter), b.show(width), a.ruled, b.show(a.feed.Length()))
	}
	return a.rpm, a.feed, calc.Length(float64(width)/a.share) * calc.Nanometre
}

// acrossInside is the speed and the feed of a cut across the wall of a bore, as
// [build.across]: to a diameter, so wide.
func (b *build) acrossInside(d *job.Bore, t job.Tool, diameter, width, z calc.Length, slope bool) (calc.Speed, calc.Lead) {
	cut, push := cutting.Cut{Depth: width, Factor: cutting.Usual * cutting.Internal * cutting.Hemmed}, cutting.Radial
	if slope {
		cut, push = cutting.Chamfering(width, 0, cutting.Usual*cutting.Internal), cutting.Spread
	}
	a := b.bearable(cutting.Part, t, diameter, cut, push, z, b.stands(0, 0))
	if a.ruled != "" {
		b.refuseAt(d.Pos, "a narrower tool or a smaller cut, a thicker bar, or a slower speed",
			"a cut out to %s in the bore, %s wide, is held back %s even at the least feed of %s", b.show(diameter), b.show(width), a.ruled, b.show(a.feed.Length()))
	}
	return a.rpm, a.feed
}

// borne is how a cut across is made so that all bear it.
type borne struct {
	rpm   calc.Speed
	feed  calc.Lead
	share float64 // of what they bear that it takes
	ruled string  // what does not bear it even so; "" for nothing
}

// bearable is the speed and feed of a cut across at z that drive, jaws and work bear.
func (b *build) bearable(op cutting.Op, t job.Tool, diameter calc.Length, cut cutting.Cut, push float64, z calc.Length, m cutting.Beam) borne {
	f, err := b.job.Material.Feed(op, diameter)
	first := b.speed(op, diameter, t.Steel)
	if err != nil || first == 0 {
		return borne{first, b.feed(op), 1, ""}
	}
	ruled := ""
	for _, feed := range []calc.Length{f.Start, f.Min} {
		cut.Feed = feed
		force := b.job.Material.Turning(cut)
		bend, _ := b.gives(cutting.Force(push)*force, m, z, z)
		spring := float64(bend) / float64(cutting.Give) / loadShare
		if spring > 1 {
			ruled = "by the spring of the work"
			continue
		}
		for rpm := first; ; {
			share := 0.0
			if share, ruled = b.asks(force.Torque(diameter), rpm); share <= 1 {
				return borne{rpm, calc.PerTurn(feed), max(share, spring, 0.01), ""}
			}
			c, err := b.lathe.Speeds.Choose(rpm - calc.RPM/1000)
			if err != nil || c.Speed >= rpm {
				break
			}
			rpm = c.Speed
		}
	}
	return borne{first, calc.PerTurn(f.Min), 1, ruled}
}

// turningTool is the tool that turns.
func (b *build) turningTool() job.Tool {
	t, _ := b.tool(sequence.TurningTool, nil, "turning")
	return t
}

// widest is the largest diameter a thread's tool cuts on.
func (t *threading) widest() calc.Length {
	if t.inside != nil {
		return t.v.size + 2*t.depth.Limit
	}
	return t.v.aim
}

// tooFastFor says that a speed is above what the threading tool stands in the material.
func (b *build) tooFastFor(t *threading, rpm calc.Speed) bool {
	r, err := b.job.Material.Speed(cutting.Tool(t.tool.Steel), cutting.Thread)
	return err == nil && rpm.Surface(t.widest()) > r.Max
}

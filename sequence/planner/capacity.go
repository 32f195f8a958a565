package planner

import (
	"fmt"
	"slices"

	"turncue/calc"
	"turncue/sequence/job"
)

// checkCapacity refuses a bar that does not go on the lathe, and one that stands out of
// the back of the spindle.
func (b *build) checkCapacity() {
	if b.second != nil {
		return // what the bar went through, the part does
	}
	c, bar := &b.lathe.Capacity, b.job.Bar
	switch {
	case c.Swing > 0 && bar > c.Swing:
		b.refuse(nil, "a thinner bar, or a larger lathe", "a bar of %s does not turn over the bed: the swing is %s", b.show(bar), b.show(c.Swing))
	case c.SwingOverSlide > 0 && bar > c.SwingOverSlide:
		b.refuse(nil, "a thinner bar: the cross slide passes under the work to reach its middle", "a bar of %s does not turn over the cross slide: the swing there is %s", b.show(bar), b.show(c.SwingOverSlide))
	}
	if long := b.job.BarLength; long > 0 {
		b.checkGrip(long - b.job.StickOut)
	}
	b.checkSpindle()
	b.checkSleeve()
}

// grip is what of a bar the jaws should hold: its diameter, and half as much again where
// it is parted off (common practice).
func (b *build) grip() calc.Length {
	if b.job.PartOff {
		return b.job.Bar * 3 / 2
	}
	return b.job.Bar
}

// checkGrip refuses a piece the jaws hold too little of.
func (b *build) checkGrip(in calc.Length) {
	switch {
	case b.job.Centre || in >= b.grip():
	case in < b.job.Bar:
		b.refuse(nil, fmt.Sprintf("bar_length = %q or more, or less stick-out", b.whole(b.job.StickOut+b.grip())),
			"%s of the bar stand in the jaws, and without a centre they should hold at least its diameter of %s", b.show(in), b.show(b.job.Bar))
	default:
		b.warnOnce(fmt.Sprintf("%s of the bar stand in the jaws: for parting off %s are better", b.show(in), b.show(b.grip())))
	}
}

// checkSpindle looks at what of the bar stands behind the jaws: it goes through the
// spindle, or as far in as the chuck is deep.
func (b *build) checkSpindle() {
	c, bar, out := &b.lathe.Capacity, b.job.Bar, b.job.StickOut
	long := b.job.BarLength
	if b.second != nil {
		return // the part turned round is short, and its bar is gone
	}
	if c.SpindleBore > 0 && bar > c.SpindleBore {
		b.sawn = out + b.grip()
		thick := fmt.Sprintf("a bar of %s does not go through the spindle bore of %s", b.show(bar), b.show(c.SpindleBore))
		switch in := long - out; {
		case long == 0 && c.ChuckDepth > 0:
			b.warnOnce(fmt.Sprintf("%s: saw a piece of %s at least and %s at most", thick, b.whole(b.sawn), b.show(out+c.ChuckDepth)))
		case long == 0:
			b.warnOnce(fmt.Sprintf("%s: saw a piece of %s or a little more", thick, b.whole(b.sawn)))
		case c.ChuckDepth == 0:
			b.warnOnce(fmt.Sprintf("%s: see that the %s behind the front of the jaws go into the chuck", thick, b.show(in)))
		case in > c.ChuckDepth:
			b.refuse(nil, fmt.Sprintf("saw it: bar_length = %q, or let it stick out further where it is stiff enough", b.show(out+c.ChuckDepth)),
				"%s: with %s sticking out, %s of %s stand behind the front of the jaws, and the chuck takes %s", thick, b.show(out), b.show(in), b.show(long), b.show(c.ChuckDepth))
		}
		if long > 0 {
			b.sawn = long
		}
		return
	}
	if c.SpindleLength == 0 || long == 0 {
		return
	}
	switch behind := long - out - c.SpindleLength; {
	case behind > bar: // more than its diameter whips (common practice)
		b.refuse(nil, fmt.Sprintf("saw it: bar_length = %q or less", b.show(out+c.SpindleLength)),
			"the bar stands %s out of the back of the spindle, more than its diameter of %s: unsupported it whips", b.show(behind), b.show(bar))
	case behind > 0:
		b.warnOnce(fmt.Sprintf("the bar stands %s out of the back of the spindle: keep people and hands away from there, or saw it off", b.show(behind)))
	}
}

// checkSleeve refuses a hole deeper than the tailstock sleeve goes.
func (b *build) checkSleeve() {
	travel := b.lathe.Capacity.Sleeve
	if travel == 0 || len(b.cavities) == 0 {
		return
	}
	d := b.cavities[len(b.cavities)-1].bore
	if deep := b.drillTo(d) + calc.Millimetre; deep > travel { // it starts a millimetre in front
		b.refuseAt(d.Pos, "a shallower bore, or a tailstock with a longer sleeve: moved along the bed in the middle of a hole it loses its depth",
			"a hole %s deep needs %s of the tailstock sleeve, which goes %s", b.show(b.drillTo(d)), b.show(deep), b.show(travel))
	}
}

// whole is a length rounded up to what people saw to: a millimetre or an eighth of an
// inch.
func (b *build) whole(l calc.Length) string {
	if b.inches() {
		return b.show(l.Ceil(calc.Inch / 8))
	}
	return b.show(l.Ceil(calc.Millimetre))
}

// barText is the bar in the list of what to lay out.
func (b *build) barText() string {
	text := fmt.Sprintf("bar %s, %s", b.show(b.job.Bar), b.job.Material.Name)
	if b.sawn > 0 {
		text += ", sawn to " + b.whole(b.sawn)
	}
	switch {
	case b.barNeeded > 0:
		text += fmt.Sprintf(", %s at least for %d parts", b.whole(b.barNeeded), b.parts())
	case b.parts() > 0:
		text = fmt.Sprintf("%d blanks: %s", b.parts(), text)
	}
	return text
}

// centreText is the tailstock centre in that list.
func (b *build) centreText() string {
	c := &b.lathe.Capacity
	text := "a tailstock centre"
	if c.Centre != "" {
		text = "a " + c.Centre + " tailstock centre"
	}
	if c.Taper != "" {
		text += ", Morse taper " + c.Taper
	}
	if c.Centre == job.CentreDead {
		text += ", with grease"
	}
	return text
}

// centreWhy is what to know of the centre that holds the work.
func (b *build) centreWhy() string {
	const warm = "The work warms and grows: try the centre again now and then."
	if b.lathe.Capacity.Centre == job.CentreDead {
		return "A dead centre does not turn with the work: grease in the hole, and slow. " + warm
	}
	return warm
}

// fixedSteady adds the fixed steady, where one is listed, to what can be done about work
// that stands out too far.
func (b *build) fixedSteady() string {
	if slices.Contains(b.lathe.Capacity.Steadies, job.SteadyFixed) {
		return ", or by your own plan the fixed steady listed near its end"
	}
	return ""
}

// steady is how to go on with work too slender for a centre.
func (b *build) steady() string {
	if slices.Contains(b.lathe.Capacity.Steadies, job.SteadyTravelling) {
		return "by your own plan with the travelling steady listed: its jaws follow the tool"
	}
	return "a travelling steady by your own plan"
}

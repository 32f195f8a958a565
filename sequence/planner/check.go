package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
)

// checkAll refuses what no order of work could make of this bar on this lathe,
// all at once.
func (b *build) checkAll() {
	reach := calc.Length(0)
	for _, v := range b.levels {
		if !v.sec.AsBar {
			reach = max(reach, v.end)
		}
	}
	if room := b.job.StickOut - b.job.Face - jawMargin; reach > room {
		if b.second != nil {
			b.refuseAt(b.second.Pos, "hold it by a section further from the end that is worked on, or on a mandrel",
				"the work reaches %s from the new end, and the jaws leave %s", b.show(reach), b.show(room))
			return
		}
		b.refuse(nil, fmt.Sprintf("stickout = %q or more", (reach+b.job.Face+jawMargin).Ceil(calc.Millimetre)),
			"the work reaches %s from its end, and with %s sticking out the jaws leave %s", b.show(reach), b.show(b.job.StickOut), b.show(room))
	}
	b.checkStiff()
	b.chooseBores()
	b.checkCentre()
	b.checkCapacity()
	b.checkTaper()
	b.checkBoreTaper()
	b.checkGrooves()
	b.checkRadii()
	b.checkRunOuts()
	b.checkQuantity()
	if b.job.PartOff && !b.job.Sawn && b.bladeWidth() == 0 {
		_, _ = b.tool(sequence.PartingTool, nil, "parting off")
	}
	for i := range b.levels {
		s := b.levels[i].sec
		if s.Thread != nil && s.Thread.Angle == 0 {
			b.refuse(s, "turncue calc thread gives its sizes and depths", "%s: square threads are not planned", s.Thread)
		}
		if s.Thread != nil && s.Thread.Starts > 1 && s.Thread.LeftHand {
			b.refuse(s, "turncue calc thread gives its sizes and depths", "%s: left-hand threads of more than one start are not planned", s.Thread)
		}
		if s.Undercut != nil && i == len(b.levels)-1 && b.job.PartOff {
			b.refuse(s, "add a section behind it, such as a collar of the bar's diameter with as_bar = true", "the undercut of %s has no shoulder behind it: the part is parted off there", s.Name)
		}
		if s.Thread != nil && s.Undercut == nil && s.RunOut == nil && !s.Tapered() {
			b.refuse(s, "undercut = \"regular\" or runout = \"DIN 76\"", "%s has no groove to run out into", s.Thread)
		}
	}
}

// checkCentre refuses a free end too thin for the centre hole and for the centre in
// it, beside which the cuts along the work start.
func (b *build) checkCentre() {
	if !b.job.Centre {
		return
	}
	for _, t := range b.lathe.Tools {
		if t.Kind != string(sequence.CentreDrillTool) {
			continue
		}
		mouth := t.Size * 212 / 100                // of a hole of form A, ISO 866
		beside := mouth + besideCentre*11547/10000 // a cone of 60 degrees, so far in front of the end
		front := &b.levels[0]
		if thin := front.aim - 2*front.sec.Leg(); front.aim < beside+2*margin || thin < mouth+margin {
			b.refuse(front.sec, "use a smaller centre drill, or hold it in the chuck alone", "the centre hole of a drill of %s is %s wide at the end, and section %s leaves %s there",
				b.show(t.Size), b.show(mouth), front.sec.Name, b.show(thin))
		}
		return
	}
}

// checkStiff refuses work too slender to turn as it is held, by length in
// diameters: each section against the distance from the free end to where it ends,
// the last against the jaws.
func (b *build) checkStiff() {
	support := cutting.ChuckOnly
	if b.job.Centre {
		support = cutting.ChuckAndCentre
	}
	for i := range b.levels {
		v := &b.levels[i]
		if v.sec.AsBar {
			continue // the bar itself is looked at below
		}
		long := v.to
		h, err := cutting.StickOut(long, v.aim, support)
		if err != nil {
			b.refuse(v.sec, "", "%v", err)
			continue
		}
		ratio := fmt.Sprintf("%.1f diameters", float64(long)/float64(v.aim))
		switch h {
		case cutting.NeedsCentre:
			b.refuse(v.sec, "support = \"centre\", or a shorter part"+b.fixedSteady(), "%s stands out %s from the free end on its own: %s, and five are the most without a centre", b.show(v.aim), b.show(long), ratio)
		case cutting.NeedsSteady:
			b.refuse(v.sec, "a shorter part, or "+b.steady(), "%s over %s from the centre: %s, and ten are the most without a steady", b.show(v.aim), b.show(long), ratio)
		case cutting.LightCuts:
			b.warnOnce(fmt.Sprintf("section %s is %s long from the free end: light cuts, and mind the spring", v.sec.Name, ratio))
		}
	}
	if h, err := cutting.StickOut(b.job.StickOut, b.job.Bar, support); err == nil && h >= cutting.NeedsCentre {
		b.refuse(nil, b.stiffHint(h), "a bar of %s sticking out %s is %.1f diameters long", b.show(b.job.Bar), b.show(b.job.StickOut), float64(b.job.StickOut)/float64(b.job.Bar))
	}
}

func (b *build) stiffHint(h cutting.Hold) string {
	if h == cutting.NeedsSteady {
		return "a shorter stick-out, or " + b.steady()
	}
	return "support = \"centre\", or a shorter stick-out" + b.fixedSteady()
}

// runsClear refuses a thread behind a section that is thicker than its root: every
// pass starts in front of the end and would cut into that section.
func (b *build) runsClear(t *threading) bool {
	s := t.v.sec
	root := t.v.size - 2*t.depth.Limit
	for i := range b.levels[:t.v.n-1] {
		if w := b.levels[i].sec; w.Diameter.Max+2*margin > root {
			b.refuse(s, fmt.Sprintf("put the thread at the free end, or make section %s %s or thinner", w.Name, b.show((root-2*margin).Floor(100*calc.Micrometre))),
				"the passes of %s would cut into section %s in front of it: %s is thicker than the root of %s", s.Thread, w.Name, b.show(w.Diameter.Max), b.show(root))
			return false
		}
	}
	return true
}

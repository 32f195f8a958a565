package planner

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

// undercuts cuts the grooves the threads run out into, from the free side towards
// the shoulder so that every place is reached inwards.
func (b *build) undercuts(of []int) {
	b.op = sequence.OpUndercut
	b.section = nil
	b.pass, b.of = 0, 0
	var mounted job.Tool
	tools := 0
	for _, i := range of {
		v := &b.levels[i]
		if v.sec.Undercut == nil {
			continue
		}
		t, ok := b.groover(v)
		if !ok {
			continue
		}
		again := tools > 0 && t == mounted
		if !again {
			tools++
			b.mountStep("undercut/tool", t, sequence.GroovingTool, "chuck side", sequence.WordUndercut)
			mounted = t
		}
		b.undercut(v, t, again)
	}
	b.section = nil
	b.pass, b.of = 0, 0
}

// groover is the grooving tool owned that fits a groove.
func (b *build) groover(v *level) (job.Tool, bool) {
	w := v.sec.Undercut.Width
	for _, t := range b.lathe.Tools {
		if t.Kind == string(sequence.GroovingTool) && t.Width <= w.Max {
			return t, true
		}
	}
	b.refuse(v.sec, fmt.Sprintf("list one: [[tool]] kind = \"grooving\" width = \"2 mm\" in %s", b.lathe.Source.Path),
		"no grooving tool of at most %s is listed for the undercut", b.show(w.Max))
	return job.Tool{}, false
}

// mountStep stops the spindle and changes the tool. It belongs to no section.
func (b *build) mountStep(id string, t job.Tool, kind sequence.ToolKind, edge string, opening ...sequence.Word) {
	section := b.section
	b.section = nil
	s := sequence.Step{
		Opening: opening, Moves: append(b.stop(), b.mount(t, kind, edge)),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Hand: hand("tool_plain"),
		Why: "Tool changed with the spindle standing still and the carriage in front of the work.",
	}
	switch kind {
	case sequence.ThreadingTool:
		s.Closing = sequence.Cue{sequence.WordSquareByGauge}
		s.Why = "The thread gauge on the turned diameter shows whether both flanks stand even."
	case sequence.PartingTool:
		s.Closing = sequence.Cue{sequence.WordBladeSquare}
		s.Why = "Height within a tenth of a millimetre, blade out just past the middle: it lifts or rubs otherwise."
	}
	b.add(b.fresh(id), s)
	b.section = section
}

// undercut cuts one groove; again says that the tool stands where it was wound out
// of another.
func (b *build) undercut(v *level, t job.Tool, again bool) {
	b.section = v.sec
	u, ok := b.groovesTo(v)
	if !ok {
		return
	}
	b.pass, b.of = 0, 0
	rpm, feed, _ := b.across(v.sec, cutting.Part, t, v.aim, t.Width, v.place-v.sec.Undercut.Width.Max, false, b.stands(0, 0))
	moves := b.spindle(sequence.Forward, rpm)
	if again {
		moves = append(moves, b.farOut(), b.along(v.to-calc.Millimetre), b.cross.set(v.size, sequence.OnDiameter))
		b.x = v.size
	}
	b.add("undercut/touch", sequence.Step{
		Opening: sequence.Cue{sequence.WordUndercut},
		Moves:   append(moves, b.top.set(v.to, sequence.OnShoulder)),
		Closing: sequence.Cue{sequence.WordLockCarriage},
		Hand:    hand("start_stop", "touch_off"),
		Why:     "The chuck side of the tool against the shoulder, just outside the diameter.",
	})
	width := max(u.Width.Mid(), t.Width)
	room := width - t.Width
	step := t.Width * 9 / 10 // neighbouring cuts overlap by a tenth of the tool (common practice)
	places := make([]calc.Length, int(room.Ceil(step)/step)+1)
	for i := range places {
		places[i] = v.to
		if n := len(places) - 1; n > 0 {
			places[i] -= room * calc.Length(n-i) / calc.Length(n)
		}
	}
	for k := 1; ; k++ {
		b.pass, b.of = 0, 0
		if !b.groove(v, u, k, places, rpm, feed) {
			return
		}
		id := "undercut/size"
		if k > 1 {
			id = fmt.Sprintf("undercut/size%d", k)
		}
		with, division := b.instrument(asked{v.sec.Pos, "the groove", u.Diameter.Nominal, u.Diameter.Tolerance(), []string{job.KindCaliper}}, "caliper", 20*calc.Micrometre)
		m := &sequence.Measure{
			What: sequence.MeasureGroove, Nominal: u.Diameter.Mid(), Min: u.Diameter.Min, Max: u.Diameter.Max, Final: true,
			Unit: b.job.Unit, Division: division, Got: b.got(b.prefix() + id),
		}
		b.pass, b.of = 0, 0
		b.add(id, sequence.Step{
			Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
			Moves: append(b.stop(), sequence.Inspect{What: sequence.MeasureGroove, With: with}),
			Hand:  hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Why: u.Source + ".",
		})
		if m.Got == nil || *m.Got <= m.Max {
			break
		}
		if k == mostReadings {
			b.refuse(v.sec, "look for a blunt tool or a cross slide that gives", "the groove of %s is still not reached after %d readings", b.show(m.Nominal), k)
			return
		}
		b.rezero(b.cross.zero + *m.Got - b.cross.position(b.bottom))
	}
	b.add("undercut/clear", sequence.Step{
		Opening: sequence.Cue{sequence.WordFreeCarriage}, Moves: []sequence.Move{b.along(b.start())},
		Hand: hand("dial_set"), Why: "In front of the work for the next tool.",
	})
}

// groovesTo is the groove that is cut: as the job has it, and below the root that
// the tip of the threading tool may reach.
func (b *build) groovesTo(v *level) (job.Undercut, bool) {
	u := *v.sec.Undercut
	root, tip, ok := b.root(v)
	if !ok || root >= u.Diameter.Max {
		return u, true
	}
	u.Diameter.Max = root
	if u.Diameter.Tolerance() < b.cross.dial.Division() {
		b.refuse(v.sec, "take a blunter tip, or write the undercut yourself and deeper", "an undercut of %s or more is not below the root of %s, which a tip of %s may bring to %s",
			b.show(u.Diameter.Min), v.sec.Thread, tip, b.show(root))
		return u, false
	}
	return u, true
}

// root is the diameter at which the root of a section's thread stands when its
// depth is at the limit; ok is false where the thread cannot be cut, which is
// refused where it is planned.
func (b *build) root(v *level) (root calc.Length, tip string, ok bool) {
	if v.sec.Thread == nil {
		return 0, "", false
	}
	t, ok := b.threader(v)
	if !ok {
		return 0, "", false
	}
	tip = b.tipOf(t)
	shape, err := thread.ParseTip(tip, v.sec.Thread.Pitch)
	if err != nil {
		return 0, "", false
	}
	depth, err := v.sec.Thread.Depth(shape, v.crest())
	if err != nil {
		return 0, "", false
	}
	if v.sec.Tapered() { // at the side of the groove towards the free end
		return v.surface(v.to-v.sec.Undercut.Width.Max) - 2*depth.Limit, tip, true
	}
	return v.size - 2*depth.Limit, tip, true
}

// groove plunges once at every place, the free side first; round 1 zeroes the cross
// slide on the diameter, a later one starts the spindle again.
func (b *build) groove(v *level, u job.Undercut, round int, places []calc.Length, rpm calc.Speed, feed calc.Lead) bool {
	bottom := u.Diameter.Mid()
	if round == 1 {
		b.cross.zero = v.size // where it is touched below
	}
	half, ok := b.half(bottom, u.Diameter.Min, u.Diameter.Max)
	if !ok && round == 1 || u.Diameter.Tolerance() < b.cross.dial.Division() {
		b.refuse(v.sec, "widen the tolerance of the groove", "a groove of %s to %s is finer than the cross-slide ring", b.show(u.Diameter.Min), b.show(u.Diameter.Max))
		return false
	}
	for i, z := range places {
		b.pass, b.of = i+1, len(places)
		id := fmt.Sprintf("undercut/pass%d", i+1)
		var opening sequence.Cue
		if round > 1 {
			id = fmt.Sprintf("undercut/again%d/pass%d", round-1, i+1)
			opening = sequence.Cue{sequence.WordCutAgain}
		}
		moves := b.spindle(sequence.Forward, rpm)
		b.z = v.to
		switch nose := b.nose(); {
		case i == 0 && round == 1 && nose > 0: // the corner is round: the diameter is touched in front of it
			moves = append(moves, b.topBack(min(z, v.to-nose-margin)), b.cross.set(v.size, sequence.OnDiameter))
			b.x = v.size
			moves = append(moves, b.crossOut(nose))
			in := b.top.to(z, true)
			b.z = in.Z
			moves = append(moves, in)
		case len(places) > 1:
			if i == 0 {
				moves = append(moves, b.top.away(z-b.top.dial.Slack-calc.Millimetre/2))
			}
			in := b.top.to(z, true)
			b.z = in.Z
			moves = append(moves, in)
		}
		if i == 0 && round == 1 && b.nose() == 0 {
			moves = append(moves, b.cross.set(v.size, sequence.OnDiameter))
			b.x = v.size
		}
		b.add(id+"/set", sequence.Step{
			Phase: sequence.PhaseSet, Opening: opening, Moves: moves, Hand: hand("dial_set"),
			Why: fmt.Sprintf("The groove reaches from here up to the shoulder, %s to %s wide.", b.show(u.Width.Min), b.show(u.Width.Max)),
		})
		from := b.x
		shift := b.crossTo(bottom, half)
		b.bottom = b.cross.at
		in := sequence.Plunge{From: from, To: shift.X, Z: b.z, Dial: shift.Dial, PerRev: feed, Handle: shift.Handle}
		b.add(id+"/cut", sequence.Step{
			Phase: sequence.PhaseCut, Moves: []sequence.Move{in, b.crossOut((v.size-shift.X+u.Diameter.Tolerance())/2 + b.nose())},
			Cautions: []sequence.Word{sequence.WordOilSteel},
			Hand:     hand("feed_engage", "dial_set"), Machine: b.cutTime((from-shift.X)/2, feed),
			Why: fmt.Sprintf("To %s: below the root of the thread, so the tool runs out free.", b.show(bottom)),
		})
	}
	return true
}

// chamfers breaks the corners the job asks for with the 45 degree edge.
func (b *build) chamfers(of []int) {
	b.op = sequence.OpChamfer
	b.section = nil
	b.pass, b.of = 0, 0
	mounted := false
	for _, i := range of {
		v := &b.levels[i]
		c := v.sec.Chamfer
		if c == 0 {
			continue
		}
		t, ok := b.tool(sequence.ChamferTool, v.sec, "a chamfer")
		if !ok {
			return
		}
		if !b.edgeClear(v, t) {
			continue
		}
		if !mounted {
			b.mountStep("chamfer/tool", t, sequence.ChamferTool, "edge at the corner", sequence.WordChamfer)
			mounted = true
		}
		b.section = v.sec
		rpm, feed, _ := b.across(v.sec, cutting.Part, t, v.aim, c, v.place-v.sec.Length.Mid(), true, b.stands(0, 0))
		b.z = v.from
		b.x = v.size
		b.add("chamfer/touch", sequence.Step{
			Opening: sequence.Cue{sequence.WordChamfer},
			Moves:   append(b.spindle(sequence.Forward, rpm), b.zeroCorner(v)),
			Hand:    hand("start_stop", "touch_off"),
			Why:     "The edge at 45 degrees just rubs the corner.",
		})
		shift := b.crossTo(v.size-2*c, true)
		in := sequence.Plunge{From: v.size, To: shift.X, Z: v.from, Dial: shift.Dial, PerRev: feed, Handle: shift.Handle}
		out := b.crossOut(c)
		b.add("chamfer/cut", sequence.Step{
			Moves: []sequence.Move{in, out, b.along(b.start())}, Hand: hand("feed_engage", "dial_set"),
			Machine: b.cutTime(c, feed),
			Why:     fmt.Sprintf("A leg of %s: the ring tells the depth, the eye the width.", b.show(c)),
		})
	}
	b.section = nil
}

// longEdge is how far the edge of a chamfer tool goes along and across the work.
func longEdge(t job.Tool) calc.Length {
	return calc.Length(float64(t.Edge)*math.Sqrt2/2) * calc.Nanometre
}

// edgeClear refuses a chamfer larger than the edge of its tool, and one whose tool would
// run into what is thicker behind it: the edge rises at 45 degrees from the corner.
func (b *build) edgeClear(v *level, t job.Tool) bool {
	long := longEdge(t)
	if v.sec.Chamfer > long-margin {
		b.refuse(v.sec, fmt.Sprintf("a tool with a longer edge: edge = %q, or a smaller chamfer", b.show((v.sec.Chamfer*3/2+2*margin).Ceil(calc.Millimetre))),
			"a chamfer of %s is more than the edge of the chamfer tool, %s long, cuts at 45 degrees: %s", b.show(v.sec.Chamfer), b.show(t.Edge), b.show(long.Floor(10*calc.Micrometre)))
		return false
	}
	var along calc.Length // from its corner, at least
	for i := v.n; i <= len(b.levels); i++ {
		w := &b.levels[i-1]
		along += w.sec.Length.Min - b.nose()
		thick := b.job.Bar
		if i < len(b.levels) {
			thick = w.most
		} else if b.job.PartOff {
			along += w.end - w.place
		}
		if along > long+margin {
			break // the edge ends before it
		}
		if edge := v.aim - 2*v.sec.Chamfer + 2*along - 2*margin; thick > edge {
			b.refuse(v.sec, "leave the chamfer out and break the edge by hand, make the section longer, or a tool with a shorter edge",
				"the 45 degree edge of the chamfer tool would run into the shoulder behind section %s: it reaches %s there, the shoulder is %s", b.levels[i-1].sec.Name, b.show(edge), b.show(thick))
			return false
		}
	}
	return true
}

func (b *build) zeroCorner(v *level) sequence.Zero {
	m := b.cross.set(v.size, sequence.OnCorner)
	m.Z = v.from
	return m
}

package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// A rounding tool goes on a little on both sides of its hollow (common practice).
const (
	roundEar  = calc.Millimetre / 2
	roundHeel = 2 * calc.Millimetre
)

// cornered says that the job wants radii in its corners: the nose of the turning tool
// leaves them, and then it is minded everywhere.
func (b *build) cornered() bool {
	for i := range b.job.Sections {
		if b.job.Sections[i].Corner > 0 {
			return true
		}
	}
	return false
}

// nose is the radius of the tip that turns, where the job wants radii in its corners.
func (b *build) nose() calc.Length {
	if !b.cornered() {
		return 0
	}
	t := b.turningTool()
	return t.Nose()
}

// leavesCorners says that the nose of a turning tool leaves every corner radius the job
// wants.
func (b *build) leavesCorners(t job.Tool) bool {
	for i := range b.job.Sections {
		if r := b.job.Sections[i].Corner; r > 0 && !job.RadiusLimits(r).Contains(t.Nose()) {
			return false
		}
	}
	return true
}

// noNose refuses corners that no turning tool owned leaves.
func (b *build) noNose() bool {
	refused := false
	for i := range b.job.Sections {
		s := &b.job.Sections[i]
		if s.Corner == 0 {
			continue
		}
		band := job.RadiusLimits(s.Corner)
		b.refuse(s, fmt.Sprintf("list one in %s: [[tool]] kind = \"turning\" tip = \"radius %s\"; all corners of a part come from one tool", b.lathe.Source.Path, s.Corner),
			"no right-hand turning tool listed has a nose of %s to %s, which leaves the corner radius of %s", b.show(band.Min), b.show(band.Max), b.show(s.Corner))
		refused = true
	}
	return refused
}

// rounder is the rounding tool owned for an edge.
func (b *build) rounder(s *job.Section) (job.Tool, bool) {
	band, half := job.RadiusLimits(s.Round), b.cross.dial.Division()/2 // the ring is set that well
	for _, t := range b.lathe.Tools {
		if t.Kind == job.KindRounding && band.Contains(t.Size-half) && band.Contains(t.Size+half) {
			return t, true
		}
	}
	b.refuse(s, fmt.Sprintf("grind a form tool and list it in %s: [[tool]] kind = %q size = %q; or write chamfer = %q", b.lathe.Source.Path, job.KindRounding, s.Round, (s.Round/2).Ceil(100*calc.Micrometre)),
		"no rounding tool of %s to %s is listed for an edge rounded by %s", b.show(band.Min), b.show(band.Max), b.show(s.Round))
	return job.Tool{}, false
}

// checkRadii refuses the radii that no tool owned makes.
func (b *build) checkRadii() {
	if b.cornered() {
		_, _ = b.tool(sequence.TurningTool, nil, "turning")
	}
	grooved := 0
	for i := range b.levels {
		v := &b.levels[i]
		if v.sec.Undercut != nil {
			grooved++
		}
		if nose := b.nose(); v.n > 1 && nose > 0 && v.sec.Chamfer > 0 {
			if inner, outer := b.freeFace(v, job.FreeEnd); (outer-inner)/2 < v.sec.Chamfer+2*margin {
				b.refuse(v.sec, "a smaller chamfer, or a larger step", "a chamfer of %s and the radius of %s in the corner in front of it leave no wall between them", b.show(v.sec.Chamfer), b.show(nose))
			}
		}
		if v.sec.Round == 0 {
			continue
		}
		t, ok := b.rounder(v.sec)
		if !ok {
			continue
		}
		if inner, outer := b.freeFace(v, job.FreeEnd); (outer-inner)/2 < t.Size+4*margin {
			b.refuse(v.sec, "round it by less, or make the step larger", "a rounding tool of %s does not find room on a face of %s", b.show(t.Size), b.show(max(0, (outer-inner)/2)))
		}
		if need := t.Size + roundEar + roundHeel + b.nose() + margin; v.sec.Length.Min < need {
			b.refuse(v.sec, fmt.Sprintf("make the section %s long or more, or write a chamfer", b.show(need.Ceil(calc.Millimetre/10))), "a rounding tool of %s finds no room on a section of %s", b.show(t.Size), b.show(v.sec.Length.Min))
		}
		if v.n == 1 && b.job.Centre {
			b.refuse(v.sec, "write a chamfer, or hold it in the chuck alone", "the tailstock centre stands where the rounding tool is laid on the end")
		}
	}
	if grooved > 1 && b.nose() > 0 {
		b.refuse(nil, "leave corner out, or make the part in two jobs", "a part with %d undercuts and radii in its corners is not planned: the grooving tool is laid on shoulders that are not sharp", grooved)
	}
}

// rounds gives the edges that are rounded their form with the hollow tool: its inner end is
// laid on the diameter, then on the face, and it is fed in by its radius.
func (b *build) rounds(of []int) {
	b.op = sequence.OpRound
	b.section = nil
	b.pass, b.of = 0, 0
	var mounted job.Tool
	tools := 0
	for _, i := range of {
		v := &b.levels[i]
		if v.sec.Round == 0 {
			continue
		}
		t, ok := b.rounder(v.sec)
		if !ok {
			return
		}
		again := tools > 0 && t == mounted
		if !again {
			tools++
			b.mountStep("round/tool", t, sequence.RoundingTool, "inner end of the hollow", sequence.WordRound)
			mounted = t
		}
		b.round(v, t, again)
	}
	b.section = nil
}

// round rounds the edge of one section.
func (b *build) round(v *level, t job.Tool, again bool) {
	b.section = v.sec
	r := t.Size
	rpm, feed, _ := b.across(v.sec, cutting.Part, t, v.aim, r, v.place-v.sec.Length.Mid(), true, b.stands(0, 0))
	on := sequence.OnShoulder
	if v.n == 1 {
		on = sequence.OnEnd
	}
	clear := b.clearOfBar()
	if again {
		clear = b.farOut()
	}
	moves := append([]sequence.Move{clear, b.along(v.from + roundEar)}, b.spindle(sequence.Forward, rpm)...)
	b.add("round/touch", sequence.Step{
		Opening: sequence.Cue{sequence.WordRound}, Moves: append(moves, b.cross.set(v.size, sequence.OnDiameter)),
		Hand: hand("start_stop", "touch_off"), Why: "The inner end of the hollow on the diameter, just behind the edge: the ring counts the radius from here.",
	})
	b.x = v.size
	out, before := b.crossOut(0), b.along(v.from-r-roundHeel-calc.Millimetre)
	under := b.crossTo(v.size-2*margin, false)
	b.z = v.from
	b.add("round/edge", sequence.Step{
		Moves: []sequence.Move{out, before, under, b.top.set(v.from, on)}, Closing: sequence.Cue{sequence.WordLockCarriage},
		Hand: hand("dial_set", "touch_off"), Why: "The inner end of the hollow, a tenth of a millimetre below the diameter, lightly against the face: there the radius begins.",
	})
	in := b.crossTo(v.size-2*r, true)
	cut := sequence.Plunge{From: under.X, To: in.X, Z: v.from, Dial: in.Dial, PerRev: feed, Handle: in.Handle}
	b.add("round/cut", sequence.Step{
		Moves: []sequence.Move{cut, b.crossOut(r)}, Cautions: []sequence.Word{sequence.WordOilSteel}, Hand: hand("feed_engage", "dial_set"), Machine: b.cutTime(r, feed),
		Why: fmt.Sprintf("In by its radius of %s, where the hollow runs out on the face and on the diameter: slow, the whole form cuts at the end. Try it with a radius gauge.", b.show(r)),
	})
	b.add("round/clear", sequence.Step{
		Opening: sequence.Cue{sequence.WordFreeCarriage}, Moves: []sequence.Move{b.along(b.start())}, Hand: hand("dial_set"), Why: "In front of the work for the next tool.",
	})
}

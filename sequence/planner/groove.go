package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// What cutting a groove in a section keeps to (common practice).
const (
	// grooveStock is left on the bottom, on radius, for the last cut.
	grooveStock = 100 * calc.Micrometre
	// knownStroke is how far any top slide goes.
	knownStroke = 25 * calc.Millimetre
	// beforeEdge is where the tool stands before it is laid on an edge.
	beforeEdge = 2 * calc.Millimetre
	// mostFace is how far from the section's diameter, on diameter, it is laid on at most.
	mostFace = 4 * calc.Millimetre
)

// trench is a groove of a section in the making.
type trench struct {
	v      *level
	g      *job.Groove
	n      int // among those of its section, from 1
	tool   job.Tool
	places []calc.Length // of the tool's chuck side, from the edge that is touched
	rpm    calc.Speed
	feed   calc.Lead
}

// id is the name of a step of the groove.
func (t *trench) id(what string) string { return fmt.Sprintf("groove%d/%s", t.n, what) }

// trenches are the grooves of a section with the tools that cut them; what cannot be cut
// is refused.
func (b *build) trenches(v *level) (list []trench) {
	for i := range v.sec.Grooves {
		t := trench{v: v, g: &v.sec.Grooves[i], n: i + 1}
		if b.trenchTool(&t) && b.trenchFine(&t) && b.trenchReached(&t) {
			list = append(list, t)
		}
	}
	return list
}

// checkGrooves refuses the grooves that cannot be cut with what is owned.
func (b *build) checkGrooves() {
	var in, out calc.Length // how far the top slide goes from where an edge was touched
	var last *job.Groove
	for i := range b.levels {
		for _, t := range b.trenches(&b.levels[i]) {
			if last = t.g; t.g.From == job.Shoulder {
				out = max(out, b.slides(&t))
			} else {
				in = max(in, b.slides(&t))
			}
		}
	}
	stroke := b.lathe.TopStroke
	if stroke == 0 {
		stroke = knownStroke
	}
	if in > 0 && out > 0 && in+out > stroke && len(b.faults) == 0 {
		b.refuseAt(last.Pos, "measure all grooves of the part from the same edge of their sections, or nearer to it",
			"the top slide would go %s in for one groove and %s out for another, and has %s", b.show(in), b.show(out), b.show(stroke))
	}
}

// slides is how far the top slide goes for a groove, slack and a little more with it.
func (b *build) slides(t *trench) calc.Length {
	first, last := t.places[0], t.places[len(t.places)-1]
	return max(first.Abs(), last.Abs()) + b.lathe.Top.Slack + calc.Millimetre
}

// trenchTool chooses the tool for a groove: one that is as wide, else the widest that is
// narrower, which cuts it in several places side by side.
func (b *build) trenchTool(t *trench) bool {
	w, path := t.g.Width, b.lathe.Source.Path
	deep := (t.v.sec.Diameter.Max - t.g.Diameter.Min) / 2
	var short job.Tool
	for _, o := range b.lathe.Tools {
		switch {
		case o.Kind != string(sequence.GroovingTool) || o.Width > w.Max:
		case deep > reachOf(o):
			short = o
		case t.tool.Width == 0 || o.Width > t.tool.Width:
			t.tool = o
		}
	}
	if t.tool.Width > 0 {
		t.places = places(t)
		return true
	}
	if short.Width > 0 {
		b.refuseAt(t.g.Pos, "a tool with a longer reach, such as reach = \""+b.show((deep+margin).Ceil(calc.Millimetre))+"\", or a shallower groove",
			"the groove is %s deep, and the grooving tool of %s reaches %s", b.show(deep), b.show(short.Width), b.show(reachOf(short)))
		return false
	}
	b.refuseAt(t.g.Pos, fmt.Sprintf("grind one and list it in %s: [[tool]] kind = \"grooving\" width = %q", path, b.show(w.Mid().Floor(100*calc.Micrometre))),
		"no grooving tool of at most %s is listed for a groove of %s", b.show(w.Max), b.show(w.Nominal))
	return false
}

// reachOf is how deep a grooving tool or a blade goes.
func reachOf(t job.Tool) calc.Length {
	if t.Reach > 0 {
		return t.Reach
	}
	return bladeReach * t.Width
}

// places are where the chuck side of the tool stands for the cuts of a groove, from the
// edge it is measured from: the tailstock side first.
func places(t *trench) []calc.Length {
	w := t.tool.Width
	width := max(t.g.Width.Mid(), w)
	if w >= t.g.Width.Min {
		width = w
	}
	first, last := t.g.At.Mid()+w, t.g.At.Mid()+width
	if t.g.From == job.Shoulder {
		first, last = w-width-t.g.At.Mid(), -t.g.At.Mid()
	}
	room := last - first
	step := w * 9 / 10 // neighbouring cuts overlap by a tenth of the tool (common practice)
	n := int(room.Ceil(step) / step)
	list := make([]calc.Length, n+1)
	for i := range list {
		list[i] = last
		if n > 0 {
			list[i] -= room * calc.Length(n-i) / calc.Length(n)
		}
	}
	return list
}

// trenchFine refuses a groove finer than the rings.
func (b *build) trenchFine(t *trench) bool {
	g, line := t.g, b.cross.dial.Division()
	if _, ok := b.half(g.Diameter.Mid(), g.Diameter.Min, g.Diameter.Max); !ok || g.Diameter.Tolerance() < line {
		b.refuseAt(g.Pos, "widen the tolerance of its diameter", "a groove of %s to %s is finer than the cross-slide ring can be set: half a division moves the diameter by %s", b.show(g.Diameter.Min), b.show(g.Diameter.Max), b.show(line))
		return false
	}
	half := b.top.dial.Division() / 2
	if g.At.Tolerance() < half || len(t.places) > 1 && g.Width.Tolerance() < half {
		what, band := "place", g.At
		if g.At.Tolerance() >= half {
			what, band = "width", g.Width
		}
		b.refuseAt(g.Pos, "widen the tolerance of its "+what, "the %s of the groove, %s to %s, is finer than the top-slide ring can be set: half a division is %s", what, b.show(band.Min), b.show(band.Max), b.show(half))
		return false
	}
	return true
}

// trenchReached refuses a groove whose edge cannot be touched, or that is further from
// it than the top slide goes.
func (b *build) trenchReached(t *trench) bool {
	v, g := t.v, t.g
	inner, outer := b.freeFace(v, g.From)
	if high := (outer - inner) / 2; high < 4*margin+2*b.cross.dial.Division() {
		other := "shoulder"
		if g.From == job.Shoulder {
			other = "free end"
		}
		b.refuseAt(g.Pos, fmt.Sprintf("measure it from = %q, or make the step larger", other),
			"the tool is laid on the %s of section %s to find the place of the groove, and %s of it stand free: too little", g.From, v.sec.Name, b.show(max(0, high)))
		return false
	}
	if g.From == job.FreeEnd && v.n == 1 && b.job.Centre {
		b.refuseAt(g.Pos, "measure it from = \"shoulder\"", "the tailstock centre stands where the tool is laid on the end to find the place of the groove")
		return false
	}
	need := b.slides(t)
	switch stroke := b.lathe.TopStroke; {
	case stroke == 0 && need > knownStroke:
		b.refuseAt(g.Pos, fmt.Sprintf("measure how far the top slide goes from end to end and write it in %s below [top_slide], such as stroke = %q", b.lathe.Source.Path, b.show(need.Ceil(5*calc.Millimetre))),
			"the groove is found with %s of the top slide, and the lathe file does not say how far it goes", b.show(need.Ceil(calc.Millimetre)))
	case stroke > 0 && need > stroke:
		b.refuseAt(g.Pos, "measure it from the other edge of its section", "the groove is found with %s of the top slide, which goes %s", b.show(need.Ceil(calc.Millimetre)), b.show(stroke))
	default:
		return true
	}
	return false
}

// freeFace is what stands free of an end face or a shoulder, between two diameters, for a
// tool to be laid on.
func (b *build) freeFace(v *level, at job.Edge) (inner, outer calc.Length) {
	switch {
	case at == job.Shoulder:
		return v.sec.Diameter.Max + 2*b.nose(), v.least
	case v.n > 1:
		inner = b.levels[v.n-2].sec.Diameter.Max + 2*b.nose()
	default:
		inner = b.hollowAt(0, true)
		if len(b.cavities) > 0 {
			inner += 2 * b.cavities[0].bore.Chamfer
		}
	}
	return inner, v.sec.Diameter.Min
}

// grooves cuts the grooves of the plain sections, each found by a touch on the edge it is
// measured from.
func (b *build) grooves(of []int) {
	b.op = sequence.OpGroove
	b.section = nil
	b.pass, b.of = 0, 0
	for _, i := range of {
		list := b.trenches(&b.levels[i])
		for k := range list {
			t := &list[k]
			fresh := !b.holdsGroover(t.tool)
			if fresh {
				b.mountStep("groove/tool", t.tool, sequence.GroovingTool, "chuck side", sequence.WordGroove)
			}
			b.section = t.v.sec
			t.rpm, t.feed, _ = b.across(t.v.sec, cutting.Part, t.tool, t.v.aim, t.tool.Width, b.about(t), false, b.stands(0, 0))
			if k == 0 || fresh || list[k-1].g.From != t.g.From {
				b.findEdge(t, fresh)
			}
			b.dig(t)
			if k == len(list)-1 || list[k+1].g.From != t.g.From || list[k+1].tool != t.tool {
				b.leaveEdge(t)
			}
			b.section = nil
			if len(b.faults) > 0 {
				return
			}
		}
	}
}

// holdsGroover says that a grooving tool is in the post already.
func (b *build) holdsGroover(t job.Tool) bool {
	m := b.inPost()
	return m.Kind == sequence.GroovingTool && m.Width == t.Width
}

// about is where a groove lies as drawn.
func (b *build) about(t *trench) calc.Length {
	edge := t.v.place
	if t.g.From == job.FreeEnd {
		edge -= t.v.sec.Length.Mid()
	}
	return edge + t.places[len(t.places)-1]
}

// edgeAt is the z of the edge a groove is measured from.
func edgeAt(t *trench) calc.Length {
	if t.g.From == job.Shoulder {
		return t.v.to
	}
	return t.v.from
}

// findEdge zeroes the cross slide on the section's diameter and the top slide on the edge
// the groove is measured from.
func (b *build) findEdge(t *trench, fresh bool) {
	v := t.v
	b.pass, b.of = 0, 0
	over := min((v.from + v.sec.Land() + t.tool.Width/2).Round(calc.Millimetre), v.to-job.LeastLand/2)
	clear := b.clearOfBar()
	if !fresh {
		clear = b.farOut()
	}
	moves := append([]sequence.Move{clear, b.along(over)}, b.spindle(sequence.Forward, t.rpm)...)
	b.add(t.id("touch"), sequence.Step{
		Opening: sequence.Cue{sequence.WordGroove}, Moves: append(moves, b.cross.set(v.size, sequence.OnDiameter)),
		Hand: hand("start_stop", "touch_off"), Why: "The ring counts the depth of the groove from here.",
	})
	b.x = v.size
	inner, outer := b.freeFace(v, t.g.From)
	edge, on := edgeAt(t), sequence.OnShoulder
	if t.g.From == job.FreeEnd && v.n == 1 {
		on = sequence.OnEnd
	}
	target := max(calc.Mid(inner, outer), outer-mostFace)
	if t.g.From == job.Shoulder {
		target = min(calc.Mid(inner, outer), inner+mostFace)
	}
	out := b.crossOut(max(0, (target-v.size)/2))
	before := b.along(edge - beforeEdge)
	to := b.crossTo(target, false)
	b.z = edge
	b.add(t.id("edge"), sequence.Step{
		Moves: []sequence.Move{out, before, to, b.top.set(edge, on)}, Closing: sequence.Cue{sequence.WordLockCarriage}, Hand: hand("dial_set", "touch_off"),
		Why: fmt.Sprintf("The chuck side of the tool against the %s of the section; from here the top slide gives the place of the groove.", t.g.From),
	})
}

// standsAt are the moves that bring the top slide to a place inwards, the tool clear of
// the section.
func (b *build) standsAt(t *trench, from calc.Length) (m []sequence.Move) {
	z := edgeAt(t) + from
	if room := (b.x - t.v.size) / 2; room < margin {
		m = append(m, b.crossOut(max(0, -room)))
	}
	at := b.top.zero + b.top.lines(true).Snap(b.top.offset(z))
	switch {
	case at == b.z && b.top.last == sequence.In:
		return m
	case at <= b.z || b.top.last == sequence.Out && at < b.z+b.top.dial.Slack:
		m = append(m, b.topBack(at))
	}
	in := b.top.to(z, true)
	b.z = in.Z
	return append(m, in)
}

// topBack winds the top slide out beyond a place by its slack and a little more, so that
// it can be brought there inwards.
func (b *build) topBack(z calc.Length) sequence.Shift {
	r := &b.top
	m := sequence.Shift{Slide: sequence.Top, Approach: sequence.Out, Lash: r.lash(sequence.Out), Handle: r.turn(sequence.Out)}
	r.at = r.dial.SnapIn(r.offset(z) - r.dial.Slack - calc.Millimetre/2)
	r.last = sequence.Out
	m.Dial, m.Z = r.shown(r.at), r.position(r.at+r.dial.Slack)
	b.z = m.Z
	return m
}

// dig cuts one groove: down to a last cut everywhere, a reading, then the last cut from
// the reading, along the bottom where it is wider than the tool.
func (b *build) dig(t *trench) {
	v, g := t.v, t.g
	bottom := g.Diameter.Mid()
	deep := (v.size - bottom) / 2
	stock := max(b.cross.dial.Division(), b.cross.dial.Snap(min(grooveStock, deep/3)))
	at := b.cross.dial.Snap(b.cross.offset(bottom + 2*stock))
	for i, z := range t.places {
		b.pass, b.of = i+1, len(t.places)
		moves := append(b.spindle(sequence.Forward, t.rpm), b.standsAt(t, z)...)
		b.add(t.id(fmt.Sprintf("pass%d/set", i+1)), sequence.Step{
			Phase: sequence.PhaseSet, Opening: sequence.Cue{sequence.WordGroove}, Moves: moves, Hand: hand("dial_set"),
			Why: fmt.Sprintf("The chuck side of the tool stands %s from the %s of the section.", b.show((b.z - edgeAt(t)).Abs()), g.From),
		})
		b.plungeTo(t, fmt.Sprintf("pass%d/cut", i+1), at, false, fmt.Sprintf("%s are left on the bottom for the last cut.", b.show(stock)), sequence.Step{})
	}
	final := false
	for k := 1; ; k++ {
		planned := b.cross.position(at)
		id := t.id(fmt.Sprintf("size%d", k))
		got := b.got(b.prefix() + id)
		b.measureGroove(t, id, planned, 2*stock, final, got)
		m := planned
		if got != nil {
			m = *got
			b.rezero(b.cross.zero + m - planned)
		}
		inside := m >= g.Diameter.Min && m <= g.Diameter.Max
		if m < g.Diameter.Min || inside && (final || got != nil) {
			if last := b.plan.Steps[len(b.plan.Steps)-1].Measure; !final {
				last.Final, last.Min, last.Max = true, g.Diameter.Min, g.Diameter.Max
			}
			return
		}
		if k == mostReadings {
			b.refuseAt(g.Pos, "look for a blunt tool or a cross slide that gives", "the groove of %s is still not reached after %d readings", b.show(bottom), k)
			return
		}
		half, ok := b.half(bottom, g.Diameter.Min, g.Diameter.Max)
		off := b.cross.lines(half || !ok).Snap(b.cross.offset(bottom))
		if off <= at {
			off = at + b.cross.dial.Division()/2
		}
		at, final = off, true
		b.lastCut(t, k, at)
	}
}

// plungeTo is one cut at a place, in to a setting of the ring and out again, after what is
// in the step already.
func (b *build) plungeTo(t *trench, what string, at calc.Length, half bool, why string, s sequence.Step) {
	from := b.x
	in := b.crossTo(b.cross.position(at), half)
	s.Phase, s.Why = sequence.PhaseCut, why
	s.Moves = append(s.Moves, sequence.Plunge{From: from, To: in.X, Z: b.z, Dial: in.Dial, PerRev: t.feed, Handle: in.Handle}, b.outOf(t, in.X))
	s.Cautions = []sequence.Word{sequence.WordOilSteel}
	s.Hand, s.Machine = hand("feed_engage", "dial_set"), b.cutTime((from-in.X)/2, t.feed)
	b.add(t.id(what), s)
}

// outOf winds the tool out of a groove, clear of the section however the groove is read
// next.
func (b *build) outOf(t *trench, x calc.Length) sequence.Shift {
	return b.crossOut((t.v.size-x+t.g.Diameter.Tolerance())/2 + grooveStock)
}

// lastCut takes what was left on the bottom: at the place towards the tailstock, and from
// there along with the top slide.
func (b *build) lastCut(t *trench, k int, at calc.Length) {
	b.pass, b.of = 0, 0
	words := sequence.WordGroove
	if k > 1 {
		words = sequence.WordCutAgain
	}
	id := fmt.Sprintf("last%d", k)
	moves := append(b.spindle(sequence.Forward, t.rpm), b.standsAt(t, t.places[0])...)
	n := len(t.places)
	why := fmt.Sprintf("To %s: what the reading says is left is taken now.", b.show(b.cross.position(at)))
	if n == 1 {
		b.plungeTo(t, id+"/cut", at, true, why, sequence.Step{Moves: moves})
		return
	}
	b.add(t.id(id+"/set"), sequence.Step{
		Phase: sequence.PhaseSet, Opening: sequence.Cue{words}, Moves: moves, Hand: hand("dial_set"), Why: "Back to where the groove begins.",
	})
	from := b.x
	in := b.crossTo(b.cross.position(at), true)
	long := b.z
	side := b.top.to(edgeAt(t)+t.places[n-1], true)
	side.PerRev = t.feed
	b.z = side.Z
	b.add(t.id(id+"/cut"), sequence.Step{
		Phase: sequence.PhaseCut, Moves: []sequence.Move{
			sequence.Plunge{From: from, To: in.X, Z: long, Dial: in.Dial, PerRev: t.feed, Handle: in.Handle}, side, b.outOf(t, in.X),
		},
		Cautions: []sequence.Word{sequence.WordOilSteel}, Hand: hand("feed_engage", "dial_set"),
		Machine: b.cutTime((from-in.X)/2+b.z-long, t.feed), Why: why + " Along the bottom with both hands on the top slide, so that no steps are left.",
	})
}

// measureGroove asks for the diameter at the bottom.
func (b *build) measureGroove(t *trench, id string, planned, plausible calc.Length, final bool, got *calc.Length) {
	d := t.g.Diameter
	with, division := b.instrument(asked{t.g.Pos, "the groove", d.Nominal, d.Tolerance(), []string{job.KindCaliper}}, "caliper", 20*calc.Micrometre)
	m := &sequence.Measure{
		What: sequence.MeasureGroove, Nominal: planned, Min: planned - plausible, Max: planned + 2*plausible,
		Unit: b.job.Unit, Division: division, Got: got,
	}
	why := "What the tool left here tells what the last cut must take."
	if final {
		m.Final, m.Nominal, m.Min, m.Max = true, d.Mid(), d.Min, d.Max
		why = fmt.Sprintf("Its diameter %s to %s, its width %s to %s: try the ring in it.", b.show(d.Min), b.show(d.Max), b.show(t.g.Width.Min), b.show(t.g.Width.Max))
	}
	b.pass, b.of = 0, 0
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(b.stop(), sequence.Inspect{What: sequence.MeasureGroove, With: with}),
		Hand:  hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Why: why,
	})
}

// leaveEdge takes the tool in front of the work and the top slide back to where it stood.
func (b *build) leaveEdge(t *trench) {
	b.pass, b.of = 0, 0
	front := b.along(b.start())
	way := sequence.Out
	if b.top.at < 0 {
		way = sequence.In
	}
	back := sequence.Shift{Slide: sequence.Top, Dial: b.top.shown(0), Approach: way, Lash: b.top.lash(way), Handle: b.top.turn(way)}
	was := b.top.position(b.top.at)
	if b.top.last == sequence.Out {
		was += b.top.dial.Slack
	}
	stand := b.top.zero
	if way == sequence.Out {
		stand += b.top.dial.Slack
	}
	b.top.at, b.top.last = 0, way
	b.z += stand - was
	back.Z = b.z
	b.add(t.id("clear"), sequence.Step{
		Opening: sequence.Cue{sequence.WordFreeCarriage}, Moves: []sequence.Move{front, back}, Hand: hand("dial_set"),
		Why: "In front of the work, and the top slide as far in as before, for the next tool.",
	})
}

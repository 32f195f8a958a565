package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

// What is common practice in drilling.
const (
	// pilotFrom is the diameter from which a drill gets a pilot hole: its web is then
	// too thick for the mark of the centre drill.
	pilotFrom = 10 * calc.Millimetre
	// largestDrill is where the feeds of drills end.
	largestDrill = 25 * calc.Millimetre
	// behindPart is how far a hole goes on behind the longest part that may be parted
	// off, and reamerLead how much further it is drilled for the lead of a reamer.
	behindPart = calc.Millimetre
	reamerLead = 3 * calc.Millimetre
	// torqueShare is the share of the spindle's torque a drill may ask for.
	torqueShare = 3
)

// making is how the bores are made: what is drilled in which order, what is reamed
// and with which bar they are bored.
type making struct {
	centre job.Tool
	drills []job.Tool
	reamer *job.Tool
	tap    *job.Tool
	tapTo  calc.Length // z of its tip when the thread is deep enough

	threading, groover *job.Tool   // for a thread cut in a bore
	out                calc.Length // how far they stand out
	bar                *job.Tool
	hole               calc.Length // diameter the last drill leaves
}

// chooseBores settles how the bores are made and refuses what the tools owned cannot
// make.
func (b *build) chooseBores() {
	n := len(b.cavities)
	if n == 0 {
		return
	}
	for i := range b.cavities {
		if d := b.cavities[i].bore; d.Thread != nil && b.job.Quantity > 1 {
			b.refuseAt(d.Pos, "leave quantity out and run the job once for each part", "%s in more than one part at a setting is not planned", d.Thread)
			return
		}
	}
	deepest := b.cavities[n-1].bore
	if b.holed() {
		b.chooseThere(deepest)
		return
	}
	centre, ok := b.ownedAt(deepest.Pos, job.KindCentreDrill, "a bore")
	if !ok {
		return
	}
	if centre.Size >= deepest.Narrow().Nominal-calc.Millimetre/5 {
		b.refuseAt(deepest.Pos, "list a smaller one: [[tool]] kind = \"centre drill\" size = \"1 mm\"", "a centre drill of %s is too large to start a bore of %s", b.show(centre.Size), b.show(deepest.Narrow().Nominal))
		return
	}
	if !deepest.Through && centre.Size > deepest.Depth.Min {
		b.refuseAt(deepest.Pos, "a smaller centre drill, or a deeper bore", "a centre drill of %s starts a hole deeper than %s", b.show(centre.Size), b.show(deepest.Depth.Min))
		return
	}
	b.made.centre = centre
	last, ok := b.lastDrill(deepest)
	if !ok {
		return
	}
	b.made.hole = last.Size
	if !b.drillSteps(deepest, last) {
		return
	}
	b.chooseBar()
	b.chooseInside()
}

// chooseThere settles the bar for bores in front of the hole that is there.
func (b *build) chooseThere(deepest *job.Bore) {
	b.made.hole = b.there.size
	if deepest.By != job.AsLeft {
		b.chooseBar()
	}
}

// ownedAt finds a tool owned, or asks for one at a place of the job.
func (b *build) ownedAt(at job.Pos, kind, for_ string) (job.Tool, bool) {
	for _, t := range b.lathe.Tools {
		if t.Kind == kind {
			return t, true
		}
	}
	b.refuseAt(at, fmt.Sprintf("add it to %s: [[tool]] kind = %q", b.lathe.Source.Path, kind), "no %s is listed for the lathe, and %s needs one", kind, for_)
	return job.Tool{}, false
}

// lastDrill is the drill that leaves the hole the deepest bore is finished from.
func (b *build) lastDrill(d *job.Bore) (job.Tool, bool) {
	if d.By == job.ByTap {
		b.made.tap = b.ownedTap(d)
	}
	if d.Free && d.By != job.ByBore && b.coned() == nil && !b.equipped(d) {
		d.By, b.made.tap = job.ByBore, nil
		for i := range b.cavities {
			if c := &b.cavities[i]; c.bore == d {
				c.end = b.boreEnd(d)
			}
		}
	}
	low, high := d.Diameter.Min, d.Diameter.Max
	aim := d.Diameter.Nominal
	switch d.By {
	case job.ByTap:
		if !b.chooseTap(d) {
			return job.Tool{}, false
		}
		aim = calc.Mid(low, high)
		if usual, err := d.Thread.TapDrill(); err == nil {
			aim = usual
		}
	case job.ByReam:
		for i := range b.lathe.Tools {
			if t := &b.lathe.Tools[i]; t.Kind == job.KindReamer && t.Size == d.Diameter.Nominal {
				b.made.reamer = t
			}
		}
		if b.made.reamer == nil {
			b.refuseAt(d.Pos, "write by = \"bore\", or list one: [[tool]] kind = \"reamer\"", "no reamer of %s is listed for the lathe", b.show(d.Diameter.Nominal))
			return job.Tool{}, false
		}
		least, most, err := setup.ReamAllowance(d.Diameter.Nominal)
		if err != nil {
			b.refuseAt(d.Pos, "write by = \"bore\"", "%v", err)
			return job.Tool{}, false
		}
		low, high = d.Diameter.Nominal-most, d.Diameter.Nominal-least
		aim = calc.Mid(low, high)
	case job.ByBore:
		// A drill cuts a little over its size; three equal cuts must be left.
		low, high = 0, d.Narrow().Min-6*boreCut
		for _, c := range b.cavities {
			high = min(high, c.bore.Narrow().Min-6*boreCut)
		}
		aim = high
	}
	var best job.Tool
	for _, t := range b.lathe.Tools {
		if t.Kind == job.KindDrill && t.Size >= low && t.Size <= high && t.Size <= largestDrill && t.Size > b.made.centre.Size &&
			(best.Size == 0 || (t.Size-aim).Abs() < (best.Size-aim).Abs()) {
			best = t
		}
	}
	if best.Size > 0 {
		return best, true
	}
	want := fmt.Sprintf("from %s to %s", b.show(low), b.show(high))
	if low == 0 {
		want = "of at most " + b.show(min(high, largestDrill))
	}
	what := map[job.BoreBy]string{job.ByDrill: "to drill", job.ByReam: "to drill before reaming", job.ByTap: "to drill before tapping", job.ByBore: "to drill before boring"}[d.By]
	b.refuseAt(d.Pos, fmt.Sprintf("list it in %s: [[tool]] kind = \"drill\" size = %q", b.lathe.Source.Path, b.show(aim.Floor(100*calc.Micrometre))),
		"no drill %s is listed %s %s", want, what, b.boreName(d))
	return job.Tool{}, false
}

// equipped says that the tools to drill or ream a bore to size are owned.
func (b *build) equipped(d *job.Bore) bool {
	low, high, reamer := d.Diameter.Min, d.Diameter.Max, d.By == job.ByDrill || b.made.tap != nil
	if d.By == job.ByReam {
		least, most, err := setup.ReamAllowance(d.Diameter.Nominal)
		if err != nil {
			return false
		}
		low, high = d.Diameter.Nominal-most, d.Diameter.Nominal-least
	}
	drill := false
	for _, t := range b.lathe.Tools {
		reamer = reamer || t.Kind == job.KindReamer && t.Size == d.Diameter.Nominal
		drill = drill || t.Kind == job.KindDrill && t.Size >= low && t.Size <= high && t.Size > b.made.centre.Size
	}
	return reamer && drill
}

// drillSteps settles the drills up to the last: a pilot a little over its web, then
// as large as the spindle drives each time.
func (b *build) drillSteps(d *job.Bore, last job.Tool) bool {
	hole := calc.Length(0)
	if last.Size >= pilotFrom {
		var pilot job.Tool
		for _, t := range b.lathe.Tools {
			if t.Kind == job.KindDrill && t.Size >= last.Size/5 && t.Size < last.Size/2 && t.Size > b.made.centre.Size && (pilot.Size == 0 || t.Size < pilot.Size) {
				pilot = t
			}
		}
		if pilot.Size == 0 {
			b.refuseAt(d.Pos, fmt.Sprintf("list a drill of %s to %s", b.show(last.Size/5), b.show(last.Size/2)), "no drill is listed for the pilot hole of a drill of %s", b.show(last.Size))
			return false
		}
		b.made.drills = append(b.made.drills, pilot)
		hole = pilot.Size
	}
	for hole < last.Size {
		var next job.Tool
		for _, t := range append(b.lathe.Tools[:len(b.lathe.Tools):len(b.lathe.Tools)], last) {
			if t.Kind == job.KindDrill && t.Size > hole && t.Size <= last.Size && t.Size > next.Size && b.drives(t, hole, d) {
				next = t
			}
		}
		if next.Size == 0 {
			b.refuseAt(d.Pos, fmt.Sprintf("list a drill between %s and %s, or bore from the smaller hole", b.show(hole), b.show(last.Size)),
				"the spindle has not the torque to open a hole of %s with the next drill listed", b.show(hole))
			return false
		}
		b.made.drills = append(b.made.drills, next)
		hole = next.Size
	}
	return true
}

// drives says that the spindle turns a drill in a hole of a diameter.
func (b *build) drives(t job.Tool, hole calc.Length, d *job.Bore) bool {
	_, feed := b.drillRun(t, hole, b.drillTo(d))
	return !feed.IsZero()
}

// drillRun is the speed and the feed per turn of a drill that opens a hole of a
// diameter to a depth: slower in a deep hole, and where the drill would ask for more
// than its share of the torque, at less feed and then at less speed. The zero Lead
// says that the spindle does not turn it even so.
func (b *build) drillRun(t job.Tool, hole, depth calc.Length) (calc.Speed, calc.Lead) {
	f, err := b.job.Material.Feed(cutting.Drill, t.Size)
	if err != nil {
		return 0, calc.Lead{}
	}
	slow, less := setup.Deep(depth, t.Size)
	wish := float64(b.wanted(cutting.Drill, t.Size, t.Steel)) * slow
	start := max(f.Min, (calc.Length(float64(f.Start)*less) * calc.Nanometre).Floor(5*calc.Micrometre))
	torque := func(feed calc.Length) cutting.Torque {
		whole := b.job.Material.Drilling(t.Size, feed, 0, 0)
		if hole > 0 {
			whole -= b.job.Material.Drilling(hole, feed, 0, 0)
		}
		return whole
	}
	for _, part := range []float64{1, 0.75, 0.5, 0.35} {
		c, err := b.lathe.Speeds.Choose(max(calc.RPM/1000, calc.Speed(wish*part)*calc.RPM/1000))
		if err != nil {
			return 0, calc.Lead{}
		}
		have := min(b.lathe.Drive().TorqueAt(c.Speed)/torqueShare, loadShare/cutting.Internal*cutting.ClassOf(cutting.Power(b.lathe.Power)).Holds(b.job.Bar))
		for _, feed := range []calc.Length{start, f.Min} {
			if torque(feed) <= have {
				return c.Speed, calc.PerTurn(feed)
			}
		}
	}
	return 0, calc.Lead{}
}

// throughEnd is where a hole ends that goes through: behind the longest part, and of
// several behind the blade, so that no boss is left on the end of the next.
func (b *build) throughEnd() calc.Length {
	if b.second != nil && b.there != nil { // into the hole of the first setting
		return b.there.floor + behindPart
	}
	long := behindPart
	if b.parts() > 0 && b.job.PartOff {
		long += b.bladeWidth()
	}
	for i := range b.job.Sections {
		long += b.job.Sections[i].Length.Max
	}
	return long
}

// drillTo is how deep the drill's corners go for a bore.
func (b *build) drillTo(d *job.Bore) calc.Length {
	switch {
	case d.Through && d.By == job.ByReam:
		return b.throughEnd() + reamerLead
	case d.Through && d.By == job.ByTap:
		return b.made.tapTo + d.Thread.Pitch.Length()
	case d.Through && d.Thread != nil:
		return b.boreEnd(d) + calc.Millimetre
	case d.Through:
		return b.throughEnd()
	case d.By == job.ByBore:
		return b.front + d.Depth.Max // the point is then out of the way of the boring bar
	}
	return b.front + d.Depth.Mid()
}

// drill centres the end and drills the hole the bores are made from, and reams it
// where nothing is bored.
func (b *build) drill() {
	n := len(b.cavities)
	if n == 0 || b.holed() || len(b.faults) > 0 {
		return
	}
	d := b.cavities[n-1].bore
	b.hole, b.section, b.op = d, nil, sequence.OpCentre
	b.pass, b.of = 0, 0
	b.spot(d)
	b.op = sequence.OpDrill
	hole := calc.Length(0)
	for i, t := range b.made.drills {
		b.drillHole(d, t, i+1, hole)
		hole = t.Size
	}
	c := &b.cavities[n-1]
	if d.By == job.ByDrill {
		c.size = b.made.hole
		if b.made.bar == nil { // else the bar is touched on the hole first
			b.checkDrilled(c)
		}
	}
	if d.By == job.ByTap {
		c.size = b.made.hole
	}
	if b.made.reamer != nil && b.made.bar == nil {
		b.ream(c)
	}
	b.hole = nil
}

// spot starts the hole with the centre drill, no wider than the bore at its mouth.
func (b *build) spot(d *job.Bore) {
	t := b.made.centre
	deep := 2 * t.Size
	if t.Size*212/100 > b.made.hole || !d.Through && deep > d.Depth.Min {
		deep = t.Size // its pilot alone
	}
	clear := b.stop()
	if b.begun { // a tool that has worked may stand further in than the bar is thick
		clear = append(clear, b.farOut())
	}
	b.add("centre/clear", sequence.Step{
		Moves: append(clear, b.along(b.aside())), Hand: hand("dial_set"),
		Why: "The tool beside the bar, out of the way of the tailstock.",
	})
	if b.part > 1 && d.Through && b.job.PartOff {
		return // the point of the last drill has left its cone in the end of the bar
	}
	b.add("centre/tool", sequence.Step{
		Moves: b.stop(), Opening: sequence.Cue{sequence.WordFitCentre}, Closing: sequence.Cue{sequence.WordSleeveShort}, Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Hand: hand("tailstock_tool"), Why: "A tailstock off the axis by 0.05 mm already makes a bell mouth.",
	})
	rpm := b.speed(cutting.Drill, t.Size, t.Steel)
	b.add("centre/drill", sequence.Step{
		Moves: append(b.spindle(sequence.Forward, rpm), sequence.Tailstock{
			Kind: sequence.CentreDrillTool, Diameter: t.Size, From: b.front - calc.Millimetre, To: b.front + deep,
		}),
		Cautions: []sequence.Word{sequence.WordOilSteel},
		Hand:     hand("centre_drill"), Why: fmt.Sprintf("Until it is %s deep: the drill then starts on the axis. Light feed and oil, no dwelling.", b.show(deep)),
	})
}

// sleeveTo is a depth on a line of the tailstock ring, with what the ring says there.
func (b *build) sleeveTo(z calc.Length) (calc.Length, *sequence.Dial) {
	if b.sleeve == nil {
		return z, nil
	}
	off := b.sleeve.dial.Snap(b.sleeve.offset(z))
	return b.sleeve.position(off), b.sleeve.shown(off)
}

// fitTailstock fits a drill or a reamer and zeroes the ring with it at the end.
func (b *build) fitTailstock(id string, t job.Tool, kind sequence.ToolKind, rpm calc.Speed, why string) {
	b.add(id+"/tool", sequence.Step{
		Moves: append(b.stop(), sequence.Mount{Kind: kind, Diameter: t.Size, Hand: "right", Edge: "corners"}),
		Hand:  hand("tailstock_tool"), Why: why, Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
	})
	if b.sleeve == nil {
		return
	}
	touch := append(b.spindle(sequence.Forward, rpm), sequence.Tailstock{Kind: kind, Diameter: t.Size, From: b.front - calc.Millimetre, To: b.front})
	b.add(id+"/zero", sequence.Step{
		Moves: append(touch, b.sleeve.set(b.front, sequence.OnEnd)), Hand: hand("start_stop", "touch_off"),
		Why: "Depths on this ring are depths of the full size, without the point.",
	})
}

// drillHole drills with one drill, out for the swarf at every peck.
func (b *build) drillHole(d *job.Bore, t job.Tool, nth int, hole calc.Length) {
	id := fmt.Sprintf("drill%d", nth)
	depth := b.drillTo(d)
	rpm, feed := b.drillRun(t, hole, depth)
	why := fmt.Sprintf("Its point is %s longer than its corners.", b.show(setup.PointLength(t.Size, 0).Ceil(100*calc.Micrometre)))
	if nth < len(b.made.drills) {
		why = "A pilot hole: the next drill's web does not cut. " + why
	}
	b.fitTailstock(id, t, sequence.DrillTool, rpm, why)
	short := b.job.Material.Group == cutting.Stainless || b.job.Material.Group == cutting.Aluminium
	pecks := setup.Pecks(t.Size, depth-b.front, short)
	if n := len(pecks); n > 1 && pecks[n-1]-pecks[n-2] < t.Size/2 { // no peck of a hair
		pecks = append(pecks[:n-2], depth-b.front)
	}
	from := b.front
	for i, z := range pecks {
		z += b.front
		to, shown := b.sleeveTo(z)
		if !d.Through && i == len(pecks)-1 && b.sleeve != nil {
			off := b.sleeve.dial.SnapIn(b.sleeve.offset(z)) // never past a floor
			to, shown = b.sleeve.position(off), b.sleeve.shown(off)
		}
		var opening sequence.Cue
		if len(pecks) > 1 {
			opening = sequence.Cue{sequence.WordPeck, sequence.CountWord(i+1, len(pecks))}
		}
		b.pass, b.of = i+1, len(pecks)
		b.add(fmt.Sprintf("%s/peck%d", id, i+1), sequence.Step{
			Phase: sequence.PhaseCut, Opening: opening,
			Moves: append(b.spindle(sequence.Forward, rpm), sequence.Tailstock{
				Kind: sequence.DrillTool, Diameter: t.Size, From: from, To: to, Dial: shown, PerRev: feed,
			}),
			Closing:  sequence.Cue{sequence.WordClearDrill},
			Cautions: []sequence.Word{sequence.WordOilSteel, sequence.WordSwarf},
			Hand:     hand("dial_set", "oil"), Machine: b.cutTime(to-from, feed),
			Why: fmt.Sprintf("%s deep.%s", b.show(to-b.front), b.wheelPace(feed, rpm)),
		})
		from = to
	}
	b.pass, b.of = 0, 0
}

// wheelPace is how fast the tailstock wheel is turned, as a sentence.
func (b *build) wheelPace(feed calc.Lead, rpm calc.Speed) string {
	if b.sleeve == nil {
		return ""
	}
	t := setup.QuillTime(calc.PerTurn(b.sleeve.dial.Travel), feed.Length(), rpm)
	if t <= 0 {
		return ""
	}
	return fmt.Sprintf(" One turn of the wheel in about %.0f s.", max(1, t.Seconds()))
}

// ream brings a drilled hole to size.
func (b *build) ream(c *cavity) {
	d := c.bore
	b.hole, b.op = d, sequence.OpReam
	b.pass, b.of = 0, 0
	t := *b.made.reamer
	rpm := b.speed(cutting.Ream, t.Size, t.Steel)
	b.fitTailstock("ream", t, sequence.ReamerTool, rpm, fmt.Sprintf("It takes the %s the drill has left.", b.show(t.Size-b.made.hole)))
	feed := b.feed(cutting.Ream)
	to, shown := b.sleeveTo(b.throughEnd())
	b.add("ream/cut", sequence.Step{
		Phase: sequence.PhaseCut,
		Moves: append(b.spindle(sequence.Forward, rpm), sequence.Tailstock{
			Kind: sequence.ReamerTool, Diameter: t.Size, From: b.front, To: to, Dial: shown, PerRev: feed,
		}),
		Closing:  sequence.Cue{sequence.WordReamBack},
		Cautions: []sequence.Word{sequence.WordOilSteel, sequence.WordNeverBack},
		Hand:     hand("dial_set", "oil"), Machine: b.cutTime(to, feed),
		Why: "One steady pass with plenty of oil; turned backward its edges break." + b.wheelPace(feed, rpm),
	})
	c.size = t.Size
	b.checkBore(c, "ream/size", boreGauge(d.Diameter.Nominal), "bore_gauge", limitsText(d)+".")
	b.hole = nil
}

// checkDrilled measures a bore that was drilled to size.
func (b *build) checkDrilled(c *cavity) {
	b.checkBore(c, "drill/size", "caliper", "caliper", "As drilled: a drill cuts a little over its size.")
}

// checkBore measures a bore that is at its size.
func (b *build) checkBore(c *cavity, id, with, handling, why string) {
	b.pass, b.of = 0, 0
	d, got := c.bore, b.got(b.prefix()+id)
	with, division := b.inBore(c, d.Diameter.Nominal, with)
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck,
		Measure: &sequence.Measure{
			What: sequence.MeasureBore, Nominal: c.size, Min: d.Diameter.Min, Max: d.Diameter.Max, Final: true, Grows: true,
			Unit: b.job.Unit, Division: division, Got: got,
		},
		Moves: append(b.stop(), sequence.Inspect{What: sequence.MeasureBore, With: with}),
		Hand:  hand(handling), Why: why, Cautions: []sequence.Word{sequence.WordStopBeforeTouch, sequence.WordNoFinger},
	})
	if got != nil {
		c.size = *got
		if c.size < d.Diameter.Min {
			b.refuseAt(d.Pos, "try the tool again with less feed and more oil; if it stays so, take another, or write by = \"bore\" and let a boring bar bring it to size",
				"the bore measures %s after its last tool, under %s", b.show(c.size), b.show(d.Diameter.Min))
		}
	}
}

// aside is a place of the carriage beside the bar, out of the way of the tailstock.
func (b *build) aside() calc.Length {
	return min(10*calc.Millimetre, b.levels[len(b.levels)-1].to, b.job.StickOut-b.job.Face-jawMargin)
}

// limitsText says where the limits of a bore come from.
func limitsText(d *job.Bore) string {
	if d.Diameter.Source != "" {
		return d.Diameter.Class + " (" + d.Diameter.Source + ")"
	}
	return "Limits as written"
}

package planner

import (
	"fmt"
	"slices"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/sequence"
	"turncue/sequence/job"
)

// throughEndOut is how far a pass along the whole of a part on a mandrel runs out behind
// it.
const throughEndOut = calc.Millimetre

// secondJob is the second setting as a job of its own: the part as the first setting left
// it is the bar, worked from its new free end. stock is the diameter there.
func secondJob(j *job.Job, stock calc.Length) *job.Job {
	s := j.Second
	two := *j
	two.Second, two.Bores, two.BarLength, two.Overall = nil, s.Bores, 0, fit.Limits{}
	two.PartOff, two.Sawn, two.Centre = false, false, false
	two.Bar, two.Face = stock, s.Face
	two.Sections = slices.Clone(s.Sections)
	if len(two.Sections) == 0 { // only faced, and its edge broken
		last := j.Sections[len(j.Sections)-1]
		two.Sections = []job.Section{{
			Name: last.Name, Pos: s.Pos, AsBar: true, Chamfer: s.Chamfer,
			Diameter: fit.Limits{Nominal: stock, Min: stock, Max: stock}, Length: last.Length,
		}}
	}
	two.StickOut = j.Total() + job.MandrelRoom + s.Face
	held := calc.Length(0)
	for i := range j.Sections {
		held += j.Sections[i].Length.Mid()
		if s.By == job.OnMandrel || j.Sections[i].Name != s.Held {
			continue
		}
		two.StickOut = j.Total() - held + job.ShoulderGap + s.Face
		if i == len(j.Sections)-1 { // no shoulder in front of the jaws
			two.StickOut = s.Reach() + jawMargin + s.Face
		}
	}
	return &two
}

// turnedTo is the diameter the last section has when the part comes off the bar.
func (b *build) turnedTo() calc.Length { return b.levels[len(b.levels)-1].size }

// checkSecond refuses a second setting that cannot be made, before anything is planned.
func (b *build) checkSecond() {
	if b.drawing.Second == nil {
		return
	}
	t := b.turnRound()
	t.checkAll()
	b.faults = t.faults
	if low, high := b.overAll(); low >= high {
		b.refuseAt(b.drawing.Second.Pos, "make overall and the length of the last section agree",
			"no length over all is inside the limits of section %s and of overall", b.levels[len(b.levels)-1].sec.Name)
	}
}

// turnRound is the build of the second setting: it goes on with the same plan on the
// same lathe.
func (b *build) turnRound() *build {
	t := newBuild(secondJob(b.drawing, b.turnedTo()), b.lathe, b.readings)
	for _, s := range t.plan.Sections {
		if b.plan.What(s.Name) == "" {
			b.plan.Sections = append(b.plan.Sections, s)
		}
	}
	t.plan, t.faults, t.second, t.drawing = b.plan, b.faults, b.drawing.Second, b.drawing
	t.turning, t.rpm, t.isolated, t.fitted, t.x, t.z = b.turning, b.rpm, b.isolated, b.fitted, b.x, b.z
	if n := len(b.cavities); n > 0 {
		c := &b.cavities[n-1]
		low, high := b.overAll()
		t.there = &existing{size: c.size, through: c.bore.Through, floor: calc.Mid(low, high) - min(c.deep, c.bore.Depth.Min)}
	}
	t.levels, t.cavities = nil, nil
	t.sections()
	t.ends()
	t.hollow()
	return t
}

// existing is the deepest bore of the first setting, as a second one finds it.
type existing struct {
	size    calc.Length // its diameter
	through bool        // it comes out at the new end
	floor   calc.Length // else z of its floor, from the new end
}

// holed says that the hole which the bores of the second setting are made from is there.
func (b *build) holed() bool { return b.there != nil && b.there.through }

// overAll is what the length over all may be: what the last section's limits leave of
// it, from where the shoulder in front of it is, and its own.
func (b *build) overAll() (low, high calc.Length) {
	last := &b.levels[len(b.levels)-1]
	length := b.drawing.Sections[len(b.drawing.Sections)-1].Length
	low, high = last.from+length.Min, last.from+length.Max
	if all := b.drawing.Overall; all.Nominal > 0 {
		low, high = max(low, all.Min), min(high, all.Max)
	}
	return low, high
}

// makeSecond works on the part turned round.
func (b *build) makeSecond() {
	if b.drawing.Second == nil || len(b.faults) > 0 {
		return
	}
	low, high := b.overAll()
	t := b.turnRound()
	t.raw = b.z // where the blade has parted it
	var away []sequence.Move
	if !b.job.Sawn { // the blade stands where it has parted it
		away = append(away, b.clearOfBar())
	}
	t.holdSecond(low, high, away)
	t.faceToLength(low, high)
	t.cavities = nil
	t.hollow()
	t.chooseBores()
	t.work(t.units())
	t.deburr()
	b.faults = t.faults
	b.turning, b.isolated = t.turning, t.isolated
	if t.wires != "" {
		b.wires = t.wires
	}
}

// lengthReading is a reading of the length over all.
func (b *build) lengthReading(id string, m *sequence.Measure, low, high calc.Length, why string, moves ...sequence.Move) {
	with, division := b.instrument(asked{b.second.Pos, "the length over all", calc.Mid(low, high), high - low, []string{job.KindCaliper, job.KindMicrometer}}, "caliper", 10*calc.Micrometre)
	m.What, m.Unit, m.Division, m.Got = sequence.MeasureOverAll, b.job.Unit, division, b.got(b.prefix()+id)
	b.add(id, sequence.Step{
		Needs: sequence.NeedReading, Phase: sequence.PhaseCheck, Measure: m,
		Moves: append(append(moves, b.stop()...), sequence.Inspect{What: m.What, With: with}),
		Hand:  hand("caliper"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Why: why,
	})
}

// holdSecond measures the part in the hand, and holds and trues it the other way round.
func (b *build) holdSecond(low, high calc.Length, away []sequence.Move) {
	s := b.second
	b.op = sequence.OpSetUp
	aim := calc.Mid(low, high)
	m := &sequence.Measure{Nominal: b.raw, Min: aim, Max: b.raw + calc.Millimetre}
	b.lengthReading("measure", m, low, high, "In the hand, before it is held again: what is more than the drawing's length is faced off.", append(b.stop(), away...)...)
	if m.Got != nil {
		b.raw = *m.Got
	}
	b.job.StickOut += b.raw - aim - b.job.Face
	b.job.Face = b.raw - aim
	why := "On what is finished: clean jaws, clean part."
	switch s.By {
	case job.InSoftJaws:
		why = "Bored in this chuck to the diameter they hold, gripped on a ring meanwhile."
	case job.OnMandrel:
		why = "Clean bore, clean mandrel; its end stands in the bore at least two millimetres short of the end that is faced."
	}
	b.add("hold", sequence.Step{
		Moves: []sequence.Move{sequence.Hold{How: string(s.By), StickOut: b.job.StickOut, RunOutLimit: s.RunOut, Load: sequence.Round, On: s.Held}},
		Hand:  hand("chuck_load"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Why: fmt.Sprintf("Held by %s. %s", s.Held, why),
	})
	b.add("key", sequence.Step{
		Moves: []sequence.Move{sequence.ChuckKey{}}, Hand: hand("start_stop"),
		Why: "Key on its hook, then confirm, every time the work is held.",
	})
	indicator, division := b.onRunOut()
	b.add("true", sequence.Step{
		Needs: sequence.NeedReading,
		Moves: []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}, sequence.Inspect{What: sequence.MeasureRunOut, With: indicator}},
		Measure: &sequence.Measure{
			What: sequence.MeasureRunOut, Min: 0, Max: s.RunOut, Unit: b.job.Unit, Division: division, Final: true, Got: b.got(b.prefix() + "true"),
		},
		Hand: hand("threejaw_shim"), Why: b.trueWhy(),
	})
	b.turning = sequence.ByHand
	b.add("turn", sequence.Step{
		Moves:   []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}},
		Closing: sequence.Cue{sequence.WordAllClear, sequence.FullStop, sequence.WordGuardsShut},
		Hand:    hand("deburr"), Why: "The jaws are in another place than before: every tool must clear them.",
	})
	b.turning = sequence.Stop
}

// trueWhy is where the indicator stands and what to do about what it shows.
func (b *build) trueWhy() string {
	s := b.second
	on := "On the finished diameter nearest to the jaws, and on the face beside them. "
	switch s.By {
	case job.OnMandrel:
		return "On the mandrel beside the part: the bore runs as the mandrel does. Too much: clean it and its seat, and put it in again."
	case job.InFourJaw:
		return on + "Slacken the jaw at the low side, tighten the one opposite, by half the swing or a little less."
	case job.InSoftJaws:
		return on + "Too much: clean the jaws and the part; if it stays, bore the jaws again."
	}
	return on + "Too much: seat it again, turned a third; then pack at the jaw nearest the high spot by three quarters of the swing."
}

// holderText is what holds a part turned round, in the list of what to lay out.
func (b *build) holderText(m sequence.Hold) string {
	switch m.How {
	case sequence.HowSoftJaws:
		return "soft jaws, bored for " + m.On
	case sequence.HowMandrel:
		return "expanding mandrel for " + m.On
	case sequence.HowFourJaw:
		return "four-jaw chuck, with strips of copper or aluminium"
	}
	return "strips of copper or aluminium for the jaws"
}

// faceToLength faces the new end until the part has its length.
func (b *build) faceToLength(low, high calc.Length) {
	b.op = sequence.OpFace
	t, ok := b.tool(sequence.TurningTool, nil, "turning")
	if !ok {
		return
	}
	half := b.top.dial.Division() / 2
	if high-low < half {
		b.refuseAt(b.second.Pos, "widen the tolerance of the length", "a length over all of %s to %s is finer than the top-slide ring can be set: half a division is %s", b.show(low), b.show(high), b.show(half))
		return
	}
	b.add("face/tool", sequence.Step{
		Opening:  sequence.Cue{sequence.WordFaceToLength},
		Moves:    append(b.stop(), b.mount(t, sequence.TurningTool, "tip")),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch}, Hand: hand("tool_plain"),
		Why: "On centre height: at the middle a tool that is not leaves a pip, or rubs on the edge of the bore.",
	})
	aim := calc.Mid(low, high)
	off := max(b.top.lines(true).Snap(b.raw-aim), half)
	b.z = -off
	b.add("face/touch", sequence.Step{
		Moves:    append(b.spindle(sequence.Forward, b.speed(cutting.Turn, b.job.Bar, t.Steel)), b.top.set(b.z, sequence.OnEnd)),
		Cautions: []sequence.Word{sequence.WordNearJaws}, Hand: hand("start_stop", "touch_off"),
		Why: fmt.Sprintf("The cuts across are counted from here: %s in all.", b.show(off)),
	})
	b.acrossTo(0, off, t, "face")
	for k := 1; ; k++ {
		m := &sequence.Measure{Nominal: aim, Min: low, Max: high, Final: true}
		b.lengthReading(fmt.Sprintf("face/size%d", k), m, low, high,
			"Where the caliper does not reach over the chuck: from the end to a shoulder outside the jaws, and what lies behind that as it was measured in the hand.")
		if m.Got == nil || *m.Got <= high {
			return
		}
		if k == mostReadings {
			b.refuseAt(b.second.Pos, "look for a loose gib or a top slide that is not locked", "a length over all of %s is still not reached after %d readings", b.show(aim), k)
			return
		}
		more := max(b.top.lines(true).Snap(*m.Got-aim), half)
		b.front += more
		b.acrossTo(b.front, more, t, fmt.Sprintf("face/again%d", k))
		b.levels = nil
		b.sections()
		b.ends()
	}
}

// acrossTo faces a depth off the end in cuts, the last at z, and sets the rings there.
func (b *build) acrossTo(z, depth calc.Length, t job.Tool, id string) {
	deep := b.roughDepth(t)
	cuts := int(depth.Ceil(deep) / deep)
	for i := range cuts {
		b.pass, b.of = i+1, cuts
		var moves []sequence.Move
		if i == 0 {
			moves = append(b.spindle(sequence.Forward, b.rpm), b.clearOfBar())
		}
		in := b.top.to(z-depth+depth*calc.Length(i+1)/calc.Length(cuts), true)
		b.z = in.Z
		b.add(fmt.Sprintf("%s/pass%d/set", id, i+1), sequence.Step{
			Phase: sequence.PhaseSet, Moves: append(moves, in), Why: fmt.Sprintf("%s come off the end in all.", b.show(depth)),
		})
		b.add(fmt.Sprintf("%s/pass%d/cut", id, i+1), sequence.Step{
			Phase: sequence.PhaseCut,
			Moves: []sequence.Move{
				sequence.Plunge{From: b.x, To: 0, Z: b.z, PerRev: b.feed(cutting.Face), Handle: b.cross.turn(sequence.In)},
				sequence.Plunge{From: 0, To: b.x, Z: b.z, Handle: b.cross.turn(sequence.Out)},
			},
			Machine: b.cutTime(b.x/2, b.feed(cutting.Face)), Hand: hand("start_stop"), Why: "Feed slower as the middle, or the edge of the bore, comes near.",
		})
	}
	b.pass, b.of = 0, 0
	moves := []sequence.Move{b.top.set(z, sequence.InPlace)}
	b.z = z
	closing := sequence.Cue{}
	if b.carriage != nil {
		moves = append(moves, b.carriage.set(z, sequence.InPlace))
	} else {
		closing = sequence.Cue{sequence.WordMarkCarriage}
	}
	b.add(id+"/zero", sequence.Step{Moves: moves, Closing: closing, Hand: hand("touch_off"), Why: "What is turned from this end is counted from here."})
}

// wholeLength says that the second setting turns the part from end to end.
func (b *build) wholeLength() bool {
	if b.second == nil || b.second.By != job.OnMandrel || len(b.second.Sections) == 0 {
		return false
	}
	var long calc.Length
	for i := range b.job.Sections {
		long += b.job.Sections[i].Length.Nominal
	}
	return long == b.drawing.Total()
}

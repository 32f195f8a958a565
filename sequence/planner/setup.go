package planner

import (
	"fmt"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// runOutLimit is the swing of the indicator accepted on a bar that is turned all
// over (common practice: 0.01 mm is good, 0.1 mm is not).
const runOutLimit = 50 * calc.Micrometre

// pickedUpLimit is that accepted on a thread that is picked up: it is cut where it runs
// (common practice).
const pickedUpLimit = 20 * calc.Micrometre

func (b *build) setUp() {
	b.op = sequence.OpSetUp
	b.add("setup/ready", sequence.Step{
		Opening: sequence.Cue{sequence.WordBeforeStart, sequence.Comma, sequence.WordEyes, sequence.FullStop, sequence.WordKnowStop, sequence.FullStop, sequence.WordLocalRules},
		Moves:   []sequence.Move{sequence.Spindle{Turn: sequence.Stop}},
		Closing: sequence.Cue{sequence.WordLayOut},
		Why:     "Nothing here sees the lathe. Whoever stands at it decides; learners work under a qualified instructor.",
		Hand:    hand("swarf"),
	})
	cautions := []sequence.Word{sequence.WordStopBeforeTouch}
	if b.lathe.Chuck == job.ChuckScrewed {
		cautions = append(cautions, sequence.WordNoReverseCut)
	}
	b.add("setup/hold", sequence.Step{
		Moves:    []sequence.Move{sequence.Hold{How: "three-jaw chuck", StickOut: b.job.StickOut}},
		Why:      b.holdWhy(),
		Hand:     hand("chuck_load"),
		Cautions: cautions,
	})
	b.add("setup/key", sequence.Step{
		Moves: []sequence.Move{sequence.ChuckKey{}},
		Why:   "A key left in the chuck is thrown when the spindle starts. Key on its hook, then confirm.",
		Hand:  hand("start_stop"),
	})
	indicator, division := b.onRunOut()
	limit := runOutLimit
	if b.job.PickUp {
		limit = pickedUpLimit
	}
	b.add("setup/true", sequence.Step{
		Needs: sequence.NeedReading,
		Moves: []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}, sequence.Inspect{What: sequence.MeasureRunOut, With: indicator}},
		Measure: &sequence.Measure{
			What: sequence.MeasureRunOut, Nominal: 0, Min: 0, Max: limit, Unit: b.job.Unit,
			Division: division, Final: true, Got: b.got("setup/true"),
		},
		Why:  "The full swing of the indicator in one turn. Too much: seat the bar again, turned a third; then pack at the jaw nearest the high spot by three quarters of the swing.",
		Hand: hand("threejaw_shim"),
	})
	b.setStop()
	b.add("setup/turn", sequence.Step{
		Moves:   []sequence.Move{sequence.Spindle{Turn: sequence.ByHand}},
		Closing: sequence.Cue{sequence.WordAllClear, sequence.FullStop, sequence.WordGuardsShut},
		Why:     "Jaws, tool, top slide and carriage must clear each other at both ends of the travel.",
		Hand:    hand("deburr"),
	})
}

// holdWhy is what is minded in holding the work.
func (b *build) holdWhy() string {
	if b.job.PickUp {
		return "The finished part by a stretch that ran true with its thread, brass between it and the jaws; the indicator goes on the crests."
	}
	return fmt.Sprintf("Bar %s in the jaws by at least its own diameter; nothing unsupported out of the back of the spindle.", b.show(b.job.Bar))
}

// got is an accepted reading of a step, for its measure.
func (b *build) got(id string) *calc.Length {
	if v, ok := b.readings.Lengths[id]; ok {
		return &v
	}
	return nil
}

// show writes a length in the unit of the job for a person to read.
func (b *build) show(l calc.Length) string {
	return string(sequence.LengthWord(l, b.job.Unit, 3))
}

// face mounts the turning tool and cuts the raw end to z = 0.
func (b *build) face() {
	b.op = sequence.OpFace
	t, ok := b.tool(sequence.TurningTool, nil, "turning")
	if !ok {
		return
	}
	var opening sequence.Cue
	if b.keep { // it stands in the post as the part before has left it
		opening = sequence.Cue{sequence.WordFace}
	} else {
		b.add("face/tool", sequence.Step{
			Opening:  sequence.Cue{sequence.WordFace},
			Moves:    append(b.stop(), b.mount(t, sequence.TurningTool, "tip")),
			Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
			Hand:     hand("tool_plain"),
			Why:      "Above or below centre height it leaves a pip and cuts a wrong size.",
		})
	}
	rpm := b.speed(cutting.Turn, b.job.Bar, t.Steel)
	face := max(b.top.dial.Snap(b.job.Face), b.top.dial.Division())
	raw := -face
	var moves []sequence.Move
	if b.keep {
		moves = append(moves, b.along(b.start()-face), b.crossTo(b.job.Bar/2, false))
	}
	b.z = raw
	b.add("face/touch", sequence.Step{
		Opening: opening, Moves: append(append(moves, b.spindle(sequence.Forward, rpm)...), b.top.set(raw, sequence.OnEnd)),
		Cautions: []sequence.Word{sequence.WordNearJaws},
		Hand:     hand("start_stop", "touch_off"),
		Why:      "The end of the bar is rough; the cuts across it are counted from here.",
	})
	deep := b.faceDepth(t, rpm)
	cuts := int(face.Ceil(deep) / deep)
	for i := range cuts {
		b.pass, b.of = i+1, cuts
		z := raw + face*calc.Length(i+1)/calc.Length(cuts)
		var moves []sequence.Move
		if i == 0 {
			moves = append(moves, b.clearOfBar())
		}
		in := b.top.to(z, true)
		b.z = in.Z
		b.add(fmt.Sprintf("face/pass%d/set", i+1), sequence.Step{
			Phase: sequence.PhaseSet, Moves: append(moves, in),
			Why: fmt.Sprintf("%s come off the end in all.", b.show(face)),
		})
		x := b.x
		past := -2 * b.nose() // until the round of its nose has left the middle
		b.add(fmt.Sprintf("face/pass%d/cut", i+1), sequence.Step{
			Phase: sequence.PhaseCut,
			Moves: []sequence.Move{
				sequence.Plunge{From: x, To: past, Z: b.z, PerRev: b.feed(cutting.Face), Handle: b.cross.turn(sequence.In)},
				sequence.Plunge{From: past, To: x, Z: b.z, Handle: b.cross.turn(sequence.Out)},
			},
			Machine: b.cutTime(x/2, b.feed(cutting.Face)),
			Hand:    hand("start_stop"),
			Why:     "Feed slower as the middle comes near.",
		})
	}
	b.pass, b.of = 0, 0
	moves = []sequence.Move{b.top.set(b.z, sequence.InPlace)}
	b.z = 0
	closing := sequence.Cue{}
	if b.carriage != nil {
		moves = append(moves, b.carriage.set(0, sequence.InPlace))
	} else {
		closing = sequence.Cue{sequence.WordMarkCarriage}
	}
	b.add("face/zero", sequence.Step{
		Moves: moves, Closing: closing, Hand: hand("touch_off"),
		Why: "Every length of the part is counted from this face.",
	})
}

// faceDepth is the depth of a cut across the end.
func (b *build) faceDepth(t job.Tool, rpm calc.Speed) calc.Length {
	deep := b.roughDepth(t)
	f := b.job.Material.Turning(cutting.Cut{Depth: deep, Feed: b.feed(cutting.Face).Length()})
	share, _ := b.asks(f.Torque(b.job.Bar), rpm)
	m := b.stands(len(b.levels), b.job.Bar)
	m.Centre = false // it is not there yet
	bend, _ := b.gives(cutting.Radial*f, m, 0, 0)
	if share = max(share, float64(bend)/float64(cutting.Give)/loadShare); share <= 1 {
		return deep
	}
	return max(b.top.dial.SnapIn(calc.Length(float64(deep)/share)*calc.Nanometre), b.top.dial.Division())
}

// centre drills the end and brings the tailstock centre up.
func (b *build) centre() {
	if !b.job.Centre {
		return
	}
	b.op = sequence.OpCentre
	t, ok := b.tool(sequence.CentreDrillTool, nil, "support = \"centre\"")
	if !ok {
		return
	}
	rpm := b.speed(cutting.Drill, t.Size, t.Steel)
	b.add("centre/clear", sequence.Step{
		Moves: append(b.stop(), b.along(min(10*calc.Millimetre, b.job.StickOut-b.job.Face-jawMargin))), Hand: hand("dial_set"),
		Why: "The tool beside the bar, out of the way of the tailstock.",
	})
	b.add("centre/tool", sequence.Step{
		Moves: b.stop(), Opening: sequence.Cue{sequence.WordFitCentre}, Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Hand: hand("tailstock_tool"), Why: "The tailstock clamped, its sleeve out as little as possible.",
	})
	deep := 2 * t.Size
	b.add("centre/drill", sequence.Step{
		Moves: append(b.spindle(sequence.Forward, rpm), sequence.Tailstock{
			Kind: sequence.CentreDrillTool, Diameter: t.Size, From: -calc.Millimetre, To: deep,
		}),
		Cautions: []sequence.Word{sequence.WordOilSteel},
		Hand:     hand("centre_drill"), Why: "Light feed and oil until the cone holds the centre well; never let it dwell.",
	})
	b.add("centre/support", sequence.Step{
		Moves:    append(b.stop(), sequence.Hold{How: "three-jaw chuck", StickOut: b.job.StickOut, Support: "centre"}),
		Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Hand:     hand("tailstock_tool"), Why: b.centreWhy(),
	})
}

// layOut lists what to have at hand, for the whole and for each holding of the work.
func (b *build) layOut() {
	first := []string{b.barText()}
	if b.parts() > 0 {
		first = append(first, "a stop for the end of the bar")
	}
	b.plan.LayOut = b.needed(first, func(*sequence.Step) bool { return true })
	if !b.drawing.TurnedRound() {
		return
	}
	for n, how := range []string{sequence.HowThreeJaw, string(b.drawing.Second.By)} {
		in := func(s *sequence.Step) bool { return (s.Setting == 2) == (n == 1) }
		if n == 1 {
			first = nil
		}
		t := sequence.Setting{How: how, LayOut: b.needed(first, in)}
		for i := range b.plan.Steps {
			if s := &b.plan.Steps[i]; in(s) {
				t.Steps++
				t.Hand += s.Hand
				t.Machine += s.Machine
			}
		}
		b.plan.Settings = append(b.plan.Settings, t)
	}
}

// needed is what some of the steps need, after what is given.
func (b *build) needed(first []string, in func(*sequence.Step) bool) (list []string) {
	seen := map[string]bool{}
	add := func(s string) {
		if !seen[s] {
			seen[s] = true
			list = append(list, s)
		}
	}
	for _, s := range first {
		add(s)
	}
	for i := range b.plan.Steps {
		if in(&b.plan.Steps[i]) {
			b.needs(&b.plan.Steps[i], add)
		}
	}
	return list
}

// needs adds what a step needs.
func (b *build) needs(s *sequence.Step, add func(string)) {
	for _, m := range s.Moves {
		switch m := m.(type) {
		case sequence.Hold:
			if m.Load == sequence.Round {
				add(b.holderText(m))
			}
		case sequence.Mount:
			if m.Kind == sequence.NoTool {
				continue
			}
			if m.Kind == sequence.ThreadingTool || m.Kind == sequence.InsideThreadingTool {
				angle := m.Angle
				if angle == 0 {
					angle = 60 * calc.Degree
				}
				add(fmt.Sprintf("thread gauge, %g degrees", angle.Degrees()))
			}
			switch {
			case m.Kind == sequence.KnurlingTool:
				add(b.knurlerText(m))
			case m.Kind == sequence.TapTool:
				add("tap " + m.Tip + " with its wrench, and a tailstock centre")
			case m.Kind == sequence.InsideGroovingTool:
				add(fmt.Sprintf("%s tool, %s wide, on a bar of %s", m.Kind, b.show(m.Width), b.show(m.Diameter)))
			case m.Kind == sequence.InsideThreadingTool:
				add(fmt.Sprintf("%s tool, tip %s, on a bar of %s", m.Kind, m.Tip, b.show(m.Diameter)))
			case m.Diameter > 0:
				add(fmt.Sprintf("%s %s", m.Kind, b.show(m.Diameter)))
			case m.Width > 0:
				add(fmt.Sprintf("%s tool, %s wide", m.Kind, b.show(m.Width)))
			case m.Radius > 0 && m.Kind == sequence.RoundingTool:
				add(fmt.Sprintf("%s tool, radius %s", m.Kind, b.show(m.Radius)))
			case m.Radius > 0:
				add(fmt.Sprintf("%s tool, nose radius %s", m.Kind, b.show(m.Radius)))
			case m.Tip != "":
				add(fmt.Sprintf("%s tool, tip %s", m.Kind, m.Tip))
			default:
				add(fmt.Sprintf("%s tool", m.Kind))
			}
		case sequence.Tailstock:
			switch {
			case b.job.Centre:
				add(fmt.Sprintf("%s %s and %s", m.Kind, b.show(m.Diameter), b.centreText()))
			case m.Kind == sequence.CentreDrillTool:
				add(fmt.Sprintf("%s %s", m.Kind, b.show(m.Diameter)))
			}
		case sequence.Gears:
			add(fmt.Sprintf("gears %s", trainText(m)))
		case sequence.Inspect:
			add(m.With)
		case sequence.Gauge:
			add(m.With)
			if b.wires != "" {
				add(b.wires)
			}
		}
	}
}

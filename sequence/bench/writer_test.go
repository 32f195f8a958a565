package bench

import (
	"fmt"
	"testing"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/calc/gear"
	"turncue/calc/setup"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

// smallLathe is a bench lathe of our own: 1.5 mm leadscrew, 1 mm a turn on the
// cross slide marked on radius, a tenth of slack.
func smallLathe() *job.Lathe {
	return &job.Lathe{
		Name:             "bench lathe",
		Leadscrew:        calc.PerTurn(1500 * um),
		Wheels:           gear.Wheels{20, 30, 35, 40, 45, 50, 55, 60, 60, 65, 70, 80},
		Cross:            setup.Dial{Travel: mm, Divisions: 50, Slack: 100 * um},
		Top:              setup.Dial{Travel: mm, Divisions: 100, Slack: 80 * um},
		CrossClockwiseIn: true,
		TopClockwiseIn:   true,
		Reverse:          job.ReverseMotor,
		Tumbler:          true,
		Chuck:            job.ChuckScrewed,
		PowerFeeds:       []calc.Lead{calc.PerTurn(100 * um)},
		Speeds:           cutting.Fixed(60*calc.RPM, 200*calc.RPM, 400*calc.RPM, 650*calc.RPM, 800*calc.RPM),
		Power:            500,
		ChuckLimit:       700 * calc.RPM,
		Delay:            600 * time.Millisecond,
		Coast:            cutting.Coast{Turns: 0.5, At: 100 * calc.RPM},
		Tools: []job.Tool{
			{Kind: "threading", Tip: "radius 0.14 mm", Width: 1200 * um},
		},
	}
}

// spigot is a plain part: 16 h9 by 20 with a chamfer, 20 by 10, off a 22 bar.
func spigot() *job.Job {
	return &job.Job{
		Part: "spigot", Material: brass(), Unit: mm, Bar: 22 * mm, StickOut: 60 * mm, Face: 500 * um, PartOff: true,
		Sections: []job.Section{
			{Name: "nose", Diameter: fit.Limits{Nominal: 16 * mm, Min: 15957 * um, Max: 16 * mm}, Length: plusMinus(20*mm, 200*um), Chamfer: mm},
			{Name: "collar", Diameter: plusMinus(20*mm, 200*um), Length: plusMinus(10*mm, 200*um)},
		},
	}
}

func brass() cutting.Material {
	m, err := cutting.FindMaterial("brass")
	if err != nil {
		panic(err)
	}
	return m
}

func plusMinus(l, t calc.Length) fit.Limits { return fit.Limits{Nominal: l, Min: l - t, Max: l + t} }

// stud is a thread to a shoulder: M10x1 by 20 with an undercut, then 16 by 10.
func stud() *job.Job {
	t, err := thread.Parse("M10x1-6g")
	if err != nil {
		panic(err)
	}
	return &job.Job{
		Part: "stud", Material: brass(), Unit: mm, Bar: 16 * mm, StickOut: 50 * mm, Face: 500 * um, Tip: "radius 0.14 mm",
		Sections: []job.Section{
			// M10x1-6g: major 9.794 to 9.974 (ISO 965-2).
			{Name: "stem", Thread: &t, Diameter: fit.Limits{Nominal: 9884 * um, Min: 9794 * um, Max: 9974 * um},
				Length: plusMinus(20*mm, 200*um), Chamfer: mm,
				Undercut: &job.Undercut{Form: "own", Width: fit.Limits{Nominal: 3 * mm, Min: 2900 * um, Max: 3100 * um},
					Diameter: fit.Limits{Nominal: 8400 * um, Min: 8300 * um, Max: 8400 * um}}},
			{Name: "head", AsBar: true, Diameter: plusMinus(16*mm, 0), Length: plusMinus(10*mm, 200*um)},
		},
	}
}

// writer writes a plan by hand and keeps only what a person at the lathe would:
// where the rings were zeroed.
type writer struct {
	l       *job.Lathe
	plan    *sequence.Plan
	section string
	x0, z0  calc.Length // where the rings read zero
	x       calc.Length
	way     sequence.Way
	wayTop  sequence.Way
}

func (w *writer) step(id string, op sequence.Op, moves ...sequence.Move) *sequence.Step {
	w.plan.Steps = append(w.plan.Steps, sequence.Step{
		N: len(w.plan.Steps) + 1, ID: id, Section: w.section, Op: op, Moves: moves, Hand: time.Second, Cautions: everyCaution,
	})
	return &w.plan.Steps[len(w.plan.Steps)-1]
}

func (w *writer) lash(way *sequence.Way, now sequence.Way, d setup.Dial) calc.Ratio {
	was := *way
	*way = now
	if was == now || was == "" {
		return calc.Ratio{}
	}
	r, err := calc.NewRatio(int64(d.Slack), int64(d.Travel))
	if err != nil {
		panic(err)
	}
	return r
}

func dialAt(d setup.Dial, offset calc.Length) *sequence.Dial {
	s := d.Setting(offset)
	return &sequence.Dial{Turns: s.Turns, Reading: s.Reading, Division: d.MarkedDivision(), Unit: mm, OnDiameter: d.OnDiameter}
}

// touchX zeroes the cross slide on a diameter.
func (w *writer) touchX(x, z calc.Length, on sequence.Touch) sequence.Move {
	w.x0, w.x, w.way = x, x, sequence.In
	return sequence.Zero{Slide: sequence.Cross, X: x, Z: z, On: on}
}

func (w *writer) touchZ(z calc.Length, on sequence.Touch) sequence.Move {
	w.z0, w.wayTop = z, sequence.In
	return sequence.Zero{Slide: sequence.Top, Z: z, On: on}
}

// to brings the cross slide to a diameter, by the ring.
func (w *writer) to(x calc.Length) sequence.Move {
	way, handle := sequence.In, sequence.Clockwise
	if x > w.x {
		way, handle = sequence.Out, sequence.Anticlockwise
	}
	w.x = x
	return sequence.Shift{Slide: sequence.Cross, X: x, Dial: dialAt(w.l.Cross, (w.x0-x)/2-w.loose(way)), Approach: way, Handle: handle, Lash: w.lash(&w.way, way, w.l.Cross)}
}

// loose is how far the ring of the cross slide has gone ahead of the tool.
func (w *writer) loose(way sequence.Way) calc.Length {
	if way == sequence.Out {
		return w.l.Cross.Slack
	}
	return 0
}

// turnsOut winds the cross slide out whole turns of the handle: the tool stays
// behind by the slack.
func (w *writer) turnsOut(n int) sequence.Move {
	w.x += 2 * calc.Length(n) * w.l.Cross.Travel
	if w.way != sequence.Out {
		w.x -= 2 * w.l.Cross.Slack
	}
	return sequence.Shift{Slide: sequence.Cross, X: w.x, WholeTurns: n, Approach: sequence.Out, Handle: sequence.Anticlockwise,
		Dial: dialAt(w.l.Cross, (w.x0-w.x)/2-w.loose(sequence.Out)), Lash: w.lash(&w.way, sequence.Out, w.l.Cross)}
}

func (w *writer) clear(x calc.Length) sequence.Move {
	w.x, w.way = x, sequence.Out
	return sequence.Shift{Slide: sequence.Cross, X: x, Approach: sequence.Out}
}

// topTo brings the top slide in to z.
func (w *writer) topTo(z calc.Length) sequence.Move {
	return sequence.Shift{Slide: sequence.Top, Z: z, Dial: dialAt(w.l.Top, z-w.z0), Approach: sequence.In, Lash: w.lash(&w.wayTop, sequence.In, w.l.Top)}
}

func (w *writer) plunge(to, z calc.Length) sequence.Move {
	from := w.x
	w.x, w.way = to, sequence.In
	return sequence.Plunge{From: from, To: to, Z: z, Dial: dialAt(w.l.Cross, (w.x0-to)/2), PerRev: calc.PerTurn(50 * um)}
}

func (w *writer) plungeOut(to, z calc.Length) sequence.Move {
	from := w.x
	w.x, w.way = to, sequence.Out
	return sequence.Plunge{From: from, To: to, Z: z}
}

var (
	fwd  = sequence.Spindle{Turn: sequence.Forward, RPM: 400 * calc.RPM}
	rev  = sequence.Spindle{Turn: sequence.Reverse, RPM: 60 * calc.RPM}
	stop = sequence.Spindle{Turn: sequence.Stop}
)

func slow() sequence.Move { return sequence.Spindle{Turn: sequence.Forward, RPM: 60 * calc.RPM} }

func hand(from, to calc.Length) sequence.Move {
	return sequence.Carriage{From: from, To: to, By: sequence.ByHandwheel}
}

func feed(from, to calc.Length) sequence.Move {
	return sequence.Carriage{From: from, To: to, By: sequence.ByPowerFeed, PerRev: calc.PerTurn(100 * um), Cutting: true}
}

func mounted(kind sequence.ToolKind, width calc.Length, tip, edge string) sequence.Move {
	return sequence.Mount{Kind: kind, Width: width, Tip: tip, Hand: "right", Edge: edge}
}

func measured(s *sequence.Step, what string, nominal, lo, hi calc.Length, final bool) *sequence.Step {
	s.Needs = sequence.NeedReading
	s.Moves = append(s.Moves, sequence.Inspect{What: what})
	s.Measure = &sequence.Measure{What: what, Nominal: nominal, Min: lo, Max: hi, Unit: mm, Final: final}
	return s
}

// begin holds the bar, and faces its end with the turning tool zeroed on it.
func begin(l *job.Lathe, j *job.Job) *writer {
	w := &writer{l: l, plan: &sequence.Plan{Part: j.Part, Unit: mm}}
	w.step("hold", sequence.OpSetUp, stop,
		sequence.Hold{How: "three-jaw chuck", StickOut: j.StickOut, RunOutLimit: 50 * um}, sequence.ChuckKey{In: false})
	w.step("tool", sequence.OpSetUp, mounted(sequence.TurningTool, 0, "", "tip"))
	w.step("face/start", sequence.OpFace, fwd)
	w.step("face/touch", sequence.OpFace, w.touchZ(-j.Face, sequence.OnEnd))
	w.step("face/out", sequence.OpFace, w.clear(j.Bar+6*mm))
	w.step("face/in", sequence.OpFace, w.topTo(0))
	from := w.x
	w.step("face/cut", sequence.OpFace, sequence.Plunge{From: from, To: -200 * um, PerRev: calc.PerTurn(50 * um)})
	w.step("face/back", sequence.OpFace, sequence.Plunge{From: -200 * um, To: from}, hand(0, 5*mm))
	w.step("turn/touch", sequence.OpRough, w.touchX(j.Bar, 0, sequence.OnDiameter), hand(5*mm, -2*mm))
	return w
}

// turn takes one cut along and comes back clear.
func (w *writer) turn(id string, op sequence.Op, x, to calc.Length) {
	w.step(id+"/set", op, w.to(x))
	w.step(id+"/cut", op, feed(-2*mm, to))
	w.step(id+"/back", op, w.turnsOut(2), hand(to, -2*mm))
}

// size brings a section from x to size in two cuts of 0.2 mm on radius with a
// reading between and one after.
func (w *writer) size(id string, x, to calc.Length, lo, hi calc.Length) {
	cut := 400 * um
	w.turn(id+"/finish1", sequence.OpFinish, x+cut, to)
	measured(w.step(id+"/finish1/check", sequence.OpFinish, stop), sequence.MeasureDiameter, x+cut, x, x+2*cut, false)
	w.step(id+"/finish2/start", sequence.OpFinish, fwd)
	w.turn(id+"/finish2", sequence.OpFinish, x, to)
	measured(w.step(id+"/finish2/check", sequence.OpFinish, stop), sequence.MeasureDiameter, calc.Mid(lo, hi), lo, hi, true)
	w.step(id+"/start", sequence.OpFinish, fwd)
}

// cuts are the sizes the work on the spigot is cut to.
type cuts struct{ collar, nose, shoulder, chamfer, part calc.Length }

func rightCuts() cuts { return cuts{20 * mm, 15960 * um, 20 * mm, mm, 30 * mm} }

// spigotPlan is the whole work on the spigot.
func spigotPlan(l *job.Lathe) *sequence.Plan { return spigotCut(l, rightCuts()) }

func spigotCut(l *job.Lathe, c cuts) *sequence.Plan {
	j := spigot()
	w := begin(l, j)
	w.section = "collar"
	w.turn("collar/rough1", sequence.OpRough, c.collar+800*um, 33*mm)
	w.size("collar", c.collar, 33*mm, 19800*um, 20200*um)
	w.section = "nose"
	w.turn("nose/rough1", sequence.OpRough, 18400*um, 19700*um)
	w.turn("nose/rough2", sequence.OpRough, c.nose+800*um, 19700*um)
	w.size("nose", c.nose, 19700*um, 15957*um, 16*mm)
	// The shoulder: the top slide takes the last three tenths.
	w.step("nose/shoulder/stand", sequence.OpShoulder, w.to(25960*um), hand(-2*mm, 19700*um))
	w.step("nose/shoulder/zero", sequence.OpShoulder, w.touchZ(19700*um, sequence.InPlace))
	w.step("nose/shoulder/set", sequence.OpShoulder, w.topTo(c.shoulder))
	w.step("nose/shoulder/cut", sequence.OpShoulder, w.plunge(c.nose, c.shoulder))
	w.step("nose/shoulder/out", sequence.OpShoulder, w.plungeOut(25960*um, c.shoulder))
	measured(w.step("nose/shoulder/check", sequence.OpShoulder, stop), sequence.MeasureLength, 20*mm, 19800*um, 20200*um, true)
	// The chamfer, from the corner inwards.
	w.step("nose/chamfer/tool", sequence.OpChamfer, mounted(sequence.ChamferTool, 0, "", "edge at the corner"), fwd)
	w.step("nose/chamfer/touch", sequence.OpChamfer, w.touchX(c.nose, 0, sequence.OnCorner))
	w.step("nose/chamfer/cut", sequence.OpChamfer, w.plunge(c.nose-2*c.chamfer, 0))
	w.step("nose/chamfer/out", sequence.OpChamfer, w.plungeOut(26*mm, 0), hand(0, -5*mm), stop)
	// Parting off.
	w.section = "collar"
	w.step("part/tool", sequence.OpPartOff, mounted(sequence.PartingTool, 2*mm, "", "tailstock side"), fwd)
	w.step("part/touch", sequence.OpPartOff, hand(0, 28*mm), w.touchX(c.collar, 28*mm, sequence.OnDiameter))
	w.step("part/stand", sequence.OpPartOff, w.to(24*mm), hand(28*mm, c.part))
	w.step("part/cut", sequence.OpPartOff, w.plunge(-200*um, c.part))
	w.step("part/out", sequence.OpPartOff, w.plungeOut(26*mm, c.part), stop)
	return w.plan
}

// studPlan is the whole work on the stud: turned, undercut, chamfered, geared and
// threaded in the passes given, depths on radius.
func studPlan(l *job.Lathe, depths ...calc.Length) *sequence.Plan {
	j := stud()
	w := begin(l, j)
	w.section = "stem"
	for i, x := range []calc.Length{14 * mm, 12 * mm, 10680 * um} {
		w.turn(fmt.Sprintf("stem/rough%d", i+1), sequence.OpRough, x, 20*mm)
	}
	w.size("stem", 9880*um, 20*mm, 9794*um, 9974*um)
	// The undercut: a groover of 2 mm, twice, against the shoulder.
	w.step("stem/undercut/tool", sequence.OpUndercut, stop, mounted(sequence.GroovingTool, 2*mm, "", "chuck side"), fwd)
	w.step("stem/undercut/touch", sequence.OpUndercut, hand(-5*mm, 10*mm), w.touchX(9880*um, 10*mm, sequence.OnDiameter))
	w.step("stem/undercut/stand", sequence.OpUndercut, w.to(19880*um), hand(10*mm, 19*mm))
	w.step("stem/undercut/cut1", sequence.OpUndercut, w.plunge(8360*um, 19*mm))
	w.step("stem/undercut/out1", sequence.OpUndercut, w.plungeOut(19880*um, 19*mm), hand(19*mm, 20*mm))
	w.step("stem/undercut/cut2", sequence.OpUndercut, w.plunge(8360*um, 20*mm))
	w.step("stem/undercut/out2", sequence.OpUndercut, w.plungeOut(19880*um, 20*mm), hand(20*mm, -5*mm), stop)
	w.step("stem/chamfer/tool", sequence.OpChamfer, mounted(sequence.ChamferTool, 0, "", "edge at the corner"), fwd)
	w.step("stem/chamfer/touch", sequence.OpChamfer, w.touchX(9880*um, 0, sequence.OnCorner))
	w.step("stem/chamfer/cut", sequence.OpChamfer, w.plunge(7880*um, 0))
	w.step("stem/chamfer/out", sequence.OpChamfer, w.plungeOut(19880*um, 0), hand(0, -5*mm), stop)
	// 60 and 30 driving 45 and 60 from a 1.5 mm screw cut 1 mm.
	w.step("stem/gears/isolate", sequence.OpGears, sequence.Supply{Isolated: true})
	w.step("stem/gears/open", sequence.OpGears, sequence.Guard{Open: true})
	w.step("stem/gears/fit", sequence.OpGears, sequence.Gears{Drivers: []int{60, 30}, Driven: []int{45, 60}, Lead: calc.PerTurn(mm)})
	w.step("stem/gears/shut", sequence.OpGears, sequence.Guard{Open: false})
	w.step("stem/gears/power", sequence.OpGears, sequence.Supply{Isolated: false})
	w.step("stem/thread/tool", sequence.OpThread, mounted(sequence.ThreadingTool, 0, j.Tip, "tip"), slow())
	w.step("stem/thread/touch", sequence.OpThread, hand(-5*mm, 10*mm), w.touchX(9880*um, 10*mm, sequence.OnDiameter))
	w.step("stem/thread/stand", sequence.OpThread, w.turnsOut(1), hand(10*mm, -5*mm), stop)
	w.step("stem/thread/shut", sequence.OpThread, sequence.HalfNut{Closed: true})
	for i, d := range depths {
		id := fmt.Sprintf("stem/thread/pass%d", i+1)
		w.step(id+"/set", sequence.OpThread, w.to(9880*um-2*d))
		cut := w.step(id+"/cut", sequence.OpThread, slow(), sequence.Carriage{From: -5 * mm, To: 18500 * um, By: sequence.ByHalfNut, PerRev: calc.PerTurn(mm), Cutting: true}, stop)
		cut.RunsInto = "groove"
		w.step(id+"/clear", sequence.OpThread, w.turnsOut(1))
		w.step(id+"/return", sequence.OpThread, rev, sequence.Carriage{From: 18500 * um, To: -5 * mm, By: sequence.ByHalfNut, PerRev: calc.PerTurn(mm)}, stop)
	}
	w.step("stem/thread/gauge", sequence.OpThread, sequence.Gauge{What: "thread", With: "ring gauge"})
	w.step("stem/thread/open", sequence.OpThread, sequence.HalfNut{Closed: false})
	return w.plan
}

// depths of the stud's passes, on radius: the last is inside the window of
// M10x1-6g for a tip of H/6 from 9.88 mm.
var studDepths = []calc.Length{40 * um, 160 * um, 280 * um, 380 * um, 460 * um, 520 * um, 560 * um, 600 * um, 600 * um}

func mustPass(t *testing.T, r Result) {
	t.Helper()
	if err := r.Err(); err != nil {
		t.Errorf("rules broken:\n%v", err)
	}
	for _, s := range r.Sizes {
		if !s.OK {
			t.Errorf("%s %s is %s, wanted %s to %s", s.Section, s.What, s.Got, s.Min, s.Max)
		}
	}
}

// everyCaution is all that a step may have to say: what is tried with plans written by hand
// is what they do.
var everyCaution = []sequence.Word{
	sequence.WordEyes, sequence.WordKnowStop, sequence.WordLocalRules, sequence.WordStopBeforeTouch, sequence.WordGuardsShut, sequence.WordNoReverseCut,
	sequence.WordSlowReverse, sequence.WordNoFinger, sequence.WordSwarf, sequence.WordCatchPart, sequence.WordToolClearFirst, sequence.WordStandStill,
	sequence.WordPlugOut, sequence.WordCrankOut,
}

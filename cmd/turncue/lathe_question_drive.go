package main

import (
	"fmt"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/setup"
)

// gearQuestions asks for the leadscrew and what drives it.
func gearQuestions(a latheAnswers) []question {
	part := "leadscrew and change wheels"
	list := []question{{
		key: "leadscrew", part: part, take: takeLead, odd: oddLead,
		ask: fmt.Sprintf("What is the pitch of the leadscrew? Lay a rule along ten threads and write both, such as: 10 threads %s. Or write the pitch, where you know it (3 mm, 8 tpi).", a.pick("30.0 mm", "1.25 in")),
		more: "Plug out, or the spindle switched off. Put the zero of the rule on the crest of a thread, count ten further crests, and read the rule at the tenth; twenty are better still. " +
			"It is the long screw the half-nuts close on, not the feed shaft beside it.",
	}}
	if n, over, ok, err := counted(a["leadscrew"]); ok && err == nil {
		q := leadQuestion(a, part, n, over)
		if one, err := setup.OneTurn(n, over); err != nil || q.blank != one.String() || several(n, over) { // else nothing is left to ask
			list = append(list, q)
		}
	}
	list = append(list, question{
		key: "wheels", part: part, take: takeWheels, ask: "Which change wheels are there? Write the teeth of every one, those on the lathe too; two of a size twice (20 20 30 40 60).",
		caution: "The gear cover is opened only with the plug out, or the switch locked.",
		more:    "The number of teeth is often stamped on the wheel. Where it is not, mark one tooth with chalk and count around.",
	}, question{
		key: "module", part: part, blank: "1 mm", take: takeModule,
		ask: "How large are the teeth? Measure one wheel over its tips and write both, such as: 40 teeth 42.0 mm. Or write the module, where you know it.",
		more: "The module is the diameter over the tips divided by the teeth and two more: 42 mm over 40 teeth is module 1. It says which wheels reach each other. Most small lathes have module 1. " +
			"An even number of teeth is measured straight across.",
	})
	if n, over, ok, err := counted(a["module"]); ok && err == nil {
		list = append(list, moduleQuestion(part, n, over))
	}
	list = append(list, question{
		key: "fixed", part: part, blank: "1", take: takeRatio, caution: "Plug out, or the switch locked, before the gear cover is opened.",
		ask:  "Turn the spindle once by hand: how often does the shaft of the first change wheel turn (1, 1/2, 2)?",
		more: "Mark the chuck and the first wheel with chalk, turn the chuck by hand exactly once, and look how far the wheel went. On most lathes it is once.",
	}, question{
		key: "gearbox", part: part, blank: "no", take: takeYes, ask: "Is there a gearbox with levers or knobs between the change wheels and the leadscrew?",
		more: "Change wheels alone: no. A box with levers, whose positions stand on a plate: yes.",
	})
	if a.yes("gearbox") {
		list = append(list, question{
			key: "gearbox.levers", part: part, take: takeLevers, ask: "What does each position do? Write each with the turns of the leadscrew for one turn going in, such as: A=1 B=1/2 C=2.",
			more: "With the plug out, mark the wheel that goes into the box and the leadscrew, turn the wheel by hand a whole number of times, and count the turns of the leadscrew: 5 in 10 is 1/2.",
		})
	}
	list = append(list, question{
		key: "tumbler", part: part, blank: "yes", take: takeYes, ask: "Can the leadscrew be made to turn the other way, by a lever (tumbler) at the headstock?",
		more: "With it a thread is right-hand or left-hand whatever the number of wheels between. Without it an idler more or less does that.",
	}, question{
		key: "thread_dial", part: part, blank: "no", take: takeYes, ask: "Is there a threading dial, a small dial at the apron that turns while the half-nuts are open?",
		more: "Its wheel runs in the leadscrew. It shows when the half-nuts may be shut again.",
	})
	if a.yes("thread_dial") {
		list = append(list,
			question{key: "thread_dial.wheel", part: part, take: takeWhole("teeth of its wheel"), odd: countBetween("teeth", 10, 60), ask: "How many teeth has the wheel of the threading dial that runs in the leadscrew?", more: "It sits at the lower end of the dial's shaft. Count them around from a chalk mark."},
			question{key: "thread_dial.lines", part: part, take: takeWhole("lines on its face"), odd: countBetween("lines", 1, 16), ask: "How many lines are on the face of the dial?", more: "All of them, whether they are numbered or not."})
	}
	return list
}

func takeRatio(s string) (string, error) {
	r, err := calc.ParseRatio(s)
	if err != nil || r.Sign() <= 0 {
		return "", fmt.Errorf("%q is no ratio above zero: write such as 1, 1/2 or 2", s)
	}
	return r.String(), nil
}

func oddLead(s string) string {
	l, err := calc.ParseLead(s)
	if n, over, ok, err2 := counted(s); ok && err2 == nil {
		one, err := setup.OneTurn(n, over)
		if err != nil {
			return ""
		}
		l = calc.PerTurn(one)
	} else if err != nil {
		return ""
	}
	if v := l.Length(); v < calc.Millimetre || v > 13*calc.Millimetre {
		return fmt.Sprintf("a leadscrew of %s is unusual: from 1 mm to 12 mm, or 20 to 2 tpi; is the unit right?", l)
	}
	return ""
}

// several says that a length over threads may stand for more than one leadscrew.
func several(n calc.Ratio, over calc.Length) bool {
	_, other, ok := setup.Leadscrew(n, over)
	return !ok || !other.IsZero()
}

// leadQuestion asks what a measured length over threads stands for.
func leadQuestion(a latheAnswers, part string, n calc.Ratio, over calc.Length) question {
	q := question{key: "leadscrew.lead", part: part, confirms: true, take: takeLead,
		more: "A leadscrew is cut to a round figure: 1.5, 2, 3, 4 or 6 mm on metric lathes, 16, 10, 8, 6 or 4 threads per inch on others. The dials of the lathe usually tell which."}
	best, other, ok := setup.Leadscrew(n, over)
	one, err := setup.OneTurn(n, over)
	switch {
	case err != nil || !ok:
		q.blank = one.Round(calc.Micrometre).String()
		q.ask = fmt.Sprintf("That is %s a thread, and no usual leadscrew is near: go back and measure over more threads, or take it as it was measured?", a.show(one))
	case !other.IsZero():
		q.confirms = false
		q.ask = fmt.Sprintf("That may be %s, or %s: a rule does not tell them apart. Which is it? Is this an inch lathe or a metric one?", leadName(best), leadName(other))
		q.blank = leadName(best)
	default:
		q.blank = leadName(best)
		q.ask = fmt.Sprintf("That is %s a thread. Leadscrews are made with %s. Is it that?", a.show(one), q.blank)
	}
	return q
}

// leadName is a leadscrew as its maker calls it.
func leadName(l calc.Lead) string {
	if t, err := l.PerInch(); err == nil && t.Den() == 1 && l.Length()%(250*calc.Micrometre) != 0 {
		return t.String() + " tpi"
	}
	return l.String()
}

// moduleQuestion asks what a wheel measured over its tips stands for.
func moduleQuestion(part string, n calc.Ratio, over calc.Length) question {
	m, usual, err := setup.Module(int(n.Num()/n.Den()), over)
	q := question{key: "module.size", part: part, blank: m.String(), confirms: true, take: takeLength, more: "Wheels of one lathe have one module. Measure a second wheel where in doubt."}
	if usual && err == nil {
		q.ask = fmt.Sprintf("That is module %s. Is it that?", m.Trimmed(calc.Millimetre, 3))
	} else {
		q.ask = fmt.Sprintf("That is module %s, which is none that is usual: go back and measure again, or take it?", m.Trimmed(calc.Millimetre, 3))
	}
	return q
}

// spindleQuestions asks how the spindle turns, stops and holds the chuck.
func spindleQuestions(a latheAnswers) []question {
	part := "spindle"
	list := []question{
		{key: "speeds", part: part, take: takeSpeeds, ask: "Which speeds has the spindle, in turns a minute? Write all (70 115 200 320), or the slowest and the fastest of a knob (50-2000).",
			more: "They stand on a plate at the headstock or inside the belt cover. Count the slow ones of a back gear too: threads are cut at those."},
		{key: "motor", part: part, take: takePower, ask: "What power has the motor (750 W, 1.1 kW, 1 hp)?", more: "It stands on the motor's plate."},
	}
	if strings.Contains(a["speeds"], "-") {
		list = append(list, question{key: "base_speed", part: part, open: "not known", take: takeSpeed, ask: "Below which speed of the knob does the motor get weaker?",
			more: "A motor run by a knob gives its whole power only near its top speed. Where the maker prints a base speed, write it; else leave it."})
	}
	list = append(list,
		question{key: "reverse", part: part, take: takeOne("motor", "none"), ask: "Can the motor turn the spindle backwards (motor), or not at all (none)?",
			more: "Look at the switch: forward, off and reverse is motor. Where it has none, threads come back by a threading dial or by a crank in the spindle.",
			note: func(s string) string {
				if s == "none" {
					return "A thread then comes back by the threading dial where one of its lines serves, else by a hand crank in the spindle, the plug out."
				}
				return ""
			}},
		question{key: "chuck", part: part, take: takeOne("screwed|screw|thread", "bolted|flange", "camlock|cams|cam-lock"), ask: "How is the chuck held on the spindle: screwed on, bolted to a flange, or by cams (screwed, bolted, camlock)?",
			more: "Look behind the chuck. A chuck that is screwed on comes off by unscrewing it; studs with nuts behind a flange are bolted; a ring of square keys around the spindle nose is camlock.",
			note: func(s string) string {
				if s == "screwed" {
					return "A chuck that is screwed on can unscrew in reverse, and on an abrupt stop. No plan will cut in reverse on this lathe. Reverse slowly, with the tool clear, and only after the spindle has stood still."
				}
				return ""
			}},
		question{key: "threading", part: part, open: "as each thread allows", take: takeOne("reverse", "crank", "dial", "away"), ask: "Is there one way threads are to be cut on this lathe: back in reverse, by hand crank, by the threading dial, or away from the shoulder with the tool upside down (reverse, crank, dial, away)?",
			more: "Left open, each thread is cut by the first of dial, reverse, away and crank that the lathe and the groove allow. A job may say otherwise. Who learns may be held to the crank."},
		question{key: "chuck_limit", part: part, open: "not known", take: takeSpeed, ask: "What is the highest speed of the chuck, in turns a minute?", more: "It is stamped on the body of most chucks. No plan goes above it."},
		coastSpeed(a, part),
		question{
			key: "coast.turns", part: part, caution: spinning + " Nothing in the jaws, and the jaws drawn in; half-nuts open, tool and carriage well clear.", take: takeCoast, odd: oddCoast,
			ask: fmt.Sprintf("Let the spindle run at %s turns a minute and switch off: how many turns does the chuck make until it stands? Do it three times and write all three (0.8 0.9 0.8). Where a brake stops it: brake 0.5 s.", speedOr(a["coast.at"])),
			more: "Chalk one jaw while the spindle stands. Switch off as the chalk passes the top and count from there, to a quarter of a turn, " +
				"with your eyes: never slow a chuck by hand. The worst of three counts. Or, with nothing in the chuck and the carriage in the middle of the bed, far from chuck and tailstock: shut the half-nuts, switch off as a mark on the bed passes and measure how far the carriage runs on: overrun 1.2 mm at 1.5 mm (the pitch that is geared). " +
				"It tells how slow a thread must run to stop in its groove.",
			note: func(s string) string {
				if strings.HasPrefix(s, "brake") {
					return ""
				}
				return "Taken: " + s + " turns, the worst."
			},
		},
		question{key: "delay", part: part, blank: "usual", take: takeDelay, ask: "Who switches off at the end of a thread: somebody with the hand on the switch (ready, 0.4 s), as usual (usual, 0.6 s), or an apprentice (apprentice, 1 s)? A time such as 0.8 s does as well.",
			more: "It is the time from seeing to the power being off. More is safer: the thread then runs slower or by hand."},
		question{key: "power_feed", part: part, blank: "none", take: takeFeeds, ask: fmt.Sprintf("Which feeds along the bed has the lathe by itself, in travel per turn of the spindle (such as %s)?", a.pick("0.1 mm; 0.2 mm", "0.004 in; 0.008 in")),
			more: "They stand on the plate of the gearbox, or follow from the wheels that are fitted for turning. Several with ; between. Without any, the carriage is fed by hand."},
		question{key: "depth_of_cut", part: part, open: "by the size of the motor", take: takeLength, odd: between("a roughing depth on the radius", 50*calc.Micrometre, 4*calc.Millimetre), ask: fmt.Sprintf("How deep does this lathe like to rough steel, on the radius (such as %s)?", a.pick("0.5 mm", "0.020 in")),
			more: "What comes off the radius in one roughing cut without chatter. Left open, a table by the size of the motor is taken."},
	)
	return list
}

func speedOr(s string) string {
	if s == "" {
		return "100"
	}
	return s
}

// coastSpeed asks at which speed the coast is counted.
func coastSpeed(a latheAnswers, part string) question {
	q := question{key: "coast.at", part: part, take: takeSpeed,
		ask:  "Now: how long does the spindle run on after switching off? At which speed will you try it, in turns a minute?",
		more: "A slow one, about that of threading: 70 to 150. The coast at other speeds follows from it."}
	best := 0.0
	for _, f := range strings.FieldsFunc(a["speeds"], func(r rune) bool { return r == ',' || r == ' ' || r == '-' }) {
		v, err := strconv.ParseFloat(f, 64)
		if err == nil && (best == 0 || abs(v-100) < abs(best-100)) {
			best, q.blank = v, f
		}
	}
	if strings.Contains(a["speeds"], "-") && best < 100 {
		q.blank = "100"
	}
	return q
}

func abs(v float64) float64 { return max(v, -v) }

func oddCoast(s string) string {
	if brake, ok := strings.CutPrefix(s, "brake "); ok {
		if strings.HasSuffix(brake, "ms") {
			return ""
		}
		if v, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(brake, "s")), 64); err == nil && v > 3 {
			return "a brake that takes more than 3 s is hardly one"
		}
		return ""
	}
	if v, err := strconv.ParseFloat(s, 64); err == nil && v > 12 {
		return "more than a dozen turns at a threading speed is unusual: was it switched off, and was it the speed you wrote?"
	}
	return ""
}

// takeFeeds takes feeds per turn, or none.
func takeFeeds(s string) (string, error) {
	if strings.EqualFold(s, "none") {
		return "none", nil
	}
	list := items(strings.ReplaceAll(s, ",", ";"))
	for _, it := range list {
		if _, err := calc.ParseLead(it); err != nil {
			return "", err
		}
	}
	return strings.Join(list, "; "), nil
}

// roomQuestions asks what goes on the lathe and through it.
func roomQuestions(a latheAnswers) []question {
	part := "room"
	size := func(key, ask, metric, inch, more string, low, high calc.Length) question {
		return question{key: key, part: part, open: "not known", take: takeLength, odd: between("that", low, high), ask: fmt.Sprintf("%s (such as %s)?", ask, a.pick(metric, inch)), more: more}
	}
	mm := calc.Millimetre
	return []question{
		size("swing", "What is the largest diameter that turns over the bed", "180 mm", "7 in", "Twice the height from the bed to the middle of the spindle.", 50*mm, 1500*mm),
		size("swing_over_slide", "And the largest that turns over the cross slide", "110 mm", "4-1/4 in", "Twice the height from the top of the cross slide to the middle of the spindle.", 20*mm, 1200*mm),
		size("spindle_bore", "What is the largest bar that goes through the spindle", "20 mm", "3/4 in", "The narrowest place of the hole through the spindle and the chuck. A thicker bar is sawn to a piece.", 5*mm, 250*mm),
		size("spindle_length", "How far is it from the front of the jaws to the back end of the spindle", "350 mm", "14 in", "Push a rod through from the front until it is level at the back, and mark it at the jaws. A bar that stands out at the back whips.", 50*mm, 2000*mm),
		size("chuck_depth", "How far does a bar go into the chuck that does not go through the spindle", "50 mm", "2 in", "From the front of the jaws to the face behind them.", 5*mm, 300*mm),
		{key: "steady", part: part, blank: "none", take: takeOne("none", "fixed", "travelling|traveling|follow", "both"), ask: "Is there a steady: a fixed one, a travelling one, both, or none?", more: "The fixed one stands on the bed, the travelling one goes with the carriage. They are named where work is too slender."},
	}
}

// toolQuestions asks for the tools owned.
func toolQuestions(a latheAnswers) []question {
	part := "tools"
	list := func(key, ask, metric, inch, more string, take func(string) (string, error)) question {
		return question{key: key, part: part, blank: "none", take: orNone(take), ask: fmt.Sprintf("%s (such as %s)?", ask, a.pick(metric, inch)), more: more + " Several with ; between."}
	}
	return []question{
		{key: "tools.turning", part: part, blank: "HSS right", take: takeTurning, ask: "Which turning tools are there: HSS or carbide, and right, left or neutral? A right-hand tool cuts towards the chuck. Several with ; between.",
			more: "HSS is ground from a bar of steel; carbide is grey, brazed on or clamped in. Speeds follow from it. One right-hand tool is enough to begin."},
		{key: "tools.chamfer", part: part, blank: "yes", take: takeYes, ask: "Is there a tool ground for chamfers of 45 degrees?", more: "Any tool whose edge stands at 45 degrees."},
		list("tools.grooving", "Which grooving tools: the width of each, and how deep it reaches where you know it", "2 mm reach 6 mm; 3 mm", "1/16 in reach 1/4 in", "Measure the cutting edge across.", takeBlades),
		list("tools.parting", "Which parting blades: the width of each, and how far it stands out of its holder", "2 mm reach 12 mm", "3/32 in reach 1/2 in", "The reach is what it can cut to, half a bar's diameter: at most eight widths, six are good.", takeBlades),
		list("tools.threading", "Which threading tools of 60 degrees: the tip of each, and its whole width where it enters a groove", "radius 0.15 mm width 2.5 mm; flat 0.2 mm", "radius 0.005 in", "The tip is a radius, a flat, or sharp; the depth of every thread hangs on it. "+
			"Look at it with a glass beside a feeler gauge or a fine wire. An insert has it in its name or in its list. Write upside down behind one that can be clamped upside down.", takeThreading),
		list("tools.centre", "Which centre drills: the diameter of the pilot", "2 mm", "5/64 in", "The thin part in front.", takeSizes),
		list("tools.drill", "Which drills", "1 to 10 by 0.5 mm; 6.8 12 16 mm", "1/8 3/16 1/4 5/16 3/8 in", "A series is written 1 to 10 by 0.5 mm.", takeSizes),
		list("tools.reamer", "Which reamers for the lathe", "8 10 mm", "1/4 3/8 in", "Only machine or chucking reamers, their nominal size.", takeSizes),
		list("tools.bar", "Which boring bars: how thick each is", "8 12 mm", "5/16 1/2 in", "The shank, without the tip.", takeSizes),
		list("tools.tap", "Which taps for threads cut by hand in the lathe", "M6; M8x1", "1/4-20 UNC", "The size stands on the shank.", takeThreads),
		list("tools.inside_thread", "Which inside threading tools: how thick the bar of each is, and its tip", "10 mm tip radius 0.1 mm reach 40 mm", "3/8 in tip radius 0.005 in", "The shank at its thickest, then the tip as for an outside tool, then how far it may stand out where you know it.", takeInsideThreading),
		list("tools.inside_groove", "Which inside grooving tools: how thick the bar of each is, and the width of its edge", "10 mm width 3 mm reach 40 mm", "3/8 in width 1/8 in", "An inside thread that ends in the part needs a recess of its own, which this cuts.", takeInsideGrooving),
		list("tools.rounding", "Which rounding tools: the radius of the hollow each is ground with", "1.5 3 mm", "1/16 1/8 in", "A form tool with a quarter of a circle ground into it, for edges that are rounded. Hold a radius gauge or the shank of a drill in it.", takeSizes),
		list("tools.knurling", "Which knurling tools: pattern and pitch, how wide its wheels are and how large, and what they close by in one turn of the nut where it is a clamp", "straight 0.8 mm width 6 mm size 20 mm; diamond 1 mm width 8 mm size 20 mm clamp 1.5 mm", "diamond 0.04 in width 1/4 in size 3/4 in",
			"Straight or diamond, two wheels with slanting teeth. The pitch is from tooth to tooth, measured over ten of them. Without the word clamp it is pressed in from the side. For a clamp measure between the wheels, turn the nut once, and measure again.", takeKnurling),
	}
}

// orNone takes the word none too.
func orNone(take func(string) (string, error)) func(string) (string, error) {
	return func(s string) (string, error) {
		if strings.EqualFold(s, "none") {
			return "none", nil
		}
		return take(s)
	}
}

// measureQuestions asks for the measuring tools owned.
func measureQuestions(a latheAnswers) []question {
	part := "measuring tools"
	list := []question{{
		key: "measure", part: part, blank: "no", take: takeYes, ask: "Do you want to list your measuring tools? A plan then names the one to take, and refuses a tolerance that none of them can measure. Without a list it takes whatever it needs to be there.",
		more: "It takes a few minutes, and it is worth it where there are several micrometers, or none that is fine.",
	}}
	if !a.yes("measure") {
		return list
	}
	for _, k := range measureKinds {
		list = append(list, question{key: k.key, part: part, blank: "none", take: orNone(takeSpans(k.key != "measure.telescopic" && k.key != "measure.smallhole")), ask: fmt.Sprintf("%s (such as %s)", k.ask, k.example), more: "What it is read to is its finest step: a division of the thimble, of the vernier or of the display. Several with ; between."})
	}
	return append(list,
		question{key: "measure.indicator", part: part, blank: "none", take: orNone(takeLength), ask: "Is there a dial indicator, and what is a division of it (such as 0.01 mm)?", more: "It tells how true the bar runs."},
		question{key: "measure.ring", part: part, blank: "none", take: orNone(takeThreads), ask: "Which ring gauges for outside threads (such as M12x1.75-6g; M8)?", more: "With a gauge a thread is tried with it, else with a nut. Several with ; between."},
		question{key: "measure.plug", part: part, blank: "none", take: orNone(takeThreads), ask: "Which plug gauges for inside threads (such as M12x1.75-6H)?", more: "Several with ; between."},
		question{key: "measure.wires", part: part, blank: "none", take: orNone(takeSizes), ask: "Which sets of three wires for measuring threads (such as 0.6 1.0 mm)?", more: "Three equal wires or pins. With them and a micrometer a plan tells what the thread reads."},
		question{key: "measure.pitch", part: part, blank: "no", take: takeYes, ask: "Is there a pitch gauge (a fan of leaves with teeth)?", more: "It is laid on the scratch pass."},
	)
}

package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/setup"
)

// question is one thing asked about a lathe.
type question struct {
	key     string
	part    string // what it belongs to, told where it changes
	ask     string
	caution string // said before the answer, where finding out turns the spindle or takes a guard off
	more    string // how to find out: the answer to "?"
	blank   string // what an empty answer takes, as it would be written
	open    string // what an empty answer leaves open, in words; "" with an empty blank: an answer is needed

	confirms bool // it asks "is it that?": yes is what it offers, and no is no answer yet

	take func(string) (string, error) // the answer as it is kept, or why it cannot be one
	odd  func(string) string          // why an answer that can be one is hardly right; nil, or ""
	note func(string) string          // what is said to an answer taken; nil, or ""
}

// spinning is said before the spindle is turned to find something out. It stands behind
// the lathe's manual, the rules of the shop and the instructor.
const spinning = "This turns the spindle. The lathe's manual, the rules of your shop and your instructor come before it; who is learning does it with the instructor beside. " +
	"Eyes covered, sleeves tight, no gloves. Chuck key out and on its hook, guard shut, nobody in the plane of the chuck, the stop in reach."

// latheQuestions is everything that is asked, in its order, as the answers so far make
// it.
func latheQuestions(a latheAnswers, outGiven bool) (list []question) {
	add := func(q ...question) { list = append(list, q...) }
	add(question{key: "name", part: "the lathe", ask: "What is the lathe called?", more: "Any name: it is shown with every plan made for it. Such as: bench lathe, 1.5 mm leadscrew.", take: takeText},
		question{key: "units", part: "the lathe", ask: "Do you work in millimetres or in inches (mm, in)? Only what is shown here changes: every answer may be in either.", blank: "mm", take: takeOne("mm|millimetres|millimeters|metric", "in|inch|inches|imperial"),
			more: "Look at the cross-slide ring: divisions of 0.01 to 0.05 mm, or of a thou (0.001 in)."})
	add(slideQuestions(a, "cross", "cross slide", "the cross slide, which moves the tool to and from the middle")...)
	add(slideQuestions(a, "top", "top slide", "the top slide, which carries the tool")...)
	add(wheelQuestions(a, "carriage", "carriage wheel", "carriage", [2]string{"20 mm", "1 in"}, 5*calc.Millimetre, 80*calc.Millimetre)...)
	add(wheelQuestions(a, "tailstock", "tailstock wheel", "tailstock sleeve", [2]string{"4 mm", "0.1 in"}, calc.Millimetre/2, 12*calc.Millimetre)...)
	add(tailstockQuestions(a)...)
	add(gearQuestions(a)...)
	add(spindleQuestions(a)...)
	add(roomQuestions(a)...)
	add(toolQuestions(a)...)
	add(measureQuestions(a)...)
	if !outGiven {
		add(question{key: "file", part: "the file", ask: "Which file is it written to?", blank: "lathe.toml", take: takeNewFile,
			more: "A job names it with lathe = \"FILE\", from the job's own folder. A file that is there is not overwritten."})
	}
	return append(list, question{key: "write", part: "the file", ask: "Is all of this right, and is it written? (yes writes it; back goes back to the questions)", blank: "yes", take: takeWrite,
		more: "Read it against the lathe. What is wrong is put right by going back, or afterwards in the file, which is plain text."})
}

// pick is the example for who works in millimetres or in inches.
func (a latheAnswers) pick(metric, inch string) string {
	if a.inch() {
		return inch
	}
	return metric
}

// show is a length in the unit the person works in.
func (a latheAnswers) show(l calc.Length) string {
	if a.inch() {
		return l.Trimmed(calc.Inch, 5) + " in"
	}
	return l.Trimmed(calc.Millimetre, 4) + " mm"
}

// between says why a length is hardly right.
func between(what string, low, high calc.Length) func(string) string {
	return func(s string) string {
		l, err := calc.ParseLength(s)
		if err != nil || l >= low && l <= high {
			return ""
		}
		return fmt.Sprintf("%s of %s is unusual: from %s to %s (%s to %s in) is what lathes of this kind have; is the unit right?", what, s,
			low.Trimmed(calc.Millimetre, 2), high, low.Trimmed(calc.Inch, 3), high.Trimmed(calc.Inch, 2))
	}
}

// countBetween is [between] for a count.
func countBetween(what string, low, high int) func(string) string {
	return func(s string) string {
		if n, err := strconv.Atoi(s); err == nil && (n < low || n > high) {
			return fmt.Sprintf("%d %s is unusual: %d to %d are", n, what, low, high)
		}
		return ""
	}
}

// slideQuestions asks for a slide whose handle sets cuts.
func slideQuestions(a latheAnswers, key, name, part string) []question {
	list := ringQuestions(a, key, name, part, [2]string{"2 mm", "0.1 in"}, calc.Millimetre/2, 8*calc.Millimetre)
	if key == "cross" || twice(a, key) {
		list = append(list, readsQuestions(a, key, name, part)...)
	}
	return append(list, question{
		key: key + ".slack", part: part,
		ask: fmt.Sprintf("How much slack has the %s? Write what its ring says between the two sides (such as %s).", name, a.pick("0.12 mm", "6 thou")),
		more: fmt.Sprintf("Spindle switched off. Stand of the indicator on the bed, its foot against the tool post. Wind the %s in until the indicator moves, and note the ring. Wind it back slowly: "+
			"the ring turns and the indicator stands still. When the indicator begins to move, read the ring again. The difference, as the ring says it, is the slack. Do it in the middle of the travel and at both ends, and write the largest.", name),
		take: takeLength, odd: oddSlack(a, key),
	}, question{
		key: key + ".clockwise", part: part, blank: "in", take: takeOne("in", "out"),
		ask:  fmt.Sprintf("Turn the handle of the %s clockwise: does the tool go in or out?%s", name, map[string]string{"cross": " (In is towards the middle of the work.)", "top": " (In is towards the chuck, with the slide along the bed.)"}[key]),
		more: "Stand in front of the handle. Clockwise is as a clock goes. Most lathes have screws that go in clockwise; some older ones do not.",
	})
}

// twice says that a ring is marked with about twice what the slide moves.
func twice(a latheAnswers, key string) bool {
	t := a.travel(key)
	return t > 0 && (a.length(key+".marked")-2*t).Abs() <= t/5
}

func oddSlack(a latheAnswers, key string) func(string) string {
	return func(s string) string {
		l, err := calc.ParseLength(s)
		if err != nil {
			return ""
		}
		turn := a.length(key + ".marked")
		switch {
		case l == 0:
			return "few slides have no slack at all"
		case turn > 0 && l > turn/3:
			return "a third of a turn or more is a slide to adjust first: look at the nut and the gib strip"
		}
		return ""
	}
}

// ringQuestions asks for the ring of a handwheel and for what a turn of it moves.
func ringQuestions(a latheAnswers, key, name, part string, example [2]string, low, high calc.Length) []question {
	list := []question{
		{
			key: key + ".divisions", part: part, ask: fmt.Sprintf("How many lines has the ring at the handle of the %s, once around?", strings.TrimSuffix(name, " sleeve")), take: takeWhole("lines of one whole turn"), odd: countBetween("lines on a ring", 20, 300),
			more: "Count the lines between two figures, and multiply by how often that comes around. Usual are 40, 50, 80, 100, 125, 200 and 250.",
		}, {
			key: key + ".marked", part: part, ask: fmt.Sprintf("What does that ring say for one whole turn (such as %s)?", a.pick(example[0], example[1])), take: takeLength, odd: between("a ring marked with a turn", low, 2*high),
			more: "Read on from the last figure to the zero: " + a.pick("with lines of 0.02 mm and a last figure of 1.98 it is 2 mm", "with lines of a thou and a last figure of 95 it is 100 thou, 0.1 in") + ". It is what is written on the ring, whether it is true or not.",
		}, {
			key: key + ".travel", part: part,
			ask: fmt.Sprintf("How far does the %s really move? Wind several turns against an indicator and write both, such as: 5 turns %s. Or write one turn, where you know it.", name, a.pick(fiveTimes(example[0]), fiveTimes(example[1]))),
			more: fmt.Sprintf("Spindle switched off. Stand of the indicator on the bed, its foot against the tool post in the direction of travel. Wind half a turn inwards to take up the slack, set the ring and the indicator to zero, "+
				"wind whole turns on in the same direction, never back, and read the indicator. Five or ten turns tell a %s screw from one that is nearly the same. On many lathes the ring does not belong to the screw.", a.pick("1.25 mm", "0.05 in")),
			take: takeCounted, odd: oddTravel(low, high),
			note: func(s string) string {
				n, moved, ok, err := counted(s)
				one, err2 := setup.OneTurn(n, moved)
				if !ok || err != nil || err2 != nil {
					return ""
				}
				return "That is " + a.show(one) + " a turn."
			},
		},
	}
	if one, ok := a.measured(key); ok && !exactly(one) && one != a.length(key+".marked") {
		list = append(list, screwQuestion(a, key, part, one))
	}
	return list
}

// fiveTimes is an example of five turns.
func fiveTimes(one string) string {
	l, err := calc.ParseLength(one)
	if err != nil {
		return one
	}
	if strings.HasSuffix(one, "in") {
		return (5*l).Decimal(calc.Inch, 3) + " in"
	}
	return (5*l).Decimal(calc.Millimetre, 2) + " mm"
}

func oddTravel(low, high calc.Length) func(string) string {
	return func(s string) string {
		n, moved, ok, err := counted(s)
		if ok && err == nil {
			if one, err := setup.OneTurn(n, moved); err == nil {
				s = one.Round(calc.Micrometre).String()
			}
		}
		return between("a travel", low, high)(s)
	}
}

// exactly says that a travel is that of a usual screw: nothing is left to ask.
func exactly(one calc.Length) bool {
	screw, ok := setup.Screw(one)
	return ok && screw == one
}

// takeWrite takes a yes; who does not agree goes back.
func takeWrite(s string) (string, error) {
	if _, err := takeOne("yes|y")(s); err != nil {
		return "", fmt.Errorf("%q does not write it: back goes back to the questions, stop keeps the answers for later", s)
	}
	return "yes", nil
}

// screwQuestion asks what a measured travel stands for.
func screwQuestion(a latheAnswers, key, part string, one calc.Length) question {
	q := question{key: key + ".screw", part: part, confirms: true, take: takeLength,
		more: "A screw is cut to a round figure, and an indicator may be read a little wrong: where the usual figure is near enough, take it. An inch screw on a metric lathe, or the other way round, is nothing unusual."}
	if screw, ok := setup.Screw(one); ok {
		q.blank = usualScrew(screw)
		q.ask = fmt.Sprintf("Screws are made with %s, which is %.1f %% from what you measured. Is it that?", q.blank, 100*math.Abs(float64(one-screw))/float64(screw))
		return q
	}
	q.blank = a.written(one.Round(calc.Micrometre))
	q.ask = fmt.Sprintf("No usual screw is near %s: go back and measure over more turns, or take it as it was measured?", a.show(one))
	return q
}

// usualScrew is a screw as its maker calls it: in inches where it is no round figure in
// millimetres.
func usualScrew(l calc.Length) string {
	if l%(250*calc.Micrometre) == 0 {
		return l.String()
	}
	return l.Trimmed(calc.Inch, 4) + " in"
}

// agrees says what is wrong where a ring is said to show something its marking does not
// fit.
func agrees(a latheAnswers, key string, onDiameter bool) error {
	t, m := a.travel(key), a.length(key+".marked")
	switch double := twice(a, key); {
	case onDiameter && !double:
		return fmt.Errorf("a ring that shows the diameter is marked with twice what the slide moves, %s, and this one with %s: measure again, or go back to the marking", a.show(2*t), a.show(m))
	case !onDiameter && double:
		return fmt.Errorf("a ring that shows the radius is marked with what the slide moves, %s, and this one with %s: measure again, or go back to the marking", a.show(t), a.show(m))
	}
	return nil
}

// takeReads takes what a ring shows, where its marking fits that.
func takeReads(a latheAnswers, key string) func(string) (string, error) {
	return func(s string) (string, error) {
		s, err := takeOne("radius", "diameter", "test")(s)
		if err == nil && s != "test" {
			err = agrees(a, key, s == "diameter")
		}
		return s, err
	}
}

// readsQuestions asks what the ring of a slide shows.
func readsQuestions(a latheAnswers, key, name, part string) []question {
	blank := "radius"
	if twice(a, key) {
		blank = "diameter"
	}
	list := []question{{
		key: key + ".reads", part: part, blank: blank, take: takeReads(a, key),
		ask: fmt.Sprintf("Does the ring show what the tool moves (radius), or what comes off the diameter (diameter)? From its marking it is %s. With test it is found out by two light cuts.", blank),
		more: fmt.Sprintf("Set the %s on by one line and look at the indicator: if the tool moves as much as the line says, the ring shows the radius; if it moves half as much, it shows the diameter. "+
			"Or turn two light cuts on a bar: the ring moved from one to the other, and the diameter changed by as much (diameter) or by twice as much (radius). Write test to be led through that.", name),
	}}
	if a[key+".reads"] != "test" {
		return list
	}
	cut := func(k, ask string) question {
		return question{key: key + ".cut." + k, part: part, ask: ask, caution: spinning, take: takeLength,
			more: "A short piece of bar well held, a keen tool, the speed for the material. A cut of a tenth or two is enough. The spindle stands still before you measure or touch anything."}
	}
	a1 := cut("a", "Turn a light cut along a bar and leave the cross slide where it is. What does the ring say?")
	d1 := cut("d1", "Stop the spindle. What does the diameter measure?")
	b1 := cut("b", fmt.Sprintf("Set the ring on, inwards, by %s or a little more, and cut again. What does the ring say now (count whole turns with it)?", a.pick("0.3 mm", "10 thou")))
	d2 := cut("d2", "Stop the spindle. What does the diameter measure now?")
	d1.caution, b1.caution, d2.caution = "", "Set the ring with the spindle standing. Guard shut and chuck key out before it turns again.", ""
	d2.take = func(s string) (string, error) {
		s, err := takeLength(s)
		if err != nil {
			return s, err
		}
		d, err := calc.ParseLength(s)
		if err != nil {
			return s, err
		}
		on, err := setup.ShowsDiameter(a.length(key+".cut.b")-a.length(key+".cut.a"), d-a.length(key+".cut.d1"))
		if err == nil {
			err = agrees(a, key, on)
		}
		return s, err
	}
	d2.note = func(s string) string {
		d, err := calc.ParseLength(s)
		if err != nil {
			return ""
		}
		on, err := setup.ShowsDiameter(a.length(key+".cut.b")-a.length(key+".cut.a"), d-a.length(key+".cut.d1"))
		switch {
		case err != nil:
			return ""
		case on:
			return "The diameter changed by as much as the ring: it shows the diameter."
		}
		return "The diameter changed by twice as much as the ring: it shows the radius."
	}
	return append(list, a1, d1, b1, d2)
}

// wheelQuestions asks whether a wheel has a ring, and for the ring.
func wheelQuestions(a latheAnswers, key, name, moves string, example [2]string, low, high calc.Length) []question {
	part := "the " + name
	list := []question{{
		key: key + ".ring", part: part, blank: "no", take: takeYes, ask: fmt.Sprintf("Has the %s a ring with lines?", name),
		more: map[string]string{
			"carriage":  "With a ring on it, lengths along the bed are set by its figures. Without one a plan has you scribe a line or measure instead.",
			"tailstock": "With a ring on it, drills are set to a depth by its figures. Without one a plan has you measure the depth.",
		}[key],
	}}
	if !a.yes(key + ".ring") {
		return list
	}
	ring := ringQuestions(a, key, moves, part, example, low, high)
	for i := range ring {
		if ring[i].key == key+".travel" {
			ring[i].ask = fmt.Sprintf("How far does the %s really move? Wind several turns, measure how far it went and write both, such as: 5 turns %s. Or write one turn, where you know it.", moves, a.pick(fiveTimes(example[0]), fiveTimes(example[1])))
			ring[i].more = "Spindle switched off. Wind several whole turns in one direction, after half a turn to take up the slack, and measure how far it went: the carriage with a rule along the bed or a long indicator, the sleeve with a depth gauge or by its own scale."
		}
	}
	if one, ok := a.measured(key); ok && ring[len(ring)-1].key == key+".screw" {
		ring[len(ring)-1] = markedQuestion(a, key, part, one)
	}
	return append(list, ring...)
}

// measured is the travel of one turn, where several were measured.
func (a latheAnswers) measured(key string) (calc.Length, bool) {
	n, moved, ok, err := counted(a[key+".travel"])
	if !ok || err != nil {
		return 0, false
	}
	one, err := setup.OneTurn(n, moved)
	return one, err == nil
}

// markedQuestion asks whether a wheel that is no screw moves what its ring says.
func markedQuestion(a latheAnswers, key, part string, one calc.Length) question {
	q := question{key: key + ".screw", part: part, confirms: true, take: takeLength, more: "A rule shows half a millimetre, which over five turns is a tenth a turn. Where the ring is that near, it is true."}
	marked := a.length(key + ".marked")
	if off := math.Abs(float64(one-marked)) / float64(max(marked, calc.Nanometre)); off < 0.01 {
		q.blank = a[key+".marked"]
		q.ask = fmt.Sprintf("The ring says %s, which is %.1f %% from what you measured. Is it that?", q.blank, 100*off)
		return q
	}
	q.blank = a.written(one.Round(calc.Micrometre))
	q.ask = fmt.Sprintf("The ring says %s and the wheel moves %s: go back and measure over more turns, or take it as it was measured?", a.show(marked), a.show(one))
	return q
}

func tailstockQuestions(a latheAnswers) []question {
	part := "the tailstock"
	return []question{
		{key: "tailstock.sleeve", part: part, open: "not known", take: takeLength, odd: between("a sleeve", 20*calc.Millimetre, 250*calc.Millimetre),
			ask:  fmt.Sprintf("How far does the tailstock sleeve come out, from its shortest to where it stops (such as %s)?", a.pick("60 mm", "2.5 in")),
			more: "Wind it in until the centre is pushed out, then out until it stops, and measure. No hole is planned deeper than that."},
		{key: "tailstock.taper", part: part, open: "not known", take: takeTaper, ask: "Which Morse taper has the sleeve (0 to 6)?",
			more: "Measure the mouth: Morse 1 is about 12 mm wide, Morse 2 about 18, Morse 3 about 24, Morse 4 about 31. It only goes on the list of what to lay out."},
		{key: "tailstock.centre", part: part, blank: "none", take: takeOne("none", "live|rotating|revolving", "dead|fixed"), ask: "Is there a live centre (one that turns in its bearing) or a dead one (live, dead, none)?",
			more: "A dead centre does not turn with the work: it needs grease and a slow speed."},
	}
}

func takeTaper(s string) (string, error) {
	t := strings.TrimSpace(strings.TrimPrefix(strings.TrimPrefix(strings.ToUpper(s), "MORSE"), "MT"))
	if n, err := strconv.Atoi(strings.TrimPrefix(t, "#")); err == nil && n >= 0 && n <= 6 {
		return fmt.Sprintf("MT%d", n), nil
	}
	return "", fmt.Errorf("%q is no Morse taper: write a number from 0 to 6", s)
}

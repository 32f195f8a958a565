package main

import (
	"fmt"
	"os"
	"strings"

	"turncue/sequence/job"
)

// dialogue asks one question after the other until a lathe is known.
type dialogue struct {
	answers latheAnswers
	before  latheAnswers // what was answered before somebody went back
	out     string       // the file it is written to; "": asked for at the end
	say     func(format string, args ...any)

	lines <-chan string    // what is typed; closed at its end
	stop  <-chan os.Signal // somebody, or the system, ends the program

	part    string // the part last told
	odd     string // an answer that was called unusual; written again it is taken
	oddKey  string
	ended   ending
	quitNow bool // the ending leaves no time for a question
}

// ending is how a dialogue ended.
type ending int

const (
	endComplete ending = iota // everything is answered
	endStopped                // the person stops, or the program is to end
	endInput                  // no more comes
)

// dialogueWidth is where questions are folded.
const dialogueWidth = 78

// run asks until everything is answered or it is ended.
func (d *dialogue) run() ending {
	d.greet()
	for {
		q, n, of := d.next()
		if q == nil {
			return endComplete
		}
		if !d.ask(q, n, of) {
			return d.ended
		}
	}
}

func (d *dialogue) greet() {
	d.fold("", "One question at a time. ? tells how to find out, back goes back, stop ends and keeps what was answered; enter alone takes what stands in [ ].")
	if len(d.answers) == 0 {
		d.fold("", "Do it at the lathe, in about half an hour. Have at hand: a dial indicator with its stand, a micrometer or a caliper, a rule, and chalk.")
	}
}

// fold says a text in lines.
func (d *dialogue) fold(indent, text string) {
	for _, line := range folded(text, dialogueWidth-len(indent)) {
		d.say("%s%s\n", indent, line)
	}
}

// next is the first question without an answer; n counts it among all that are known of
// by now.
func (d *dialogue) next() (q *question, n, of int) {
	list := latheQuestions(d.answers, d.out != "")
	for i := range list {
		if _, ok := d.answers[list[i].key]; !ok {
			return &list[i], i + 1, len(list)
		}
	}
	return nil, 0, 0
}

// ask asks one question; false ends the dialogue. A wrong answer leaves it to be asked
// again, without repeating all of it.
func (d *dialogue) ask(q *question, n, of int) bool {
	if q.part != d.part {
		d.part = q.part
		d.say("\n%s\n", strings.ToUpper(q.part))
	}
	if q.key == "write" {
		d.review()
	}
	d.say("\n")
	if q.caution != "" {
		d.fold("  ! ", "CAUTION. "+q.caution)
	}
	d.fold("", fmt.Sprintf("%d of %d. %s", n, of, q.ask))
	for {
		text, ok := d.line(d.prompt(q))
		if !ok {
			return false
		}
		switch strings.ToLower(text) {
		case "?", "help":
			d.fold("  ", q.more)
			continue
		case "stop", "quit":
			d.ended = endStopped
			return false
		case "back":
			if d.back(q) {
				return true
			}
			d.fold("  ", "This is the first question.")
			continue
		}
		if d.take(q, text) {
			return true
		}
	}
}

// prompt is what stands before the answer.
func (d *dialogue) prompt(q *question) string {
	if was, ok := d.before[q.key]; ok && was != "" {
		return "[" + was + ", as before] > "
	}
	switch {
	case q.blank != "":
		return "[" + q.blank + "] > "
	case q.open != "":
		return "[" + q.open + "] > "
	}
	return "> "
}

// back takes the answer before a question away, and keeps it to be offered again.
func (d *dialogue) back(q *question) bool {
	last := ""
	for _, p := range latheQuestions(d.answers, d.out != "") {
		if p.key == q.key {
			break
		}
		last = p.key
	}
	if last == "" {
		return false
	}
	d.before[last] = d.answers[last]
	delete(d.answers, last)
	d.part = ""
	return true
}

// take checks an answer and keeps it; false says why it is not taken.
func (d *dialogue) take(q *question, text string) bool {
	if text == "" {
		was, ok := d.before[q.key]
		switch {
		case ok && was != "":
			text = was
		case q.blank != "":
			text = q.blank
		case q.open != "":
			d.answers[q.key] = ""
			return true
		default:
			d.fold("  ", "This needs an answer: a plan cannot do without it. ? tells how to find out.")
			return false
		}
	}
	if q.confirms {
		switch strings.ToLower(text) {
		case "yes", "y":
			text = q.blank
		case "no", "n":
			d.fold("  ", "Then write what it is, or go back and measure again.")
			return false
		}
	}
	taken, err := q.take(text)
	if err != nil {
		d.refuse(q, err.Error())
		return false
	}
	if q.odd != nil && (d.odd != taken || d.oddKey != q.key) {
		if why := q.odd(taken); why != "" {
			d.odd, d.oddKey = taken, q.key
			d.fold("  ", upper(why)+". If it is right, write it once more.")
			return false
		}
	}
	d.answers[q.key] = taken
	if err := d.answers.fault(); err != nil {
		delete(d.answers, q.key)
		d.refuse(q, err.Error())
		return false
	}
	d.odd = ""
	delete(d.before, q.key)
	if q.note != nil {
		if note := q.note(taken); note != "" {
			d.fold("  ", note)
		}
	}
	return true
}

func (d *dialogue) refuse(q *question, why string) {
	d.fold("  ", upper(why)+". ? tells how to find out.")
}

// upper begins a sentence.
func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// review tells what was understood, before it is written.
func (d *dialogue) review() {
	text := d.answers.text(false)
	path := d.out
	if path == "" {
		path = d.answers["file"]
	}
	l, err := job.ParseLathe(path, text)
	if err != nil { // every answer was checked, so this is a fault of the program
		d.say("\n%v\n", err)
		return
	}
	if told, err := latheReport(l, text); err == nil {
		d.say("\n%s", told)
	}
}

// line waits for a line; false says that the dialogue ends.
func (d *dialogue) line(prompt string) (string, bool) {
	d.say("%s", prompt)
	select {
	case text, ok := <-d.lines:
		if !ok {
			d.say("\n")
			d.ended = endInput
			return "", false
		}
		return strings.Join(strings.Fields(text), " "), true
	case sig := <-d.stop:
		d.say("\n")
		d.ended, d.quitNow = endStopped, sig != os.Interrupt
		return "", false
	}
}

// kept asks whether what was answered is to be kept. It is, unless somebody says no.
func (d *dialogue) kept(path string) bool {
	if len(d.answers) == 0 {
		return false
	}
	if d.quitNow || d.ended == endInput {
		return true
	}
	d.fold("", fmt.Sprintf("Keep the %d answers in %s, to go on later (yes, no)?", len(d.answers), path))
	text, ok := d.line("[yes] > ")
	return !ok || !strings.HasPrefix(strings.ToLower(text), "n")
}

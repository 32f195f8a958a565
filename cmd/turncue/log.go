package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
	"turncue/sequence/runner"
)

func logCommand() *cobra.Command {
	var asCSV, asJSON, record bool
	c := &cobra.Command{
		Use:   "log [N]",
		Short: "List the runs, the latest first, or show one: its steps, times, readings and who",
		Long: `Lists the runs that were kept, the latest first. With a number of that list it
shows the run: each step with its times, its readings and what came of them, and who
signed. A reading that was corrected keeps both values. A run that is under way can
be looked at; nothing is changed.

--record prints it as a log book to be filed: a block for each part of the work, with
the lines for the two signatures.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return usage{fmt.Sprintf("turncue log takes one number of its list, got %d", len(args))}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if asCSV && asJSON || record && (asCSV || asJSON) {
				return usage{"turncue log prints in one way: --csv, --json or --record"}
			}
			all, err := journals()
			if err != nil {
				return err
			}
			out := c.OutOrStdout()
			if len(args) == 0 && !record {
				return listRuns(out, all, asCSV, asJSON)
			}
			n := 1
			if len(args) > 0 {
				if n, err = strconv.Atoi(args[0]); err != nil || n < 1 {
					return usage{fmt.Sprintf("turncue log %s: a number of the list is wanted, 1 is the latest", args[0])}
				}
			}
			if n > len(all) {
				return fmt.Errorf("there is no run %d, the list has %d: turncue log prints it", n, len(all))
			}
			if all[n-1].Damage != nil {
				return all[n-1].Damage
			}
			h := tellRun(all[n-1])
			switch {
			case asCSV:
				return writeLogCSV(out, h)
			case asJSON:
				return writeLogJSON(out, h)
			case record:
				return writeRecord(out, h)
			}
			return writeLog(out, h)
		},
	}
	c.Flags().BoolVar(&asCSV, "csv", false, "print as CSV, lengths in millimetres")
	c.Flags().BoolVar(&asJSON, "json", false, "print as "+logSchema)
	c.Flags().BoolVar(&record, "record", false, "print the log book of a run, the latest where no number is given")
	return c
}

// journals are the runs that were kept; they are read, never taken.
func journals() ([]runner.Found, error) {
	dir, err := runner.StateDir()
	if err != nil {
		return nil, err
	}
	return runner.Journals(dir)
}

// tellRun tells a run with the plan made again from the texts the journal keeps.
func tellRun(f runner.Found) runner.History {
	return runner.Tell(f, func() (runner.State, error) {
		w, err := keptWork(f.Head)
		if err != nil {
			return runner.State{}, err
		}
		if now, err := runner.Fingerprint(w.plan); err != nil || now != f.Head.Plan {
			return runner.State{}, errors.Join(err, &runner.Changed{What: "plan"})
		}
		return runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan, Teaching: w.teaching})
	})
}

// keptWork is the work as the journal keeps it, whatever its files hold now.
func keptWork(h runner.Head) (*work, error) {
	j, l, err := job.ParsePair(h.JobPath, h.JobText, h.LathePath, h.LatheText)
	if err != nil {
		return nil, err
	}
	w := &work{job: j, lathe: l, teaching: h.Teaching(), pace: h.Pace}
	w.plan, err = w.replan(sequence.Readings{})
	return w, err
}

// standing is where a run stands, in words.
func standing(h runner.History) string {
	switch {
	case h.Damage != nil:
		return "damaged"
	case h.Ended:
		return "finished"
	case h.N > 0:
		return fmt.Sprintf("at step %d of %d", h.N, h.Of)
	}
	return "not finished"
}

// who is the person a run belongs to.
func who(h runner.Head) string {
	switch {
	case h.Learner != "":
		return h.Learner + ", watched by " + h.Instructor
	case h.Who != "":
		return h.Who
	}
	return "not known"
}

func day(t time.Time) string {
	if t.IsZero() {
		return "-"
	}
	return t.Local().Format("2006-01-02 15:04:05")
}

func clock(t time.Time) string {
	if t.IsZero() {
		return "-"
	}
	return t.Local().Format("15:04:05")
}

// spent is a time at a step, to the second.
func spent(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// printer keeps the first error of writing.
type printer struct {
	to  io.Writer
	err error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.to, strings.TrimRight(fmt.Sprintf(format, args...), " "))
	}
}

func listRuns(out io.Writer, all []runner.Found, asCSV, asJSON bool) error {
	told := make([]runner.History, len(all))
	for i, f := range all {
		if f.Damage != nil || f.Ended { // where a finished run stands needs no plan
			told[i] = runner.History{Found: f, Phase: runner.Done}
			continue
		}
		told[i] = tellRun(f)
	}
	switch {
	case asCSV:
		return writeListCSV(out, told)
	case asJSON:
		return writeListJSON(out, told)
	}
	p := &printer{to: out}
	if len(told) == 0 {
		p.line("no runs yet: turncue run begins one")
		return p.err
	}
	p.line("%3s  %-19s  %-24s  %-18s  %s", "", "last", "part", "stands", "who")
	for i, h := range told {
		if h.Damage != nil {
			p.line("%3d  %v", i+1, h.Damage)
			continue
		}
		p.line("%3d  %-19s  %-24s  %-18s  %s", i+1, day(h.Last()), h.Head.Part, standing(h), who(h.Head))
	}
	return p.err
}

// header prints what a run was.
func (p *printer) header(h runner.History) {
	p.line("%s", h.Head.Part)
	p.line("job %s, lathe %s", h.Head.JobPath, h.Head.LathePath)
	p.line("begun %s, last record %s, %s", day(h.Begun), day(h.Last()), standing(h))
	if h.Head.Learner != "" {
		p.line("learner %s, instructor %s", h.Head.Learner, h.Head.Instructor)
	} else {
		p.line("who %s", who(h.Head))
	}
	if h.Partial != nil {
		p.line("the texts of the steps are missing: %s", strings.SplitN(h.Partial.Error(), "\n", 2)[0])
	}
	for _, b := range h.SetBack {
		p.line("the clock was set back by %s before record %d at %s; the order of the records does not depend on it", b.By.Round(time.Second), b.Record, b.Step)
	}
}

func writeLog(out io.Writer, h runner.History) error {
	p := &printer{to: out}
	p.header(h)
	p.line("")
	for _, d := range h.Steps {
		state := "not confirmed"
		if !d.To.IsZero() {
			state = clock(d.To)
		}
		p.line("%4s  %-28s %s to %s  %s", number(d.N), d.ID, clock(d.From), state, spent(d.Spent))
		for _, text := range folded(d.Text, 72) {
			p.line("      %s", text)
		}
		p.answers(h, d, "      ")
	}
	return p.err
}

// answers prints everything that was answered at a step.
func (p *printer) answers(h runner.History, d runner.Told, indent string) {
	for _, a := range d.Answers {
		p.line("%s%s %s", indent, clock(a.Time), answerText(h, d, a))
	}
	for _, n := range d.Notes {
		p.line("%s%s note: %s", indent, clock(n.Time), n.Text)
	}
}

// answerText is an answer in words; one that no longer counts says so.
func answerText(h runner.History, d runner.Told, a runner.Answered) string {
	var text string
	unit := calc.Millimetre
	if d.Measure != nil {
		unit = d.Measure.Unit
	}
	size := func(l calc.Length) string { return string(sequence.SizeWord(l, unit)) }
	switch {
	case a.Reading != nil:
		all := []string{size(*a.Reading)}
		for _, l := range a.More {
			all = append(all, size(l))
		}
		text = "reading " + strings.Join(all, ", ")
		if by, ok := a.Spread(); ok {
			text += ", " + size(by) + " apart"
		}
		if m := d.Measure; m != nil && m.Final {
			text += " (limits " + size(m.Min) + " to " + size(m.Max) + ")"
		}
	case a.Fit != "":
		text = "gauge " + string(a.Fit)
	default:
		text = "signed " + a.Name
	}
	if !(a.Name != "" && a.Result == runner.Accepted) {
		text += ": " + string(a.Result)
	}
	moved := a.Result == runner.Accepted || a.Result == runner.Confirmed || a.Result == runner.MoreCuts
	if moved && !a.Stands && h.Partial == nil {
		text += ", taken back later"
	}
	return text
}

func number(n int) string {
	if n == 0 {
		return "-"
	}
	return strconv.Itoa(n)
}

// folded breaks a text into lines of at most so many letters.
func folded(text string, width int) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(text) {
		if line != "" && len(line)+1+len(w) > width {
			lines = append(lines, line)
			line = ""
		}
		line = strings.TrimSpace(line + " " + w)
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

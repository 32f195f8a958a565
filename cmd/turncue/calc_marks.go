package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/gear"
)

type calcMarksFlags struct {
	leadscrew, thread, lathe string
	wheel, lines, first      int
	json                     bool
}

// calcMarksCommand is turncue calc marks: which lines of a threading dial serve.
func calcMarksCommand() *cobra.Command {
	var f calcMarksFlags
	c := &cobra.Command{
		Use:   "marks",
		Short: "Threading dial: on which lines the half-nuts may close again",
		Long: `Says on which lines of a threading dial the half-nuts may be closed for a thread, or
that they stay closed. Without --wheel it says after what travel thread and
leadscrew come together again, and which dial would serve.`,
		Example: `  turncue calc marks --leadscrew 16tpi --wheel 16 --lines 8 --thread 18tpi`,
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, err := f.answer()
			if err != nil {
				return err
			}
			if f.json {
				return calcJSON(c.OutOrStdout(), a.json())
			}
			a.table(c.OutOrStdout())
			return nil
		},
	}
	fl := c.Flags()
	fl.StringVar(&f.leadscrew, "leadscrew", "", "lead of the leadscrew: 16tpi, 3mm")
	fl.StringVar(&f.thread, "thread", "", "lead of the thread: 18tpi, 1.75mm")
	fl.IntVar(&f.wheel, "wheel", 0, "teeth of the dial's wheel")
	fl.IntVar(&f.lines, "lines", 0, "lines on the dial")
	fl.IntVar(&f.first, "first", 1, "the line the first pass was closed on")
	fl.StringVar(&f.lathe, "lathe", "", "file of the lathe: leadscrew and dial come from it")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

type calcMarks struct {
	leadscrew, thread calc.Lead
	dial              gear.ThreadDial
	marks             gear.Marks
	serves            *gear.ThreadDial // a dial that would serve where this one does not
}

func (f calcMarksFlags) answer() (a calcMarks, err error) {
	l, err := calcLathe(f.lathe)
	if err != nil {
		return a, err
	}
	if a.leadscrew, err = calcLead("leadscrew", f.leadscrew); err != nil {
		return a, err
	}
	if a.leadscrew.IsZero() && l != nil {
		a.leadscrew = l.Leadscrew
	}
	if a.leadscrew.IsZero() {
		return a, calcMissing("leadscrew", "the lead of the leadscrew, such as 16tpi or 3mm")
	}
	if a.thread, err = calcLead("thread", f.thread); err != nil {
		return a, err
	}
	if a.thread.IsZero() {
		return a, calcMissing("thread", "the lead of the thread, such as 18tpi or 1.75mm")
	}
	a.dial = gear.ThreadDial{Wheel: f.wheel, Lines: f.lines, First: f.first}
	if l != nil && l.Dial != nil && f.wheel == 0 && f.lines == 0 {
		f.wheel, f.lines = l.Dial.Wheel, l.Dial.Lines
		a.dial.Wheel, a.dial.Lines = f.wheel, f.lines
	}
	switch {
	case f.wheel == 0 && f.lines == 0:
		a.marks, err = gear.Repeat(a.leadscrew, a.thread)
	case f.wheel <= 0:
		return a, fmt.Errorf("--wheel: %d teeth: count those of the dial's wheel", f.wheel)
	case f.lines <= 0:
		return a, fmt.Errorf("--lines: %d lines: count those on the dial", f.lines)
	case f.first < 1 || f.first > f.lines:
		return a, fmt.Errorf("--first: line %d of a dial with %d lines", f.first, f.lines)
	default:
		a.marks, err = a.dial.Marks(a.leadscrew, a.thread)
	}
	if err != nil {
		return a, err
	}
	if a.marks.HalfNuts == gear.StayClosed {
		if d, err := gear.DialWheel(a.leadscrew, 14, a.thread); err == nil {
			a.serves = &d
		}
	}
	return a, nil
}

type calcMarksResult struct {
	Lines    []int      `json:"lines"`
	HalfNuts string     `json:"halfnuts"`
	Step     int        `json:"step"`
	Common   calcMM     `json:"common_travel_mm"`
	Threads  int64      `json:"leadscrew_threads"`
	Turn     *calcMM    `json:"dial_turn_mm"`
	Serves   *calcServe `json:"serving_dial"`
}

type calcServe struct {
	Wheel int `json:"wheel"`
	Lines int `json:"lines"`
}

func (a calcMarks) json() calcMarksResult {
	r := calcMarksResult{Lines: calcList(a.marks.Lines), HalfNuts: a.marks.HalfNuts.String(), Step: a.marks.Step, Common: calcMM(a.marks.Common), Threads: a.marks.Threads}
	if a.dial.Wheel > 0 {
		turn := calcMM(a.dial.Turn(a.leadscrew))
		r.Turn = &turn
	}
	if a.serves != nil {
		r.Serves = &calcServe{a.serves.Wheel, a.serves.Lines}
	}
	return r
}

func (a calcMarks) table(out io.Writer) {
	fmt.Fprintf(out, "%s thread on a leadscrew of %s\n", a.thread, a.leadscrew)
	if a.dial.Wheel > 0 || a.marks.HalfNuts == gear.Anywhere {
		fmt.Fprintf(out, "half-nuts      %s\n", a.marks.HalfNuts)
	}
	if len(a.marks.Lines) > 0 {
		s := make([]string, len(a.marks.Lines))
		for i, n := range a.marks.Lines {
			s[i] = strconv.Itoa(n)
		}
		fmt.Fprintf(out, "lines          %s\n", strings.Join(s, ", "))
	}
	fmt.Fprintf(out, "common travel  %s, %d leadscrew threads\n", a.marks.Common, a.marks.Threads)
	switch {
	case a.serves != nil:
		fmt.Fprintf(out, "hint: a dial with a wheel of %d teeth and %d lines would serve\n", a.serves.Wheel, a.serves.Lines)
	case a.marks.HalfNuts == gear.StayClosed:
		fmt.Fprintln(out, "no dial serves this pair: keep the half-nuts closed and reverse the spindle")
	}
}

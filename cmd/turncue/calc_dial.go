package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence/job"
)

type calcDialFlags struct {
	travel, marked, slack, from, to, offset, now, lathe, slide string
	divisions                                                  int
	onDiameter, json                                           bool
}

// calcDialCommand is turncue calc dial: what a ring shows for a diameter.
func calcDialCommand() *cobra.Command {
	var f calcDialFlags
	c := &cobra.Command{
		Use:   "dial",
		Short: "What a dial shows for a diameter: turns, reading, slack",
		Long: `Gives the turns and the reading of a handwheel's ring for a position, from the zero at
--from, rounded once to a division. True travel and what the ring says are separate:
a ring may show diameter, or belong to another screw.`,
		Example: `  turncue calc dial --travel 1mm --divisions 50 --from 20mm --to 18.55mm
  turncue calc dial --travel 0.05in --marked 1.25mm --divisions 50 --offset 1mm`,
		Args: cobra.NoArgs,
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
	fl.StringVar(&f.travel, "travel", "", "what the slide really moves in one turn: 1mm, 0.1in")
	fl.StringVar(&f.marked, "marked", "", "what the ring says for one turn (the travel, or twice it with --on-diameter)")
	fl.IntVar(&f.divisions, "divisions", 0, "lines on the ring")
	fl.BoolVar(&f.onDiameter, "on-diameter", false, "the ring shows the change of diameter")
	fl.StringVar(&f.slack, "slack", "", "travel lost on reversing: 0.15mm (0)")
	fl.StringVar(&f.from, "from", "", "diameter at which the ring was zeroed: 20mm")
	fl.StringVar(&f.to, "to", "", "diameter wanted: 18.55mm")
	fl.StringVar(&f.offset, "offset", "", "instead of diameters: travel inwards from zero")
	fl.StringVar(&f.now, "now", "", "diameter the tool stands at now, to say whether slack has to be taken up")
	fl.StringVar(&f.lathe, "lathe", "", "file of the lathe: the dial comes from it")
	fl.StringVar(&f.slide, "slide", "cross", "which of its dials: cross, top or carriage")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

type calcDial struct {
	dial     setup.Dial
	offset   calc.Length
	setting  setup.Setting
	approach *setup.Approach
	back     setup.Setting // where to back off to, before coming in
	finer    *setup.TopSlide
	share    calc.Ratio
}

func (f calcDialFlags) answer() (a calcDial, err error) {
	l, err := calcLathe(f.lathe)
	if err != nil {
		return a, err
	}
	if a.dial, err = f.dial(l); err != nil {
		return a, err
	}
	var from, to, now calc.Length
	if err := calcLengths(calcGiven{"from", f.from, &from}, calcGiven{"to", f.to, &to}, calcGiven{"now", f.now, &now}); err != nil {
		return a, err
	}
	switch {
	case f.offset != "" && (from != 0 || to != 0):
		return a, fmt.Errorf("--offset: give a travel or two diameters, not both")
	case f.offset != "":
		if a.offset, err = calcLength("offset", f.offset); err != nil {
			return a, err
		}
	case from == 0:
		return a, calcMissing("from", "the diameter at which the ring was zeroed, such as 20mm, or a travel with --offset")
	case to == 0:
		return a, calcMissing("to", "the diameter wanted, such as 18.55mm")
	default:
		a.offset = calc.Mid(0, from-to)
	}
	if a.offset.Abs() > 1000*calc.Millimetre {
		return a, fmt.Errorf("--offset: %s is further than any slide goes", a.offset)
	}
	a.setting = a.dial.Setting(a.offset)
	if now != 0 {
		if from == 0 {
			return a, fmt.Errorf("--now: give the diameters with --from and --to as well")
		}
		p := a.dial.Approach(calc.Mid(0, from-now), a.offset)
		a.approach = &p
		if p.BackOff {
			// The line at or beyond the slack.
			a.back = a.dial.Setting(a.dial.SnapIn(p.Beyond))
		}
	}
	if move := a.offset.Abs(); move > 0 && move < a.dial.Division() {
		if s, share, err := setup.Finer(move, a.dial.Division()); err == nil {
			a.finer, a.share = &s, share
		}
	}
	return a, nil
}

func (f calcDialFlags) dial(l *job.Lathe) (d setup.Dial, err error) {
	if l != nil {
		switch strings.ToLower(f.slide) {
		case "cross":
			d = l.Cross
		case "top":
			d = l.Top
		case "carriage":
			if l.Carriage == nil {
				return d, fmt.Errorf("--slide: the lathe's carriage wheel has no ring")
			}
			d = *l.Carriage
		default:
			return d, fmt.Errorf("--slide: %q: cross, top or carriage", f.slide)
		}
	}
	var given setup.Dial
	if err := calcLengths(calcGiven{"travel", f.travel, &given.Travel}, calcGiven{"marked", f.marked, &given.Marked}); err != nil {
		return d, err
	}
	if given.Slack, err = calcLength("slack", f.slack); err != nil {
		return d, err
	}
	if f.slack != "" {
		d.Slack = given.Slack
	}
	if given.Travel != 0 {
		d.Travel, d.Marked, d.OnDiameter = given.Travel, given.Marked, f.onDiameter
	}
	if f.divisions != 0 {
		d.Divisions = f.divisions
	}
	switch {
	case d.Travel == 0:
		return d, calcMissing("travel", "what the slide moves in one turn, such as 1mm")
	case d.Divisions == 0:
		return d, calcMissing("divisions", "the number of lines on the ring")
	}
	if err := d.Check(); err != nil {
		return d, calcFlag("travel", err)
	}
	return d, nil
}

type calcDialResult struct {
	Travel    calcMM      `json:"travel_mm"`
	Turns     int         `json:"turns"`
	Reading   calcMM      `json:"reading_mm"`
	Line      int64       `json:"line"`
	Divisions calcNumber  `json:"divisions"` // from zero, before rounding to a line
	Set       calcMM      `json:"set_travel_mm"`
	Rest      calcMM      `json:"rest_mm"`
	BackOff   *bool       `json:"back_off"`
	Beyond    *calcMM     `json:"back_off_to_mm"`
	FineAngle *calcNumber `json:"fine_feed_deg"`
}

func (a calcDial) json() calcDialResult {
	s := a.setting
	r := calcDialResult{
		Travel: calcMM(a.offset), Turns: s.Turns, Reading: calcMM(s.Reading), Line: s.Divisions.Num(), Divisions: calcNumber(s.Exact.Float()),
		Set: calcMM(a.offset - s.Rest), Rest: calcMM(s.Rest),
	}
	if a.approach != nil {
		r.BackOff = &a.approach.BackOff
		if a.approach.BackOff {
			b := calcMM(a.approach.Beyond)
			r.Beyond = &b
		}
	}
	if a.finer != nil {
		v := calcNumber(a.finer.FromAxis.Degrees())
		r.FineAngle = &v
	}
	return r
}

func (a calcDial) table(out io.Writer) {
	inch := a.dial.MarkedDivision()%calc.Thou == 0
	reading := func(l calc.Length) string {
		if inch {
			return l.Trimmed(calc.Inch, 4) + " in"
		}
		return l.Trimmed(calc.Millimetre, 4) + " mm"
	}
	show := func(s setup.Setting) string {
		return fmt.Sprintf("%d turns and %s on the ring, line %d of %d", s.Turns, reading(s.Reading), s.Divisions.Num(), a.dial.Divisions)
	}
	fmt.Fprintf(out, "the slide moves  %s from zero\n", reading(a.offset))
	fmt.Fprintf(out, "set              %s\n", show(a.setting))
	if a.setting.Rest != 0 {
		fmt.Fprintf(out, "left over        %s of travel, %.2f of a division\n", a.setting.Rest.Trimmed(calc.Millimetre, 4)+" mm", float64(a.setting.Rest)/float64(a.dial.Division()))
	}
	switch {
	case a.approach == nil:
	case a.approach.BackOff:
		fmt.Fprintf(out, "first back off   past %s, then come in\n", show(a.back))
	default:
		fmt.Fprintln(out, "come straight in: no slack to take up")
	}
	if a.finer != nil {
		fmt.Fprintf(out, "hint: finer than a division: set the top slide to %.2f degrees from the axis, it moves the tool in by %s of what it travels\n", a.finer.FromAxis.Degrees(), a.share)
	}
}

package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/gear"
)

// calcGearsFlags is what the flags of turncue calc gears were given.
type calcGearsFlags struct {
	leadscrew, gears, length, diameter, train, fixed, present, levers, lever, scratch, lathe string
	banjo                                                                                    calcBanjoFlags
	most                                                                                     int
	left, tumbler, tumblerGiven, chart, json                                                 bool
}

// calcGearsCommand is turncue calc gears: trains for a lead from the wheels
// owned, or what a given train cuts.
func calcGearsCommand() *cobra.Command {
	var f calcGearsFlags
	c := &cobra.Command{
		Use:   "gears [LEAD]",
		Short: "Change gears for a lead: which wheels, will they mount, what do they cut",
		Long: `Finds the change gears that cut a lead, or a feed per turn, on a leadscrew from the
wheels owned, best first, and says what each really cuts and whether it can be
mounted. A train is written a-b-c-d: a drives b, b and c share a stud, c drives d
on the leadscrew.`,
		Example: `  turncue calc gears "1.0 mm" --leadscrew 16tpi --gears 20,20,30,35,40,40,45,50,55,57,60,65,80,80 --module 1 --clearance 6mm --length 20mm
  turncue calc gears 1mm --leadscrew 16tpi --train 21-30-45-50 --clearance 4mm
  turncue calc gears --chart --leadscrew 1.5mm --gears 20,20,30,35,40,40,45,50,55,57,60,65,80,80`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			f.tumblerGiven = c.Flags().Changed("tumbler")
			w, train, err := f.want(args)
			if err != nil {
				return err
			}
			if f.chart {
				rows, err := gear.Chart(w, gear.Standards())
				if err != nil {
					return err
				}
				if f.json {
					return calcJSON(c.OutOrStdout(), calcChartJSON(w, rows))
				}
				return calcChartTable(c.OutOrStdout(), w, rows)
			}
			if f.scratch != "" {
				return calcScratch(c.OutOrStdout(), f, w, train)
			}
			res, err := calcGears(w, train)
			if err != nil {
				return err
			}
			if f.json {
				return calcJSON(c.OutOrStdout(), calcGearsJSON(w, res))
			}
			return calcGearsTable(c.OutOrStdout(), w, res)
		},
	}
	fl := c.Flags()
	fl.StringVar(&f.leadscrew, "leadscrew", "", "lead of the leadscrew: 16tpi, 1.5mm")
	fl.StringVar(&f.gears, "gears", "", "wheels owned, by teeth: 20,20,30,35,40")
	f.banjo.add(fl)
	fl.StringVar(&f.length, "length", "", "length of the thread, for the drift over it: 20mm")
	fl.StringVar(&f.diameter, "diameter", "", "diameter of the thread, for judging the error: 12mm (eight pitches)")
	fl.StringVar(&f.train, "train", "", "check this train instead of searching: 80-45-20-60, an idler as idler65")
	fl.StringVar(&f.present, "present", "", "train mounted now: trains with fewer changes go first among equals")
	fl.StringVar(&f.fixed, "fixed", "", "turns of the first driver per turn of the spindle: 1/2 (1)")
	fl.StringVar(&f.levers, "levers", "", "positions of a gearbox, turns of the leadscrew per turn of its input: A=1,B=1/2,C=2")
	fl.StringVar(&f.lever, "lever", "", "the gearbox position a train to check is used at: B (the first)")
	fl.StringVar(&f.scratch, "scratch", "", "a scratch pass measured, threads and length over them: 10@1.54in; says what was cut and what slip explains it")
	fl.IntVar(&f.most, "most", 0, "trains to give, at most (40; 12 in the table)")
	fl.BoolVar(&f.left, "left", false, "a left-hand thread")
	fl.BoolVar(&f.tumbler, "tumbler", false, "the lathe has a tumbler that reverses the leadscrew")
	fl.BoolVar(&f.chart, "chart", false, "the best train for every standard pitch, thread count and feed")
	fl.StringVar(&f.lathe, "lathe", "", "file of the lathe: leadscrew, wheels, gearbox and banjo come from it")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

// want is the question the flags put. The train is nil for a search. Without a
// lead a train to check is compared with what it cuts itself.
func (f calcGearsFlags) want(args []string) (w gear.Want, train *gear.Train, err error) {
	l, err := calcLathe(f.lathe)
	if err != nil {
		return w, nil, err
	}
	if l != nil {
		w = l.Gearing()
	}
	if f.leadscrew != "" {
		if w.Leadscrew, err = calcLead("leadscrew", f.leadscrew); err != nil {
			return w, nil, err
		}
	}
	if w.Leadscrew.IsZero() {
		return w, nil, errors.New("--leadscrew: give the lead of the leadscrew, such as 16tpi or 1.5mm")
	}
	if err := f.banjo.set(&w.Banjo); err != nil {
		return w, nil, err
	}
	var length, diameter calc.Length
	if err := calcLengths(calcGiven{"length", f.length, &length}, calcGiven{"diameter", f.diameter, &diameter}); err != nil {
		return w, nil, err
	}
	w.Length, w.Diameter = length, diameter
	if f.fixed != "" {
		if w.Fixed, err = calc.ParseRatio(f.fixed); err != nil {
			return w, nil, calcFlag("fixed", err)
		}
		if w.Fixed.Sign() <= 0 {
			return w, nil, fmt.Errorf("--fixed: %s is not above zero", w.Fixed)
		}
	}
	if f.levers != "" {
		if w.Levers, err = calcLevers(f.levers); err != nil {
			return w, nil, err
		}
	}
	if f.gears != "" {
		if w.Wheels, err = gear.ParseWheels(f.gears); err != nil {
			return w, nil, calcFlag("gears", err)
		}
	}
	if f.present != "" {
		if w.Present, err = gear.Parse(f.present); err != nil {
			return w, nil, calcFlag("present", err)
		}
	}
	if f.most < 0 {
		return w, nil, fmt.Errorf("--most: %d trains, give 1 or more", f.most)
	}
	w.Most, w.LeftHand = f.most, f.left
	if f.tumblerGiven || l == nil {
		w.Tumbler = f.tumbler
	}
	known := w.Banjo.Studs != 0
	if !known {
		w.Banjo.Studs = 1
	}
	if f.train != "" {
		t, err := gear.Parse(f.train)
		if err != nil {
			return w, nil, calcFlag("train", err)
		}
		if f.lever != "" && !slices.ContainsFunc(w.Levers, func(l gear.Lever) bool { return l.Name == f.lever }) {
			return w, nil, fmt.Errorf("--lever: no position %q: name it with --levers or in the lathe's file", f.lever)
		}
		t.Lever = f.lever
		train = &t
		if !known {
			w.Banjo.Studs = len(t.Drivers) + len(t.Idlers) - 1
		}
	} else if len(w.Wheels) == 0 && f.scratch == "" {
		return w, nil, errors.New("--gears: name the wheels owned, such as 20,20,30,35,40, or a train to check with --train")
	}
	if f.chart {
		if train != nil || len(args) > 0 {
			return w, nil, errors.New("--chart: the chart has every lead, give no lead and no --train")
		}
		return w, nil, nil
	}
	if len(args) == 1 {
		if w.Lead, err = calc.ParseLead(args[0]); err != nil {
			return w, nil, err
		}
		return w, train, nil
	}
	if train == nil {
		return w, nil, errors.New("no lead: give the one to cut, such as 1.5mm or 27tpi")
	}
	w.Lead, err = train.Cuts(w)
	return w, train, err
}

// calcGears searches, or checks the train where there is one.
func calcGears(w gear.Want, train *gear.Train) (gear.Result, error) {
	if train == nil {
		return gear.Search(w)
	}
	t, err := gear.Check(*train, w)
	return gear.Result{Trains: []gear.Train{t}}, err
}

type calcGearsResult struct {
	Wanted    calcMM           `json:"wanted_mm"`
	Leadscrew calcMM           `json:"leadscrew_mm"`
	Trains    []calcGearsTrain `json:"trains"`
	Refused   []calcGearsTrain `json:"refused"`
	Hints     []string         `json:"hints"`
}

type calcGearsTrain struct {
	Lever   string     `json:"lever,omitempty"`
	Drivers []int      `json:"drivers"`
	Driven  []int      `json:"driven"`
	Idlers  []int      `json:"idlers"`
	Lead    calcMM     `json:"lead_mm"`
	Error   calcNumber `json:"error_ppm"`
	Drift   calcMM     `json:"drift_mm"`
	Share   calcNumber `json:"tolerance_share"`
	Verdict string     `json:"verdict"`
	StepUp  calcNumber `json:"stepup"`
	Mounts  bool       `json:"mounts"`
	Gaps    []calcMM   `json:"gaps_mm"`
	Notes   []string   `json:"notes"`
}

// calcTrains is trains as JSON has them.
func calcTrains(trains []gear.Train) []calcGearsTrain {
	out := make([]calcGearsTrain, len(trains))
	for i, t := range trains {
		out[i] = calcGearsTrain{
			Lever: t.Lever, Drivers: calcList(t.Drivers), Driven: calcList(t.Driven), Idlers: calcList(t.Idlers),
			Lead: calcMM(t.Lead.Length()), Error: calcNumber(t.PPM()), Drift: calcMM(t.Drift),
			Share: calcNumber(t.Share), Verdict: t.Verdict.String(), StepUp: calcNumber(t.StepUp),
			Mounts: t.Fits, Gaps: calcMMs(t.Gaps), Notes: calcList(t.Notes),
		}
	}
	return out
}

func calcGearsJSON(w gear.Want, res gear.Result) calcGearsResult {
	return calcGearsResult{
		Wanted: calcMM(w.Lead.Length()), Leadscrew: calcMM(w.Leadscrew.Length()),
		Trains: calcTrains(res.Trains), Refused: calcTrains(res.Refused), Hints: calcList(res.Hints),
	}
}

// calcGearsRows is how many trains the table shows unless asked otherwise.
const calcGearsRows = 12

func calcGearsTable(out io.Writer, w gear.Want, res gear.Result) error {
	fmt.Fprintf(out, "%s on a leadscrew of %s\n", w.Lead, w.Leadscrew)
	rows := res.Trains
	if w.Most == 0 {
		rows = rows[:min(len(rows), calcGearsRows)]
	}
	if len(rows) > 0 {
		tw := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
		head := []string{"train", "cuts", "error", "step-up", "mounts", "gaps", "nut"}
		if w.Length > 0 {
			head = append(head, "drift over "+w.Length.String())
		}
		fmt.Fprintln(tw, strings.Join(head, "\t"))
		for _, t := range rows {
			row := []string{calcTrain(t), t.Lead.Length().String(), calcPPM(t), fmt.Sprintf("%.3f", t.StepUp), calcYes(t.Fits), calcGaps(t.Gaps), t.Verdict.String()}
			if w.Length > 0 {
				row = append(row, t.Drift.Trimmed(calc.Millimetre, 4)+" mm")
			}
			fmt.Fprintln(tw, strings.Join(row, "\t"))
		}
		if err := tw.Flush(); err != nil {
			return err
		}
	}
	if n := len(res.Trains) - len(rows); n > 0 {
		fmt.Fprintf(out, "and %d more: --most %d shows them\n", n, len(res.Trains))
	}
	for _, t := range rows {
		for _, n := range t.Notes {
			fmt.Fprintf(out, "%s: %s\n", t, n)
		}
	}
	for _, h := range res.Hints {
		fmt.Fprintf(out, "hint: %s\n", h)
	}
	return nil
}

// calcTrain is a train with the gearbox lever it is for.
func calcTrain(t gear.Train) string {
	if t.Lever == "" {
		return t.String()
	}
	return t.String() + " at " + t.Lever
}

func calcPPM(t gear.Train) string {
	if t.Exact() {
		return "exact"
	}
	return fmt.Sprintf("%+.0f ppm", t.PPM())
}

func calcYes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func calcGaps(gaps []calc.Length) string {
	if len(gaps) == 0 {
		return "-"
	}
	s := make([]string, len(gaps))
	for i, g := range gaps {
		s[i] = g.Trimmed(calc.Millimetre, 1)
	}
	return strings.Join(s, " ") + " mm"
}

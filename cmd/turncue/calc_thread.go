package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/thread"
)

// calcThreadFlags is what the flags of turncue calc thread were given.
type calcThreadFlags struct {
	tip, slide, turned, wire, first, smallest, division, units string
	spring                                                     int
	json                                                       bool
}

// calcThreadCommand is turncue calc thread: sizes, depth, passes and wires of
// one thread.
func calcThreadCommand() *cobra.Command {
	var f calcThreadFlags
	c := &cobra.Command{
		Use:   "thread SPEC",
		Short: "One thread: what to turn to, how deep, in which passes, how to measure it",
		Long: `Gives the limits of a thread, the diameter to turn (or bore) to before threading, the
depth for the tip of your tool as a window, the passes, and the reading over three
wires. Diameters are diameters; every depth is on radius, from the turned surface.
Begin to gauge at the start of the window, aim at its middle, and never go past its
limit.`,
		Example: `  turncue calc thread M10x1-6g --tip "radius 0.1 mm" --turned 9.88mm
  turncue calc thread "M12x1.75 LH" --tip sharp --slide-angle 29.5 --wire 1mm`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a, err := f.answer(args[0])
			if err != nil {
				return err
			}
			if f.json {
				return calcJSON(c.OutOrStdout(), a.json())
			}
			return a.table(c.OutOrStdout())
		},
	}
	fl := c.Flags()
	fl.StringVar(&f.tip, "tip", "", `tip of the tool: sharp, "flat 0.2 mm", "radius 0.1 mm", "flat P/8" (the standard's design root)`)
	fl.StringVar(&f.slide, "slide-angle", "", "angle of the slide that feeds in, from the cross slide: 29.5 (0)")
	fl.StringVar(&f.turned, "turned", "", "diameter really turned or bored: 9.88mm (the middle of its band)")
	fl.StringVar(&f.wire, "wire", "", "diameter of the measuring wires: 0.6mm (the best wire)")
	fl.StringVar(&f.first, "first", "", "deepest pass, on radius: 0.15mm (0.15 of the pitch, 0.1 to 0.3 mm)")
	fl.StringVar(&f.smallest, "smallest", "0.03mm", "lightest pass, on radius")
	fl.StringVar(&f.division, "division", "0.01mm", "what one division of the dial moves the tool, on radius")
	fl.IntVar(&f.spring, "spring", 1, "passes at the final depth again")
	fl.StringVar(&f.units, "units", "", "mm or in, for the table (as the thread is)")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON, in millimetres")
	return c
}

// calcThread is the answer about one thread.
type calcThread struct {
	thread  thread.Thread
	limits  thread.Limits
	size    fit.Limits // to turn or bore to
	turned  calc.Length
	tip     thread.Tip
	tipFrom string // where a tip that was not given is from
	depth   thread.Depth
	slide   calc.Angle
	passes  []calc.Length
	wire    calc.Length // zero where wires do not measure it
	over    fit.Limits
	inch    bool
}

func (f calcThreadFlags) answer(spec string) (a calcThread, err error) {
	if a.thread, err = thread.Parse(spec); err != nil {
		return a, err
	}
	switch f.units {
	case "", "mm", "in":
		a.inch = f.units == "in"
	default:
		return a, fmt.Errorf("--units: %q is not known, write mm or in", f.units)
	}
	if a.limits, err = a.thread.Limits(); err != nil {
		return a, err
	}
	if a.size, err = a.thread.TurnTo(); err != nil {
		return a, err
	}
	a.turned = a.size.Nominal
	if f.turned != "" {
		if a.turned, err = calcLength("turned", f.turned); err != nil {
			return a, err
		}
		if a.turned <= 0 {
			return a, fmt.Errorf("--turned: %s is not above zero", a.turned)
		}
	}
	if err := f.cut(&a); err != nil {
		return a, err
	}
	if a.thread.External {
		a.wire = a.thread.BestWire()
		if f.wire != "" {
			if a.wire, err = calcLength("wire", f.wire); err != nil {
				return a, err
			}
		}
		a.over, err = a.thread.OverWires(a.wire)
	} else if f.wire != "" {
		err = fmt.Errorf("--wire: wires measure outside threads only, gauge an inside one with a plug")
	}
	return a, err
}

// cut works out tip, depth and passes.
func (f calcThreadFlags) cut(a *calcThread) (err error) {
	words := f.tip
	if words == "" {
		words, a.tipFrom = "radius H/6", "H/6, the design root"
		if !a.thread.External {
			words, a.tipFrom = "flat P/8", "P/8, the basic root"
		}
	}
	if a.tip, err = thread.ParseTip(words, a.thread.Pitch); err != nil {
		return calcFlag("tip", err)
	}
	if a.depth, err = a.thread.Depth(a.tip, a.turned); err != nil {
		return err
	}
	if f.slide != "" {
		s := f.slide
		if last := s[len(s)-1]; last >= '0' && last <= '9' || last == '.' {
			s += " deg"
		}
		if a.slide, err = calc.ParseAngle(s); err != nil {
			return calcFlag("slide-angle", err)
		}
		if a.slide < 0 || a.slide > a.thread.Angle {
			return fmt.Errorf("--slide-angle: %s is not between 0 and %s: count it from the cross slide, 29.5 where a protractor counts 60.5 from the lathe's axis", a.slide, a.thread.Angle)
		}
	}
	p := thread.PassPlan{Total: a.depth.Aim, Spring: f.spring}
	for _, l := range []struct {
		flag, text string
		to         *calc.Length
	}{{"first", f.first, &p.First}, {"smallest", f.smallest, &p.Smallest}, {"division", f.division, &p.Graduation}} {
		if *l.to, err = calcLength(l.flag, l.text); err != nil {
			return err
		}
		if *l.to <= 0 && l.text != "" {
			return fmt.Errorf("--%s: %s is not above zero", l.flag, *l.to)
		}
	}
	if f.first == "" {
		// Common practice on a small lathe.
		p.First = min(max(a.thread.Pitch.Length()*15/100, calc.Millimetre/10), 3*calc.Millimetre/10)
	}
	a.passes, err = thread.Passes(p)
	return err
}

type calcBand struct {
	Min calcMM `json:"min_mm"`
	Max calcMM `json:"max_mm"`
}

type calcSize struct {
	Nominal calcMM `json:"nominal_mm"`
	calcBand
}

type calcThreadDepth struct {
	FromNominal calcMM    `json:"from_nominal_mm"`
	FromTurned  calcMM    `json:"from_turned_mm"`
	Window      [2]calcMM `json:"window_mm"`
	Along       calcMM    `json:"along_slide_mm"`
}

type calcThreadWires struct {
	Size calcMM   `json:"size_mm"`
	Over calcBand `json:"over"`
}

type calcThreadPass struct {
	N     int    `json:"n"`
	Depth calcMM `json:"depth_mm"`
	Add   calcMM `json:"add_mm"`
}

type calcThreadResult struct {
	Designation string           `json:"designation"`
	Family      string           `json:"family"`
	Angle       calcNumber       `json:"form_angle_deg"`
	External    bool             `json:"external"`
	Hand        string           `json:"hand"`
	Starts      int              `json:"starts"`
	Pitch       calcMM           `json:"pitch_mm"`
	Lead        calcMM           `json:"lead_mm"`
	Major       calcBand         `json:"major"`
	PitchDia    calcBand         `json:"pitch_diameter"`
	Minor       calcBand         `json:"minor"`
	TurnTo      *calcSize        `json:"turn_to,omitempty"`
	BoreTo      *calcSize        `json:"bore_to,omitempty"`
	Depth       calcThreadDepth  `json:"depth"`
	Wires       *calcThreadWires `json:"wires,omitempty"`
	Passes      []calcThreadPass `json:"passes"`
	Sources     []string         `json:"sources"`
}

func (a calcThread) json() calcThreadResult {
	band := func(l fit.Limits) calcBand { return calcBand{calcMM(l.Min), calcMM(l.Max)} }
	t := a.thread
	r := calcThreadResult{
		Designation: t.String(), Family: t.Family.String(), Angle: calcNumber(t.Angle.Degrees()), External: t.External, Hand: a.hand(),
		Starts: t.Starts, Pitch: calcMM(t.Pitch.Length()), Lead: calcMM(t.Lead.Length()),
		Major: band(a.limits.Major), PitchDia: band(a.limits.Pitch), Minor: band(a.limits.Minor),
		Depth:  calcThreadDepth{calcMM(a.depth.FromNominal), calcMM(a.depth.Aim), [2]calcMM{calcMM(a.depth.Start), calcMM(a.depth.Limit)}, calcMM(a.depth.Along(a.slide))},
		Passes: []calcThreadPass{}, Sources: calcList(a.limits.Sources),
	}
	size := &calcSize{calcMM(a.size.Nominal), band(a.size)}
	if t.External {
		r.TurnTo = size
	} else {
		r.BoreTo = size
	}
	if a.wire > 0 {
		r.Wires = &calcThreadWires{calcMM(a.wire), band(a.over)}
	}
	before := calc.Length(0)
	for i, d := range a.passes {
		r.Passes = append(r.Passes, calcThreadPass{i + 1, calcMM(d), calcMM(d - before)})
		before = d
	}
	return r
}

func (a calcThread) hand() string {
	if a.thread.LeftHand {
		return "left"
	}
	return "right"
}

// length writes a figure in the unit asked for: three places of a millimetre or
// four of an inch.
func (a calcThread) length(l calc.Length) string {
	if a.inch {
		return l.Decimal(calc.Inch, 4) + " in"
	}
	return l.Decimal(calc.Millimetre, 3) + " mm"
}

func (a calcThread) table(out io.Writer) error {
	t := a.thread
	side, first := "outside", "turn to"
	if !t.External {
		side, first = "inside", "bore to"
	}
	kind := fmt.Sprintf("%s, %s-hand, %s, %s", t.Family, a.hand(), side, t.Angle)
	pitch := "pitch " + t.Pitch.String()
	if t.Starts > 1 {
		pitch = fmt.Sprintf("%d starts, %s, lead %s", t.Starts, pitch, t.Lead)
	}
	fmt.Fprintf(out, "%s  (%s, %s)\n", t, kind, pitch)
	tw := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	row := func(cells ...string) { fmt.Fprintln(tw, "  "+strings.Join(cells, "\t")) }
	row(first, a.length(a.size.Nominal), "from", a.length(a.size.Min), "to", a.length(a.size.Max))
	row("major diameter", "", "from", a.length(a.limits.Major.Min), "to", a.length(a.limits.Major.Max))
	row("pitch diameter", "", "from", a.length(a.limits.Pitch.Min), "to", a.length(a.limits.Pitch.Max))
	row("minor diameter", "", "from", a.length(a.limits.Minor.Min), "to", a.length(a.limits.Minor.Max))
	row("depth on radius", a.length(a.depth.Aim), "from", a.length(a.depth.Start), "to", a.length(a.depth.Limit))
	row("depth from nominal", a.length(a.depth.FromNominal))
	if a.slide != 0 {
		row("along the slide", a.length(a.depth.Along(a.slide)), "at", a.slide.String())
	}
	if a.wire > 0 {
		row("over three wires", "of "+a.length(a.wire), "from", a.length(a.over.Min), "to", a.length(a.over.Max))
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	from := ""
	if a.tipFrom != "" {
		from = " (" + a.tipFrom + "; give yours with --tip)"
	}
	fmt.Fprintf(out, "depth is from %s with tip %s%s\n", a.length(a.turned), a.tip, from)
	steps := make([]string, len(a.passes))
	for i, d := range a.passes {
		steps[i] = strings.Fields(a.length(d))[0]
	}
	fmt.Fprintf(out, "passes, depth reached: %s\n", strings.Join(steps, " "))
	fmt.Fprintf(out, "source: %s\n", strings.Join(a.limits.Sources, "; "))
	return nil
}

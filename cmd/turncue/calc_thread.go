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
	tip, slide, turned, wire, overWires, first, smallest, division, law, drills, units string
	finish, spring                                                                     int
	infeed                                                                             string
	driver                                                                             int
	percent                                                                            float64
	json                                                                               bool
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
		Example: `  turncue calc thread 3/8-24 --wire 0.024in --over-wires 0.381in
  turncue calc thread M10x1-6g --tip "radius 0.1 mm" --turned 9.88mm
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
	fl.StringVar(&f.tip, "tip", "", `tip of the tool: sharp, "flat 0.2 mm", "radius 0.1 mm", "flat P/8" "insert 1 to 1.5 mm" (the standard's design root)`)
	fl.StringVar(&f.slide, "slide-angle", "", "angle of the slide that feeds in, from the cross slide: 29.5 (0)")
	fl.StringVar(&f.turned, "turned", "", "diameter really turned or bored: 9.88mm (the middle of its band)")
	fl.StringVar(&f.wire, "wire", "", "diameter of the measuring wires: 0.6mm (the best wire)")
	fl.StringVar(&f.overWires, "over-wires", "", "a reading over three wires, to turn into the pitch diameter: 12.30mm")
	fl.StringVar(&f.first, "first", "", "deepest pass, on radius: 0.15mm (0.15 of the pitch, 0.1 to 0.3 mm)")
	fl.StringVar(&f.smallest, "smallest", "0.03mm", "lightest pass, on radius")
	fl.StringVar(&f.division, "division", "0.01mm", "what one division of the dial moves the tool, on radius")
	fl.StringVar(&f.law, "law", "area", "how the passes share the depth: area, depth, falling")
	fl.StringVar(&f.infeed, "infeed", "straight", "straight, flank (at the slide's angle, or the flank's own), modified or alternating")
	fl.IntVar(&f.driver, "driver", 0, "teeth of the first driver, for coming from start to start by its teeth")
	fl.IntVar(&f.finish, "finish", 0, "last passes of the lightest depth, before the spring passes")
	fl.IntVar(&f.spring, "spring", 1, "passes at the final depth again")
	fl.StringVar(&f.drills, "drills", "", "tap drill from these sets: metric,number,letter,fraction (the standard's, or any inch drill)")
	fl.Float64Var(&f.percent, "percent", 75, "share of a full thread for the tap drill, by the US rule")
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
	full    thread.Tip // the tip that leaves the whole groove; the same but for a narrow flat one
	tipFrom string     // where a tip that was not given is from
	depth   thread.Depth
	slide   calc.Angle
	passes  []calc.Length
	wire    calc.Length // zero where wires do not measure it
	over    fit.Limits
	reading calc.Length // over the wires; zero: none
	read    calc.Length // the pitch diameter it stands for
	taper   *thread.TaperSizes
	drill   thread.Drill // for the nut; empty where none is right
	ground  calcGround
	inch    bool
}

func (f calcThreadFlags) answer(spec string) (a calcThread, err error) {
	if a.thread, err = thread.Parse(spec); err != nil {
		return a, err
	}
	switch f.units {
	case "":
		switch a.thread.Family {
		case thread.Unified, thread.Whitworth, thread.AmericanPipe, thread.Acme, thread.Cycle:
			a.inch = true
		}
	case "mm", "in":
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
	if a.ground, err = f.ground(&a); err != nil {
		return a, err
	}
	if t, err := a.thread.TaperSizes(); err == nil {
		a.taper = &t
	}
	if a.drill, err = f.tapDrill(a.thread); err != nil {
		return a, err
	}
	return a, f.measure(&a)
}

// measure works out the reading over wires, where wires can measure the thread.
func (f calcThreadFlags) measure(a *calcThread) (err error) {
	a.wire = a.thread.BestWire()
	if f.wire != "" {
		if a.wire, err = calcLength("wire", f.wire); err != nil {
			return err
		}
	}
	asked := f.wire != "" || f.overWires != ""
	if a.over, err = a.thread.OverWires(a.wire); err != nil {
		if a.wire = 0; asked {
			return err
		}
		return nil
	}
	if f.overWires == "" {
		return nil
	}
	if a.reading, err = calcLength("over-wires", f.overWires); err != nil {
		return err
	}
	a.read, err = a.thread.PitchFromWires(a.reading, a.wire)
	return err
}

// tapDrill is the drill for the nut: from the sets named, the one nearest to the
// share of thread; without any, the standard's drill for an ISO metric thread and
// an inch drill for a Unified one. Empty for a family without a rule.
func (f calcThreadFlags) tapDrill(t thread.Thread) (thread.Drill, error) {
	sets := strings.FieldsFunc(f.drills, func(r rune) bool { return r == ',' || r == ' ' })
	if len(sets) == 0 {
		if d, err := t.TapDrill(); err == nil {
			return thread.Drill{Name: d.Trimmed(calc.Millimetre, 3) + " mm", Diameter: d}, nil
		}
		if t.Family != thread.Unified {
			return thread.Drill{}, nil
		}
		sets = []string{thread.NumberDrills, thread.LetterDrills, thread.FractionDrills}
	}
	var all []thread.Drill
	for _, name := range sets {
		set, err := thread.DrillSet(name)
		if err != nil {
			return thread.Drill{}, calcFlag("drills", err)
		}
		if name == thread.MetricDrills {
			for i := range set {
				set[i].Name += " mm"
			}
		}
		all = append(all, set...)
	}
	d, err := t.DrillFrom(all, f.percent, thread.USHeight)
	if err != nil && f.drills == "" {
		return thread.Drill{}, nil // a size beyond the drills: nothing to say
	}
	return d, err
}

// cut works out tip, depth and passes.
func (f calcThreadFlags) cut(a *calcThread) (err error) {
	if f.tip != "" {
		if a.tip, err = thread.ParseTip(f.tip, a.thread.Pitch); err != nil {
			return calcFlag("tip", err)
		}
	} else {
		if a.tip, err = a.thread.DesignTip(); err != nil {
			return err
		}
		a.tipFrom = "the design root"
	}
	if a.full, err = calcFull(a.thread, a.tip); err != nil {
		return err
	}
	if a.depth, err = a.thread.Depth(a.full, a.turned); err != nil {
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
		if a.slide < 0 || a.slide > max(a.thread.Angle, 30*calc.Degree) {
			return fmt.Errorf("--slide-angle: %s is not between 0 and %s: count it from the cross slide, 29.5 where a protractor counts 60.5 from the lathe's axis", a.slide, max(a.thread.Angle, 30*calc.Degree))
		}
	}
	p := thread.PassPlan{Total: a.depth.Aim, Finish: f.finish, Spring: f.spring}
	switch f.law {
	case "area":
	case "depth":
		p.Law = thread.ConstantDepth
	case "falling":
		p.Law = thread.Falling
	default:
		return fmt.Errorf("--law: %q is not known, write area, depth or falling", f.law)
	}
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
	Root        calcMM    `json:"root_diameter_mm"`
}

type calcThreadWires struct {
	Size    calcMM             `json:"size_mm"`
	Over    calcBand           `json:"over"`
	Reading *calcThreadReading `json:"reading,omitempty"`
}

type calcThreadReading struct {
	Over    calcMM `json:"over_wires_mm"`
	Pitch   calcMM `json:"pitch_diameter_mm"`
	Off     calcMM `json:"off_mm"`
	Verdict string `json:"verdict"`
}

type calcThreadDrill struct {
	Name     string     `json:"name"`
	Diameter calcMM     `json:"diameter_mm"`
	ISO      calcNumber `json:"percent_iso"`
	US       calcNumber `json:"percent_us"`
}

type calcThreadTaper struct {
	SmallMajor calcMM `json:"small_end_major_mm"`
	SmallPitch calcMM `json:"small_end_pitch_diameter_mm"`
	Gauge      calcMM `json:"gauge_plane_mm"`
	Useful     calcMM `json:"useful_thread_mm"`
}

type calcThreadPass struct {
	N     int        `json:"n"`
	Depth calcMM     `json:"depth_mm"`
	Add   calcMM     `json:"add_mm"`
	Shift calcMM     `json:"shift_mm"` // along the work from the middle of the groove
	Area  calcNumber `json:"chip_mm2"`
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
	TapDrill    *calcThreadDrill `json:"tap_drill,omitempty"`
	Taper       *calcThreadTaper `json:"taper,omitempty"`
	Passes      []calcThreadPass `json:"passes"`
	calcThreadGround
	Notes   []string `json:"notes"`
	Sources []string `json:"sources"`
}

func (a calcThread) json() calcThreadResult {
	band := func(l fit.Limits) calcBand { return calcBand{calcMM(l.Min), calcMM(l.Max)} }
	t := a.thread
	r := calcThreadResult{
		Designation: t.String(), Family: t.Family.String(), Angle: calcNumber(t.Angle.Degrees()), External: t.External, Hand: a.hand(),
		Starts: t.Starts, Pitch: calcMM(t.Pitch.Length()), Lead: calcMM(t.Lead.Length()),
		Major: band(a.limits.Major), PitchDia: band(a.limits.Pitch), Minor: band(a.limits.Minor),
		Depth:  calcThreadDepth{calcMM(a.depth.FromNominal), calcMM(a.depth.Aim), [2]calcMM{calcMM(a.depth.Start), calcMM(a.depth.Limit)}, calcMM(a.depth.Along(a.slide)), calcMM(a.depth.Root)},
		Passes: []calcThreadPass{}, calcThreadGround: a.ground.json(), Notes: calcList(t.Notes()), Sources: calcList(a.limits.Sources),
	}
	size := &calcSize{calcMM(a.size.Nominal), band(a.size)}
	if t.External {
		r.TurnTo = size
	} else {
		r.BoreTo = size
	}
	if a.wire > 0 {
		r.Wires = &calcThreadWires{calcMM(a.wire), band(a.over), nil}
		if a.reading > 0 {
			r.Wires.Reading = &calcThreadReading{calcMM(a.reading), calcMM(a.read), calcMM(a.limits.Pitch.Over(a.read)), a.verdict()}
		}
	}
	if d := a.drill; d.Name != "" {
		r.TapDrill = &calcThreadDrill{d.Name, calcMM(d.Diameter), calcNumber(t.Percent(d.Diameter, thread.ISOHeight)), calcNumber(t.Percent(d.Diameter, thread.USHeight))}
	}
	if s := a.taper; s != nil {
		r.Taper = &calcThreadTaper{calcMM(s.SmallMajor), calcMM(s.SmallPitch), calcMM(s.Gauge), calcMM(s.Useful)}
	}
	before := calc.Length(0)
	for i, d := range a.passes {
		r.Passes = append(r.Passes, calcThreadPass{i + 1, calcMM(d), calcMM(d - before), calcMM(a.ground.shift(i)), calcNumber(t.ChipArea(a.full, before, d))})
		before = d
	}
	return r
}

// verdict says in words what a reading means.
func (a calcThread) verdict() string {
	switch off := a.limits.Pitch.Over(a.read); {
	case off > 0:
		return "over, cut on"
	case off < 0:
		return "under size"
	}
	return "in"
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
	if n, err := t.Pitch.PerInch(); err == nil && strings.Contains(t.Designation, "-"+n.String()+" ") {
		pitch = n.String() + " tpi"
	} else if strings.HasSuffix(pitch, " tpi") {
		pitch = strings.TrimPrefix(pitch, "pitch ")
	}
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
	if d := a.drill; d.Name != "" {
		row("tap drill", d.Name, fmt.Sprintf("%.0f per cent %s, %.0f %s", t.Percent(d.Diameter, thread.ISOHeight), thread.ISOHeight, t.Percent(d.Diameter, thread.USHeight), thread.USHeight))
	}
	if s := a.taper; s != nil {
		row("small end", a.length(s.SmallMajor), "pitch diameter "+a.length(s.SmallPitch))
		row("gauge plane at", a.length(s.Gauge), "useful thread "+a.length(s.Useful))
	}
	row("root of the groove", a.length(a.depth.Root))
	if err := tw.Flush(); err != nil {
		return err
	}
	a.ground.table(out, a.length)
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
	if a.reading > 0 {
		off := ""
		if d := a.limits.Pitch.Over(a.read); d != 0 {
			off = " by " + a.length(d.Abs())
		}
		fmt.Fprintf(out, "reading %s over the wires: pitch diameter %s, %s%s\n", a.length(a.reading), a.length(a.read), a.verdict(), off)
	}
	for _, n := range t.Notes() {
		fmt.Fprintf(out, "note: %s\n", n)
	}
	fmt.Fprintf(out, "source: %s\n", strings.Join(a.limits.Sources, "; "))
	return nil
}

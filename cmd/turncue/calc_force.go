package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/cutting"
)

type calcForceFlags struct {
	depth, feed, diameter, rpm, base, stickout, support, entering, lathe string
	factor, watts                                                        float64
	json                                                                 bool
}

// calcForceCommand is turncue calc force: force, power, torque, depth and bending of
// a turning cut.
func calcForceCommand() *cobra.Command {
	var f calcForceFlags
	c := &cobra.Command{
		Use:   "force MATERIAL",
		Short: "Force, power and torque of a cut, the depth the motor drives, how far the bar bends",
		Long: `Gives the cutting force of a turning cut by Kienzle, what it takes in power and torque,
the depth the motor drives at that speed, and how far the bar bends. Depths are on
radius. Chuck and centres are taken as rigid, so a bend is the least there will be;
power is good to one figure.`,
		Example: `  turncue calc force "mild steel" --depth 0.5mm --feed 0.1mm --diameter 30mm --rpm 250 --watts 180
  turncue calc force brass --depth 0.3mm --feed 0.1mm --diameter 12mm --rpm 800 --stickout 48mm`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a, err := f.answer(args[0])
			if err != nil {
				return err
			}
			if f.json {
				return calcJSON(c.OutOrStdout(), a)
			}
			a.table(c.OutOrStdout())
			return nil
		},
	}
	fl := c.Flags()
	fl.StringVar(&f.depth, "depth", "", "depth of cut on radius: 0.5mm")
	fl.StringVar(&f.feed, "feed", "", "feed per turn: 0.1mm")
	fl.StringVar(&f.diameter, "diameter", "", "diameter being cut: 30mm")
	fl.StringVar(&f.rpm, "rpm", "", "spindle speed: 250")
	fl.StringVar(&f.entering, "entering", "", "angle between edge and feed: 45deg (90deg; the American lead angle is what is missing to 90)")
	fl.Float64Var(&f.factor, "factor", cutting.Usual, "on the force: 1 sharp carbide, 1.2 HSS, times 1.3 worn")
	fl.Float64Var(&f.watts, "watts", 0, "power at the spindle; about 0.55 of the name plate with a small DC motor, 0.75 with an induction motor")
	fl.StringVar(&f.base, "base", "", "speed below which a knob-controlled motor gives only its torque: 1000 (full power everywhere)")
	fl.StringVar(&f.stickout, "stickout", "", "length of the bar out of the chuck, or between the centres: 48mm")
	fl.StringVar(&f.support, "support", "chuck", "chuck, centre (chuck and centre) or centres (between centres)")
	fl.StringVar(&f.lathe, "lathe", "", "file of the lathe: speeds, what reaches the spindle of the motor's power, base speed and own materials come from it")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

type calcForce struct {
	Material   string      `json:"material"`
	Force      calcNumber  `json:"force_n"`
	Radial     calcNumber  `json:"radial_force_n"`
	Power      calcNumber  `json:"power_w"`
	Torque     calcNumber  `json:"torque_nm"`
	Available  *calcNumber `json:"available_w"`
	MaxDepth   *calcMM     `json:"max_depth_mm"`
	Ruled      string      `json:"ruled_by"`
	Drives     *bool       `json:"drives"`
	Bend       *calcMM     `json:"bend_mm"`
	OnDiameter *calcMM     `json:"oversize_mm"`
	Holds      string      `json:"holds"`
	Source     string      `json:"source"` // of the constants
}

func (f calcForceFlags) answer(name string) (a calcForce, err error) {
	l, err := calcLathe(f.lathe)
	if err != nil {
		return a, err
	}
	m, err := l.Material(name)
	if err != nil {
		return a, err
	}
	a.Material, a.Source = m.Name, m.ForceFrom
	var cut cutting.Cut
	var diameter, stickout calc.Length
	if err := calcLengths(calcGiven{"depth", f.depth, &cut.Depth}, calcGiven{"feed", f.feed, &cut.Feed},
		calcGiven{"diameter", f.diameter, &diameter}, calcGiven{"stickout", f.stickout, &stickout}); err != nil {
		return a, err
	}
	n, err := calcRPM("rpm", f.rpm)
	if err != nil {
		return a, err
	}
	switch {
	case cut.Depth == 0:
		return a, calcMissing("depth", "the depth of cut on radius, such as 0.5mm")
	case cut.Feed == 0:
		return a, calcMissing("feed", "the feed per turn, such as 0.1mm")
	case diameter == 0:
		return a, calcMissing("diameter", "the diameter being cut, such as 30mm")
	case n == 0:
		return a, calcMissing("rpm", "the spindle speed, such as 250")
	case !(f.factor > 0) || f.factor > 10:
		return a, fmt.Errorf("--factor: %g: give a number from 0.5 to 3", f.factor)
	case f.watts < 0:
		return a, fmt.Errorf("--watts: %g is below zero", f.watts)
	}
	cut.Factor = f.factor
	if f.entering != "" {
		if cut.Entering, err = calc.ParseAngle(f.entering); err != nil {
			return a, calcFlag("entering", err)
		}
		if cut.Entering <= 0 || cut.Entering > 90*calc.Degree {
			return a, fmt.Errorf("--entering: %s: give an angle above 0 and at most 90 degrees", cut.Entering)
		}
	}
	force := m.Turning(cut)
	radial := force * cutting.Radial
	a.Force, a.Radial = calcNumber(force), calcNumber(radial)
	a.Power, a.Torque = calcNumber(force.Power(n.Surface(diameter))), calcNumber(force.Torque(diameter))
	drive := cutting.Drive{Power: cutting.Power(f.watts)}
	if drive.Base, err = calcRPM("base", f.base); err != nil {
		return a, err
	}
	if l != nil {
		if err := l.Speeds.Runs(n); err != nil {
			return a, calcFlag("rpm", err)
		}
	}
	if l != nil && f.watts == 0 {
		base := drive.Base
		if drive = l.Drive(); base != 0 {
			drive.Base = base
		}
	}
	if drive.Power > 0 {
		depth, ruled, err := m.MaxDepth(cut, drive, n, diameter)
		if err != nil {
			return a, err
		}
		w, d, ok := calcNumber(drive.At(n)), calcMM(depth), cut.Depth <= depth
		a.Available, a.MaxDepth, a.Ruled, a.Drives = &w, &d, ruled, &ok
	}
	if stickout == 0 {
		return a, nil
	}
	supports := map[string]cutting.Support{"chuck": cutting.ChuckOnly, "centre": cutting.ChuckAndCentre, "centres": cutting.BetweenCentres}
	s, ok := supports[strings.ToLower(f.support)]
	if !ok {
		return a, fmt.Errorf("--support: %q: chuck, centre or centres", f.support)
	}
	bend, err := cutting.Bar{Support: s, Diameter: diameter, StickOut: stickout, Material: m}.Bend(radial)
	if err != nil {
		return a, err
	}
	hold, err := cutting.StickOut(stickout, diameter, s)
	if err != nil {
		return a, err
	}
	b, d := calcMM(bend), calcMM(2*bend)
	a.Bend, a.OnDiameter, a.Holds = &b, &d, hold.String()
	return a, nil
}

func (a calcForce) table(out io.Writer) {
	fmt.Fprintf(out, "cutting force  %.0f N, of it %.0f N pushing the work away\n", float64(a.Force), float64(a.Radial))
	fmt.Fprintf(out, "constants      %s\n", a.Source)
	fmt.Fprintf(out, "takes          %.0f W at the spindle, %.2f N.m\n", float64(a.Power), float64(a.Torque))
	if a.MaxDepth != nil {
		fmt.Fprintf(out, "the motor      gives %.0f W there and drives %s mm of depth (%s decides)\n", float64(*a.Available), calc.Length(*a.MaxDepth).Decimal(calc.Millimetre, 2), a.Ruled)
		if !*a.Drives {
			fmt.Fprintln(out, "warning: that is less than the depth asked for")
		}
	}
	if a.Bend != nil {
		fmt.Fprintf(out, "the bar        gives way by %s mm at least: %s mm larger on diameter; %s\n", calc.Length(*a.Bend).Decimal(calc.Millimetre, 3), calc.Length(*a.OnDiameter).Decimal(calc.Millimetre, 3), a.Holds)
	}
}

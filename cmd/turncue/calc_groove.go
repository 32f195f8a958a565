package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/setup"
)

// calcPartCommand is turncue calc part: the blade for parting off.
func calcPartCommand() *cobra.Command {
	var diameter, width, bore string
	var stiff bool
	c := &cobra.Command{
		Use:   "part",
		Short: "Parting off: how wide a blade, how deep it may go",
		Long: `Gives the width of a high-speed steel blade for parting a bar, and how deep on radius a
blade may go in steel: five widths on a small lathe (common practice), eight on a stiff
one (a maker's figure).`,
		Example: `  turncue calc part --diameter 22mm --width 2mm`,
	}
	fl := c.Flags()
	fl.StringVar(&diameter, "diameter", "", "of the bar: 22mm")
	fl.StringVar(&bore, "bore", "", "of a tube: the cut only goes through its wall")
	fl.StringVar(&width, "width", "", "of the blade at hand (the usual one for the bar)")
	fl.BoolVar(&stiff, "stiff", false, "a stiff lathe, eight widths deep")
	return calcSum(c, func([]string) (calcFigures, error) {
		var d, w, b calc.Length
		if err := calcLengths(calcGiven{"diameter", diameter, &d}, calcGiven{"width", width, &w}, calcGiven{"bore", bore, &b}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"diameter", "the bar's, such as 22mm", d}); err != nil {
			return nil, err
		}
		if b >= d {
			return nil, fmt.Errorf("--bore: %s is no smaller than the bar of %s", b, d)
		}
		usual, err := setup.Blade(d)
		if err != nil {
			return nil, calcFlag("diameter", err)
		}
		if w == 0 {
			w = usual
		}
		deep, most := calc.Mid(0, d-b), setup.PartingDepth(w, !stiff)
		wide := setup.Widen(deep)
		rows := calcFigures{
			calcLengthRow("blade_mm", "usual blade", usual),
			{"depth_mm", calcMM(deep), "to cut on radius", calcThree(deep)},
			{"max_depth_mm", calcMM(most), "blade of " + calcThree(w), "at most " + calcThree(most)},
			{"reaches", deep <= most, "reaches", calcYes(deep <= most)},
			{"widen", wide, "widen the cut", calcYes(wide)},
		}
		if deep > most {
			rows = append(rows, calcNote("instead", "take a wider blade, or part part of the way and saw the rest"))
		}
		return rows, nil
	})
}

// calcRingCommand is turncue calc oring: the groove of a static O-ring.
func calcRingCommand() *cobra.Command {
	var section, bore, shaft string
	c := &cobra.Command{
		Use:   "oring",
		Short: "Groove for a static O-ring on a shaft: width, depth, diameter",
		Long: `Gives the groove on a shaft for an O-ring that seals in a bore without motion, by a
published table of inch sections. The depth of a gland is to the mating surface: half
the clearance comes off for the cut.`,
		Example: `  turncue calc oring --section 2.62mm --bore 25mm --shaft 24.9mm`,
	}
	fl := c.Flags()
	fl.StringVar(&section, "section", "", "of the ring: 2.62mm, 0.103in")
	fl.StringVar(&bore, "bore", "", "diameter it seals in: 25mm")
	fl.StringVar(&shaft, "shaft", "", "diameter of the shaft (that of the bore)")
	return calcSum(c, func([]string) (calcFigures, error) {
		var s, b, d calc.Length
		if err := calcLengths(calcGiven{"section", section, &s}, calcGiven{"bore", bore, &b}, calcGiven{"shaft", shaft, &d}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"section", "the ring's, such as 2.62mm", s}, calcNeeded{"bore", "the diameter it seals in, such as 25mm", b}); err != nil {
			return nil, err
		}
		r, err := setup.RingFor(s)
		if err != nil {
			return nil, calcFlag("section", err)
		}
		if d == 0 {
			d = b
		}
		if d > b || b-d > r.Gap {
			return nil, fmt.Errorf("--shaft: %s in a bore of %s: the clearance on diameter is at most %s", d, b, r.Gap)
		}
		if b <= 4*s {
			return nil, fmt.Errorf("--bore: %s is too small for a ring of %s section", b, s)
		}
		// The deepest groove in the smallest clearance has the least squeeze.
		low, high := setup.GrooveDiameter(b, r.DepthMax), setup.GrooveDiameter(b, r.DepthMin)
		return calcFigures{
			{"groove_min_mm", calcMM(low), "groove diameter", calcThree(low) + " to " + calcThree(high)},
			{"groove_max_mm", calcMM(high), "", ""},
			{"cut_min_mm", calcMM(setup.GrooveDepth(r.DepthMin, b, d)), "cut into the shaft", calcThree(setup.GrooveDepth(r.DepthMin, b, d)) + " to " + calcThree(setup.GrooveDepth(r.DepthMax, b, d)) + " on radius"},
			{"cut_max_mm", calcMM(setup.GrooveDepth(r.DepthMax, b, d)), "", ""},
			{"width_min_mm", calcMM(r.WidthMin), "groove width", calcThree(r.WidthMin) + " to " + calcThree(r.WidthMax)},
			{"width_max_mm", calcMM(r.WidthMax), "", ""},
			{"squeeze_min_percent", calcNumber(setup.Squeeze(r.Section, r.DepthMax)), "squeeze", fmt.Sprintf("%.0f to %.0f per cent", setup.Squeeze(r.Section, r.DepthMax), setup.Squeeze(r.Section, r.DepthMin))},
			{"squeeze_max_percent", calcNumber(setup.Squeeze(r.Section, r.DepthMin)), "", ""},
			calcNote("note", "static seals without much pressure; the ring maker's own groove stands over this"),
		}, nil
	})
}

// calcChamferCommand is turncue calc chamfer: how far a chamfer goes along.
func calcChamferCommand() *cobra.Command {
	var depth, angle string
	c := &cobra.Command{
		Use:   "chamfer",
		Short: "How far along the work a chamfer goes",
		Long: `Gives the length along the axis of a chamfer by its depth on radius and its angle from
the axis. At the start of a thread it goes below the thread's root.`,
		Example: `  turncue calc chamfer --depth 1mm --angle 30deg`,
	}
	c.Flags().StringVar(&depth, "depth", "", "on radius: 1mm")
	c.Flags().StringVar(&angle, "angle", "45deg", "from the axis")
	return calcSum(c, func([]string) (calcFigures, error) {
		d, err := calcPositive("depth", depth)
		if err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"depth", "the depth on radius, such as 1mm", d}); err != nil {
			return nil, err
		}
		a, err := calc.ParseAngle(angle)
		if err != nil {
			return nil, calcFlag("angle", err)
		}
		l, err := setup.ChamferLength(d, a)
		if err != nil {
			return nil, calcFlag("angle", err)
		}
		return calcFigures{calcLengthRow("length_mm", "along the axis", l), calcLengthRow("on_diameter_mm", "off the diameter", 2*d)}, nil
	})
}

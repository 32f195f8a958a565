package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/cutting"
)

// calcRoughnessCommand is turncue calc roughness: what feed marks leave.
func calcRoughnessCommand() *cobra.Command {
	var feed, nose, ra string
	c := &cobra.Command{
		Use:   "roughness",
		Short: "Roughness a feed leaves, or the feed for a roughness",
		Long: `Gives the roughness that the marks of a feed leave at best with a nose radius, or the
feed for a wanted Ra. A small lathe cuts steel one and a half to three times rougher.`,
		Example: `  turncue calc roughness --feed 0.1mm --nose 0.4mm
  turncue calc roughness --ra 1.6um --nose 0.4mm`,
	}
	fl := c.Flags()
	fl.StringVar(&nose, "nose", "", "nose radius of the tool: 0.4mm")
	fl.StringVar(&feed, "feed", "", "feed per turn: 0.1mm")
	fl.StringVar(&ra, "ra", "", "instead of a feed: roughness wanted, 1.6um")
	return calcSum(c, func([]string) (calcFigures, error) {
		var f, n, want calc.Length
		if err := calcLengths(calcGiven{"feed", feed, &f}, calcGiven{"nose", nose, &n}, calcGiven{"ra", ra, &want}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"nose", "the tool's nose radius, such as 0.4mm", n}); err != nil {
			return nil, err
		}
		if (f == 0) == (want == 0) {
			return nil, fmt.Errorf("--feed: give a feed such as 0.1mm, or with --ra a roughness such as 1.6um")
		}
		micro := func(key, label string, l calc.Length) calcRow {
			v := float64(l) / float64(calc.Micrometre)
			return calcNumberRow(key, label, v, 2, "um")
		}
		var rows calcFigures
		if want != 0 {
			f = cutting.FeedFor(want, n)
			rows = append(rows, calcLengthRow("feed_mm", "feed at most", f), calcLengthRow("usual_feed_mm", "usual", calc.Mid(0, f)))
		}
		if f >= n {
			return nil, fmt.Errorf("--feed: %s is not less than the nose radius of %s: the rule does not hold there", calcThree(f), n)
		}
		r := cutting.FeedMarks(f, n)
		return append(rows, micro("ra_um", "Ra at best", r.Ra), micro("rt_um", "height of the marks", r.Rt)), nil
	})
}

// calcHeatCommand is turncue calc heat: a size measured warm.
func calcHeatCommand() *cobra.Command {
	var measured, target, lathe string
	var celsius float64
	c := &cobra.Command{
		Use:   "heat MATERIAL",
		Short: "What a part measured warm will be when it has cooled to 20 degrees",
		Long: `Gives the size at 20 degrees Celsius (ISO 1) of a part measured warm with a gauge that
is not, and the reading to cut to on the warm part.`,
		Example: `  turncue calc heat "aluminium 6061" --measured 40mm --celsius 45
  turncue calc heat acetal --target 25mm --celsius 35`,
		Args: cobra.ExactArgs(1),
	}
	fl := c.Flags()
	fl.StringVar(&measured, "measured", "", "reading on the warm part: 40mm")
	fl.StringVar(&target, "target", "", "size wanted when cold: 25mm")
	fl.Float64Var(&celsius, "celsius", cutting.Reference, "temperature of the part in degrees Celsius")
	fl.StringVar(&lathe, "lathe", "", "file of the lathe: its own materials")
	return calcSum(c, func(args []string) (calcFigures, error) {
		l, err := calcLathe(lathe)
		if err != nil {
			return nil, err
		}
		m, err := l.Material(args[0])
		if err != nil {
			return nil, err
		}
		var got, want calc.Length
		if err := calcLengths(calcGiven{"measured", measured, &got}, calcGiven{"target", target, &want}); err != nil {
			return nil, err
		}
		switch {
		case got == 0 && want == 0:
			return nil, calcMissing("measured", "the reading on the warm part, such as 40mm, or the size wanted with --target")
		case !(celsius >= -50 && celsius <= 300):
			return nil, fmt.Errorf("--celsius: %g: give the part's temperature from -50 to 300", celsius)
		}
		rows := calcFigures{{"material", m.Name, "material", fmt.Sprintf("%s, %.3g millionths a degree", m.Name, m.Expansion)}}
		if got != 0 {
			rows = append(rows, calcLengthRow("cold_mm", "at 20 degrees", m.Cold(got, celsius)), calcLengthRow("grown_mm", "grown by", m.Grown(got, celsius)))
		}
		if want != 0 {
			rows = append(rows, calcLengthRow("cut_to_mm", "cut the warm part to", m.WarmTarget(want, celsius)))
		}
		return rows, nil
	})
}

// calcTimeCommand is turncue calc time: how long a cut takes.
func calcTimeCommand() *cobra.Command {
	var length, feed, rpm, stock, depth string
	c := &cobra.Command{
		Use:   "time",
		Short: "How long a cut takes: to expect, never to stop by",
		Long: `Gives how long a cut of a length takes at a feed, or a threading pass at its lead, and
with the stock and the depth of a cut how many there are. For facing and parting the
length is the radius.`,
		Example: `  turncue calc time --length 100mm --feed 0.1mm --rpm 500
  turncue calc time --length 25mm --feed 1.5mm --rpm 60
  turncue calc time --length 100mm --feed 0.1mm --rpm 500 --stock 2mm --depth 0.6mm`,
	}
	fl := c.Flags()
	fl.StringVar(&length, "length", "", "of the cut with its approach: 100mm")
	fl.StringVar(&feed, "feed", "", "feed or lead per turn: 0.1mm, 16tpi")
	fl.StringVar(&rpm, "rpm", "", "spindle speed: 500")
	fl.StringVar(&stock, "stock", "", "to come off on radius, for the number of cuts: 2mm")
	fl.StringVar(&depth, "depth", "", "depth of one cut on radius: 0.6mm")
	return calcSum(c, func([]string) (calcFigures, error) {
		var l, s, d calc.Length
		if err := calcLengths(calcGiven{"length", length, &l}, calcGiven{"stock", stock, &s}, calcGiven{"depth", depth, &d}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"length", "that of the cut, such as 100mm", l}); err != nil {
			return nil, err
		}
		f, err := calcLead("feed", feed)
		if err != nil {
			return nil, err
		}
		if f.IsZero() {
			return nil, calcMissing("feed", "the feed or lead per turn, such as 0.1mm or 16tpi")
		}
		n, err := calcRPM("rpm", rpm)
		if err != nil {
			return nil, err
		}
		if n == 0 {
			return nil, calcMissing("rpm", "the spindle speed, such as 500")
		}
		if (s == 0) != (d == 0) {
			return nil, fmt.Errorf("--stock: give what comes off and the depth of one cut, --stock 2mm --depth 0.6mm")
		}
		one, err := cutting.ThreadTime(l, f, n)
		if err != nil {
			return nil, calcFlag("length", err)
		}
		turns, err := f.Turns(l)
		if err != nil {
			return nil, calcFlag("feed", err)
		}
		rows := calcFigures{{"cut_s", calcNumber(one.Seconds()), "one cut", calcClock(one)}, calcNumberRow("turns", "turns of the spindle", turns.Float(), 1, "")}
		if s > 0 {
			cuts := cutting.Passes(s, d)
			all := time.Duration(cuts) * one
			rows = append(rows, calcRow{"cuts", cuts, "cuts", strconv.Itoa(cuts)}, calcRow{"all_s", calcNumber(all.Seconds()), "all of them, without the way back", calcClock(all)})
		}
		return rows, nil
	})
}

// calcClock is a time as a person says it: "16.7 s", "2 min 0 s".
func calcClock(d time.Duration) string {
	if d < time.Minute {
		return strings.TrimSuffix(strconv.FormatFloat(d.Seconds(), 'f', 1, 64), ".0") + " s"
	}
	return fmt.Sprintf("%d min %d s", int(d/time.Minute), int(d%time.Minute/time.Second))
}

// calcBoreCommand is turncue calc bore: how far a boring bar reaches and bends.
func calcBoreCommand() *cobra.Command {
	var bar, overhang, lathe, depth, feed string
	var carbide bool
	c := &cobra.Command{
		Use:   "bore MATERIAL",
		Short: "Boring bar: how far it may stand out, how far it gives way",
		Long: `Gives whether a boring bar is stout enough for its overhang, and how far it gives way
under a cut, by Kienzle with the factor for inside work. Its clamp is taken as rigid.`,
		Example: `  turncue calc bore "mild steel" --bar 10mm --overhang 40mm --depth 0.25mm --feed 0.06mm`,
		Args:    cobra.ExactArgs(1),
	}
	fl := c.Flags()
	fl.StringVar(&bar, "bar", "", "diameter of the boring bar: 10mm")
	fl.StringVar(&overhang, "overhang", "", "from its clamp to the tip: 40mm")
	fl.BoolVar(&carbide, "carbide", false, "a bar of solid carbide")
	fl.StringVar(&depth, "depth", "", "depth of cut on radius: 0.25mm")
	fl.StringVar(&feed, "feed", "", "feed per turn: 0.06mm")
	fl.StringVar(&lathe, "lathe", "", "file of the lathe: its own materials")
	return calcSum(c, func(args []string) (calcFigures, error) {
		l, err := calcLathe(lathe)
		if err != nil {
			return nil, err
		}
		m, err := l.Material(args[0])
		if err != nil {
			return nil, err
		}
		var d, o calc.Length
		cut := cutting.Cut{Factor: cutting.Usual * cutting.Internal}
		if err := calcLengths(calcGiven{"bar", bar, &d}, calcGiven{"overhang", overhang, &o}, calcGiven{"depth", depth, &cut.Depth}, calcGiven{"feed", feed, &cut.Feed}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"bar", "the bar's diameter, such as 10mm", d}, calcNeeded{"overhang", "from its clamp to the tip, such as 40mm", o},
			calcNeeded{"depth", "the depth of cut on radius, such as 0.25mm", cut.Depth}, calcNeeded{"feed", "the feed per turn, such as 0.06mm", cut.Feed}); err != nil {
			return nil, err
		}
		stiffness, verdict := 0.0, "stout enough"
		if carbide {
			stiffness = cutting.CarbideStiffness
		}
		if err := cutting.BoringBar(d, o, carbide); err != nil {
			verdict = err.Error()
		}
		force := m.Turning(cut)
		bend, err := cutting.Boring(d, o, stiffness, force*cutting.Radial)
		if err != nil {
			return nil, calcFlag("bar", err)
		}
		return calcFigures{
			{"stout", verdict == "stout enough", "the bar is", verdict},
			calcNumberRow("diameters", "overhang", float64(o)/float64(d), 1, "diameters"),
			calcNumberRow("force_n", "cutting force", float64(force), 0, "N"),
			calcLengthRow("bend_mm", "gives way by at least", bend),
			calcLengthRow("undersize_mm", "bore smaller by", 2*bend),
		}, nil
	})
}

package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/setup"
)

// calcDrillCommand is turncue calc drill: how deep, how often to withdraw, how many
// turns of the tailstock wheel.
func calcDrillCommand() *cobra.Command {
	var diameter, depth, point, quill, feed, rpm string
	var through, short bool
	c := &cobra.Command{
		Use:   "drill",
		Short: "Point length, depths at which to clear swarf and turns of the tailstock wheel",
		Long: `Gives what a hole takes of a twist drill: its point, which a through hole adds, the
depths at which to withdraw and clear the swarf, what is left of speed and feed in a
deep hole, and the turns of the tailstock wheel. Depths are of the drill's corners,
zeroed when they start to cut.`,
		Example: `  turncue calc drill --diameter 8mm --depth 40mm --quill 2.5mm
  turncue calc drill --diameter 1/4in --depth 1in --through --short`,
	}
	fl := c.Flags()
	fl.StringVar(&diameter, "diameter", "", "of the drill: 8mm")
	fl.StringVar(&depth, "depth", "", "of the hole, without the point: 40mm")
	fl.StringVar(&point, "point", "118deg", "angle of the drill's point")
	fl.BoolVar(&through, "through", false, "the hole goes through: the point is added")
	fl.BoolVar(&short, "short", false, "withdraw twice as often: aluminium, stainless")
	fl.StringVar(&quill, "quill", "", "travel of the tailstock sleeve in one turn: 2.5mm, 10tpi")
	fl.StringVar(&feed, "feed", "", "feed per turn, for how long a turn of the wheel should take: 0.1mm")
	fl.StringVar(&rpm, "rpm", "", "spindle speed for the same: 600")
	return calcSum(c, func([]string) (calcFigures, error) {
		var d, deep, f calc.Length
		if err := calcLengths(calcGiven{"diameter", diameter, &d}, calcGiven{"depth", depth, &deep}, calcGiven{"feed", feed, &f}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"diameter", "the drill's, such as 8mm", d}, calcNeeded{"depth", "that of the hole, such as 40mm", deep}); err != nil {
			return nil, err
		}
		angle, err := calc.ParseAngle(point)
		if err != nil {
			return nil, calcFlag("point", err)
		}
		if angle < 60*calc.Degree || angle > 180*calc.Degree {
			return nil, fmt.Errorf("--point: %s: a drill's point has 60 to 180 degrees", angle)
		}
		if deep > 100*d {
			return nil, fmt.Errorf("--depth: %s is %d diameters: no twist drill goes so deep", deep, int64(deep/d))
		}
		tip := setup.PointLength(d, angle)
		rows := calcFigures{calcLengthRow("point_mm", "point", tip)}
		if through {
			deep += tip
		}
		rows = append(rows, calcLengthRow("depth_mm", "depth of the corners", deep))
		pecks := setup.Pecks(d, deep, short)
		list := make([]string, len(pecks))
		for i, p := range pecks {
			list[i] = p.Trimmed(calc.Millimetre, 2)
		}
		speed, rate := setup.Deep(deep, d)
		rows = append(rows,
			calcRow{"clear_at_mm", calcMMs(pecks), "clear the swarf at", strings.Join(list, ", ") + " mm"},
			calcNumberRow("speed_share", "speed left at the end", 100*speed, 0, "per cent"),
			calcNumberRow("feed_share", "feed left at the end", 100*rate, 0, "per cent"))
		rows[len(rows)-2].value, rows[len(rows)-1].value = calcNumber(speed), calcNumber(rate)
		lead, err := calcLead("quill", quill)
		if err != nil || lead.IsZero() {
			return rows, err
		}
		turns, err := setup.QuillTurns(deep, lead)
		if err != nil {
			return nil, calcFlag("quill", err)
		}
		rows = append(rows, calcNumberRow("turns", "tailstock wheel", turns.Float(), 2, "turns"))
		n, err := calcRPM("rpm", rpm)
		if err != nil {
			return nil, err
		}
		if n > 0 && f > 0 {
			rows = append(rows, calcNumberRow("turn_s", "one turn of it in", setup.QuillTime(lead, f, n).Seconds(), 1, "s"))
		}
		return rows, nil
	})
}

// calcReamCommand is turncue calc ream: what to leave for a reamer.
func calcReamCommand() *cobra.Command {
	var diameter, leave string
	c := &cobra.Command{
		Use:   "ream",
		Short: "Diameter to drill or bore to before reaming",
		Long: `Gives what to leave on diameter for a machine reamer, a published range by size, and the
diameter to drill or bore to.`,
		Example: `  turncue calc ream --diameter 12mm`,
	}
	c.Flags().StringVar(&diameter, "diameter", "", "of the reamer: 12mm")
	c.Flags().StringVar(&leave, "leave", "", "to leave on diameter (the middle of the range, down to a tenth)")
	return calcSum(c, func([]string) (calcFigures, error) {
		var d, l calc.Length
		if err := calcLengths(calcGiven{"diameter", diameter, &d}, calcGiven{"leave", leave, &l}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"diameter", "the reamer's, such as 12mm", d}); err != nil {
			return nil, err
		}
		low, high, err := setup.ReamAllowance(d)
		if err != nil {
			return nil, calcFlag("diameter", err)
		}
		before, err := setup.BeforeReaming(d, l)
		if err != nil {
			return nil, calcFlag("leave", err)
		}
		return calcFigures{
			calcLengthRow("drill_to_mm", "drill or bore to", before),
			{"leave_min_mm", calcMM(low), "leave on diameter", fmt.Sprintf("%s to %s; half of it for a hand reamer (from memory)", calcThree(low), calcThree(high))},
			{"leave_max_mm", calcMM(high), "", ""},
		}, nil
	})
}

// calcCentreCommand is turncue calc centre: the centre drill for a diameter.
func calcCentreCommand() *cobra.Command {
	var diameter string
	c := &cobra.Command{
		Use:   "centre",
		Short: "The centre drill for a diameter of work",
		Long: `Gives the centre drill whose countersink holds work of a diameter, and how large the
countersink is made.`,
		Example: `  turncue calc centre --diameter 22mm`,
	}
	c.Flags().StringVar(&diameter, "diameter", "", "of the work: 22mm")
	return calcSum(c, func([]string) (calcFigures, error) {
		d, err := calcPositive("diameter", diameter)
		if err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"diameter", "the work's, such as 22mm", d}); err != nil {
			return nil, err
		}
		drill, err := setup.CentreDrillFor(d)
		if err != nil {
			return nil, calcFlag("diameter", err)
		}
		source := "a handbook"
		if drill.AfterSources != "handbook" {
			source = "from memory"
		}
		return calcFigures{
			calcLengthRow("pilot_mm", "pilot", drill.Pilot), calcLengthRow("body_mm", "body", drill.Body),
			calcLengthRow("countersink_mm", "countersink to", drill.Countersunk), {"source", source, "source", source},
		}, nil
	})
}

package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/setup"
)

// calcKnurlCommand is turncue calc knurl: diameters that a knurl tracks on.
func calcKnurlCommand() *cobra.Command {
	var pitch, helix, diameter, wheel string
	var teeth int
	c := &cobra.Command{
		Use:   "knurl",
		Short: "Diameters to turn to before knurling, with a whole number of teeth round them",
		Long: `Gives the diameters next below and above a wanted one that take a whole number of
teeth, by the pitch of the knurl or by its own diameter and teeth. Between them it is
likely to track double. A maker's allowance of 0.007 in on the wheel is for knurls
pressed in from the side.`,
		Example: `  turncue calc knurl --pitch 1mm --helix 30deg --diameter 20mm
  turncue calc knurl --wheel 0.75in --teeth 47 --diameter 0.5in`,
	}
	fl := c.Flags()
	fl.StringVar(&diameter, "diameter", "", "diameter wanted: 20mm")
	fl.StringVar(&pitch, "pitch", "", "pitch of the knurl across its teeth: 1mm")
	fl.StringVar(&helix, "helix", "", "angle of its teeth to the axis: 30deg (straight)")
	fl.StringVar(&wheel, "wheel", "", "instead of a pitch: diameter of the knurl")
	fl.IntVar(&teeth, "teeth", 0, "and how many teeth it has")
	return calcSum(c, func([]string) (calcFigures, error) {
		var p, d, w calc.Length
		if err := calcLengths(calcGiven{"pitch", pitch, &p}, calcGiven{"diameter", diameter, &d}, calcGiven{"wheel", wheel, &w}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"diameter", "the diameter wanted, such as 20mm", d}); err != nil {
			return nil, err
		}
		row := func(below, above calc.Length, n float64) calcFigures {
			return calcFigures{
				calcNumberRow("teeth", "teeth on "+calcThree(d), n, 2, ""),
				{"teeth_below", int(n), "", ""},
				{"below_mm", calcMM(below), fmt.Sprintf("%d teeth", int(n)), "turn to " + calcThree(below)},
				{"above_mm", calcMM(above), fmt.Sprintf("%d teeth", int(n)+1), "turn to " + calcThree(above)},
			}
		}
		switch {
		case w != 0 && p != 0:
			return nil, fmt.Errorf("--wheel: give a pitch or a wheel, not both")
		case w != 0:
			if teeth < 6 || teeth > 500 {
				return nil, fmt.Errorf("--teeth: %d: count those of the knurl", teeth)
			}
			k := setup.Wheel{Diameter: w, Teeth: teeth}
			n := k.TeethOn(d)
			if n < 6 {
				return nil, fmt.Errorf("--diameter: %s is too thin for a knurl of %s", d, w)
			}
			r := row(k.Blank(int(n), setup.BumpAllowance), k.Blank(int(n)+1, setup.BumpAllowance), n)
			return append(r, calcNote("allowance", "0.007 in on the wheel is in these (a maker's figure)")), nil
		case p == 0:
			return nil, calcMissing("pitch", "the pitch of the knurl, such as 1mm, or its diameter with --wheel and --teeth")
		}
		k := setup.Knurl{Pitch: p}
		if helix != "" {
			var err error
			if k.Helix, err = calc.ParseAngle(helix); err != nil {
				return nil, calcFlag("helix", err)
			}
		}
		below, above, err := k.Blanks(d)
		if err != nil {
			return nil, calcFlag("pitch", err)
		}
		return append(row(below, above, k.Teeth(d)), calcLengthRow("pitch_around_mm", "pitch round the work", k.Around())), nil
	})
}

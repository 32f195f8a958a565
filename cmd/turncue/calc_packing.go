package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/setup"
)

type calcPackingFlags struct {
	tir, diameter, further, limit, offset string
	highSpot                              string
	json                                  bool
}

// calcPackingCommand is turncue calc packing: trueing a bar in a three-jaw chuck.
func calcPackingCommand() *cobra.Command {
	var f calcPackingFlags
	c := &cobra.Command{
		Use:   "packing",
		Short: "Packing that trues a bar in a three-jaw chuck",
		Long: `Gives the thickness of the shim that trues a round bar in a three-jaw chuck, under the
jaw nearest the high spot, from the full swing of the indicator in one turn. With a
second reading further out it says whether the bar is off centre or tilted: packing
does not help a tilted bar.`,
		Example: `  turncue calc packing --tir 0.1mm --diameter 16mm
  turncue calc packing --tir 0.001in --further 0.006in --diameter 0.75in`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, err := f.answer()
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
	fl.StringVar(&f.tir, "tir", "", "full swing of the indicator in one turn, near the jaws: 0.1mm")
	fl.StringVar(&f.further, "further", "", "full swing further out")
	fl.StringVar(&f.limit, "limit", "0.01mm", "swing that is true enough")
	fl.StringVar(&f.diameter, "diameter", "", "diameter of the bar: 16mm")
	fl.StringVar(&f.offset, "offset", "", "instead of a swing: the offset wanted, for eccentric turning")
	fl.StringVar(&f.highSpot, "high-spot", "", "angle of the high spot from a jaw: 30deg, for two shims in flat jaws")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

type calcPacking struct {
	Pack    *calcMM  `json:"pack_mm"` // null where packing does not help
	Flat    *calcMM  `json:"flat_jaws_mm"`
	Offset  calcMM   `json:"eccentricity_mm"`
	Clean   calcMM   `json:"clean_diameter_mm"`
	Verdict string   `json:"verdict"`
	Shims   []calcMM `json:"shims_mm"` // under jaws 1, 2 and 3, where the high spot was given
}

func (f calcPackingFlags) answer() (a calcPacking, err error) {
	var tir, further, limit, diameter, offset calc.Length
	if err := calcLengths(calcGiven{"tir", f.tir, &tir}, calcGiven{"further", f.further, &further}, calcGiven{"limit", f.limit, &limit},
		calcGiven{"diameter", f.diameter, &diameter}, calcGiven{"offset", f.offset, &offset}); err != nil {
		return a, err
	}
	switch {
	case diameter == 0:
		return a, calcMissing("diameter", "the bar's, such as 16mm")
	case tir == 0 && offset == 0:
		return a, calcMissing("tir", "the full swing of the indicator in one turn, such as 0.1mm")
	case tir != 0 && offset != 0:
		return a, fmt.Errorf("--offset: give a swing or an offset, not both")
	}
	verdict := setup.RunsOffset
	if offset == 0 {
		offset = setup.Eccentricity(tir)
		if further != 0 {
			verdict = setup.Judge(tir, further, limit)
		} else if tir <= limit {
			verdict = setup.RunsTrue
		}
	}
	a.Offset, a.Clean, a.Verdict = calcMM(offset), calcMM(setup.Clean(diameter, max(2*offset, further))), verdict.String()
	if verdict == setup.RunsTilted {
		return a, nil
	}
	p, err := setup.PackingFor(offset, diameter)
	if err != nil {
		return a, calcFlag("tir", err)
	}
	pack, flat := calcMM(p), calcMM(setup.FlatPacking(offset))
	a.Pack, a.Flat = &pack, &flat
	if f.highSpot != "" {
		angle, err := calc.ParseAngle(f.highSpot)
		if err != nil {
			return a, calcFlag("high-spot", err)
		}
		s := setup.Shims(2*offset, angle)
		a.Shims = calcMMs(s[:])
	}
	return a, nil
}

func (a calcPacking) table(out io.Writer) {
	mm := func(l calcMM) string { return calc.Length(l).Decimal(calc.Millimetre, 3) + " mm" }
	fmt.Fprintf(out, "the bar is              %s, eccentric by %s\n", a.Verdict, mm(a.Offset))
	switch {
	case a.Pack == nil:
		fmt.Fprintln(out, "packing does not help: the bar is tilted. Tap it true with the jaws nipped, or seat it again")
	default:
		fmt.Fprintf(out, "pack                    %s under the jaw nearest the high spot (flat-faced jaws %s)\n", mm(*a.Pack), mm(*a.Flat))
		for i, s := range a.Shims {
			fmt.Fprintf(out, "shim under jaw %d        %s\n", i+1, mm(s))
		}
	}
	fmt.Fprintf(out, "cleans up at            %s\n", mm(a.Clean))
}

package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/setup"
)

type calcTaperFlags struct {
	large, small, length, oneIn, centres, over, gauge string
	morse                                             int
	zeroAcross, json                                  bool
}

// calcTaperCommand is turncue calc taper: slide angle, set-over, depth of a taper.
func calcTaperCommand() *cobra.Command {
	var f calcTaperFlags
	c := &cobra.Command{
		Use:   "taper",
		Short: "Top slide angle, tailstock set-over and depth for a taper",
		Long: `Gives the half angle a top slide is set to, the set-over of the tailstock, and how much
further a plug goes in. The taper is two diameters a length apart, 1 in so many on
diameter, or a Morse number. Every Morse size has its own angle.`,
		Example: `  turncue calc taper --large 30mm --small 25mm --length 80mm --centres 200mm
  turncue calc taper --one-in 16 --centres 6in
  turncue calc taper --morse 2 --over 0.1mm`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, err := f.answer(c.Flags().Changed("morse"))
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
	fl.StringVar(&f.large, "large", "", "large diameter: 30mm")
	fl.StringVar(&f.small, "small", "", "small diameter: 25mm")
	fl.StringVar(&f.length, "length", "", "length between the two: 80mm")
	fl.StringVar(&f.oneIn, "one-in", "", "or 1 in so many on diameter: 16")
	fl.IntVar(&f.morse, "morse", 0, "or a Morse taper by number: 0 to 6")
	fl.StringVar(&f.centres, "centres", "", "length of the bar between its centres, for the set-over: 200mm")
	fl.StringVar(&f.over, "over", "", "a plug is larger than it should be by, on diameter: 0.1mm")
	fl.StringVar(&f.gauge, "gauge-travel", "", "travel of the top slide against a true bar with a dial gauge on it: 50mm")
	fl.BoolVar(&f.zeroAcross, "zero-across", false, "the protractor's zero means parallel to the cross slide")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

type calcTaper struct {
	Half       calcNumber  `json:"half_angle_deg"`
	Protractor calcNumber  `json:"protractor_deg"`
	Included   calcNumber  `json:"included_angle_deg"`
	OneIn      calcNumber  `json:"one_in"`
	SetOver    *calcMM     `json:"setover_mm"`
	Usual      *calcMM     `json:"setover_rule_mm"`
	Shift      *calcMM     `json:"length_shift_mm"`
	Gauge      *calcMM     `json:"gauge_mm"`
	GaugePlane *calcMM     `json:"gauge_diameter_mm"`
	Notes      []string    `json:"notes"`
	taper      setup.Taper // what it was made of
}

func (f calcTaperFlags) answer(morse bool) (a calcTaper, err error) {
	var large, small, length, centres, gauge calc.Length
	if err := calcLengths(calcGiven{"large", f.large, &large}, calcGiven{"small", f.small, &small}, calcGiven{"length", f.length, &length},
		calcGiven{"centres", f.centres, &centres}, calcGiven{"gauge-travel", f.gauge, &gauge}); err != nil {
		return a, err
	}
	a.Notes = []string{}
	switch {
	case morse && f.oneIn != "" || (morse || f.oneIn != "") && large+small+length != 0:
		return a, fmt.Errorf("--large: give two diameters and a length, or --one-in, or --morse, only one of them")
	case morse:
		m, err := setup.MorseNumber(f.morse)
		if err != nil {
			return a, calcFlag("morse", err)
		}
		d := calcMM(m.Gauge)
		a.taper, a.GaugePlane = m.Taper, &d
		a.Notes = append(a.Notes, "check against a known socket with blue, not with a protractor")
	case f.oneIn != "":
		n, err := calc.ParseRatio(f.oneIn)
		if err != nil {
			return a, calcFlag("one-in", err)
		}
		if a.taper, err = setup.OneIn(n); err != nil {
			return a, calcFlag("one-in", err)
		}
	case large == 0 || length == 0:
		return a, calcMissing("large", "two diameters and a length, or --one-in, or --morse")
	case small >= large:
		return a, fmt.Errorf("--small: %s is not smaller than %s", small, large)
	default:
		if a.taper, err = setup.Between(large, small, length); err != nil {
			return a, calcFlag("length", err)
		}
	}
	if err := a.taper.Check(); err != nil {
		return a, err
	}
	half := a.taper.HalfAngle()
	a.Half, a.Included, a.OneIn = calcNumber(half.Degrees()), calcNumber(2*half.Degrees()), calcNumber(1/a.taper.PerLength())
	a.Protractor = calcNumber(setup.TopSlide{FromAxis: half}.Protractor(!f.zeroAcross).Degrees())
	if centres != 0 {
		s, u := calcMM(a.taper.SetOver(centres)), calcMM(a.taper.SetOverUsual(centres))
		a.SetOver, a.Usual = &s, &u
		if length > centres {
			return a, fmt.Errorf("--centres: %s is less than the taper's %s", centres, length)
		}
		if a.taper.Steep(centres) {
			a.Notes = append(a.Notes, "set over that far: use centres with ball ends, mind the dog, and for a thread the lead comes out wrong; the top slide or a taper attachment is better")
		}
	}
	if f.over != "" {
		over, err := calcLength("over", f.over)
		if err != nil {
			return a, err
		}
		s := calcMM(a.taper.Depth(over))
		a.Shift = &s
	}
	if gauge != 0 {
		g := calcMM(a.taper.Gauge(gauge))
		a.Gauge = &g
	}
	return a, nil
}

func (a calcTaper) table(out io.Writer) {
	mm := func(l calcMM) string {
		v := calc.Length(l)
		return fmt.Sprintf("%s mm (%s in)", v.Decimal(calc.Millimetre, 3), v.Decimal(calc.Inch, 4))
	}
	fmt.Fprintf(out, "taper            1 in %.4g on diameter, %.4f degrees included\n", float64(a.OneIn), float64(a.Included))
	fmt.Fprintf(out, "top slide        %.4f degrees from the axis\n", float64(a.Half))
	if a.Protractor != a.Half {
		fmt.Fprintf(out, "protractor       %.4f degrees\n", float64(a.Protractor))
	}
	if a.GaugePlane != nil {
		fmt.Fprintf(out, "gauge diameter   %s\n", mm(*a.GaugePlane))
	}
	if a.SetOver != nil {
		fmt.Fprintf(out, "set over         %s; by the usual rule %s\n", mm(*a.SetOver), mm(*a.Usual))
	}
	if a.Shift != nil {
		fmt.Fprintf(out, "further in by    %s\n", mm(*a.Shift))
	}
	if a.Gauge != nil {
		fmt.Fprintf(out, "gauge changes by %s\n", mm(*a.Gauge))
	}
	for _, n := range a.Notes {
		fmt.Fprintf(out, "note: %s\n", n)
	}
}

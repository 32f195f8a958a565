package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"unicode"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/fit"
)

// calcFitCommand is turncue calc fit: the limits of a size, or of a hole and the
// shaft that goes into it.
func calcFitCommand() *cobra.Command {
	var units string
	var asJSON bool
	c := &cobra.Command{
		Use:   "fit SIZE",
		Short: "Limits of a size, or of a hole and its shaft: what the reading must lie between",
		Long: `Gives the limits of a size with an ISO 286 zone (a capital letter is a hole, a small
one a shaft), with a written tolerance, or with none, where the general tolerance of
ISO 2768-1 class m is meant; and the clearance of a fit.`,
		Example: `  turncue calc fit "25 H7/g6"
  turncue calc fit "16 mm h9"
  turncue calc fit "0.500 +0.000/-0.002 in"`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a, err := calcFit(args[0], units)
			if err != nil {
				return err
			}
			if asJSON {
				return calcJSON(c.OutOrStdout(), a.json())
			}
			return a.table(c.OutOrStdout())
		},
	}
	c.Flags().StringVar(&units, "units", "", "mm or in, for the table (as the size is)")
	c.Flags().BoolVar(&asJSON, "json", false, "give the result as JSON, in millimetres")
	return c
}

// calcFitAnswer is one size, or a pair where both are there.
type calcFitAnswer struct {
	size, hole, shaft *fit.Limits
	pair              fit.Pair
	inch              bool
}

func calcFit(spec, units string) (a calcFitAnswer, err error) {
	switch units {
	case "":
		a.inch = strings.HasSuffix(strings.TrimSpace(spec), "in") || strings.HasSuffix(strings.TrimSpace(spec), `"`)
	case "mm", "in":
		a.inch = units == "in"
	default:
		return a, fmt.Errorf("--units: %q is not known, write mm or in", units)
	}
	pair, pairErr := fit.ParsePair(spec)
	if pairErr == nil {
		a.pair, a.hole, a.shaft = pair, &pair.Hole, &pair.Shaft
		return a, nil
	}
	l, err := fit.Parse(spec)
	if err != nil {
		if at := strings.LastIndex(spec, "/"); at > 0 && strings.ContainsFunc(spec[:at], unicode.IsLetter) && !strings.ContainsAny(spec, "+±") {
			return a, pairErr // it was meant for a fit
		}
		return a, err
	}
	if l.Class == fit.None {
		if l, err = fit.General(l.Nominal, fit.Linear); err != nil {
			return a, err
		}
	}
	switch {
	case l.Hole():
		a.hole = &l
	case l.Class == fit.Written || l.Class == fit.Default:
		a.size = &l
	default:
		a.shaft = &l
	}
	return a, nil
}

// calcFitResult is the answer as JSON; what was not asked is left out.
type calcFitResult struct {
	Nominal   calcMM    `json:"nominal_mm"`
	Size      *calcBand `json:"size,omitempty"`
	Hole      *calcBand `json:"hole,omitempty"`
	Shaft     *calcBand `json:"shaft,omitempty"`
	Clearance *calcBand `json:"clearance,omitempty"`
	Kind      string    `json:"kind,omitempty"`
	Sources   []string  `json:"sources"`
}

func (a calcFitAnswer) json() calcFitResult {
	r := calcFitResult{Sources: []string{}}
	band := func(l *fit.Limits) *calcBand {
		if l == nil {
			return nil
		}
		r.Nominal = calcMM(l.Nominal)
		if l.Source != "" && (len(r.Sources) == 0 || r.Sources[0] != l.Source) {
			r.Sources = append(r.Sources, l.Source)
		}
		return &calcBand{calcMM(l.Min), calcMM(l.Max)}
	}
	r.Size, r.Hole, r.Shaft = band(a.size), band(a.hole), band(a.shaft)
	if a.hole != nil && a.shaft != nil {
		r.Clearance = &calcBand{calcMM(a.pair.MinClearance()), calcMM(a.pair.MaxClearance())}
		r.Kind = a.pair.Kind()
	}
	return r
}

func (a calcFitAnswer) length(l calc.Length) string {
	if a.inch {
		return l.Decimal(calc.Inch, 5) + " in"
	}
	return l.Decimal(calc.Millimetre, 4) + " mm"
}

func (a calcFitAnswer) table(out io.Writer) error {
	tw := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	source := ""
	for _, row := range []struct {
		name string
		l    *fit.Limits
	}{{"size", a.size}, {"hole", a.hole}, {"shaft", a.shaft}} {
		if row.l == nil {
			continue
		}
		fmt.Fprintf(tw, "%s\t%s\tfrom\t%s\tto\t%s\tmiddle\t%s\n", row.name, row.l, a.length(row.l.Min), a.length(row.l.Max), a.length(row.l.Mid()))
		source = row.l.Source
	}
	if a.hole != nil && a.shaft != nil {
		fmt.Fprintf(tw, "clearance\t%s\tfrom\t%s\tto\t%s\n", a.pair.Kind(), a.length(a.pair.MinClearance()), a.length(a.pair.MaxClearance()))
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	if source != "" {
		fmt.Fprintf(out, "source: %s\n", source)
	}
	return nil
}

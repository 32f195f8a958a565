package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"turncue/calc"
)

// calcRow is one figure of a sum: its key in JSON and its line on the screen. A row
// without a key is only shown, one without a label is only in the JSON.
type calcRow struct {
	key   string
	value any
	label string
	text  string
}

// calcFigures is the figures of a sum in their order.
type calcFigures []calcRow

// MarshalJSON is an object with the keys in the order of the rows.
func (r calcFigures) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for _, row := range r {
		if row.key == "" {
			continue
		}
		if b.Len() > 1 {
			b.WriteByte(',')
		}
		v, err := json.Marshal(row.value)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, "%q:%s", row.key, v)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// calcSum makes a command of a sum: its flags are on the command already.
func calcSum(c *cobra.Command, answer func(args []string) (calcFigures, error)) *cobra.Command {
	var asJSON bool
	if c.Args == nil {
		c.Args = cobra.NoArgs
	}
	c.Flags().BoolVar(&asJSON, "json", false, "give the result as JSON")
	c.RunE = func(c *cobra.Command, args []string) error {
		rows, err := answer(args)
		if err != nil {
			return err
		}
		if asJSON {
			return calcJSON(c.OutOrStdout(), rows)
		}
		tw := tabwriter.NewWriter(c.OutOrStdout(), 0, 0, 2, ' ', 0)
		for _, r := range rows {
			if r.label != "" {
				fmt.Fprintf(tw, "%s\t%s\n", r.label, r.text)
			}
		}
		return tw.Flush()
	}
	return c
}

// calcLengthRow is a length shown to three places of a millimetre.
func calcLengthRow(key, label string, l calc.Length) calcRow {
	return calcRow{key, calcMM(l), label, calcThree(l)}
}

// calcThree is a length to three places of a millimetre.
func calcThree(l calc.Length) string { return l.Trimmed(calc.Millimetre, 3) + " mm" }

// calcNumberRow is a number shown with some places, and a unit behind it.
func calcNumberRow(key, label string, v float64, places int, unit string) calcRow {
	return calcRow{key, calcNumber(v), label, strings.TrimSpace(fmt.Sprintf("%.*f %s", places, v, unit))}
}

// calcNote is a line that is only shown.
func calcNote(label, text string) calcRow { return calcRow{label: label, text: text} }

// calcNeed refuses what was not given: each is a flag's name and what to give.
func calcNeed(given ...calcNeeded) error {
	for _, g := range given {
		if g.value == 0 {
			return calcMissing(g.flag, g.what)
		}
	}
	return nil
}

type calcNeeded struct {
	flag, what string
	value      calc.Length
}

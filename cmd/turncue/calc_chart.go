package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"turncue/calc/gear"
)

type calcChartResult struct {
	Leadscrew calcMM         `json:"leadscrew_mm"`
	Rows      []calcChartRow `json:"chart"`
}

type calcChartRow struct {
	Kind   string          `json:"kind"`
	Name   string          `json:"name"`
	Wanted calcMM          `json:"wanted_mm"`
	Train  *calcGearsTrain `json:"train"` // null where none comes near
}

func calcChartJSON(w gear.Want, rows []gear.Row) calcChartResult {
	r := calcChartResult{Leadscrew: calcMM(w.Leadscrew.Length())}
	for _, row := range rows {
		c := calcChartRow{Kind: row.Kind, Name: row.Name, Wanted: calcMM(row.Lead.Length())}
		if row.Found {
			c.Train = &calcTrains([]gear.Train{row.Train})[0]
		}
		r.Rows = append(r.Rows, c)
	}
	return r
}

// calcChartTable writes the chart to hang by the lathe: kinds with a heading, one
// line a lead.
func calcChartTable(out io.Writer, w gear.Want, rows []gear.Row) error {
	fmt.Fprintf(out, "change gears for a leadscrew of %s from %s\n", w.Leadscrew, w.Wheels.Sorted())
	fmt.Fprintln(out, "a-b-c-d: a drives b, b and c share a stud, c drives d on the leadscrew")
	tw := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	kind := ""
	for _, r := range rows {
		if r.Kind != kind {
			kind = r.Kind
			fmt.Fprintf(tw, "%s\ttrain\tcuts\terror\tnut\n", kind)
		}
		row := []string{"  " + r.Name, "none", "", "", ""}
		if r.Found {
			row = []string{"  " + r.Name, calcTrain(r.Train), r.Train.Lead.Length().String(), calcPPM(r.Train), ""}
			if r.Kind != "feed" {
				row[4] = r.Train.Verdict.String()
			}
		}
		fmt.Fprintln(tw, strings.Join(row, "\t"))
	}
	return tw.Flush()
}

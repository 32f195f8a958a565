package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/sheet"
)

// latheFlag is the flag every command that plans has.
func latheFlag(c *cobra.Command, path *string) {
	c.Flags().StringVar(path, "lathe", "", "`FILE` of the lathe (default: the one the job names, else the built-in one)")
}

func planCommand() *cobra.Command {
	var lathe string
	var asJSON bool
	c := &cobra.Command{
		Use:   "plan [JOB]",
		Short: "Print the steps of a job as a table, or with --json for programs",
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			w, err := load(first(args), lathe)
			if err != nil {
				return err
			}
			w.doubt(c.ErrOrStderr())
			if asJSON {
				return printJSON(c.OutOrStdout(), w.plan)
			}
			_, err = io.WriteString(c.OutOrStdout(), sheet.Table(w.plan))
			return err
		},
	}
	latheFlag(c, &lathe)
	c.Flags().BoolVar(&asJSON, "json", false, "print the plan as "+sequence.Schema)
	return c
}

// doubt says when a plan was made for a lathe nobody named.
func (w *work) doubt(to io.Writer) {
	if w.strangeLathe() {
		fmt.Fprintf(to, "turncue: no lathe was named, so this is for the built-in %q: its dials are not yours; use --lathe FILE or lathe = \"FILE\" in the job\n", w.lathe.Name)
	}
}

func printJSON(to io.Writer, p *sequence.Plan) error {
	e := json.NewEncoder(to)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(p)
}

func checkCommand() *cobra.Command {
	var lathe string
	c := &cobra.Command{
		Use:   "check [JOB]",
		Short: "Read a job and its lathe, plan it and execute it on the virtual lathe; print every fault",
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			w, err := load(first(args), lathe)
			if err != nil {
				return err
			}
			w.doubt(c.ErrOrStderr())
			return w.report(c.OutOrStdout())
		},
	}
	latheFlag(c, &lathe)
	return c
}

// report prints what the bench made of the plan.
func (w *work) report(to io.Writer) error {
	result := bench.Run(w.plan, w.job, w.lathe)
	var errs []error
	say := func(format string, args ...any) {
		_, err := fmt.Fprintf(to, format, args...)
		errs = append(errs, err)
	}
	say("%s on %s: %d steps, no rule broken\n", w.job.Part, w.lathe.Name, len(w.plan.Steps))
	for _, s := range result.Sizes {
		say("  %-10s %-22s %10s   limits %s to %s\n", s.Section, s.What, sequence.SizeWord(s.Got, w.job.Unit),
			sequence.SizeWord(s.Min, w.job.Unit), sequence.SizeWord(s.Max, w.job.Unit))
	}
	for _, x := range w.plan.Warnings {
		say("warning: %s\n", x)
	}
	return errors.Join(errs...)
}

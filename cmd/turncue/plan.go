package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/sheet"
)

// latheFlag is the flag every command that plans has.
func latheFlag(c *cobra.Command, path *string) {
	c.Flags().StringVar(path, "lathe", "", "`FILE` of the lathe (default: the one the job names, else the built-in one)")
}

func planCommand() *cobra.Command {
	var lathe, section, from string
	var asJSON bool
	var pace sequence.Pace
	c := &cobra.Command{
		Use:   "plan [JOB]",
		Short: "Print the steps of a job as a table, or with --json for programs",
		Args:  oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			w, err := load(first(args), lathe)
			if err != nil {
				return err
			}
			w.pace = pace
			if w.plan, err = w.replan(sequence.Readings{}); err != nil {
				return err
			}
			w.doubt(c.ErrOrStderr())
			if err := w.only(section, from); err != nil {
				return err
			}
			if asJSON {
				return printJSON(c.OutOrStdout(), w.plan)
			}
			_, err = io.WriteString(c.OutOrStdout(), sheet.Table(w.plan))
			return err
		},
	}
	latheFlag(c, &lathe)
	perPassFlag(c.Flags(), &pace)
	c.Flags().StringVar(&section, "section", "", "only the steps of the section of this `NAME`")
	c.Flags().StringVar(&from, "from", "", "only the steps from the one with this `ID` on")
	c.Flags().BoolVar(&asJSON, "json", false, "print the plan as "+sequence.Schema)
	return c
}

// only leaves the steps of one section, and those from a step on. What is not there
// is refused with what is nearest.
func (w *work) only(section, from string) error {
	p := *w.plan
	if from != "" {
		i := p.Index(from)
		if i < 0 {
			return fmt.Errorf("no step %q%s", from, nearestStep(&p, from))
		}
		p.Steps = p.Steps[i:]
	}
	if section != "" {
		if p.What(section) == "" {
			var names []string
			for _, s := range p.Sections {
				names = append(names, s.Name)
			}
			return fmt.Errorf("no section %q: this job has %s", section, strings.Join(names, ", "))
		}
		p.Steps = slices.DeleteFunc(slices.Clone(p.Steps), func(s sequence.Step) bool { return s.Section != section })
	}
	w.plan = &p
	return nil
}

func nearestStep(p *sequence.Plan, id string) string {
	ids := make([]string, len(p.Steps))
	for i := range p.Steps {
		ids[i] = p.Steps[i].ID
	}
	if near := job.Nearest(id, ids); near != "" {
		return ": did you mean " + near + "?"
	}
	return ": turncue plan lists them"
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

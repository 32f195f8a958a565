package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"turncue/sequence/job"
)

// latheCommand is all that is done with a lathe file by itself.
func latheCommand(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "lathe",
		Short: "Write the file of a lathe by answering questions at it, or check one",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(latheCheckCommand(), latheNewCommand(s))
	return c
}

func latheCheckCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check FILE",
		Short: "Read a lathe file; print every fault, or what was understood",
		Long: `Reads the lathe file alone, without a job. Every fault is printed at once, with
its place and its remedy. A good file is told in shop words: compare it with the
lathe before a plan is made for it.`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage{fmt.Sprintf("turncue lathe check takes one lathe FILE, got %d", len(args))}
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			text, err := readFile(args[0])
			if err != nil {
				return err
			}
			l, err := job.ParseLathe(args[0], text)
			if err != nil {
				return err
			}
			report, err := latheReport(l, text)
			if err != nil {
				return err
			}
			_, err = io.WriteString(c.OutOrStdout(), report)
			return err
		},
	}
}

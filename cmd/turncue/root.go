package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turncue/sequence/job"
)

// Exit codes.
const (
	exitDone       = 0
	exitRefused    = 1
	exitUsage      = 2
	exitNoTerminal = 3
	exitLocked     = 4
	exitStopped    = 130
)

// exit is an error with the code the program ends with. An empty message prints
// nothing.
type exit struct {
	code int
	err  error
}

func (e exit) Error() string {
	if e.err == nil {
		return ""
	}
	return e.err.Error()
}

func (e exit) Unwrap() error { return e.err }

// streams are what a command talks to.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// run is the program: arguments in, exit code out. Results go to stdout, talk and
// faults to stderr.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := rootCommand(streams{stdin, stdout, stderr})
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	if text := complaint(err); text != "" {
		fmt.Fprintln(stderr, text)
	}
	var e exit
	var use usage
	switch {
	case errors.As(err, &e):
		return e.code
	case errors.As(err, &use), strings.HasPrefix(err.Error(), "unknown command"):
		return exitUsage
	}
	return exitRefused
}

// complaint is what is printed for an error: faults of a file carry their own place,
// everything else begins with the program's name.
func complaint(err error) string {
	var faults job.Faults
	var fault job.Fault
	if errors.As(err, &faults) || errors.As(err, &fault) {
		return err.Error()
	}
	text := err.Error()
	if text == "" {
		return ""
	}
	if strings.HasPrefix(text, "unknown command") {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\n\n", "; "), "\n", " ")
		text = strings.TrimSpace(strings.ReplaceAll(text, "Did you mean this?", "did you mean"))
	}
	return "turncue: " + text
}

// usage is a fault in how the program was called.
type usage struct{ text string }

func (u usage) Error() string { return u.text }

func rootCommand(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "turncue",
		Short: "Leads a person at a manual lathe step by step, by voice, beeps and large type",
		Long: `turncue plans a part for a manual lathe and then says what to do next, one step
at a time, as a foot pedal or a key moves on. It says what to do next; it never
moves the lathe, and it never says when to stop a moving carriage.

Without a JOB the built-in example and its lathe are used.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.AddCommand(runCommand(s), resumeCommand(s), logCommand(), practiseCommand(s), planCommand(), checkCommand(), exampleCommand(), calcCommand(), soundsCommand(s), narrateCommand(s))
	root.AddCommand(pedalCommand(), latheCommand(s))
	root.SetFlagErrorFunc(flagFault)
	return root
}

// flagFault words a fault in a flag as ours.
func flagFault(c *cobra.Command, err error) error {
	var missing *pflag.NotExistError
	var bad *pflag.InvalidValueError
	switch {
	case errors.As(err, &missing):
		text := "unknown flag --" + missing.GetSpecifiedName()
		if near := nearestFlag(c, missing.GetSpecifiedName()); near != "" {
			text += ", did you mean --" + near + "?"
		}
		return usage{text + " (turncue " + c.Name() + " -h lists them)"}
	case errors.As(err, &bad):
		return usage{fmt.Sprintf("--%s %q: %v", bad.GetFlag().Name, bad.GetValue(), bad.Unwrap())}
	}
	return usage{err.Error()}
}

func nearestFlag(c *cobra.Command, name string) string {
	var known []string
	c.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
	return job.Nearest(name, known)
}

// oneJob accepts at most one JOB.
func oneJob(c *cobra.Command, args []string) error {
	if len(args) > 1 {
		return usage{fmt.Sprintf("turncue %s takes one JOB file, got %d: %s", c.Name(), len(args), strings.Join(args, " "))}
	}
	return nil
}

func first(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}

func calcCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "calc",
		Short: "The sums of the lathe by themselves: threads, fits, gears, speeds, dials",
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(calcThreadCommand(), calcFitCommand(), calcGearsCommand())
	c.AddCommand(calcSumCommands()...)
	return c
}

func exampleCommand() *cobra.Command {
	var lathe bool
	c := &cobra.Command{
		Use:   "example",
		Short: "Print the built-in job, or with --lathe its lathe, to copy and change",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			j, l := job.ExampleText()
			if lathe {
				j = l
			}
			_, err := io.WriteString(c.OutOrStdout(), j)
			return err
		},
	}
	c.Flags().BoolVar(&lathe, "lathe", false, "print the lathe file instead of the job")
	return c
}

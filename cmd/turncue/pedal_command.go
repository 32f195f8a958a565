package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
)

// pedalCommand learns a pedal.
func pedalCommand() *cobra.Command {
	var device string
	var list, yes bool
	c := &cobra.Command{
		Use:   "pedal",
		Short: "Learn a pedal: what it sends, how it repeats, and what it shall do",
		Long: `Shows what a pedal sends, asks for a press of each button and for holding one down
for two seconds, and proposes settings, which are written when y is pressed. On Linux
a pedal can be read directly, presses and releases, whatever program is in front; one
that says it is a keyboard must be named with --pedal.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if list {
				return listPedals(c.OutOrStdout())
			}
			return learnPedal(c.Context(), c.OutOrStdout(), device, yes)
		},
	}
	c.Flags().StringVar(&device, "pedal", pedal.Auto, "what to read directly (Linux): `DEVICE`, auto or none")
	c.Flags().BoolVar(&list, "list", false, "list the input devices, and the udev rule for those that may not be read")
	c.Flags().BoolVar(&yes, "yes", false, "write the settings without being asked")
	return c
}

// listPedals prints the input devices.
func listPedals(out io.Writer) error {
	found, err := pedal.Find()
	if err != nil {
		return err
	}
	for _, line := range pedalList(found) {
		fmt.Fprintln(out, line)
	}
	return nil
}

// pedalList is the input devices, a line each, with the rule under one that may not
// be read.
func pedalList(found []pedal.Found) (lines []string) {
	if len(found) == 0 {
		return []string{"no input devices with a lasting name are there; a pedal that is plugged in now and not listed works through its keys"}
	}
	for _, f := range found {
		what := "no pedal"
		switch {
		case f.Err != nil && errors.Is(f.Err, fs.ErrPermission):
			what = "may not be read: add yourself to the group input, or write this line to /etc/udev/rules.d/70-turncue-pedal.rules and plug it in again"
			if f.Rule == "" {
				what = "may not be read: add yourself to the group input"
			}
		case f.Err != nil:
			what = "cannot be read: " + strings.ReplaceAll(f.Err.Error(), "\n", "; ")
		case f.Keyboard:
			what = "says it is a keyboard: read only if it is named, and nobody else gets its keys then"
		case f.Pedal && f.Fixed:
			what = "could be a pedal: read only if it is named"
		case f.Pedal:
			what = "a pedal"
		}
		name := ""
		if f.Name != "" {
			name = fmt.Sprintf(" (%s)", f.Name)
		}
		lines = append(lines, fmt.Sprintf("%s%s: %s", f.Path, name, what))
		if f.Rule != "" {
			lines = append(lines, "  "+f.Rule)
		}
	}
	return lines
}

// learnPedal learns from the keys of the terminal and a pedal read directly, whichever
// there is.
func learnPedal(ctx context.Context, out io.Writer, device string, yes bool) error {
	path, err := settingsPath()
	if err != nil {
		return err
	}
	s, err := loadSettings()
	if err != nil {
		return err
	}
	ctx, cancel := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer cancel()
	say := func(line string) { fmt.Fprintln(out, line) }

	if found, err := pedal.Find(); err == nil && len(found) > 0 {
		for _, line := range pedalList(found) {
			say(line)
		}
		say("")
	}
	var signals <-chan pedal.Signal
	if device != noPedal {
		d, err := pedal.OpenDevice(device)
		switch {
		case err == nil:
			defer d.Close()
			signals = d.Signals()
		case device != pedal.Auto:
			return err
		}
	}
	var events <-chan terminal.Key
	keys, err := terminal.OpenKeys(terminal.Options{})
	switch {
	case err == nil:
		defer keys.Close()
		events = keys.Events()
	case signals == nil || device == pedal.Auto || !errors.Is(err, terminal.ErrNoTerminal):
		return exit{exitNoTerminal, err}
	}

	r := &lesson{
		events: events, signals: signals, say: say,
		clock: clockFrom(time.Now()), tick: 50 * time.Millisecond,
	}
	if err := r.learn(ctx); err != nil {
		return err
	}
	if err := logGaps(r.gaps()); err != nil {
		say("the gaps could not be kept: " + err.Error())
	}
	next, why := r.propose(s, lasting(device))
	if err := next.keys.Check(); err != nil {
		return fmt.Errorf("nothing is written: %w; have the pedal send another key", err)
	}
	say("")
	for _, line := range why {
		say(line)
	}
	say("")
	say(path + " would be:")
	say("")
	say(strings.TrimSpace(next.text()))
	say("")
	if !yes {
		if events == nil {
			return errors.New("nothing is written: there is no terminal to say yes at; --yes writes it unasked")
		}
		say("write it? y writes, n leaves everything as it was")
		if yes, err = r.agreed(ctx); err != nil {
			return err
		}
	}
	if !yes {
		say("nothing is written")
		return nil
	}
	kept, err := next.save(path)
	if err != nil {
		return err
	}
	say("written: " + path)
	if kept != "" {
		say("the old one is kept: " + kept)
	}
	return nil
}

// lasting is the name of a pedal to be kept.
func lasting(device string) string {
	if strings.Contains(device, "/") {
		if abs, err := filepath.Abs(device); err == nil {
			return abs
		}
	}
	return device
}

func clockFrom(start time.Time) func() time.Duration {
	return func() time.Duration { return time.Since(start) }
}

// lesson feeds a learner from its sources.
type lesson struct {
	*learner
	events  <-chan terminal.Key
	signals <-chan pedal.Signal
	say     func(string)
	clock   func() time.Duration
	tick    time.Duration
}

// errLeft says that the person ended the lesson.
var errLeft = exit{exitStopped, errors.New("nothing is written")}

// learn asks until everything is known.
func (r *lesson) learn(ctx context.Context) error {
	r.learner = newLearner(r.say)
	tick := time.NewTicker(r.tick)
	defer tick.Stop()
	for !r.done {
		select {
		case k, open := <-r.events:
			switch {
			case !open || k.Ends():
				return errLeft
			case k.Name == "resumed":
			default:
				r.feed(pedal.Edge{Key: k.Name, At: k.At, Text: k.Text}, false, r.clock())
			}
		case s, open := <-r.signals:
			switch {
			case !open:
				r.signals = nil
			case s.Note != "":
				r.say(s.Note)
			default:
				r.feed(s.Edge, true, r.clock())
			}
		case <-tick.C:
			r.learner.tick(r.clock())
		case <-ctx.Done():
			return errLeft
		}
	}
	return nil
}

// agreed waits for y or n. The pedal's keys are no answer.
func (r *lesson) agreed(ctx context.Context) (bool, error) {
	for {
		select {
		case k, open := <-r.events:
			switch {
			case !open || k.Ends():
				return false, errLeft
			case k.Text:
			case k.Name == "y" || k.Name == "Y":
				return true, nil
			case k.Name == "n" || k.Name == "N" || k.Name == "esc":
				return false, nil
			}
		case _, open := <-r.signals:
			if !open {
				r.signals = nil
			}
		case <-ctx.Done():
			return false, errLeft
		}
	}
}

// logGaps adds what came to a table beside the journals, so that the figures of real
// switches are not lost.
func logGaps(lines []string) error {
	dir, err := runner.StateDir()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return bareCause(err)
	}
	path := filepath.Join(dir, "pedal-gaps.csv")
	_, err = os.Stat(path)
	first := errors.Is(err, fs.ErrNotExist)
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return bareCause(err)
	}
	if first {
		_, err = fmt.Fprintln(f, "time,asked,way,key,edge,gap_ms")
	}
	now := time.Now().UTC().Format(time.RFC3339)
	for _, line := range lines {
		if err == nil {
			_, err = fmt.Fprintln(f, now+","+line)
		}
	}
	return errors.Join(err, f.Close())
}

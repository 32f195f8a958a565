package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"

	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/job"
	"turncue/sequence/runner"
	"turncue/sounds/speaker"
)

// runOptions are the flags of run and resume.
type runOptions struct {
	lathe   string
	plain   bool
	control string
	fresh   bool
	audio   speaker.Choice
	press   pressing
	light   bool
	feet    pedalOptions
	pace    bool
	perPass sequence.Pace
	words   runner.Words
	events  string
	sound   soundOptions
}

func (o *runOptions) flags(c *cobra.Command) {
	f := c.Flags()
	o.feet.flags(c)
	paceFlag(f, &o.pace)
	f.BoolVar(&o.plain, "plain", false, "one line a step instead of large type")
	f.StringVar(&o.control, "control", "", "`-` reads one event a line from standard input instead of keys: "+runner.Commands)
	f.TextVar(&o.audio, "audio", speaker.Auto, "how to sound: auto, pipe or none")
	f.TextVar(&o.press, "press", pressing{}, "how presses are told from bounces and repeats: auto, safe, safe-ssh, tuned=250ms,33ms or quick=250ms")
	f.TextVar(&o.words, "words", runner.ShortWords, "how much is said: full, short or numbers; full also shows what to look and listen for")
	f.StringVar(&o.events, "events", "", "add everything the run does to `FILE`, one JSON object a line")
	o.sound.flags(f)
	f.BoolVar(&o.light, "light", false, "dark letters on a light screen")
}

func (o *runOptions) check(c *cobra.Command) error {
	if o.control != "" && o.control != "-" {
		return usage{fmt.Sprintf("--control %s: only - (standard input) can be read", o.control)}
	}
	if err := o.settle(c); err != nil {
		return err
	}
	return o.sound.check()
}

func runCommand(s streams) *cobra.Command {
	var o runOptions
	var teaching runner.Teaching
	c := &cobra.Command{
		Use:   "run [JOB]",
		Short: "Lead through a job step by step; goes on where it stopped",
		Long: `Leads through a job step by step. A press of the pedal, space, enter, page down,
right, down or b goes on; page up, left, up or a goes back; r says it again; p
pauses; control C stops and keeps the place. At a step that is measured the figure
is typed. A job that was left is gone on with where it stopped.`,
		Args: oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			asked := c.Flags().Changed("pace")
			if err := o.check(c); err != nil {
				return err
			}
			w, err := load(first(args), o.lathe)
			if err != nil {
				return err
			}
			w.pace = o.perPass
			if err := w.teach(teaching); err != nil {
				return err
			}
			if begun, ok := w.begun(); ok && !asked && !o.fresh && begun.Pace != w.pace {
				w.pace = begun.Pace // what was begun goes on as it was begun
				if w.plan, err = w.replan(sequence.Readings{}); err != nil {
					return err
				}
			}
			w.doubt(s.err)
			return o.lead(c.Context(), w, s)
		},
	}
	latheFlag(c, &o.lathe)
	o.flags(c)
	perPassFlag(c.Flags(), &o.perPass)
	teachingFlags(c, &teaching)
	c.Flags().BoolVar(&o.fresh, "fresh", false, "start at the first step again; the old run is put aside")
	return c
}

func resumeCommand(s streams) *cobra.Command {
	var o runOptions
	c := &cobra.Command{
		Use:   "resume",
		Short: "Go on with the run that was left last",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := o.check(c); err != nil {
				return err
			}
			w, err := latest()
			if err != nil {
				return err
			}
			return o.lead(c.Context(), w, s)
		},
	}
	o.flags(c)
	return c
}

// latest is the work of the run that was left last. Its files must be as they were.
func latest() (*work, error) {
	dir, err := runner.StateDir()
	if err != nil {
		return nil, err
	}
	all, err := runner.Journals(dir)
	if err != nil {
		return nil, err
	}
	left := runner.Unfinished(all, "")
	if len(left) == 0 {
		return nil, errors.New("there is no run to go on with: start one with turncue run")
	}
	head := left[0].Head
	w := &work{teaching: head.Teaching(), pace: head.Pace}
	w.job, w.lathe, err = job.ParsePair(head.JobPath, textNow(head.JobPath, job.ExampleJobPath, head.JobText),
		head.LathePath, textNow(head.LathePath, job.ExampleLathePath, head.LatheText))
	if err != nil {
		return nil, err
	}
	if w.plan, err = w.replan(sequence.Readings{}); err != nil {
		return nil, err
	}
	now, err := w.head()
	if err != nil {
		return nil, err
	}
	return w, changed(head.Same(now))
}

// textNow is what a file holds now, or what the journal kept where the file is gone
// or was the built-in one.
func textNow(path, builtIn, kept string) string {
	if filepath.Base(path) == builtIn && !filepath.IsAbs(path) {
		return kept
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return kept
	}
	return string(b)
}

// changed adds the lines that differ, and how to start again, to an error that says
// something is not as it was.
func changed(err error) error {
	var c *runner.Changed
	if !errors.As(err, &c) {
		return err
	}
	lines := ""
	for _, line := range c.Lines {
		lines += "\n  " + line
	}
	return fmt.Errorf("%w%s\nstart again with turncue run --fresh", err, lines)
}

// begun is the head of the unfinished run of this work, if there is one.
func (w *work) begun() (runner.Head, bool) {
	now, err := w.head()
	if err != nil {
		return runner.Head{}, false
	}
	dir, err := runner.StateDir()
	if err != nil {
		return runner.Head{}, false
	}
	all, err := runner.Journals(dir)
	if err != nil {
		return runner.Head{}, false
	}
	return unfinished(all, now)
}

// unfinished is the head of the latest unfinished run of a job on a lathe by the same
// people.
func unfinished(all []runner.Found, now runner.Head) (runner.Head, bool) {
	for _, f := range runner.Unfinished(all, now.JobPath) {
		if f.Head.LathePath == now.LathePath && f.Head.Teaching() == now.Teaching() {
			return f.Head, true
		}
	}
	return runner.Head{}, false
}

// perPassFlag is how many presses a pass takes.
func perPassFlag(f *pflag.FlagSet, p *sequence.Pace) {
	f.TextVar(p, "pace", sequence.PacePlanned, "presses a pass: `4` (set, cut, clear, return), 2 (set, then the rest) or 1; planned is two along the work, four along a thread")
}

// head is what a journal of this work begins with.
func (w *work) head() (runner.Head, error) {
	h, err := runner.NewHead(absolute(w.job.Source.Path, job.ExampleJobPath), w.job.Source.Text,
		absolute(w.lathe.Source.Path, job.ExampleLathePath), w.lathe.Source.Text, w.plan)
	h.Pace = w.pace
	h.Learner, h.Instructor, h.Who = w.teaching.Learner, w.teaching.Instructor, account()
	return h, err
}

func absolute(path, builtIn string) string {
	if path == builtIn {
		return path
	}
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return path
}

// open opens the journal of the work and replays what it holds.
func (o *runOptions) open(w *work, s streams) (*runner.Journal, runner.State, error) {
	var none runner.State
	dir, err := runner.StateDir()
	if err != nil {
		return nil, none, err
	}
	head, err := w.head()
	if err != nil {
		return nil, none, err
	}
	if o.fresh {
		err = runner.PutAside(dir, head)
	} else {
		err = edited(dir, head)
	}
	if err != nil {
		return nil, none, locked(err)
	}
	for {
		journal, err := runner.OpenJournal(dir, head)
		if err != nil {
			return nil, none, locked(changed(err))
		}
		if journal.Torn() != "" {
			fmt.Fprintf(s.err, "turncue: the last line of the journal was torn and is put aside in %s; what it held was never acknowledged\n", journal.Torn())
		}
		if line := clockBehind(journal.Records(), time.Now()); line != "" {
			fmt.Fprintln(s.err, "turncue: "+line)
		}
		state, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan, Teaching: w.teaching, Words: o.words})
		if err != nil {
			return nil, none, errors.Join(err, journal.Close())
		}
		state, err = runner.Replay(journal.Records(), state)
		if err != nil {
			return nil, none, errors.Join(fmt.Errorf("%w: start again with turncue run --fresh", err), journal.Close())
		}
		if over := state.Phase() == runner.Done; over && len(journal.Records()) > 0 {
			if err := journal.Retire(); err != nil {
				return nil, none, err
			}
			continue
		}
		return journal, state, nil
	}
}

// locked gives an error of a run that is under way its own exit code.
func locked(err error) error {
	if errors.Is(err, runner.ErrLocked) {
		return exit{exitLocked, err}
	}
	return err
}

// edited refuses to begin a job anew whose earlier text was left half made.
func edited(dir string, now runner.Head) error {
	all, err := runner.Journals(dir)
	if err != nil {
		return err
	}
	if begun, ok := unfinished(all, now); ok {
		return changed(begun.Same(now))
	}
	return nil
}

// lead is the run itself: ports opened, the loop, and what is said at its end.
func (o *runOptions) lead(ctx context.Context, w *work, s streams) (err error) {
	journal, state, err := o.open(w, s)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, journal.Close()) }()
	ctx, cancel := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer cancel()

	events := make(chan runner.Event, 16)
	notes := make(chan string, 8)
	config := runner.Config{State: state, Log: journal, Events: events}
	port := o.port(w, s, events)
	foot, err := o.feet.foot()
	if err != nil {
		return err
	}
	if err := port.open(ctx, &config); err != nil {
		return errors.Join(err, foot.close())
	}
	defer port.close()

	tell := func(line string) {
		port.tell(line)
		select {
		case notes <- line:
		default: // eight are waiting to be read already
		}
	}
	if o.events != "" {
		file, fault := openEvents(o.events, tell)
		if fault != nil {
			return fault
		}
		defer func() { err = errors.Join(err, file.close()) }()
		file.beside(&config)
	}
	player := o.sound.player(o.audio, port.bell, tell)
	defer func() { err = errors.Join(err, player.Close()) }()
	if config.Voice, err = o.sound.voice(ctx, player, tell, cuesOf(w.plan)); err != nil {
		return err
	}
	if o.pace {
		newPacer(ctx, config.Voice, player, w).beside(&config)
	}
	foot.lead(ctx, &config, events, tell)
	defer foot.close()
	go relay(ctx, notes, events)

	report, err := runner.Run(ctx, config)
	if report.How == runner.Finished {
		quiet, done := context.WithTimeout(ctx, 10*time.Second)
		_ = player.WaitQuiet(quiet)
		done()
	}
	err = errors.Join(err, player.Close())
	port.close()
	return o.ending(report, err, port, s)
}

// relay passes what the sound has to say on to the run.
func relay(ctx context.Context, notes <-chan string, events chan<- runner.Event) {
	for {
		select {
		case line := <-notes:
			select {
			case events <- runner.Event{Kind: runner.Missing{Text: line}}:
			case <-ctx.Done():
				return
			}
		case <-ctx.Done():
			return
		}
	}
}

// ending says how the run ended.
func (o *runOptions) ending(r runner.Report, err error, p port, s streams) error {
	n, of := r.State.Position()
	var broken *runner.Panicked
	switch {
	case errors.As(err, &broken):
		fmt.Fprintf(s.err, "turncue: %v at step %d of %d; your place is saved: turncue resume\n%s\n", broken, n, of, broken.Stack)
		return exit{exitCrashed, nil}
	case err != nil:
		return fmt.Errorf("stopped at step %d of %d, your place is saved: turncue resume: %w", n, of, err)
	case r.How == runner.Halted:
		fmt.Fprintf(s.err, "turncue: stopped at step %d of %d; go on with turncue resume\n", n, of)
		return p.verdict(exit{exitStopped, nil})
	case r.How == runner.Finished:
		fmt.Fprintf(s.err, "turncue: finished, %d steps\n", of)
	}
	return p.verdict(nil)
}

// exitCrashed is a fault in the program; the place is kept.
const exitCrashed = 70

// port is where events come from and what is shown goes: a terminal, or lines.
type port interface {
	open(context.Context, *runner.Config) error
	tell(line string) // something to be known once
	bell()
	verdict(error) error // the error the command ends with
	close()
}

func (o *runOptions) port(w *work, s streams, events chan runner.Event) port {
	if o.control != "" {
		return &lines{in: s.in, out: s.out, err: s.err, events: events}
	}
	return &console{o: o, w: w, err: s.err, events: events}
}

// console is a person at a terminal.
type console struct {
	o       *runOptions
	w       *work
	err     io.Writer
	events  chan runner.Event
	display *display
	keys    *terminal.Keys
	once    sync.Once
}

func (c *console) open(ctx context.Context, config *runner.Config) error {
	theme := terminal.Dark
	if c.o.light {
		theme = terminal.Light
	}
	screen := terminal.NewScreen(os.Stdout, terminal.ScreenOptions{Theme: theme, Plain: c.o.plain})
	c.display = &display{screen: screen, viewer: viewer{c.w.plan}, heed: c.o.words == runner.FullWords, language: c.o.sound.spoken(), entry: newEntry(c.o.press.profile(), c.w.job.Unit)}
	c.display.entry.presses = newPresses(c.o.press.profile(), c.o.feet.settings)
	config.Display, config.Tick = c.display, 0
	if c.o.pace {
		c.display.pace = func(v terminal.View, f runner.Frame) terminal.View { return paced(v, f, c.w, !c.o.plain) }
		if !c.o.plain {
			config.Tick = time.Second
		}
	}
	keys, err := terminal.OpenKeys(terminal.Options{Screen: screen})
	if errors.Is(err, terminal.ErrNoTerminal) && c.o.plain && c.o.feet.directly() {
		return nil // the pedal leads alone
	}
	if err != nil {
		return exit{exitNoTerminal, err}
	}
	c.keys = keys
	screen.Enter()
	go c.pump(ctx)
	return nil
}

// pump turns keys into events until the keys end.
func (c *console) pump(ctx context.Context) {
	for k := range c.keys.Events() {
		if k.Name == "resumed" {
			c.display.screen.Enter()
			c.display.screen.Redraw()
			continue
		}
		kind := c.display.key(k)
		if kind == nil {
			continue
		}
		select {
		case c.events <- runner.Event{Kind: kind}:
		case <-ctx.Done():
			return
		}
	}
}

// tell does nothing: the run shows it, in large type and in plain lines alike.
func (c *console) tell(string) {}

func (c *console) bell() {
	if term.IsTerminal(int(os.Stderr.Fd())) {
		fmt.Fprint(os.Stderr, "\a")
	}
}

func (c *console) verdict(err error) error { return err }

func (c *console) close() {
	c.once.Do(func() {
		if c.keys != nil {
			c.keys.Close()
		}
		c.display.screen.Leave()
	})
}

// lines is a program: one event a line in, one effect a line out.
type lines struct {
	in      io.Reader
	out     io.Writer
	err     io.Writer
	events  chan runner.Event
	mu      sync.Mutex
	refused bool
}

func (l *lines) open(ctx context.Context, config *runner.Config) error {
	settled := make(chan struct{}, 1)
	config.Effect = func(f runner.Effect) {
		switch f.(type) {
		case runner.Hush, runner.Record:
			return
		}
		l.print(f.String())
	}
	config.Settled = func(_ runner.State, e runner.Event) {
		if e.Scripted {
			settled <- struct{}{}
		}
	}
	go l.pump(ctx, settled)
	return nil
}

// pump reads a line, waits until it is dealt with and on the disk, and reads the
// next. The end of the input stops the run and keeps the place.
func (l *lines) pump(ctx context.Context, settled <-chan struct{}) {
	defer func() {
		select {
		case l.events <- runner.Event{Kind: runner.Halt{}}:
		case <-ctx.Done():
		}
	}()
	scan := bufio.NewScanner(l.in)
	scan.Buffer(nil, 8<<10)
	for scan.Scan() {
		e, _, err := runner.ParseControl(scan.Text())
		if err != nil {
			l.mu.Lock()
			l.refused = true
			l.mu.Unlock()
			l.print("error " + err.Error())
			continue
		}
		if e.Kind == nil {
			continue
		}
		select {
		case l.events <- e:
		case <-ctx.Done():
			return
		}
		select {
		case <-settled:
		case <-ctx.Done():
			return
		}
	}
	if err := scan.Err(); err != nil {
		l.print("error " + err.Error())
	}
}

func (l *lines) print(s string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	fmt.Fprintln(l.out, s)
}

func (l *lines) tell(line string) { fmt.Fprintln(l.err, "turncue: "+line) }
func (l *lines) bell()            {}
func (l *lines) close()           {}

// verdict: a script that ends early has done nothing wrong, one that was refused has.
func (l *lines) verdict(err error) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.refused {
		return exit{exitRefused, nil}
	}
	var e exit
	if errors.As(err, &e) && e.code == exitStopped {
		return nil
	}
	return err
}

// pressing is how presses are filtered, as written on the command line.
type pressing struct {
	name  string
	delay time.Duration

	repeat time.Duration // between repeats; 0 where it is not known
}

// String is the text it was read from.
func (p pressing) String() string {
	if p.name == "" {
		return "auto"
	}
	if p.delay > 0 {
		text := p.name + "=" + p.delay.String()
		if p.repeat > 0 {
			text += "," + p.repeat.String()
		}
		return text
	}
	return p.name
}

// MarshalText is [pressing.String].
func (p pressing) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

// UnmarshalText reads "auto", "safe", "safe-ssh", "tuned=250ms", "tuned=250ms,33ms" or
// "quick=250ms".
func (p *pressing) UnmarshalText(b []byte) error {
	name, delay, with := strings.Cut(string(b), "=")
	bad := fmt.Errorf("%q is not known: auto, safe, safe-ssh, tuned=250ms,33ms or quick=250ms, the times being the keyboard's delay before it repeats and between repeats", b)
	switch name {
	case "auto", "safe", "safe-ssh":
		if with {
			return bad
		}
		*p = pressing{name: name}
		return nil
	case "tuned", "quick":
		delay, repeat, both := strings.Cut(delay, ",")
		d, err := time.ParseDuration(delay)
		if err != nil || d < 100*time.Millisecond || d > 2*time.Second {
			return bad
		}
		var r time.Duration
		if both {
			r, err = time.ParseDuration(repeat)
			if err != nil || r < time.Millisecond || r > time.Second || name == "quick" {
				return bad
			}
		}
		*p = pressing{name, d, r}
		return nil
	}
	return bad
}

// profile is the filter's profile: over a connection from far away presses come less
// evenly.
func (p pressing) profile() pedal.Profile {
	switch p.name {
	case "safe-ssh":
		return pedal.SafeSSH()
	case "tuned":
		return pedal.Tuned(p.delay, p.repeat)
	case "quick":
		return pedal.Quick(p.delay)
	case "safe":
		return pedal.Safe()
	}
	if os.Getenv("SSH_CONNECTION") != "" {
		return pedal.SafeSSH()
	}
	return pedal.Safe()
}

package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"turncue/sequence/job"
)

func latheNewCommand(s streams) *cobra.Command {
	var out, from string
	c := &cobra.Command{
		Use:   "new",
		Short: "Write the file of a lathe by answering questions at it",
		Long: `Asks for everything a lathe file says, one question at a time, in the words of the
shop, with small tests to find out what a turn of a handwheel really moves, what its
ring shows, how much slack there is and how long the spindle runs on. Some tests turn
the spindle: the lathe's manual, the rules of the shop and the instructor come first.

Each answer is checked at once. ? tells how to find out, back goes back, and enter
alone takes what stands in brackets. stop, or Ctrl-C, keeps what was answered in a
draft; --from DRAFT goes on with it. A file that is there is never overwritten.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			n := newLathe{streams: s, out: out, from: from}
			return n.run()
		},
	}
	c.Flags().StringVarP(&out, "output", "o", "", "write the lathe to this `FILE` (default: asked for at the end)")
	c.Flags().StringVar(&from, "from", "", "go on with the answers kept in this `DRAFT`")
	return c
}

// newLathe is one call of turncue lathe new.
type newLathe struct {
	streams
	out, from string
}

func (n newLathe) run() error {
	d := &dialogue{answers: latheAnswers{}, before: latheAnswers{}, out: n.out}
	var failed error // a terminal that is gone ends the input too
	d.say = func(format string, args ...any) {
		_, err := fmt.Fprintf(n.err, format, args...)
		failed = errors.Join(failed, err)
	}
	if n.out != "" {
		if _, err := takeNewFile(n.out); err != nil {
			return err
		}
	}
	if n.from != "" {
		kept, before, err := readDraft(n.from)
		if err != nil {
			return err
		}
		d.goOn(kept)
		for k, v := range before {
			d.before[k] = v
		}
	}
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer signal.Stop(stop)
	d.lines, d.stop = linesOf(n.in), stop
	if d.run() == endComplete {
		return n.write(d)
	}
	return n.keep(d)
}

// linesOf is the lines of an input, as they come.
func linesOf(in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		scan := bufio.NewScanner(in)
		scan.Buffer(nil, 8<<10)
		for scan.Scan() {
			lines <- scan.Text()
		}
	}()
	return lines
}

// write writes the lathe that was answered.
func (n newLathe) write(d *dialogue) error {
	path := n.out
	if path == "" {
		path = d.answers["file"]
	}
	text := d.answers.text(false)
	if _, err := job.ParseLathe(path, text); err != nil { // every answer was checked: this must not be
		return errors.Join(fmt.Errorf("the answers make no lathe file, which is a fault of this program: %w", err), n.keep(d))
	}
	if err := writeWhole(path, text, false); err != nil {
		return errors.Join(err, n.keep(d))
	}
	_, err := fmt.Fprintf(n.streams.out, "%s is written. turncue lathe check %s tells what it says; a job names it with lathe = %q.\n", path, path, path)
	return err
}

// keep keeps the answers so far.
func (n newLathe) keep(d *dialogue) error {
	path := n.from
	if path == "" {
		base := n.out
		if base == "" {
			base = "lathe.toml"
		}
		path = freeName(base + ".draft")
	}
	code := exitRefused
	if d.ended == endStopped {
		code = exitStopped
	}
	if !d.kept(path) {
		return exit{code: code}
	}
	if err := writeWhole(path, draft(path, d.answers, d.before), n.from != ""); err != nil {
		return err
	}
	return exit{code, fmt.Errorf("not finished: the answers are kept; go on with turncue lathe new --from %s", path)}
}

// goOn takes the answers of a draft over, each checked as if it were typed. From the
// first that is not taken any more it asks again, and offers what was answered.
func (d *dialogue) goOn(kept latheAnswers) {
	taken := 0
	for {
		q, _, _ := d.next()
		if q == nil || q.key == "write" {
			break
		}
		text, ok := kept[q.key]
		if !ok {
			break
		}
		if text == "" && q.open != "" {
			d.answers[q.key] = ""
		} else if answer, err := q.take(text); err != nil {
			d.fold("  ", fmt.Sprintf("The answer %q is not taken any more: %v.", text, err))
			break
		} else if d.answers[q.key] = answer; d.answers.fault() != nil {
			delete(d.answers, q.key)
			break
		}
		taken++
		delete(kept, q.key)
	}
	for k, v := range kept {
		d.before[k] = v
	}
	d.fold("", fmt.Sprintf("%d answers taken over.", taken))
}

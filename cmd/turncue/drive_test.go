package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

// hands answers the prompts of a run as a person would: a press, the nominal size at
// a measurement, "fits" at a gauge. It keeps the readings, to know the plan as the
// run knows it.
type hands struct {
	work     *work
	readings sequence.Readings
	plan     *sequence.Plan
}

func newHands(t testing.TB, job, lathe string) *hands {
	t.Helper()
	w, err := load(job, lathe)
	if err != nil {
		t.Fatal(err)
	}
	return &hands{
		work: w, plan: w.plan,
		readings: sequence.Readings{Lengths: map[string]calc.Length{}, Fits: map[string]sequence.Fit{}},
	}
}

// answer is the control line for a step.
func (h *hands) answer(t testing.TB, id string) string {
	t.Helper()
	i := h.plan.Index(id)
	if i < 0 {
		t.Fatalf("the run is at %s, which the plan does not have", id)
	}
	s := &h.plan.Steps[i]
	line := "next"
	switch s.Needs {
	case sequence.NeedReading:
		h.readings.Lengths[id] = s.Measure.Nominal
		line = "reading " + s.Measure.Nominal.String()
	case sequence.NeedFit:
		h.readings.Fits[id] = sequence.Fits
		line = "fits"
	default:
		return fmt.Sprintf("next @%d", s.N)
	}
	p, err := h.work.replan(h.readings)
	if err != nil {
		t.Fatal(err)
	}
	h.plan = p
	return line
}

// script is a run led by control lines, in this process.
type script struct {
	in   *io.PipeWriter
	out  *bufio.Scanner
	done chan int
	errs *strings.Builder
	said []string // every line of output
}

func startScript(args ...string) *script {
	stdin, in := io.Pipe()
	out, stdout := io.Pipe()
	s := &script{in: in, out: bufio.NewScanner(out), done: make(chan int, 1), errs: &strings.Builder{}}
	go func() {
		code := run(context.Background(), args, stdin, stdout, s.errs)
		stdout.Close()
		s.done <- code
	}()
	return s
}

// shown reads on to the next step shown and gives its id and how it is shown; "" at
// the end of the output.
func (s *script) shown() (id, state string) {
	for s.out.Scan() {
		line := s.out.Text()
		s.said = append(s.said, line)
		if id, state, ok := shownIn(line); ok {
			return id, state
		}
	}
	return "", ""
}

// shownIn takes the id and the state out of a "show" line.
func shownIn(line string) (id, state string, ok bool) {
	rest, ok := strings.CutPrefix(line, "show step ")
	if !ok {
		return "", "", false
	}
	parts := strings.SplitN(rest, ", ", 3)
	if len(parts) < 3 {
		return "", "", false
	}
	return parts[1], parts[2], true
}

func (s *script) send(t testing.TB, line string) {
	t.Helper()
	if _, err := fmt.Fprintln(s.in, line); err != nil {
		t.Fatal(err)
	}
}

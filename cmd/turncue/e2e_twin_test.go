package main

import (
	"testing"

	"turncue/calc"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// A twin is the run as it must be: what the program under test is told goes through
// the same rules here, so that every frame and every line it gives can be compared.
type twin struct {
	work  *work
	state runner.State
}

func newTwin(t testing.TB, w *work) *twin {
	t.Helper()
	s, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan, Teaching: w.teaching})
	if err != nil {
		t.Fatal(err)
	}
	return &twin{w, s}
}

// does takes what happened and gives the lines a run led by control lines prints.
func (w *twin) does(k runner.Kind) (lines []string) {
	s, effects := runner.Next(w.state, runner.Event{Kind: k})
	w.state = s
	for _, f := range effects {
		switch f.(type) {
		case runner.Hush, runner.Record:
			continue
		}
		lines = append(lines, f.String())
	}
	return lines
}

// copy is a twin of its own: a state is a value.
func (w *twin) copy() *twin { c := *w; return &c }

func (w *twin) step() *sequence.Step { return w.state.Step() }

func (w *twin) view() terminal.View { return viewer{w.work.plan}.view(w.state.Frame()) }

// reading is the size a step should have.
func (w *twin) reading() calc.Length { return w.step().Measure.Nominal }

// wants is what a person does at the step.
func (w *twin) wants() runner.Kind {
	switch w.step().Needs {
	case sequence.NeedReading:
		return runner.Reading{Value: w.reading()}
	case sequence.NeedFit:
		return runner.Answer{Fit: sequence.Fits}
	}
	return runner.Advance{}
}

// example is the job that needs no file.
func example(t testing.TB) *work {
	t.Helper()
	w, err := load("", "")
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// answered says that the step has its reading already.
func (w *twin) answered() bool { return w.state.Frame().Reading != nil }

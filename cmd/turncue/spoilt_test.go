package main

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// readTwice leads a job to a step by nominal answers and then reads a size there twice. It
// gives what came of each reading.
func readTwice(t *testing.T, w *work, id string, v calc.Length) (results [2]string, notices [2]string) {
	t.Helper()
	s, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan})
	if err != nil {
		t.Fatal(err)
	}
	do := func(k runner.Kind) (result string) {
		var effects []runner.Effect
		s, effects = runner.Next(s, runner.Event{Kind: k})
		for _, f := range effects {
			if r, ok := f.(runner.Record); ok {
				result = string(r.Result)
			}
		}
		return result
	}
	do(runner.Begin{})
	for n := 0; s.Step().ID != id; n++ {
		switch st := s.Step(); st.Needs {
		case sequence.NeedReading:
			do(runner.Reading{Value: st.Measure.Nominal})
		case sequence.NeedFit:
			do(runner.Answer{Fit: sequence.Fits})
		default:
			do(runner.Advance{})
		}
		if n > len(w.plan.Steps)+40 || s.Phase() != runner.Running {
			t.Fatalf("never came to %s, is at %s", id, s.Step().ID)
		}
	}
	for i := range results {
		results[i] = do(runner.Reading{Value: v})
		notices[i] = s.Frame().Notice
	}
	return results, notices
}

// A size between two cuts that is past the drawing's limit already, and read twice, is
// said to be what it is: it stays in the chuck, and nothing goes on. One that is only
// unlikely is taken at the second time.
func TestSpoiltBetweenCuts(t *testing.T) {
	spoilt, kept := 0, 0
	for _, job := range append(goodJobs(t), "") {
		w, err := load(job, "")
		if err != nil {
			t.Fatal(err)
		}
		for i := range w.plan.Steps {
			st := &w.plan.Steps[i]
			if st.Needs != sequence.NeedReading || st.Measure.Final || st.Measure.What == sequence.MeasureRunOut || st.Measure.What == sequence.MeasureRing || st.Measure.What == sequence.MeasureAlong || st.Measure.What == sequence.MeasureWithin {
				continue // none is a size of the part: the last tells the angle of a cone
			}
			last := finished(w.plan, i)
			if last == nil {
				t.Errorf("%s %s: nothing is measured to the end after it", job, st.ID)
				continue
			}
			past, want := last.Min-200*calc.Micrometre, runner.UnderSize
			if last.Grows {
				past, want = last.Max+200*calc.Micrometre, runner.OverSize
			}
			res, notices := readTwice(t, w, st.ID, past)
			if res != [2]string{string(runner.Questioned), string(want)} || !strings.Contains(notices[1], "leave it in the chuck") {
				t.Errorf("%s %s, limits %s to %s, read %s twice: %s\n%s", job, st.ID, last.Min, last.Max, past, res, notices[1])
			}
			spoilt++
			unlikely := st.Measure.Max + 300*calc.Micrometre
			if last.Grows {
				unlikely = st.Measure.Min - 300*calc.Micrometre
			}
			if res, notices := readTwice(t, w, st.ID, unlikely); res[0] != string(runner.Questioned) || res[1] != string(runner.Confirmed) && !strings.Contains(notices[0], "if that") && !strings.Contains(notices[0], "bigger than before") && !strings.Contains(notices[0], "smaller than before") {
				t.Errorf("%s %s, near %s, read %s twice: %s\n%s", job, st.ID, st.Measure.Nominal, unlikely, res, notices[1])
			}
			kept++
		}
	}
	t.Logf("%d sizes spoilt, %d only unlikely", spoilt, kept)
	if spoilt < 20 {
		t.Errorf("only %d sizes", spoilt)
	}
}

// finished is the measurement that finishes the size measured at step i.
func finished(p *sequence.Plan, i int) *sequence.Measure {
	for k := i + 1; k < len(p.Steps); k++ {
		if m := p.Steps[k].Measure; m != nil && m.Final && m.What == p.Steps[i].Measure.What && p.Steps[k].Section == p.Steps[i].Section {
			return m
		}
	}
	return nil
}

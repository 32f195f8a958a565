package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// leaveAt begins a run, passes a few steps and leaves it; it gives the ids shown.
func leaveAt(t *testing.T, steps int, args ...string) []string {
	t.Helper()
	s := startScript(append(args, "--control", "-", "--audio", "none")...)
	var ids []string
	for id, _ := s.shown(); id != ""; id, _ = s.shown() {
		if len(ids) == 0 || ids[len(ids)-1] != id {
			ids = append(ids, id)
		}
		if len(ids) > steps {
			break
		}
		s.send(t, "next")
	}
	s.in.Close()
	for id := "-"; id != ""; id, _ = s.shown() {
		continue
	}
	if code := <-s.done; code != exitDone {
		t.Fatalf("%v: exit %d, %s", args, code, s.errs)
	}
	return ids
}

// A run keeps the pace it was begun at: without the flag it goes on at it, whatever the
// settings say by then; with another it is refused.
func TestRunKeepsItsPace(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	config := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", config)
	job := filepath.Join("..", "..", "testdata", "jobs", "m10x1.toml")
	if _, err := os.Stat(job); err != nil {
		t.Fatal(err)
	}
	leaveAt(t, 3, "run", job, "--pace", "4")
	w, err := load(job, "")
	if err != nil {
		t.Fatal(err)
	}
	w.pace = sequence.PaceFour
	if w.plan, err = w.replan(sequence.Readings{}); err != nil {
		t.Fatal(err)
	}
	head, ok := w.begun()
	if !ok || head.Pace != sequence.PaceFour {
		t.Fatalf("begun %v at %s presses a pass, want 4", ok, head.Pace)
	}
	if err := os.MkdirAll(filepath.Join(config, "turncue"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(config, "turncue", "settings.toml"), []byte("pace = 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"run", job}, {"run", job, "--pace", "4"}, {"resume"}} {
		if ids := leaveAt(t, 0, args...); ids[0] != w.plan.Steps[3].ID {
			t.Errorf("%v: at %s, left at %s", args, ids[0], w.plan.Steps[3].ID)
		}
	}
	if out := call(t, exitRefused, "run", job, "--pace", "2", "--control", "-", "--audio", "none"); !strings.Contains(out, "begun with --pace 4") || !strings.Contains(out, "--fresh") {
		t.Errorf("another pace: %s", out)
	}
	if out := call(t, exitDone, "log", "1"); !strings.Contains(out, "not confirmed") && !strings.Contains(out, "step") {
		t.Errorf("log: %s", out)
	}
	leaveAt(t, 1, "run", job, "--fresh") // by the settings
	if head, _ := w.begun(); head.Pace != sequence.PaceWhole {
		t.Errorf("fresh, by the settings: %s presses a pass, want 1", head.Pace)
	}
}

// A whole job with a press a pass, answered as at any pace, and shown in large type by
// what comes first.
func TestWholeJobWithAPressAPass(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	h := newHands(t, "", "")
	h.work.pace = sequence.PaceWhole
	var err error
	if h.plan, err = h.work.replan(h.readings); err != nil {
		t.Fatal(err)
	}
	s := startScript("run", "--pace", "1", "--control", "-", "--audio", "none")
	n, last := 0, ""
	for {
		id, state := s.shown()
		if id == "" {
			break
		}
		if strings.HasPrefix(state, "done") || id == last {
			continue
		}
		n, last = n+1, id
		s.send(t, h.answer(t, id))
	}
	if code := <-s.done; code != exitDone || n != len(h.plan.Steps) {
		t.Fatalf("exit %d after %d of %d steps\n%s", code, n, len(h.plan.Steps), s.errs)
	}
	text := strings.Join(s.said, "\n")
	for i := range h.plan.Steps {
		st := &h.plan.Steps[i]
		if say := st.Cue.Text(); !strings.Contains(text, say) {
			t.Errorf("never said: %s", say)
		}
		if len(st.Parts) == 0 || st.Op != sequence.OpThread {
			continue
		}
		set := st.Parts[0].Moves
		depth, ok := set[len(set)-1].(sequence.Shift)
		if _, big := headline(st, h.plan.Unit); !ok || big != dialBig(*depth.Dial) {
			t.Errorf("%s shows %q large, want the depth", st.ID, big)
		}
		if dial := dialText(st); !strings.Contains(dial, ", then 1 turn out") {
			t.Errorf("%s shows the rings %q, want the depth and the turn out", st.ID, dial)
		}
	}
}

func TestPlanAtAPace(t *testing.T) {
	if out := call(t, exitDone, "plan", "--pace", "1"); !strings.Contains(out, "Pass 4 of 11. Cross slide in to 0.64. Forward, into the groove, watch the") || strings.Contains(out, "pass4/set") {
		t.Errorf("a press a pass:\n%s", out)
	}
	if out := call(t, exitDone, "plan", "--pace", "4", "--from", "s2/finish/pass2/clear"); !strings.Contains(out, "s2/finish/pass2/return") {
		t.Errorf("four presses a pass:\n%s", out)
	}
	if out := call(t, exitUsage, "plan", "--pace", "3"); !strings.Contains(out, "4, 2 or 1") {
		t.Errorf("three presses a pass: %s", out)
	}
}

// Every job comes to its end at every pace, taught or not, with sizes that are a little
// off: what a reading changes is planned again at the same pace.
func TestEveryJobAtEveryPace(t *testing.T) {
	for _, job := range append(goodJobs(t), "") {
		for _, pace := range []sequence.Pace{sequence.PaceWhole, sequence.PaceTwo, sequence.PaceFour} {
			for _, teaching := range []runner.Teaching{{}, {Learner: "T1", Instructor: "S1"}} {
				w, err := load(job, "")
				if err != nil {
					t.Fatal(err)
				}
				w.pace = pace
				if err := w.teach(teaching); err != nil {
					t.Fatal(err)
				}
				s, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan, Teaching: teaching})
				if err != nil {
					t.Fatal(err)
				}
				s, _ = runner.Next(s, runner.Event{Kind: runner.Begin{}})
				for n := 0; s.Phase() == runner.Running; n++ {
					st := s.Step()
					var k runner.Kind = runner.Advance{}
					switch st.Needs {
					case sequence.NeedReading:
						k = runner.Reading{Value: aLittleOff(st.Measure)}
					case sequence.NeedFit:
						k = runner.Answer{Fit: sequence.Fits}
					case sequence.NeedSignOff:
						k = runner.SignOff{Name: "S1"}
						if runner.Signs(st) == runner.RoleLearner {
							k = runner.SignOff{Name: "T1"}
						}
					}
					if s, _ = runner.Next(s, runner.Event{Kind: k}); n > 1000 {
						t.Fatalf("%s, pace %s, taught %v: no end at %s: %s", job, pace, teaching.On(), st.ID, s.Frame().Notice)
					}
				}
				if s.Phase() != runner.Done {
					t.Errorf("%s, pace %s: ends %s", job, pace, s.Phase())
				}
			}
		}
	}
}

// aLittleOff is a size that is not quite what was wanted: between cuts a little large
// outside and small inside, at the end inside its limits; of a cone in a bore by no more
// than leaves its angle right.
func aLittleOff(m *sequence.Measure) calc.Length {
	switch {
	case m.Final:
		return calc.Mid(m.Nominal, calc.Mid(m.Min, m.Max))
	case m.What == sequence.MeasureWithin:
		return m.Nominal - 10*calc.Micrometre
	case m.Grows:
		return m.Nominal - 20*calc.Micrometre
	}
	return m.Nominal + 20*calc.Micrometre
}

package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
	"turncue/sounds"
)

// sign is the control line that signs a taught step.
func (h *hands) sign(s *sequence.Step) string {
	if runner.Signs(s) == runner.RoleLearner {
		return "sign " + h.work.teaching.Learner
	}
	return "sign " + h.work.teaching.Instructor
}

func learnedHands(t testing.TB, job string) *hands {
	t.Helper()
	h := newHands(t, job, "")
	if err := h.work.teach(runner.Teaching{Learner: "T1", Instructor: "S1"}); err != nil {
		t.Fatal(err)
	}
	h.plan = h.work.plan
	return h
}

// answerTaught is the control line for a step of a taught run.
func (h *hands) answerTaught(t testing.TB, id string) string {
	t.Helper()
	if i := h.plan.Index(id); i >= 0 && h.plan.Steps[i].Needs == sequence.NeedSignOff {
		return h.sign(&h.plan.Steps[i])
	}
	return h.answer(t, id)
}

// taughtRun leads a taught job to its end, or as far as so many steps.
func taughtRun(t *testing.T, steps int, args ...string) (*script, []string) {
	t.Helper()
	h := learnedHands(t, "../../testdata/jobs/plain-pin.toml")
	s := startScript(append([]string{"run", "../../testdata/jobs/plain-pin.toml", "--control", "-", "--audio", "none", "--learner", "T1", "--instructor", "S1"}, args...)...)
	var order []string
	for len(order) < steps {
		id, state := s.shown()
		if id == "" {
			break
		}
		if strings.HasPrefix(state, "done") || len(order) > 0 && order[len(order)-1] == id {
			continue
		}
		order = append(order, id)
		s.send(t, h.answerTaught(t, id))
	}
	return s, order
}

func (s *script) finish(t *testing.T) int {
	t.Helper()
	s.in.Close()
	for id := "-"; id != ""; {
		id, _ = s.shown()
	}
	return <-s.done
}

// A whole taught job: every step that is to be watched waits for the instructor, and
// each block for both.
func TestTaughtJob(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	s, order := taughtRun(t, 1000)
	if code := s.finish(t); code != exitDone {
		t.Fatalf("exit %d: %s", code, s.errs)
	}
	text := strings.Join(order, " ")
	for _, id := range []string{"set-up/signed/learner set-up/signed/instructor", "/watched"} {
		if !strings.Contains(text, id) {
			t.Errorf("%q is not in the order of the run: %s", id, text)
		}
	}
}

// ask sends a line and reads on to a step shown that way; what is shown unasked, that
// there is no sound, may come between.
func (s *script) ask(t *testing.T, line, id, state string) {
	t.Helper()
	if line != "" {
		go func() { _, _ = s.in.Write([]byte(line + "\n")) }()
	}
	var seen []string
	for {
		got, how := s.shown()
		if got == "" {
			t.Fatalf("after %q no step %s shown as %q, but %q", line, id, state, seen)
		}
		if got == id && strings.Contains(how, state) {
			return
		}
		seen = append(seen, got+", "+how)
	}
}

// The learner's own press and name do nothing at a watched step; resume knows who is
// taught without being told again.
func TestTaughtStepWaitsForTheInstructor(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	s := startScript("run", "../../testdata/jobs/plain-pin.toml", "--control", "-", "--audio", "none", "--learner", "T1", "--instructor", "S1")
	s.ask(t, "", "setup/ready", "running")
	s.ask(t, "next", "setup/hold", "running")
	s.ask(t, "next", "setup/hold", "a sign-off is needed here")
	s.ask(t, "sign t1", "setup/hold", "t1 is learning")
	s.ask(t, "sign Q9", "setup/hold", "S1 watches this run")
	s.finish(t)
	again := startScript("resume", "--control", "-", "--audio", "none")
	again.ask(t, "", "setup/hold", "re-check")
	again.ask(t, "next", "setup/hold", "not confirmed")
	again.ask(t, "sign T1", "setup/hold", "T1 is learning")
	again.ask(t, "sign S1", "setup/key", "running")
	again.finish(t)
	// The same job without teaching is another run.
	plain := startScript("run", "../../testdata/jobs/plain-pin.toml", "--control", "-", "--audio", "none")
	plain.ask(t, "", "setup/ready", "running")
	plain.finish(t)
}

func TestTeachingFlags(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	for args, want := range map[string]string{
		"--learner T1":                 "teaching takes two",
		"--learner T1 --instructor t1": "cannot watch themselves",
		"--words loud":                 "full, short or numbers",
	} {
		out := call(t, exitUsage, append([]string{"run", "--control", "-", "--audio", "none"}, strings.Fields(args)...)...)
		if !strings.Contains(out, want) {
			t.Errorf("%s: %q is not in %q", args, want, out)
		}
	}
}

// s opens the line of a name, letters that are keys elsewhere belong to it, enter takes
// it.
func TestSigningByKeys(t *testing.T) {
	e := newEntry(pedal.Safe(), 0)
	step := &sequence.Step{ID: "hold", Needs: sequence.NeedSignOff}
	e.show(runner.Frame{Step: step, Phase: runner.Running})
	at := time.Duration(0)
	press := func(name string, r rune) runner.Kind {
		at += 300 * time.Millisecond
		return e.key(terminal.Key{Name: name, Rune: r, At: at})
	}
	typed := func(text string) {
		for _, r := range text {
			name := string(r)
			if r == ' ' {
				name = "space"
			}
			if k := press(name, r); k != nil {
				t.Fatalf("%q while a name is typed: %v", r, k)
			}
		}
	}
	typed("sBarb Ap")
	if e.text() != "sign Barb Ap" {
		t.Fatalf("the line is %q", e.text())
	}
	press("backspace", 0)
	if k := press("enter", 0); k != (runner.SignOff{Name: "Barb A"}) {
		t.Errorf("enter gives %v", k)
	}
	typed("s")
	if k := press("enter", 0); k != nil || !strings.Contains(e.hint, "has a name") {
		t.Errorf("enter with no name gives %v, %q", k, e.hint)
	}
	typed("sAnn")
	press("esc", 0)
	if e.text() != "" {
		t.Errorf("after escape the line is %q", e.text())
	}
	typed("sAnn")
	e.show(runner.Frame{Step: &sequence.Step{ID: "other", Needs: sequence.NeedSignOff}, Phase: runner.Running})
	if e.text() != "" {
		t.Errorf("at another step the line is still %q", e.text())
	}
}

// Every part of every cue in every length can be spoken, in taught runs too.
func TestEveryLengthOfEveryCueIsSpoken(t *testing.T) {
	t.Parallel()
	for _, path := range goodJobs(t) {
		w, err := load(path, "")
		if err != nil {
			t.Fatal(err)
		}
		if err := w.teach(runner.Teaching{Learner: "T1", Instructor: "S1"}); err != nil {
			t.Fatal(err)
		}
		for i := range w.plan.Steps {
			s := &w.plan.Steps[i]
			var longest time.Duration
			for _, words := range []runner.Words{runner.NumbersOnly, runner.ShortWords, runner.FullWords} {
				c := runner.Spoken(s, w.plan.Unit, words)
				d, err := sounds.Default().Duration(c.Parts())
				switch {
				case err != nil:
					t.Errorf("%s, step %s, %s: %v", path, s.ID, words, err)
				case d == 0:
					t.Errorf("%s, step %s, %s says nothing", path, s.ID, words)
				case d < longest:
					t.Errorf("%s, step %s: %s is shorter than what should say less: %s", path, s.ID, words, c.Text())
				}
				longest = d
			}
			full := runner.Spoken(s, w.plan.Unit, runner.FullWords)
			for _, caution := range s.Cautions {
				if !strings.Contains(full.Text(), string(caution)) && !strings.Contains(full.Text(), capital(string(caution))) {
					t.Errorf("%s, step %s in full does not say %q: %s", path, s.ID, caution, full.Text())
				}
			}
		}
	}
}

// Words are heard in what a run says: numbers leaves out what a figure is understood
// without.
func TestWordsOfARun(t *testing.T) {
	said := map[string]int{}
	for _, words := range []string{"full", "short", "numbers"} {
		t.Setenv("XDG_STATE_HOME", t.TempDir())
		h := newHands(t, "../../testdata/jobs/plain-pin.toml", "")
		s := startScript("run", "../../testdata/jobs/plain-pin.toml", "--control", "-", "--audio", "none", "--words", words)
		last := ""
		for {
			id, _ := s.shown()
			if id == "" {
				break
			}
			if id != last {
				s.send(t, h.answer(t, id))
			}
			last = id
		}
		if code := <-s.done; code != exitDone {
			t.Fatalf("%s: exit %d: %s", words, code, s.errs)
		}
		for _, line := range s.said {
			if text, ok := strings.CutPrefix(line, "say "); ok {
				said[words] += len(text)
			}
		}
	}
	if said["full"] <= said["short"] || said["numbers"]*3 > said["short"]*2 {
		t.Errorf("letters said: %v", said)
	}
}

// --events: every effect as a JSON line, a file that is there is added to.
func TestEventsFile(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	path := filepath.Join(t.TempDir(), "run.jsonl")
	s, _ := taughtRun(t, 4, "--events", path)
	s.finish(t)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	kinds := map[string]int{}
	var says []string
	lines := strings.Split(strings.TrimSpace(string(b)), "\n")
	for n, line := range lines {
		var e effectJSON
		if err := json.Unmarshal([]byte(line), &e); err != nil {
			t.Fatalf("line %d: %v: %s", n+1, err, line)
		}
		if e.Schema != eventsSchema || e.N != n || e.Time.IsZero() {
			t.Errorf("line %d: %s", n+1, line)
		}
		kinds[e.Effect]++
		if e.Effect == "say" {
			says = append(says, "say "+e.Text)
		}
	}
	for _, k := range []string{"hush", "say", "beep", "show", "record", "finish"} {
		if kinds[k] == 0 {
			t.Errorf("no %s among %v", k, kinds)
		}
	}
	var printed []string
	for _, line := range s.said {
		if strings.HasPrefix(line, "say ") {
			printed = append(printed, line)
		}
	}
	if strings.Join(says, "\n") != strings.Join(printed, "\n") {
		t.Errorf("the file says\n%s\nthe run said\n%s", strings.Join(says, "\n"), strings.Join(printed, "\n"))
	}
	again := startScript("resume", "--control", "-", "--audio", "none", "--events", path)
	again.finish(t)
	if b, _ = os.ReadFile(path); strings.Count(string(b), "\n") <= len(lines) {
		t.Error("the second run added nothing")
	}
	out := call(t, exitRefused, "run", "--control", "-", "--audio", "none", "--events", filepath.Join(t.TempDir(), "no", "such", "dir"))
	if !strings.Contains(out, "cannot be written: no such file or directory") || strings.Count(strings.TrimSpace(out), "\n") > 0 {
		t.Errorf("got %q", out)
	}
}

// A file that can take no more is told of once, and the run goes on.
func TestEventsFileFull(t *testing.T) {
	var told []string
	e, err := openEvents("/dev/full", func(s string) { told = append(told, s) })
	if err != nil {
		t.Logf("no /dev/full here: %v", err)
		e = &eventFile{file: closedFile(t), path: "gone", tell: func(s string) { told = append(told, s) }}
	}
	for range 3 {
		e.write(runner.Hush{})
	}
	_ = e.close()
	if len(told) != 1 || !strings.Contains(told[0], "the run goes on") {
		t.Errorf("told %q", told)
	}
}

func closedFile(t *testing.T) *os.File {
	t.Helper()
	f, err := os.Create(filepath.Join(t.TempDir(), "f"))
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	return f
}

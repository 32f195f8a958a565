//go:build unix

package main

import (
	"context"
	"encoding/csv"
	"encoding/hex"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"turncue/calc"
	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
)

// pedalCases are the rows that are about pedals, and where each is tried: here, or in
// the packages of the pedal's filter and of the terminal.
var pedalCases = map[string]string{
	"C134": "pedal: TestCasesOfPresses", "C135": "pedal: TestCasesOfPresses", "C137": "pedal: TestCaseOfAHeldKey",
	"C139": "pedal: TestCaseOfTypedText", "C140": "here, pedal: TestCasesOfKeys", "C141": "here, pedal: TestCasesOfKeys",
	"C142": "here, terminal: TestCasesOfSequences", "C143": "here, terminal: TestCasesOfSequences", "C144": "here, terminal: TestCasesOfSequences",
	"C147": "here", "C148": "here, pedal: TestCaseOfAFlood", "C149": "here: TestPedalIsLearnedAtATerminal", "C150": "here", "C152": "here",
}

func TestEveryPedalCaseIsTried(t *testing.T) {
	n := 0
	for _, row := range caseRows(t) {
		if len(row) > 1 && row[1] == "pedal" {
			n++
			if pedalCases[row[0]] == "" {
				t.Errorf("%s is tried nowhere: %q", row[0], row)
			}
		}
	}
	if n != len(pedalCases) {
		t.Errorf("%d rows, %d tried", n, len(pedalCases))
	}
}

// caseRows are all rows of what people met at the lathe.
func caseRows(t *testing.T) [][]string {
	t.Helper()
	file, err := os.Open("../../testdata/cases.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// pedalCase is a row of what people met at the lathe.
func pedalCase(t *testing.T, id string) []string {
	t.Helper()
	for _, row := range caseRows(t) {
		if row[0] == id {
			return row
		}
	}
	t.Fatalf("no row %s", id)
	return nil
}

// figureAfter is the number after a word of a row.
func figureAfter(t *testing.T, text, word string) int {
	t.Helper()
	m := regexp.MustCompile(regexp.QuoteMeta(word) + `\s*(\d+)`).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("no figure after %q in %q", word, text)
	}
	n, _ := strconv.Atoi(m[1])
	return n
}

// C140, C141, at the built program: each key goes on, or back, once.
func TestCasesOfKeysAtATerminal(t *testing.T) {
	t.Parallel()
	sent := map[string]string{
		"PgDn": "\x1b[6~", "Right": "\x1b[C", "Down": "\x1b[B", "Space": " ", "Return": "\r",
		"PgUp": "\x1b[5~", "Left": "\x1b[D", "Up": "\x1b[A",
	}
	o, w := resumed(t, func(w *twin) bool { // where five presses go on
		w, from := w.copy(), w.step().N
		for range 5 {
			w.does(runner.Advance{})
		}
		return w.step().N == from+5
	})
	for _, c := range []struct {
		id   string
		kind runner.Kind
	}{{"C140", runner.Advance{}}, {"C141", runner.Back{}}} {
		row := pedalCase(t, c.id)
		list := strings.TrimPrefix(row[2][:strings.Index(row[2], " (")], "keys=")
		from, _ := w.state.Position()
		for key := range strings.SplitSeq(list, ",") {
			if sent[key] == "" {
				t.Fatalf("%s: what does %q send", c.id, key)
			}
			o.pause(o.last.Add(time.Second)) // as the rows have it: one key can come again
			o.send(sent[key])
			w.does(c.kind)
			o.sees()
			o.last = time.Now()
		}
		to, _ := w.state.Position()
		want := figureAfter(t, row[3], "=")
		if got := max(to-from, from-to); got != want {
			t.Errorf("%s: %d steps, want %d", c.id, got, want)
		}
	}
	o.quit(nil)
}

// C142, C143, C144, through the keys' layout: function keys do nothing unless they are
// given something to do, and type no figures.
func TestCasesOfSequencesDoNothing(t *testing.T) {
	t.Parallel()
	o, w, env := begun(t)
	o.press("space")
	for _, id := range []string{"C142", "C143", "C144"} {
		bytes, err := hex.DecodeString(strings.ReplaceAll(strings.TrimPrefix(pedalCase(t, id)[2], "bytes="), " ", ""))
		if err != nil {
			t.Fatal(err)
		}
		o.pause(o.last.Add(apart))
		o.send(string(bytes))
		o.pause(time.Now().Add(apart))
		o.does("r", runner.Again{}) // taken and shown after them
	}
	if n, _ := w.state.Position(); n != 2 {
		t.Errorf("at step %d", n)
	}
	o.quit(env)
	e := newEntry(pedal.Safe(), calc.Millimetre)
	e.layout = e.layout.Give("f13", pedal.Next)
	if kind := e.key(terminal.Key{Name: "f13"}); kind != (runner.Advance{}) {
		t.Errorf("f13 given to next makes %v", kind)
	}
}

// C147, C150: the end comes soon, the place is kept and the terminal is as it was.
func TestCasesOfEnding(t *testing.T) {
	for id, end := range map[string]func(*operator){
		"C147": func(o *operator) { o.send("\x03") },
		"C150": func(o *operator) { o.cmd.Process.Signal(syscall.SIGTERM) },
	} {
		t.Run(id, func(t *testing.T) {
			t.Parallel()
			row := pedalCase(t, id)
			if id == "C147" && row[2] != "byte=03" || id == "C150" && !strings.HasPrefix(row[2], "SIGTERM") {
				t.Fatalf("%q", row)
			}
			within := time.Second // C150 says so; C147 gives no time
			if id == "C150" {
				within = time.Duration(figureAfter(t, row[3], "exit <")) * time.Second
			}
			took := within + 1
			for try := 0; try < 5 && took > within; try++ { // the computer may stand still
				o, w, env := begun(t)
				o.press("space")
				start := time.Now()
				end(o)
				<-o.exited
				took = time.Since(start)
				w.does(runner.Halt{})
				o.ends(exitStopped)
				kept(t, w, env)
			}
			if took > within {
				t.Errorf("%s: ended after %v, want %v", id, took, within)
			}
		})
	}
}

// C148, at the built program: a flood of one key, and it is still there.
func TestCaseOfAFloodAtATerminal(t *testing.T) {
	t.Parallel()
	row := pedalCase(t, "C148")
	n, most := figureAfter(t, row[2], ""), figureAfter(t, row[3], "advances<=")
	o, w, _ := begun(t)
	start := time.Now()
	for i := range n {
		o.pause(start.Add(time.Duration(i) * time.Second / time.Duration(n)))
		o.send("\x1b[6~")
	}
	o.pause(time.Now().Add(apart))
	o.send("\x03")
	w.does(runner.Halt{})
	o.ends(exitStopped)
	o.says("stopped at step ")
	_, text, found := strings.Cut(o.text(), "stopped at step ")
	if !found {
		t.Fatalf("the screen is\n%s", o.text())
	}
	step, err := strconv.Atoi(strings.Fields(text)[0])
	if err != nil || step-1 > most || step < 2 {
		t.Errorf("C148: at step %d, %v; want 1 to %d advances", step, err, most)
	}
}

// C152: time that passes is told when it is due and moves nothing; the key that comes
// afterwards counts once.
func TestCaseOfATimeoutThenAKey(t *testing.T) {
	row := pedalCase(t, "C152")
	timeout := time.Duration(figureAfter(t, row[2], "step timeout")) * time.Second
	due := time.Duration(figureAfter(t, row[3], "timeout event at")) * time.Second
	tolerance, err := time.ParseDuration(strings.ReplaceAll(row[4], " ", ""))
	if err != nil {
		t.Fatal(err)
	}
	w := example(t)
	synctest.Test(t, func(t *testing.T) {
		state, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan})
		if err != nil {
			t.Fatal(err)
		}
		events := make(chan runner.Event)
		var passed []time.Duration
		var order []string
		start := time.Now()
		config := runner.Config{State: state, Events: events, Tick: timeout}
		config.Settled = func(s runner.State, e runner.Event) {
			n, _ := s.Position()
			switch e.Kind.(type) {
			case runner.TimePassed:
				passed = append(passed, time.Since(start))
				order = append(order, "time at step "+strconv.Itoa(n))
			case runner.Advance:
				order = append(order, "press to step "+strconv.Itoa(n))
			}
		}
		over := make(chan error, 1)
		go func() {
			_, err := runner.Run(context.Background(), config)
			over <- err
		}()
		<-time.After(due + tolerance/2)
		synctest.Wait()
		if len(passed) != 1 || passed[0] < due-tolerance || passed[0] > due+tolerance {
			t.Errorf("C152: told at %v, want %v", passed, due)
		}
		e := newEntry(pedal.Safe(), w.job.Unit)
		for _, at := range []time.Duration{0, 9 * time.Millisecond} { // a bouncing switch
			if kind := e.key(terminal.Key{Name: "b", At: time.Since(start) + at}); kind != nil {
				events <- runner.Event{Kind: kind}
			}
		}
		<-time.After(timeout)
		close(events)
		if err := <-over; err != nil {
			t.Fatal(err)
		}
		if want := []string{"time at step 1", "press to step 2", "time at step 2"}; !slices.Equal(order, want) {
			t.Errorf("C152: %q, want %q", order, want)
		}
	})
}

package main

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"turncue/sequence/runner"
)

// bookRun is a taught run with a reading refused, one taken by two people, and that one
// corrected; it is left at step 6.
func bookRun(t *testing.T) {
	t.Helper()
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	s := startScript("run", "../../testdata/jobs/plain-pin.toml", "--control", "-", "--audio", "none", "--learner", "T1", "--instructor", "S1")
	s.ask(t, "", "setup/ready", "running")
	s.ask(t, "next", "setup/hold", "running")
	s.ask(t, "sign S1", "setup/key", "running")
	s.ask(t, "next", "setup/true", "running")
	s.ask(t, "reading 0.1mm", "setup/true", "refused")
	s.ask(t, "reading 0.02mm 0.03mm", "setup/true/watched", "running")
	s.ask(t, "back", "setup/true", "confirmed")
	s.ask(t, "reading 0.04mm", "setup/true/watched", "running")
	s.ask(t, "note jaws cleaned", "setup/true/watched", "Noted")
	s.ask(t, "sign S1", "setup/turn", "running")
	s.finish(t)
}

func holds(t *testing.T, text string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(text, w) {
			t.Errorf("%q is not in:\n%s", w, text)
		}
	}
}

// C165: each step with number, text, time, reading, result and who; C166: two readings
// with their difference; corrected readings keep both values.
func TestC165C166Log(t *testing.T) {
	bookRun(t)
	holds(t, call(t, exitDone, "log"), "core box dowel", "at step 6 of", "T1, watched by S1")
	holds(t, call(t, exitDone, "log", "1"),
		"learner T1, instructor S1", "   4  setup/true ", "Read the run-out on the",
		"reading 0.100 mm (limits 0.000 mm to 0.050 mm): too much run-out",
		"reading 0.020 mm, 0.030 mm, 0.010 mm apart (limits 0.000 mm to 0.050 mm): accepted, taken back later",
		"reading 0.040 mm (limits 0.000 mm to 0.050 mm): accepted\n",
		"signed S1", "note: jaws cleaned", "not confirmed")

	rows, err := csv.NewReader(strings.NewReader(call(t, exitDone, "log", "1", "--csv"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var read []string
	for _, r := range rows[1:] {
		if r[column["reading_mm"]] != "" {
			read = append(read, strings.Join([]string{r[column["n"]], r[column["reading_mm"]], r[column["more_mm"]], r[column["spread_mm"]], r[column["result"]], r[column["stands"]], r[column["who"]]}, "|"))
		}
		if _, err := time.Parse(time.RFC3339, r[column["from"]]); err != nil {
			t.Error(err)
		}
	}
	want := "4|0.1||| too much run-out|false|T1 4|0.02|0.03|0.01|accepted|false|T1 4|0.04||| accepted|true|T1"
	if got := strings.Join(read, " "); got != strings.ReplaceAll(want, "||| ", "|||") {
		t.Errorf("CSV has %q", got)
	}

	var log runJSON
	if err := json.Unmarshal([]byte(call(t, exitDone, "log", "1", "--json")), &log); err != nil {
		t.Fatal(err)
	}
	if log.Schema != logSchema || log.Learner != "T1" || len(log.Steps) != 6 || log.Step != 6 || log.Finished {
		t.Errorf("%+v", log)
	}
	if a := log.Steps[3].Answers; len(a) != 3 || a[1].SpreadMM != "0.01" || a[1].Stands || !a[2].Stands || log.Steps[4].SignedBy != "S1" {
		t.Errorf("%+v", log.Steps[3:5])
	}
	var list struct{ Runs []runJSON }
	if err := json.Unmarshal([]byte(call(t, exitDone, "log", "--json")), &list); err != nil || len(list.Runs) != 1 || list.Runs[0].Number != 1 {
		t.Errorf("%v %+v", err, list)
	}
	holds(t, call(t, exitDone, "log", "--csv"), "number,begun,last", "1,20", "core box dowel")
}

// C165: a whole taught job as a record: under every block the two lines, signed, and
// nobody signed for another.
func TestC165RecordHasTwoLinesPerBlock(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	s, _ := taughtRun(t, 1000)
	s.finish(t)
	record := call(t, exitDone, "log", "--record")
	holds(t, record, "RECORD OF WORK", "finished", "SET-UP", "THE WHOLE PART")
	var blocks []string
	learner, instructor := map[string]bool{}, map[string]bool{}
	block := ""
	for line := range strings.Lines(record) {
		line = strings.TrimRight(line, "\n")
		switch {
		case line != "" && line == strings.ToUpper(line) && line != "RECORD OF WORK":
			block = line
			blocks = append(blocks, block)
		case strings.HasPrefix(line, "  learner     T1  signed 20"):
			learner[block] = true
		case strings.HasPrefix(line, "  instructor  S1  signed 20"):
			instructor[block] = true
		}
	}
	if len(blocks) < 3 {
		t.Fatalf("blocks %q", blocks)
	}
	for _, b := range blocks {
		if b != "THE WHOLE PART" && (!learner[b] || !instructor[b]) {
			t.Errorf("block %s is not signed twice:\n%s", b, record)
		}
	}
	// Left before its end, the lines are there and not signed.
	bookRun(t)
	holds(t, call(t, exitDone, "log", "--record", "1"), "  learner     T1  not signed", "  instructor  S1  not signed")
}

// A run under way is looked at without taking it; a damaged journal is told and keeps
// nothing else from being listed.
func TestLogReadsWithoutTheLock(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	s := startScript("run", "--control", "-", "--audio", "none")
	s.ask(t, "", "setup/ready", "running")
	s.ask(t, "next", "setup/hold", "running")
	holds(t, call(t, exitDone, "log"), "at step 2 of")
	holds(t, call(t, exitDone, "log", "1"), "setup/hold")
	s.finish(t)
	dir, err := runner.StateDir()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "broken.jsonl"), []byte("nothing\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out := call(t, exitDone, "log")
	holds(t, out, "at step 2 of", "broken.jsonl")
	holds(t, call(t, exitDone, "log", "--json"), `"damage"`)
	holds(t, call(t, exitRefused, "log", "2"), "broken.jsonl")
}

func TestLogUsage(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	holds(t, call(t, exitDone, "log"), "no runs yet")
	for args, want := range map[string]string{"log x": "1 is the latest", "log 0": "1 is the latest", "log 1 2": "takes one number", "log --csv --json": "in one way", "log --record --csv": "in one way"} {
		holds(t, call(t, exitUsage, strings.Fields(args)...), want)
	}
	holds(t, call(t, exitRefused, "log", "3"), "there is no run 3, the list has 0")
}

// A journal whose plan cannot be made again still shows its steps and readings.
func TestLogWithoutThePlan(t *testing.T) {
	bookRun(t)
	all, err := journals()
	if err != nil || len(all) != 1 {
		t.Fatal(err, len(all))
	}
	all[0].Head.JobText = "part ="
	h := tellRun(all[0])
	var out strings.Builder
	if err := writeLog(&out, h); err != nil {
		t.Fatal(err)
	}
	holds(t, out.String(), "the texts of the steps are missing", "setup/true", "reading 0.100 mm", "signed S1")
}

// A list of many finished runs makes no plan for any of them.
func TestLogListsManyRunsAtOnce(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	s, _ := taughtRun(t, 1000)
	s.finish(t)
	dir, err := runner.StateDir()
	if err != nil {
		t.Fatal(err)
	}
	all, err := journals()
	if err != nil || len(all) != 1 {
		t.Fatal(err, len(all))
	}
	b, err := os.ReadFile(all[0].Path)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 300 {
		if err := os.WriteFile(filepath.Join(dir, "copy-"+strings.Repeat("x", i%50)+string(rune('a'+i/50))+".jsonl"), b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out := call(t, exitDone, "log")
	if n := strings.Count(out, "finished"); n != 301 {
		t.Errorf("%d runs are listed as finished", n)
	}
}

package main

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"turncue/sequence"
	"turncue/sequence/job"
)

// What the README shows is what the program does: its excerpts of a plan are the
// plan's words, and its commands print what stands below them.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	w, err := load("", "")
	if err != nil {
		t.Fatal(err)
	}
	heard, ran := 0, 0
	for _, block := range regexp.MustCompile("(?s)```(hear|console)\n(.*?)```").FindAllStringSubmatch(string(text), -1) {
		if block[1] == "hear" {
			heard += excerpt(t, w.plan, block[2])
			continue
		}
		ran += commands(t, block[2])
	}
	if heard < 5 || ran < 1 {
		t.Errorf("%d lines heard and %d commands found: where did they go?", heard, ran)
	}
}

// The files the README shows can be used as they stand.
func TestReadmeFiles(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile("(?s)```toml\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	if len(blocks) < 2 {
		t.Fatalf("%d files shown", len(blocks))
	}
	for _, b := range blocks {
		if strings.Contains(b[1], "[[section]]") {
			if _, err := job.ParseJob("README.md", b[1]); err != nil {
				t.Error(err)
			}
		} else if _, err := job.ParseLathe("README.md", b[1]); err != nil {
			t.Error(err)
		}
	}
}

// excerpt compares lines of "id  words" with the plan.
func excerpt(t *testing.T, p *sequence.Plan, text string) int {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	for _, line := range lines {
		id, words, _ := strings.Cut(line, " ")
		i := p.Index(id)
		if i < 0 {
			t.Errorf("no step %s", id)
			continue
		}
		if got := p.Steps[i].Cue.Text(); got != strings.TrimSpace(words) {
			t.Errorf("%s:\nREADME: %s\nplan:   %s", id, strings.TrimSpace(words), got)
		}
	}
	return len(lines)
}

// commands runs each "$ turncue" line and compares what it prints.
func commands(t *testing.T, text string) int {
	t.Helper()
	n := 0
	for _, part := range strings.Split("\n"+text, "\n$ turncue ")[1:] {
		line, want, _ := strings.Cut(part, "\n")
		n++
		if got := call(t, exitDone, words(line)...); got != want {
			t.Errorf("turncue %s\nREADME:\n%s\nprints:\n%s", line, want, got)
		}
	}
	return n
}

// words splits a command line at blanks outside quotes.
func words(line string) []string {
	var out []string
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		out = append(out, m[1]+m[2])
	}
	return out
}

//go:build unix

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// asker is a person at a terminal who answers questions and reads what comes.
type asker struct {
	*operator
	asked int
}

// answer waits for the next question and answers it.
func (s *asker) answer(text string) {
	s.t.Helper()
	s.asked++
	s.until(fmt.Sprintf("question %d", s.asked), func() bool {
		s.mu.Lock()
		defer s.mu.Unlock()
		raw := s.raw.String()
		i := strings.LastIndex(raw, fmt.Sprintf("\n%d of ", s.asked))
		return i >= 0 && strings.Contains(raw[i:], "> ")
	})
	s.send(text + "\r")
}

// The whole dialogue at a real terminal: a wrong answer, "?", Ctrl-C in the middle, the
// draft gone on with, the file written and checked.
func TestLatheNewAtATerminal(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	out := filepath.Join(dir, "mine.toml")
	lines := shortest(t)
	const half = 20
	s := &asker{operator: seat(t, nil, nil, "lathe", "new", "-o", out)}
	for i, line := range lines[:half] {
		s.answer(line)
		if i == 2 { // the lines of the ring are asked for what they say
			s.until("the next question", func() bool { return strings.Contains(s.text(), "4 of ") })
			s.send("?\r")
			s.says("Read on from the last figure to the zero")
			s.send("2\r")
			s.says(`"2" has no unit: write 2 mm, 2 in or 2 thou`)
		}
	}
	s.until("the next question", func() bool { return strings.Contains(s.text(), fmt.Sprintf("%d of ", half+1)) })
	s.send("\x03")
	s.says(fmt.Sprintf("Keep the %d answers in", half))
	s.send("\r")
	s.says("the answers are kept")
	s.ends(exitStopped)
	if _, err := os.Stat(out); !os.IsNotExist(err) {
		t.Error("a lathe is written by half of the answers")
	}
	s = &asker{operator: seat(t, nil, nil, "lathe", "new", "-o", out, "--from", out+".draft"), asked: half}
	s.says(fmt.Sprintf("%d answers taken over.", half))
	for _, line := range lines[half:] {
		s.answer(line)
	}
	s.ends(exitDone)
	if got := call(t, exitDone, "lathe", "check", out); !strings.Contains(got, "one turn moves 2 mm") {
		t.Error(got)
	}
}

// A program that is told to end keeps what was answered without asking.
func TestLatheNewIsToldToEnd(t *testing.T) {
	t.Parallel()
	out := filepath.Join(t.TempDir(), "mine.toml")
	s := &asker{operator: seat(t, nil, nil, "lathe", "new", "-o", out)}
	s.answer("l")
	s.answer("in")
	s.until("the next question", func() bool { return strings.Contains(s.text(), "3 of ") })
	if err := s.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	s.ends(exitStopped)
	if b, err := os.ReadFile(out + ".draft"); err != nil || !strings.Contains(string(b), `"units" = "in"`) {
		t.Errorf("%v: %s", err, b)
	}
}

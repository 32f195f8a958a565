package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"turncue/sequence/runner"
)

// C149: a pedal is learned at a terminal, and its first press shows within 200 ms,
// without a second one. What is learned is written after a y, and holds for the next
// run.
func TestPedalIsLearnedAtATerminal(t *testing.T) {
	t.Parallel()
	within := time.Duration(figureAfter(t, pedalCase(t, "C149")[3], "within")) * time.Millisecond
	config := t.TempDir()
	env := []string{"XDG_CONFIG_HOME=" + config, "XDG_STATE_HOME=" + t.TempDir()}
	sees := func(o *operator, text string) {
		t.Helper()
		o.until(text, func() bool { return strings.Contains(o.text(), text) })
	}
	begin := func() *operator {
		o := seat(t, nil, env, "pedal", "--pedal", "none")
		sees(o, "press the button that shall go on, once")
		return o
	}
	o := begin()
	start := time.Now()
	o.send("\x1b[6~")
	sees(o, "  pgdn")
	took := time.Since(start)
	for try := 1; took > within && try < 5; try++ { // the computer may have stood still
		t.Logf("try %d: %v", try, took)
		o.send("\x03")
		o.ends(exitStopped)
		o = begin()
		start = time.Now()
		o.send("\x1b[6~")
		sees(o, "  pgdn")
		took = time.Since(start)
	}
	if took > within {
		t.Errorf("C149: the first press showed after %v, want %v", took, within)
	}
	sees(o, "press the button that shall go back")
	o.send("\x1b[5~")
	sees(o, "press the button that shall say it again")
	o.send("\x1b[6~")
	sees(o, "now hold the first button down")
	hold := func() {
		start := time.Now()
		for _, ms := range repeats(300, 40) {
			o.pause(start.Add(time.Duration(ms) * time.Millisecond))
			o.send("\x1b[6~")
		}
	}
	hold()
	sees(o, "and once more: two seconds")
	hold()
	sees(o, "write it? y writes")
	path := filepath.Join(config, "turncue", "settings.toml")
	if _, err := os.Stat(path); !os.IsNotExist(err) {
		t.Error("the settings are written before the y")
	}
	o.send("y")
	o.ends(exitDone)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s, err := parseSettings(path, string(text))
	if err != nil {
		t.Fatal(err)
	}
	if s.press.name != "tuned" || s.press.delay < 290*time.Millisecond || !s.takeBack || s.keys.Next[0] != "pgdn" || s.keys.Back[0] != "pgup" {
		t.Errorf("learned %+v", s)
	}
}

// Left in the middle, nothing is written and the terminal is as it was.
func TestLearningIsLeft(t *testing.T) {
	t.Parallel()
	config := t.TempDir()
	o := seat(t, nil, []string{"XDG_CONFIG_HOME=" + config, "XDG_STATE_HOME=" + t.TempDir()}, "pedal", "--pedal", "none")
	o.until("the first ask", func() bool { return strings.Contains(o.text(), "press the button") })
	o.send("b\x03")
	o.ends(exitStopped)
	o.says("turncue: nothing is written")
	if entries, _ := os.ReadDir(config); len(entries) > 0 {
		t.Errorf("%v was written", entries)
	}
}

// A pedal read directly is learned without a terminal and used by the next run.
func TestDirectPedalIsLearnedAndUsed(t *testing.T) {
	t.Parallel()
	p := newPipePedal(t)
	env := []string{"XDG_CONFIG_HOME=" + t.TempDir(), "XDG_STATE_HOME=" + t.TempDir()}
	cmd := exec.Command(program(t), "pedal", "--pedal", p.path, "--yes")
	cmd.Env = surroundings(env...)
	c := started(t, cmd)
	var said []string
	until := func(text string) {
		t.Helper()
		for {
			line, ok := c.next()
			if !ok {
				code := c.ended()
				t.Fatalf("ended with %d before it said %q:\n%s\n%s", code, text, strings.Join(said, "\n"), c.errs.String())
			}
			said = append(said, line)
			if strings.Contains(line, text) {
				return
			}
		}
	}
	hold := func() {
		p.key(codeOfC, 1)
		p.at += 2 * time.Second
		p.key(codeOfC, 0)
	}
	until("press the button that shall go on, once")
	p.press(codeOfC)
	until("press the button that shall go back")
	p.press(codeOfC)
	until("hold the first button")
	hold()
	until("and once more")
	hold()
	until("written: ")
	if code := c.ended(); code != exitDone {
		t.Fatalf("exit %d: %s", code, c.errs.String())
	}
	w := newTwin(t, example(t))
	run := lead(t, env, "run", "--control", "-", "--audio", "none")
	run.must(w.does(runner.Begin{}))
	for range 2 {
		p.press(codeOfC) // which says it again as sold, and goes on as learned
		run.must(w.does(runner.Advance{}))
	}
	if code := run.ended(); code != exitDone {
		t.Errorf("exit %d: %s", code, run.errs.String())
	}
}

// Without a terminal and without a pedal to read there is nothing to learn from.
func TestNothingToLearnFrom(t *testing.T) {
	t.Parallel()
	cmd := exec.Command(program(t), "pedal")
	cmd.Env = surroundings("XDG_CONFIG_HOME="+t.TempDir(), "XDG_STATE_HOME="+t.TempDir())
	c := started(t, cmd)
	if code := c.ended(); code != exitNoTerminal || !strings.Contains(c.errs.String(), "no terminal to read keys from") {
		t.Errorf("exit %d: %s", code, c.errs.String())
	}
}

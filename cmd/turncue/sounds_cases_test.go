package main

import (
	"regexp"
	"strings"
	"testing"

	"turncue/sounds"
)

// C153: without any device a whole job is led through in text, to exit code 0, with one
// warning line.
func TestC153WithoutADevice(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	t.Setenv("XDG_RUNTIME_DIR", t.TempDir())
	t.Setenv("PULSE_SERVER", "unix:/nowhere/native")
	t.Setenv("ALSA_CONFIG_PATH", "")
	t.Setenv("PATH", t.TempDir()) // and no program that plays
	const job = "../../testdata/jobs/plain-pin.toml"
	h := newHands(t, job, "")
	s := startScript("run", job, "--control", "-", "--audio", "pipe")
	steps := 0
	last := ""
	for {
		id, state := s.shown()
		if id == "" {
			break
		}
		if strings.HasPrefix(state, "done") || id == last {
			continue
		}
		last = id
		steps++
		s.send(t, h.answer(t, id))
	}
	if code := <-s.done; code != exitDone || steps != len(h.plan.Steps) {
		t.Errorf("exit %d after %d steps of %d", code, steps, len(h.plan.Steps))
	}
	warnings := 0
	for line := range strings.Lines(s.errs.String()) {
		if strings.Contains(line, "sound") {
			warnings++
		}
	}
	if warnings != 1 {
		t.Errorf("%d lines about the sound, want 1:\n%s", warnings, s.errs)
	}
}

// C050: where a tool inside a bore is drawn back, "out" would be the wrong way. No word
// of the voice says "tool out", in any language, and every winding out names its slide.
func TestC050NoToolOut(t *testing.T) {
	t.Parallel()
	toolOut := regexp.MustCompile(`\btool out\b|\b(Meißel|Werkzeug) (heraus|raus)\b`)
	out := regexp.MustCompile(`\b(wind|back|out to)\b.*\b(out|back|to)\b`)
	de, err := sounds.LanguageNamed("de")
	if err != nil {
		t.Fatal(err)
	}
	said := 0
	check := func(parts []string) {
		for _, l := range []*sounds.Language{sounds.English, de} {
			text, err := l.Sentences(parts)
			if err != nil {
				t.Fatal(err)
			}
			if m := toolOut.FindString(text); m != "" {
				t.Errorf("%q says %q", text, m)
			}
		}
	}
	for _, e := range sounds.Vocabulary() {
		if e.Melody != sounds.Phrase {
			continue
		}
		check([]string{e.Name})
		if strings.HasPrefix(e.Name, "wind ") && out.MatchString(e.Name) {
			said++
			if !strings.Contains(e.Name, "slide") {
				t.Errorf("%q does not name the slide", e.Name)
			}
		}
	}
	if said < 2 {
		t.Errorf("only %d fragments wind out", said)
	}
	for _, path := range goodJobs(t) {
		w, err := load(path, "")
		if err != nil {
			continue // told by another test
		}
		for _, c := range cuesOf(w.plan) {
			check(c.Parts())
		}
	}
}

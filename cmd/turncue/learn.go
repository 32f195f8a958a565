package main

import (
	"os/user"
	"strings"

	"github.com/spf13/cobra"

	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// teachingFlags are the flags of a run in which somebody is taught.
func teachingFlags(c *cobra.Command, t *runner.Teaching) {
	c.Flags().StringVar(&t.Learner, "learner", "", "`NAME` of who learns: watched steps then wait for the instructor's sign-off")
	c.Flags().StringVar(&t.Instructor, "instructor", "", "`NAME` of who watches and signs, with s or the line sign NAME")
}

// teach makes the work one in which somebody is taught, at its pace.
func (w *work) teach(t runner.Teaching) error {
	if err := t.Check(); err != nil {
		return usage{err.Error()}
	}
	w.teaching = t
	var err error
	w.plan, err = w.replan(sequence.Readings{})
	return err
}

// account is the name of the account the program runs in, or "" where that is not
// known.
func account() string {
	u, err := user.Current()
	if err != nil {
		return ""
	}
	return u.Username
}

// longestName is how many characters a name typed may have.
const longestName = 60

// signing takes the keys of a sign-off: s opens the line, enter takes the name,
// escape leaves it. While it is open every letter belongs to the name.
func (e *entry) signing(k terminal.Key) (runner.Kind, bool) {
	if e.step == nil || e.step.Needs != sequence.NeedSignOff || e.paused {
		e.signs = false
		return nil, false
	}
	if !e.signs {
		if k.Name != "s" {
			return nil, false
		}
		e.signs, e.typed = true, ""
		return nil, true
	}
	switch {
	case k.Name == "esc":
		e.signs, e.typed = false, ""
	case k.Name == "enter":
		name := strings.TrimSpace(e.typed)
		e.signs, e.typed = false, ""
		if name == "" {
			e.hint = "a sign-off has a name: s, the name, enter"
			return nil, true
		}
		return runner.SignOff{Name: name}, true
	case k.Name == "backspace":
		runes := []rune(e.typed)
		e.typed = string(runes[:max(0, len(runes)-1)])
	case k.Name == "space" && len(e.typed) < longestName:
		e.typed += " "
	case k.Rune > ' ' && k.Rune != 0x7f && len(e.typed) < longestName:
		e.typed += string(k.Rune)
	default:
		return nil, false
	}
	return nil, true
}

// signHeadline is the large type of a step that is nothing but a sign-off.
func signHeadline(s *sequence.Step) (label, big string) {
	switch {
	case s.Needs != sequence.NeedSignOff || len(s.Moves) > 0:
		return "", ""
	case runner.Signs(s) == runner.RoleLearner:
		return "LEARNER", "SIGN"
	}
	return "INSTRUCTOR", "SIGN"
}

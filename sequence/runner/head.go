package runner

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"turncue/sequence"
)

// JournalSchema names the written form of a journal.
const JournalSchema = "turncue.journal/1"

// A Head is the first record of a journal: what the run was made from. The texts are
// kept whole, so that a run can be taken up where the files have moved.
type Head struct {
	Schema    string `json:"schema"`
	Part      string `json:"part"`
	JobPath   string `json:"job_path"`
	JobText   string `json:"job_text"`
	LathePath string `json:"lathe_path"`
	LatheText string `json:"lathe_text"`
	Plan      string `json:"plan"` // the Fingerprint of the plan without readings
	// Pace is how many presses a pass takes; the zero one is not written.
	Pace sequence.Pace `json:"pace,omitempty"`
	// Learner and Instructor are empty where nobody is being taught. Who is the account
	// the run was begun from, or empty.
	Learner    string `json:"learner,omitempty"`
	Instructor string `json:"instructor,omitempty"`
	Who        string `json:"who,omitempty"`
}

// Teaching is who learns and who watches.
func (h Head) Teaching() Teaching { return Teaching{h.Learner, h.Instructor} }

// NewHead is the head for a job, a lathe and the plan made of them without readings.
func NewHead(jobPath, jobText, lathePath, latheText string, p *sequence.Plan) (Head, error) {
	print, err := Fingerprint(p)
	if err != nil {
		return Head{}, err
	}
	return Head{
		Schema: JournalSchema, Part: p.Part, JobPath: jobPath, JobText: jobText,
		LathePath: lathePath, LatheText: latheText, Plan: print,
	}, nil
}

// Fingerprint is the SHA-256 of a plan as it is written, in hexadecimal. Where in its
// file a step was asked for, and the warnings, are left out: they name the file as it
// was called, and a file may be called from elsewhere.
func Fingerprint(p *sequence.Plan) (string, error) {
	bare := *p
	bare.Warnings = nil
	bare.Steps = slices.Clone(p.Steps)
	for i := range bare.Steps {
		bare.Steps[i].Place = ""
	}
	b, err := json.Marshal(bare)
	if err != nil {
		return "", fmt.Errorf("plan cannot be written: %w", err)
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:]), nil
}

// name is what the journal's file is called: by the content of job and lathe, so
// that a changed one never meets the old place, and by who learns and who watches.
func (h Head) name() string {
	sum := sha256.New()
	fmt.Fprintf(sum, "%d\n%s%d\n%s", len(h.JobText), h.JobText, len(h.LatheText), h.LatheText)
	if h.Teaching().On() {
		fmt.Fprintf(sum, "%d\n%s%s", len(h.Learner), h.Learner, h.Instructor)
	}
	return hex.EncodeToString(sum.Sum(nil))[:24]
}

// A Changed error says why a journal cannot be gone on with: what it was made from
// is not what is there now.
type Changed struct {
	What  string   // "job", "lathe", "pace" or "plan"
	Path  string   // of a job or a lathe; else the pace the run was begun at
	Lines []string // up to ten lines that differ: "3 was: ...", "3 now: ..."
}

func (c *Changed) Error() string {
	switch c.What {
	case "pace":
		return fmt.Sprintf("the run was begun with --pace %s: go on with that, or start again", c.Path)
	case "plan":
		return "the plan made now is not the one the run was begun with: finish it with the program it was begun with, or start again"
	}
	return fmt.Sprintf("the %s %s was changed since the run was begun: put it back, or start again", c.What, c.Path)
}

// Same compares what a journal was made from with what is there now; a difference
// is a *Changed.
func (h Head) Same(now Head) error {
	if h.JobText != now.JobText {
		return &Changed{"job", now.JobPath, differing(h.JobText, now.JobText)}
	}
	if h.LatheText != now.LatheText {
		return &Changed{"lathe", now.LathePath, differing(h.LatheText, now.LatheText)}
	}
	if h.Pace != now.Pace {
		return &Changed{What: "pace", Path: h.Pace.String()}
	}
	if h.Plan != now.Plan {
		return &Changed{What: "plan"}
	}
	return nil
}

// mostLines is how many differing lines are told.
const mostLines = 10

// differing lists the lines that differ, after leaving out those that are the same at
// the start and at the end.
func differing(was, now string) []string {
	a, b := strings.Split(was, "\n"), strings.Split(now, "\n")
	start := 0
	for start < len(a) && start < len(b) && a[start] == b[start] {
		start++
	}
	endA, endB := len(a), len(b)
	for endA > start && endB > start && a[endA-1] == b[endB-1] {
		endA--
		endB--
	}
	var lines []string
	add := func(n int, when, text string) {
		switch {
		case len(lines) < mostLines:
			lines = append(lines, fmt.Sprintf("%d %s: %s", n+1, when, strings.TrimRight(text, "\r")))
		case len(lines) == mostLines:
			lines = append(lines, "and more")
		}
	}
	for i := start; i < max(endA, endB); i++ {
		same := i < endA && i < endB && a[i] == b[i]
		if i < endA && !same {
			add(i, "was", a[i])
		}
		if i < endB && !same {
			add(i, "now", b[i])
		}
	}
	return lines
}

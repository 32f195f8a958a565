package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"turncue/sequence/runner"
)

// eventsSchema names the written form of an effect.
const eventsSchema = "turncue.events/1"

// eventFile writes the effects of a run as JSON lines, beside everything else. It is
// no journal: where it cannot be written the run goes on, and that is told once.
type eventFile struct {
	file *os.File
	path string
	tell func(string)
	n    int
	dead bool
}

// effectJSON is one effect. Fields that do not belong to its kind are left out.
type effectJSON struct {
	Schema string         `json:"schema"`
	N      int            `json:"n"`
	Time   time.Time      `json:"t"`
	Effect string         `json:"effect"` // hush, say, beep, show, record, finish
	Step   string         `json:"step,omitempty"`
	StepN  int            `json:"step_n,omitempty"`
	Of     int            `json:"of,omitempty"`
	Phase  string         `json:"phase,omitempty"`
	Text   string         `json:"text,omitempty"`
	Parts  []string       `json:"parts,omitempty"`
	Notice string         `json:"notice,omitempty"`
	Refuse bool           `json:"refused,omitempty"`
	Needs  string         `json:"needs,omitempty"`
	Record *runner.Record `json:"record,omitempty"`
}

// openEvents opens the file to add to; a file that is there is kept.
func openEvents(path string, tell func(string)) (*eventFile, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return nil, fmt.Errorf("--events %s: cannot be written: %w", path, bareCause(err))
	}
	return &eventFile{file: f, path: path, tell: tell}, nil
}

func bareCause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// beside has the run tell the file every effect, before whoever is told already.
func (e *eventFile) beside(c *runner.Config) {
	before := c.Effect
	c.Effect = func(f runner.Effect) {
		e.write(f)
		if before != nil {
			before(f)
		}
	}
}

func (e *eventFile) write(f runner.Effect) {
	if e.dead {
		return
	}
	line := effectJSON{Schema: eventsSchema, N: e.n, Time: time.Now().UTC().Truncate(time.Millisecond)}
	switch f := f.(type) {
	case runner.Hush:
		line.Effect = "hush"
	case runner.Say:
		line.Effect, line.Step, line.Text, line.Parts = "say", f.StepID, f.Cue.Text(), f.Cue.Parts()
	case runner.Beep:
		line.Effect, line.Text = "beep", string(f)
	case runner.Show:
		line.Effect, line.Step, line.StepN, line.Of = "show", f.Frame.Step.ID, f.Frame.N, f.Frame.Of
		line.Phase, line.Needs = f.Frame.Phase.String(), f.Frame.Step.Needs.String()
		line.Text, line.Notice, line.Refuse = f.Frame.Prompt.Text(), f.Frame.Notice, f.Frame.Refused
	case runner.Record:
		line.Effect, line.Step, line.Record = "record", f.Step, &f
	case runner.Finish:
		line.Effect, line.Text, line.Notice = "finish", f.How.String(), f.Text
	}
	b, err := json.Marshal(line)
	if err == nil {
		_, err = e.file.Write(append(b, '\n'))
	}
	if err != nil {
		e.dead = true
		e.tell(fmt.Sprintf("the events are no longer written to %s: %v; the run goes on", e.path, bareCause(err)))
		return
	}
	e.n++
}

func (e *eventFile) close() error {
	if err := e.file.Close(); err != nil && !e.dead {
		return fmt.Errorf("--events %s: %w", e.path, bareCause(err))
	}
	return nil
}

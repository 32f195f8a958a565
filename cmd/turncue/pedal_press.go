package main

import (
	"turncue/cmd/turncue/pedal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// presses turns the edges of keys into events: the filter says which are presses, the
// layout what they ask for.
type presses struct {
	filter   *pedal.Filter
	layout   pedal.Layout
	takeBack bool              // holding takes the press back
	from     map[string]string // the step each key was last pressed at
}

// newPresses is for a profile and what the settings say of keys and holding. Double
// presses are told only if they are for something, and where the profile can.
func newPresses(p pedal.Profile, s settings) *presses {
	if s.double {
		p, _ = p.WithDouble()
	}
	return &presses{pedal.NewFilter(p), s.keys, s.takeBack, map[string]string{}}
}

// edge takes an edge while a step is shown, nil for none, and gives the event it
// makes, or nil, and what is to be told the foot.
func (p *presses) edge(e pedal.Edge, step *sequence.Step) (kind runner.Kind, hint string) {
	action := p.layout.Action(e.Key)
	if action == pedal.None && p.filter.Profile().Release == 0 {
		return nil, "" // a key for something else
	}
	id := ""
	if step != nil {
		id = step.ID
	}
	switch p.filter.Feed(e) {
	case pedal.Double:
		if action == pedal.Next {
			return p.takenBack(e.Key, id), ""
		}
		fallthrough
	case pedal.Press:
		p.from[e.Key] = id
		switch action {
		case pedal.Next:
			return runner.Advance{}, ""
		case pedal.Back:
			return runner.Back{}, ""
		case pedal.Again:
			return runner.Again{}, ""
		}
	case pedal.Hold:
		if p.takeBack && action == pedal.Next {
			return p.takenBack(e.Key, id), ""
		}
	case pedal.TooFast:
		return nil, "too fast: lift your foot"
	}
	return nil, ""
}

// takenBack undoes the last press of a key, while a step is shown: back if it had moved
// on, and said again if it had moved nothing.
func (p *presses) takenBack(key, id string) runner.Kind {
	if id != p.from[key] {
		return runner.Back{}
	}
	return runner.Again{}
}

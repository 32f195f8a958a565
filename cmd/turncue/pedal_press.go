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

func newPresses(p pedal.Profile, l pedal.Layout, takeBack bool) *presses {
	return &presses{pedal.NewFilter(p), l, takeBack, map[string]string{}}
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
		switch {
		case !p.takeBack || action != pedal.Next:
		case id != p.from[e.Key]:
			return runner.Back{}, ""
		default:
			return runner.Again{}, "" // the press had moved nothing on
		}
	case pedal.TooFast:
		return nil, "too fast: lift your foot"
	}
	return nil, ""
}

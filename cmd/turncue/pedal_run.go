package main

import (
	"context"
	"sync/atomic"

	"github.com/spf13/cobra"

	"turncue/cmd/turncue/pedal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// pedalOptions are the settings of a run, its flags over those of the file.
type pedalOptions struct {
	settings
	flag string // what --pedal says
}

func (o *pedalOptions) flags(c *cobra.Command) {
	c.Flags().StringVar(&o.flag, "pedal", "", "read a pedal directly, whatever is in front (Linux): `DEVICE`, auto or none")
}

// settle fills in what no flag has set from the settings file.
func (o *runOptions) settle(c *cobra.Command) error {
	s, err := loadSettings()
	if err != nil {
		return err
	}
	o.feet.settings = s
	set := func(name string) bool { return c.Flags().Changed(name) }
	if set("pedal") {
		if o.feet.flag == "" {
			return usage{`--pedal "": name a device, auto or none`}
		}
		o.feet.pedal = o.feet.flag
	}
	for name, value := range s.more {
		other := map[string]string{"voice": "speak-with", "speak-with": "voice"}[name]
		if c.Flags().Lookup(name) == nil || set(name) || other != "" && set(other) {
			continue // the flag says who speaks
		}
		if err := c.Flags().Set(name, value); err != nil {
			return err
		}
	}
	if !set("press") {
		o.press = s.press
	}
	if !set("audio") {
		o.audio = s.audio
	}
	if !set("light") {
		o.light = s.light
	}
	return nil
}

// directly tells whether a pedal is read from its device.
func (o *pedalOptions) directly() bool { return o.pedal != noPedal && o.pedal != "" }

// foot is a pedal read directly that leads a run.
type foot struct {
	device *pedal.Device
	press  *presses
	step   atomic.Pointer[sequence.Step] // the one shown
}

// foot opens the pedal, if one is to be read.
func (o *pedalOptions) foot() (*foot, error) {
	if !o.directly() {
		return nil, nil
	}
	d, err := pedal.OpenDevice(o.pedal)
	if err != nil {
		return nil, err
	}
	return &foot{device: d, press: newPresses(pedal.Direct(), o.settings)}, nil
}

// lead has the pedal lead a run until it is closed. A nil foot does nothing.
func (f *foot) lead(ctx context.Context, c *runner.Config, events chan<- runner.Event, tell func(string)) {
	if f == nil {
		return
	}
	f.beside(c)
	go f.pump(ctx, events, tell)
}

func (f *foot) close() error {
	if f != nil {
		f.device.Close()
	}
	return nil
}

// beside has the run tell the foot which step is shown, before whoever is told
// already.
func (f *foot) beside(c *runner.Config) {
	before := c.Effect
	c.Effect = func(e runner.Effect) {
		if show, ok := e.(runner.Show); ok {
			f.step.Store(show.Frame.Step)
		}
		if before != nil {
			before(e)
		}
	}
}

// pump turns what the pedal reports into events until it is closed.
func (f *foot) pump(ctx context.Context, events chan<- runner.Event, tell func(string)) {
	for s := range f.device.Signals() {
		if s.Note != "" {
			tell(s.Note)
			continue
		}
		kind, hint := f.press.edge(s.Edge, f.step.Load())
		if hint != "" {
			tell(hint)
		}
		if kind == nil {
			continue
		}
		select {
		case events <- runner.Event{Kind: kind}:
		case <-ctx.Done():
			return
		}
	}
}

package main

import (
	"sync"

	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
	"turncue/sounds"
)

// display is the runner's port to the screen, with the line being typed on it.
type display struct {
	screen *terminal.Screen
	viewer viewer
	heed   bool // show what to look and listen for as well

	language *sounds.Language // nil is English
	pace     func(terminal.View, runner.Frame) terminal.View

	mu    sync.Mutex
	entry *entry // nil when no keys are read
	view  terminal.View
	known bool
	fault func(error)
}

// Show puts a frame on the screen.
func (d *display) Show(f runner.Frame) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.entry != nil {
		d.entry.show(f)
	}
	d.view, d.known = d.viewer.view(f), true
	if d.heed {
		d.view = heed(d.view, f)
	}
	d.view = translated(d.view, f, d.language)
	if d.pace != nil {
		d.view = d.pace(d.view, f)
	}
	d.draw()
}

// key takes a key and gives the event it makes, or nil.
func (d *display) key(k terminal.Key) runner.Kind {
	d.mu.Lock()
	defer d.mu.Unlock()
	before, hint := d.entry.text(), d.entry.hint
	kind := d.entry.key(k)
	if d.entry.text() != before || d.entry.hint != hint {
		d.draw()
	}
	return kind
}

// draw shows the last view with what is being typed. A hint about a key stands in
// for the notice until the next key.
func (d *display) draw() {
	if !d.known {
		return
	}
	v := d.view
	if d.entry != nil {
		v.Entry = d.entry.text()
		if d.entry.hint != "" {
			v.Notice = d.entry.hint
		}
	}
	if err := d.screen.Show(v); err != nil && d.fault != nil {
		d.fault(err)
	}
}

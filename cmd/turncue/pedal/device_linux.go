package pedal

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"golang.org/x/sys/unix"
)

// A Device is a pedal read from its event device, all its parts together, whatever
// program is in front. While it is open nobody else gets its keys. It may be
// unplugged and plugged in again. Its methods may be called from any goroutine.
type Device struct {
	name    string
	shelf   shelf
	every   time.Duration
	signals chan Signal
	quit    chan struct{}
	once    sync.Once
	readers sync.WaitGroup
	gone    chan struct{}

	// owned by the watch
	found  *Found           // the device that is read
	is     string           // what the device at a path without a lasting name called itself
	nodes  map[string]*node // open parts by the file they are
	ended  chan *node
	said   string
	listed string // the shelf when a pedal was last looked for
	looks  int
	absent bool // it has been told that it is not there
}

// A node is an open part of the device.
type node struct {
	real  string
	file  *os.File
	split splitter
	board *board
	cause error // why it ended
}

// OpenDevice reads the pedal of that name: a path, a name in /dev/input/by-id, or
// Auto. What is not there is waited for; what is wrong is told as a note.
func OpenDevice(name string) (*Device, error) {
	return openDevice(name, theShelf(), lookEvery), nil
}

func openDevice(name string, s shelf, every time.Duration) *Device {
	d := &Device{
		name: name, shelf: s, every: every,
		signals: make(chan Signal, room), quit: make(chan struct{}), gone: make(chan struct{}),
		nodes: map[string]*node{}, ended: make(chan *node),
	}
	go d.watch()
	return d
}

// Signals delivers what comes. It is closed by Close. Presses that nobody takes are
// dropped: a press must not act long after the foot has left.
func (d *Device) Signals() <-chan Signal { return d.signals }

// Close gives the device back. It may be called more than once.
func (d *Device) Close() {
	d.once.Do(func() { close(d.quit) })
	<-d.gone
}

// watch opens what can be opened, until it is told to quit.
func (d *Device) watch() {
	defer close(d.gone)
	defer close(d.signals)
	tick := time.NewTicker(d.every)
	defer tick.Stop()
	d.look()
	for {
		select {
		case <-tick.C:
			d.look()
		case n := <-d.ended:
			d.drop(n)
		case <-d.quit:
			for _, n := range d.nodes {
				n.file.Close()
			}
			d.readers.Wait()
			return
		}
	}
}

// look opens the parts that are there and not open.
func (d *Device) look() {
	found, err := d.wanted()
	if found == nil {
		if err != nil {
			d.note(err.Error())
			d.absent = true
		}
		return
	}
	var problem error
	var opened []*node
	for _, path := range found.Nodes {
		real := target(path)
		if d.nodes[real] != nil {
			continue
		}
		n, err := d.open(path, real)
		switch {
		case err == nil:
			opened = append(opened, n)
		case problem == nil || missing(problem):
			problem = err
		}
	}
	defer func() {
		for _, n := range opened {
			d.readers.Go(func() { d.read(n) })
		}
	}()
	label := filepath.Base(found.Path)
	switch {
	case problem == nil && len(d.nodes) > 0:
		if d.absent {
			d.note(fmt.Sprintf("pedal %s is there", label))
		}
		d.absent = false
	case len(d.nodes) > 0 && missing(problem): // a part that is just being unplugged, or plugged in
	case missing(problem):
		if !d.absent {
			d.note(fmt.Sprintf("pedal %s is not there: plug it in", label))
		}
		d.absent = true
	case errors.Is(problem, fs.ErrPermission):
		d.note(fmt.Sprintf("pedal %s may not be read: add yourself to the group input, or use the udev rule that turncue pedal prints", label))
		d.absent = true
	default:
		d.note(fmt.Sprintf("pedal %s cannot be read: %v", label, reason(problem)))
		d.absent = true
	}
}

func missing(err error) bool { return errors.Is(err, fs.ErrNotExist) || errors.Is(err, unix.ENODEV) }

// wanted is the device to read. Looking for any pedal opens every device, so it is
// done when there are others than before, and else from time to time.
func (d *Device) wanted() (*Found, error) {
	if d.name != Auto {
		name := d.name
		if d.found != nil {
			name = d.found.Path // a number may be another's by now
		}
		f := d.shelf.named(name)
		d.found = &f
		return d.found, nil
	}
	if d.found != nil && len(d.nodes) > 0 {
		return d.found, nil
	}
	var listed string
	for _, dir := range d.shelf.dirs {
		entries, _ := os.ReadDir(dir)
		for _, e := range entries {
			listed += e.Name() + "/"
		}
	}
	d.looks++
	if listed == d.listed && d.looks%20 != 1 {
		return nil, nil
	}
	d.listed = listed
	f, err := d.shelf.auto()
	if err != nil {
		return nil, err
	}
	d.found = &f
	return d.found, nil
}

// open takes a part.
func (d *Device) open(path, real string) (*node, error) {
	file, err := d.shelf.kernel.open(path)
	if err != nil {
		return nil, err
	}
	about, err := d.shelf.kernel.capable(file)
	if err == nil && path == real {
		if d.is != "" && d.is != about.name {
			err = fs.ErrNotExist // the number is another device's now
		}
		d.is = cmp.Or(d.is, about.name)
	}
	if err == nil {
		err = d.shelf.kernel.take(file)
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	n := &node{real: real, file: file, board: newBoard()}
	d.nodes[real] = n
	return n, nil
}

// read passes on what a part says until it is gone. A key that is down then is
// released.
func (d *Device) read(n *node) {
	held := func() ([]uint16, error) { return d.shelf.kernel.held(n.file) }
	buf := make([]byte, 64*recordSize)
	for n.cause == nil {
		var k int
		k, n.cause = n.file.Read(buf)
		for _, r := range n.split.add(buf[:k]) {
			d.pass(n.board.feed(r, held))
		}
	}
	d.pass(n.board.unplug())
	select {
	case d.ended <- n:
	case <-d.quit:
	}
}

// drop forgets a part that is gone.
func (d *Device) drop(n *node) {
	n.file.Close()
	delete(d.nodes, n.real)
	if len(d.nodes) == 0 {
		d.note(fmt.Sprintf("pedal %s was unplugged: plug it in again", filepath.Base(d.found.Path)))
		d.absent, d.listed = true, ""
	}
}

func (d *Device) pass(edges []Edge) {
	for _, e := range edges {
		d.send(Signal{Edge: e})
	}
}

// note tells something, once until something else is told.
func (d *Device) note(text string) {
	if text != d.said {
		d.said = text
		d.send(Signal{Note: text})
	}
}

// send hands a signal over. A press is dropped if nobody has been taking any; a
// release or a note waits for its turn.
func (d *Device) send(s Signal) {
	if s.Note == "" && !s.Up && len(d.signals) >= room-spare {
		return
	}
	select {
	case d.signals <- s:
	case <-d.quit:
	}
}

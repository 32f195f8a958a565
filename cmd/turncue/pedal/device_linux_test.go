package pedal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// patience is how long a test waits for something that must come.
const patience = 5 * time.Second

// A bench is a shelf of named pipes that stand for devices: what is written to one is
// what the device reports, and the end of writing is its unplugging.
type bench struct {
	t   *testing.T
	dir string

	mu     sync.Mutex
	keys   map[string][]uint16 // what each part can send, by lasting name
	calls  map[string]string   // what a part calls itself
	down   []uint16
	refuse map[string]error
	taken  map[string]int // how often each part was grabbed
	opened map[string]int
}

func newBench(t *testing.T) *bench {
	b := &bench{t: t, dir: t.TempDir(), keys: map[string][]uint16{}, calls: map[string]string{}, refuse: map[string]error{}, taken: map[string]int{}, opened: map[string]int{}}
	for _, d := range []string{"by-id", "nodes"} {
		if err := os.Mkdir(filepath.Join(b.dir, d), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

func (b *bench) shelf() shelf { return shelf{[]string{filepath.Join(b.dir, "by-id")}, b} }

func (b *bench) path(name string) string { return filepath.Join(b.dir, "by-id", name) }

// plug puts a device on the shelf under a lasting name and a number, and gives what
// writes its records.
func (b *bench) plug(name, number string, keys ...uint16) *os.File {
	b.t.Helper()
	node := filepath.Join(b.dir, "nodes", number)
	if err := unix.Mkfifo(node, 0o600); err != nil {
		b.t.Fatal(err)
	}
	f, err := os.OpenFile(node, os.O_RDWR|unix.O_NONBLOCK, 0)
	if err != nil {
		b.t.Fatal(err)
	}
	b.mu.Lock()
	b.keys[name] = keys
	b.mu.Unlock()
	if err := os.Symlink(node, b.path(name)); err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(func() { f.Close() })
	return f
}

// unplug takes a device off the shelf.
func (b *bench) unplug(name string, f *os.File) {
	b.t.Helper()
	node := target(b.path(name))
	for _, p := range []string{b.path(name), node} {
		if err := os.Remove(p); err != nil {
			b.t.Fatal(err)
		}
	}
	f.Close()
}

func (b *bench) deny(name string, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.refuse[name] = err
}

func (b *bench) call(name, itself string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.calls[name] = itself
}

func (b *bench) count(of map[string]int, name string) int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return of[name]
}

// The kernel of a bench.

func (b *bench) open(path string) (*os.File, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	name := filepath.Base(path)
	if err := b.refuse[name]; err != nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: err}
	}
	b.opened[name]++
	return os.OpenFile(path, os.O_RDONLY|unix.O_NONBLOCK, 0)
}

func (b *bench) capable(f *os.File) (capable, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	name := filepath.Base(f.Name())
	if calls := b.calls[name]; calls != "" {
		return capable{calls, nil}, nil
	}
	return capable{"device " + name, b.keys[name]}, nil
}

func (b *bench) held(*os.File) ([]uint16, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.down, nil
}

func (b *bench) take(f *os.File) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.taken[filepath.Base(f.Name())]++
	return nil
}

// device opens one on the bench, looking every few milliseconds.
func (b *bench) device(name string) *Device {
	d := openDevice(name, b.shelf(), 2*time.Millisecond)
	b.t.Cleanup(d.Close)
	return d
}

func (b *bench) write(f *os.File, records ...record) {
	b.t.Helper()
	if _, err := f.Write(wire(records...)); err != nil {
		b.t.Fatal(err)
	}
}

// next is the next signal: "b", "b^", or the text of a note.
func next(t *testing.T, d *Device) string {
	t.Helper()
	select {
	case s, open := <-d.Signals():
		switch {
		case !open:
			return "closed"
		case s.Note != "":
			return s.Note
		case s.Up:
			return s.Key + "^"
		}
		return s.Key
	case <-time.After(patience):
		t.Fatal("nothing came from the device")
	}
	return ""
}

func expect(t *testing.T, d *Device, want ...string) {
	t.Helper()
	for _, w := range want {
		if got := next(t, d); got != w {
			t.Fatalf("got %q, want %q", got, w)
		}
	}
}

// until polls for something a device does without saying so.
func until(t *testing.T, what string, ok func() bool) {
	t.Helper()
	tick := time.NewTicker(time.Millisecond)
	defer tick.Stop()
	limit := time.After(patience)
	for !ok() {
		select {
		case <-tick.C:
		case <-limit:
			t.Fatalf("waited in vain for %s", what)
		}
	}
}

const pedalName = "usb-Bench_Foot-event-kbd"

func TestDeviceReportsPresses(t *testing.T) {
	b := newBench(t)
	f := b.plug(pedalName, "event4", codeB)
	for _, name := range []string{pedalName, b.path(pedalName), filepath.Join(b.dir, "nodes", "event4"), Auto} {
		d := b.device(name)
		b.write(f, append(keyRecords(ms(100), codeB, valueDown), keyRecords(ms(150), codeB, valueUp)...)...)
		s := <-d.Signals()
		if s.Key != "b" || s.At != ms(100) || s.Up {
			t.Errorf("%s: %+v, want b at 100 ms by the kernel's clock", name, s)
		}
		expect(t, d, "b^")
		d.Close()
		expect(t, d, "closed")
	}
	if n := b.count(b.taken, pedalName); n != 4 {
		t.Errorf("taken %d times, want 4", n)
	}
}

// Unplugged while held: a release and no press, and a press after it is back counts
// once. Its number is another one then.
func TestUnplugWhileHeldAndReplug(t *testing.T) {
	b := newBench(t)
	f := b.plug(pedalName, "event4", codeB)
	for _, name := range []string{b.path(pedalName), filepath.Join(b.dir, "nodes", "event4")} {
		d := b.device(name)
		filter := NewFilter(Direct())
		presses := 0
		take := func(want string) {
			t.Helper()
			select {
			case s := <-d.Signals():
				got := s.Note
				if s.Key != "" {
					if got = s.Key; s.Up {
						got += "^"
					}
					if filter.Feed(s.Edge) == Press {
						presses++
					}
				}
				if got != want {
					t.Fatalf("got %q, want %q", got, want)
				}
			case <-time.After(patience):
				t.Fatalf("nothing came, want %q", want)
			}
		}
		b.write(f, keyRecords(ms(1000), codeB, valueDown)...)
		take("b")
		// half a record is left in the air
		f.Write(wire(keyRecords(ms(1010), codeB, valueUp)...)[:recordSize+5])
		b.unplug(pedalName, f)
		take("b^")
		take("pedal " + pedalName + " was unplugged: plug it in again")
		for i := range 5 {
			f = b.plug(pedalName, fmt.Sprintf("event%d", 20+i), codeB)
			take("pedal " + pedalName + " is there")
			b.write(f, append(keyRecords(ms(2000+1000*i), codeB, valueDown), keyRecords(ms(2100+1000*i), codeB, valueUp)...)...)
			take("b")
			take("b^")
			if i < 4 {
				b.unplug(pedalName, f)
				take("pedal " + pedalName + " was unplugged: plug it in again")
			}
		}
		if presses != 6 {
			t.Errorf("%d presses, want 6", presses)
		}
		d.Close()
		b.unplug(pedalName, f)
		f = b.plug(pedalName, "event4", codeB)
	}
}

// A number that has become another device is not read.
func TestNumberThatIsAnotherDevice(t *testing.T) {
	b := newBench(t)
	f := b.plug(pedalName, "event4", codeB)
	d := b.device(filepath.Join(b.dir, "nodes", "event4"))
	b.write(f, keyRecords(0, codeB, valueDown)...)
	expect(t, d, "b")
	b.unplug(pedalName, f)
	expect(t, d, "b^", "pedal "+pedalName+" was unplugged: plug it in again")
	b.plug("usb-Bench_Board-event-kbd", "event4", codeA)
	back := b.plug(pedalName, "event5", codeB)
	b.write(back, keyRecords(ms(9), codeB, valueDown)...)
	expect(t, d, "pedal "+pedalName+" is there", "b")
	if n := b.count(b.opened, "usb-Bench_Board-event-kbd"); n != 0 {
		t.Errorf("the other device was opened %d times", n)
	}
}

// All parts of one device are taken together, and no part of another.
func TestAllPartsOfOnePedal(t *testing.T) {
	b := newBench(t)
	kbd := b.plug("usb-Bench_Foot-event-kbd", "event4", codeB)
	mouse := b.plug("usb-Bench_Foot-if01-event-mouse", "event5", 272)
	b.plug("usb-Bench_Footrest-event-kbd", "event6", codeB)
	b.plug("usb-Bench_Foot-mouse", "mouse0", 272) // of an older kind, not read
	d := b.device("usb-Bench_Foot-event-kbd")
	until(t, "both parts to be taken", func() bool {
		return b.count(b.taken, "usb-Bench_Foot-event-kbd") == 1 && b.count(b.taken, "usb-Bench_Foot-if01-event-mouse") == 1
	})
	b.write(kbd, keyRecords(0, codeB, valueDown)...)
	expect(t, d, "b")
	b.write(mouse, keyRecords(0, 272, valueDown)...)
	expect(t, d, "mouse1")
	for _, name := range []string{"usb-Bench_Footrest-event-kbd", "usb-Bench_Foot-mouse"} {
		if n := b.count(b.taken, name); n != 0 {
			t.Errorf("%s was taken", name)
		}
	}
}

// keyboardKeys are letters, enter, escape and more.
func keyboardKeys() (keys []uint16) {
	for k := uint16(1); k < 112; k++ {
		keys = append(keys, k)
	}
	return keys
}

// A keyboard is taken only if it is named, alone or with a part that looks like a
// pedal.
func TestKeyboardIsNotTakenUnasked(t *testing.T) {
	b := newBench(t)
	b.plug("usb-Bench_Board-event-kbd", "event1", keyboardKeys()...)
	b.plug("usb-Bench_Board-if01-event-kbd", "event2", codeB)
	d := b.device(Auto)
	expect(t, d, "no pedal found: one that says it is a keyboard is read only if it is named with --pedal; turncue pedal lists them")
	f := b.plug(pedalName, "event4", codePageDown)
	b.write(f, keyRecords(0, codePageDown, valueDown)...)
	expect(t, d, "pedal "+pedalName+" is there", "pgdn")
	if n := b.count(b.taken, "usb-Bench_Board-event-kbd") + b.count(b.taken, "usb-Bench_Board-if01-event-kbd"); n != 0 {
		t.Errorf("the keyboard was taken")
	}
	b.device("usb-Bench_Board-event-kbd")
	until(t, "the named keyboard to be taken", func() bool { return b.count(b.taken, "usb-Bench_Board-event-kbd") == 1 })
}

func TestAutoWantsOnePedal(t *testing.T) {
	b := newBench(t)
	b.plug("usb-Bench_Foot-event-kbd", "event4", codeB)
	b.plug("usb-Bench_Turner-event-kbd", "event5", codePageDown)
	expect(t, b.device(Auto), "2 pedals are there: name one with --pedal: usb-Bench_Foot-event-kbd or usb-Bench_Turner-event-kbd")
	expect(t, newBench(t).device(Auto), "no pedal found: plug it in, or name its device with --pedal")
}

// What stands in the way is one plain line, and is tried again.
func TestDeviceThatCannotBeRead(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{unix.EACCES, "pedal " + pedalName + " may not be read: add yourself to the group input, or use the udev rule that turncue pedal prints"},
		{errInUse, "pedal " + pedalName + " cannot be read: another program has it to itself: end that one"},
		{errNoDevice, "pedal " + pedalName + " cannot be read: it is not an input device: turncue pedal lists those there are"},
	} {
		b := newBench(t)
		b.deny(pedalName, c.err)
		f := b.plug(pedalName, "event4", codeB)
		d := b.device(pedalName)
		expect(t, d, c.want)
		b.deny(pedalName, nil)
		b.write(f, keyRecords(0, codeB, valueDown)...)
		expect(t, d, "pedal "+pedalName+" is there", "b")
	}
	b := newBench(t)
	d := b.device(pedalName)
	expect(t, d, "pedal "+pedalName+" is not there: plug it in")
	f := b.plug(pedalName, "event4", codeB)
	b.write(f, keyRecords(0, codeB, valueDown)...)
	expect(t, d, "pedal "+pedalName+" is there", "b")
	b = newBench(t)
	b.deny(pedalName, unix.EACCES)
	b.plug(pedalName, "event4", codeB)
	expect(t, b.device(Auto), "no pedal found, and 1 input devices may not be read: turncue pedal prints the udev rule that allows it")
	found := b.shelf().find()
	if len(found) != 1 || !errors.Is(found[0].Err, fs.ErrPermission) || found[0].Pedal {
		t.Errorf("found %+v, want one that may not be read", found)
	}
}

// Records lost in the kernel never make a press.
func TestLostRecords(t *testing.T) {
	b := newBench(t)
	f := b.plug(pedalName, "event4", codeB)
	d := b.device(pedalName)
	b.write(f, keyRecords(ms(10), codeB, valueDown)...)
	expect(t, d, "b")
	b.write(f, record{ms(20), kindSync, syncDropped, 0}, record{ms(20), kindKey, codeB, valueDown}, record{ms(20), kindSync, syncReport, 0})
	expect(t, d, "b^")
	b.write(f, keyRecords(ms(400), codeB, valueDown)...)
	expect(t, d, "b")
}

// Close ends a reader that waits, and everything it started, also in the midst of
// a flood nobody takes.
func TestCloseUnblocks(t *testing.T) {
	for range 10 {
		b := newBench(t)
		f := b.plug(pedalName, "event4", codeB)
		d := openDevice(pedalName, b.shelf(), time.Millisecond)
		for i := range 200 {
			b.write(f, append(keyRecords(ms(i), codeB, valueDown), keyRecords(ms(i), codeB, valueUp)...)...)
		}
		closed := make(chan struct{})
		go func() {
			d.Close()
			d.Close()
			close(closed)
		}()
		select {
		case <-closed:
		case <-time.After(patience):
			t.Fatal("Close hangs")
		}
	}
}

// The kernel's own files: a pipe is a device, nothing else is one that has no keys.
func TestWhatIsADevice(t *testing.T) {
	dir := t.TempDir()
	pipe, plain := filepath.Join(dir, "pipe"), filepath.Join(dir, "plain")
	if err := unix.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(plain, wire(keyRecords(0, codeB, valueDown)...), 0o600); err != nil {
		t.Fatal(err)
	}
	s := theShelf()
	for path, want := range map[string]string{
		plain:       "it is not an input device",
		dir:         "it is not an input device",
		"/dev/null": "it is not an input device",
		pipe:        "",
	} {
		d := openDevice(path, s, time.Millisecond)
		if want == "" {
			f, err := os.OpenFile(path, os.O_WRONLY, 0)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := f.Write(wire(keyRecords(0, codeB, valueDown)...)); err != nil {
				t.Fatal(err)
			}
			f.Close()
			expect(t, d, "b")
			d.Close()
			continue
		}
		if got := next(t, d); !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q in it", path, got, want)
		}
		d.Close()
	}
}

func TestRule(t *testing.T) {
	want := `SUBSYSTEM=="input", KERNEL=="event*", ATTRS{id/vendor}=="3553", ATTRS{id/product}=="b001", TAG+="uaccess", GROUP="input", MODE="0660", ENV{LIBINPUT_IGNORE_DEVICE}="1"`
	if got := Rule("3553", "b001"); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// What is built into the computer is read only if it is named.
func TestBuiltInKeysAreNotTakenUnasked(t *testing.T) {
	b := newBench(t)
	f := b.plug("platform-bench-event", "event1", codePageDown)
	s := shelf{[]string{filepath.Join(b.dir, "none"), filepath.Join(b.dir, "by-id")}, b}
	d := openDevice(Auto, s, 2*time.Millisecond)
	defer d.Close()
	expect(t, d, "no pedal found: plug it in, or name its device with --pedal")
	named := openDevice(b.path("platform-bench-event"), s, 2*time.Millisecond)
	defer named.Close()
	b.write(f, keyRecords(0, codePageDown, valueDown)...)
	expect(t, named, "pgdn")
	if found := s.find(); len(found) != 1 || !found[0].Fixed || !found[0].Pedal {
		t.Errorf("found %+v", found)
	}
}

// A device without a lasting name is known by what it calls itself: its number, given to
// another device, is not read.
func TestNumberWithoutALastingName(t *testing.T) {
	b := newBench(t)
	node := filepath.Join(b.dir, "nodes", "event4")
	plug := func() *os.File {
		if err := unix.Mkfifo(node, 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := os.OpenFile(node, os.O_RDWR|unix.O_NONBLOCK, 0)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { f.Close() })
		return f
	}
	b.call("event4", "Foot")
	f := plug()
	d := b.device(node)
	b.write(f, keyRecords(0, codeB, valueDown)...)
	expect(t, d, "b")
	for _, name := range []string{"Board", "Foot"} {
		os.Remove(node)
		f.Close()
		if name == "Board" {
			expect(t, d, "b^", "pedal event4 was unplugged: plug it in again")
		}
		b.call("event4", name)
		taken := b.count(b.taken, "event4")
		opened := b.count(b.opened, "event4")
		f = plug()
		if name == "Board" {
			until(t, "it to be looked at", func() bool { return b.count(b.opened, "event4") > opened+2 })
			if b.count(b.taken, "event4") != taken {
				t.Error("another device was taken")
			}
		}
	}
	b.write(f, keyRecords(ms(9), codeB, valueDown)...)
	expect(t, d, "pedal event4 is there", "b")
}

//go:build uinput

package pedal

// These tests make devices in the kernel itself. They need /dev/uinput and the right to
// use it, so they are for a bench: go test -tags uinput ./cmd/turncue/pedal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"
)

// Requests of uinput (Linux, uinput.h).
const (
	uiCreate  = 0x5501     // UI_DEV_CREATE
	uiDestroy = 0x5502     // UI_DEV_DESTROY
	uiSetKind = 0x40045564 // UI_SET_EVBIT
	uiSetKey  = 0x40045565 // UI_SET_KEYBIT
	uiSysname = 0x8040552c // UI_GET_SYSNAME(64)
)

// made is a device made in the kernel, with a lasting name on a shelf.
type made struct {
	t    *testing.T
	file *os.File
	node string
	link string
}

// makeDevice makes a device with keys that repeat, and links it under a lasting name.
func makeDevice(t *testing.T, dir, name string, keys ...uint16) *made {
	t.Helper()
	f, err := os.OpenFile("/dev/uinput", os.O_WRONLY|unix.O_NONBLOCK, 0)
	if err != nil {
		t.Fatal(err)
	}
	set := func(request uint, value int) {
		t.Helper()
		if err := control(f, func(fd int) error { return unix.IoctlSetInt(fd, request, value) }); err != nil {
			t.Fatal(err)
		}
	}
	set(uiSetKind, kindKey)
	set(uiSetKind, 0x14) // repeats
	for _, k := range keys {
		set(uiSetKey, int(k))
	}
	// uinput_user_dev: the name in 80 bytes, bus, vendor, product, version, and what a
	// pedal has nothing of
	about := make([]byte, 80+8+4+4*64*4)
	copy(about, "Bench "+name)
	for i, v := range []uint16{3, 0x1209, 0x0001, 1} {
		binary.NativeEndian.PutUint16(about[80+2*i:], v)
	}
	if _, err := f.Write(about); err != nil {
		t.Fatal(err)
	}
	set(uiCreate, 0)
	sys := make([]byte, 64)
	if err := control(f, func(fd int) error {
		if _, _, errno := unix.Syscall(unix.SYS_IOCTL, uintptr(fd), uiSysname, uintptr(unsafe.Pointer(&sys[0]))); errno != 0 {
			return errno
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	base := "/sys/devices/virtual/input/" + unix.ByteSliceToString(sys)
	m := &made{t: t, file: f, link: filepath.Join(dir, name)}
	until(t, "the event node", func() bool {
		nodes, _ := filepath.Glob(base + "/event*")
		if len(nodes) == 1 {
			m.node = "/dev/input/" + filepath.Base(nodes[0])
			_, err := os.Stat(m.node)
			return err == nil
		}
		return false
	})
	if err := os.Symlink(m.node, m.link); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(m.unplug)
	return m
}

func (m *made) unplug() {
	if m.file != nil {
		os.Remove(m.link)
		control(m.file, func(fd int) error { return unix.IoctlSetInt(fd, uiDestroy, 0) })
		m.file.Close()
		m.file = nil
	}
}

func (m *made) key(code uint16, value int32) {
	m.t.Helper()
	if _, err := m.file.Write(wire(record{0, kindKey, code, value}, record{0, kindSync, syncReport, 0})); err != nil {
		m.t.Fatal(err)
	}
}

func (m *made) press(code uint16) { m.key(code, valueDown); m.key(code, valueUp) }

func realDevice(t *testing.T, dir, name string) *Device {
	d := openDevice(name, shelf{[]string{dir}, devices{}}, 20*time.Millisecond)
	t.Cleanup(d.Close)
	return d
}

// grabbed waits until the device cannot be taken by anybody else.
func grabbed(t *testing.T, node string) {
	t.Helper()
	f, err := (devices{}).open(node)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	until(t, "the device to be taken", func() bool {
		err := (devices{}).take(f)
		if err == nil {
			control(f, func(fd int) error { return unix.IoctlSetInt(fd, setGrab, 0) })
		}
		return errors.Is(err, errInUse)
	})
}

func TestKernelPedal(t *testing.T) {
	dir := t.TempDir()
	m := makeDevice(t, dir, "usb-Bench_Foot-event-kbd", codeB, codePageDown)
	found := shelf{[]string{dir}, devices{}}.find()
	if len(found) != 1 || !found[0].Pedal || found[0].Name != "Bench usb-Bench_Foot-event-kbd" || found[0].Err != nil {
		t.Fatalf("found %+v", found)
	}
	if r := ruleFor(m.link); r != Rule("1209", "0001") {
		t.Errorf("rule %q", r)
	}
	d := realDevice(t, dir, Auto)
	grabbed(t, m.node)
	var now unix.Timespec
	unix.ClockGettime(unix.CLOCK_MONOTONIC, &now)
	m.press(codeB)
	s := <-d.Signals()
	if s.Key != "b" || s.Up || s.At < time.Duration(now.Nano()) || s.At > time.Duration(now.Nano())+time.Second {
		t.Errorf("%+v, want b by the monotonic clock, now %v", s, time.Duration(now.Nano()))
	}
	expect(t, d, "b^")

	// held: the kernel repeats, and the filter counts one press and a hold
	f := NewFilter(Direct())
	m.key(codePageDown, valueDown)
	verdicts := map[Verdict]int{}
	until(t, "a hold", func() bool {
		verdicts[f.Feed((<-d.Signals()).Edge)]++
		return verdicts[Hold] > 0
	})
	if verdicts[Press] != 1 {
		t.Errorf("held: %v", verdicts)
	}
	// unplugged while held
	m.unplug()
	for got := ""; got != "pgdn^"; got = next(t, d) {
		if got != "" && got != "pgdn" {
			t.Fatalf("got %q before the release", got)
		}
	}
	expect(t, d, "pedal usb-Bench_Foot-event-kbd was unplugged: plug it in again")
	for range 5 {
		m = makeDevice(t, dir, "usb-Bench_Foot-event-kbd", codeB, codePageDown)
		expect(t, d, "pedal usb-Bench_Foot-event-kbd is there")
		m.press(codeB)
		expect(t, d, "b", "b^")
		m.unplug()
		expect(t, d, "pedal usb-Bench_Foot-event-kbd was unplugged: plug it in again")
	}
}

// A key held while the device is opened, or while records are lost, is no press.
func TestKernelHeldKey(t *testing.T) {
	dir := t.TempDir()
	m := makeDevice(t, dir, "usb-Bench_Foot-event-kbd", codeB, codeA)
	m.key(codeB, valueDown)
	d := realDevice(t, dir, m.node)
	grabbed(t, m.node)
	m.press(codeA)
	expect(t, d, "a", "a^")
	m.key(codeB, valueUp)
	m.press(codeB)
	expect(t, d, "b", "b^")
	d.Close()

	// what the kernel's queue does when nobody reads
	f, err := (devices{}).open(m.link)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for range 500 {
		m.press(codeB)
	}
	m.key(codeA, valueDown)
	keys, err := (devices{}).held(f)
	if fmt.Sprint(keys, err) != "[30] <nil>" {
		t.Errorf("down: %v, %v; want a", keys, err)
	}
	b, s, lost := newBoard(), splitter{}, false
	buf := make([]byte, 64*recordSize)
	for {
		f.SetReadDeadline(time.Now().Add(200 * time.Millisecond))
		n, err := f.Read(buf)
		if err != nil {
			break
		}
		for _, r := range s.add(buf[:n]) {
			lost = lost || r.kind == kindSync && r.code == syncDropped
			for _, e := range b.feed(r, func() ([]uint16, error) { return (devices{}).held(f) }) {
				if e.Key == "a" && !e.Up && lost {
					t.Log("a, seen to begin after the loss")
				}
			}
		}
	}
	if !lost {
		t.Error("500 presses unread and nothing was lost")
	}
	if b.down[codeB] != "" {
		t.Error("b is still down")
	}
}

// All parts of a pedal are taken; a keyboard is not, unless it is named.
func TestKernelParts(t *testing.T) {
	dir := t.TempDir()
	board := makeDevice(t, dir, "usb-Bench_Board-event-kbd", keyboardKeys()...)
	d := realDevice(t, dir, Auto)
	expect(t, d, "no pedal found: one that says it is a keyboard is read only if it is named with --pedal; turncue pedal lists them")
	d.Close()
	d = realDevice(t, dir, "usb-Bench_Board-event-kbd")
	grabbed(t, board.node)
	d.Close()
	makeDevice(t, dir, "usb-Bench_Foot-event-kbd", codeB)
	mouse := makeDevice(t, dir, "usb-Bench_Foot-if01-event-mouse", 272, 273)
	d = realDevice(t, dir, Auto)
	grabbed(t, mouse.node)
	mouse.press(272)
	expect(t, d, "mouse1", "mouse1^")
	// taken by somebody else
	d2 := realDevice(t, dir, "usb-Bench_Foot-event-kbd")
	expect(t, d2, "pedal usb-Bench_Foot-event-kbd cannot be read: another program has it to itself: end that one")
}

package pedal

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"
	"time"
)

// Codes by name, from Linux, input-event-codes.h.
const (
	codeB, codeA, codeC   = 48, 30, 46
	codePageDown          = 109
	codeLeftCtrl          = 29
	codeLeftShift, codeF5 = 42, 63
)

// wire is records as the kernel writes them: seconds, microseconds, kind, code, value.
func wire(records ...record) []byte {
	var b []byte
	for _, r := range records {
		for _, w := range []uint64{uint64(r.at / time.Second), uint64(r.at % time.Second / time.Microsecond)} {
			if wordSize == 4 {
				b = binary.NativeEndian.AppendUint32(b, uint32(w))
			} else {
				b = binary.NativeEndian.AppendUint64(b, w)
			}
		}
		b = binary.NativeEndian.AppendUint16(b, r.kind)
		b = binary.NativeEndian.AppendUint16(b, r.code)
		b = binary.NativeEndian.AppendUint32(b, uint32(r.value))
	}
	return b
}

// keyRecords is one change of a key, as a device reports it: a scan code, the key, the
// end of the report.
func keyRecords(at time.Duration, code uint16, value int32) []record {
	return []record{{at, 4, 4, 0x70005}, {at, kindKey, code, value}, {at, kindSync, syncReport, 0}}
}

// Records arrive whole however the reading tears them.
func TestTornRecords(t *testing.T) {
	want := append(keyRecords(1_234_567*time.Microsecond, codeB, valueDown), keyRecords(2*time.Second, codeB, valueUp)...)
	all := wire(want...)
	if len(all) != len(want)*recordSize {
		t.Fatalf("%d bytes for %d records of %d", len(all), len(want), recordSize)
	}
	for cut := range all {
		var s splitter
		got := append(s.add(all[:cut]), s.add(all[cut:])...)
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Fatalf("torn at byte %d: %v, want %v", cut, got, want)
		}
	}
	var s splitter
	var got []record
	one := iotest.OneByteReader(bytes.NewReader(all))
	for b := make([]byte, 8); ; {
		n, err := one.Read(b)
		if err != nil {
			break
		}
		got = append(got, s.add(b[:n])...)
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("byte by byte: %v, want %v", got, want)
	}
}

// edges feeds records to a new board, of which some keys turn out to be down after
// a loss, and writes the edges as "b", "b^" for its release.
func edges(b *board, heldNow []uint16, err error, records ...record) string {
	var out []string
	for _, r := range records {
		for _, e := range b.feed(r, func() ([]uint16, error) { return heldNow, err }) {
			if e.Up {
				e.Key += "^"
			}
			out = append(out, e.Key)
		}
	}
	return strings.Join(out, " ")
}

func TestBoard(t *testing.T) {
	press := func(code uint16) []record {
		return append(keyRecords(0, code, valueDown), keyRecords(0, code, valueUp)...)
	}
	dropped := []record{{0, kindSync, syncDropped, 0}}
	end := []record{{0, kindSync, syncReport, 0}}
	join := func(all ...[]record) (out []record) {
		for _, r := range all {
			out = append(out, r...)
		}
		return out
	}
	down := func(code uint16) []record { return keyRecords(0, code, valueDown) }
	up := func(code uint16) []record { return keyRecords(0, code, valueUp) }
	again := func(code uint16) []record { return keyRecords(0, code, valueRepeat) }
	for _, c := range []struct {
		name    string
		records []record
		held    []uint16
		err     error
		want    string
	}{
		{"a press", press(codeB), nil, nil, "b b^"},
		{"a key held", join(down(codePageDown), again(codePageDown), again(codePageDown), up(codePageDown)), nil, nil, "pgdn pgdn pgdn pgdn^"},
		{"held since before", join(again(codeB), again(codeB), up(codeB), press(codeB)), nil, nil, "b b^"},
		{"lost: released meanwhile", join(down(codeB), dropped, press(codeA), end), nil, nil, "b b^"},
		{"lost: still down", join(down(codeB), dropped, end, up(codeB)), []uint16{codeB}, nil, "b b^"},
		{"lost: pressed meanwhile is no press", join(dropped, end, again(codeB), up(codeB)), []uint16{codeB}, nil, ""},
		{"lost: what follows counts again", join(dropped, end, press(codeB)), nil, nil, "b b^"},
		{"lost, and the device does not tell", join(down(codeB), dropped, end), nil, errors.New("no"), "b b^"},
		{"lost: the rest of the report is void", join(dropped, []record{{0, kindKey, codeB, valueDown}}, end), nil, nil, ""},
		{"a chord", join(down(codeLeftCtrl), press(codeB), up(codeLeftCtrl), press(codeB)), nil, nil, "ctrl+b ctrl+b^ b b^"},
		{"the modifier lifted first", join(down(codeLeftCtrl), down(codeB), up(codeLeftCtrl), up(codeB)), nil, nil, "ctrl+b ctrl+b^"},
		{"shift", join(down(codeLeftShift), press(codeB), press(codeF5)), nil, nil, "b b^ shift+f5 shift+f5^"},
		{"other kinds of records", []record{{0, 2, 0, 5}, {0, 3, 0, 1}, {0, 0x14, 0, 250}}, nil, nil, ""},
	} {
		if got := edges(newBoard(), c.held, c.err, c.records...); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A device that is gone while a key is down releases it, at the last time known.
func TestUnpluggedKeyIsReleased(t *testing.T) {
	b := newBoard()
	edges(b, nil, nil, append(keyRecords(ms(10), codeB, valueDown), keyRecords(ms(20), codeA, valueDown)...)...)
	if got, want := fmt.Sprint(b.unplug()), fmt.Sprint([]Edge{{Key: "a", At: ms(20), Up: true}, {Key: "b", At: ms(20), Up: true}}); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if got := b.unplug(); got != nil {
		t.Errorf("released twice: %v", got)
	}
}

// Codes and names as in Linux, input-event-codes.h: KEY_B 48, KEY_PAGEDOWN 109 and so
// on; the names are the terminal's.
func TestKeyNames(t *testing.T) {
	for code, want := range map[uint16]string{
		57: "space", 28: "enter", 96: "enter", 109: "pgdn", 104: "pgup", 106: "right", 105: "left", 108: "down", 103: "up",
		14: "backspace", 48: "b", 30: "a", 46: "c", 19: "r", 2: "1", 11: "0", 16: "q", 25: "p", 44: "z", 53: "/", 59: "f1", 68: "f10",
		87: "f11", 88: "f12", 183: "f13", 194: "f24", 1: "esc", 272: "mouse1", 256: "button1", 240: "key240",
	} {
		if got := keyName(code); got != want {
			t.Errorf("code %d is %q, want %q", code, got, want)
		}
	}
}

// A release after a long press is a hold too, where the pedal does not repeat.
func TestHoldOfAPedalThatDoesNotRepeat(t *testing.T) {
	for down, want := range map[time.Duration]Verdict{ms(590): Swallowed, ms(600): Hold} {
		f := NewFilter(Direct())
		f.Feed(Edge{Key: "b", At: ms(5)})
		if got := f.Feed(Edge{Key: "b", At: ms(5) + down, Up: true}); got != want {
			t.Errorf("released after %v: %v, want %v", down, got, want)
		}
	}
}

func TestWhatIsAKeyboard(t *testing.T) {
	set := func(ranges ...[2]uint16) (keys []uint16) {
		for _, r := range ranges {
			for k := r[0]; k <= r[1]; k++ {
				keys = append(keys, k)
			}
		}
		return keys
	}
	for _, c := range []struct {
		what            string
		keys            []uint16
		keyboard, pedal bool
	}{
		{"keyboard", set([2]uint16{1, 111}), true, false},
		{"pedal with one letter", set([2]uint16{48, 48}), false, true},
		{"pedal with three letters", []uint16{30, 48, 46}, false, true},
		{"page turner", []uint16{104, 109}, false, true},
		{"page turner with enter and escape", []uint16{1, 28, 103, 108}, false, true},
		{"pad of numbers", set([2]uint16{71, 83}, [2]uint16{96, 96}, [2]uint16{14, 14}), false, false},
		{"mouse", set([2]uint16{272, 276}), false, false},
		{"power button", []uint16{116}, false, false},
		{"nothing", nil, false, false},
	} {
		got := capable{"", c.keys}
		if got.keyboard() != c.keyboard || got.pedal() != c.pedal {
			t.Errorf("%s: keyboard %v, pedal %v; want %v, %v", c.what, got.keyboard(), got.pedal(), c.keyboard, c.pedal)
		}
	}
}

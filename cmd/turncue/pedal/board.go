package pedal

import (
	"slices"
	"strings"
	"time"
)

// A board turns the records of one device into edges. A key that was already down
// when the board began, or went down unseen while records were lost, makes no edge
// until it has been up: a press is only what was seen to begin.
type board struct {
	down  map[uint16]string // keys whose press was reported, with the name reported
	held  map[uint16]bool   // modifiers
	lost  bool              // records were dropped, the rest of the report is void
	clock time.Duration     // time of the last record
}

func newBoard() *board {
	return &board{down: map[uint16]string{}, held: map[uint16]bool{}}
}

// feed takes a record. Where records were dropped before it, now asks which keys are
// down; it may fail.
func (b *board) feed(r record, now func() ([]uint16, error)) []Edge {
	b.clock = max(b.clock, r.at)
	switch {
	case r.kind == kindSync && r.code == syncDropped:
		b.lost = true
	case r.kind == kindSync && r.code == syncReport && b.lost:
		b.lost = false
		return b.again(now)
	case r.kind == kindKey && !b.lost:
		return b.key(r)
	}
	return nil
}

func (b *board) key(r record) []Edge {
	if isModifier(r.code) {
		b.held[r.code] = r.value != valueUp
		return nil
	}
	name, known := b.down[r.code]
	switch {
	case r.value == valueDown && !known:
		name = b.name(r.code)
		b.down[r.code] = name
	case r.value == valueUp && known:
		delete(b.down, r.code)
	case r.value != valueRepeat || !known:
		return nil
	}
	return []Edge{{Key: name, At: b.clock, Up: r.value == valueUp}}
}

// again brings the board up to date after a loss: what is up now was released.
func (b *board) again(now func() ([]uint16, error)) []Edge {
	keys, err := now()
	if err != nil {
		keys = nil
	}
	clear(b.held)
	for _, code := range keys {
		if isModifier(code) {
			b.held[code] = true
		}
	}
	return b.release(func(code uint16) bool { return !slices.Contains(keys, code) })
}

// unplug releases every key: a device that is gone never says so.
func (b *board) unplug() []Edge { return b.release(func(uint16) bool { return true }) }

func (b *board) release(which func(uint16) bool) []Edge {
	var codes []uint16
	for code := range b.down {
		if which(code) {
			codes = append(codes, code)
		}
	}
	slices.Sort(codes)
	var out []Edge
	for _, code := range codes {
		out = append(out, Edge{Key: b.down[code], At: b.clock, Up: true})
		delete(b.down, code)
	}
	return out
}

// name is the key with the modifiers held; shift does not change a character, as a
// layout does not either.
func (b *board) name(code uint16) string {
	name := keyName(code)
	var parts []string
	for _, m := range modifiers {
		if (b.held[m.codes[0]] || b.held[m.codes[1]]) && (m.name != "shift" || len(name) > 1) {
			parts = append(parts, m.name)
		}
	}
	return strings.Join(append(parts, name), "+")
}

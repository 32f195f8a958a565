package job

import (
	"fmt"
	"slices"
	"strings"
)

// Pin is one entry of the order an author fixes: an operation, of one section or bore
// where Name is given, else of all that are not named themselves.
type Pin struct {
	Op   string // one of the operations below
	Name string
	Pos  Pos
}

// String is the entry as it is written.
func (p Pin) String() string { return strings.TrimSpace(p.Op + " " + p.Name) }

// The operations whose order can be fixed.
const (
	PinDrill    = "drill"
	PinTurn     = "turn"
	PinBore     = "bore"
	PinUndercut = "undercut" // of a bore: its recess
	PinGroove   = "groove"
	PinChamfer  = "chamfer"
	PinRound    = "round"
	PinThread   = "thread"
)

var pinned = []string{PinDrill, PinTurn, PinBore, PinUndercut, PinGroove, PinChamfer, PinRound, PinThread}

// maxPins is how many entries an order has at most.
const maxPins = 64

// order reads the order the author fixes.
func (p *jobParser) order() {
	a := p.top.get("order")
	if a.value == nil || !a.is(kindList) {
		return
	}
	switch {
	case p.job.PickUp:
		a.fault("pick-up-key", "order")
		return
	case p.job.Quantity > 1:
		a.fault("order-quantity")
		return
	case len(a.items) == 0:
		a.fault("empty", "order", orderExample)
		return
	case len(a.items) > maxPins:
		a.fault("order-long", fmt.Sprint(maxPins))
		return
	}
	for _, v := range a.items {
		e := arg{v, p.top, field{"order", orderExample}}
		text, ok := e.written()
		if !ok {
			return
		}
		op, name, _ := strings.Cut(text, " ")
		pin := Pin{Op: op, Name: strings.TrimSpace(name), Pos: v.pos}
		if p.pin(e, pin) {
			p.job.Order = append(p.job.Order, pin)
		}
	}
}

const orderExample = `["drill", "bore", "turn", "chamfer", "thread"]`

// pin checks one entry.
func (p *jobParser) pin(e arg, pin Pin) bool {
	if !slices.Contains(pinned, pin.Op) {
		hint := "write one of " + strings.Join(pinned, ", ") + ", with the name of a section or bore behind it where only that is meant"
		if n := Nearest(pin.Op, pinned); n != "" {
			hint = "did you mean " + n + "?"
		}
		if pin.Op == "knurl" || pin.Op == "taper" || pin.Op == "corner" {
			hint = "it is made where its section is turned: write turn"
		}
		e.fault("order-word", clip(pin.String()), hint)
		return false
	}
	for _, other := range p.job.Order {
		if other.Op == pin.Op && other.Name == pin.Name {
			e.fault("order-twice", pin.String())
			return false
		}
	}
	names := p.pinNames(pin.Op)
	switch {
	case len(names) == 0:
		e.fault("order-nothing", pin.Op)
	case pin.Name == "" || slices.Contains(names, pin.Name):
		return true
	case pin.Op == PinDrill || pin.Op == PinBore:
		e.fault("order-whole", pin.Op)
	default:
		e.fault("order-name", clip(pin.Name), pin.Op, strings.Join(names, ", "))
	}
	return false
}

// pinNames are the sections and bores that have an operation.
func (p *jobParser) pinNames(op string) (names []string) {
	for _, st := range p.parts {
		u, c, t := st.undercut.value != nil, st.chamfer.value != nil, st.size.f.key == "thread"
		switch {
		case op == PinTurn && !st.AsBar, op == PinUndercut && u, op == PinChamfer && c, op == PinThread && t,
			op == PinGroove && len(st.rings) > 0, op == PinRound && st.roundAt.value != nil:
			names = append(names, st.Name)
		}
	}
	for _, h := range p.hollows {
		switch {
		case op == PinDrill || op == PinBore:
			return []string{""} // all bores at once
		case op == PinUndercut && h.recess.value != nil, op == PinChamfer && h.chamfer.value != nil, op == PinThread && h.size.f.key == "thread":
			names = append(names, h.Name)
		}
	}
	return names
}

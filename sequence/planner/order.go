package planner

import (
	"fmt"
	"slices"

	"turncue/sequence/job"
)

// unit is one piece of the work on a part whose place in the order can be fixed: an
// operation on one section or bore.
type unit struct {
	op   string // as [job.Pin] has it
	name string // of the section or bore; "" for all bores
	v    int    // index of the level; -1 inside
}

// inside says that a unit works in a bore.
func (u unit) inside() bool { return u.v < 0 }

// units are the pieces of the work in their usual order.
func (b *build) units() (all []unit) {
	add := func(op, name string, v int) { all = append(all, unit{op, name, v}) }
	if len(b.cavities) > 0 {
		add(job.PinDrill, "", -1)
	}
	for i := len(b.levels) - 1; i >= 0; i-- {
		if s := b.levels[i].sec; !s.AsBar {
			add(job.PinTurn, s.Name, i)
		}
	}
	if b.made.bar != nil {
		add(job.PinBore, "", -1)
	}
	outside := func(op string, has func(*job.Section) bool) {
		for i := range b.levels {
			if s := b.levels[i].sec; has(s) {
				add(op, s.Name, i)
			}
		}
	}
	outside(job.PinUndercut, func(s *job.Section) bool { return s.Undercut != nil })
	outside(job.PinGroove, func(s *job.Section) bool { return len(s.Grooves) > 0 })
	outside(job.PinChamfer, func(s *job.Section) bool { return s.Chamfer > 0 })
	outside(job.PinRound, func(s *job.Section) bool { return s.Round > 0 })
	if c := b.cutInside(); c != nil && b.made.groover != nil {
		add(job.PinUndercut, c.bore.Name, -1)
	}
	if len(b.cavities) > 0 && b.cavities[0].bore.Chamfer > 0 {
		add(job.PinChamfer, b.cavities[0].bore.Name, -1)
	}
	outside(job.PinThread, func(s *job.Section) bool { return s.Thread != nil })
	for i := range b.cavities {
		if d := b.cavities[i].bore; d.Thread != nil {
			add(job.PinThread, d.Name, -1)
		}
	}
	return all
}

// before says why one unit must come before another; "" where it need not.
func (b *build) before(a, w unit) string {
	if a.inside() && w.inside() {
		switch {
		case a.op == w.op || w.op == job.PinDrill || a.op == job.PinThread:
			return ""
		case a.op == job.PinDrill:
			return "what is done in a bore begins with drilling"
		case w.op == job.PinBore:
			return ""
		case a.op == job.PinBore:
			return "a bore has its size before anything else is done in it"
		case w.op == job.PinThread:
			return "a thread in a bore starts on its chamfer and runs out into its recess"
		}
		return ""
	}
	switch {
	case a.inside() || w.inside():
		return ""
	case a.op == job.PinTurn && w.op == job.PinTurn:
		if a.v != w.v && b.levels[a.v].sec.Knurl != nil {
			return "a knurl is pressed before anything beside it has its size"
		}
	case a.op == job.PinTurn:
		return "the sections are turned to size first: all else is counted from their diameters and shoulders"
	case a.op == job.PinUndercut && w.op == job.PinThread && a.v == w.v:
		return "the thread runs out into its undercut"
	case a.op == job.PinGroove && (w.op == job.PinChamfer || w.op == job.PinRound):
		return "a groove is measured from an edge while it is sharp"
	}
	return ""
}

// pinOf is the index of the entry of the order that a unit belongs to; -1 for none. An
// entry that names it comes before one that names none.
func (b *build) pinOf(u unit) int {
	whole := -1
	for i, p := range b.job.Order {
		if p.Op != u.op {
			continue
		}
		if p.Name == u.name && u.name != "" {
			return i
		}
		if p.Name == "" {
			whole = i
		}
	}
	return whole
}

// inOrder is the units in the order they are made in: the author's where one is fixed, the
// usual one for the rest. An order that cannot be kept is refused.
func (b *build) inOrder() []unit {
	all := b.units()
	if len(b.job.Order) == 0 {
		return all
	}
	pins := make([]int, len(all))
	for i, u := range all {
		pins[i] = b.pinOf(u)
	}
	for i, a := range all {
		for k, w := range all {
			if why := b.before(a, w); why != "" && pins[i] >= 0 && pins[k] >= 0 && pins[k] < pins[i] {
				first, late := b.job.Order[pins[k]], b.job.Order[pins[i]]
				b.refuseAt(first.Pos, "write "+late.String()+" before "+first.String(), "order has %s before %s: %s", first, late, why)
				return all
			}
		}
	}
	// Of what nothing holds back, the first in the usual order comes next.
	var out []unit
	done := make([]bool, len(all))
	for len(out) < len(all) {
		next := 0
		for held := true; held; {
			held = done[next]
			for k := 0; k < len(all) && !held; k++ {
				held = !done[k] && k != next && (b.before(all[k], all[next]) != "" || pins[next] >= 0 && pins[k] >= 0 && pins[k] < pins[next])
			}
			if held {
				next++
			}
		}
		done[next] = true
		out = append(out, all[next])
	}
	b.turnedInOneGo(out)
	return out
}

// turnedInOneGo refuses an order with something between two sections that are turned: the
// turning tool stays in the post for all of them.
func (b *build) turnedInOneGo(units []unit) {
	first := slices.IndexFunc(units, func(u unit) bool { return u.op == job.PinTurn })
	gap := false
	for i := max(first, 0); i < len(units); i++ {
		switch turn := units[i].op == job.PinTurn; {
		case !turn:
			gap = true
		case gap:
			at := b.job.Order[0]
			if k := b.pinOf(units[i]); k >= 0 {
				at = b.job.Order[k]
			}
			b.refuseAt(at.Pos, "write turn once, or its sections one after the other", "order has something between section %s and the others that are turned: they are turned in one go, the tool never leaves the post", units[i].name)
			return
		}
	}
}

// fresh is an id that no step of this part has: the one given, or that with the least
// number behind it.
func (b *build) fresh(id string) string {
	free := id
	for n := 2; b.plan.Index(b.prefix()+free) >= 0; n++ {
		free = fmt.Sprintf("%s%d", id, n)
	}
	return free
}

// work makes the units, those of one operation that follow one another with the tool in
// the post.
func (b *build) work(units []unit) {
	for b.begun = false; len(units) > 0; b.begun = true {
		n := 1
		for n < len(units) && units[n].op == units[0].op && units[n].inside() == units[0].inside() {
			n++
		}
		group := units[:n]
		units = units[n:]
		of := make([]int, 0, n)
		for _, u := range group {
			of = append(of, u.v)
		}
		switch u := group[0]; {
		case u.op == job.PinDrill:
			b.drill()
		case u.op == job.PinTurn:
			b.turn(of)
			b.tapers()
		case u.op == job.PinBore:
			b.bore()
		case u.op == job.PinUndercut && u.inside():
			b.recess()
		case u.op == job.PinUndercut:
			b.undercuts(of)
		case u.op == job.PinChamfer && u.inside():
			b.chamferBore()
		case u.op == job.PinGroove:
			b.grooves(of)
		case u.op == job.PinChamfer:
			b.chamfers(of)
		case u.op == job.PinRound:
			b.rounds(of)
		case u.inside():
			b.insideThread()
			b.tap()
		default:
			b.threads(of)
		}
	}
}

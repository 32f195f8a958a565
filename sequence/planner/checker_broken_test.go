package planner_test

import (
	"fmt"
	"hash/fnv"
	"maps"
	"slices"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
)

// brokenMove is one way to put a move wrong; nil leaves it out.
type brokenMove struct {
	how string
	to  sequence.Move
}

// brokenMoves are the ways to put a move wrong: left out, the other way, a little more, a
// little less, another reading, by another drive.
func brokenMoves(m sequence.Move) []brokenMove {
	list := []brokenMove{{"left out", nil}}
	add := func(how string, m sequence.Move) { list = append(list, brokenMove{how, m}) }
	for _, by := range []calc.Length{mm, -mm} {
		how := fmt.Sprintf("by %s", by)
		switch m := m.(type) {
		case sequence.Shift:
			m.X, m.Z = m.X+by, m.Z+by
			add(how, m)
			if m.WholeTurns == 0 {
				m.Dial = nil
				add(how+", no reading", m)
			}
		case sequence.Carriage:
			m.To += by
			add(how, m)
			m.Dial = nil
			add(how+", no reading", m)
		case sequence.Plunge:
			z := m
			z.Z += by / 2
			add("beside its place "+how, z)
			m.To, m.Dial = m.To+by, nil
			add(how, m)
		case sequence.Tailstock:
			m.To, m.Dial = m.To+3*by, nil
			add(how, m)
		case sequence.Zero:
			m.X, m.Z = m.X+by, m.Z+by
			add(how, m)
		case sequence.Hold:
			m.StickOut += 5 * by
			add(how, m)
		case sequence.Saw:
			m.Z += 2 * by
			add(how, m)
		}
	}
	switch m := m.(type) {
	case sequence.Spindle:
		if m.Turn == sequence.Forward {
			m.Turn = sequence.Reverse
		} else {
			m.Turn, m.RPM = sequence.Forward, 70*calc.RPM
		}
		add("another way", m)
	case sequence.Shift:
		if d := m.Dial; d != nil {
			r, n := *d, *d
			r.Reading, n.Turns = (d.Reading+5*d.Division)%(20*d.Division), d.Turns+1
			q := m
			q.Dial = &r
			add("another reading", q)
			q.Dial = &n
			add("another turn", q)
		}
		m.Approach = map[sequence.Way]sequence.Way{sequence.In: sequence.Out, sequence.Out: sequence.In}[m.Approach]
		add("the other way", m)
	case sequence.Carriage:
		m.By = map[bool]sequence.Drive{true: sequence.ByHandwheel, false: sequence.ByHalfNut}[m.By == sequence.ByHalfNut]
		add("by another drive", m)
	case sequence.Mount:
		m.Kind = sequence.GroovingTool
		add("another tool", m)
	case sequence.Tailstock:
		m.Diameter += mm
		add("thicker", m)
	case sequence.Gears:
		m.Backward = !m.Backward
		add("the other way", m)
	}
	return list
}

// Any move of any plan of the folder put wrong in any way that breaks a shop rule on the
// bench is found by the second checker too. Power and bending, which it does not follow, are
// left to the bench alone. One in some of all is tried, in the long run each.
func TestBrokenAnywhere(t *testing.T) {
	every := uint32(40)
	if *long {
		every = 1
	}
	tried, both, alike := 0, 0, map[string]int{}
	for _, name := range folder(t) {
		j, l, ok := readOwn(t, name)
		if !ok {
			continue
		}
		right := plan(t, j, l, sequence.Readings{})
		for i := range right.Steps {
			for k, m := range right.Steps[i].Moves {
				for _, b := range brokenMoves(m) {
					h := fnv.New32a()
					fmt.Fprintln(h, name, right.Steps[i].ID, k, b.how)
					if h.Sum32()%every != 0 {
						continue
					}
					p := *right
					p.Steps = slices.Clone(right.Steps)
					s := &p.Steps[i]
					s.Moves = slices.Clone(s.Moves)
					if s.Moves[k] = b.to; b.to == nil {
						s.Moves = slices.Delete(s.Moves, k, k+1)
					}
					tried++
					wrong, broken := opinion(t, &p, j, l)
					at := slices.IndexFunc(broken, func(b bench.Break) bool { return b.Rule != bench.Consistent && b.Rule != bench.WithinPower })
					switch {
					case at >= 0 && len(wrong) == 0:
						t.Errorf("%s, %s: %T %s: only the bench finds it: %v", name, s.ID, m, b.how, broken[at])
					case at >= 0:
						both++
						alike[fmt.Sprintf("%T %s", m, b.how)]++
					}
				}
			}
		}
	}
	t.Logf("%d moves put wrong, of which %d break a rule and both find it", tried, both)
	for _, how := range slices.Sorted(maps.Keys(alike)) {
		t.Logf("%5d %s", alike[how], how)
	}
	if both*4 < tried {
		t.Errorf("of %d only %d break a rule", tried, both)
	}
}

package bench

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// free are the moves of the right plans that may be left out, and the figures
// that may be 0.3 mm off, without anything coming of it: how far the tool is
// wound clear where no ring is read, where it goes before the tool is changed,
// where it comes from after that, and what is done twice or last.
var free = map[string]bool{
	"hold: spindle": true, "face/back: plunge to": true,
	"nose/shoulder/out: plunge": true, "nose/shoulder/out: plunge to": true,
	"nose/chamfer/out: plunge to": true, "nose/chamfer/out: carriage": true, "nose/chamfer/out: carriage to": true,
	"part/touch: carriage": true, "part/touch: carriage from": true,
	"part/out: plunge": true, "part/out: plunge to": true, "part/out: spindle": true,
	"stem/finish2/back: carriage": true, "stem/finish2/back: carriage to": true, "stem/start: spindle": true,
	"stem/undercut/touch: carriage": true, "stem/undercut/touch: carriage from": true,
	"stem/undercut/out2: plunge to": true, "stem/undercut/out2: carriage": true, "stem/undercut/out2: carriage to": true,
	"stem/chamfer/out: plunge to": true, "stem/chamfer/out: carriage": true, "stem/chamfer/out: carriage to": true,
	"stem/thread/touch: carriage": true, "stem/thread/touch: carriage from": true, "stem/thread/stand: spindle": true,
	"stem/thread/pass9/return: carriage": true, "stem/thread/pass9/return: carriage to": true,
	"stem/thread/gauge: gauge": true, "stem/thread/open: halfnut": true,
}

// Every other move of a right plan is missed when it is left out, and every other
// figure when it is 0.3 mm off, either way.
func TestEveryMoveMatters(t *testing.T) {
	l := smallLathe()
	used := map[string]bool{}
	check := func(plan func() *sequence.Plan, j *job.Job) {
		p := plan()
		for i := range p.Steps {
			for k, m := range p.Steps[i].Moves {
				q := plan()
				drop(&q.Steps[i], k)
				name := fmt.Sprintf("%s: %s", q.Steps[i].ID, m.Do())
				if Run(q, j, l).Err() == nil {
					used[name] = true
					if !free[name] {
						t.Errorf("nobody misses %s", name)
					}
				}
				alter := shakes(m)
				for _, what := range slices.Sorted(maps.Keys(alter)) {
					for _, by := range []calc.Length{-300 * um, 300 * um} {
						q := plan()
						q.Steps[i].Moves[k] = alter[what](by)
						name := name + " " + what
						if Run(q, j, l).Err() == nil {
							used[name] = true
							if !free[name] {
								t.Errorf("nobody sees that %s is %s off", name, by)
							}
						}
					}
				}
			}
		}
	}
	check(func() *sequence.Plan { return spigotPlan(l) }, spigot())
	check(func() *sequence.Plan { return studPlan(l, studDepths...) }, stud())
	for name := range free {
		if !used[name] {
			t.Errorf("%s is in the list of what does not matter, but it does", name)
		}
	}
}

// shakes are the ways to put one figure of a move wrong.
func shakes(m sequence.Move) map[string]func(calc.Length) sequence.Move {
	off := func(d *sequence.Dial, by calc.Length) *sequence.Dial {
		n := *d
		n.Reading += by
		return &n
	}
	ways := map[string]func(calc.Length) sequence.Move{}
	switch m := m.(type) {
	case sequence.Shift:
		ways["place"] = func(by calc.Length) sequence.Move {
			n := m
			if n.Slide == sequence.Cross {
				n.X += by
			} else {
				n.Z += by
			}
			return n
		}
		if m.Dial != nil {
			ways["dial"] = func(by calc.Length) sequence.Move { n := m; n.Dial = off(m.Dial, by); return n }
		}
	case sequence.Plunge:
		ways["from"] = func(by calc.Length) sequence.Move { n := m; n.From += by; return n }
		ways["to"] = func(by calc.Length) sequence.Move { n := m; n.To += by; return n }
		ways["z"] = func(by calc.Length) sequence.Move { n := m; n.Z += by; return n }
		if m.Dial != nil {
			ways["dial"] = func(by calc.Length) sequence.Move { n := m; n.Dial = off(m.Dial, by); return n }
		}
	case sequence.Carriage:
		ways["from"] = func(by calc.Length) sequence.Move { n := m; n.From += by; return n }
		ways["to"] = func(by calc.Length) sequence.Move { n := m; n.To += by; return n }
	case sequence.Zero:
		ways["place"] = func(by calc.Length) sequence.Move {
			n := m
			if n.Slide == sequence.Cross {
				n.X += by
			} else {
				n.Z += by
			}
			return n
		}
	}
	return ways
}

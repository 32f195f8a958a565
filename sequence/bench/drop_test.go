package bench

import (
	"fmt"
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

func TestDropX(t *testing.T) {
	l := smallLathe()
	for name, plan := range map[string]func() *sequence.Plan{"spigot": func() *sequence.Plan { return spigotPlan(l) }, "stud": func() *sequence.Plan { return studPlan(l, studDepths...) }} {
		j := spigot()
		if name == "stud" {
			j = stud()
		}
		p := plan()
		for i := range p.Steps {
			for k := range p.Steps[i].Moves {
				q := plan()
				m := q.Steps[i].Moves[k]
				drop(&q.Steps[i], k)
				if Run(q, j, l).Err() == nil {
					fmt.Printf("%s %s: %s %+v\n", name, q.Steps[i].ID, m.Do(), m)
				}
				for what, alter := range shakes(m) {
					for _, by := range []calc.Length{-300 * um, 300 * um} {
						q := plan()
						q.Steps[i].Moves[k] = alter(by)
						if Run(q, j, l).Err() == nil {
							fmt.Printf("shake %s %s: %s by %s %+v\n", name, q.Steps[i].ID, what, by, m)
						}
					}
				}
			}
		}
	}
}

func shakes(m sequence.Move) map[string]func(calc.Length) sequence.Move {
	switch m := m.(type) {
	case sequence.Shift:
		r := map[string]func(calc.Length) sequence.Move{}
		if m.Slide == sequence.Cross {
			r["x"] = func(by calc.Length) sequence.Move { n := m; n.X += by; return n }
		} else {
			r["z"] = func(by calc.Length) sequence.Move { n := m; n.Z += by; return n }
		}
		if m.Dial != nil {
			r["dial"] = func(by calc.Length) sequence.Move { n := m; d := *m.Dial; d.Reading += by; n.Dial = &d; return n }
		}
		return r
	case sequence.Plunge:
		r := map[string]func(calc.Length) sequence.Move{
			"from": func(by calc.Length) sequence.Move { n := m; n.From += by; return n },
			"to":   func(by calc.Length) sequence.Move { n := m; n.To += by; return n },
			"z":    func(by calc.Length) sequence.Move { n := m; n.Z += by; return n },
		}
		if m.Dial != nil {
			r["dial"] = func(by calc.Length) sequence.Move { n := m; d := *m.Dial; d.Reading += by; n.Dial = &d; return n }
		}
		return r
	case sequence.Carriage:
		return map[string]func(calc.Length) sequence.Move{
			"from": func(by calc.Length) sequence.Move { n := m; n.From += by; return n },
			"to":   func(by calc.Length) sequence.Move { n := m; n.To += by; return n },
		}
	case sequence.Zero:
		if m.Slide == sequence.Cross {
			return map[string]func(calc.Length) sequence.Move{"x": func(by calc.Length) sequence.Move { n := m; n.X += by; return n }}
		}
		return map[string]func(calc.Length) sequence.Move{"z": func(by calc.Length) sequence.Move { n := m; n.Z += by; return n }}
	}
	return nil
}

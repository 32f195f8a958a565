package practise

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

// A Ring is one setting of a handwheel that a step asks for.
type Ring struct {
	Slide sequence.Slide
	Want  sequence.Dial
	move  int
	dial  setup.Dial
	way   sequence.Way // the cutting direction, in which the slack is taken up
}

// A Setting is what a learner set a ring to, and the way it was last moved.
type Setting struct {
	Turns   int
	Reading calc.Length // as marked
	Way     sequence.Way
}

// ringsOf are the settings of a step that decide a size or a length.
func ringsOf(st *sequence.Step, l *job.Lathe) []Ring {
	var all []Ring
	for k, m := range st.Moves {
		switch m := m.(type) {
		case sequence.Shift:
			if m.Dial == nil || !towards(m) || m.Angle != 0 {
				continue
			}
			d := l.Cross
			if m.Slide == sequence.Top {
				d = l.Top
			}
			all = append(all, Ring{m.Slide, *m.Dial, k, d, m.Approach})
		case sequence.Plunge:
			if m.Dial != nil && m.Deeper() {
				way := sequence.In
				if m.Inside {
					way = sequence.Out
				}
				all = append(all, Ring{sequence.Cross, *m.Dial, k, l.Cross, way})
			}
		case sequence.Carriage:
			if m.Dial != nil && l.Carriage != nil && m.To > m.From {
				all = append(all, Ring{sequence.CarriageWays, *m.Dial, k, *l.Carriage, sequence.In})
			}
		case sequence.Tailstock:
			if m.Dial != nil && l.Tailstock != nil {
				all = append(all, Ring{sequence.Sleeve, *m.Dial, k, *l.Tailstock, sequence.In})
			}
		}
	}
	return all
}

// towards says that a slide is moved in the direction of its cut: in outside, out inside
// a bore.
func towards(m sequence.Shift) bool {
	return (m.Approach == sequence.Out) == m.Inside && m.WholeTurns == 0
}

// Deeper is how much deeper than wanted a setting lets the tool cut; below zero it is
// short of it.
func (r Ring) Deeper(s Setting) calc.Length {
	return r.inwards(r.Beyond(s))
}

// inwards is a depth as a travel inwards: inside a bore deeper is out.
func (r Ring) inwards(depth calc.Length) calc.Length {
	if r.way == sequence.Out {
		return -depth
	}
	return depth
}

// Way is the direction in which the setting is to be reached.
func (r Ring) Way() sequence.Way { return r.way }

// Beyond is how much further in than wanted a setting puts the slide, in its true
// travel; below zero it is less far in.
func (r Ring) Beyond(s Setting) calc.Length {
	return r.dial.Position(s.Turns, s.Reading) - r.dial.Position(r.Want.Turns, r.Want.Reading)
}

// Right says that a setting is the one wanted, within half a division, brought up in the
// direction of the cut.
func (r Ring) Right(s Setting) bool {
	return s.Way == r.way && r.Beyond(s).Abs() <= r.dial.Division()/2
}

// deeper is how far beyond the setting a slide was let go that is then wound back to it.
const deeper = calc.Millimetre / 10

// With is the plan with a ring of step i set otherwise. Brought up against the direction
// of the cut the tool stands deeper than the ring says, by the slack.
func (r Ring) With(p *sequence.Plan, i int, s Setting) *sequence.Plan {
	q := clone(p)
	by := r.Beyond(s)
	d := r.Want
	d.Turns, d.Reading = s.Turns, s.Reading
	wrong := s.Way != r.way
	if wrong {
		by += r.inwards(r.dial.Slack)
	}
	switch m := q.Steps[i].Moves[r.move].(type) {
	case sequence.Shift:
		past := shifted(m, by)
		past.Dial = &d
		if wrong {
			first := shifted(past, r.inwards(deeper))
			first.Dial, first.WholeTurns = nil, 0
			past.Approach, past.Handle = s.Way, opposite(m.Handle)
			if lost, err := calc.NewRatio(int64(r.dial.Slack), int64(r.dial.Travel)); err == nil {
				past.Lash = lost
			}
			q.Steps[i].Moves = slices.Replace(q.Steps[i].Moves, r.move, r.move+1, sequence.Move(first), sequence.Move(past))
			follow(q, i, r.move+2, m.Slide, by)
			break
		}
		q.Steps[i].Moves[r.move] = past
		follow(q, i, r.move+1, m.Slide, by)
	case sequence.Plunge:
		m.To, m.Dial = m.To-2*by, &d
		q.Steps[i].Moves[r.move] = m
		follow(q, i, r.move+1, sequence.Cross, by)
	case sequence.Carriage:
		m.To, m.Dial = m.To+by, &d
		q.Steps[i].Moves[r.move] = m
		follow(q, i, r.move+1, sequence.CarriageWays, by)
	case sequence.Tailstock:
		m.To, m.Dial = m.To+by, &d
		q.Steps[i].Moves[r.move] = m
		for n := i + 1; n < len(q.Steps); n++ {
			for k, next := range q.Steps[n].Moves {
				if next, ok := next.(sequence.Tailstock); ok && next.Kind == m.Kind && next.Diameter == m.Diameter {
					next.From += by
					q.Steps[n].Moves[k] = next
					return q
				}
			}
		}
	}
	return q
}

// follow carries a mistake on to the moves that are counted from where the slide stands:
// so many turns out, back from where the cut ended. A move to a reading of its own, or a
// new zero, ends it.
func follow(p *sequence.Plan, i, k int, slide sequence.Slide, by calc.Length) {
	for ; i < len(p.Steps); i, k = i+1, 0 {
		for ; k < len(p.Steps[i].Moves); k++ {
			switch m := p.Steps[i].Moves[k].(type) {
			case sequence.Shift:
				if m.Slide != slide {
					continue
				}
				if towards(m) {
					return
				}
				m = shifted(m, by)
				m.Dial, m.WholeTurns, m.Lash = nil, 0, calc.Ratio{}
				p.Steps[i].Moves[k] = m
			case sequence.Withdraw:
				if slide != sequence.Cross {
					continue
				}
				m.X -= 2 * by
				m.Dial, m.WholeTurns, m.Lash = nil, 0, calc.Ratio{}
				p.Steps[i].Moves[k] = m
			case sequence.Plunge:
				if slide != sequence.Cross {
					continue
				}
				if m.From == 0 || m.Deeper() {
					return
				}
				m.From -= 2 * by
				p.Steps[i].Moves[k] = m
			case sequence.Zero:
				if m.Slide == slide {
					return
				}
			case sequence.Carriage:
				if slide == sequence.CarriageWays {
					m.From += by
					p.Steps[i].Moves[k] = m
					return
				}
			}
		}
	}
}

func shifted(m sequence.Shift, by calc.Length) sequence.Shift {
	if m.Slide == sequence.Cross {
		m.X -= 2 * by
	} else {
		m.Z += by
	}
	return m
}

func opposite(r sequence.Rotation) sequence.Rotation {
	if r == sequence.Clockwise {
		return sequence.Anticlockwise
	}
	return sequence.Clockwise
}

// Cuts says whether the ring sets the depth of a cut, on the cross slide.
func (r Ring) Cuts() bool { return r.Slide == sequence.Cross }

// widest is more than any ring is marked with.
const widest = 1000 * calc.Millimetre

// mostTurns is more than any handwheel can be wound.
const mostTurns = 500

// Parse reads a setting as people say it: "0.42 in", "1 turn 0.42 in", "-2 turns 0.50
// in", and "out" where the last movement was outwards. The reading is in what the ring
// is marked in: millimetres, or thou.
func (r Ring) Parse(text string) (Setting, error) {
	var s Setting
	words := strings.Fields(strings.NewReplacer(",", " ", " and ", " ").Replace(strings.ToLower(text)))
	wrong := fmt.Errorf("%q is no setting: so many turns, the reading, and in or out, as %q", text, r.Text()+" "+string(r.way))
	if len(words) < 2 {
		return s, wrong
	}
	switch words[len(words)-1] {
	case "in":
		s.Way = sequence.In
	case "out":
		s.Way = sequence.Out
	default:
		return s, wrong
	}
	words = words[:len(words)-1]
	if len(words) > 1 && words[len(words)-1] == "thou" {
		words = words[:len(words)-1]
	}
	if len(words) == 3 && (words[1] == "turn" || words[1] == "turns") {
		n, err := strconv.Atoi(words[0])
		if err != nil || n > mostTurns || n < -mostTurns {
			return s, wrong
		}
		s.Turns, words = n, words[2:]
	}
	if len(words) != 1 || words[0] == "" || strings.ContainsAny(words[0], "+-") || strings.Trim(words[0], "0123456789.") != "" {
		return s, wrong
	}
	unit := " mm"
	if r.Want.Unit == calc.Inch {
		unit = " thou"
	}
	v, err := calc.ParseLength(words[0] + unit)
	if err != nil || v > widest {
		return s, wrong
	}
	s.Reading = v
	if r.past() {
		s.Turns = -s.Turns
		if v > 0 {
			s.Turns--
		}
	}
	return s, nil
}

// past says that the setting is said as so many turns outwards past zero.
func (r Ring) past() bool { return r.Want.Outward && r.Want.Turns < 0 }

// Text is the setting wanted, as Parse reads it without its direction.
func (r Ring) Text() string {
	reading := string(r.Want.ReadingWord())
	turns := r.Want.Turns
	if r.past() {
		turns = r.Want.Past()
	}
	switch turns {
	case 0:
		return reading
	case 1:
		return "1 turn " + reading
	}
	return fmt.Sprintf("%d turns %s", turns, reading)
}

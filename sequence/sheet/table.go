// Package sheet writes a plan on paper: the table to follow at the lathe. All of it
// is read from the steps' moves; nothing is worked out here.
package sheet

import (
	"fmt"
	"math"
	"strings"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// width is where the column of what to do is folded, in characters.
const width = 76

// Table is the plan as a table: for each step its number, the ring, what the work
// is after it, the time, and what to do.
func Table(p *sequence.Plan) string {
	var b strings.Builder
	hand, machine := p.Times()
	fmt.Fprintf(&b, "%s\n%s\n%d steps, about %s (%s of them cutting)\n", p.Part, p.Lathe, len(p.Steps), minutes(hand+machine), minutes(machine))
	fmt.Fprintf(&b, "\nlay out:\n")
	for _, s := range p.LayOut {
		fmt.Fprintf(&b, "  %s\n", s)
	}
	for i, s := range p.Settings {
		fmt.Fprintf(&b, "\nsetting %d, %s: %d steps, about %s (%s of them cutting)\n", i+1, s.How, s.Steps, minutes(s.Hand+s.Machine), minutes(s.Machine))
		for _, what := range s.LayOut {
			fmt.Fprintf(&b, "  %s\n", what)
		}
	}
	for _, w := range p.Warnings {
		fmt.Fprintf(&b, "\nWARNING: %s\n", w)
	}
	section := "-"
	for i := range p.Steps {
		s := &p.Steps[i]
		if h := heading(p, s); h != section {
			section = h
			fmt.Fprintf(&b, "\n%s\n%4s  %-24s %-16s %-14s %5s\n", h, "step", "id", "ring", "work", "time")
		}
		fmt.Fprintf(&b, "%4d  %-24s %-16s %-14s %5s\n", s.N, s.ID, Ring(s), Work(s, p.Unit), clock(s.Hand+s.Machine))
		for _, line := range fold(s.Cue.Text(), width) {
			fmt.Fprintf(&b, "      %s\n", line)
		}
		if note := s.Noted(); note != "" {
			for _, line := range fold(note, width-2) {
				fmt.Fprintf(&b, "    | %s\n", line)
			}
		}
	}
	return b.String()
}

// heading is the group a step stands under.
func heading(p *sequence.Plan, s *sequence.Step) string {
	op := strings.ToUpper(string(s.Op))
	if s.OfParts > 0 {
		op = fmt.Sprintf("PART %d OF %d, %s", s.Part, s.OfParts, op)
	}
	if s.Setting > 0 {
		op = fmt.Sprintf("SETTING %d, %s", s.Setting, op)
	}
	if what := p.What(s.Section); what != "" {
		return fmt.Sprintf("%s, %s (%s)", op, s.Section, what)
	}
	return op
}

// Ring is what the ring of the step's slide says at its end: "1 turn + 0.54".
func Ring(s *sequence.Step) string {
	text, _ := Setting(s)
	return text
}

// Setting is [Ring] with the way the handle goes to it; "" where no handle is named.
// Of several steps joined it is that of the first that has one.
func Setting(s *sequence.Step) (text string, handle sequence.Rotation) {
	for i := range s.Parts {
		if text, handle := Setting(&s.Parts[i]); text != "" {
			return text, handle
		}
	}
	for _, m := range s.Moves {
		switch m := m.(type) {
		case sequence.Shift:
			if m.WholeTurns != 0 {
				if text == "" && m.Inside {
					text, handle = fmt.Sprintf("%s in", turns(m.WholeTurns)), m.Handle
				} else if text == "" {
					text, handle = fmt.Sprintf("%s out", turns(m.WholeTurns)), m.Handle
				}
			} else if m.Dial != nil {
				text, handle = DialText(*m.Dial), m.Handle
			}
			if sequence.Cuts(m) { // what follows only brings the tool back
				return text, handle
			}
		case sequence.Withdraw:
			text, handle = fmt.Sprintf("%s out", turns(m.WholeTurns)), m.Handle
		case sequence.Plunge:
			if m.Dial != nil {
				text, handle = DialText(*m.Dial), m.Handle
			}
		case sequence.Carriage:
			if m.Dial != nil {
				text, handle = DialText(*m.Dial), ""
			}
		case sequence.Tailstock:
			if m.Dial != nil {
				text, handle = DialText(*m.Dial), ""
			}
		case sequence.Clamp:
			if m.Turns.Sign() > 0 {
				text, handle = "nut "+string(sequence.NutWord(m.Turns)), ""
			}
		case sequence.Zero:
			text, handle = "set to 0", ""
		}
	}
	return text, handle
}

// DialText is a setting for the eye: "1 turn + 0.54", "-3 turns + 0.50"; counted
// outwards, "out 1.65" and, a turn further, "out 1 turn, 1.65".
func DialText(d sequence.Dial) string {
	reading := string(d.ReadingWord())
	if d.Outward && d.Turns < 0 {
		if n := d.Past(); n > 0 {
			return "out " + turns(n) + ", " + reading
		}
		return "out " + reading
	}
	if d.Turns == 0 {
		return reading
	}
	return turns(d.Turns) + " + " + reading
}

func turns(n int) string {
	if n == 1 || n == -1 {
		return fmt.Sprintf("%d turn", n)
	}
	return fmt.Sprintf("%d turns", n)
}

// Work is what the work is after the step: a diameter the tool stands at for a cut,
// or what is measured.
func Work(s *sequence.Step, unit calc.Length) string {
	if m := s.Measure; m != nil {
		if m.What == sequence.MeasureRunOut {
			return "at most " + string(sequence.LengthWord(m.Max, unit, 3))
		}
		return string(sequence.LengthWord(m.Nominal, unit, 3))
	}
	for _, m := range s.Moves {
		switch m := m.(type) {
		case sequence.Swivel:
			if m.Travel > 0 {
				return fmt.Sprintf("%s/%s", sequence.LengthWord(m.Rise, unit, 3), sequence.LengthWord(m.Travel, unit, 1))
			}
		case sequence.TaperSlide:
			if m.Travel > 0 {
				return fmt.Sprintf("%s/%s", sequence.LengthWord(m.Rise, unit, 3), sequence.LengthWord(m.Travel, unit, 1))
			}
		case sequence.Shift:
			if m.Led {
				return "" // where the carriage stands says nothing of the work
			}
			if m.Slide == sequence.Cross && s.Op != sequence.OpTaper && (m.Approach == sequence.Out) == m.Inside && m.Dial != nil {
				return "dia " + string(sequence.LengthWord(m.X, unit, 3))
			}
			if sequence.Cuts(m) { // a cone, read off at the end of the work
				by := calc.Millimetres(2 * math.Tan(m.Angle.Radians()) * m.Z.Millimetres())
				if m.Narrows {
					by = -by
				}
				return "dia " + string(sequence.LengthWord(m.X-by, unit, 3))
			}
		case sequence.Line:
			return "at " + string(sequence.LengthWord(m.Z, unit, 2))
		case sequence.Clamp:
			if m.To < m.From {
				return "dia " + string(sequence.LengthWord(m.To, unit, 3))
			}
		case sequence.Plunge:
			if m.Deeper() && m.Dial != nil {
				return "dia " + string(sequence.LengthWord(m.To, unit, 3))
			}
		case sequence.Carriage:
			if m.Cutting && m.By != sequence.ByHalfNut {
				return "to " + string(sequence.LengthWord(m.To, unit, 2))
			}
		case sequence.Tailstock:
			if m.Kind != sequence.CentreDrillTool && m.To > 0 {
				return string(sequence.LengthWord(m.To, unit, 1)) + " deep"
			}
		case sequence.Gears:
			lead := "lead " + m.Lead.Length().Trimmed(calc.Millimetre, 5)
			if m.Lever != "" {
				lead += ", lever " + m.Lever
			}
			return lead
		}
	}
	return ""
}

// minutes rounds a total as a person says it: to 5 s, from ten minutes up to minutes.
func minutes(d time.Duration) string {
	if d >= 10*time.Minute {
		return fmt.Sprintf("%d min", int(d.Round(time.Minute)/time.Minute))
	}
	return clock(d.Round(5 * time.Second))
}

func clock(d time.Duration) string {
	s := int(d.Round(time.Second) / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// fold breaks a text at blanks into lines of at most n characters.
func fold(text string, n int) []string {
	var lines []string
	line := ""
	for _, w := range strings.Fields(text) {
		if line != "" && len([]rune(line))+1+len([]rune(w)) > n {
			lines = append(lines, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += w
	}
	return append(lines, line)
}

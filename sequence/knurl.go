package sequence

import (
	"strings"

	"turncue/calc"
)

// KnurlingTool presses a knurl: with one wheel or two from the side by the cross slide,
// or held between two wheels by a clamp.
const KnurlingTool ToolKind = "knurling"

// ClampNut is the nut that closes the clamp of a knurling tool. What it counts is the
// diameter between the wheels.
const ClampNut Slide = "clamp"

// OpKnurl is knurling.
const OpKnurl Op = "knurl"

// MeasureKnurl is the diameter over the crests of a knurl.
const MeasureKnurl = "over the knurl"

// Clamp turns the nut of a knurling tool whose wheels hold the work between them: From
// and To are the diameters between the crests of their teeth. Closing presses them into
// the work. Turns is where the nut stands then, counted from where the wheels touched the
// work; zero when it is opened until the wheels are clear.
type Clamp struct {
	From, To calc.Length
	Turns    calc.Ratio
	PerRev   calc.Lead // how much the wheels go in, on radius, for each turn of the work; zero when opened
}

// Do names the move in a written plan.
func (Clamp) Do() string { return "clamp" }

// clampWords are the words of the clamp's nut.
func clampWords(m Clamp) Cue {
	if m.Turns.Sign() <= 0 {
		return Cue{WordOpenClamp}
	}
	return Cue{WordCloseClamp, Comma, NutWord(m.Turns), WordPastZero}
}

// NutStep is the least a nut is set to by eye, in turns: a twentieth (common practice).
const NutStep = 20

// NutWord is "0.35 turns", to a twentieth.
func NutWord(turns calc.Ratio) Word {
	text := strings.TrimSuffix(turns.Rat().FloatString(2), "0")
	if text = strings.TrimSuffix(text, ".0"); text == "1" {
		return "1 turn"
	}
	return Word(text + " turns")
}

// wireClamp writes the fields of the clamp's nut.
func wireClamp(f fields, m Clamp) {
	f["from_mm"], f["to_mm"] = mm(m.From), mm(m.To)
	if m.Turns.Sign() > 0 {
		f["nut_turns"], f["per_rev_mm"] = decimal(m.Turns.Float(), 4), leadMM(m.PerRev)
	}
}

// knurlPlungeWords are the words of wheels pressed in by the cross slide.
func knurlPlungeWords(s *Step, m Plunge) Cue {
	c := append(Cue{WordPressIn}, m.Dial.Words()...)
	if m.Handle != "" && !s.Brief {
		c = append(c, Comma, handleWord(m.Handle))
	}
	return c
}

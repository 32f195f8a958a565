package main

import (
	"fmt"
	"slices"
	"strings"

	"turncue/calc"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
	"turncue/sequence/sheet"
)

// viewer turns what the runner shows into what a screen shows.
type viewer struct{ plan *sequence.Plan }

// most is the longest text seen from three metres.
const most = 12

func (v viewer) view(f runner.Frame) terminal.View {
	s := f.Step
	label, big := headline(s, v.plan.Unit)
	t := terminal.View{
		Where:    fmt.Sprintf("step %d of %d", f.N, f.Of),
		Section:  v.heading(s),
		BigLabel: label, Big: big,
		Dial:   dialText(s),
		Lines:  sentences(f.Prompt.Text()),
		Notice: f.Notice,
		Keys:   keysFor(s, f.Phase),
		State:  stateText(f),
	}
	if len(f.Prompt) == 0 {
		t.Lines = sentences(s.Cue.Text())
	}
	if s.Why != "" && f.Phase == runner.Running {
		t.Lines = append(t.Lines, s.Why)
	}
	if note := s.Noted(); note != "" {
		t.Lines = append([]string{note}, t.Lines...)
	}
	for _, m := range s.Moves {
		if g, ok := m.(sequence.Gears); ok && g.Lever != "" {
			t.Dial = "gearbox lever " + g.Lever
		}
	}
	if s.Of > 0 {
		t.Pass = fmt.Sprintf("pass %d of %d", s.Pass, s.Of)
	}
	for _, c := range s.Cautions {
		t.Cautions = append(t.Cautions, capital(string(c)))
	}
	if m := s.Measure; m != nil {
		t.Limits = v.limits(m)
		if f.Reading != nil {
			t.Size = "read " + v.length(*f.Reading)
		}
	} else if t.Size = v.sizes(f.Sizes); t.Size == "" {
		t.Size = sheet.Work(s, v.plan.Unit)
	}
	if f.Phase == runner.Recheck {
		t.BigLabel, t.Big = "BEFORE YOU GO ON", "LOOK"
		t.Lines = append(slices.Clone(f.Checks[1:]), f.Checks[0]) // what to look at first, then why
		t.Dial, t.Size, t.Limits, t.Pass, t.Cautions = "", "", "", "", nil
	}
	if f.Phase == runner.Paused { // seen from three metres, too
		t.BigLabel, t.Big = "P OR A PRESS", "PAUSED"
	}
	if f.Next != nil {
		t.Next = nextText(f.Next, v.plan.Unit)
	}
	return t
}

// nextText is a coming step in a few words. Where the title does not say what the figure
// is, its label does.
func nextText(s *sequence.Step, unit calc.Length) string {
	label, big := headline(s, unit)
	if (s.Phase == "" || s.Measure != nil) && label != "" {
		return s.Title + ", " + strings.ToLower(label+" "+big)
	}
	next := strings.ToLower(big)
	if strings.HasSuffix(s.Title, next) { // "go back" is no more back for being said twice
		return s.Title
	}
	return s.Title + " " + next
}

// sizes are the diameters of the work in words: "now 22, then 21.16, end 15.979 mm".
func (v viewer) sizes(s sequence.Sizes) string {
	var all []string
	for _, of := range []struct {
		name string
		size calc.Length
	}{{"now", s.Now}, {"then", s.Then}, {"end", s.End}} {
		if of.size > 0 {
			all = append(all, of.name+" "+strings.Fields(string(sequence.LengthWord(of.size, v.plan.Unit, 3)))[0])
		}
	}
	if len(all) == 0 {
		return ""
	}
	return strings.Join(all, ", ") + unitSuffix(v.plan.Unit)
}

// dialText is the ring's setting and which way the handle goes to it.
// Of several steps joined it is all of theirs in order.
func dialText(s *sequence.Step) string {
	if len(s.Parts) > 0 {
		var all []string
		for i := range s.Parts {
			if text := dialText(&s.Parts[i]); text != "" {
				all = append(all, text)
			}
		}
		return strings.Join(all, ", then ")
	}
	text, handle := sheet.Setting(s)
	if handle == "" {
		return text
	}
	return text + ", handle " + string(handle)
}

func (v viewer) heading(s *sequence.Step) string {
	text := string(s.Op)
	if what := v.plan.What(s.Section); what != "" {
		text += ", " + what
	}
	if s.OfParts > 0 {
		return fmt.Sprintf("part %d of %d: %s", s.Part, s.OfParts, text)
	}
	return text
}

func (v viewer) length(l calc.Length) string { return string(sequence.SizeWord(l, v.plan.Unit)) }

func (v viewer) limits(m *sequence.Measure) string {
	switch {
	case m.What == sequence.MeasureRunOut:
		return "at most " + v.length(m.Max)
	case m.Final:
		return v.length(m.Min) + " to " + v.length(m.Max)
	}
	return "near " + v.length(m.Nominal)
}

// stateText says whatever is not the ordinary course of things.
func stateText(f runner.Frame) string {
	switch {
	case f.Phase == runner.Recheck:
		return "check the lathe first"
	case f.Phase == runner.Paused:
		return "paused"
	case f.Phase == runner.Stopped:
		return "stopped, your place is kept"
	case f.Phase == runner.Done:
		return "finished"
	case f.NotConfirmed:
		return "not confirmed"
	case f.Confirmed:
		return "seen again, confirmed before"
	}
	return ""
}

// headline is the number or word that matters at a step, and whose it is.
// Of several steps joined it is that of the first.
func headline(s *sequence.Step, unit calc.Length) (label, big string) {
	if len(s.Parts) > 0 {
		return headline(&s.Parts[0], unit)
	}
	if m := s.Measure; m != nil {
		label = "MEASURE " + strings.ToUpper(m.What)
		big = m.Nominal.Trimmed(unit, 3)
		if m.What == sequence.MeasureRunOut {
			label, big = "RUN-OUT AT MOST", m.Max.Trimmed(unit, 3)
		}
		if m.Threads > 0 {
			label = fmt.Sprintf("OVER %d THREADS", m.Threads)
		}
		return label, big
	}
	if label, big = signHeadline(s); big != "" {
		return label, big
	}
	if s.Op == sequence.OpThread && (s.Phase == sequence.PhaseCut || s.Phase == sequence.PhaseReturn) {
		return threadHeadline(s)
	}
	// Where a cut ends matters most, else what the hands end on; a bare start or stop only
	// where there is nothing else.
	if s.Phase == sequence.PhaseCut {
		for _, m := range s.Moves {
			if label, big := moveHeadline(m, unit); sequence.Cuts(m) && big != "" {
				return label, big
			}
		}
	}
	for _, m := range slices.Backward(s.Moves) {
		if label, big = moveHeadline(m, unit); big != "" {
			return label, big
		}
	}
	for _, m := range s.Moves {
		if m, ok := m.(sequence.Spindle); ok {
			return spindleHeadline(m)
		}
	}
	return "", strings.ToUpper(string(s.Op))
}

func threadHeadline(s *sequence.Step) (label, big string) {
	if label, big = dialHeadline(s); label != "" {
		return label, big
	}
	for _, m := range s.Moves {
		if m, ok := m.(sequence.Spindle); ok && m.Turn != sequence.Stop {
			if m.Turn == sequence.ByHand {
				if s.Phase == sequence.PhaseReturn {
					return "HAND CRANK", "BACKWARD"
				}
				return "HAND CRANK", "FORWARD"
			}
			turn := strings.ToUpper(string(m.Turn))
			switch {
			case s.RunsInto == sequence.Beside:
				return "BESIDE THE THREAD", turn
			case s.Phase == sequence.PhaseReturn && s.RunsInto == sequence.IntoGroove:
				return "TO THE GROOVE, HALF-NUTS SHUT", turn
			case s.Phase == sequence.PhaseReturn:
				return "HALF-NUTS SHUT", turn
			case s.RunsInto == sequence.IntoLine:
				return "TOOL OUT AT THE LINE", turn
			case s.RunsInto == sequence.IntoOpen:
				return "OUT OF THE GROOVE", turn
			}
			return "WATCH THE GROOVE", turn
		}
	}
	return "", ""
}

// dialHeadline is that of a pass by the threading dial: the lines, or the way back.
func dialHeadline(s *sequence.Step) (label, big string) {
	for _, m := range s.Moves {
		switch m := m.(type) {
		case sequence.HalfNut:
			switch {
			case !m.Closed:
			case len(m.Marks.Lines) > 0 && !m.Marks.Any:
				return "HALF-NUTS SHUT ON LINE", strings.Trim(fmt.Sprint(m.Marks.Lines), "[]")
			case m.Marks.Any && !m.Marks.Anywhere:
				return "HALF-NUTS SHUT ON", "ANY LINE"
			default:
				return "HALF-NUTS", "SHUT"
			}
		case sequence.Carriage:
			if s.Phase == sequence.PhaseReturn && m.By == sequence.ByHandwheel {
				return "CARRIAGE BY HAND", "BACK"
			}
		}
	}
	return "", ""
}

func spindleHeadline(m sequence.Spindle) (label, big string) {
	switch m.Turn {
	case sequence.Stop:
		return "SPINDLE", "STOP"
	case sequence.ByHand:
		return "SPINDLE", "BY HAND"
	case sequence.Reverse:
		return "SPINDLE", "REVERSE"
	}
	return "SPINDLE FORWARD", m.RPM.String()
}

func moveHeadline(m sequence.Move, unit calc.Length) (label, big string) {
	switch m := m.(type) {
	case sequence.Hold:
		if m.Support == "centre" {
			return "TAILSTOCK", "CENTRE"
		}
		return "STICKING OUT", string(sequence.LengthWord(m.StickOut, unit, 1))
	case sequence.Mount:
		if m.Kind == sequence.NoTool {
			return "THE POST", "EMPTY"
		}
		if kind, inside := strings.CutPrefix(string(m.Kind), "inside "); inside {
			return "INSIDE TOOL", strings.ToUpper(kind)
		}
		return "FIT THE TOOL", strings.ToUpper(string(m.Kind))
	case sequence.Gears:
		return "FIT THE GEARS", gearsText(m)
	case sequence.HalfNut:
		if m.Closed {
			return "HALF-NUTS", "SHUT"
		}
		return "HALF-NUTS", "OPEN"
	case sequence.Supply:
		if m.Isolated {
			return "POWER", "UNPLUG"
		}
		return "POWER", "BACK ON"
	case sequence.Guard:
		if m.Open {
			return "GEAR COVER", "OPEN"
		}
		return "GEAR COVER", "SHUT"
	case sequence.ChuckKey:
		return "CHUCK", "KEY OUT"
	case sequence.Line:
		return "SCRIBE A LINE AT", string(sequence.LengthWord(m.Z, unit, 2))
	case sequence.Seat:
		return "POINT IN THE", "GROOVE"
	case sequence.Clamp:
		if m.Turns.Sign() > 0 {
			return "CLOSE THE CLAMP", string(sequence.NutWord(m.Turns))
		}
		return "CLAMP", "OPEN"
	case sequence.Zero:
		if m.Slide == sequence.ClampNut {
			return "CLOSE THE CLAMP", "TOUCH"
		}
		return strings.ToUpper(string(m.Slide)) + " RING", "0"
	case sequence.Shift:
		return shiftHeadline(m)
	case sequence.Swivel:
		return "SWING TOP SLIDE TO", strings.ToUpper(string(sequence.AngleWord(m.Angle)))
	case sequence.TaperSlide:
		if m.Clamped && m.Travel > 0 {
			return "SET TAPER SLIDE TO", strings.ToUpper(string(sequence.AngleWord(m.Angle)))
		}
		return "TAPER SLIDE", map[bool]string{true: "CLAMP", false: "FREE"}[m.Clamped]
	case sequence.Plunge:
		if m.Dial != nil && m.Inside {
			return "TOWARDS YOU", dialBig(*m.Dial)
		}
		if m.Dial != nil {
			return "CROSS SLIDE IN", dialBig(*m.Dial)
		}
		if m.To < m.From {
			return "CROSS SLIDE", "FEED IN"
		}
	case sequence.Carriage:
		if m.Cutting && m.Dial != nil {
			return "FEED TO", dialBig(*m.Dial)
		}
		if m.Cutting {
			return "FEED TO", string(sequence.LengthWord(m.To, unit, 2))
		}
	case sequence.Tailstock:
		return tailstockHeadline(m, unit)
	case sequence.Gauge:
		return "TRY THE GAUGE", "FITS?"
	}
	return "", ""
}

func tailstockHeadline(m sequence.Tailstock, unit calc.Length) (label, big string) {
	switch {
	case m.Kind == sequence.CentreDrillTool:
		return "CENTRE DRILL", string(sequence.LengthWord(m.Diameter, unit, 2))
	case m.To <= 0:
		return "TAILSTOCK RING", "0"
	case m.Dial == nil:
		return strings.ToUpper(string(m.Kind)) + " TO THE MARK", string(sequence.LengthWord(m.To, unit, 1))
	}
	return strings.ToUpper(string(m.Kind)) + " TO", dialBig(*m.Dial)
}

// insideHeadline names the cross slide's way by the person: inside a bore it cuts
// towards them.
func insideHeadline(m sequence.Shift) (label, big string) {
	switch {
	case m.Approach == sequence.Out && m.Dial != nil:
		return "TOWARDS YOU", dialBig(*m.Dial)
	case m.WholeTurns == 1:
		return "AWAY FROM YOU", "IN 1 TURN"
	case m.WholeTurns > 1:
		return "AWAY FROM YOU", fmt.Sprintf("IN %d TURNS", m.WholeTurns)
	case m.Dial == nil:
		return "AWAY FROM YOU", "IN"
	}
	return "AWAY FROM YOU", dialBig(*m.Dial)
}

func shiftHeadline(m sequence.Shift) (label, big string) {
	if m.Inside {
		return insideHeadline(m)
	}
	slide := "CROSS SLIDE"
	if m.Slide == sequence.Top {
		slide = "TOP SLIDE"
	}
	switch {
	case sequence.Cuts(m):
		return "FEED TOP SLIDE TO", dialBig(*m.Dial)
	case m.WholeTurns == 1:
		return slide, "OUT 1 TURN"
	case m.WholeTurns > 1:
		return slide, fmt.Sprintf("OUT %d TURNS", m.WholeTurns)
	case m.Dial == nil:
		return slide, "OUT"
	}
	return slide + " IN", dialBig(*m.Dial)
}

// dialBig is a ring's setting in at most twelve characters.
func dialBig(d sequence.Dial) string {
	reading := strings.Replace(string(d.ReadingWord()), " thou", "", 1)
	if d.Outward && d.Turns < 0 {
		d.Turns = d.Past()
	}
	if d.Turns == 0 {
		return reading
	}
	for _, form := range []string{"%d turns %s", "%dT %s"} {
		if d.Turns == 1 {
			form = strings.Replace(form, "turns", "turn", 1)
		}
		if text := fmt.Sprintf(form, d.Turns, reading); len(text) <= most {
			return text
		}
	}
	return reading
}

func gearsText(m sequence.Gears) string {
	var t []string
	for i := range m.Drivers {
		t = append(t, fmt.Sprint(m.Drivers[i]), fmt.Sprint(m.Driven[i]))
	}
	return strings.Join(t, "-")
}

// keysFor is the help line.
func keysFor(s *sequence.Step, phase runner.Phase) string {
	go_ := "space/pgdn/pedal next"
	switch phase {
	case runner.Paused:
		return "p or space/pgdn/pedal go on   r again   ctrl-c stop"
	case runner.Recheck:
		return "looked? space/pgdn/pedal   r again   p pause   ctrl-c stop"
	}
	switch s.Needs {
	case sequence.NeedReading:
		go_ = "type the reading, enter"
	case sequence.NeedFit:
		go_ = "f fits  t tight  l loose"
	case sequence.NeedSignOff:
		go_ = "s, the name, enter: sign off"
	}
	return go_ + "   pgup back   r again   p pause   ctrl-c stop"
}

// sentences splits what is said into its sentences, one a line.
func sentences(text string) []string {
	var lines []string
	for rest := text; rest != ""; {
		i := strings.Index(rest, ". ")
		if i < 0 {
			return append(lines, rest)
		}
		lines = append(lines, rest[:i+1])
		rest = rest[i+2:]
	}
	return lines
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

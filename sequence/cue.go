package sequence

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"turncue/calc"
)

// Cue is what is said at a step, part by part.
type Cue []Word

// Parts are the cue's parts as plain strings, for a voice.
func (c Cue) Parts() []string {
	p := make([]string, len(c))
	for i, w := range c {
		p[i] = string(w)
	}
	return p
}

// Text is the cue as a sentence to read.
func (c Cue) Text() string {
	var b strings.Builder
	start := true
	for _, w := range c {
		switch {
		case w == Comma || w == FullStop:
			b.WriteString(string(w))
			start = w == FullStop
			continue
		case b.Len() > 0:
			b.WriteByte(' ')
		}
		text := string(w)
		if start {
			r, n := utf8.DecodeRuneInString(text)
			text = string(unicode.ToUpper(r)) + text[n:]
		}
		b.WriteString(text)
		start = false
	}
	if b.Len() > 0 && !start {
		b.WriteByte('.')
	}
	return b.String()
}

// sentence appends words as a sentence of their own.
func (c Cue) sentence(words ...Word) Cue {
	if len(words) == 0 {
		return c
	}
	if len(c) > 0 && c[len(c)-1] != FullStop {
		c = append(c, FullStop)
	}
	return append(c, words...)
}

// Compose fills the title and the cue of a step from its pass, its moves and its
// measure, so that what is shown, said and done are one thing. unit is the unit
// the job speaks.
func Compose(s *Step, unit calc.Length) {
	c := Cue{}
	if s.Note != "" {
		c = c.sentence(WordReadNote)
	}
	c = c.sentence(s.Opening...)
	s.Title = title(s)
	if len(s.Parts) > 0 {
		for _, part := range s.Parts {
			Compose(&part, unit)
			c = c.sentence(part.Cue...)
		}
		s.Cue = c.sentence(s.Closing...)
		return
	}
	if s.Of > 1 && s.Phase == PhaseSet {
		if s.Pass == s.Of && s.Op == OpThread {
			c = c.sentence(WordFinalPass, Comma, CountWord(s.Pass, s.Of))
		} else {
			c = c.sentence(WordPass, CountWord(s.Pass, s.Of))
		}
	}
	if s.Op == OpThread && (s.Phase == PhaseCut || s.Phase == PhaseReturn) {
		c = c.sentence(threadWords(s)...)
	} else if cut, out, again := sameAgain(s); again {
		home := WordOutAndBack
		if out.Inside {
			home = WordAwayAndBack
		}
		c = c.sentence(append(carriageWords(s, cut, unit), Comma, home)...)
	} else {
		for i := range s.Moves {
			c = c.sentence(moveWords(s, i, unit)...)
		}
	}
	if s.Measure != nil {
		c = c.sentence(measureWords(s.Measure)...)
		if !s.Brief {
			c = c.sentence(WordTypeReading)
		}
	}
	c = c.sentence(s.Closing...)
	for _, w := range s.Cautions {
		if !s.Brief || w == WordStopBeforeTouch && !stops(s) {
			c = c.sentence(w)
		}
	}
	s.Cue = c
}

// stops says that a step tells to stop the spindle.
func stops(s *Step) bool {
	return slices.ContainsFunc(s.Moves, func(m Move) bool {
		z, ok := m.(Spindle)
		return ok && z.Turn == Stop
	})
}

func title(s *Step) string {
	t := string(s.Op)
	if s.OfParts > 0 {
		t = string(WordPart) + " " + string(CountWord(s.Part, s.OfParts)) + ", " + t
	}
	if s.Phase != "" {
		t += ": " + phaseTitles[s.Phase]
	}
	return t
}

var phaseTitles = map[Phase]string{
	PhaseSet: "set the depth", PhaseCut: "cut", PhaseClear: "tool clear", PhaseReturn: "go back", PhaseCheck: "check",
	PhasePass: "the pass",
}

// moveWords are the words of move i; a move that another already says has none.
func moveWords(s *Step, i int, unit calc.Length) Cue {
	switch m := s.Moves[i].(type) {
	case Spindle:
		return spindleWords(s, m)
	case Hold:
		if m.Load == Round {
			return roundWords(m, unit)
		}
		c := Cue{holdWords[m.Load], Comma, WordStickOut, LengthWord(m.StickOut, unit, 1)}
		if m.Support == "centre" {
			c = Cue{WordBringUpCentre, Comma, WordCentreFirm}
		}
		return c
	case Mount:
		return mountWords(m, unit)
	case Gears:
		return gearWords(m)
	case HalfNut:
		if m.Closed {
			return shutWords(m.Marks)
		}
		return Cue{WordOpenHalfNuts}
	case Supply:
		if m.Isolated {
			return Cue{WordIsolate}
		}
		return Cue{WordPowerBack}
	case Guard:
		if m.Open {
			return Cue{WordOpenCover}
		}
		return Cue{WordShutCover}
	case ChuckKey:
		if m.In {
			return nil
		}
		return Cue{WordKeyOut}
	case Zero:
		if i > 0 && m.On == InPlace {
			if _, again := s.Moves[i-1].(Zero); again {
				return Cue{ringWords[m.Slide]}
			}
		}
		return zeroWords(m)
	case Shift:
		return shiftWords(s, m)
	case Seat:
		return Cue{WordLayInGroove}
	case Swivel:
		return swivelWords(m)
	case TaperSlide:
		return taperSlideWords(m)
	case Carriage:
		return carriageWords(s, m, unit)
	case Plunge:
		return plungeWords(s, m)
	case Tailstock:
		return tailstockWords(m, unit)
	case Clamp:
		return clampWords(m)
	case Line:
		return Cue{WordScribe, WordAt, LengthWord(m.Z, unit, 2), WordFromEnd}
	case Withdraw:
		return withdrawWords(s, m)
	case Saw:
		return Cue{WordSawOff, LengthWord(m.Z, unit, 1), WordFromEnd}
	case Gauge:
		if m.Inside {
			return Cue{WordTryPlug, FullStop, WordFitsTightLoose}
		}
		return Cue{WordTryGauge, FullStop, WordFitsTightLoose}
	}
	return nil
}

func spindleWords(s *Step, m Spindle) Cue {
	switch {
	case m.Turn == ByHand && s.Op == OpThread:
		return Cue{WordHandCrank}
	case m.Turn == ByHand:
		return Cue{WordTurnByHand}
	case m.Turn == Stop:
		return Cue{WordStopSpindle}
	}
	start := WordForward
	if m.Turn == Reverse {
		start = WordReverse
	}
	if m.Changed {
		return Cue{WordSetSpeed, SpeedWord(m.RPM), FullStop, start}
	}
	return Cue{start}
}

// run is how a thread pass or its way back is driven.
type run struct {
	along   Carriage
	turn    Turn // "" while the spindle goes on as it does
	shut    *HalfNut
	out     *Withdraw // nil where the tool is not taken out on the run
	cranked bool
}

func runOf(s *Step) (r run) {
	for _, m := range s.Moves {
		switch m := m.(type) {
		case Spindle:
			r.cranked = r.cranked || m.Turn == ByHand
			if m.Turn != Stop && r.turn == "" {
				r.turn = m.Turn
			}
		case HalfNut:
			if m.Closed && r.shut == nil {
				r.shut = &m
			}
		case Carriage:
			r.along = m
		case Withdraw:
			r.out = &m
		}
	}
	return r
}

// threadWords are the words of a thread pass and of the way back. The start comes
// last, so that nothing is said while the carriage runs, and where to switch off is
// left to the eye.
func threadWords(s *Step) Cue {
	r := runOf(s)
	if s.Phase == PhaseReturn {
		return Cue{r.back(s.RunsInto)}
	}
	if s.RunsInto == InBore {
		return r.boreWords(s)
	}
	if s.RunsInto == IntoLine {
		return r.lineWords(s)
	}
	if s.RunsInto == IntoAir {
		return r.airWords(s)
	}
	out := s.RunsInto == IntoOpen
	var c Cue
	switch {
	case s.Brief:
	case r.shut != nil:
		c = Cue{WordWatchGroove, FullStop, WordOpenInGroove, FullStop}
	case out && !r.cranked:
		c = Cue{WordOffPastEnd, FullStop}
	case !out && r.cranked:
		c = Cue{WordWatchGroove, FullStop}
	case !out:
		c = Cue{WordWatchGroove, FullStop, WordPowerOffByEye, FullStop}
	}
	if turns, err := r.along.PerRev.Turns((r.along.To - r.along.From).Abs()); err == nil && (r.cranked || !s.Brief) {
		c = append(c, WordAbout, TurnsWord(calc.Whole(turnsNear(turns))), FullStop)
	}
	c = append(c, r.begin(out)...)
	if s.Brief && !r.cranked && !out {
		c = append(c, Comma, WordWatchGroove)
	}
	return c
}

// airWords are the words of a pass that ends in air: nothing has to be met there.
func (r run) airWords(s *Step) Cue {
	var about Cue
	if turns, err := r.along.PerRev.Turns((r.along.To - r.along.From).Abs()); err == nil {
		about = Cue{WordAbout, TurnsWord(calc.Whole(turnsNear(turns))), FullStop}
	}
	start := Cue{WordForward}
	if r.shut != nil {
		start = shutWords(r.shut.Marks)
	}
	switch {
	case r.cranked:
		return append(about, WordUntilOut)
	case s.Brief:
		return append(Cue{WordUntilOut, FullStop}, start...)
	case r.shut != nil:
		return append(append(Cue{WordUntilOut, FullStop, WordOpenHalfNuts, FullStop}, about...), start...)
	}
	return append(append(Cue{WordUntilOut, FullStop}, about...), start...)
}

// begin are the words that set a pass going.
func (r run) begin(out bool) Cue {
	switch {
	case r.shut != nil:
		return shutWords(r.shut.Marks)
	case r.cranked && out:
		return Cue{WordCrankOutOf}
	case r.cranked:
		return Cue{WordCrankForward}
	case out && r.turn == Reverse:
		return Cue{WordReverseOut}
	case out:
		return Cue{WordForwardOut}
	}
	return Cue{WordForwardPass}
}

// back is the way back from a pass.
func (r run) back(into string) Word {
	toGroove := into == IntoGroove
	switch {
	case into == Beside:
		return WordBesideThread
	case r.along.By == ByHandwheel:
		return WordBackToStart
	case r.cranked && toGroove:
		return WordCrankToGroove
	case r.cranked:
		return WordCrankBack
	case toGroove && r.turn == Reverse:
		return WordReverseToGroove
	case toGroove:
		return WordForwardToGroove
	}
	return WordBackReverse
}

// shutWords are the words of shutting the half-nuts by the threading dial: "watch the
// threading dial, shut the half-nuts on line 1, 3, 5".
func shutWords(m Marks) Cue {
	switch {
	case m.None() || m.Anywhere:
		return Cue{WordShutHalfNuts}
	case m.Any:
		return Cue{WordWatchDial, Comma, WordShutAnyLine}
	}
	c := Cue{WordWatchDial, Comma, WordShutOnLine}
	for i, n := range m.Lines {
		if i > 0 {
			c = append(c, Comma)
		}
		c = append(c, NumberWord(n))
	}
	return c
}

var holdWords = map[Load]Word{"": WordHoldBar, PullOut: WordPullOut, Blank: WordLoadBlank}

// boreWords are the words of a thread pass in a bore, where nobody sees the tip: a
// mark on the bar is looked at.
func (r run) boreWords(s *Step) Cue {
	start := Cue{WordForwardBore}
	switch {
	case r.shut != nil:
		start = shutWords(r.shut.Marks)
	case r.cranked:
		start = Cue{WordCrankBore}
	}
	var about Cue
	if turns, err := r.along.PerRev.Turns((r.along.To - r.along.From).Abs()); err == nil {
		about = Cue{WordAbout, TurnsWord(calc.Whole(turnsNear(turns))), FullStop}
	}
	switch {
	case s.Brief && r.shut != nil:
		return append(Cue{WordWatchMark, FullStop}, start...)
	case s.Brief && r.cranked: // counted in turns
		return append(append(about, start...), Comma, WordWatchMark)
	case s.Brief:
		return append(start, Comma, WordWatchMark)
	}
	c := Cue{WordWatchMark, FullStop}
	switch {
	case r.shut != nil:
		c = append(c, WordOpenAtMark, FullStop)
	case !r.cranked:
		c = append(c, WordOffByMark, FullStop)
	}
	return append(append(c, about...), start...)
}

// roundWords are the words of holding a part with its other end outwards. Hard jaws get
// strips between them and what is finished.
func roundWords(m Hold, unit calc.Length) Cue {
	how := map[string]Word{HowThreeJaw: WordHoldThreeJaw, HowFourJaw: WordHoldFourJaw, HowSoftJaws: WordHoldSoftJaws, HowMandrel: WordHoldMandrel}
	c := Cue{WordTakeBarOut, FullStop, WordTurnRound, FullStop, how[m.How]}
	if m.How == HowMandrel {
		return c
	}
	c = append(c, Comma, WordStickOut, LengthWord(m.StickOut, unit, 1), FullStop)
	if m.How == HowThreeJaw || m.How == HowFourJaw {
		c = append(c, WordStrips, FullStop)
	}
	return append(c, WordGripLightly)
}

func mountWords(m Mount, unit calc.Length) Cue {
	words := map[ToolKind]Word{
		TurningTool: WordFitTurning, GroovingTool: WordFitGrooving, ChamferTool: WordFitChamfer,
		ThreadingTool: WordFitThreading, PartingTool: WordFitParting, CentreDrillTool: WordFitCentre,
		DrillTool: WordFitDrill, ReamerTool: WordFitReamer, BoringTool: WordFitBoring,
		InsideThreadingTool: WordFitInThread, InsideGroovingTool: WordFitInGroove,
		RoundingTool: WordFitRounding,
	}
	if m.Kind == NoTool {
		return Cue{WordEmptyPost}
	}
	if m.Kind == TapTool {
		return Cue{WordFitTap}
	}
	if m.Kind == KnurlingTool {
		return Cue{WordFitKnurling, Comma, WordOnCentre}
	}
	c := Cue{words[m.Kind]}
	if m.Width > 0 && (m.Kind == GroovingTool || m.Kind == PartingTool || m.Kind == InsideGroovingTool) {
		c = append(c, Comma, LengthWord(m.Width, unit, 2), WordWide)
	}
	if m.Diameter > 0 {
		c = append(c, Comma, LengthWord(m.Diameter, unit, 2))
	}
	if m.Kind.InTailstock() {
		return c
	}
	if m.Radius > 0 {
		c = append(c, Comma, WordRadius, LengthWord(m.Radius, unit, 2))
	}
	if m.Overhang > 0 {
		c = append(c, Comma, WordStickOut, LengthWord(m.Overhang, unit, 1))
	}
	if m.Inside && m.Diameter == 0 {
		c = append(c, Comma, WordTurnedInside)
	}
	if m.Angle > 0 && m.Angle != 60*calc.Degree {
		c = append(c, Comma, Word(m.Angle.String()))
	}
	if m.UpsideDown {
		c = append(c, Comma, WordUpsideDown)
	}
	return append(c, Comma, WordOnCentre)
}

func gearWords(m Gears) Cue {
	c := Cue{WordFitGears, FullStop}
	for i := range m.Drivers {
		place := WordFirstShaft
		if i > 0 {
			place = WordBeside
			c = append(c, FullStop)
		}
		c = append(c, TeethWord(m.Drivers[i]), place, Comma, WordDrives, TeethWord(m.Driven[i]))
		if i == len(m.Drivers)-1 {
			c = append(c, WordOnLeadscrew)
		} else {
			c = append(c, WordOnStud)
		}
	}
	for _, z := range m.Idlers {
		c = append(c, FullStop, WordIdler, TeethWord(z), WordBetween)
	}
	if m.Lever != "" {
		c = append(c, FullStop, WordLever)
	}
	return c
}

func zeroWords(m Zero) Cue {
	touch := map[Touch]Word{
		OnDiameter: WordTouchDiameter, OnEnd: WordTouchEnd, OnShoulder: WordTouchShoulder,
		OnCorner: WordTouchCorner, InPlace: WordTipAtEnd,
		OnBore: WordTouchBore, OnMouth: WordTouchMouth, OnStep: WordTouchStep,
	}
	if m.Slide == Sleeve { // the drill or reamer was brought up by the move before
		return Cue{WordZeroTailstock}
	}
	if m.Slide == ClampNut {
		return Cue{WordClampTouch}
	}
	return Cue{touch[m.On], Comma, ringWords[m.Slide]}
}

var ringWords = map[Slide]Word{Cross: WordZeroCross, Top: WordZeroTop, CarriageWays: WordZeroCarriage}

func shiftWords(s *Step, m Shift) Cue {
	var c Cue
	switch {
	case m.Inside:
		c = insideWords(m)
	case m.Angle != 0 && m.Approach == Out:
		c = append(Cue{WordTopOutTo}, m.Dial.Words()...)
	case m.WholeTurns != 0 && m.Approach == Out:
		c = Cue{WordCrossOut}
		if m.Slide == Top {
			c = Cue{WordTopOut}
		}
		c = append(c, wholeTurns(m.WholeTurns)...)
	case m.Dial == nil && m.Slide == Cross:
		c = Cue{WordCrossOut, WordClearOfBar}
	case m.Dial == nil || m.Slide == Cross && m.Approach == Out && m.Lash.Sign() > 0:
		c = Cue{WordTopOut, WordPastSlack}
	default:
		c = append(Cue{map[Slide]map[Way]Word{
			Cross: {In: WordCrossInTo, Out: WordCrossOutTo},
			Top:   {In: WordTopInTo, Out: WordTopOutTo},
		}[m.Slide][m.Approach]}, m.Dial.Words()...)
	}
	if !s.Brief && m.Handle != "" {
		c = append(c, Comma, handleWord(m.Handle))
	}
	return c
}

// swivelWords are the words of the top slide set to an angle, which way it is swung, and
// by what: the scale brings it near, the indicator there.
func swivelWords(m Swivel) Cue {
	c := Cue{WordSwingTop, AngleWord(m.Angle)}
	switch {
	case m.Angle == 0:
	case m.Narrows:
		c = append(c, Comma, WordHandleToYou)
	default:
		c = append(c, Comma, WordHandleAway)
	}
	if m.Travel > 0 {
		c = append(c, Comma, WordByIndicator)
	}
	return c
}

// taperSlideWords are the words of the taper slide: set and clamped, clamped as it is set,
// or freed.
func taperSlideWords(m TaperSlide) Cue {
	switch {
	case !m.Clamped:
		return Cue{WordFreeTaperSlide}
	case m.Travel == 0:
		return Cue{WordClampTaperSlide}
	}
	return Cue{WordSetTaperSlide, AngleWord(m.Angle), Comma, WordByIndicator, FullStop, WordClampTaperSlide}
}

// wholeTurns is "one full turn", "2 full turns".
func wholeTurns(n int) Cue {
	if n = max(n, -n); n != 1 {
		return Cue{NumberWord(n), WordFullTurns}
	}
	return Cue{WordFullTurn}
}

// insideWords are the words of the cross slide with the tool in a bore: each names
// the way as seen from the handle.
func insideWords(m Shift) Cue {
	switch {
	case m.WholeTurns != 0 && m.Approach == In:
		return append(Cue{WordAway, Comma}, wholeTurns(m.WholeTurns)...)
	case m.Dial == nil:
		return Cue{WordAway, Comma, WordClearOfBore}
	case m.Approach == In:
		return append(Cue{WordAwayTo}, m.Dial.Words()...)
	}
	return append(Cue{WordTowardsTo}, m.Dial.Words()...)
}

// tailstockWords are the words of a drill, a reamer or a centre drill.
func tailstockWords(m Tailstock, unit calc.Length) Cue {
	if m.Kind == CentreDrillTool {
		return Cue{WordCentre}
	}
	if m.Kind == TapTool {
		return tapWords(m)
	}
	to, mark, at := WordDrillTo, WordDrillToMark, WordCornersAtEnd
	if m.Kind == ReamerTool {
		to, mark, at = WordReamTo, WordReamToMark, WordReamerAtEnd
	}
	switch {
	case m.To <= 0:
		return Cue{at}
	case m.Dial == nil:
		c := Cue{mark, Comma, LengthWord(m.To, unit, 1)}
		if m.Kind == DrillTool {
			c = append(c, WordFromCorners)
		}
		return c
	}
	return append(append(Cue{to}, m.Dial.Words()...), WordOnSleeve)
}

// tapWords are the words of a tap: turns to count, for nothing else tells its depth.
func tapWords(m Tailstock) Cue {
	c := Cue{WordTapIn}
	if turns, err := m.PerRev.Turns(m.To - m.From); err == nil {
		c = append(c, Comma, WordAbout, TurnsWord(turns))
	}
	return append(c, FullStop, WordFollow)
}

func handleWord(r Rotation) Word {
	if r == Clockwise {
		return WordClockwise
	}
	return WordAnticlockwise
}

func carriageWords(s *Step, m Carriage, unit calc.Length) Cue {
	switch {
	case m.Cutting && m.Dial == nil && s.Op == OpBore:
		return Cue{WordToBarMark}
	case m.Cutting && m.X != 0: // the taper slide leads it out
		return Cue{WordUntilOut}
	case m.Cutting && m.Dial == nil:
		return Cue{WordToLine, WordAt, LengthWord(m.To, unit, 2), WordFromEnd}
	case m.Cutting && s.Brief:
		return append(Cue{WordFeedTo}, m.Dial.Words()...)
	case m.Cutting:
		return append(append(Cue{WordFeedTo}, m.Dial.Words()...), WordOnRing)
	case m.To < 0 && s.Brief:
		return Cue{WordBackToStart}
	case m.To < 0:
		return Cue{WordInFront, WordBy, LengthWord(-m.To, unit, 1)}
	case m.Dial != nil:
		return append(append(Cue{WordCarriageTo}, m.Dial.Words()...), WordOnRing)
	}
	return Cue{WordCarriageTo, LengthWord(m.To, unit, 1), WordFromEnd}
}

// sameAgain says that a step is one more pass along the work, clear by one turn and
// back to the start: heard before, it is said in few words.
func sameAgain(s *Step) (cut Carriage, out Shift, ok bool) {
	if !s.Brief || s.Phase != PhaseCut || len(s.Moves) != 3 {
		return cut, out, false
	}
	cut, along := s.Moves[0].(Carriage)
	out, clear := s.Moves[1].(Shift)
	back, home := s.Moves[2].(Carriage)
	return cut, out, along && clear && home && cut.Cutting && out.WholeTurns == 1 && !back.Cutting && back.To == cut.From
}

// turnsNear rounds a number of turns to a whole one, halves up.
func turnsNear(r calc.Ratio) int64 { return (2*r.Num() + r.Den()) / (2 * r.Den()) }

func plungeWords(s *Step, m Plunge) Cue {
	switch {
	case m.Inside && m.Dial != nil:
		c := append(Cue{WordFeedTowards}, m.Dial.Words()...)
		if m.Handle != "" && !s.Brief {
			c = append(c, Comma, handleWord(m.Handle))
		}
		return c
	case m.To > m.From && m.Dial == nil:
		return Cue{WordCrossOut, WordClearOfBar}
	case m.To > m.From:
		return append(Cue{WordCrossOutTo}, m.Dial.Words()...)
	case s.Op == OpFace && m.To < 0:
		return Cue{WordFaceAcross, Comma, WordPastNose}
	case s.Op == OpFace:
		return Cue{WordFaceAcross}
	case s.Op == OpPartOff && m.Dial == nil:
		return Cue{WordFeedInThrough}
	case m.Dial == nil:
		return nil
	case s.Op == OpKnurl:
		return knurlPlungeWords(s, m)
	case s.Op == OpShoulder:
		return append(Cue{WordFaceShoulder}, m.Dial.Words()...)
	}
	c := append(Cue{WordFeedIn}, m.Dial.Words()...)
	if m.Handle != "" && !s.Brief {
		c = append(c, Comma, handleWord(m.Handle))
	}
	return c
}

func measureWords(m *Measure) Cue {
	ask := map[string]Word{
		MeasureDiameter: WordMeasureDiameter, MeasureGroove: WordMeasureGroove, MeasureLength: WordMeasureLength,
		MeasureEdge: WordMeasureEdge, MeasureRunOut: WordRunOut, MeasureThreads: WordMeasureThreads,
		MeasureBore: WordMeasureBore, MeasureDepth: WordMeasureDepth, MeasureOverAll: WordMeasureOverAll, MeasureRing: WordReadCrossRing,
		MeasureSmall: WordMeasureSmall, MeasureAlong: WordMeasureDiameter, MeasureRingOn: WordMeasureRingOn,
		MeasureMouth: WordMeasureMouth, MeasureWithin: WordMeasureBore, MeasureKnurl: WordMeasureKnurl,
	}
	c := Cue{ask[m.What]}
	if m.What == MeasureAlong || m.What == MeasureWithin {
		c = append(c, Comma, LengthWord(m.At, m.Unit, 1), WordFromEnd)
	}
	if m.Threads > 0 {
		if m.Threads == 1 {
			c = append(c, Comma, WordOneToNext)
		} else {
			c = append(c, Comma, NumberWord(m.Threads), WordThreads)
		}
	}
	switch {
	case m.What == MeasureRunOut:
		c = append(c, Comma, WordNoMoreThan, LengthWord(m.Max, m.Unit, 3))
	case m.Final:
		c = append(c, FullStop, WordLimits, SizeWord(m.Min, m.Unit), WordAnd, SizeWord(m.Max, m.Unit))
	default:
		c = append(c, FullStop, WordShouldBeNear, LengthWord(m.Nominal, m.Unit, 3))
	}
	return c
}

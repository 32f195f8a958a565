package runner

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"turncue/sequence"
)

// Next decides what an event means. It reads no clock and touches nothing, so a
// journal replayed through it ends in the same state. After Halt or Fault, and after
// the last step, every event but Resume has no effect at all; Resume, which only
// the opening of a run sends, has none after the last step either.
//
// Every Say is preceded by a Hush: what was being said is then out of date. A
// Record stands first, and everything that changes where the run is has one.
//
// A step whose reading, answer or sign-off was accepted before may be passed by a
// press when it is seen again; a new one takes the place of the old, both stay in
// the journal, and a different one withdraws the later answers of that section.
func Next(s State, e Event) (State, []Effect) {
	if s.plan == nil || e.Kind == nil {
		return s, nil
	}
	e.At = e.At.Truncate(time.Millisecond)
	if _, opens := e.Kind.(Resume); s.over() && (!opens || s.phase == Done) {
		return s, nil
	}
	s.screen.now = e.At
	switch k := e.Kind.(type) {
	case Halt:
		return s.end(e, Stopped, Halted, sequence.Cue{sequence.WordStopped}, "")
	case Fault:
		return s.end(e, Stopped, Failed, sequence.Cue{sequence.WordFault}, oneLine(k.Text))
	case Begin:
		return s.begin(e)
	case Resume:
		return s.resume(e)
	}
	if _, sound := e.Kind.(SoundEnded); sound || s.phase == Ready {
		return s, nil
	}
	if e.Guard != 0 && e.Guard != s.pos+1 {
		return s.quiet(fmt.Sprintf("that was meant for step %d, this is step %d", e.Guard, s.pos+1))
	}
	switch k := e.Kind.(type) {
	case TimePassed, Status:
		return s, []Effect{Show{s.Frame()}}
	case Missing:
		return s.without(oneLine(k.Text))
	case Again:
		return s.speak(s.screen.prompt, s.screen.spoken, "")
	case Note:
		return s.note(e, oneLine(k.Text))
	case Pause:
		if s.phase == Paused {
			return s.refuse(sequence.WordNotNow, "already paused: go on with go or a press")
		}
		return s.pause(e)
	}
	switch s.phase {
	case Paused:
		return s.whilePaused(e)
	case Recheck:
		return s.whileChecking(e)
	}
	switch k := e.Kind.(type) {
	case Advance:
		return s.advance(e)
	case Back:
		return s.back(e)
	case Reading:
		return s.reading(e, k)
	case Answer:
		return s.answer(e, k.Fit)
	case SignOff:
		return s.signOff(e, oneLine(k.Name))
	case Go:
		return s.refuse(sequence.WordNotNow, "the run is not paused")
	}
	return s, nil
}

// oneLine keeps what people typed to one line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// say silences what was being said, beeps, says a cue and shows it.
func (s State) say(c sequence.Cue, b Beep, before ...Effect) (State, []Effect) {
	return s.speak(c, c, b, before...)
}

// prompt says the step, after an opening, in as many words as the run is to use.
func (s State) prompt(opening sequence.Cue, b Beep, before ...Effect) (State, []Effect) {
	if len(opening) > 0 {
		opening = append(slices.Clip(opening), sequence.FullStop)
	}
	opening = slices.Clip(opening) // two cues are made of it
	spoken := Spoken(s.Step(), s.plan.Unit, s.setup.Words)
	return s.speak(append(opening, s.Step().Cue...), append(opening, spoken...), b, before...)
}

func (s State) speak(shown, spoken sequence.Cue, b Beep, before ...Effect) (State, []Effect) {
	s.screen.prompt, s.screen.spoken = shown, spoken
	effects := append(before, Hush{})
	if b != "" {
		effects = append(effects, b)
	}
	return s, append(effects, Say{spoken, s.Step().ID}, Show{s.Frame()})
}

// quiet refuses on the screen and with a beep alone; what is being said goes on.
func (s State) quiet(notice string) (State, []Effect) {
	s.screen.notice, s.screen.refused = notice, true
	return s, []Effect{BeepRefused, Show{s.Frame()}}
}

// refuse says why an entry was not taken; what was said before comes back with Again.
func (s State) refuse(w sequence.Word, notice string, before ...Effect) (State, []Effect) {
	s.screen.notice, s.screen.refused = notice, true
	return s, append(before, Hush{}, BeepRefused, Say{sequence.Cue{w}, s.Step().ID}, Show{s.Frame()})
}

func (s State) begin(e Event) (State, []Effect) {
	if s.phase != Ready {
		return s, nil
	}
	r := record(s, e, Accepted)
	s.phase = Running
	s.screen.since = e.At
	return s.prompt(nil, s.arrival(BeepAdvance), r)
}

func (s State) resume(e Event) (State, []Effect) {
	if s.phase == Ready {
		return s, nil
	}
	r := record(s, e, Accepted)
	s.screen = screen{now: e.At, since: e.At}
	return s.recheck(r, nil)
}

// end leaves the run for good. Silence comes first.
func (s State) end(e Event, p Phase, how Ending, c sequence.Cue, text string) (State, []Effect) {
	r := record(s, e, Accepted)
	s.phase = p
	s.screen.notice, s.screen.refused = c.Text(), false
	beep := BeepAttention
	if how == Failed {
		beep = BeepFault
		s.screen.notice = strings.TrimSpace(c.Text() + " " + text)
	}
	s, effects := s.say(c, beep, r)
	return s, append(effects, Finish{how, text})
}

func (s State) without(text string) (State, []Effect) {
	if text == "" || slices.Contains(s.screen.missing, text) {
		return s, nil
	}
	s.screen.missing = append(slices.Clone(s.screen.missing), text)
	s.screen.notice, s.screen.refused = text, false
	return s, []Effect{BeepAttention, Show{s.Frame()}}
}

func (s State) note(e Event, text string) (State, []Effect) {
	if text == "" {
		return s.quiet("an empty note: write it after the word note")
	}
	r := record(s, Event{At: e.At, Kind: Note{text}}, Accepted)
	s.screen.notice, s.screen.refused = sequence.Cue{sequence.WordNoted}.Text(), false
	return s, []Effect{r, Show{s.Frame()}}
}

func (s State) pause(e Event) (State, []Effect) {
	r := record(s, e, Accepted)
	s.phase = Paused
	s.screen.notice, s.screen.refused = "", false
	return s.say(sequence.Cue{sequence.WordPaused}, BeepAttention, r)
}

// whilePaused takes a press for going on: a foot alone can end a pause, and the
// re-check that follows takes another press.
func (s State) whilePaused(e Event) (State, []Effect) {
	switch e.Kind.(type) {
	case Go, Advance:
		r := record(s, e, Accepted)
		return s.recheck(r, sequence.Cue{sequence.WordGoingOn, sequence.FullStop})
	}
	return s.refuse(sequence.WordNotNow, "the run is paused: go on with go or a press")
}

func (s State) recheck(r Record, opening sequence.Cue) (State, []Effect) {
	s.phase = Recheck
	s.screen.notice, s.screen.refused = "", false
	return s.say(append(opening, s.checkWords()...), BeepAttention, r)
}

func (s State) whileChecking(e Event) (State, []Effect) {
	if _, ok := e.Kind.(Advance); !ok {
		return s.refuse(sequence.WordRecheck, "check the lathe first, then press")
	}
	r := record(s, e, Rechecked)
	s.phase, s.repeated = Running, true
	s.screen.notice, s.screen.since = "", e.At
	s.screen.refused = false
	return s.prompt(sequence.Cue{sequence.WordNotConfirmed}, s.arrival(BeepAdvance), r)
}

func (s State) advance(e Event) (State, []Effect) {
	if !s.answered() {
		return s.unanswered()
	}
	r := record(s, e, Accepted)
	return s.forward(e.At, r, nil, "")
}

func (s State) unanswered() (State, []Effect) {
	switch s.Step().Needs {
	case sequence.NeedReading:
		return s.refuse(sequence.WordNeedsReading, "a reading is needed here: type what you measured, with its unit")
	case sequence.NeedFit:
		return s.refuse(sequence.WordNeedsFit, "an answer is needed here: fits, tight or loose")
	}
	return s.refuse(sequence.WordNeedsSignOff, "a sign-off is needed here: type sign and the name of who watched")
}

// forward goes on by one step, or ends the run after the last.
func (s State) forward(at time.Duration, r Record, opening sequence.Cue, notice string) (State, []Effect) {
	s.far = max(s.far, s.pos+1)
	s.screen.notice, s.screen.refused = notice, false
	s.tries, s.repeated = nil, false
	if s.pos+1 == len(s.plan.Steps) {
		s.phase = Done
		s.screen.prompt = nil
		r.Ended = true
		return s, []Effect{r, Hush{}, BeepDone, Show{s.Frame()}, Finish{Finished, ""}}
	}
	s.pos++
	s.screen.since = at
	return s.prompt(opening, s.arrival(BeepAdvance), r)
}

// arrival is the beep of coming to this step.
func (s State) arrival(plain Beep) Beep {
	st := s.Step()
	switch {
	case !s.answered() && st.Needs == sequence.NeedReading:
		return BeepMeasure
	case st.Op == sequence.OpThread && (st.Phase == sequence.PhaseSet || st.Phase == sequence.PhasePass) && st.Of > 1 && st.Pass == st.Of:
		return BeepLastPass
	}
	return plain
}

func (s State) back(e Event) (State, []Effect) {
	if s.pos == 0 {
		return s.refuse(sequence.WordNotNow, "this is the first step")
	}
	r := record(s, e, Accepted)
	s.pos--
	s.tries, s.repeated = nil, false
	s.screen.since, s.screen.notice, s.screen.refused = e.At, "", false
	return s.prompt(nil, BeepBack, r)
}

func (s State) answer(e Event, fit sequence.Fit) (State, []Effect) {
	if s.Step().Needs != sequence.NeedFit {
		return s.refuse(sequence.WordNotNow, "no gauge is tried at this step")
	}
	note := ""
	switch fit {
	case sequence.Fits:
	case sequence.Tight:
		note = "tight: the smallest useful pass is added"
	case sequence.Loose:
		return s.doubt(e, TooLoose, sequence.WordTooLoose,
			"too loose: leave it in the chuck and try once more; if it stays so, sleeve it, make it anew, or see whether a smaller thread will do")
	default:
		return s.quiet(fmt.Sprintf("%q is no answer of a gauge: fits, tight or loose", string(fit)))
	}
	if n := len(s.tries); n > 0 && s.tries[n-1].fit != fit && doubtful(s.tries[n-1].verdict) {
		return s.doubt(e, Questioned, sequence.WordNeedsFit,
			fmt.Sprintf("%s, and just before %s: try the gauge once more and answer again", fit, s.tries[n-1].fit))
	}
	return s.take(e, Accepted, fitAnswer(fit), nil, note)
}

// doubt keeps the step after an answer of the gauge that speaks against going on; the
// next different one must be given twice.
func (s State) doubt(e Event, result Result, w sequence.Word, notice string) (State, []Effect) {
	r := record(s, e, result)
	s = s.withdraw()
	s.tries = append(slices.Clip(s.tries), try{fit: r.Fit, verdict: result})
	return s.refuse(w, notice, r)
}

func (s State) signOff(e Event, name string) (State, []Effect) {
	if name == "" {
		return s.quiet("a sign-off has a name: type sign and the name of who watched")
	}
	learner, instructor := s.setup.Teaching.Learner, s.setup.Teaching.Instructor
	switch Signs(s.Step()) {
	case RoleNone:
		return s.refuse(sequence.WordNotNow, "nothing is signed off at this step")
	case RoleLearner:
		if learner != "" && !sameName(name, learner) {
			return s.refuse(sequence.WordNotNow, fmt.Sprintf("%s signs this line, not %s", learner, name))
		}
	case RoleInstructor:
		switch {
		case learner != "" && sameName(name, learner):
			return s.refuse(sequence.WordNotNow, fmt.Sprintf("%s is learning: whoever watched signs", name))
		case instructor != "" && !sameName(name, instructor):
			return s.refuse(sequence.WordNotNow, fmt.Sprintf("%s watches this run and signs here, not %s", instructor, name))
		}
	}
	r := record(s, Event{At: e.At, Kind: SignOff{name}}, Accepted)
	if s.signed[s.Step().ID] != name {
		s.signed = maps.Clone(s.signed)
		if s.signed == nil {
			s.signed = map[string]string{}
		}
		s.signed[s.Step().ID] = name
	}
	return s.forward(e.At, r, nil, "")
}

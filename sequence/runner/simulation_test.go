package runner

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"reflect"
	"runtime/debug"
	"slices"
	"sync"
	"testing"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

const (
	simulationSeed = 20
	simulationRuns = 10_000
)

// durable is what a journal keeps of a state.
func durable(s State) State {
	s.screen = screen{}
	return s
}

// willing is the event that gets a person on from here.
func willing(s State, r *rand.Rand) Kind {
	st := s.Step()
	switch {
	case s.phase != Running:
		return Advance{}
	case st.Needs == sequence.NeedReading:
		m := st.Measure
		return Reading{Value: m.Min + calc.Length(r.Int64N(int64(m.Max-m.Min+1)))}
	case st.Needs == sequence.NeedFit:
		return Answer{sequence.Fits}
	case Signs(st) == RoleLearner:
		return SignOff{"Tom"}
	case st.Needs == sequence.NeedSignOff:
		return SignOff{"Ada"}
	}
	return Advance{}
}

// clumsy is any event, right or wrong.
func clumsy(s State, r *rand.Rand) Kind {
	at := 10 * calc.Millimetre
	if m := s.Step().Measure; m != nil {
		at = m.Nominal
	}
	slips := []calc.Length{
		0, -at, at / 2, at * 10, at + calc.Millimetre/2, at - calc.Millimetre/2, at + calc.Millimetre, at + 25*calc.Thou,
		at * 10 / 254, at + 120*calc.Micrometre, at - 120*calc.Micrometre, at + 30*calc.Micrometre, at + 5*calc.Millimetre,
		15 * calc.Millimetre, 10 * calc.Micrometre, calc.Length(r.Uint64()),
	}
	switch r.IntN(16) {
	case 0, 1:
		return Advance{}
	case 2:
		return Back{}
	case 3, 4, 5:
		if n := len(s.tries); n > 0 && r.IntN(2) == 0 {
			return Reading{Value: s.tries[n-1].value + calc.Length(r.IntN(8000)-4000)}
		}
		return Reading{Value: slips[r.IntN(len(slips))]}
	case 6:
		return Reading{at, []calc.Length{slips[r.IntN(len(slips))], at + calc.Length(r.IntN(20000))}}
	case 7:
		return Answer{[]sequence.Fit{sequence.Fits, sequence.Tight, sequence.Tight, sequence.Loose, "neat"}[r.IntN(5)]}
	case 8:
		return Pause{}
	case 9:
		return Go{}
	case 10:
		return Note{[]string{"", "chatter", " two\nlines "}[r.IntN(3)]}
	case 11:
		return SignOff{[]string{"", "Ada", "Ben", "tom"}[r.IntN(4)]}
	case 12:
		return []Kind{SoundEnded{}, TimePassed{}, Status{}}[r.IntN(3)]
	case 13:
		return []Kind{Again{}, Missing{"no pedal"}, Missing{"no sound"}}[r.IntN(3)]
	case 14:
		if r.IntN(8) == 0 {
			return []Kind{Halt{}, Fault{"the voice failed"}}[r.IntN(2)]
		}
		return Advance{}
	}
	return []Kind{Begin{}, Resume{}, Advance{}, nil}[r.IntN(4)]
}

func TestSimulation(t *testing.T) {
	t.Parallel()
	t.Logf("seed %d", simulationSeed)
	defer debug.SetGCPercent(debug.SetGCPercent(400))
	var wg sync.WaitGroup
	var mu sync.Mutex
	ended := map[Phase]int{}
	for w := range 4 {
		wg.Go(func() {
			for run := w; run < simulationRuns && !t.Failed(); run += 4 {
				p := simulate(t, run)
				mu.Lock()
				ended[p]++
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	t.Logf("runs ended: %v", ended)
	for _, p := range []Phase{Stopped, Done, Running} {
		if ended[p] < simulationRuns/50 {
			t.Errorf("only %d of %d runs ended %s: the simulation does not reach there", ended[p], simulationRuns, p)
		}
	}
}

func simulate(t *testing.T, run int) Phase {
	r := rand.New(rand.NewPCG(simulationSeed, uint64(run)))
	part := randomPart(r)
	fresh, err := part.start("Tom")
	if run%4 == 3 { // every fourth run is taught, and speaks otherwise
		fresh, err = part.taughtStart(Teaching{"Tom", "Ada"}, Words(run/4%3))
	}
	if err != nil {
		t.Errorf("run %d: %v", run, err)
		return Ready
	}
	s := fresh
	var records []Record
	at := time.Duration(0)
	step := func(k Kind) bool {
		at += time.Duration(r.Int64N(int64(3 * time.Second)))
		e := Event{At: at, Kind: k}
		if r.IntN(30) == 0 {
			e.Guard = 1 + r.IntN(len(s.plan.Steps))
		}
		kept := s
		kept.readings, kept.signed, kept.tries = s.Readings(), maps.Clone(s.signed), slices.Clone(s.tries)
		next, effects := Next(s, e)
		if !unchanged(s, kept) {
			t.Errorf("run %d: Next changed the state it was given: event %#v", run, e)
			return false
		}
		if bad := broken(s, e, next, effects); bad != "" {
			t.Errorf("run %d: %s: event %#v at %s", run, bad, e, s.Frame())
			return false
		}
		for _, f := range effects {
			if rec, ok := f.(Record); ok {
				rec.N = len(records) + 1
				records = append(records, rec)
			}
		}
		s = next
		return true
	}
	if !step(Begin{}) {
		return s.phase
	}
	eager := r.IntN(10)
	for range 120 {
		if s.phase == Done || s.phase == Stopped && r.IntN(3) > 0 {
			break
		}
		k := clumsy(s, r)
		if r.IntN(10) < eager {
			k = willing(s, r)
		}
		if !step(k) {
			return s.phase
		}
		if r.IntN(40) == 0 { // the power fails, and the run is taken up again
			if s = replayed(t, run, records, fresh, s); t.Failed() || !step(Resume{}) {
				return s.phase
			}
		}
	}
	replayed(t, run, records, fresh, s)
	return s.phase
}

// replayed is the state from the records alone, and must be the live one.
func replayed(t *testing.T, run int, records []Record, fresh, live State) State {
	if run%20 == 0 { // through the written form
		for i, r := range records {
			b, err := json.Marshal(r)
			var back Record
			if err == nil {
				err = json.Unmarshal(b, &back)
			}
			if err != nil || !reflect.DeepEqual(back, r) {
				t.Errorf("run %d: record %s is not itself after writing and reading: %v, %v", run, r, back, err)
			}
			records[i] = back
		}
	}
	s, err := Replay(records, fresh)
	if err != nil {
		t.Errorf("run %d: replay: %v", run, err)
	}
	if !reflect.DeepEqual(durable(s), durable(live)) {
		t.Errorf("run %d: replay is at %s, live at %s", run, s.Frame(), live.Frame())
	}
	return s
}

// broken names the rule that a step of Next breaks, or "".
func broken(s State, e Event, next State, effects []Effect) string {
	moved := next.pos - s.pos
	recorded, said, hushed := 0, 0, false
	for i, f := range effects {
		switch f := f.(type) {
		case Record:
			recorded++
			if i != 0 {
				return "a record is not first"
			}
		case Hush:
			hushed = true
		case Say:
			said++
			if !hushed {
				return "something is said over the old instruction"
			}
			if len(f.Cue) == 0 {
				return "nothing is said"
			}
		case Beep:
			if said > 0 {
				return "a beep comes after the words it should announce"
			}
		}
	}
	same := unchanged(s, next)
	switch {
	case said > 1:
		return "two things are said at once"
	case recorded > 1:
		return "two records of one event"
	case recorded == 0 && !same:
		return "the state changed without a record"
	case s.over() && s.phase != next.phase && !is[Resume](e):
		return "the run went on after its end"
	case s.over() && !is[Resume](e) && len(effects) > 0:
		return "an effect after the end"
	case s.phase == Done && len(effects) > 0:
		return "an effect after the last step"
	case s.phase != Running && moved != 0:
		return "a move outside the run"
	case e.Guard != 0 && e.Guard != s.pos+1 && !same && !is[Halt](e) && !is[Fault](e) && !is[Begin](e) && !is[Resume](e):
		return "an event meant for another step changed something"
	}
	switch e.Kind.(type) {
	case Advance, Reading, Answer, SignOff:
		if moved < 0 || moved > 1 {
			return "more than one step at once"
		}
	case Back:
		if moved < -1 || moved > 0 {
			return "back by more than one step"
		}
	case TimePassed, SoundEnded, Status:
		if !same || said > 0 {
			return "time or sound moved something"
		}
		if is[SoundEnded](e) && len(effects) > 0 {
			return "the end of a sound has an effect"
		}
	default:
		if moved != 0 {
			return "moved by what is no confirmation"
		}
	}
	if name := next.signed[s.Step().ID]; is[SignOff](e) && moved == 1 {
		who := s.setup.Teaching
		switch role := Signs(s.Step()); {
		case (role == RoleLearner) != sameName(name, who.Learner):
			return "the wrong one signed: " + name
		case role == RoleInstructor && who.Instructor != "" && !sameName(name, who.Instructor):
			return "a stranger signed: " + name
		}
	}
	finished := next.phase == Done && s.phase != Done
	if moved == 1 || finished {
		if bad := passed(s, e, next); bad != "" {
			return bad
		}
	}
	for i := range min(s.pos, len(next.plan.Steps)) {
		a, b := s.plan.Steps[i], next.plan.Steps[i]
		if s.plan != next.plan && !reflect.DeepEqual(a, b) {
			return "a step behind us changed"
		}
	}
	if (e.At/time.Millisecond)%4 != 0 { // the rest looks at every fourth event, for speed
		return ""
	}
	again, effectsAgain := Next(s, e)
	if len(effects) != len(effectsAgain) || again.pos != next.pos || again.phase != next.phase {
		return "the same event came out differently"
	}
	return ""
}

// unchanged says that nothing a journal keeps differs.
func unchanged(a, b State) bool {
	return a.phase == b.phase && a.pos == b.pos && a.far == b.far && a.repeated == b.repeated && a.plan == b.plan &&
		maps.Equal(a.readings.Lengths, b.readings.Lengths) && maps.Equal(a.readings.Fits, b.readings.Fits) &&
		maps.Equal(a.signed, b.signed) && slices.Equal(a.tries, b.tries)
}

func is[K Kind](e Event) bool {
	_, ok := e.Kind.(K)
	return ok
}

// passed checks that a step was passed with what it needs.
func passed(s State, e Event, next State) string {
	st := s.Step()
	v, measured := next.readings.Lengths[st.ID]
	fit := next.readings.Fits[st.ID]
	switch st.Needs {
	case sequence.NeedPress:
		if !is[Advance](e) {
			return "passed without a press"
		}
	case sequence.NeedReading:
		if !measured {
			return "passed without a reading"
		}
		if is[Advance](e) && !maps.Equal(s.readings.Lengths, next.readings.Lengths) {
			return "a press changed a reading"
		}
		m := st.Measure
		switch {
		case v >= m.Min && v <= m.Max:
		case m.What == sequence.MeasureRunOut || m.What == sequence.MeasureThreads:
			return "passed outside its limits"
		case m.Final && m.Grows == (v > m.Max):
			return "passed past saving"
		case m.Final:
			if !slices.ContainsFunc(next.plan.Steps[s.pos+1:], func(n sequence.Step) bool {
				return n.Section == st.Section && n.Measure != nil && n.Measure.What == m.What && n.Measure.Final
			}) {
				return "passed over size with no further cut"
			}
		case is[Reading](e) && len(s.tries) == 0 && s.readings.Lengths[st.ID] != v:
			return "an unlikely reading passed at once"
		}
	case sequence.NeedFit:
		if fit != sequence.Fits && fit != sequence.Tight {
			return "passed without a fit"
		}
	case sequence.NeedSignOff:
		if n := next.signed[st.ID]; n == "" || Signs(st) == RoleInstructor && (n == "Tom" || n == "tom") {
			return "passed without a sign-off"
		}
	}
	return ""
}

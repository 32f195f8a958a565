package runner

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

const (
	mm = calc.Millimetre
	um = calc.Micrometre
)

var millimetrePitch = calc.PerTurn(mm)

func composed(st sequence.Step) *sequence.Step {
	sequence.Compose(&st, mm)
	return &st
}

func ringAt(turns int, reading calc.Length) *sequence.Dial {
	return &sequence.Dial{Turns: turns, Reading: reading, Division: 20 * um, Unit: mm}
}

func TestSpokenInThreeLengths(t *testing.T) {
	set := composed(sequence.Step{
		Op: sequence.OpRough, Phase: sequence.PhaseSet, Pass: 2, Of: 6, Brief: true, Opening: sequence.Cue{sequence.WordRough},
		Cautions: []sequence.Word{sequence.WordNearJaws},
		Moves: []sequence.Move{
			sequence.Shift{Slide: sequence.Cross, Approach: sequence.Out, WholeTurns: 1, Handle: sequence.Anticlockwise},
			sequence.Shift{Slide: sequence.Cross, Approach: sequence.In, Dial: ringAt(1, 840*um), Handle: sequence.Clockwise},
		},
	})
	clear := composed(sequence.Step{
		Op: sequence.OpThread, Phase: sequence.PhaseClear, Cautions: []sequence.Word{sequence.WordToolClearFirst},
		Moves: []sequence.Move{sequence.Shift{Slide: sequence.Cross, Approach: sequence.Out, WholeTurns: 1, Handle: sequence.Anticlockwise}},
	})
	pass := composed(sequence.Step{
		Op: sequence.OpThread, Phase: sequence.PhaseCut,
		Moves: []sequence.Move{sequence.Spindle{Turn: sequence.Forward}, sequence.Carriage{To: 18 * mm, PerRev: millimetrePitch, Cutting: true}},
	})
	size := composed(sequence.Step{
		Op: sequence.OpFinish, Moves: []sequence.Move{sequence.Spindle{Turn: sequence.Stop}},
		Measure: &sequence.Measure{What: sequence.MeasureDiameter, Nominal: 10 * mm, Min: 9980 * um, Max: 10 * mm, Final: true, Unit: mm},
	})
	groove := composed(sequence.Step{
		Op: sequence.OpUndercut, Phase: sequence.PhaseCut, Brief: true, Moves: []sequence.Move{
			sequence.Plunge{From: 12 * mm, To: 9 * mm, Dial: ringAt(0, 1280*um), PerRev: millimetrePitch},
			sequence.Shift{Slide: sequence.Cross, Approach: sequence.Out, WholeTurns: 1, Handle: sequence.Anticlockwise},
		},
	})
	touch := composed(sequence.Step{Moves: []sequence.Move{
		sequence.Spindle{Turn: sequence.Forward, RPM: 500 * calc.RPM, Changed: true}, sequence.Zero{Slide: sequence.Cross, On: sequence.OnDiameter},
	}})
	for _, c := range []struct {
		name  string
		step  *sequence.Step
		words Words
		want  string
	}{
		{"set", set, ShortWords, "Rough. Pass 2 of 6. Wind the cross slide out one full turn. Cross slide in to 1 turn and 0.84."},
		{"set", set, FullWords, "Rough. Pass 2 of 6. Wind the cross slide out one full turn, anticlockwise. Cross slide in to 1 turn and 0.84, clockwise. Mind the jaws."},
		{"set", set, NumbersOnly, "2 of 6. Cross slide in to 1 turn and 0.84."},
		{"clear", clear, NumbersOnly, "Wind the cross slide out one full turn."},
		{"groove", groove, NumbersOnly, "Feed in to 1.28. Wind the cross slide out one full turn."}, // the next move is along
		{"pass", pass, NumbersOnly, "Forward, into the groove, watch the groove."},
		{"pass", pass, FullWords, "Watch the groove. Power off when your own eye sees the tool in the groove. About 18 turns. Forward, into the groove."},
		{"size", size, NumbersOnly, "The limits are 9.980 mm and 10.000 mm."},
		{"touch", touch, NumbersOnly, "500 rpm. Set the cross slide ring to zero."},
	} {
		if got := Spoken(c.step, mm, c.words).Text(); got != c.want {
			t.Errorf("%s, %s:\n got %s\nwant %s", c.name, c.words, got, c.want)
		}
	}
}

// The screen and what Again repeats keep their length; the journal knows nothing of
// it.
func TestWordsChangeOnlyWhatIsSaid(t *testing.T) {
	plan, err := taughtPart.plan(sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	for i := range plan.Steps {
		plan.Steps[i].Brief = false
		sequence.Compose(&plan.Steps[i], plan.Unit)
	}
	said := map[Words]string{}
	var records string
	for _, w := range []Words{ShortWords, FullWords, NumbersOnly} {
		s, err := Start(Setup{Plan: plan, Words: w})
		if err != nil {
			t.Fatal(err)
		}
		var rec, voice strings.Builder
		step := func(k Kind) {
			var effects []Effect
			s, effects = Next(s, Event{Kind: k})
			for _, f := range effects {
				switch f := f.(type) {
				case Record:
					rec.WriteString(f.String() + "\n")
				case Say:
					voice.WriteString(f.Cue.Text() + "\n")
				case Show:
					if full := s.Step().Cue.Text(); !strings.HasSuffix(f.Frame.Prompt.Text(), full) {
						t.Fatalf("%s: the screen shows %q, not %q", w, f.Frame.Prompt.Text(), full)
					}
				}
			}
		}
		step(Begin{})
		step(Again{})
		for range 6 {
			if st := s.Step(); st.Needs == sequence.NeedReading {
				step(Reading{Value: st.Measure.Nominal})
				continue
			}
			step(Advance{})
		}
		lines := strings.Split(voice.String(), "\n")
		if lines[0] != lines[1] {
			t.Errorf("%s: said %q, again %q", w, lines[0], lines[1])
		}
		said[w] = voice.String()
		if records == "" {
			records = rec.String()
		}
		if rec.String() != records {
			t.Errorf("%s: the records differ:\n%s\n%s", w, rec.String(), records)
		}
	}
	if said[NumbersOnly] == said[ShortWords] {
		t.Error("numbers says what short says")
	}
}

func TestWordsByName(t *testing.T) {
	for _, w := range []Words{ShortWords, FullWords, NumbersOnly} {
		b, _ := w.MarshalText()
		var back Words
		if err := back.UnmarshalText(b); err != nil || back != w {
			t.Errorf("%s: %v", b, err)
		}
	}
	var w Words
	if err := w.UnmarshalText([]byte("loud")); err == nil || !strings.Contains(err.Error(), "full, short or numbers") {
		t.Errorf("loud: %v", err)
	}
}

// A step that joins several is said as they are, each in the length wanted, behind the
// words put before it.
func TestSpokenOfAJoinedStep(t *testing.T) {
	pass := func(phase sequence.Phase, moves ...sequence.Move) sequence.Step {
		return *composed(sequence.Step{
			ID: "s1/thread/pass2/" + string(phase), Op: sequence.OpThread, Section: "s1", Phase: phase, Pass: 2, Of: 9, Brief: true, Moves: moves,
			Cautions: []sequence.Word{sequence.WordOilSteel},
		})
	}
	plan := &sequence.Plan{Unit: mm, Steps: []sequence.Step{
		pass(sequence.PhaseSet, sequence.Shift{Slide: sequence.Cross, Approach: sequence.In, Dial: ringAt(0, 350*um), Handle: sequence.Clockwise}),
		pass(sequence.PhaseCut, sequence.Spindle{Turn: sequence.Forward}, sequence.Carriage{To: 18 * mm, PerRev: millimetrePitch, Cutting: true}),
		pass(sequence.PhaseClear, sequence.Shift{Slide: sequence.Cross, Approach: sequence.Out, WholeTurns: 1, Handle: sequence.Anticlockwise}),
		pass(sequence.PhaseReturn, sequence.Spindle{Turn: sequence.Reverse}, sequence.Carriage{From: 18 * mm, PerRev: millimetrePitch}),
	}}
	joined := sequence.PaceWhole.Plan(plan).Steps[0]
	joined.Opening = sequence.Cue{sequence.WordNeedsSignOff, sequence.FullStop}
	sequence.Compose(&joined, mm)
	for w, want := range map[Words]string{
		ShortWords: "A sign-off is needed here. Pass 2 of 9. Cross slide in to 0.35. Forward, into the groove, watch the groove. " +
			"Wind the cross slide out one full turn. In reverse, back past the start, and off.",
		NumbersOnly: "A sign-off is needed here. 2 of 9. Cross slide in to 0.35. Forward, into the groove, watch the groove. " +
			"Wind the cross slide out one full turn. In reverse, back past the start, and off.",
		FullWords: "A sign-off is needed here. Pass 2 of 9. Cross slide in to 0.35, clockwise. Oil the cut. " +
			"Watch the groove. Power off when your own eye sees the tool in the groove. About 18 turns. Forward, into the groove. Oil the cut. " +
			"Wind the cross slide out one full turn, anticlockwise. Oil the cut. In reverse, back past the start, and off. Oil the cut.",
	} {
		if got := Spoken(&joined, mm, w).Text(); got != want {
			t.Errorf("%s:\n got %s\nwant %s", w, got, want)
		}
	}
}

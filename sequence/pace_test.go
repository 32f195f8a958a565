package sequence

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"turncue/calc"
)

// aPlan has a pass along the work in two steps, a shoulder in one, the scratch pass of a
// thread with its count, and a pass of the thread in four steps.
func aPlan() *Plan {
	out := Shift{Slide: Cross, Approach: Out, WholeTurns: 1, Dial: metric(-1, 0), Handle: Anticlockwise}
	in := func(um calc.Length) Shift {
		return Shift{Slide: Cross, Approach: In, Dial: metric(0, um*calc.Micrometre), Handle: Clockwise}
	}
	feed := calc.PerTurn(milli / 10)
	ring := &Dial{Turns: 1, Reading: 7600 * calc.Micrometre, Division: milli / 5, Unit: milli}
	along := Carriage{From: -2 * milli, To: 20 * milli, By: ByHalfNut, PerRev: calc.PerTurn(milli), Cutting: true}
	home := Carriage{From: 20 * milli, To: -2 * milli, By: ByHalfNut, PerRev: calc.PerTurn(milli)}
	pass := func(id string, n, of int, um calc.Length) []Step {
		return []Step{
			{ID: id + "/set", Op: OpThread, Section: "s1", Phase: PhaseSet, Pass: n, Of: of, Brief: n > 1, Moves: []Move{in(um)}, Cautions: []Word{WordOilSteel}, Hand: 4 * time.Second},
			{ID: id + "/cut", Op: OpThread, Section: "s1", Phase: PhaseCut, Pass: n, Of: of, Brief: n > 1, RunsInto: "groove", Machine: 5 * time.Second,
				Moves: []Move{Spindle{Turn: Forward, RPM: 70 * calc.RPM}, along, Spindle{Turn: Stop}}},
			{ID: id + "/clear", Op: OpThread, Section: "s1", Phase: PhaseClear, Pass: n, Of: of, Brief: n > 1, Moves: []Move{out}},
			{ID: id + "/return", Op: OpThread, Section: "s1", Phase: PhaseReturn, Pass: n, Of: of, Brief: n > 1, Cautions: []Word{WordSlowReverse},
				Moves: []Move{Spindle{Turn: Reverse, RPM: 70 * calc.RPM}, home, Spindle{Turn: Stop}}},
		}
	}
	p := &Plan{Unit: milli, Steps: []Step{
		{ID: "s1/rough/pass1/set", Op: OpRough, Section: "s1", Phase: PhaseSet, Pass: 1, Of: 2, Opening: Cue{WordRough}, Moves: []Move{Spindle{Turn: Forward, RPM: 500 * calc.RPM, Changed: true}, in(500)}},
		{ID: "s1/rough/pass1/cut", Op: OpRough, Section: "s1", Phase: PhaseCut, Pass: 1, Of: 2, Cautions: []Word{WordNearJaws}, Hand: 10*time.Second + 1, Machine: 30 * time.Second,
			Moves: []Move{Carriage{From: -2 * milli, To: 27*milli + 600*calc.Micrometre, By: ByPowerFeed, PerRev: feed, Cutting: true, Dial: ring}, out, Carriage{From: 27*milli + 600*calc.Micrometre, To: -2 * milli, By: ByHandwheel}}},
		{ID: "s1/shoulder/cut1", Op: OpShoulder, Section: "s1", Phase: PhaseCut,
			Moves: []Move{Spindle{Turn: Forward, RPM: 500 * calc.RPM}, Shift{Slide: Top, Approach: In, Dial: metric(0, 300*calc.Micrometre)},
				Plunge{From: 22 * milli, To: 16 * milli, Dial: metric(1, 0), PerRev: feed}, out}},
	}}
	scratch := pass("s1/thread/scratch", 0, 0, 40)
	check := Step{ID: "s1/thread/scratch/check", Op: OpThread, Section: "s1", Phase: PhaseCheck, Needs: NeedReading, Measure: &Measure{What: MeasureThreads, Threads: 10, Nominal: 10 * milli, Min: 9 * milli, Max: 11 * milli, Unit: milli}}
	p.Steps = append(p.Steps, scratch[:3]...)
	p.Steps = append(p.Steps, check, scratch[3])
	p.Steps = append(p.Steps, pass("s1/thread/pass1", 1, 2, 200)...)
	p.Steps = append(p.Steps, pass("s1/thread/pass2", 2, 2, 350)...)
	for i := range p.Steps {
		p.Steps[i].N = i + 1
		Compose(&p.Steps[i], milli)
	}
	return p
}

func stepIDs(p *Plan) string {
	var ids []string
	for i := range p.Steps {
		ids = append(ids, p.Steps[i].ID)
	}
	return strings.Join(ids, " ")
}

func TestPaces(t *testing.T) {
	for _, c := range []struct {
		pace Pace
		ids  string
		says map[string]string
	}{
		{PaceWhole, "s1/rough/pass1 s1/shoulder/cut1 s1/thread/scratch s1/thread/scratch/check s1/thread/scratch/return s1/thread/pass1 s1/thread/pass2", map[string]string{
			"s1/rough/pass1": "Rough. Pass 1 of 2. Set the speed to 500 rpm. Start the spindle forward. Cross slide in to 0.50, clockwise. " +
				"Feed along to 1 turn and 7.60 on the carriage ring. Wind the cross slide out one full turn, anticlockwise. Carriage in front of the work by 2 mm. Mind the jaws.",
			"s1/thread/pass2": "Final pass, 2 of 2. Cross slide in to 0.35. Forward, into the groove, watch the groove. Wind the cross slide out one full turn. In reverse, back past the start, and off.",
		}},
		{PaceTwo, "s1/rough/pass1/set s1/rough/pass1/cut s1/shoulder/cut1 s1/thread/scratch/set s1/thread/scratch/cut s1/thread/scratch/check s1/thread/scratch/return " +
			"s1/thread/pass1/set s1/thread/pass1/cut s1/thread/pass2/set s1/thread/pass2/cut", map[string]string{
			"s1/thread/pass1/cut": "Watch the groove. Power off when your own eye sees the tool in the groove. About 22 turns. Forward, into the groove. " +
				"Wind the cross slide out one full turn, anticlockwise. In reverse, back past the start, and off. Reverse slowly, the chuck can unscrew.",
		}},
		{PaceFour, "s1/rough/pass1/set s1/rough/pass1/cut s1/rough/pass1/clear s1/rough/pass1/return s1/shoulder/cut1/set s1/shoulder/cut1 s1/shoulder/cut1/clear " +
			"s1/thread/scratch/set s1/thread/scratch/cut s1/thread/scratch/clear s1/thread/scratch/check s1/thread/scratch/return " +
			"s1/thread/pass1/set s1/thread/pass1/cut s1/thread/pass1/clear s1/thread/pass1/return s1/thread/pass2/set s1/thread/pass2/cut s1/thread/pass2/clear s1/thread/pass2/return", map[string]string{
			"s1/rough/pass1/cut":    "Feed along to 1 turn and 7.60 on the carriage ring. Mind the jaws.",
			"s1/rough/pass1/clear":  "Wind the cross slide out one full turn, anticlockwise.",
			"s1/rough/pass1/return": "Carriage in front of the work by 2 mm.",
			"s1/shoulder/cut1/set":  "Start the spindle forward. Top slide in to 0.30.",
			"s1/shoulder/cut1":      "Face the shoulder in to 1 turn and 0.00.",
		}},
	} {
		plan := aPlan()
		p := c.pace.Plan(plan)
		if got := stepIDs(p); got != c.ids {
			t.Errorf("%s presses a pass:\n%s\nwant\n%s", c.pace, got, c.ids)
		}
		for id, want := range c.says {
			if i := p.Index(id); i < 0 || p.Steps[i].Cue.Text() != want {
				t.Errorf("%s presses a pass, %s: %q, want %q", c.pace, id, p.Steps[max(i, 0)].Cue.Text(), want)
			}
		}
		hand, machine := plan.Times()
		if h, m := p.Times(); h != hand || m != machine {
			t.Errorf("%s presses a pass: %v and %v, want %v and %v", c.pace, h, m, hand, machine)
		}
		for i := range p.Steps {
			if p.Steps[i].N != i+1 {
				t.Errorf("%s presses a pass: step %d is numbered %d", c.pace, i+1, p.Steps[i].N)
			}
		}
	}
	plan := aPlan()
	if p := PacePlanned.Plan(plan); p != plan {
		t.Error("the planned pace makes another plan")
	}
	if whole := PaceWhole.Plan(plan); whole.Steps[0].Phase != PhasePass || !slices.Equal(whole.Steps[5].Cautions, []Word{WordOilSteel, WordSlowReverse}) {
		t.Errorf("whole passes: phase %q, cautions %v", whole.Steps[0].Phase, whole.Steps[5].Cautions)
	}
}

// Composing a joined step again, as one does who puts words before it, changes nothing else.
func TestJoinedStepsAreComposedAgain(t *testing.T) {
	s := PaceWhole.Plan(aPlan()).Steps[0]
	was := s.Cue.Text()
	s.Opening = Cue{WordNeedsSignOff, FullStop}
	Compose(&s, milli)
	if got, want := s.Cue.Text(), "A sign-off is needed here. "+was; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestPaceText(t *testing.T) {
	for _, text := range []string{"4", "2", "1", "planned"} {
		var p Pace
		if err := p.UnmarshalText([]byte(text)); err != nil || p.String() != text {
			t.Errorf("%q: %v, %v", text, p, err)
		}
	}
	for _, text := range []string{"", "3", "0", "-1", "04", "two"} {
		var p Pace
		if p.UnmarshalText([]byte(text)) == nil {
			t.Errorf("%q is a pace: %v", text, p)
		}
	}
}

// What ends a cut is a part of it: the half-nuts are opened in the groove by the hand that
// watches it, not at a press after it.
func TestWhatEndsACutStaysWithIt(t *testing.T) {
	along := Carriage{From: -2 * milli, To: 20 * milli, By: ByHalfNut, PerRev: calc.PerTurn(milli), Cutting: true}
	for name, end := range map[string]Move{"stop": Spindle{Turn: Stop}, "half-nuts": HalfNut{}, "power feed": PowerFeed{}} {
		p := &Plan{Unit: milli, Steps: []Step{{
			N: 1, ID: "s1/thread/pass1/cut", Op: OpThread, Phase: PhaseCut,
			Moves: []Move{HalfNut{Closed: true}, along, end, Shift{Slide: Cross, Approach: Out, WholeTurns: 1, Dial: metric(-1, 0)}},
		}}}
		got := PaceFour.Plan(p)
		if len(got.Steps) != 2 || len(got.Steps[0].Moves) != 3 || !reflect.DeepEqual(got.Steps[0].Moves[2], end) {
			t.Errorf("%s: %s, the first of them %v", name, stepIDs(got), got.Steps[0].Moves)
		}
	}
}

package runner

import (
	"errors"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

func TestStartRefusals(t *testing.T) {
	m := sequence.Measure{What: sequence.MeasureDiameter, Nominal: 1, Min: 2, Max: 1, Unit: calc.Millimetre}
	for _, c := range []struct {
		plan *sequence.Plan
		want string
	}{
		{nil, "no plan"},
		{&sequence.Plan{}, "no steps"},
		{&sequence.Plan{Steps: []sequence.Step{{N: 1}}}, "step 1 has no id"},
		{&sequence.Plan{Steps: []sequence.Step{{N: 1, ID: "a"}, {N: 2, ID: "a"}}}, "two steps have the id a"},
		{&sequence.Plan{Steps: []sequence.Step{{N: 1, ID: "a"}, {N: 3, ID: "b"}}}, "step b is numbered 3"},
		{&sequence.Plan{Steps: []sequence.Step{{N: 1, ID: "a", Needs: sequence.NeedReading}}}, "needs a reading but measures nothing"},
		{&sequence.Plan{Steps: []sequence.Step{{N: 1, ID: "a", Needs: sequence.NeedReading, Measure: &m}}}, "limits the wrong way round"},
	} {
		if _, err := Start(Setup{Plan: c.plan}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// A planner that does what it must not is never followed: the run stays where it is and says so.
func TestPlannerNotFollowed(t *testing.T) {
	part := testPart{unit: calc.Millimetre, sections: []testSection{{name: "s1", nominal: 16 * calc.Millimetre, tol: 20 * calc.Micrometre}}}
	changed := func(edit func(*sequence.Plan) *sequence.Plan) func(sequence.Readings) (*sequence.Plan, error) {
		return func(r sequence.Readings) (*sequence.Plan, error) {
			p, err := part.plan(r)
			return edit(p), err
		}
	}
	for _, c := range []struct {
		name, notice string
		replan       func(sequence.Readings) (*sequence.Plan, error)
	}{
		{"an error", "the bar is too thin", func(sequence.Readings) (*sequence.Plan, error) { return nil, errors.New("the bar is too thin") }},
		{"a fault with its place", "16 mm is not reached; look for a loose gib", func(sequence.Readings) (*sequence.Plan, error) {
			return nil, errors.New("foot.job:13:3: 16 mm is not reached\n    [[section]]\n      ^^^^^^^\nhint: look for a loose gib")
		}},
		{"no plan", "the planner gave no plan", changed(func(*sequence.Plan) *sequence.Plan { return nil })},
		{"a step behind us renamed", "the new plan differs before this step", changed(func(p *sequence.Plan) *sequence.Plan { p.Steps[0].ID = "other"; return p })},
		{"a step behind us needs more", "the new plan differs before this step", changed(func(p *sequence.Plan) *sequence.Plan { p.Steps[0].Needs = sequence.NeedFit; return p })},
		{"a plan cut short", "the new plan differs before this step", changed(func(p *sequence.Plan) *sequence.Plan { p.Steps = p.Steps[:1]; return p })},
		{"wrong numbers", "is numbered", changed(func(p *sequence.Plan) *sequence.Plan { p.Steps[3].N = 9; return p })},
	} {
		plan, err := part.plan(sequence.Readings{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := Start(Setup{Plan: plan, Replan: c.replan})
		if err != nil {
			t.Fatal(err)
		}
		s = after(t, s, Begin{}, Advance{}, reads(t, "0.01 mm"))
		at(t, s, "setup/runout")
		shows(t, s, c.notice)
		at(t, after(t, s, Advance{}), "setup/runout")
	}
}

func TestMissingIsSaidOnce(t *testing.T) {
	s := simplePart(t)
	s = after(t, s, Begin{})
	s, effects := Next(s, Event{Kind: Missing{"no pedal: keys only"}})
	if len(effects) != 2 || effects[0] != Effect(BeepAttention) || effects[1].(Show).Frame.Notice != "no pedal: keys only" {
		t.Errorf("first time: %s", effects)
	}
	if _, effects = Next(s, Event{Kind: Missing{"no pedal: keys only"}}); len(effects) != 0 {
		t.Errorf("second time: %s", effects)
	}
	if _, effects = Next(s, Event{Kind: Missing{"no sound"}}); len(effects) != 2 {
		t.Errorf("something else: %s", effects)
	}
}

// The state before the first event belongs to nobody yet, and one of no plan to nothing.
func TestNothingBeforeTheBeginning(t *testing.T) {
	for _, k := range []Kind{Advance{}, Back{}, Reading{}, Resume{}, TimePassed{}, Again{}, Note{"x"}, nil} {
		if _, effects := Next(simplePart(t), Event{Kind: k}); len(effects) > 0 {
			t.Errorf("%#v before the beginning: %s", k, effects)
		}
		if _, effects := Next(State{}, Event{Kind: k}); len(effects) > 0 {
			t.Errorf("%#v without a plan: %s", k, effects)
		}
	}
}

package sequence

import (
	"strings"
	"testing"

	"turncue/calc"
)

const milli = calc.Millimetre

func metric(turns int, reading calc.Length) *Dial {
	return &Dial{Turns: turns, Reading: reading, Division: milli / 50, Unit: milli}
}

func turns(n, of int64) calc.Ratio {
	r, err := calc.NewRatio(n, of)
	if err != nil {
		panic(err)
	}
	return r
}

// Wheels pressed in by the cross slide are not fed.
func TestWordsOfPressing(t *testing.T) {
	s := Step{Op: OpKnurl, Moves: []Move{Plunge{From: 20 * milli, To: 19 * milli, Dial: metric(0, 350*calc.Micrometre), Handle: Clockwise}}}
	if Compose(&s, milli); s.Cue.Text() != "Press in to 0.35, clockwise." {
		t.Error(s.Cue.Text())
	}
}

// What each move is called at the lathe. The words are the trade's; the figures are
// those of the move.
func TestWordsOfMoves(t *testing.T) {
	inch := &Dial{Turns: 1, Reading: 85 * calc.Thou, Division: calc.Thou, Unit: calc.Inch}
	for _, c := range []struct {
		move Move
		want string
	}{
		{Spindle{Turn: Forward, RPM: 500 * calc.RPM, Changed: true}, "Set the speed to 500 rpm. Start the spindle forward."},
		{Spindle{Turn: Forward, RPM: 500 * calc.RPM}, "Start the spindle forward."},
		{Spindle{Turn: Stop}, "Stop the spindle."},
		{Hold{StickOut: 60 * milli}, "Hold the bar in the three-jaw chuck, sticking out 60 mm."},
		{Mount{Kind: GroovingTool, Width: 2 * milli}, "Fit the grooving tool, 2 mm wide, on centre height."},
		{HalfNut{Closed: true}, "Shut the half-nuts."},
		{Supply{Isolated: true}, "Unplug the lathe or lock it off."},
		{Guard{Open: true}, "Open the gear cover."},
		{ChuckKey{}, "Take the chuck key out."},
		{Zero{Slide: Cross, On: OnDiameter}, "Touch the tool lightly on the outside of the work, set the cross slide ring to zero."},
		{Zero{Slide: Top, On: OnShoulder}, "Touch the tool lightly on the shoulder, set the top slide ring to zero."},
		{Shift{Slide: Cross, Approach: In, Dial: metric(0, 350*calc.Micrometre), Handle: Clockwise}, "Cross slide in to 0.35, clockwise."},
		{Shift{Slide: Cross, Approach: In, Dial: metric(2, 40*calc.Micrometre)}, "Cross slide in to 2 turns and 0.04."},
		{Shift{Slide: Top, Approach: In, Dial: metric(-3, 500*calc.Micrometre)}, "Top slide in to 3 turns before zero, at 0.50."},
		{Shift{Slide: Cross, Approach: In, Dial: inch}, "Cross slide in to 1 turn and 85 thou."},
		{Shift{Slide: Cross, Approach: Out, WholeTurns: 1, Dial: metric(-1, 0), Handle: Anticlockwise}, "Wind the cross slide out one full turn, anticlockwise."},
		{Shift{Slide: Cross, Approach: Out, WholeTurns: 2, Dial: metric(-2, 0)}, "Wind the cross slide out 2 full turns."},
		{Carriage{From: -2 * milli, To: 27*milli + 600*calc.Micrometre, By: ByPowerFeed, Cutting: true, Dial: &Dial{Turns: 1, Reading: 7*milli + 600*calc.Micrometre, Division: milli / 5, Unit: milli}}, "Feed along to 1 turn and 7.60 on the carriage ring."},
		{Carriage{From: -2 * milli, To: 27 * milli, By: ByHandwheel, Cutting: true}, "Feed along to the line at 27 mm from the end."},
		{Carriage{From: 27 * milli, To: -2 * milli, By: ByHandwheel}, "Carriage in front of the work by 2 mm."},
		{Plunge{From: 12 * milli, To: 9 * milli, Dial: metric(0, 1280*calc.Micrometre)}, "Feed in to 1.28."},
		{Gears{Drivers: []int{60, 30}, Driven: []int{45, 60}}, "Fit the gears. 60 teeth on the first shaft, drives 45 teeth on the stud. 30 teeth beside it on the stud, drives 60 teeth on the leadscrew."},
		{Mount{Kind: KnurlingTool, Pitch: milli, Width: 8 * milli, Diameter: 20 * milli, Angle: 30 * calc.Degree, Clamp: true}, "Fit the knurling tool, on centre height."},
		{Zero{Slide: ClampNut, X: 19 * milli, On: OnDiameter}, "Close the clamp on the middle of the work."},
		{Clamp{From: 20 * milli, To: 19 * milli, Turns: turns(7, 20)}, "Close the clamp, 0.35 turns past zero."},
		{Clamp{From: 20 * milli, To: 19 * milli, Turns: turns(6, 20)}, "Close the clamp, 0.3 turns past zero."},
		{Clamp{From: 20 * milli, To: 19 * milli, Turns: turns(20, 20)}, "Close the clamp, 1 turn past zero."},
		{Clamp{From: 19 * milli, To: 22 * milli}, "Open the clamp."},
		{Gauge{}, "Try the gauge or the nut. Answer fits, tight or loose."},
	} {
		s := Step{Moves: []Move{c.move}}
		Compose(&s, milli)
		if got := s.Cue.Text(); got != c.want {
			t.Errorf("%#v\nsays  %s\nwants %s", c.move, got, c.want)
		}
	}
}

// In a thread pass the start is the last thing said, and where to switch off is left
// to the eye.
func TestWordsOfAThreadPass(t *testing.T) {
	s := Step{Op: OpThread, Phase: PhaseCut, RunsInto: "groove", Moves: []Move{
		Spindle{Turn: Forward, RPM: 70 * calc.RPM},
		Carriage{From: -6 * milli, To: 25 * milli, By: ByHalfNut, PerRev: calc.PerTurn(milli), Cutting: true},
		Spindle{Turn: Stop},
	}}
	Compose(&s, milli)
	if got, want := s.Cue.Text(), "Watch the groove. Power off when your own eye sees the tool in the groove. About 31 turns. Forward, into the groove."; got != want {
		t.Errorf("got %s", got)
	}
	s.Brief = true
	Compose(&s, milli)
	if got, want := s.Cue.Text(), "Forward, into the groove, watch the groove."; got != want {
		t.Errorf("brief: %s", got)
	}
	for _, w := range s.Cue {
		if w == WordStopSpindle {
			t.Error("a pass says stop")
		}
	}
}

func TestCueText(t *testing.T) {
	for _, c := range []struct {
		cue  Cue
		want string
	}{
		{nil, ""},
		{Cue{WordPaused}, "Paused."},
		{Cue{WordPaused, FullStop, WordGoingOn}, "Paused. Going on."},
		{Cue{WordCrossInTo, "0.35", Comma, WordClockwise}, "Cross slide in to 0.35, clockwise."},
	} {
		if got := c.cue.Text(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A ring's reading is written to the places its divisions need: 0.025 needs three.
func TestReadingPlaces(t *testing.T) {
	for _, c := range []struct {
		d    Dial
		want Word
	}{
		{Dial{Reading: 350 * calc.Micrometre, Division: 20 * calc.Micrometre, Unit: milli}, "0.35"},
		{Dial{Reading: 350 * calc.Micrometre, Division: 25 * calc.Micrometre, Unit: milli}, "0.350"},
		{Dial{Reading: 12500 * calc.Nanometre, Division: 25 * calc.Micrometre, Unit: milli}, "0.0125"},
		{Dial{Reading: 85*calc.Thou + calc.Thou/2, Division: calc.Thou, Unit: calc.Inch}, "85.5 thou"},
	} {
		if got := c.d.ReadingWord(); got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
}

// Lengths are written in millimetres with at most six places, and every key of a
// length, a lead or a time ends in its unit.
func TestPlanJSON(t *testing.T) {
	p := Plan{Part: "pin", Unit: milli, Steps: []Step{{
		N: 1, ID: "a", Needs: NeedReading,
		Moves: []Move{
			Zero{Slide: Cross, X: 22 * milli, On: OnDiameter},
			Shift{Slide: Cross, X: 12345678 * calc.Nanometre, Approach: In, Dial: metric(1, 540*calc.Micrometre)},
			Carriage{From: -2 * milli, To: 27 * milli, By: ByHalfNut, PerRev: calc.PerTurn(1750 * calc.Micrometre), Cutting: true},
		},
		Measure: &Measure{What: MeasureDiameter, Nominal: 12 * milli, Min: 11 * milli, Max: 13 * milli, Unit: milli},
	}}}
	b, err := p.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`"schema":"turncue.plan/1"`, `"x_mm":22`, `"x_mm":12.345678`, `"dial":0.54`, `"turns":1`, `"from_mm":-2`, `"to_mm":27`,
		`"per_rev_mm":1.75`, `"needs":"reading"`, `"nominal_mm":12`, `"do":"carriage"`, `"by":"halfnut"`, `"warnings":[]`,
	} {
		if !strings.Contains(string(b), want) {
			t.Errorf("%s is not in %s", want, b)
		}
	}
}

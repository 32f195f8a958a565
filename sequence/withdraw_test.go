package sequence

import (
	"encoding/json"
	"strings"
	"testing"

	"turncue/calc"
)

// lineStep is a thread pass that ends at a line, taken out on the run.
func lineStep(brief bool, moves ...Move) Step {
	s := Step{Op: OpThread, Section: "s1", ID: "s1/thread/pass1/cut", Phase: PhaseCut, RunsInto: IntoLine, Brief: brief, Moves: moves}
	Compose(&s, milli)
	return s
}

var (
	toLine  = Carriage{From: -5 * milli, To: 28 * milli, By: ByHalfNut, PerRev: calc.PerTurn(1500 * calc.Micrometre), Cutting: true}
	outThen = Withdraw{From: 28 * milli, To: 30 * milli, X: 13 * milli, Dial: metric(-1, 500*calc.Micrometre), WholeTurns: 1, Handle: Anticlockwise}
	going   = Spindle{Turn: Forward, RPM: 70 * calc.RPM}
)

// All of what the hands do at the line is said before the start, and nothing after it.
func TestWordsOfAPassToALine(t *testing.T) {
	for _, c := range []struct {
		want string
		s    Step
	}{
		{"Quickly, when your own eye sees the line, wind the cross slide out one full turn, anticlockwise. Then power off. Each pass a little earlier. About 22 turns. Forward, to the line.",
			lineStep(false, going, toLine, outThen, Spindle{Turn: Stop})},
		{"Quickly, when your own eye sees the line, wind the cross slide out one full turn. Then power off. Forward, to the line.",
			lineStep(true, going, toLine, outThen, Spindle{Turn: Stop})},
		{"Quickly, when your own eye sees the line, wind the cross slide out one full turn, anticlockwise. Open the half-nuts. Each pass a little earlier. About 22 turns. Watch the threading dial, shut the half-nuts on line 1, 5.",
			lineStep(false, HalfNut{Closed: true, Marks: Marks{Lines: []int{1, 5}}}, toLine, outThen, HalfNut{})},
		{"Quickly, when your own eye sees the line, wind the cross slide out one full turn. Open the half-nuts. Watch the threading dial, shut the half-nuts on line 1, 5.",
			lineStep(true, HalfNut{Closed: true, Marks: Marks{Lines: []int{1, 5}}}, toLine, outThen, HalfNut{})},
		{"Each pass a little earlier. About 22 turns. Crank forward to the line.", lineStep(false, Spindle{Turn: ByHand}, toLine)},
		{"About 22 turns. Crank forward to the line.", lineStep(true, Spindle{Turn: ByHand}, toLine)},
		{"Scribe a line at 28.3 mm from the end.", func() Step {
			s := Step{Op: OpThread, Moves: []Move{Line{Z: 28300 * calc.Micrometre}}}
			Compose(&s, milli)
			return s
		}()},
	} {
		if got := c.s.Cue.Text(); got != c.want {
			t.Errorf("says %q\nwant  %q", got, c.want)
		}
	}
}

// Whatever the pace, the tool comes out in the step that runs to the line.
func TestPacesKeepTheWayOut(t *testing.T) {
	back := Step{Op: OpThread, Section: "s1", ID: "s1/thread/pass1/return", Phase: PhaseReturn, Moves: []Move{Spindle{Turn: Reverse, RPM: 70 * calc.RPM}, Carriage{From: 30 * milli, To: -5 * milli, By: ByHalfNut}, Spindle{Turn: Stop}}}
	set := Step{Op: OpThread, Section: "s1", ID: "s1/thread/pass1/set", Phase: PhaseSet, Moves: []Move{Shift{Slide: Cross, Approach: In, Dial: metric(0, 200*calc.Micrometre)}}}
	p := &Plan{Unit: milli, Steps: []Step{set, lineStep(false, going, toLine, outThen, Spindle{Turn: Stop}), back}}
	for _, pace := range []Pace{PaceFour, PaceTwo, PaceWhole} {
		found := false
		for _, s := range pace.Plan(p).Steps {
			for i, m := range s.Moves {
				if m, ok := m.(Carriage); ok && m.Cutting {
					found = true
					if len(s.Moves) < i+3 || s.Moves[i+1] != Move(outThen) || s.Moves[i+2] != Move(Spindle{Turn: Stop}) {
						t.Errorf("pace %s, step %s: after the run to the line %+v", pace, s.ID, s.Moves[i+1:])
					}
				}
			}
		}
		if !found {
			t.Errorf("pace %s: no cut", pace)
		}
	}
}

func TestLinesAndWaysOutAreWritten(t *testing.T) {
	s := lineStep(false, Line{Z: 28 * milli}, outThen)
	text, err := json.Marshal(Plan{Unit: milli, Steps: []Step{s}})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`{"do":"line","z_mm":28}`,
		`{"dial":0.5,"dial_reads":"radius","dial_unit":"mm","do":"withdraw","from_mm":28,"handle":"anticlockwise","to_mm":30,"turns":-1,"whole_turns":1,"x_mm":13}`,
	} {
		if !strings.Contains(string(text), want) {
			t.Errorf("no %s in %s", want, text)
		}
	}
}

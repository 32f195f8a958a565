package runner

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// pin is a small part with a thread, told in full: what a person hears and sees.
func pin(got sequence.Readings) (*sequence.Plan, error) {
	um := func(n int64) calc.Length { return calc.Length(n) * calc.Micrometre }
	p := &sequence.Plan{Part: "pin", Lathe: "small lathe", Unit: calc.Millimetre}
	add := func(id string, s sequence.Step) {
		s.N, s.ID = len(p.Steps)+1, id
		if i := strings.IndexByte(id, '/'); id[0] == 's' && i == 2 {
			s.Section = id[:i]
		}
		sequence.Compose(&s, p.Unit)
		p.Steps = append(p.Steps, s)
	}
	dial := func(turns int, reading calc.Length) *sequence.Dial {
		return &sequence.Dial{Turns: turns, Reading: reading, Division: um(20), Unit: calc.Millimetre}
	}
	cut := func(id string, opening sequence.Cue, d *sequence.Dial, x calc.Length) {
		add(id, sequence.Step{Op: sequence.OpFinish, Opening: opening, Moves: []sequence.Move{
			sequence.Shift{Slide: sequence.Cross, X: x, Approach: sequence.In, Dial: d},
			sequence.Carriage{From: um(-1000), To: um(28000), By: sequence.ByHandwheel, Cutting: true},
			sequence.Shift{Slide: sequence.Cross, X: x + um(4000), Approach: sequence.Out, WholeTurns: 1},
			sequence.Carriage{From: um(28000), To: um(-1000), By: sequence.ByHandwheel},
		}})
	}
	measure := func(id string, m sequence.Measure) (calc.Length, bool) {
		m.Unit = calc.Millimetre
		v, ok := got.Lengths[id]
		if ok {
			m.Got = &v
		}
		add(id, sequence.Step{Op: sequence.OpFinish, Needs: sequence.NeedReading, Measure: &m, Moves: []sequence.Move{sequence.Spindle{Turn: sequence.Stop}}})
		return v, ok
	}
	add("setup/key", sequence.Step{Op: sequence.OpSetUp, Moves: []sequence.Move{sequence.ChuckKey{}}})
	measure("setup/true", sequence.Measure{What: sequence.MeasureRunOut, Max: um(20), Division: um(10), Final: true})
	cut("s1/first", sequence.Cue{sequence.WordFirstCut}, dial(1, um(500)), um(10200))
	measure("s1/between", sequence.Measure{What: sequence.MeasureDiameter, Nominal: um(10200), Min: um(10050), Max: um(10500), Division: um(10)})
	size := sequence.Measure{What: sequence.MeasureDiameter, Nominal: um(9884), Min: um(9794), Max: um(9974), Division: um(10), Final: true}
	cut("s1/last", sequence.Cue{sequence.WordLastCut}, dial(1, um(660)), um(9880))
	if v, ok := measure("s1/size", size); ok && v > size.Max {
		cut("s1/last2", sequence.Cue{sequence.WordCutAgain}, dial(1, um(720)), um(9880))
		if v, ok := measure("s1/size2", size); ok && v > size.Max {
			return nil, fmt.Errorf("10 mm cannot be cut a third time")
		}
	}
	add("s1/thread/shut", sequence.Step{Op: sequence.OpThread, Section: "s1", Moves: []sequence.Move{sequence.HalfNut{Closed: true}}})
	pass := func(n, of int, d *sequence.Dial) {
		add(fmt.Sprintf("s1/thread/pass%d/set", n), sequence.Step{Op: sequence.OpThread, Phase: sequence.PhaseSet, Pass: n, Of: of,
			Moves: []sequence.Move{sequence.Shift{Slide: sequence.Cross, X: um(9000), Approach: sequence.In, Dial: d}}})
	}
	pass(1, 2, dial(1, um(800)))
	pass(2, 2, dial(1, um(900)))
	add("s1/thread/gauge", sequence.Step{Op: sequence.OpThread, Phase: sequence.PhaseCheck, Needs: sequence.NeedFit, Moves: []sequence.Move{sequence.Gauge{What: "M10x1", With: "ring gauge"}}})
	if got.Fits["s1/thread/gauge"] == sequence.Tight {
		pass(3, 3, dial(1, um(920)))
		add("s1/thread/gauge2", sequence.Step{Op: sequence.OpThread, Phase: sequence.PhaseCheck, Needs: sequence.NeedFit, Moves: []sequence.Move{sequence.Gauge{What: "M10x1", With: "ring gauge"}}})
	}
	add("s1/watched", sequence.Step{Op: sequence.OpDeburr, Needs: sequence.NeedSignOff, Closing: sequence.Cue{sequence.WordDeburr}})
	add("end", sequence.Step{Op: sequence.OpEnd, Closing: sequence.Cue{sequence.WordFinished}})
	return p, nil
}

// The transcripts are control lines and what comes of them, effect by effect, to be read
// through by a person. -update writes them anew.
func TestTranscripts(t *testing.T) {
	for _, c := range []struct{ name, script string }{
		{"straight", "next, reading 0.01mm, next, reading 10.21mm, next, reading 9.88mm, next, next, next, fits, sign Ada, next, next"},
		{"mistakes", "back, reading 1mm, next, next, reading 0.1mm, reading 0.02mm, fits, next, reading 10.72mm, reading 10.22mm, next, next, reading 10.4mm, " +
			"reading 9.99mm, next, reading 9.78mm, next, reading 9.8mm, reading 9.81mm, next, next @3, next, next, next, loose, tight, tight, next, fits, next, sign , sign Tom, sign Ada, next, next"},
		{"interrupted", "next, reading 0mm, next, back, again, next, pause, back, next, note oil run dry, next, reading 10.2mm, next, reading 9.88mm, next, next, RESUME, status, again, next, stop, next, again"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := pin(sequence.Readings{})
			if err != nil {
				t.Fatal(err)
			}
			s, err := Start(Setup{Plan: p, Replan: pin, Teaching: Teaching{Learner: "Tom"}})
			if err != nil {
				t.Fatal(err)
			}
			var b strings.Builder
			at := time.Duration(0)
			play := func(line string, e Event) {
				at += time.Second
				e.At = at
				var effects []Effect
				s, effects = Next(s, e)
				fmt.Fprintf(&b, "> %s\n", line)
				for _, f := range effects {
					fmt.Fprintf(&b, "  %s\n", f)
				}
			}
			play("(begin)", Event{Kind: Begin{}})
			for line := range strings.SplitSeq(c.script, ", ") {
				if line == "RESUME" {
					play("(the power failed; resume)", Event{Kind: Resume{}})
					continue
				}
				e, _, err := ParseControl(line)
				if err != nil {
					fmt.Fprintf(&b, "> %s\n  error %v\n", line, err)
					continue
				}
				play(line, e)
			}
			golden := "testdata/" + c.name + ".txt"
			if *update {
				if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got := b.String(); got != strings.ReplaceAll(string(want), "\r\n", "\n") {
				t.Errorf("the transcript is not that of %s; run with -update and read the difference\n%s", golden, firstDifference(string(want), got))
			}
		})
	}
}

func firstDifference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d\nwant %s\n got %s", i+1, a[i], b[i])
		}
	}
	return "one is longer"
}

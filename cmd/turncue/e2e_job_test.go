//go:build unix

package main

import (
	"fmt"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// The job that needs no file, from the first step to the last, as a person does it:
// presses that the default filter takes, readings typed figure by figure, an answer at
// the gauge. Every frame is compared cell by cell. The first fifteen steps are gone
// through with the space bar alone; then the keys that pedals send take turns, because
// each may be pressed while another still rests.
func TestWholeJobAtATerminal(t *testing.T) {
	t.Parallel()
	w := newTwin(t, example(t))
	o := seat(t, w, []string{"XDG_STATE_HOME=" + t.TempDir()}, "run", "--audio", "none")
	w.does(runner.Begin{})
	keys := []string{"space", "pgdn", "right", "down", "b", "enter"}
	n, readings, fits := 0, 0, 0
	for w.state.Phase() == runner.Running {
		o.sees()
		at, of := w.state.Position()
		if where := fmt.Sprintf("step %d of %d", at, of); !strings.Contains(o.text(), where) {
			t.Fatalf("%q is not on the screen\n%s", where, o.text())
		}
		if say := strings.Fields(w.step().Cue.Text())[0]; !strings.Contains(o.text(), say) {
			t.Fatalf("the words %q of the cue are not on the screen\n%s", say, o.text())
		}
		switch w.step().Needs {
		case sequence.NeedReading:
			readings++
			o.types(w.reading().Trimmed(calc.Millimetre, 3))
			w.does(w.wants())
		case sequence.NeedFit:
			fits++
			o.send("f")
			w.does(w.wants())
		default:
			key := keys[0]
			if at > 15 {
				n++
				key = keys[n%len(keys)]
			}
			if at == of { // the screen is given back at once
				o.touch(key)
				w.does(runner.Advance{})
				continue
			}
			o.press(key)
		}
	}
	o.ends(exitDone)
	_, of := w.state.Position()
	o.says(fmt.Sprintf("turncue: finished, %d steps", of))
	t.Logf("%d steps, %d readings, %d answers of the gauge", of, readings, fits)
	if readings < 5 || fits < 1 {
		t.Errorf("%d readings and %d answers of the gauge: the job has hardly been measured", readings, fits)
	}
}

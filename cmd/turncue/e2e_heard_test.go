//go:build unix

package main

import (
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"turncue/sequence"
	"turncue/sequence/runner"
	"turncue/sounds"
	"turncue/sounds/soundtest"
)

// wholeMark in the environment has every step of the sound test played; it takes as
// long as the cues are, some minutes. Without it the first steps are.
const wholeMark = "TURNCUE_WHOLE"

const fewSteps = 4

// A plain pin is led through with sound, through a real sound server, each cue left to
// its end. Each is found in what was captured while its step was on; the cue of the plan
// that is most like it fits less well, and one that is unlike it is not there.
func TestEachStepIsHeard(t *testing.T) {
	t.Parallel()
	sink := soundtest.Start(t)
	plain, err := load("../../testdata/jobs/plain-pin.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	w := newTwin(t, plain)
	cmd := sink.Command(program(t), "run", "../../testdata/jobs/plain-pin.toml", "--control", "-")
	cmd.Env = surroundings(append(sink.Env(), "XDG_STATE_HOME="+t.TempDir())...)
	c := started(t, cmd)

	whole := os.Getenv(wholeMark) != ""
	var spoken []heardCue
	begun, already := time.Now(), len(sink.Heard())
	from := already
	what := runner.Kind(runner.Begin{})
	for {
		next, said := w.copy(), w.saidFor(what)
		c.must(next.does(what))
		w = next
		if w.state.Phase() == runner.Done {
			break
		}
		// A new sink may take its time before it takes the first samples.
		patience := 700 * time.Millisecond
		if from == already {
			patience = 3 * time.Second
		}
		played := time.NewTimer(said.clip.Duration() + said.before + patience)
		<-played.C
		// A busy computer records late: wait until it has recorded up to now.
		due := already + int(time.Since(begun)*soundtest.Rate/time.Second)
		if missing := due - len(sink.Heard()); missing > 0 {
			sink.Record(time.Duration(missing) * time.Second / soundtest.Rate)
		}
		said.from, said.to = from, len(sink.Heard())
		from = said.to
		spoken = append(spoken, said)
		if !whole && len(spoken) == fewSteps {
			break
		}
		what = w.wants()
		c.tell(w.commandFor(what))
	}
	if code := c.ended(); code != exitDone {
		t.Fatalf("exit %d: %s", code, c.errs.String())
	}
	if errs := c.errs.String(); strings.Contains(errs, "sound") {
		t.Errorf("there was something with the sound: %s", errs)
	} else {
		t.Logf("told: %s", errs)
	}
	heard := sink.Stop()
	if _, of := w.state.Position(); whole && len(spoken) != of {
		t.Fatalf("%d steps spoken of %d", len(spoken), of)
	}
	cues := planCues(t, w.state.Plan())
	worst, total := 1.0, time.Duration(0)
	for _, s := range spoken {
		during := heard[s.from:s.to]
		at, share := soundtest.Trace(during, s.clip.Samples())
		worst = min(worst, share)
		total += s.clip.Duration()
		if share < soundtest.Heard {
			t.Errorf("%s: %.3f of %q is heard", s.id, share, s.text)
		}
		near, far := alike(s, cues)
		_, nearShare := soundtest.Trace(during, near.clip.Samples())
		if nearShare >= share {
			t.Errorf("%s: %q is heard no better (%.3f) than %q (%.3f)", s.id, s.text, share, near.text, nearShare)
		}
		_, farShare := soundtest.Trace(during, far.clip.Samples())
		if farShare > soundtest.NotHeard {
			t.Errorf("%s: %.3f of %q is heard, which was not said", s.id, farShare, far.text)
		}
		t.Logf("%-26s %5.1f s, after %.2f s: %.3f; nearest other %.3f, other %.3f", s.id, s.clip.Duration().Seconds(), at.Seconds(), share, nearShare, farShare)
	}
	t.Logf("%d steps, %.0f s of speech, least heard %.3f", len(spoken), total.Seconds(), worst)
}

// A heardCue is a cue as it must sound.
type heardCue struct {
	id, text string
	clip     *sounds.Clip
	before   time.Duration // the beep before it
	from, to int           // samples of the capture
}

// saidFor is what is said when something happens, without letting it happen.
func (w *twin) saidFor(k runner.Kind) heardCue {
	var h heardCue
	_, effects := runner.Next(w.state, runner.Event{Kind: k})
	for _, f := range effects {
		switch f := f.(type) {
		case runner.Beep:
			for _, b := range sounds.Beeps() {
				if b.String() == string(f) {
					h.before = b.Clip().Duration()
				}
			}
		case runner.Say:
			h.id, h.text = f.StepID, f.Cue.Text()
			h.clip, _ = sounds.Default().Render(f.Cue.Parts()) // that each can be is a test of its own
		}
	}
	return h
}

// planCues are the cues of a plan, each text once.
func planCues(t *testing.T, p *sequence.Plan) (all []heardCue) {
	t.Helper()
	seen := map[string]bool{}
	for i := range p.Steps {
		s := &p.Steps[i]
		text := s.Cue.Text()
		if seen[text] {
			continue
		}
		seen[text] = true
		clip, err := sounds.Default().Render(s.Cue.Parts())
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, heardCue{id: s.ID, text: text, clip: clip})
	}
	return all
}

// alike are the cue that has most of its words in common with another but says
// something that the other does not, and the shortest of those that have fewest.
func alike(to heardCue, cues []heardCue) (near, far heardCue) {
	most, least := -1.0, 2.0
	for _, c := range cues {
		share := common(c.text, to.text)
		if share < 1 && share > most {
			near, most = c, share
		}
		if share < least || share == least && c.clip.Len() < far.clip.Len() {
			far, least = c, share
		}
	}
	return near, far
}

// common is the share of the words of a that are in b, each counted as often.
func common(a, b string) float64 {
	words, have := strings.Fields(a), strings.Fields(b)
	n := 0
	for _, w := range words {
		if i := slices.Index(have, w); i >= 0 {
			have = slices.Delete(have, i, i+1)
			n++
		}
	}
	return float64(n) / float64(len(words))
}

package speaker

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"turncue/sounds"
	"turncue/sounds/soundtest"
)

// speakerProgram is this test program speaking to a sink.
type speakerProgram struct {
	t     *testing.T
	in    io.WriteCloser
	lines chan string
	ended chan error
}

func speak(t *testing.T, sink *soundtest.Sink, choice string) *speakerProgram {
	t.Helper()
	cmd := sink.Command(os.Args[0], asSpeaker, choice)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = os.Stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	s := &speakerProgram{t: t, in: in, lines: make(chan string, 64), ended: make(chan error, 1)}
	go func() {
		for sc := bufio.NewScanner(out); sc.Scan(); {
			s.lines <- sc.Text()
		}
		close(s.lines)
		s.ended <- cmd.Wait()
	}()
	t.Cleanup(func() { _ = cmd.Process.Kill() }) // it has ended unless the test failed
	return s
}

func (s *speakerProgram) expect(line string) {
	s.t.Helper()
	s.expectWithin(line, 20*time.Second)
}

func (s *speakerProgram) expectWithin(line string, most time.Duration) {
	s.t.Helper()
	limit := time.NewTimer(most)
	defer limit.Stop()
	select {
	case got, ok := <-s.lines:
		if !ok || !strings.HasPrefix(got, line) {
			s.t.Fatalf("told %q, want %q", got, line)
		}
	case <-limit.C:
		s.t.Fatalf("%q was never told", line)
	}
}

func (s *speakerProgram) say(parts string) {
	s.t.Helper()
	fmt.Fprintln(s.in, parts)
	s.expect("said: " + parts)
}

func (s *speakerProgram) close() {
	s.t.Helper()
	s.in.Close()
	if err := <-s.ended; err != nil {
		s.t.Fatal(err)
	}
}

func rendered(t *testing.T, parts string) []float64 {
	t.Helper()
	c, err := sounds.Default().Render(strings.Split(parts, "|"))
	if err != nil {
		t.Fatal(err)
	}
	return c.Samples()
}

func inProcessName() string {
	if d := inProcess(); d != nil {
		return d.Name()
	}
	return "pacat"
}

// Each choice of device speaks to a real sound server, which is killed in mid-run and
// started again. What was said is in the captured sound, what was not said is not, and nothing said into the dead server comes out late.
func TestCapturedSpeech(t *testing.T) {
	t.Parallel()
	for choice, device := range map[string]string{"auto": inProcessName(), "pipe": "pacat"} {
		t.Run(choice, func(t *testing.T) {
			t.Parallel()
			sink := soundtest.Start(t)
			s := speak(t, sink, choice)
			s.expect("settled: " + device)
			s.say("pass|7 of 9")
			s.say("cross slide in to|0.35")
			sink.Record(200 * time.Millisecond)
			sink.Break()
			s.expect("sound lost: ")
			s.say("not confirmed") // to nobody, and nobody waits for it
			sink.Mend()
			s.expect("sound is back through pacat")
			s.say("going on")
			s.close()
			heard := sink.Stop()

			var last time.Duration
			for i, parts := range []string{"pass|7 of 9", "cross slide in to|0.35", "going on"} {
				at, share := soundtest.Trace(heard, rendered(t, parts))
				if share < soundtest.Heard || at < last {
					t.Errorf("%.3f of %q is heard at %v, after %v", share, parts, at, last)
				}
				_, match := soundtest.Find(heard, rendered(t, parts))
				t.Logf("%q: at %v, %.3f of it, correlation in one piece %.4f", parts, at, share, match)
				for j, v := range heard[:max(0, int(at.Seconds()*soundtest.Rate)-soundtest.Rate/100)] {
					if i == 0 && (v > 0.02 || v < -0.02) {
						t.Fatalf("%.3f at sample %d, before the first cue", v, j)
					}
				}
				last = at
			}
			for _, parts := range []string{"not confirmed", "pass|nine|of|seven", "set the speed to|250 rpm"} {
				_, share := soundtest.Trace(heard, rendered(t, parts))
				if share > soundtest.NotHeard {
					t.Errorf("%.3f of %q is heard, which was not to be", share, parts)
				}
				t.Logf("not said %q: %.3f", parts, share)
			}
		})
	}
}

package runner

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// childDir names the directory of the journal to a child process.
const childDir = "TURNCUE_TEST_CHILD_DIR"

const (
	// kills is how often a run is killed; TURNCUE_KILLS asks for another number.
	kills    = 300
	killSeed = 9
	// killWithin is the time in which a child is killed.
	killWithin = 24 * time.Millisecond
)

// killsWanted is how often to kill.
func killsWanted(t *testing.T) int {
	text := os.Getenv("TURNCUE_KILLS")
	if text == "" {
		return kills
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("TURNCUE_KILLS=%q is no number of kills", text)
	}
	return n
}

// childPart is what the children make, over and over.
var childPart = func() testPart {
	p := testPart{unit: calc.Millimetre, recuts: 2, extra: 2}
	for i := range 60 {
		p.sections = append(p.sections, testSection{
			name: "s" + strconv.Itoa(i), nominal: 16 * calc.Millimetre, tol: 50 * calc.Micrometre, passes: 2, sign: true,
		})
	}
	return p
}()

// childState opens the journal and goes to where it is. No reading changes the plan: what
// the child is for is the journal.
func childState(dir string) (*Journal, State, error) {
	plan, err := childPart.plan(sequence.Readings{})
	if err != nil {
		return nil, State{}, err
	}
	head := Head{Schema: JournalSchema, Part: "child", JobPath: "child.job", JobText: "child", LatheText: "lathe", Plan: "child"}
	j, err := OpenJournal(dir, head)
	if err != nil {
		return nil, State{}, err
	}
	s, err := Start(Setup{Plan: plan})
	if err == nil {
		s, err = Replay(j.Records(), s)
	}
	return j, s, err
}

// child runs on from where the journal is, as fast as it can, and writes a line for
// everything that was acknowledged.
func child(dir string, out io.Writer) error {
	j, s, err := childState(dir)
	if err != nil {
		return err
	}
	events := make(chan Event, 1)
	r := rand.New(rand.NewPCG(1, 1))
	_, err = Run(context.Background(), Config{State: s, Log: j, Events: events, Settled: func(s State, e Event) {
		n, _ := s.Position()
		fmt.Fprintf(out, "%s %d %d\n", e.Kind.name(), n, len(s.readings.Lengths))
		events <- Event{Kind: willing(s, r)}
	}})
	return err
}

// A killed run loses nothing that was acknowledged, and is at most one event ahead of
// what was.
func TestKilled(t *testing.T) {
	t.Parallel()
	t.Logf("seed %d", killSeed)
	r := rand.New(rand.NewPCG(killSeed, killSeed))
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	acked, ahead, torn := 0, 0, 0
	kills := killsWanted(t)
	for i := range kills {
		cmd := exec.Command(self)
		cmd.Env = append(os.Environ(), childDir+"="+dir)
		var complaints bytes.Buffer
		cmd.Stderr = &complaints
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		kill := time.NewTimer(time.Duration(r.Int64N(int64(killWithin))))
		done := make(chan struct{})
		begun := make(chan struct{})
		go func() {
			defer close(done)
			if i%8 != 0 { // most are killed at work, some while they begin
				<-begun
			}
			<-kill.C
			_ = cmd.Process.Kill()
		}()
		last := ""
		lines := bufio.NewScanner(out)
		for n := 0; lines.Scan(); n++ {
			last = lines.Text()
			acked++
			if n == 0 {
				close(begun)
			}
		}
		if last == "" {
			close(begun)
		}
		<-done
		err = cmd.Wait()
		if complaints.Len() > 0 {
			t.Fatalf("kill %d: the child failed: %v: %s", i, err, complaints.String())
		}
		j, s, err := childState(dir)
		if err != nil {
			t.Fatalf("kill %d: %v", i, err)
		}
		if j.Torn() != "" {
			torn++
		}
		records := j.Records()
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
		if last == "" {
			continue
		}
		n, _ := s.Position()
		if s.phase == Done {
			dir = t.TempDir()
		}
		now := fmt.Sprintf("%d %d", n, len(s.readings.Lengths))
		if _, was, _ := strings.Cut(last, " "); now == was {
			continue
		}
		ahead++
		fresh, err := Start(*s.setup)
		if err != nil {
			t.Fatal(err)
		}
		before, err := Replay(records[:len(records)-1], fresh)
		if err != nil {
			t.Fatal(err)
		}
		n, _ = before.Position()
		if _, was, _ := strings.Cut(last, " "); fmt.Sprintf("%d %d", n, len(before.readings.Lengths)) != was {
			t.Fatalf("kill %d: acknowledged %q, the journal is at %q", i, last, now)
		}
	}
	t.Logf("%d kills, %d events acknowledged, %d times the journal was one ahead, %d torn tails", kills, acked, ahead, torn)
	if acked < kills {
		t.Errorf("only %d events in %d kills: the children hardly ran", acked, kills)
	}
}

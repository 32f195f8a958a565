//go:build unix

package main

import (
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/runner"
)

const (
	kills    = 100
	killSeed = 20
)

// A killer drives a run as fast as it answers, kills it, and takes it up again.
type killer struct {
	t     *testing.T
	r     *rand.Rand
	fresh *twin
	twin  *twin // where the run is by what was acknowledged
	env   []string
	state string // the directory of the journals
	start time.Duration

	pending   runner.Kind // told and not acknowledged when the program was killed
	readings  []calc.Length
	acked     int
	ahead     int
	jobs      int
	inRecheck int
}

// Killed at a hundred random moments and taken up again, a run loses nothing that was
// acknowledged and is never more than the one line ahead that was on its way. It opens
// with the re-check, and the job comes to its end. What is acknowledged is what was
// shown: the last line a command prints.
func TestKilledAtRandomMoments(t *testing.T) {
	t.Parallel()
	t.Logf("seed %d", killSeed)
	dir := t.TempDir()
	fresh := newTwin(t, example(t))
	k := &killer{
		t: t, r: rand.New(rand.NewPCG(killSeed, killSeed)), fresh: fresh, twin: fresh.copy(),
		env: []string{"XDG_STATE_HOME=" + dir}, state: filepath.Join(dir, "turncue"),
	}
	for i := range kills {
		k.life(i)
	}
	jobs := k.jobs
	k.life(-1)
	if k.jobs != jobs+1 {
		t.Error("the last job did not come to its end")
	}
	t.Logf("%d commands acknowledged in %d kills, %d of them in the re-check; %d times the journal was one ahead; %d jobs finished",
		k.acked, kills, k.inRecheck, k.ahead, k.jobs)
	if k.acked < kills {
		t.Errorf("only %d commands acknowledged: the runs hardly ran", k.acked)
	}
}

// life is one start of the program, killed at a random moment: most while it works, some
// while it begins. The life of number -1 lives to the end of the job.
func (k *killer) life(i int) {
	k.t.Helper()
	args := []string{"run", "--control", "-", "--quiet"} // the voice would only take time
	if i%2 == 0 && k.twin.state.Phase() != runner.Ready && !k.lastPending() {
		args[0] = "resume"
	}
	born := time.Now()
	c := lead(k.t, k.env, args...)
	atWork := make(chan struct{})
	dead := make(chan struct{})
	after := time.Duration(k.r.Int64N(int64(60 * time.Millisecond)))
	if i >= 0 && i%4 == 0 && k.start > 0 {
		after = time.Duration(k.r.Int64N(2 * int64(k.start)))
		close(atWork)
		atWork = nil
	}
	go func(atWork <-chan struct{}, dying bool) {
		defer close(dead)
		if !dying {
			return
		}
		if atWork != nil {
			<-atWork
		}
		timer := time.NewTimer(after)
		defer timer.Stop()
		<-timer.C
		_ = c.cmd.Process.Kill()
	}(atWork, i >= 0)

	alive := k.opens(c)
	if alive && k.start == 0 {
		k.start = time.Since(born)
	}
	if atWork != nil {
		close(atWork)
	}
	for alive && k.twin.state.Phase() != runner.Done {
		alive = k.goesOn(c)
	}
	<-dead
	code := c.ended()
	const killed = -1 // it may have come to the end by itself just before
	if code != killed && !(alive && code == exitDone) {
		k.t.Fatalf("life %d: exit %d at %s: %s", i, code, k.twin.step().ID, c.errs.String())
	}
	if k.twin.state.Phase() == runner.Done {
		k.jobs++
		k.finished()
		k.twin, k.readings = k.fresh.copy(), nil
		return
	}
	if i < 0 {
		k.t.Fatalf("exit %d before the job was done: %s", code, c.errs.String())
	}
}

// lastPending says that the run may have finished unseen.
func (k *killer) lastPending() bool {
	n, of := k.twin.state.Position()
	return k.pending != nil && n == of
}

// opens reads what the program begins with, finds out whether the pending command was
// done before it was killed, and goes through the re-check. It is false when the
// program was killed meanwhile.
func (k *killer) opens(c *client) bool {
	k.t.Helper()
	type could struct {
		twin  *twin
		lines []string
		ahead bool
	}
	var all []could
	add := func(w *twin, opening runner.Kind, ahead bool) {
		w = w.copy()
		all = append(all, could{w, w.does(opening), ahead})
	}
	if k.twin.state.Phase() == runner.Ready { // nothing was acknowledged, not even the beginning
		add(k.twin, runner.Begin{}, false)
		begun := k.twin.copy()
		begun.does(runner.Begin{})
		add(begun, runner.Resume{}, true)
	} else {
		add(k.twin, runner.Resume{}, false)
	}
	if k.pending != nil {
		done := k.twin.copy()
		done.does(k.pending)
		if done.state.Phase() == runner.Done { // and put aside: the job begins anew
			add(k.fresh, runner.Begin{}, true)
		} else {
			add(done, runner.Resume{}, true)
		}
	}
	var got []string
	for len(got) == 0 || !isShow(got[len(got)-1]) {
		line, ok := c.next()
		if !ok {
			return false
		}
		got = append(got, line)
	}
	i := slices.IndexFunc(all, func(c could) bool { return slices.Equal(c.lines, got) })
	if i < 0 {
		var want [][]string
		for _, c := range all {
			want = append(want, c.lines)
		}
		k.t.Fatalf("opens with %q, want one of %q", got, want)
	}
	if all[i].ahead {
		k.ahead++
		switch v, ok := k.pending.(runner.Reading); {
		case ok:
			k.readings = append(k.readings, v.Value)
		case k.lastPending():
			k.jobs++
			k.readings = nil
		}
	}
	k.twin, k.pending = all[i].twin, nil
	k.kept()
	if k.twin.state.Phase() != runner.Recheck {
		n, _ := k.twin.state.Position()
		if n != 1 {
			k.t.Fatalf("goes on at step %d without a re-check", n)
		}
		return true
	}
	if !k.does(c, runner.Advance{}) {
		k.inRecheck++
		return false
	}
	return k.looksBack(c)
}

func isShow(line string) bool { _, _, ok := shownIn(line); return ok }

// looksBack goes back to a reading that was just given, where there is one, to see that
// it is shown still, and forward again.
func (k *killer) looksBack(c *client) bool {
	k.t.Helper()
	n, _ := k.twin.state.Position()
	if n == 1 || k.twin.state.Plan().Steps[n-2].Needs != sequence.NeedReading {
		return true
	}
	if !k.does(c, runner.Back{}) || !k.does(c, runner.Status{}) {
		return false
	}
	if f := k.twin.state.Frame(); f.Reading == nil || *f.Reading != k.readings[len(k.readings)-1] {
		k.t.Fatalf("%v is shown at %s, acknowledged was %v", f.Reading, f.Step.ID, k.readings[len(k.readings)-1])
	}
	return k.does(c, runner.Advance{})
}

// goesOn does what the step wants. A reading is not the nominal size but one beside it,
// so that the plan after it depends on it.
func (k *killer) goesOn(c *client) bool {
	k.t.Helper()
	what := k.twin.wants()
	if v, ok := what.(runner.Reading); ok && !k.twin.answered() {
		m := k.twin.step().Measure
		v.Value = max(m.Min, min(m.Max, m.Nominal+calc.Length(k.r.IntN(21)-10)*calc.Micrometre))
		what = v
	} else if ok {
		what = runner.Advance{} // it was read before the run went back to it
	}
	return k.does(c, what)
}

// does tells the program a command and reads what it prints for it. What was not
// printed to the end is pending.
func (k *killer) does(c *client, what runner.Kind) bool {
	k.t.Helper()
	next := k.twin.copy()
	want := next.does(what)
	c.tell(k.twin.commandFor(what))
	if !c.gives(want) {
		k.pending = what
		return false
	}
	before := k.twin.step().ID
	k.twin = next
	k.acked++
	if v, ok := what.(runner.Reading); ok {
		if next.step().ID == before {
			k.t.Fatalf("%v is not accepted at %s: %q", v.Value, before, want)
		}
		k.readings = append(k.readings, v.Value)
	}
	return true
}

// kept compares the readings in the journal with those acknowledged.
func (k *killer) kept() {
	k.t.Helper()
	all, err := runner.Journals(k.state)
	if err != nil || len(all) == 0 {
		k.t.Fatalf("no journal in %s: %v", k.state, err)
	}
	for _, f := range all {
		if f.Damage != nil {
			k.t.Fatalf("%s: %v", f.Path, f.Damage)
		}
	}
	if got := readingsIn(all[0]); !slices.Equal(got, k.readings) {
		k.t.Fatalf("the journal has the readings %v, acknowledged were %v", got, k.readings)
	}
}

// finished looks at the journal of a job that came to its end.
func (k *killer) finished() {
	k.t.Helper()
	k.kept()
	all, err := runner.Journals(k.state)
	if err != nil || !all[0].Ended {
		k.t.Fatalf("the newest journal has not ended (%v)", err)
	}
}

func readingsIn(f runner.Found) (all []calc.Length) {
	for _, r := range f.Records {
		if r.Reading != nil {
			all = append(all, *r.Reading)
		}
	}
	return all
}

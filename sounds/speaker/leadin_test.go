package speaker

import (
	"math"
	"testing"
	"testing/synctest"
	"time"

	"turncue/sounds"
)

// openLead is a player with a lead-in on a device that the test pulls.
func openLead(t *testing.T, lead time.Duration, gain float64) (*Player, *hand) {
	t.Helper()
	d := &hand{name: "hand"}
	p := Open(Options{Devices: []Device{d}, LeadIn: lead, Gain: gain})
	<-p.Settled()
	t.Cleanup(func() { p.Close() })
	return p, d
}

func firstSound(x []int16) int {
	for i, v := range x {
		if v != 0 {
			return i
		}
	}
	return -1
}

// C156: over a wireless link that was idle for 30 s, with a lead-in of 300 ms, at least
// 300 ms of zeros come before the first sample that is heard, and no more than a buffer
// beyond that. The stream itself never stops.
func TestC156LeadInAfterAPause(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, d := openLead(t, 300*ms, 0)
		for _, cue := range []func(){
			func() { p.Play(steady(1000, 200*ms)) },
			func() { p.Beep(sounds.Advance) },
			func() { p.Beep(sounds.Advance); p.Play(steady(1000, 200*ms)) },
		} {
			if n := firstSound(d.pull(t, 30*time.Second)); n >= 0 {
				t.Fatalf("sound at sample %d of a pause", n)
			}
			cue()
			heard := d.pull(t, time.Second)
			at := firstSound(heard)
			if at < sounds.Rate.N(300*ms) || at > sounds.Rate.N(300*ms)+sounds.Rate.N(Latency) {
				t.Errorf("the first sound is at sample %d, want %d or a little more", at, sounds.Rate.N(300*ms))
			}
		}
		// Right after a sound nothing is put before the next; a cue that replaces one
		// whose lead-in still runs has its own.
		p.Play(steady(1000, 200*ms))
		d.pull(t, 700*ms)
		p.Play(steady(2000, 200*ms))
		if at := firstSound(d.pull(t, 300*ms)); at < 0 || at > sounds.Rate.N(fadeTime) {
			t.Errorf("in a conversation the next cue is at sample %d", at)
		}
		d.pull(t, 5*time.Second)
		p.Beep(sounds.Advance)
		d.pull(t, 200*ms)
		p.Hush()
		p.Play(steady(2000, 200*ms))
		if at := firstSound(d.pull(t, time.Second)); at < sounds.Rate.N(300*ms) {
			t.Errorf("after a replaced cue the first sound is at sample %d", at)
		}
	})
}

func TestWithoutLeadInNothingWaits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, d := openLead(t, 0, 0)
		d.pull(t, 30*time.Second)
		p.Play(steady(1000, 200*ms))
		if at := firstSound(d.pull(t, time.Second)); at != 0 {
			t.Errorf("the first sound is at sample %d", at)
		}
	})
}

func TestGainHoldsForAll(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, d := openLead(t, 0, 0.25)
		p.Play(steady(8000, 100*ms))
		if heard := d.pull(t, 100*ms); count(heard, 2000) != len(heard) {
			t.Errorf("a quarter of 8000 is %d", heard[len(heard)/2])
		}
		p.Beep(sounds.Done)
		top := 0.0
		for _, v := range d.pull(t, time.Second) {
			top = max(top, math.Abs(float64(v)))
		}
		want := 0.0
		for _, v := range sounds.Done.Clip().Samples() {
			want = max(want, math.Abs(v)*32768/4)
		}
		if math.Abs(top-want) > 1 {
			t.Errorf("the loudest of a beep is %g, want %g", top, want)
		}
	})
}

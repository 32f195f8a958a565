//go:build unix

package main

import (
	"io"
	"os"
	"os/exec"
	"testing"
	"time"

	"turncue/sounds/soundtest"
	"turncue/sounds/speaker"
)

// allPrompts in the environment has every prompt played, some minutes; without it one in
// forty is.
const allPrompts = "TURNCUE_PROMPTS"

// The prompts of every plan in testdata are spoken whole: each different cue goes through
// the speaker and a real sound server, and what arrives is that cue from its first word
// to its last. The server runs faster than sound does; where it found no sound to take in
// time, it has put silence in, and the prompt is played again, in the end no faster than
// it is heard.
func TestEveryPromptIsHeardWhole(t *testing.T) {
	// Not beside the tests that play as fast as is heard: it takes what the machine has.
	sink := soundtest.StartDrawn(t)
	var cues []heardCue
	seen := map[string]bool{}
	for _, job := range goodJobs(t) {
		loaded, err := load(job, "")
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range planCues(t, newTwin(t, loaded).state.Plan()) {
			if !seen[c.text] {
				seen[c.text] = true
				cues = append(cues, c)
			}
		}
	}
	speeds := []int{40, 40, 15, 5, 2, 1, 1}
	all := os.Getenv(allPrompts) != ""
	player := speaker.Open(speaker.Options{Devices: []speaker.Device{&patient{sink: sink}}})
	defer player.Close()
	// What the player program, the server and the pipe hold between them.
	const under = 3 * time.Second
	sink.Draw(under, speeds[0])
	least, total, played, again := 1.0, time.Duration(0), 0, 0
	for i, c := range cues {
		if !all && i%40 != 0 {
			continue
		}
		match := 0.0
		for try, speed := range speeds {
			if try > 0 {
				again++
			}
			player.Play(c.clip.Streamer())
			match = soundtest.Follows(sink.Draw(c.clip.Duration()+under, speed), c.clip.Samples())
			if match >= soundtest.Same {
				break
			}
		}
		played, total, least = played+1, total+c.clip.Duration(), min(least, match)
		if match < soundtest.Same {
			t.Errorf("%s: %q is heard with %.3f", c.id, c.text, match)
		}
	}
	t.Logf("%d of %d different prompts, %.0f s of speech, least match %.3f, %d played again", played, len(cues), total.Seconds(), least, again)
}

// patient plays to a drawn sink by a program that holds two seconds, so that it is never
// late.
type patient struct {
	sink *soundtest.Drawn
	cmd  *exec.Cmd
}

func (p *patient) Name() string { return "pacat, two seconds" }
func (p *patient) Err() error   { return nil }

func (p *patient) Start(samples io.Reader) error {
	p.cmd = p.sink.Command("pacat", "--raw", "--rate=48000", "--channels=2", "--format=s16le", "--latency-msec=2000")
	p.cmd.Stdin = samples
	return p.cmd.Start()
}

func (p *patient) Close() error {
	_ = p.cmd.Process.Kill() // it may have ended already
	_ = p.cmd.Wait()         // killed: how it ended says nothing
	return nil
}

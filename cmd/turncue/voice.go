package main

import (
	"turncue/sequence/runner"
	"turncue/sounds"
	"turncue/sounds/speaker"
)

// voice is the runner's port to the speaker.
type voice struct {
	player *speaker.Player
	clips  *sounds.Voice
	beeps  map[runner.Beep]sounds.Beep
	tell   func(string)
}

func newVoice(p *speaker.Player, tell func(string)) *voice {
	v := &voice{player: p, clips: sounds.Default(), beeps: map[runner.Beep]sounds.Beep{}, tell: tell}
	for _, b := range sounds.Beeps() {
		v.beeps[runner.Beep(b.String())] = b
	}
	return v
}

// Say speaks a cue in place of what is being spoken.
func (v *voice) Say(parts []string) {
	clip, err := v.clips.Render(parts)
	if err != nil {
		v.tell("a cue cannot be spoken and is only shown: " + err.Error())
		return
	}
	v.player.Play(clip.Streamer())
}

// Beep sounds a beep over what is spoken.
func (v *voice) Beep(b runner.Beep) {
	if sound, ok := v.beeps[b]; ok {
		v.player.Beep(sound)
	}
}

// Hush silences the voice at once.
func (v *voice) Hush() { v.player.Hush() }

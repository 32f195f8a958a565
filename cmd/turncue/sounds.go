package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"turncue/sequence"
	"turncue/sequence/job"
	"turncue/sounds"
	"turncue/sounds/speaker"
)

// testSentence has what a run says most: a count, a slide, a dial.
var testSentence = sequence.Cue{
	sequence.WordPass, sequence.CountWord(7, 9), sequence.FullStop, "cross slide in to", "1 turn", sequence.WordAnd, "0.35",
	sequence.FullStop, sequence.WordShouldBeNear, "9.884 mm",
}

// wordAfter is what is said after a beep where the beep alone says only "listen".
var wordAfter = map[sounds.Beep]sequence.Cue{
	sounds.Attention: {sequence.WordRecheck},
	sounds.Measure:   {sequence.WordMeasureDiameter},
	sounds.LastPass:  {sequence.WordFinalPass},
	sounds.Fault:     {sequence.WordFault},
}

func soundsCommand(s streams) *cobra.Command {
	var o soundOptions
	var audio speaker.Choice
	var folder string
	var measure bool
	c := &cobra.Command{
		Use:   "sounds",
		Short: "Play every beep, say what it means and a sentence to listen for",
		Long: `Plays the beeps one after the other, writes what each means, and says one sentence:
put the loudspeaker where it will stand, start the lathe, and listen. Nothing of a
run is told by sound alone: what is said is on the screen as well.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := o.check(); err != nil {
				return err
			}
			ctx, cancel := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer cancel()
			switch {
			case folder != "":
				return checkVoice(s.out, folder)
			case measure:
				return o.measure(ctx, audio, s)
			}
			return o.demonstrate(ctx, audio, s)
		},
	}
	f := c.Flags()
	o.flags(f)
	f.TextVar(&audio, "audio", speaker.Auto, "how to sound: auto, pipe or none")
	f.StringVar(&folder, "check", "", "play nothing: list what is missing or wrong with the recordings in `DIR`")
	f.BoolVar(&measure, "measure", false, "measure how late the sound is, by tapping along")
	return c
}

// demonstrate plays what a run can play, one thing after the other.
func (o *soundOptions) demonstrate(ctx context.Context, audio speaker.Choice, s streams) error {
	player := o.player(audio, nil, func(line string) { fmt.Fprintln(s.err, "turncue: "+line) })
	defer player.Close()
	<-player.Settled()
	v, err := o.voice(ctx, player, func(line string) { fmt.Fprintln(s.err, "turncue: "+line) }, nil)
	if err != nil {
		return err
	}
	v.program = nil // told here in order, not as a run does it
	beeps := sounds.FewBeeps()
	if o.allBeeps {
		beeps = sounds.Beeps()
	}
	for _, b := range beeps {
		word := wordAfter[b]
		line := fmt.Sprintf("%-10s %s", b, b.Meaning())
		if len(word) > 0 {
			text, err := o.spoken().Written(word.Parts())
			if err != nil {
				return err
			}
			line += `; here: "` + strings.TrimSuffix(text, ".") + `"`
		}
		fmt.Fprintln(s.out, line)
		player.Beep(b)
		if err := o.utter(ctx, v, word); err != nil {
			return err
		}
	}
	text, err := o.spoken().Written(testSentence.Parts())
	if err != nil {
		return err
	}
	fmt.Fprintln(s.out, text)
	return o.utter(ctx, v, testSentence)
}

// utter says words after what sounds already, and returns a moment after the end.
func (o *soundOptions) utter(ctx context.Context, v *voice, words sequence.Cue) error {
	const apart = 600 * time.Millisecond
	if len(words) > 0 && !v.mute {
		clip, err := o.clip(ctx, v.clips, words)
		if err != nil {
			return err
		}
		v.player.Play(clip.Streamer())
	}
	if !v.player.Playing() {
		return ctx.Err()
	}
	if err := v.player.WaitQuiet(ctx); err != nil {
		return stoppedBy(err)
	}
	t := time.NewTimer(apart)
	defer t.Stop()
	select {
	case <-t.C:
		return nil
	case <-ctx.Done():
		return stoppedBy(ctx.Err())
	}
}

// stoppedBy is the end of a command that was stopped by hand.
func stoppedBy(error) error { return exit{exitStopped, nil} }

// clip is a cue as sound, from the program or the recordings that were asked for.
func (o *soundOptions) clip(ctx context.Context, clips *sounds.Voice, cue sequence.Cue) (*sounds.Clip, error) {
	if p := o.speaksWith(); p != nil {
		c, err := p.Render(ctx, cue.Parts())
		if c != nil && c.Len() > 0 {
			return c, nil // it could be said, though perhaps not kept
		}
		return c, err
	}
	return clips.Render(cue.Parts())
}

// checkVoice lists all that is to be known of a folder of recordings.
func checkVoice(out io.Writer, folder string) error {
	v, err := sounds.Own(os.DirFS(folder))
	if err != nil {
		return fmt.Errorf("--check %s: %w", folder, err)
	}
	c, err := v.Check()
	if err != nil {
		return fmt.Errorf("--check %s: %w", folder, err)
	}
	stems := make([]string, 0, c.Own+len(c.Missing))
	for _, e := range sounds.Vocabulary() {
		for _, file := range e.Files() {
			stems = append(stems, strings.TrimSuffix(file, ".mp3"))
		}
	}
	for _, f := range c.Faults {
		fmt.Fprintf(out, "cannot be used: %v\n", f)
	}
	for _, name := range c.Strays {
		stem := strings.ToLower(name[:strings.LastIndexByte(name, '.')])
		near := job.Nearest(stem, stems)
		if near != "" {
			near = ", did you mean " + near + "?"
		}
		fmt.Fprintf(out, "no word: %s is the name of none%s\n", name, near)
	}
	for _, name := range c.Missing {
		fmt.Fprintf(out, "missing: %s\n", name)
	}
	fmt.Fprintf(out, "%d words of its own, %d that cannot be used, %d missing: the built-in voice says those\n", c.Own, len(c.Faults), len(c.Missing))
	if bad := len(c.Faults) + len(c.Strays); bad > 0 {
		return fmt.Errorf("--check %s: %d recordings cannot be used as they are", folder, bad)
	}
	return nil
}

package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"turncue/sequence"
	"turncue/sequence/runner"
	"turncue/sounds"
	"turncue/sounds/speaker"
)

// soundOptions are the flags of every command that sounds.
type soundOptions struct {
	quiet     bool
	beepsOnly bool
	allBeeps  bool
	volume    int
	leadIn    time.Duration
	folder    string
	program   string
	language  string
}

const (
	fullVolume = 100
	mostLeadIn = 2 * time.Second
)

func (o *soundOptions) flags(f *pflag.FlagSet) {
	f.BoolVar(&o.quiet, "quiet", false, "no voice and no beeps")
	f.BoolVar(&o.beepsOnly, "beeps-only", false, "beeps, but no voice")
	f.BoolVar(&o.allBeeps, "all-beeps", false, "a beep of its own also for a reading wanted, a final pass, going back and a fault")
	f.IntVar(&o.volume, "volume", fullVolume, "how loud, 1 to 100; 50 is about half as loud as 100")
	f.DurationVar(&o.leadIn, "lead-in", 0, "silence before a sound that follows a pause, for a wireless link that cuts the first word: 300ms")
	o.voiceFlags(f)
}

// voiceFlags are those that say who speaks.
func (o *soundOptions) voiceFlags(f *pflag.FlagSet) {
	f.StringVar(&o.folder, "voice", "", "speak with the recordings in `DIR`; what is missing there the built-in voice says (turncue sounds --check DIR)")
	f.StringVar(&o.program, "speak-with", "", "speak through `CMD`, which reads text from standard input and writes a WAV to standard output")
	f.StringVar(&o.language, "language", "en", "language of prompts and figures: en, or de together with --speak-with")
}

func (o *soundOptions) check() error {
	switch {
	case o.volume < 1 || o.volume > fullVolume:
		return usage{fmt.Sprintf("--volume %d: from 1 to %d; --quiet is silent", o.volume, fullVolume)}
	case o.leadIn < 0 || o.leadIn > mostLeadIn:
		return usage{fmt.Sprintf("--lead-in %v: from 0 to %v", o.leadIn, mostLeadIn)}
	}
	return o.checkVoice()
}

func (o *soundOptions) checkVoice() error {
	l, err := sounds.LanguageNamed(o.language)
	switch {
	case err != nil:
		return usage{"--language: " + err.Error()}
	case o.program != "" && o.folder != "":
		return usage{"--voice and --speak-with: only one can speak"}
	case l != sounds.English && o.program == "" && !o.quiet && !o.beepsOnly:
		return usage{fmt.Sprintf("--language %s: the built-in voice speaks English; add --speak-with and a program that speaks it, or --beeps-only", o.language)}
	}
	return nil
}

// gain is the volume as a factor: half the figure is 10 dB less, about half as loud.
func (o *soundOptions) gain() float64 {
	return math.Pow(float64(o.volume)/fullVolume, 10/(20*math.Log10(2)))
}

// player opens the speaker.
func (o *soundOptions) player(choice speaker.Choice, bell func(), tell func(string)) *speaker.Player {
	if o.quiet {
		choice, bell = speaker.None, nil
	}
	return speaker.Open(speaker.Options{Choice: choice, Bell: bell, Tell: tell, Gain: o.gain(), LeadIn: o.leadIn})
}

// spoken is the language that is spoken and shown. The options were checked.
func (o *soundOptions) spoken() *sounds.Language {
	l, err := sounds.LanguageNamed(o.language)
	if err != nil {
		return sounds.English
	}
	return l
}

// clips are the recordings that speak, and what is to be known of them in one line.
func (o *soundOptions) clips() (v *sounds.Voice, warning string, err error) {
	if o.folder == "" {
		return sounds.Default(), "", nil
	}
	if v, err = sounds.Own(os.DirFS(o.folder)); err != nil {
		return nil, "", fmt.Errorf("--voice %s: %w", o.folder, err)
	}
	c, err := v.Check()
	if err != nil {
		return nil, "", fmt.Errorf("--voice %s: %w", o.folder, err)
	}
	switch n := len(c.Faults); {
	case c.Own == 0 && n == 0:
		return nil, "", fmt.Errorf("--voice %s: no recording in it is named like a word of the voice (turncue sounds --check %s)", o.folder, o.folder)
	case n > 0:
		more := ""
		if n > 1 {
			more = fmt.Sprintf(" and %d more (turncue sounds --check %s)", n-1, o.folder)
		}
		warning = fmt.Sprintf("the built-in voice stands in for %v%s", c.Faults[0], more)
	}
	return v, warning, nil
}

// speaksWith is the program that speaks, or nil.
func (o *soundOptions) speaksWith() *sounds.Program {
	if o.program == "" {
		return nil
	}
	p := &sounds.Program{Command: o.program, Language: o.spoken()}
	if dir, err := sounds.SpokenCache(); err == nil {
		p.Cache = dir
	} // without a home every cue is spoken anew
	return p
}

// voice makes the runner's port to the player. What a program is to say of the cues
// is prepared beside the caller until the context ends.
func (o *soundOptions) voice(ctx context.Context, p *speaker.Player, tell func(string), cues []sequence.Cue) (*voice, error) {
	v := newVoice(p, tell)
	v.ctx = ctx
	clips, warning, err := o.clips()
	if err != nil {
		return nil, err
	}
	if warning != "" {
		tell(warning)
	}
	v.clips, v.mute, v.program = clips, o.quiet || o.beepsOnly, o.speaksWith()
	if o.allBeeps {
		v.beeps = everyBeep()
	}
	switch {
	case v.mute:
	case v.program != nil:
		go v.prepare(cues)
	default:
		go func() { _ = clips.Warm() }() // a bad clip is told when it is wanted
	}
	return v, nil
}

// voice is the runner's port to the speaker.
type voice struct {
	player  *speaker.Player
	clips   *sounds.Voice
	program *sounds.Program // nil where the clips speak
	beeps   map[runner.Beep]sounds.Beep
	mute    bool // beeps only
	tell    func(string)
	ctx     context.Context

	mu     sync.Mutex
	turn   int // raised with every cue and every hush
	failed bool
}

func newVoice(p *speaker.Player, tell func(string)) *voice {
	v := &voice{player: p, clips: sounds.Default(), beeps: everyBeep(), tell: tell, ctx: context.Background()}
	for name, b := range v.beeps {
		v.beeps[name] = b.Few()
	}
	return v
}

func everyBeep() map[runner.Beep]sounds.Beep {
	m := map[runner.Beep]sounds.Beep{}
	for _, b := range sounds.Beeps() {
		m[runner.Beep(b.String())] = b
	}
	return m
}

// Say speaks a cue in place of what is being spoken.
func (v *voice) Say(parts []string) {
	turn := v.next()
	switch {
	case v.mute:
		v.player.Hush()
	case v.program != nil:
		go v.sayThrough(parts, turn)
	default:
		go v.sayClips(parts, turn)
	}
}

// sayClips joins the clips beside the caller: the first time a word is wanted its clip
// has to be decoded, and the screen does not wait for that. What comes after the next
// cue or hush is not played.
func (v *voice) sayClips(parts []string, turn int) {
	clip, err := v.clips.Render(parts)
	if err != nil {
		v.tell("a cue cannot be spoken and is only shown: " + err.Error())
		return
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.turn == turn {
		v.player.Play(clip.Streamer())
	}
}

// sayThrough has the program speak. What comes after the next cue or hush is not
// played: it would be a wrong instruction.
func (v *voice) sayThrough(parts []string, turn int) {
	clip, err := v.program.Render(v.ctx, parts)
	v.mu.Lock()
	if v.turn != turn || v.ctx.Err() != nil {
		v.mu.Unlock()
		return
	}
	v.complain(err)
	if clip != nil && clip.Len() > 0 {
		v.player.Play(clip.Streamer())
		v.mu.Unlock()
		return
	}
	v.mu.Unlock()
	v.sayClips(parts, turn)
}

// complain tells once that the program does not speak.
func (v *voice) complain(err error) {
	if err == nil || v.failed || errors.Is(err, context.Canceled) {
		return
	}
	v.failed = true
	v.tell("the built-in voice stands in: " + err.Error())
}

// prepare has the program say every cue once, so that each is at hand when it is
// wanted.
func (v *voice) prepare(cues []sequence.Cue) {
	said := map[string]bool{}
	for _, c := range cues {
		key := strings.Join(c.Parts(), "|")
		if said[key] || v.program.Cache == "" {
			continue
		}
		said[key] = true
		_, err := v.program.Render(v.ctx, c.Parts())
		if err != nil {
			v.mu.Lock()
			v.complain(err)
			v.mu.Unlock()
			return
		}
	}
}

func (v *voice) next() int {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.turn++
	return v.turn
}

// Beep sounds a beep over what is spoken.
func (v *voice) Beep(b runner.Beep) {
	if sound, ok := v.beeps[b]; ok {
		v.player.Beep(sound)
	}
}

// Hush silences the voice at once.
func (v *voice) Hush() {
	v.next()
	v.player.Hush()
}

// cuesOf are the cues of a plan in their order.
func cuesOf(p *sequence.Plan) []sequence.Cue {
	cues := make([]sequence.Cue, len(p.Steps))
	for i := range p.Steps {
		cues[i] = p.Steps[i].Cue
	}
	return cues
}

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"turncue/sequence"
	"turncue/sounds"
)

const (
	leastGap  = 3 * time.Second // a hand is on the wheel no sooner
	mostGap   = 30 * time.Minute
	cueFrames = 75 // a second, in a cue sheet
	cueTracks = 99 // the most that a cue sheet may have
)

// gap is the room after each step: as planned, or the same for all.
type gap struct{ fixed time.Duration }

func (g gap) String() string {
	if g.fixed == 0 {
		return "planned"
	}
	return g.fixed.String()
}

// MarshalText is [gap.String].
func (g gap) MarshalText() ([]byte, error) { return []byte(g.String()), nil }

// UnmarshalText reads "planned" or a duration.
func (g *gap) UnmarshalText(b []byte) error {
	if string(b) == "planned" {
		*g = gap{}
		return nil
	}
	d, err := time.ParseDuration(string(b))
	if err != nil || d < leastGap || d > mostGap {
		return fmt.Errorf("%q is not known: planned, or the same from %v to %v after each step", b, leastGap, mostGap)
	}
	*g = gap{d}
	return nil
}

func (g gap) after(s *sequence.Step) time.Duration {
	if g.fixed > 0 {
		return g.fixed
	}
	return min(mostGap, max(leastGap, s.Hand+s.Machine))
}

func narrateCommand(s streams) *cobra.Command {
	var o soundOptions
	var lathe, out string
	var g gap
	c := &cobra.Command{
		Use:   "narrate [JOB]",
		Short: "Write the whole plan as a sound file with room for each step's work",
		Long: `Writes what a run would say into one WAV or FLAC file, with silence after each step
for its work, and a cue sheet beside it with which a player goes from step to step. It is for
looking at a job beforehand, or for a lathe without a computer beside it: measured
sizes change nothing in it, and it waits for nobody.`,
		Args: oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			if err := o.checkVoice(); err != nil {
				return err
			}
			if out == "" {
				return usage{"narrate: give the file to write with -o FILE.wav"}
			}
			if soundFile(out) == nil {
				return usage{fmt.Sprintf("narrate -o %s: WAV and FLAC are written: give a name that ends in .wav or .flac", out)}
			}
			w, err := load(first(args), lathe)
			if err != nil {
				return err
			}
			w.doubt(s.err)
			ctx, cancel := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
			defer cancel()
			return o.narrate(ctx, w.plan, g, out, s)
		},
	}
	latheFlag(c, &lathe)
	o.voiceFlags(c.Flags())
	c.Flags().StringVarP(&out, "out", "o", "", "write the sound to `FILE`, .wav or .flac, and the steps to FILE.cue")
	c.Flags().TextVar(&g, "gap", gap{}, "room after each step: planned, or the same for all, such as 20s")
	return c
}

// narration is a sound file being written.
type narration interface {
	Clip(*sounds.Clip)
	Silence(time.Duration)
	Written() time.Duration
	Close() error
}

// soundFile begins a file of the kind that its name ends in; nil: no such kind.
func soundFile(name string) func(io.WriteSeeker) narration {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".wav":
		return func(f io.WriteSeeker) narration { return sounds.NewWaveWriter(f) }
	case ".flac":
		return func(f io.WriteSeeker) narration { return sounds.NewFLACWriter(f) }
	}
	return nil
}

// narrate writes the sound file and its cue sheet, each whole or not at all.
func (o *soundOptions) narrate(ctx context.Context, p *sequence.Plan, g gap, out string, s streams) error {
	clips, warning, err := o.clips()
	if err != nil {
		return err
	}
	if warning != "" {
		fmt.Fprintln(s.err, "turncue: "+warning)
	}
	var starts []time.Duration
	var total time.Duration
	err = whole(out, func(f *os.File) error {
		w := soundFile(out)(f)
		shown := -1
		for i := range p.Steps {
			if ctx.Err() != nil {
				return exit{exitStopped, nil}
			}
			step := &p.Steps[i]
			clip, err := o.clip(ctx, clips, step.Cue)
			if err != nil {
				return fmt.Errorf("step %s cannot be spoken: %w", step.ID, err)
			}
			starts = append(starts, w.Written())
			w.Clip(clip)
			w.Silence(g.after(step))
			if tenth := 10 * (i + 1) / len(p.Steps); tenth > shown {
				shown = tenth
				fmt.Fprintf(s.err, "turncue: step %d of %d, %d %%\n", i+1, len(p.Steps), 10*tenth)
			}
		}
		total = w.Written()
		return w.Close()
	})
	if err != nil {
		return err
	}
	sheet := strings.TrimSuffix(out, filepath.Ext(out)) + ".cue"
	err = whole(sheet, func(f *os.File) error {
		_, err := io.WriteString(f, cueSheet(p, starts, filepath.Base(out), o.spoken()))
		return err
	})
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s: %d steps, %v\n%s: the steps to go to\n", out, len(p.Steps), total.Round(time.Second), sheet)
	return nil
}

// whole writes a file beside its place and moves it there once it is complete.
func whole(path string, write func(*os.File) error) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".turncue-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, cause(err))
	}
	err = write(f)
	if errClose := f.Close(); err == nil {
		err = errClose
	}
	if err == nil {
		err = os.Chmod(f.Name(), 0o644)
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name()) // the fault before it is what matters
		var e exit
		if errors.As(err, &e) {
			return err
		}
		return fmt.Errorf("%s cannot be written: %w", path, cause(err))
	}
	return nil
}

// cause is what went wrong with a file, without its name.
func cause(err error) error {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}

// cueSheet lists where the steps begin. Such a list has at most 99 entries; a longer
// plan has several steps to one.
func cueSheet(p *sequence.Plan, starts []time.Duration, file string, l *sounds.Language) string {
	var b strings.Builder
	quoted := strings.NewReplacer(`"`, "'", "\n", " ")
	fmt.Fprintf(&b, "TITLE \"%s\"\nFILE \"%s\" WAVE\n", quoted.Replace(p.Part), quoted.Replace(file))
	each := max(1, (len(p.Steps)+cueTracks-1)/cueTracks)
	for i := 0; i < len(p.Steps); i += each {
		name := fmt.Sprintf("%d", i+1)
		if last := min(len(p.Steps), i+each); last > i+1 {
			name = fmt.Sprintf("%d to %d", i+1, last)
		}
		text, err := l.Written(p.Steps[i].Cue.Parts())
		if err != nil { // it was spoken
			text = p.Steps[i].Title
		}
		if first, _, more := strings.Cut(text, ". "); more {
			text = first
		}
		frames := int64(starts[i]) * cueFrames / int64(time.Second)
		fmt.Fprintf(&b, "  TRACK %02d AUDIO\n    TITLE \"%s: %s\"\n    INDEX 01 %02d:%02d:%02d\n", i/each+1, name, quoted.Replace(strings.TrimSuffix(text, ".")),
			frames/cueFrames/60, frames/cueFrames%60, frames%cueFrames)
	}
	return b.String()
}

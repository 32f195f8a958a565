package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"time"

	"golang.org/x/term"

	"turncue/sounds"
	"turncue/sounds/speaker"
)

// How the delay of the sound is measured: a person taps along with sixteen beeps and
// then with sixteen marks on the screen. People tap a little early on both, and the
// difference of the medians is free of that.
const (
	tapEvery   = 600 * time.Millisecond
	tapTimes   = 16
	tapDrop    = 2 // the first ones, while the rhythm is found
	tapFewest  = 8
	tapNearest = tapEvery / 2
)

// measure has a person tap along and says how late the sound is.
func (o *soundOptions) measure(ctx context.Context, audio speaker.Choice, s streams) error {
	in, ok := s.in.(*os.File)
	if !ok || !term.IsTerminal(int(in.Fd())) {
		return exit{exitNoTerminal, errors.New("--measure needs a terminal to tap on")}
	}
	if o.quiet || audio == speaker.None {
		return usage{"--measure: there must be sound; leave --quiet and --audio none out"}
	}
	player := o.player(audio, nil, func(line string) { fmt.Fprintln(s.err, "turncue: "+line) })
	defer player.Close()
	<-player.Settled()
	if player.Device() == "" {
		return errors.New("--measure: there is no sound to measure")
	}
	old, err := term.MakeRaw(int(in.Fd()))
	if err != nil {
		return fmt.Errorf("--measure: the terminal cannot be read key by key: %w", err)
	}
	defer term.Restore(int(in.Fd()), old)
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	taps := tapsFrom(in, cancel)

	fmt.Fprintf(s.out, "Press a key or the pedal with each of the %d beeps.\r\n", tapTimes)
	player.Play(tapBeeps().Streamer())
	heard, err := tapAlong(ctx, taps, func(int) {})
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "And now with each of the %d marks.\r\n", tapTimes)
	seen, err := tapAlong(ctx, taps, func(i int) { fmt.Fprintf(s.out, "## %d\r\n", i+1) })
	if err != nil {
		return err
	}
	fmt.Fprint(s.out, lateness(heard, seen))
	return nil
}

// tapBeeps are the beeps in one piece, so that their distances are exact.
func tapBeeps() *sounds.Clip {
	return sounds.Advance.Clip().Repeated(tapTimes, tapEvery)
}

// tapsFrom gives the times of the keys; control C or q stops.
func tapsFrom(in io.Reader, stop func()) <-chan time.Time {
	taps := make(chan time.Time, 64)
	go func() {
		var b [32]byte
		for {
			n, err := in.Read(b[:])
			if err != nil || n > 0 && (b[0] == 3 || b[0] == 'q') {
				stop()
				return
			}
			select {
			case taps <- time.Now():
			default:
			}
		}
	}()
	return taps
}

// tapAlong marks every beat from now on and collects the taps, as times after now.
func tapAlong(ctx context.Context, taps <-chan time.Time, mark func(int)) ([]time.Duration, error) {
	for len(taps) > 0 {
		<-taps
	}
	start := time.Now()
	beat := time.NewTicker(tapEvery)
	defer beat.Stop()
	mark(0)
	var got []time.Duration
	for n := 1; n <= tapTimes; {
		select {
		case at := <-taps:
			got = append(got, at.Sub(start))
		case <-beat.C:
			if n < tapTimes {
				mark(n)
			}
			n++
		case <-ctx.Done():
			return nil, exit{exitStopped, nil}
		}
	}
	return got, nil
}

// behind is the median of how long after its beat each tap came; ok is false with too
// few taps to say.
func behind(taps []time.Duration) (late time.Duration, ok bool) {
	var offs []time.Duration
	for _, t := range taps {
		beat := (t + tapNearest) / tapEvery
		if beat >= tapDrop && beat < tapTimes {
			offs = append(offs, t-beat*tapEvery)
		}
	}
	if len(offs) < tapFewest {
		return 0, false
	}
	slices.Sort(offs)
	return (offs[(len(offs)-1)/2] + offs[len(offs)/2]) / 2, true
}

// lateness is what the taps say.
func lateness(heard, seen []time.Duration) string {
	h, okH := behind(heard)
	v, okV := behind(seen)
	if !okH || !okV {
		return fmt.Sprintf("too few taps to say: %d with the beeps and %d with the marks, at least %d of each are wanted\r\n", len(heard), len(seen), tapFewest)
	}
	late := (h - v).Round(5 * time.Millisecond)
	text := fmt.Sprintf("The sound is %d ms behind the picture, give or take about 40.\r\n", late.Milliseconds())
	switch {
	case late > 250*time.Millisecond:
		text += "More than 250 ms could be a whole beat: measure again. A wired loudspeaker is better beside a lathe.\r\n"
	case late > 130*time.Millisecond:
		text += "This is what wireless links do. Nothing in a run depends on it: what matters is pressed when the hands are ready.\r\nIf the first word is cut, add --lead-in 300ms.\r\n"
	}
	return text
}

package speaker

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/gopxl/beep/v2"

	"turncue/sounds"
)

// The test program plays two parts besides its own: a player program that a pipe
// device starts, and a program that speaks to a real sound server.
const (
	asPlayer  = "as-player"  // its first argument; the second says how
	asSpeaker = "as-speaker" // its first argument; the second is the choice of device
)

func TestMain(m *testing.M) {
	if len(os.Args) == 3 {
		switch os.Args[1] {
		case asPlayer:
			actAsPlayer(os.Args[2])
			return
		case asSpeaker:
			actAsSpeaker(os.Args[2])
			return
		}
	}
	os.Exit(m.Run())
}

// actAsPlayer does with its standard input what the word before the colon says.
func actAsPlayer(how string) {
	how, arg, _ := strings.Cut(how, ":")
	switch how {
	case "record": // at the pace of a sound card
		f, err := os.Create(arg)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		tick := time.NewTicker(10 * time.Millisecond)
		for {
			n, err := io.CopyN(f, os.Stdin, int64(bytesPerSec/100))
			if err != nil || n == 0 {
				break
			}
			<-tick.C
		}
		f.Close()
	case "refuse":
		fmt.Fprintln(os.Stderr, "first complaint\nno such sink")
		os.Exit(1)
	case "stall":
		select {}
	case "die": // once it counts as playing
		<-time.After(earlyDeath + 100*time.Millisecond)
		fmt.Fprintln(os.Stderr, "stream killed")
		os.Exit(3)
	}
}

// actAsSpeaker speaks through the choice of device. Every line on its standard input
// is a cue, its parts parted by "|"; after each it waits until all was said. Three lines
// are orders: "tone" plays ten seconds of one, "hush" hushes, and "cues N" plays so many
// tones of 300 ms, one every 300 ms, and tells how many goroutines there are more than
// before. What the player tells goes to standard output.
func actAsSpeaker(choice string) {
	var o Options
	if err := o.Choice.UnmarshalText([]byte(choice)); err != nil {
		fmt.Println(err)
		os.Exit(2)
	}
	o.Tell = func(line string) { fmt.Println(line) }
	p := Open(o)
	<-p.Settled()
	fmt.Println("settled:", p.Device())
	in := bufio.NewScanner(os.Stdin)
	for in.Scan() {
		order, number, _ := strings.Cut(in.Text(), " ")
		switch order {
		case "tone":
			p.Play(tone(10 * time.Second))
			fmt.Println("tone")
			continue
		case "hush":
			p.Hush()
			fmt.Println("hush")
			continue
		case "cues":
			n, err := strconv.Atoi(number)
			if err != nil {
				fmt.Println(err)
				os.Exit(2)
			}
			before := runtime.NumGoroutine()
			tick := time.NewTicker(cueEvery)
			for range n {
				p.Play(tone(cueEvery))
				<-tick.C
			}
			tick.Stop()
			p.Hush()
			fmt.Println("cues:", n, "goroutines:", max(0, runtime.NumGoroutine()-before))
			continue
		}
		clip, err := sounds.Default().Render(strings.Split(in.Text(), "|"))
		if err != nil {
			fmt.Println(err)
			os.Exit(2)
		}
		p.Play(clip.Streamer())
		if err := p.WaitQuiet(context.Background()); err != nil {
			fmt.Println(err)
			os.Exit(2)
		}
		fmt.Println("said:", in.Text())
	}
	p.Close()
}

const cueEvery = 300 * time.Millisecond

// tone is 1 kHz at a quarter of full scale.
func tone(d time.Duration) beep.Streamer {
	at, end := 0, sounds.Rate.N(d)
	return beep.StreamerFunc(func(out [][2]float64) (int, bool) {
		n := min(end-at, len(out))
		for i := range n {
			v := math.Sin(2*math.Pi*1000*sounds.Rate.D(at+i).Seconds()) / 4
			out[i] = [2]float64{v, v}
		}
		at += n
		return n, n > 0
	})
}

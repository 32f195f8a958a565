package speaker

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"turncue/sounds"
)

// pipeTo is a pipe device whose player program is this test program.
func pipeTo(how string) *pipeDevice {
	return &pipeDevice{name: "player program", commands: [][]string{{"no-such-player-program"}, {os.Args[0], asPlayer, how}}}
}

func TestPipeGivesEverySample(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "heard.raw")
	p := Open(Options{Devices: []Device{pipeTo("record:" + path)}})
	clip := sounds.Advance.Clip()
	p.Play(clip.Streamer()) // and quit at once
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	heard, want := leftEar(data), clip.Samples()
	whole := func(at int) bool {
		for i, w := range want {
			if float64(heard[at+i]) != w*32768 {
				return false
			}
		}
		return true
	}
	for at := 0; at+len(want) <= len(heard); at++ {
		if whole(at) {
			return
		}
	}
	t.Errorf("the beep of %d samples did not reach the player program whole; it was given %d", len(want), len(heard))
}

func TestPipeRefused(t *testing.T) {
	t.Parallel()
	d := pipeTo("refuse:")
	err := d.Start(&feed{p: &Player{}})
	want := filepath.Base(os.Args[0]) + " ended: no such sink"
	if err == nil || err.Error() != want {
		t.Errorf("error %v, want %q", err, want)
	}
	if d.Close() != nil || d.Err() != nil {
		t.Error("a device that did not start is not idle")
	}
}

func TestPipeWithoutAPlayerProgram(t *testing.T) {
	t.Parallel()
	d := &pipeDevice{commands: [][]string{{"no-such-player-a"}, {"no-such-player-b"}}}
	if err := d.Start(nil); err == nil || err.Error() != "no-such-player-a and no-such-player-b not found" {
		t.Errorf("error %v", err)
	}
}

// A player program that takes nothing neither blocks the feed for ever nor Close.
func TestPipeStalled(t *testing.T) {
	t.Parallel()
	d := pipeTo("stall:")
	if err := d.Start(&feed{p: &Player{}}); err != nil {
		t.Fatal(err)
	}
	if d.Err() != nil || d.Name() != filepath.Base(os.Args[0]) {
		t.Errorf("%s: %v", d.Name(), d.Err())
	}
	c := d.current()
	start := time.Now()
	d.Close()
	if took := time.Since(start); took > 2*closeLimit {
		t.Errorf("Close took %v", took)
	}
	if _, err := c.stdin.Write(make([]byte, 4)); err == nil {
		t.Error("the pipe is still open")
	}
}

func TestPipeDies(t *testing.T) {
	t.Parallel()
	d := pipeTo("die:")
	lines := make(chan string, 8)
	p := Open(Options{Devices: []Device{d}, Tell: func(s string) { lines <- s }})
	defer p.Close()
	<-p.Settled()
	want := "sound lost: " + filepath.Base(os.Args[0]) + " ended: stream killed; going on with screen and terminal bell"
	if got := <-lines; got != want {
		t.Errorf("told %q, want %q", got, want)
	}
}

func TestPipeStartsAgain(t *testing.T) {
	t.Parallel()
	d := pipeTo("stall:")
	if err := d.Start(&feed{p: &Player{}}); err != nil {
		t.Fatal(err)
	}
	first := d.current()
	if err := d.Start(&feed{p: &Player{}}); err != nil {
		t.Fatal(err)
	}
	select {
	case <-first.ended:
	default:
		t.Error("the first program still runs")
	}
	d.Close()
}

func TestTailKeepsTheLastWords(t *testing.T) {
	t.Parallel()
	var s tail
	for range 100 {
		io.WriteString(&s, strings.Repeat("noise ", 20)+"\n")
	}
	io.WriteString(&s, "the reason\n\n")
	if got := s.lastLine(nil); got != "the reason" || len(s.buf) > 1024 {
		t.Errorf("%q, %d bytes kept", got, len(s.buf))
	}
	var none tail
	if got := none.lastLine(nil); got != "without a reason" {
		t.Errorf("%q", got)
	}
	if got := none.lastLine(io.EOF); got != "EOF" {
		t.Errorf("%q", got)
	}
}

//go:build !static

package speaker

import (
	"errors"
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/ebitengine/oto/v3"

	"turncue/sounds"
)

// otoDevice plays in this process. The library allows one context in the life of a
// process, also after a failure, so a second Start always fails.
type otoDevice struct {
	mu     sync.Mutex
	used   bool
	player *oto.Player // kept reachable, or it would stop
}

func inProcess() Device { return &otoDevice{} }

func (d *otoDevice) Name() string { return "in-process sound" }

func (d *otoDevice) Start(samples io.Reader) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.used {
		return errors.New("cannot be opened twice in one run")
	}
	d.used = true
	ctx, ready, err := oto.NewContext(&oto.NewContextOptions{
		SampleRate:      int(sounds.Rate),
		ChannelCount:    2,
		Format:          oto.FormatSignedInt16LE,
		BufferSize:      Latency / 2,
		ApplicationName: "turncue",
	})
	if err != nil {
		return err
	}
	limit := time.NewTimer(openLimit)
	defer limit.Stop()
	select {
	case <-ready:
	case <-limit.C:
		return fmt.Errorf("not ready after %v", openLimit)
	}
	// Asked once: later the answer may be nil for ever although nothing plays.
	if err := ctx.Err(); err != nil {
		return err
	}
	d.player = ctx.NewPlayer(samples)
	d.player.SetBufferSize(bytesPerSec / int(time.Second/(Latency/2)))
	d.player.Play()
	return nil
}

// Err is always nil: this device does not tell reliably.
func (d *otoDevice) Err() error { return nil }

func (d *otoDevice) Close() error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.player == nil {
		return nil
	}
	t := time.NewTimer(Latency + Latency/4)
	defer t.Stop()
	<-t.C
	d.player.PauseAndStopReading()
	d.player = nil
	return nil
}

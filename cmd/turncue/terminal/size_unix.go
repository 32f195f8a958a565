//go:build unix

package terminal

import (
	"os"
	"os/signal"

	"golang.org/x/sys/unix"
)

// watchSize calls redraw when the window has changed its size, or the process
// goes on after a stop, until it is told to stop.
func watchSize(redraw func()) (stop func()) {
	c, done := make(chan os.Signal, 1), make(chan struct{})
	signal.Notify(c, unix.SIGWINCH, unix.SIGCONT)
	go func() {
		for {
			select {
			case <-c:
				redraw()
			case <-done:
				return
			}
		}
	}()
	return func() {
		signal.Stop(c)
		close(done)
	}
}

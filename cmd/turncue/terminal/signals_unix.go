//go:build unix

package terminal

import (
	"os"
	"os/signal"
	"time"

	"golang.org/x/sys/unix"
)

const canSuspend = true

func notify(c chan os.Signal) {
	signal.Notify(c, unix.SIGINT, unix.SIGTERM, unix.SIGHUP, unix.SIGTSTP)
}

func stopNotify(c chan os.Signal) { signal.Stop(c) }

// signal turns a signal into a key, or suspends.
func (k *Keys) signal(s os.Signal, signals chan os.Signal) {
	if s == unix.SIGTSTP {
		k.suspend(signals)
		return
	}
	k.send(Key{Name: signalName(s), At: k.Now()})
}

func signalName(s os.Signal) string {
	switch s {
	case unix.SIGTERM:
		return "terminate"
	case unix.SIGHUP:
		return "hangup"
	}
	return "interrupt"
}

// suspend gives the terminal back, stops the whole job, and takes the terminal
// again when the job is in front once more. A shell leaves the terminal in its own
// mode then, so nothing can be kept over the stop. Keys pressed meanwhile are lost.
func (k *Keys) suspend(signals chan os.Signal) {
	if k.source == nil {
		return
	}
	screen := k.opt.Screen != nil && k.opt.Screen.Entered()
	k.detach()
	k.asm, k.burst = assembler{gap: k.opt.gap}, burst{}

	goOn := make(chan os.Signal, 1)
	signal.Notify(goOn, unix.SIGCONT)
	defer signal.Stop(goOn)
	signal.Reset(unix.SIGTSTP)
	unix.Kill(0, unix.SIGTSTP) // has no effect where no shell could let it go on
	select {
	case <-goOn:
	case <-time.After(stopLimit):
	}
	signal.Notify(signals, unix.SIGTSTP)

	front := time.NewTicker(backPoll)
	defer front.Stop()
	for !k.tty.inFront() {
		select {
		case <-front.C:
		case s := <-signals:
			if s != unix.SIGTSTP {
				k.send(Key{Name: signalName(s), At: k.Now()})
				return
			}
		case <-k.quit:
			return
		}
	}
	if err := k.attach(); err != nil {
		k.lost = true
		k.Restore()
		k.send(Key{Name: "hangup", At: k.Now()})
		return
	}
	if screen {
		k.opt.Screen.Enter()
	}
	k.send(Key{Name: "resumed", At: k.Now()})
}

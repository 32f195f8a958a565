//go:build unix

package terminal

import (
	"os"
	"os/signal"
	"sync/atomic"
	"time"

	"golang.org/x/sys/unix"
)

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

// starter is the process that started the guard, 0 without a guard.
var starter atomic.Int64

// canSuspend tells whether somebody could let a stopped program go on: a process
// of the same session but another group has started it. A terminal window that runs
// nothing but this program has no such process, and a stop would be for good.
func canSuspend() bool {
	parent := int(starter.Load())
	if parent == 0 {
		parent = os.Getppid()
	}
	ours, err := unix.Getsid(0)
	if err != nil {
		return false
	}
	theirs, err := unix.Getsid(parent)
	if err != nil || theirs != ours {
		return false
	}
	group, err := unix.Getpgid(parent)
	return err == nil && group != unix.Getpgrp()
}

// suspend gives the terminal back, stops the whole job, and takes the terminal
// again when the job is in front once more. A shell leaves the terminal in its own
// mode then, so nothing can be kept over the stop. Keys pressed meanwhile are lost.
func (k *Keys) suspend(signals chan os.Signal) {
	if k.source == nil || !canSuspend() {
		return
	}
	screen := k.opt.Screen != nil && k.opt.Screen.Entered()
	k.detach()
	k.asm, k.burst = assembler{gap: k.opt.gap}, burst{}

	goOn := make(chan os.Signal, 1)
	signal.Notify(goOn, unix.SIGCONT)
	defer signal.Stop(goOn)
	unix.Kill(0, unix.SIGSTOP)
	select {
	case <-goOn:
	case <-k.quit:
		return
	}

	front := time.NewTicker(backPoll)
	defer front.Stop()
	for !k.tty.inFront() {
		select {
		case <-front.C:
			if k.tty.lost() {
				k.lost = true
				k.send(Key{Name: "hangup", At: k.Now()})
				return
			}
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

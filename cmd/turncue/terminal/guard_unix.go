//go:build unix

package terminal

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"runtime/debug"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"

	"golang.org/x/sys/unix"
)

const (
	guardMark = "TURNCUE_GUARDED" // in the child's environment: its link, and who started the guard
	traceMax  = 256 << 10

	// what the child sends, beside the trace of a panic
	allIsWell = "\x06" // run has returned
	screenOn  = "\x01"
	screenOff = "\x02"

	placeSaved = "your place is saved: turncue resume"
)

// Guard runs the program as a child of itself, waits, and mends the terminal if
// the child crashes: a panic on any goroutine, or kill -9, against which no code
// inside can do anything. It returns the exit code of run, Crashed after a crash,
// having said on standard error what happened, or 128 and the signal if a signal
// that asks to end found the child not yet listening. Signals that ask to end are
// passed on. A child whose guard is killed gets a hangup.
//
// Without a terminal in front of it, or if it cannot start itself again, Guard just
// runs. Call it before anything else that has effects.
func Guard(run func() int) int {
	if mark := os.Getenv(guardMark); mark != "" {
		os.Unsetenv(guardMark)
		var fd, parent int
		if n, _ := fmt.Sscanf(mark, "%d %d", &fd, &parent); n == 2 {
			starter.Store(int64(parent))
			return guarded(run, fd)
		}
	}
	t, err := openTTY()
	if err != nil {
		return run()
	}
	defer t.close()
	if !t.inFront() {
		return run()
	}
	code, started := guard(t)
	if !started {
		return run()
	}
	return code
}

// guarded is Guard in the child.
func guarded(run func() int, fd int) int {
	unix.CloseOnExec(fd)
	end := os.NewFile(uintptr(fd), "guard")
	link.Store(end)
	debug.SetCrashOutput(end, debug.CrashOptions{})
	go func() { // nothing is ever sent down: the end means that the guard is gone
		io.Copy(io.Discard, end)
		unix.Kill(os.Getpid(), unix.SIGHUP)
	}()
	code := run()
	io.WriteString(end, allIsWell)
	return code
}

// guard starts the child and waits for it.
func guard(t *tty) (code int, started bool) {
	self, err := os.Executable()
	if err != nil {
		return 0, false
	}
	pair, err := unix.Socketpair(unix.AF_UNIX, unix.SOCK_STREAM, 0)
	if err != nil {
		return 0, false
	}
	unix.CloseOnExec(pair[0])
	unix.CloseOnExec(pair[1])
	ours, theirs := os.NewFile(uintptr(pair[0]), "guard"), os.NewFile(uintptr(pair[1]), "child")
	defer ours.Close()

	child := exec.Command(self, os.Args[1:]...)
	child.Args[0] = os.Args[0]
	child.Stdin, child.Stdout, child.Stderr = os.Stdin, os.Stdout, os.Stderr
	child.ExtraFiles = []*os.File{theirs}
	child.Env = append(os.Environ(), fmt.Sprintf("%s=3 %d", guardMark, os.Getppid()))

	signals := make(chan os.Signal, 8)
	signal.Notify(signals, unix.SIGINT, unix.SIGTERM, unix.SIGHUP, unix.SIGQUIT)
	defer signal.Stop(signals)
	err = child.Start()
	theirs.Close()
	if err != nil {
		return 0, false
	}

	over := make(chan struct{})
	go func() {
		for {
			select {
			case s := <-signals:
				child.Process.Signal(s)
			case <-over:
				return
			}
		}
	}()
	var message []byte
	var reading sync.WaitGroup
	reading.Go(func() {
		message, _ = io.ReadAll(io.LimitReader(ours, traceMax))
		io.Copy(io.Discard, ours)
	})
	err = child.Wait()
	close(over)
	reading.Wait()
	return verdict(t, child.ProcessState, err, string(message)), true
}

// verdict is the exit code for a child that has ended, with the terminal put back
// if it ended badly.
func verdict(t *tty, state *os.ProcessState, err error, message string) int {
	well := strings.Contains(message, allIsWell)
	inScreen := strings.LastIndex(message, screenOn) > strings.LastIndex(message, screenOff)
	trace := strings.NewReplacer(allIsWell, "", screenOn, "", screenOff, "").Replace(message)
	if state == nil {
		t.mend(inScreen)
		fmt.Fprintf(os.Stderr, "turncue: the run was lost sight of (%v)\n%s\n", err, placeSaved)
		return Crashed
	}
	status, _ := state.Sys().(syscall.WaitStatus)
	tidy := trace == "" && !inScreen && !t.changed()
	switch {
	case status.Exited() && well:
		return status.ExitStatus()
	case status.Exited() && tidy && status.ExitStatus() != 2: // 2 is also how a panic ends
		return status.ExitStatus()
	case status.Signaled() && tidy && asks(status.Signal()):
		return 128 + int(status.Signal())
	}
	t.mend(inScreen)
	if trace != "" {
		fmt.Fprintln(os.Stderr, trace)
	}
	fmt.Fprintf(os.Stderr, "turncue: the run has crashed (%v)\n%s\n", state, placeSaved)
	return Crashed
}

// asks tells whether a signal asks a program to end, rather than breaks it.
func asks(s syscall.Signal) bool {
	return s == unix.SIGINT || s == unix.SIGTERM || s == unix.SIGHUP
}

// link is the child's end of its connection to the guard, nil without one. It is
// the process's, as the terminal is.
var link atomic.Pointer[os.File]

// tellGuard lets the guard know whether the screen is in use, so that it leaves it
// if nobody else can.
func tellGuard(inScreen bool) {
	if l := link.Load(); l != nil {
		if inScreen {
			io.WriteString(l, screenOn)
		} else {
			io.WriteString(l, screenOff)
		}
	}
}

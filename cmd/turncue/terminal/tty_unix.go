//go:build unix

package terminal

import (
	"errors"
	"fmt"
	"os"
	"sync"

	"golang.org/x/sys/unix"
)

// A tty is the controlling terminal, held open apart from the reader so that it
// can be put back whatever the reader does.
type tty struct {
	mu    sync.Mutex // only around close
	fd    int
	saved unix.Termios
	mode  string // what leaves the modes that were entered
}

// leaveModes: paste unmarked, cursor keys and number pad as at the start.
const leaveModes = "\x1b[?2004l\x1b[?1l\x1b>"

func openTTY() (*tty, error) {
	fd, err := unix.Open("/dev/tty", unix.O_RDWR|unix.O_NOCTTY|unix.O_CLOEXEC, 0)
	if errors.Is(err, unix.ENXIO) || errors.Is(err, unix.ENOENT) || errors.Is(err, unix.ENODEV) {
		return nil, ErrNoTerminal
	}
	if err != nil {
		return nil, fmt.Errorf("terminal /dev/tty cannot be opened (%w): start it in another terminal, or send it events with --control -", err)
	}
	saved, err := unix.IoctlGetTermios(fd, ioctlGet)
	if err != nil {
		unix.Close(fd)
		return nil, fmt.Errorf("terminal /dev/tty does not tell its settings (%w): start it in another terminal", err)
	}
	return &tty{fd: fd, saved: *saved}, nil
}

// inFront tells whether the process may use the terminal. To a process in the
// background the settings are forbidden, and trying stops it without a word.
func (t *tty) inFront() bool {
	group, err := unix.IoctlGetInt(t.fd, unix.TIOCGPGRP)
	return err == nil && group == unix.Getpgrp()
}

// lost tells whether the terminal has gone away.
func (t *tty) lost() bool {
	_, err := unix.IoctlGetTermios(t.fd, ioctlGet)
	return err != nil
}

// flush throws away what has been typed and not read.
func (t *tty) flush() { flushInput(t.fd) }

// strip makes the input raw and seven bits wide. A byte that is no UTF-8 makes
// the reader deaf for good, and seven bits are always UTF-8. The rest is what the
// reader has set already, unless it thought that it had.
func (t *tty) strip() {
	now, err := unix.IoctlGetTermios(t.fd, ioctlGet)
	if err != nil {
		return
	}
	now.Iflag &^= unix.IGNBRK | unix.BRKINT | unix.PARMRK | unix.INLCR | unix.IGNCR | unix.ICRNL | unix.IXON
	now.Iflag |= unix.ISTRIP
	now.Lflag &^= unix.ECHO | unix.ECHONL | unix.ICANON | unix.ISIG | unix.IEXTEN
	now.Cc[unix.VMIN], now.Cc[unix.VTIME] = 1, 0
	unix.IoctlSetTermios(t.fd, ioctlSet, now)
}

// prepare puts the terminal into the mode its key table is for, and has pasted
// text marked as such. A terminal that knows no modes gets none.
func (t *tty) prepare(name string, table bool) {
	if name == "" || name == "dumb" {
		return
	}
	_, mode := tableFor(name)
	if !table {
		mode = "\x1b[?1l\x1b>" // the number pad sends digits
	}
	t.write(mode + "\x1b[?2004h")
	t.mode = leaveModes
}

// restore puts the settings and modes back. From the background it must not: the
// terminal is another program's then.
func (t *tty) restore() {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.fd < 0 || !t.inFront() {
		return
	}
	t.write(t.mode)
	unix.IoctlSetTermios(t.fd, ioctlSet, &t.saved)
}

// changed tells whether the settings are not those that were found.
func (t *tty) changed() bool {
	now, err := unix.IoctlGetTermios(t.fd, ioctlGet)
	return err == nil && *now != t.saved
}

// mend puts the terminal back for a process that can no longer do it.
func (t *tty) mend(inScreen bool) {
	if name := os.Getenv("TERM"); name != "" && name != "dumb" {
		t.mode = leaveModes
		if inScreen {
			t.mode = leaveScreen + leaveModes
		}
	}
	t.restore()
}

func (t *tty) write(s string) {
	for b := []byte(s); len(b) > 0; {
		n, err := unix.Write(t.fd, b)
		if err != nil && err != unix.EINTR {
			return
		}
		b = b[max(n, 0):]
	}
}

func (t *tty) close() {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.fd >= 0 {
		unix.Close(t.fd)
		t.fd = -1
	}
}

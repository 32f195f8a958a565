//go:build darwin || dragonfly || freebsd || netbsd || openbsd

package terminal

import "golang.org/x/sys/unix"

const (
	ioctlGet = unix.TIOCGETA
	ioctlSet = unix.TIOCSETA
)

func flushInput(fd int) {
	const read = 1 // FREAD: the input queue
	unix.IoctlSetPointerInt(fd, unix.TIOCFLUSH, read)
}

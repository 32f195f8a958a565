package speaker

import (
	"os"
	"os/exec"
	"syscall"
)

// ownGroup keeps a Ctrl-C at the terminal from reaching the child before us, and
// ends the child should this process die without a word.
func ownGroup(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}

const setPipeSize = 1031 // F_SETPIPE_SZ of fcntl(2)

// shrinkPipe makes the pipe hold a few hundredths of a second instead of a third of
// one. Without it sound only comes later.
func shrinkPipe(w *os.File, size int) {
	conn, err := w.SyscallConn()
	if err != nil {
		return
	}
	_ = conn.Control(func(fd uintptr) {
		_, _, _ = syscall.Syscall(syscall.SYS_FCNTL, fd, setPipeSize, uintptr(size))
	})
}

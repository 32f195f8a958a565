//go:build unix

package sounds

import (
	"os/exec"
	"syscall"
)

// together makes the shell and all it starts end as one.
func together(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}

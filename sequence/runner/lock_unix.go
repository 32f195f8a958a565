//go:build unix

package runner

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lock takes the file for this process alone, or says that another has it. The
// kernel frees it when the process ends, however it ends.
func lock(f *os.File) (taken bool, err error) {
	for {
		err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
		if !errors.Is(err, unix.EINTR) {
			break
		}
	}
	if errors.Is(err, unix.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}

// syncDir makes a new name in a directory last.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

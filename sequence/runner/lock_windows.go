package runner

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lock takes the file for this process alone, or says that another has it. The byte
// locked lies far beyond any content, because a locked byte cannot be read by others.
// The system frees it when the process ends, however it ends.
func lock(f *os.File) (taken bool, err error) {
	at := &windows.Overlapped{Offset: 0, OffsetHigh: 1 << 30}
	err = windows.LockFileEx(windows.Handle(f.Fd()),
		windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, at)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		return false, nil
	}
	return err == nil, err
}

// syncDir does nothing: directories are not synced by hand here.
func syncDir(string) error { return nil }

package take

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lock takes the lock of an open file, which goes with the file's closing or
// the process's end, however that comes. Without wait it returns errLocked
// where another holds it. It covers a byte far behind the end, so that others
// may read the file.
func lock(f *os.File, wait bool) error {
	flags := uint32(windows.LOCKFILE_EXCLUSIVE_LOCK)
	if !wait {
		flags |= windows.LOCKFILE_FAIL_IMMEDIATELY
	}
	err := windows.LockFileEx(windows.Handle(f.Fd()), flags, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return errLocked
	}
	return err
}

//go:build unix

package take

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// lock takes the advisory lock of an open file, which goes with the file's
// closing or the process's end, however that comes. Without wait it returns
// errLocked where another holds it.
func lock(f *os.File, wait bool) error {
	how := unix.LOCK_EX
	if !wait {
		how |= unix.LOCK_NB
	}
	for {
		err := unix.Flock(int(f.Fd()), how)
		switch {
		case errors.Is(err, unix.EINTR):
			continue
		case errors.Is(err, unix.EWOULDBLOCK):
			return errLocked
		}
		return err
	}
}

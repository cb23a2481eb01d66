//go:build unix && !nomic

package audio

import (
	"os"
	"runtime/debug"
	"sync"

	"golang.org/x/sys/unix"
)

// quiet is the state of Quiet: how many asked for it, and where standard error
// went before.
var quiet struct {
	sync.Mutex
	depth int
	saved *os.File
}

// Quiet sends file descriptor 2 to nowhere until restore is called, as the
// sound libraries print to it what they like. Calls may overlap; the last
// restore counts. A program that draws on a terminal wants it for as long as
// a device is open; its own messages to standard error are lost as well, but
// for what the Go runtime says when the program crashes.
func Quiet() (restore func()) {
	quiet.Lock()
	defer quiet.Unlock()
	if quiet.depth == 0 && !divert() {
		return func() {}
	}
	quiet.depth++
	return sync.OnceFunc(func() {
		quiet.Lock()
		defer quiet.Unlock()
		if quiet.depth--; quiet.depth == 0 {
			unix.Dup2(int(quiet.saved.Fd()), 2)
			debug.SetCrashOutput(nil, debug.CrashOptions{})
			quiet.saved.Close()
		}
	})
}

// divert keeps a copy of descriptor 2 and points it to the null device.
func divert() bool {
	null, err := unix.Open("/dev/null", unix.O_WRONLY|unix.O_CLOEXEC, 0)
	if err != nil {
		return false
	}
	defer unix.Close(null)
	saved, err := unix.FcntlInt(2, unix.F_DUPFD_CLOEXEC, 3)
	if err != nil {
		return false
	}
	quiet.saved = os.NewFile(uintptr(saved), "standard error")
	if unix.Dup2(null, 2) != nil {
		quiet.saved.Close()
		return false
	}
	debug.SetCrashOutput(quiet.saved, debug.CrashOptions{}) // or a crash would be silent
	return true
}

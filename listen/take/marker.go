package take

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// markerName is the file that stands in a take's folder until the take is
// whole. Its recorder holds its lock: a marker that can be locked is of a
// recording that was cut short.
const markerName = "recording"

// closedMark is what the marker says once the sound is whole, and only the
// verdicts or the cue points may be missing.
const closedMark = "sound complete\n"

var errLocked = errors.New("another process holds the lock")

// marker is a held marker.
type marker struct {
	f    *os.File
	path string
}

// mark sets the marker of a folder that has none.
func mark(dir string) (*marker, error) {
	path := filepath.Join(dir, markerName)
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, fmt.Errorf("cannot begin the recording: %w", err)
	}
	// Someone who repairs takes may have locked it in between; that does not
	// last, as there is no sound yet.
	if err := lock(f, true); err != nil {
		f.Close()
		os.Remove(path)
		return nil, fmt.Errorf("cannot begin the recording: %w", err)
	}
	return &marker{f, path}, nil
}

// adopt takes over the marker of a take that was cut short. Both results are
// nil where the folder has no marker or its recording still runs.
func adopt(dir string) (*marker, error) {
	path := filepath.Join(dir, markerName)
	if st, err := os.Lstat(path); err != nil || !st.Mode().IsRegular() {
		return nil, nil
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	if err := lock(f, false); err != nil {
		f.Close()
		if errors.Is(err, errLocked) {
			return nil, nil
		}
		return nil, err
	}
	// It may have been completed and unmarked between opening and locking.
	if _, err := os.Lstat(path); err != nil {
		f.Close()
		return nil, nil
	}
	return &marker{f, path}, nil
}

// closed notes that the sound is whole.
func (m *marker) closed() error {
	if _, err := m.f.WriteAt([]byte(closedMark), 0); err != nil {
		return err
	}
	return m.f.Sync()
}

func (m *marker) isClosed() bool {
	var b [len(closedMark)]byte
	n, err := m.f.ReadAt(b[:], 0)
	return (err == nil || err == io.EOF) && string(b[:n]) == closedMark
}

// release gives the lock back and leaves the marker.
func (m *marker) release() error { return m.f.Close() }

// clear takes the marker away: the take is whole.
func (m *marker) clear() error {
	// Closed first: some systems do not remove what is open.
	err := m.f.Close()
	return errors.Join(err, os.Remove(m.path))
}

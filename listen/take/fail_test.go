package take

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"bordon/listen"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// calls counts what is asked of a disk and fails from a call on, or at it
// alone.
type calls struct {
	mu     sync.Mutex
	made   int
	failAt int
	once   bool
}

func (c *calls) fails() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.made++
	return c.made == c.failAt || c.made > c.failAt && !c.once && c.failAt > 0
}

// faulty is a file of such a disk: a write that fails has written half.
type faulty struct {
	*os.File
	*calls
}

func (f faulty) WriteAt(p []byte, at int64) (int, error) {
	if f.fails() {
		n, _ := f.File.WriteAt(p[:len(p)/2], at)
		return n, errNoSpace
	}
	return f.File.WriteAt(p, at)
}

func (f faulty) Sync() error {
	if f.fails() {
		return errNoSpace
	}
	return nil // the test needs no disk
}

func (f faulty) Truncate(n int64) error {
	if f.fails() {
		return errNoSpace
	}
	return f.File.Truncate(n)
}

func (f faulty) Close() error {
	err := f.File.Close()
	if f.fails() {
		return errNoSpace
	}
	return err
}

type faultyMark struct {
	*marker
	*calls
}

func (m faultyMark) closed() error {
	if m.fails() {
		return errNoSpace
	}
	return m.marker.closed()
}

func (m faultyMark) clear() error {
	if m.fails() {
		m.marker.release()
		return errNoSpace
	}
	return m.marker.clear()
}

// recordFaulty records the performance on a disk that fails. written is what
// the recorder says that it had taken.
func recordFaulty(t *testing.T, root string, c *calls) (dir string, written int, err error) {
	t.Helper()
	dir, err = NewFolder(root, started, "G")
	require.NoError(t, err)
	m, err := mark(dir)
	require.NoError(t, err)
	f, err := os.OpenFile(filepath.Join(dir, WAVName), os.O_RDWR|os.O_CREATE, 0o644)
	require.NoError(t, err)
	rec, err := newRecorder(faulty{f, c}, faultyMark{m, c}, dir, testRate)
	if err != nil {
		f.Close()
		m.release()
		return dir, 0, err
	}
	rec.replace = func(path string, v any) error {
		if c.fails() { // and its temporary file stays
			require.NoError(t, os.WriteFile(path+"123", []byte("{"), 0o600))
			return errNoSpace
		}
		return WriteJSON(path, v)
	}
	s, err := listen.NewSession(testSettings(t), testRate)
	require.NoError(t, err)
	if err := rec.WriteJSON(s.Take(started, listen.Devices{}, WAVName)); err != nil {
		rec.Close()
		return dir, 0, err
	}
	ran := listen.Run(context.Background(), &chunked{samples: played(t)}, rec, s, nil)
	written = int(rec.Samples())
	if err := rec.Finish(s.Take(started, listen.Devices{}, WAVName), testWords.Cues(s)); err != nil {
		return dir, written, err
	}
	return dir, written, ran
}

// Whatever call to the disk fails, alone or with all after it, the take opens
// after the next start with the sound that was written and the verdicts of
// that, and the player was told.
func TestEveryCallFails(t *testing.T) {
	counting := &calls{}
	dir, _, err := recordFaulty(t, t.TempDir(), counting)
	require.NoError(t, err)
	opens(t, dir, len(played(t)))
	require.Greater(t, counting.made, 100)
	step := 1
	if testing.Short() {
		step = 7
	}
	tried := 0
	for _, once := range []bool{true, false} {
		for at := 1; at <= counting.made; at += step {
			// What comes first and last is tried call by call.
			if at > 12 && at < counting.made-12 && (at%23 != 0 || testing.Short()) {
				continue
			}
			tried++
			t.Run(fmt.Sprintf("call %d, once %v", at, once), func(t *testing.T) {
				root := t.TempDir()
				dir, written, err := recordFaulty(t, root, &calls{failAt: at, once: once})
				if err == nil {
					// A flush is no call of its own where the disk was slow: there
					// may have been fewer calls. The take is whole then.
					opens(t, dir, len(played(t)))
					return
				}
				assert.ErrorIs(t, err, errNoSpace)
				repaired, err := Repair(context.Background(), root, testWords)
				require.NoError(t, err)
				if written == 0 && !exists(filepath.Join(dir, JSONName)) {
					return // it never began
				}
				require.Len(t, repaired, 1)
				require.NoError(t, repaired[0].Err)
				opens(t, dir, written)
				repaired, err = Repair(context.Background(), root, testWords)
				require.NoError(t, err)
				assert.Empty(t, repaired, "once is enough")
			})
		}
	}
	t.Logf("%d of %d calls tried", tried, 2*counting.made)
}

// drained is a disk that keeps what was flushed and loses the rest when the
// power goes.
type drained struct {
	mu         sync.Mutex
	now, saved []byte
	flushed    chan int // samples that the header announced at each flush
}

func (d *drained) WriteAt(p []byte, at int64) (int, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if need := int(at) + len(p); need > len(d.now) {
		d.now = append(d.now, make([]byte, need-len(d.now))...)
	}
	return copy(d.now[at:], p), nil
}

func (d *drained) Sync() error {
	d.mu.Lock()
	d.saved = append(d.saved[:0], d.now...)
	d.mu.Unlock()
	d.flushed <- 1
	return nil
}

func (d *drained) Truncate(n int64) error { return nil }
func (d *drained) Close() error           { return nil }

// When the power goes, at most the last second is lost: sizes are patched and
// the file flushed after each second of sound.
func TestPowerCut(t *testing.T) {
	d := &drained{flushed: make(chan int, 100)}
	rec, err := newRecorder(d, unmarked{}, "x", testRate)
	require.NoError(t, err)
	x := played(t)
	path := filepath.Join(t.TempDir(), WAVName)
	flushes := 0
	for at := 0; at+800 <= len(x); at += 800 {
		require.NoError(t, rec.Write(x[at:at+800]))
		if (at+800)%testRate == 0 { // a second is full: its flush comes
			<-d.flushed
			flushes++
		}
		d.mu.Lock()
		saved := append([]byte(nil), d.saved...)
		d.mu.Unlock()
		if len(saved) == 0 {
			require.Less(t, at, testRate)
			continue
		}
		require.NoError(t, os.WriteFile(path, saved, 0o644))
		got, r := readBack(t, path)
		require.False(t, r.Truncated())
		require.Equal(t, x[:len(got)], got)
		require.GreaterOrEqual(t, len(got), at+800-testRate, "all but the last second")
	}
	assert.GreaterOrEqual(t, flushes, 5)
	go func() {
		for range d.flushed {
		}
	}()
	require.NoError(t, rec.Close())
}

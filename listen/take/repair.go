package take

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// Repaired is a take whose recording had been cut short.
type Repaired struct {
	ID      string
	Seconds float64 // of sound that are there
	Empty   bool    // nothing had been recorded, and its folder is gone
	Err     error   // why it could not be made whole; it is tried again next time
}

// Repair makes whole every take under root whose recording was cut short by a
// crash, a kill or a full disk: its sound is closed where it ends, judged with
// its settings, and described. A recording that still runs, in this process or
// another, is left alone. It judges as long as there is sound to judge, and
// stops with ctx.
func Repair(ctx context.Context, root string, w Words) ([]Repaired, error) {
	root = rootOf(root)
	names, err := folders(root)
	if err != nil {
		return nil, err
	}
	var all []Repaired
	for _, id := range names {
		if ctx.Err() != nil {
			break
		}
		dir := filepath.Join(root, id)
		m, err := adopt(dir)
		if err != nil {
			all = append(all, Repaired{ID: id, Err: fmt.Errorf("cannot repair the take %q: %w", id, err)})
		}
		if m == nil {
			continue
		}
		if r, any := repair(ctx, dir, m, w); any {
			r.ID = id
			if r.Err != nil {
				r.Err = fmt.Errorf("cannot repair the take %q: %w", id, r.Err)
			}
			all = append(all, r)
		}
	}
	return all, nil
}

// abandoned is the age of a folder without sound that no recorder is about to
// use any more.
const abandoned = time.Minute

// repair makes one take whole, whose marker m is held, and gives m back.
func repair(ctx context.Context, dir string, m *marker, w Words) (r Repaired, any bool) {
	whole := false
	defer func() {
		if whole {
			r.Err = errors.Join(r.Err, m.clear())
		} else {
			m.release()
		}
	}()
	tidy(dir)
	st, err := os.Lstat(filepath.Join(dir, WAVName))
	described := exists(filepath.Join(dir, JSONName))
	if errors.Is(err, fs.ErrNotExist) || err == nil && st.Size() <= headerSize && !described {
		// Nothing was recorded. A recorder may be about to begin.
		at, err := m.f.Stat()
		if err != nil || time.Since(at.ModTime()) < abandoned {
			return Repaired{}, false
		}
		m.release()
		os.Remove(m.path)
		if st != nil {
			os.Remove(filepath.Join(dir, WAVName))
		}
		return Repaired{Empty: true, Err: os.Remove(dir)}, true
	}
	if err != nil {
		return Repaired{Err: err}, true
	}
	s, err := Load(dir)
	if err != nil {
		return Repaired{Err: err}, true
	}
	n, err := closeSound(s.WAV(), s.Take.Settings.Rate, m.isClosed())
	if err != nil {
		return Repaired{Err: err}, true
	}
	r.Seconds = float64(n/bytesPerSample) / float64(s.Take.Settings.Rate)
	session, err := s.Judge(ctx, w)
	if err != nil {
		r.Err = err
		return r, true
	}
	started, err := time.Parse(time.RFC3339, s.Take.Started)
	if err != nil {
		r.Err = fmt.Errorf("it began at %q, which is no time", short(s.Take.Started))
		return r, true
	}
	t := session.Take(started, s.Take.Devices, WAVName)
	if r.Err = s.SetCues(w.cues(session)); r.Err == nil {
		r.Err = WriteJSON(filepath.Join(dir, JSONName), t)
	}
	whole = r.Err == nil
	return r, true
}

// closeSound makes the header of a WAV file whose recording was cut short say
// what is there, and returns how many bytes of samples that is. What is behind
// the last whole sample is cut off. Where the sound had been closed, the header
// is right and only what stands behind it may be damaged.
func closeSound(path string, rate int, closed bool) (n int64, err error) {
	if err := plain(path); err != nil {
		return 0, err
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	st, err := f.Stat()
	if err != nil {
		return 0, err
	}
	if st.Size() < headerSize {
		h := header(rate)
		_, err := f.WriteAt(h[:], 0)
		return 0, errors.Join(err, setTail(f, 0, nil))
	}
	same, n, err := openWAV(path, os.O_RDONLY)
	if err != nil {
		return 0, err
	}
	same.Close()
	if !closed {
		n = st.Size() - headerSize
		n = min(n-n%bytesPerSample, maxData)
	}
	if n%2 == 1 {
		if _, err := f.WriteAt([]byte{0}, headerSize+n); err != nil {
			return n, err
		}
	}
	return n, setTail(f, n, nil)
}

// tidy removes what a process left that was killed while it replaced a file.
func tidy(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		for _, name := range []string{JSONName, PlayerName, NewerName} {
			// The name of a temporary file is that of the file and a number.
			n, ours := strings.CutPrefix(e.Name(), name)
			if ours && n != "" && strings.Trim(n, "0123456789") == "" && e.Type().IsRegular() {
				os.Remove(filepath.Join(dir, e.Name()))
			}
		}
	}
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

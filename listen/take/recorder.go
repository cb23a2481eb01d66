package take

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"
)

// Recorder writes what is heard to a take's WAV file: mono, 24-bit PCM. Once a
// second the sizes in its header are brought up to date and the file is
// flushed to the disk, so that a recording survives the end of the program and
// of the machine but for its last second.
//
// Until Finish the take's folder is marked as being recorded. A recorder that
// ends otherwise leaves the mark, and Repair makes the take whole.
//
// It serves listen.Run as its Sink. Its methods are for one goroutine.
type Recorder struct {
	dir     string
	file    file
	mark    marking
	replace func(path string, v any) error // WriteJSON
	max     int64                          // bytes of samples that the file can hold

	buf     []byte // encoded samples on their way to the file
	at      int64  // bytes of samples written
	second  int64  // bytes of samples of a second
	flushed int64  // at, when a flush was last asked for

	safe   atomic.Int64  // at, for the flusher
	flush  chan struct{} // asks the flusher; closed to end it
	ended  chan struct{} // closed by the flusher
	closed bool

	mu          sync.Mutex
	err         error // the first error
	told        bool  // err was returned
	description any   // for take.json, not written yet
}

// file is what a Recorder needs of an *os.File.
type file interface {
	io.WriterAt
	Truncate(size int64) error
	Sync() error
	Close() error
}

// marking is what a Recorder needs of a *marker.
type marking interface {
	closed() error
	release() error
	clear() error
}

// ErrFull says that a WAV file holds no more: its sizes are 32-bit numbers of
// bytes, good for eight hours of 48,000 samples a second.
var ErrFull = errors.New("the recording has reached the 4 GiB that a WAV file can hold; start a new take")

// maxData is the largest even number of sample bytes that a RIFF file can
// announce, its own size counting the header as well. Sizes of all ones mean
// "unknown" to readers.
const maxData = 0xFFFFFFFE - (headerSize - 8)

// bufSamples is how many samples are encoded at a time.
const bufSamples = 4096

// Record makes the folder of a take (see NewFolder) and begins its WAV file of
// rate samples a second.
func Record(root string, started time.Time, key string, rate int) (*Recorder, error) {
	if rate < 1 {
		return nil, fmt.Errorf("cannot record at %d samples a second", rate)
	}
	dir, err := NewFolder(root, started, key)
	if err != nil {
		return nil, err
	}
	m, err := mark(dir)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(filepath.Join(dir, WAVName), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		m.release()
		return nil, fmt.Errorf("cannot begin the recording: %w", err)
	}
	r, err := newRecorder(f, m, dir, rate)
	if err != nil {
		f.Close()
		m.release()
		return nil, err
	}
	syncFolder(dir)
	return r, nil
}

// syncFolder has the names in a folder reach the disk, where the system can be
// asked for that.
func syncFolder(dir string) {
	for _, path := range []string{dir, filepath.Dir(dir)} {
		if d, err := os.Open(path); err == nil {
			_ = d.Sync()
			d.Close()
		}
	}
}

func newRecorder(f file, m marking, dir string, rate int) (*Recorder, error) {
	r := &Recorder{
		dir: dir, file: f, mark: m, replace: WriteJSON, max: maxData,
		buf:    make([]byte, bufSamples*bytesPerSample),
		second: int64(rate) * bytesPerSample,
		flush:  make(chan struct{}, 1),
		ended:  make(chan struct{}),
	}
	// Until the first flush the sizes are 0, which readers take to mean "to
	// the end of the file".
	h := header(rate)
	if _, err := f.WriteAt(h[:], 0); err != nil {
		return nil, fmt.Errorf("cannot begin the recording: %w", err)
	}
	go r.flusher()
	return r, nil
}

// Dir returns the take's folder.
func (r *Recorder) Dir() string { return r.dir }

// Path returns the WAV file.
func (r *Recorder) Path() string { return filepath.Join(r.dir, WAVName) }

// Samples returns how many samples were recorded.
func (r *Recorder) Samples() int64 { return r.safe.Load() / bytesPerSample }

// Quantise rounds samples in place to the 24 bits of the file and clamps what
// is beyond full scale; what is no number becomes 0. These very values come
// back when the file is read.
func (r *Recorder) Quantise(samples []float32) { Quantise(samples) }

// Write appends samples to the file, rounded as by Quantise. The first error,
// ErrFull among them, ends the recording: it is returned once, and all later
// samples are dropped in silence. What was written stays readable.
func (r *Recorder) Write(samples []float32) error {
	if r.closed {
		return errors.New("cannot record: the recording is closed")
	}
	for len(samples) > 0 && r.Err() == nil {
		n := min(len(samples), bufSamples)
		if room := (r.max - r.at) / bytesPerSample; int64(n) > room {
			n = int(room)
			r.fail(ErrFull)
		}
		b := encode(r.buf, samples[:n])
		wrote, err := r.file.WriteAt(b, headerSize+r.at)
		r.at += int64(wrote - wrote%bytesPerSample)
		r.safe.Store(r.at)
		if err != nil {
			r.fail(fmt.Errorf("cannot record any further: %w", err))
		}
		samples = samples[n:]
	}
	if r.at-r.flushed >= r.second {
		r.flushed = r.at
		select {
		case r.flush <- struct{}{}:
		default: // the disk is slow; the flush that waits will do for both
		}
	}
	return r.tell()
}

// flusher keeps the slow part of recording off the goroutine that listens.
func (r *Recorder) flusher() {
	defer close(r.ended)
	for range r.flush {
		r.mu.Lock()
		v := r.description
		r.description = nil
		r.mu.Unlock()
		if v != nil {
			// A description that fails ends nothing: the one at the end counts.
			_ = r.replace(filepath.Join(r.dir, JSONName), v)
		}
		r.save(r.safe.Load())
	}
}

// Describe has v written to take.json soon, replacing it whole, by the
// goroutine that flushes; v must not change any more. A later v may overtake
// an earlier one.
func (r *Recorder) Describe(v any) {
	r.mu.Lock()
	r.description = v
	r.mu.Unlock()
	if r.closed {
		return
	}
	select {
	case r.flush <- struct{}{}:
	default: // one waits already
	}
}

// save brings the header up to n bytes of samples and the file to the disk.
func (r *Recorder) save(n int64) {
	err := patch(r.file, n, 0)
	if err == nil {
		err = r.file.Sync()
	}
	if err != nil {
		r.fail(fmt.Errorf("cannot save the recording: %w", err))
	}
}

// Err returns the error that ended the recording, nil if none did.
func (r *Recorder) Err() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.err
}

func (r *Recorder) fail(err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.err == nil {
		r.err = err
	}
}

// tell returns the first error the first time.
func (r *Recorder) tell() error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.err == nil || r.told {
		return nil
	}
	r.told = true
	return r.err
}

// Finish ends the recording: it closes the sound, with cues behind it, and
// writes v to take.json. Where all of that succeeds the take is whole. Where
// the recording had failed before, as on a full disk, the take stays marked:
// its sound ends before its verdicts do, and Repair judges it again. It returns
// the first error that was not returned before.
func (r *Recorder) Finish(v any, cues []Cue) error {
	if r.closed {
		return errors.New("cannot finish a take twice")
	}
	whole := r.end(chunks(cues))
	if err := r.replace(filepath.Join(r.dir, JSONName), v); err != nil {
		whole = false
		r.fail(err)
	}
	if whole {
		if err := r.mark.clear(); err != nil {
			r.fail(fmt.Errorf("cannot complete the take: %w", err))
		}
	} else {
		r.mark.release()
	}
	return r.tell()
}

// Close ends the sound alone, also of a recording that failed, and leaves the
// take marked for Repair. It returns the recording's first error unless Write
// has returned it already. A second Close, or one after Finish, does nothing.
func (r *Recorder) Close() error {
	if r.closed {
		return nil
	}
	r.end(nil)
	r.mark.release()
	return r.tell()
}

// end completes the header and closes the file. It reports whether the
// recording is whole.
func (r *Recorder) end(tail []byte) bool {
	r.closed = true
	close(r.flush)
	<-r.ended
	if r.at%2 == 1 { // chunks have even lengths
		if _, err := r.file.WriteAt([]byte{0}, headerSize+r.at); err != nil {
			r.fail(fmt.Errorf("cannot save the recording: %w", err))
		}
	}
	r.save(r.at)
	whole := r.Err() == nil
	if whole {
		err := r.mark.closed()
		if err == nil {
			err = setTail(r.file, r.at, tail)
		}
		if err != nil {
			whole = false
			r.fail(fmt.Errorf("cannot save the recording: %w", err))
		}
	}
	if err := r.file.Close(); err != nil {
		whole = false
		r.fail(fmt.Errorf("cannot save the recording: %w", err))
	}
	return whole
}

// WriteJSON writes v to the take's take.json, see the function WriteJSON.
func (r *Recorder) WriteJSON(v any) error { return r.replace(filepath.Join(r.dir, JSONName), v) }

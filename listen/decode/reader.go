// Package decode turns sound files into mono samples, as a stream: no file is
// ever held in memory whole, whatever its header claims.
//
// WAV and FLAC are read here. Everything else that phones and recorders write
// (AAC, Opus, Vorbis, MP3, the sound of a video) goes through the program
// ffmpeg, where it is installed. What a file is, is told by its first bytes,
// never by its name.
package decode

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"slices"
)

// Limits of what can be judged.
const (
	MinRate     = 8000   // samples a second
	MaxRate     = 192000 // samples a second
	MaxChannels = 2
)

// maxSample is the largest magnitude a sample may have, full scale being 1.
// Float files are sometimes written on the scale of 32-bit integers; anything
// beyond that is damage, and its square could overflow a float32.
const maxSample = 1 << 31

// Reader gives the samples of one file, in order, mixed down to mono.
// It is for one goroutine; only Close may be called from another.
type Reader struct {
	path string
	dec  decoder
	file io.Closer // nil where dec holds the file itself
	pos  int64     // mono samples given so far
	err  error     // the first error, kept
}

// decoder is one opened file of one format.
type decoder interface {
	info() info
	// read fills dst with mono samples, at least one unless it returns an
	// error. io.EOF ends the stream; it may come with samples.
	read(ctx context.Context, dst []float32) (int, error)
	// truncated reports, after io.EOF, that the file stopped early.
	truncated() bool
	close() error
}

// info is what a header says.
type info struct {
	format   string // as told to people: "WAV, 24-bit"
	rate     int    // samples a second
	channels int
	length   int64 // samples for each channel, -1 if not known
}

// FileError says what was wrong with which file, in one sentence.
type FileError struct {
	Path   string
	Reason string // what is wrong and what would be right
	Err    error  // the cause, may be nil
}

func (e *FileError) Error() string { return fmt.Sprintf("cannot read %q: %s", e.Path, e.Reason) }

// Unwrap returns the cause.
func (e *FileError) Unwrap() error { return e.Err }

// Open opens the sound file at path and reads as much of it as is needed to
// know that there is sound in it. The Reader must be closed.
//
// The error is a *FileError with one sentence for a file that is missing, a
// directory, unreadable, not sound, empty, of a rate outside MinRate to
// MaxRate, of more than MaxChannels channels, of an unknown bit depth, or
// whose header contradicts itself. When ctx ends, so does the Reader.
func Open(ctx context.Context, path string) (*Reader, error) {
	f, size, err := openRegular(path)
	if err != nil {
		return nil, err
	}
	dec, err := sniff(ctx, f, size, path)
	if err == nil {
		err = checkInfo(dec.info())
		if err != nil {
			dec.close()
		}
	}
	if err != nil {
		f.Close()
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, wrap(path, err)
	}
	return &Reader{path: path, dec: dec, file: f}, nil
}

// openRegular opens path if it is a plain file with something in it.
func openRegular(path string) (*os.File, int64, error) {
	// Asked before opening, as opening a named pipe would wait for a writer.
	st, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, 0, &FileError{path, "there is no such file", err}
	case err != nil:
		return nil, 0, &FileError{path, cause(err), err}
	case st.IsDir():
		return nil, 0, &FileError{path, "it is a folder; name a sound file in it", nil}
	case !st.Mode().IsRegular():
		return nil, 0, &FileError{path, "it is a device or a pipe, not a file; record it to a file first", nil}
	case st.Size() == 0:
		return nil, 0, &FileError{path, "the file is empty", nil}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, 0, &FileError{path, cause(err), err}
	}
	return f, st.Size(), nil
}

// checkInfo refuses what cannot be judged.
func checkInfo(in info) error {
	switch {
	case in.rate < MinRate || in.rate > MaxRate:
		return fmt.Errorf("it has %d samples a second; %d to %d can be read", in.rate, MinRate, MaxRate)
	case in.channels < 1 || in.channels > MaxChannels:
		return fmt.Errorf("it has %d channels; mono and stereo can be read", in.channels)
	case in.length == 0:
		return errNoSamples
	}
	return nil
}

var errNoSamples = errors.New("it holds no samples; record it again")

// wrap makes a FileError of what a decoder says, leaving a context's own
// error as it is.
func wrap(path string, err error) error {
	var fe *FileError
	if errors.As(err, &fe) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return &FileError{path, cause(err), err}
}

// cause is err without the operation and the path of a *fs.PathError, which
// the sentence names already.
func cause(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	if errors.Is(err, fs.ErrPermission) {
		return "permission denied; make the file readable for you"
	}
	return err.Error()
}

// Rate returns the samples a second, MinRate to MaxRate.
func (r *Reader) Rate() int { return r.dec.info().rate }

// Channels returns 1 or 2, as in the file. What Read gives is always mono.
func (r *Reader) Channels() int { return r.dec.info().channels }

// Length returns the number of samples that Read will give, -1 if that is not
// known beforehand. It comes from the header and is no promise: see Truncated.
func (r *Reader) Length() int64 { return r.dec.info().length }

// Format names the format for people: "WAV, 24-bit".
func (r *Reader) Format() string { return r.dec.info().format }

// Truncated reports, once Read has returned io.EOF, that the file stops before
// the end that its header announces: it was read as far as it goes.
func (r *Reader) Truncated() bool { return r.dec.truncated() }

// Read fills dst with up to len(dst) mono samples, full scale being -1 to 1;
// the two channels of a stereo file are averaged. It returns at least one
// sample unless len(dst) is 0 or there is an error; lost is always 0, a file
// loses nothing. io.EOF ends the stream and may come with samples. When ctx
// or the context of Open ends, so does the stream, with the context's error.
// A sample that is not a number, infinite or beyond 2^31 is an error that
// names its second; the samples before it are given. An error repeats.
func (r *Reader) Read(ctx context.Context, dst []float32) (n int, lost int64, err error) {
	if r.err != nil {
		return 0, 0, r.err
	}
	if err := ctx.Err(); err != nil {
		return 0, 0, err
	}
	if len(dst) == 0 {
		return 0, 0, nil
	}
	n, err = r.dec.read(ctx, dst)
	if i := firstBad(dst[:n]); i < n {
		n, err = i, r.badSample(dst[i], r.pos+int64(i))
	}
	r.pos += int64(n)
	if err != nil {
		if err != io.EOF {
			err = wrap(r.path, err)
		}
		r.err = err
	}
	return n, 0, err
}

// firstBad is the place of the first sample that is no number or too large,
// len(x) where there is none.
func firstBad(x []float32) int {
	// Without their signs, numbers are in the order of their bits, and what is no
	// number is above them all.
	const sign = 1 << 31
	var top uint32
	for _, v := range x {
		top = max(top, math.Float32bits(v)&^sign)
	}
	if top <= math.Float32bits(maxSample) {
		return len(x)
	}
	return slices.IndexFunc(x, func(v float32) bool { return math.Float32bits(v)&^sign > math.Float32bits(maxSample) })
}

func (r *Reader) badSample(v float32, at int64) error {
	what := fmt.Sprintf("%g times full scale", v)
	switch {
	case v != v:
		what = "not a number"
	case math.IsInf(float64(v), 0):
		what = "infinite"
	}
	return fmt.Errorf("the sample at %.3f s is %s; the file is damaged, export it again", float64(at)/float64(r.Rate()), what)
}

// Close closes the file and ends what reads it. It may be called twice.
func (r *Reader) Close() error {
	err := r.dec.close()
	if e := r.file.Close(); e != nil && !errors.Is(e, os.ErrClosed) && err == nil {
		err = e
	}
	return err
}

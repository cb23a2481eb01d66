package decode

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"sync"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
)

// FLAC as in RFC 9639.

// The most that a FLAC file can hold: a frame of 65535 equal samples takes at
// least flacMinFrame bytes (header 6, its checksum 1, one sample 2, checksum 2).
const (
	flacMaxBlock = 65535
	flacMinFrame = 11
)

// flacMaxBits is the deepest sample the decoder reads.
const flacMaxBits = 24

// flacFile reads FLAC frame by frame; one frame is in memory at a time.
type flacFile struct {
	s     *flac.Stream
	in    info
	total int64 // samples that the header announces, 0 if it does not
	frame *frame.Frame
	used  int   // samples of frame that are given
	got   int64 // samples decoded
	cut   bool
}

// newFLAC reads the header and the first frame of the FLAC in r, size bytes
// long.
func newFLAC(r io.Reader, size int64) (_ *flacFile, err error) {
	defer recoverFLAC(&err)
	s, err := flac.New(bufio.NewReaderSize(r, 1<<16))
	if err != nil {
		return nil, errors.New("its FLAC header is damaged; export it again")
	}
	si := s.Info
	f := &flacFile{s: s, total: int64(si.NSamples)}
	f.in = info{format: fmt.Sprintf("FLAC, %d-bit", si.BitsPerSample), rate: int(si.SampleRate), channels: int(si.NChannels), length: -1}
	if err := checkInfo(f.in); err != nil {
		return nil, err
	}
	if si.BitsPerSample > flacMaxBits {
		return nil, fmt.Errorf("it has %d-bit samples; FLAC is read up to %d-bit", si.BitsPerSample, flacMaxBits)
	}
	if f.total > 0 && f.total <= size/flacMinFrame*flacMaxBlock {
		f.in.length = f.total
	}
	if si.SampleRate == 24000 || si.SampleRate == 176400 {
		muteFLACLog()
	}
	if err := f.next(); err != nil {
		if err == io.EOF {
			err = errNoSamples
		}
		return nil, err
	}
	return f, nil
}

// next decodes the next frame that holds samples. It returns io.EOF at the
// end of the file, whether that comes in time or not.
func (f *flacFile) next() error {
	for {
		fr, err := f.s.Next()
		if f.total > 0 && f.got == f.total {
			// A tag of another format may follow; a frame may not.
			if err == nil {
				return f.damage("goes on behind the end that its header announces")
			}
			return io.EOF
		}
		if err == nil {
			if fr.BitsPerSample == 0 { // "as in the stream's header"
				fr.BitsPerSample = f.s.Info.BitsPerSample
			}
			if err := f.same(fr); err != nil {
				return err
			}
			err = fr.Parse()
		}
		switch {
		case err == io.EOF && f.total == 0:
			return io.EOF
		case err == io.EOF || err == io.ErrUnexpectedEOF:
			f.cut = true
			return io.EOF
		case err != nil:
			return f.damage("is damaged")
		}
		n := int64(fr.BlockSize)
		if f.total > 0 && f.got+n > f.total {
			return f.damage("goes on behind the end that its header announces")
		}
		f.got += n
		f.frame, f.used = fr, 0
		if n > 0 {
			return nil
		}
	}
}

// same reports a frame that is not of the stream's own format.
func (f *flacFile) same(fr *frame.Frame) error {
	switch {
	case fr.Channels.Count() != f.in.channels:
		return f.damage(fmt.Sprintf("changes from %d to %d channels", f.in.channels, fr.Channels.Count()))
	case fr.SampleRate != 0 && int(fr.SampleRate) != f.in.rate:
		return f.damage(fmt.Sprintf("changes from %d to %d samples a second", f.in.rate, fr.SampleRate))
	case fr.BitsPerSample != f.s.Info.BitsPerSample:
		return f.damage(fmt.Sprintf("changes from %d to %d-bit samples", f.s.Info.BitsPerSample, fr.BitsPerSample))
	}
	return nil
}

func (f *flacFile) damage(what string) error {
	return fmt.Errorf("the sound %s at %.3f s; export it again", what, float64(f.got)/float64(f.in.rate))
}

func (f *flacFile) info() info      { return f.in }
func (f *flacFile) truncated() bool { return f.cut }
func (f *flacFile) close() error    { return nil }

func (f *flacFile) read(_ context.Context, dst []float32) (n int, err error) {
	defer recoverFLAC(&err)
	if f.used == int(f.frame.BlockSize) {
		if err := f.next(); err != nil {
			return 0, err
		}
	}
	n = min(len(dst), int(f.frame.BlockSize)-f.used)
	// A power of two, so that the scaling is exact.
	scale := 1 / float32(int(1)<<(f.s.Info.BitsPerSample-1))
	subs := f.frame.Subframes
	for i := range n {
		v := float32(subs[0].Samples[f.used+i]) * scale
		if len(subs) == 2 {
			v = (v + float32(subs[1].Samples[f.used+i])*scale) / 2
		}
		dst[i] = v
	}
	f.used += n
	return n, nil
}

// recoverFLAC turns a panic of the decoder, which is not ours, into an error.
func recoverFLAC(err *error) {
	if p := recover(); p != nil {
		*err = errors.New("its FLAC data is damaged; export it again")
	}
}

// muteFLACLog keeps the decoder from writing a line to the standard logger
// for every frame of 24 kHz and 176.4 kHz. All else that is logged passes.
var muteFLACLog = sync.OnceFunc(func() { log.SetOutput(dropFLAC{log.Writer()}) })

type dropFLAC struct{ io.Writer }

func (d dropFLAC) Write(p []byte) (int, error) {
	if bytes.Contains(p, []byte("frame.Frame.parseHeader: The flac library test cases")) {
		return len(p), nil
	}
	return d.Writer.Write(p)
}

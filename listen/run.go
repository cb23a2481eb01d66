package listen

import (
	"context"
	"errors"
	"fmt"
	"io"
)

// Source gives mono samples, live or from a file.
type Source interface {
	Rate() int // samples a second
	// Read waits for samples and fills dst with up to len(dst) of them.
	// lost counts samples missed before the first one of this read.
	// io.EOF (with n possibly > 0) ends the stream; ctx ends a wait.
	Read(ctx context.Context, dst []float32) (n int, lost int64, err error)
}

// Sink keeps what is heard (a WAV being recorded). Quantise is applied before
// the session hears the samples, so that what is saved is what was heard.
type Sink interface {
	Quantise(samples []float32) // in place, to the sink's own resolution
	Write(samples []float32) error
}

// Hearer is what Run feeds: a Session, or a Free.
type Hearer interface {
	Rate() int
	Write(samples []float32) []Event
	Lose(samples int64) []Event
	Close() []Event
}

const (
	runChunk = 4096
	// A source that gives nothing this often without waiting is broken.
	maxEmptyReads = 100
)

// Run feeds src through sink (may be nil) to s until the source or ctx ends,
// then closes s. on (may be nil) is called with each event, in order, on this
// goroutine. That ctx ended is no error. A sink that fails stops recording,
// not listening; its error is returned. So is the source's.
func Run(ctx context.Context, src Source, sink Sink, s Hearer, on func(Event)) error {
	if src.Rate() != s.Rate() {
		return fmt.Errorf("the sound has %d samples a second and the session was made for %d", src.Rate(), s.Rate())
	}
	if on == nil {
		on = func(Event) {}
	}
	tell := func(events []Event) {
		for _, e := range events {
			on(e)
		}
	}
	rec := recording{sink: sink}
	buf := make([]float32, runChunk)
	var err error
	for empty := 0; err == nil && empty < maxEmptyReads; {
		var n int
		var lost int64
		n, lost, err = src.Read(ctx, buf)
		if n < 0 || n > len(buf) || lost < 0 {
			err = fmt.Errorf("the source of sound gave %d samples of %d and lost %d", n, len(buf), lost)
			break
		}
		if lost > 0 {
			rec.silence(lost)
			tell(s.Lose(lost))
		}
		if n > 0 {
			rec.write(buf[:n])
			tell(s.Write(buf[:n]))
		}
		if empty++; n > 0 || lost > 0 {
			empty = 0
		}
		if err == nil && ctx.Err() != nil {
			break
		}
	}
	tell(s.Close())
	if err == nil && ctx.Err() == nil {
		err = io.ErrNoProgress
	}
	if errors.Is(err, io.EOF) || ctx.Err() != nil && errors.Is(err, ctx.Err()) {
		err = nil
	}
	return errors.Join(err, rec.err)
}

// recording passes what is heard to a sink until that fails.
type recording struct {
	sink Sink
	err  error
}

// write quantises samples in place and records them. They are quantised also
// once the sink has failed: what is heard does not depend on that.
func (r *recording) write(samples []float32) {
	if r.sink == nil {
		return
	}
	r.sink.Quantise(samples)
	if r.err == nil {
		r.err = r.sink.Write(samples)
	}
}

func (r *recording) silence(samples int64) {
	if r.sink == nil || r.err != nil {
		return
	}
	quiet := make([]float32, min(samples, runChunk))
	for samples > 0 && r.err == nil {
		n := min(samples, int64(len(quiet)))
		samples -= n
		clear(quiet)
		r.write(quiet[:n])
	}
}

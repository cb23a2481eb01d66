//go:build !nomic

package audio

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"sync/atomic"
	"time"

	"github.com/gordonklaus/portaudio"
)

// PortAudio's calls that open and close are for one thread at a time, and any
// of them can hang for ever: Initialize when the sound server is frozen, Stop,
// Close and Terminate when the callback is blocked. So each runs on a
// goroutine of its own, one after the other, and whoever waits for it goes
// away in time.

// gate holds a token while one of these calls runs.
var gate = make(chan struct{}, 1)

// session is one use of PortAudio, from Initialize to Terminate.
type session struct {
	timeout time.Duration
	// What there is to undo. It belongs to the goroutine of the call that
	// runs; once a call was given up, it stays with that goroutine.
	initialized, opened, started bool
	stream                       *portaudio.Stream
	gone                         bool // a call was given up
}

const defaultTimeout = 5 * time.Second

// do runs call, at most for the session's timeout and until ctx ends. What a
// call that was given up leaves behind is undone when it returns at last.
func (s *session) do(ctx context.Context, what string, call func() error) error {
	timer := time.NewTimer(s.timeout)
	defer timer.Stop()
	late := &TimeoutError{What: what, After: s.timeout}
	select {
	case gate <- struct{}{}:
	case <-timer.C:
		return late
	case <-ctx.Done():
		return ctx.Err()
	}
	defer Quiet()()
	done := make(chan error) // unbuffered: a result is either received or seen to be unwanted
	gone := make(chan struct{})
	go func() {
		defer func() { <-gate }()
		err := call()
		select {
		case done <- err:
		case <-gone:
			s.undo()
		}
	}()
	select {
	case err := <-done:
		if err != nil {
			return fmt.Errorf("cannot %s: %w", what, err)
		}
		return nil
	case <-timer.C:
		s.gone = true
		close(gone)
		return late
	case <-ctx.Done():
		s.gone = true
		close(gone)
		return ctx.Err()
	}
}

// open initializes PortAudio.
func (s *session) open(ctx context.Context) error {
	return s.do(ctx, "start the sound system", func() error {
		// Without it the JACK library would try to start a server.
		if os.Getenv("JACK_NO_START_SERVER") == "" {
			os.Setenv("JACK_NO_START_SERVER", "1")
		}
		err := portaudio.Initialize()
		s.initialized = err == nil
		return err
	})
}

// start opens and starts a stream; callback is as portaudio.OpenStream wants it.
func (s *session) start(ctx context.Context, what string, p portaudio.StreamParameters, callback any) error {
	err := s.do(ctx, "open "+what, func() (err error) {
		s.stream, err = portaudio.OpenStream(p, callback)
		s.opened = err == nil
		return err
	})
	if err != nil {
		return err
	}
	return s.do(ctx, "start "+what, func() error {
		err := s.stream.Start()
		s.started = err == nil
		return err
	})
}

// watch keeps the highest load of the stream in most: the share of the time
// there is that the callback takes, which the system smooths. Above 1 sound is
// lost, whether or not the system says so. It does not wait: while a call that
// opens or closes runs, nothing is watched.
func (s *session) watch(most *atomic.Uint64) {
	select {
	case gate <- struct{}{}:
	default:
		return
	}
	defer func() { <-gate }()
	if !s.gone && s.started {
		if now := s.stream.CpuLoad(); now > math.Float64frombits(most.Load()) {
			most.Store(math.Float64bits(now))
		}
	}
}

// close takes back all that was opened, each step in its own time. After a
// call that was given up there is nothing to do: it will see to it itself.
func (s *session) close() error {
	var errs []error
	for _, step := range []struct {
		what string
		open *bool
		call func() error
	}{
		{"stop the sound device", &s.started, func() error { return s.stream.Abort() }},
		{"close the sound device", &s.opened, func() error { return s.stream.Close() }},
		{"end the sound system", &s.initialized, portaudio.Terminate},
	} {
		if s.gone {
			break
		}
		err := s.do(context.Background(), step.what, func() error {
			if !*step.open {
				return nil
			}
			*step.open = false
			return step.call()
		})
		var late *TimeoutError
		if errs = append(errs, err); errors.As(err, &late) {
			break
		}
	}
	return errors.Join(errs...)
}

// undo is close without bounds, for the goroutine of a call that was given up.
func (s *session) undo() {
	if s.started {
		s.stream.Abort()
	}
	if s.opened {
		s.stream.Close()
	}
	if s.initialized {
		portaudio.Terminate()
	}
	s.started, s.opened, s.initialized = false, false, false
}

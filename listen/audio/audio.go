// Package audio listens to a microphone and plays through a loudspeaker, by
// PortAudio. It is the only package that meets another thread than Go's: the
// callback copies samples into a ring, or out of one, and returns.
//
// A build with the tag nomic needs no C and has no sound: every call returns
// ErrNoMicrophone.
package audio

import (
	"errors"
	"time"
)

// Device is one input or output of the machine, or both.
type Device struct {
	Index         int    // names the device until the next one is plugged in
	Name          string // as the system calls it
	HostAPI       string // the system's own sound interface, "ALSA" or the like
	Inputs        int    // channels, 0 for an output
	Outputs       int    // channels, 0 for an input
	Rate          int    // samples a second that it likes best
	DefaultInput  bool
	DefaultOutput bool
}

// Options say how to listen. The zero value is right for most.
type Options struct {
	// Device is the name of an input, a part of its name in any case, or its
	// index; "" is the system's default.
	Device string
	// Rate in samples a second. 0 takes the first of 48000, 44100, 96000 and
	// the device's own rate that the device agrees to.
	Rate int
	// Channels to open: 1, 2 (averaged), or 0 for one where the device
	// agrees to one, else two.
	Channels int
	// FramesPerBuffer is the size of a callback's block in samples; 0 is 512.
	FramesPerBuffer int
	// Latency is asked of the system; 0 is 100 ms, which in trials before this
	// project was the same from one start to the next where less was not.
	Latency time.Duration
	// Buffer is how long Read may be late before samples are lost; 0 is 8 s.
	Buffer time.Duration
	// Stall is how long the device may be silent before Read gives up with
	// ErrStalled; 0 is 300 ms. Before the very first samples it may take ten
	// times that.
	Stall time.Duration
	// Timeout bounds each call that opens, starts, stops or closes; 0 is 5 s.
	Timeout time.Duration
}

// Stats tell how a Capture fares, in samples of mono since it was opened.
type Stats struct {
	Samples   int64   // that came from the device and were kept for Read
	Lost      int64   // that found no room because Read was late
	Load      float64 // the most of the time there is that the callback took, as a share; above 1 sound was lost
	Overflows int64   // times the system said that it lost some of its own
}

// ErrStalled says that no samples come any more.
var ErrStalled = errors.New("no more sound comes from it; it was unplugged, or the sound system has stopped")

// ErrClosed says that a Capture or Player was closed.
var ErrClosed = errors.New("the sound device is closed")

// TimeoutError says that the sound system did not answer. What was asked of it
// may never end, and other calls to it wait for that.
type TimeoutError struct {
	What  string // "open the microphone"
	After time.Duration
}

func (e *TimeoutError) Error() string {
	return "cannot " + e.What + ": the sound system did not answer within " + e.After.String() + "; restart it, or the computer"
}

// Timeout is true, as net.Error has it.
func (e *TimeoutError) Timeout() bool { return true }

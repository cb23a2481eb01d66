//go:build nomic

package audio

import (
	"context"
	"errors"
	"time"
)

// HasDevices tells whether this build has sound devices.
const HasDevices = false

// ErrNoMicrophone says that this build has no sound devices.
var ErrNoMicrophone = errors.New("this build has no microphone: it was made without sound devices (tag nomic); it judges recordings, and a build with PortAudio listens")

// Devices returns none.
func Devices(context.Context) ([]Device, error) { return nil, ErrNoMicrophone }

// Capture stands for a microphone that this build cannot have.
type Capture struct{}

// OpenCapture returns ErrNoMicrophone.
func OpenCapture(context.Context, Options) (*Capture, error) { return nil, ErrNoMicrophone }

// Rate returns 0.
func (*Capture) Rate() int { return 0 }

// Channels returns 0.
func (*Capture) Channels() int { return 0 }

// Device returns the zero Device.
func (*Capture) Device() Device { return Device{} }

// Stats returns zeros.
func (*Capture) Stats() Stats { return Stats{} }

// Marks reports nothing.
func (*Capture) Marks(func(int64, time.Duration)) {}

// Read returns ErrNoMicrophone.
func (*Capture) Read(context.Context, []float32) (n int, lost int64, err error) {
	return 0, 0, ErrNoMicrophone
}

// Close returns ErrNoMicrophone.
func (*Capture) Close() error { return ErrNoMicrophone }

// Player stands for a loudspeaker that this build cannot have.
type Player struct{}

// OpenPlayback returns ErrNoMicrophone.
func OpenPlayback(context.Context, int, string) (*Player, error) { return nil, ErrNoMicrophone }

// Rate returns 0.
func (*Player) Rate() int { return 0 }

// Device returns the zero Device.
func (*Player) Device() Device { return Device{} }

// Room returns 0.
func (*Player) Room() int { return 0 }

// Played returns 0.
func (*Player) Played() int64 { return 0 }

// Starved returns 0.
func (*Player) Starved() int64 { return 0 }

// Load returns 0.
func (*Player) Load() float64 { return 0 }

// Steady does nothing.
func (*Player) Steady() {}

// Marks reports nothing.
func (*Player) Marks(func(int64, time.Duration)) {}

// Write takes nothing.
func (*Player) Write([]float32) int { return 0 }

// Drain returns ErrNoMicrophone.
func (*Player) Drain(context.Context) error { return ErrNoMicrophone }

// Close returns ErrNoMicrophone.
func (*Player) Close() error { return ErrNoMicrophone }

//go:build !nomic

package audio

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"
	"time"

	"github.com/gordonklaus/portaudio"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fed is a Capture without a device: the test is the callback.
func fed(channels, size int, stall time.Duration) *Capture {
	return &Capture{dev: Device{Name: "test"}, rate: 48000, channels: channels, stall: stall, ring: newRing(size),
		frames: make([]float32, 64), timer: time.NewTimer(time.Hour), closeOne: func() error { return nil }}
}

func TestReadMono(t *testing.T) {
	c := fed(1, 8, time.Hour)
	c.callback([]float32{1, 2, 3, 4, 5, 6}, portaudio.StreamCallbackTimeInfo{}, 0)
	c.callback([]float32{7, 8, 9}, portaudio.StreamCallbackTimeInfo{}, portaudio.InputOverflow)
	dst := make([]float32, 4)
	n, lost, err := c.Read(context.Background(), dst)
	require.NoError(t, err)
	assert.Equal(t, []float32{1, 2, 3, 4}, dst[:n])
	assert.Zero(t, lost)
	c.callback([]float32{10}, portaudio.StreamCallbackTimeInfo{}, 0)
	_, _, err = c.Read(context.Background(), dst)
	require.NoError(t, err)
	n, lost, err = c.Read(context.Background(), dst)
	require.NoError(t, err)
	assert.Equal(t, []float32{10}, dst[:n])
	assert.Equal(t, int64(3), lost)
	assert.Equal(t, Stats{Samples: 7, Lost: 3, Overflows: 1}, c.Stats())
	n, _, err = c.Read(context.Background(), nil)
	assert.Zero(t, n)
	assert.NoError(t, err)
}

func TestReadStereo(t *testing.T) {
	c := fed(2, 8, time.Hour)
	c.callback([]float32{1, 3, 0, -1, 0.5, 0.5}, portaudio.StreamCallbackTimeInfo{}, 0)
	c.callback([]float32{9, 9, 9, 9}, portaudio.StreamCallbackTimeInfo{}, 0)
	dst := make([]float32, 2)
	n, lost, err := c.Read(context.Background(), dst)
	require.NoError(t, err)
	assert.Equal(t, []float32{2, -0.5}, dst[:n])
	assert.Zero(t, lost)
	c.callback([]float32{4, 6}, portaudio.StreamCallbackTimeInfo{}, 0)
	n, _, _ = c.Read(context.Background(), dst)
	assert.Equal(t, []float32{0.5}, dst[:n])
	n, lost, _ = c.Read(context.Background(), dst)
	assert.Equal(t, []float32{5}, dst[:n])
	assert.Equal(t, int64(2), lost, "frames, not values")
	assert.Equal(t, Stats{Samples: 4, Lost: 2}, c.Stats())
}

func TestReadEnds(t *testing.T) {
	dst := make([]float32, 4)
	t.Run("context", func(t *testing.T) {
		c := fed(1, 8, time.Hour)
		ctx, cancel := context.WithCancel(context.Background())
		time.AfterFunc(5*poll, cancel)
		_, _, err := c.Read(ctx, dst)
		assert.ErrorIs(t, err, context.Canceled)
		c.callback([]float32{1}, portaudio.StreamCallbackTimeInfo{}, 0)
		n, _, err := c.Read(context.Background(), dst)
		assert.NoError(t, err, "only that read is over")
		assert.Equal(t, 1, n)
	})
	t.Run("close", func(t *testing.T) {
		c := fed(1, 8, time.Hour)
		c.callback([]float32{1}, portaudio.StreamCallbackTimeInfo{}, 0)
		require.NoError(t, c.Close())
		n, _, err := c.Read(context.Background(), dst)
		assert.NoError(t, err)
		assert.Equal(t, 1, n, "what was heard is not thrown away")
		_, _, err = c.Read(context.Background(), dst)
		assert.ErrorIs(t, err, ErrClosed)
	})
	t.Run("panic in the callback", func(t *testing.T) {
		c := fed(1, 8, time.Hour)
		c.ring = nil
		assert.NotPanics(t, func() { c.callback([]float32{1}, portaudio.StreamCallbackTimeInfo{}, 0) })
		c.ring = newRing(8)
		_, _, err := c.Read(context.Background(), dst)
		assert.ErrorContains(t, err, `recording from "test" failed inside: runtime error`)
	})
	t.Run("stall", func(t *testing.T) {
		c := fed(1, 8, 3*poll)
		c.callback([]float32{1}, portaudio.StreamCallbackTimeInfo{}, 0)
		n, _, err := c.Read(context.Background(), dst)
		require.NoError(t, err)
		require.Equal(t, 1, n)
		_, _, err = c.Read(context.Background(), dst)
		assert.ErrorIs(t, err, ErrStalled)
		assert.ErrorContains(t, err, `the microphone "test" is gone`)
		_, _, again := c.Read(context.Background(), dst)
		assert.Equal(t, err, again, "it stays gone")
	})
	t.Run("never began", func(t *testing.T) {
		c := fed(1, 8, poll)
		_, _, err := c.Read(context.Background(), dst)
		assert.ErrorIs(t, err, ErrStalled)
	})
}

// The watchdog's arithmetic, without waiting.
func TestWatchdog(t *testing.T) {
	c := fed(1, 8, 300*time.Millisecond)
	c.calls.Store(1)
	require.NoError(t, c.ended(false), "the first look")
	c.looked = time.Now().Add(-time.Minute)
	require.NoError(t, c.ended(false), "this program was paused, not the device")
	require.LessOrEqual(t, c.idle, 10*poll)
	for i := 0; c.idle <= c.stall; i++ {
		require.Less(t, i, 100)
		require.NoError(t, c.err)
		c.looked = time.Now().Add(-10 * poll)
		c.err = c.ended(false)
	}
	assert.ErrorIs(t, c.err, ErrStalled)
	c.calls.Store(2)
	assert.NoError(t, c.ended(false), "a call of the callback starts it anew")
	assert.Zero(t, c.idle)
}

func TestCallbackAllocatesNothing(t *testing.T) {
	c := fed(1, 1<<12, time.Hour)
	in := make([]float32, 256)
	assert.Zero(t, testing.AllocsPerRun(1000, func() { c.callback(in, portaudio.StreamCallbackTimeInfo{}, 0) }))
	p := newPlayer(48000, 2)
	out := make([]float32, 2*256)
	assert.Zero(t, testing.AllocsPerRun(1000, func() { p.Write(in); p.callback(out) }))
}

// A call that hangs delays nobody for longer than the timeout, and is undone
// when it returns.
func TestLifecycleTimeout(t *testing.T) {
	hang, returned := make(chan struct{}), atomic.Bool{}
	s := &session{timeout: 20 * time.Millisecond}
	err := s.do(context.Background(), "start it", func() error {
		<-hang
		returned.Store(true)
		return nil
	})
	var late *TimeoutError
	require.ErrorAs(t, err, &late)
	assert.True(t, late.Timeout())
	assert.EqualError(t, err, "cannot start it: the sound system did not answer within 20ms; restart it, or the computer")
	assert.True(t, s.gone)
	assert.NoError(t, s.close(), "that call will see to it")

	next := &session{timeout: 20 * time.Millisecond}
	err = next.do(context.Background(), "start another", func() error { return errors.New("ran beside the first") })
	assert.ErrorAs(t, err, &late, "one at a time")
	assert.False(t, next.gone)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, next.do(ctx, "start another", func() error { return nil }), context.Canceled)

	close(hang)
	next.timeout = time.Minute
	refused := errors.New("refused")
	err = next.do(context.Background(), "start another", func() error { return refused })
	assert.ErrorIs(t, err, refused)
	assert.EqualError(t, err, "cannot start another: refused")
	assert.True(t, returned.Load())
}

func TestOpenCaptureRefuses(t *testing.T) {
	_, err := OpenCapture(context.Background(), Options{Channels: 7})
	assert.ErrorContains(t, err, "7 channels of a microphone; 1 or 2")
	_, err = OpenPlayback(context.Background(), 0, "")
	assert.ErrorContains(t, err, "0 samples a second")
}

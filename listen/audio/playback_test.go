//go:build !nomic

package audio

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// constant returns n samples of v.
func constant(v float32, n int) []float32 {
	s := make([]float32, n)
	for i := range s {
		s[i] = v
	}
	return s
}

func TestPlayerFadesInAndLimits(t *testing.T) {
	p := newPlayer(1000, 2)
	out := make([]float32, 2*100)
	p.callback(out)
	assert.Equal(t, make([]float32, 200), out, "silence before the first sound")
	assert.Zero(t, p.Starved())

	var heard []float32
	for p.Played() < 3000 {
		require.Equal(t, 100, p.Write(constant(3, 100))) // far too loud
		p.callback(out)
		for i := 0; i < len(out); i += 2 {
			require.Equal(t, out[i], out[i+1], "both channels")
			heard = append(heard, out[i])
		}
	}
	assert.Zero(t, heard[0])
	for i := 1; i < len(heard); i++ {
		require.GreaterOrEqual(t, heard[i], heard[i-1], "it rises")
		// The steepest step of a squared sine over 2000 samples.
		require.LessOrEqual(t, float64(heard[i]-heard[i-1]), math.Pi/2/2000+1e-6, "smoothly")
		require.LessOrEqual(t, heard[i], float32(1))
	}
	assert.Less(t, heard[500], float32(0.2), "still quiet after half a second")
	assert.InDelta(t, 0.5, heard[1000], 1e-6, "half way")
	assert.Equal(t, float32(1), heard[2000])
	assert.Zero(t, p.Starved())

	p.Write([]float32{float32(math.NaN()), float32(math.Inf(-1)), 0.25})
	p.callback(out)
	assert.Equal(t, []float32{0, 0, -1, -1, 0.25, 0.25, 0, 0}, out[:8])
	assert.Equal(t, int64(97), p.Starved())
	assert.Equal(t, int64(3003), p.Played())
}

func TestPlayerOddBlocks(t *testing.T) {
	p := newPlayer(2000, 1)                // whose ring holds two seconds
	out := make([]float32, 3*playFrames-5) // more than one piece
	require.Equal(t, len(out), p.Write(ramp(0, len(out))))
	p.callback(out)
	assert.Equal(t, int64(len(out)), p.Played())
	p.callback(nil)
	assert.Nil(t, p.panicked.Load())
}

func TestPlayerRing(t *testing.T) {
	p := newPlayer(1000, 1)
	p.closeOne = func() error { return nil }
	room := p.Room()
	assert.GreaterOrEqual(t, room, 2000)
	assert.Equal(t, room, p.Write(make([]float32, room+10)), "it takes what fits and never waits")
	assert.Zero(t, p.Room())

	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	assert.ErrorIs(t, p.Drain(ctx), context.Canceled)
	p.callback(make([]float32, room))
	assert.NoError(t, p.Drain(context.Background()))

	p.Write(make([]float32, 1))
	require.NoError(t, p.Close())
	assert.ErrorIs(t, p.Drain(context.Background()), ErrClosed)
	assert.Zero(t, p.Write(make([]float32, 1)))
}

// What is written has its place in the stream, however late it comes.
func TestPlayerSteady(t *testing.T) {
	p := newPlayer(1000, 1)
	p.fade = 0
	p.Steady()
	out := make([]float32, 100)
	p.callback(out)
	p.callback(out)
	p.Write(slope(0, 250)) // the first 200 are too late
	p.callback(out)
	assert.Equal(t, slope(200, 50), out[:50])
	assert.Equal(t, make([]float32, 50), out[50:])
	p.Write(slope(250, 250)) // 50 of them too late
	p.callback(out)
	assert.Equal(t, slope(300, 100), out)
	var frames []int64
	p.Marks(func(n int64, _ time.Duration) { frames = append(frames, n) })
	assert.Equal(t, []int64{100, 200, 300, 400}, frames)
	for range 1000 { // nobody asks: reports are dropped, not waited for
		p.callback(out)
	}
	frames = frames[:0]
	p.Marks(func(n int64, _ time.Duration) { frames = append(frames, n) })
	assert.Len(t, frames, 512)
}

// slope is a ramp that stays within full scale.
func slope(first, n int) []float32 {
	s := ramp(first, n)
	for i := range s {
		s[i] /= 1024
	}
	return s
}

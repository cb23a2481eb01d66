//go:build !nomic

package audio

import (
	"math/rand"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ramp returns n samples that count on from first; float32 counts exactly to
// 2^24.
func ramp(first, n int) []float32 {
	s := make([]float32, n)
	for i := range s {
		s[i] = float32(first + i)
	}
	return s
}

func TestRingGaps(t *testing.T) {
	r := newRing(8)
	dst := make([]float32, 16)
	get := func() ([]float32, int64) {
		n, lost := r.get(dst)
		return append([]float32(nil), dst[:n]...), lost
	}
	s, lost := get()
	assert.Empty(t, s)
	assert.Zero(t, lost)

	r.putOrLose(ramp(0, 6))
	r.putOrLose(ramp(6, 3)) // no room: none of it
	r.putOrLose(ramp(9, 3))
	s, lost = get()
	assert.Equal(t, ramp(0, 6), s)
	assert.Zero(t, lost, "nothing is missing before the first")
	s, _ = get()
	assert.Empty(t, s, "the loss is not over yet")

	r.putOrLose(ramp(12, 2))
	r.putOrLose(ramp(14, 5))
	r.putOrLose(ramp(19, 4)) // no room again
	s, lost = get()
	assert.Equal(t, ramp(12, 7), s)
	assert.Equal(t, int64(6), lost)
	r.putOrLose(ramp(23, 1))
	s, lost = get()
	assert.Equal(t, ramp(23, 1), s)
	assert.Equal(t, int64(4), lost)
	assert.Equal(t, int64(10), r.lost.Load())

	r.putOrLose(make([]float32, 9)) // longer than the ring: never fits
	r.putOrLose(nil)
	s, _ = get()
	assert.Empty(t, s)
	assert.Equal(t, int64(19), r.lost.Load())
}

// A read ends where the next gap is, though more samples wait behind it.
func TestRingStopsAtGap(t *testing.T) {
	r := newRing(8)
	r.putOrLose(ramp(0, 8))
	r.putOrLose(ramp(8, 4))
	dst := make([]float32, 16)
	n, _ := r.get(dst[:5])
	require.Equal(t, 5, n)
	r.putOrLose(ramp(12, 5))
	n, lost := r.get(dst)
	assert.Equal(t, ramp(5, 3), dst[:n])
	assert.Zero(t, lost)
	n, lost = r.get(dst)
	assert.Equal(t, ramp(12, 5), dst[:n])
	assert.Equal(t, int64(4), lost)
}

// More gaps than there are marks: samples go on being lost, and are counted.
func TestRingManyGaps(t *testing.T) {
	r := newRing(4 * maxGaps)
	next, want := 0, int64(0)
	for range 3 * maxGaps {
		for r.free() > 0 && r.pending == 0 {
			r.putOrLose(ramp(next, 1))
			next++
		}
		r.putOrLose(ramp(next, 1))
		next++
		dst := make([]float32, 1) // room for one, then a gap again
		n, lost := r.get(dst)
		require.Equal(t, 1, n)
		require.Equal(t, float32(want+lost), dst[0])
		want += lost + 1
	}
	for dst := make([]float32, 50); ; {
		n, lost := r.get(dst)
		if n == 0 {
			break
		}
		require.Equal(t, ramp(int(want+lost), n), dst[:n])
		want += lost + int64(n)
	}
	assert.Equal(t, int64(next), want+r.pending)
}

func TestRingPut(t *testing.T) {
	r := newRing(8)
	assert.Equal(t, 8, r.put(ramp(0, 10)), "what fits")
	assert.Zero(t, r.free())
	assert.Equal(t, 8, r.filled())
	assert.Zero(t, r.put(ramp(8, 1)))
	dst := make([]float32, 3)
	n, lost := r.get(dst)
	assert.Equal(t, ramp(0, 3), dst[:n])
	assert.Zero(t, lost)
	assert.Equal(t, 3, r.put(ramp(8, 3)))
}

// Two goroutines at full speed: every sample arrives in order or is accounted
// for at its place. Meant for the race detector.
func TestRingConcurrent(t *testing.T) {
	const total = 1 << 20
	r := newRing(1024)
	done := make(chan struct{})
	go func() {
		defer close(done)
		rng := rand.New(rand.NewSource(1))
		for at := 0; at < total; {
			n := min(1+rng.Intn(300), total-at)
			r.putOrLose(ramp(at, n))
			at += n
			if rng.Intn(4) == 0 {
				runtime.Gosched()
			}
		}
	}()
	rng := rand.New(rand.NewSource(2))
	buf := make([]float32, 500)
	want, losses := int64(0), 0
	for ended := false; ; {
		n, lost := r.get(buf[:1+rng.Intn(len(buf))])
		if lost > 0 {
			losses++
		}
		for i := range n {
			if buf[i] != float32(want+lost+int64(i)) {
				t.Fatalf("sample %d is %g", want+lost+int64(i), buf[i])
			}
		}
		want += lost + int64(n)
		if n > 0 {
			continue
		}
		if ended {
			break
		}
		select {
		case <-done:
			ended = true // and once more around
		default:
			runtime.Gosched()
		}
	}
	assert.Equal(t, int64(total), want+r.pending)
	t.Logf("%d losses", losses)
}

func BenchmarkRing(b *testing.B) {
	r := newRing(1 << 14)
	in, out := make([]float32, 256), make([]float32, 256)
	b.ReportAllocs()
	b.SetBytes(4 * 256)
	for b.Loop() {
		r.putOrLose(in)
		r.get(out)
	}
}

func TestRingAllocatesNothing(t *testing.T) {
	r := newRing(512)
	in, out := make([]float32, 256), make([]float32, 100) // so that some are lost
	assert.Zero(t, testing.AllocsPerRun(1000, func() {
		r.putOrLose(in)
		r.get(out)
	}))
}

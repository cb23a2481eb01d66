package ui

import (
	"context"
	"io"
	"math"
	"os"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bordon/listen"
	"bordon/listen/audio"
	"bordon/listen/match"
)

// microphone gives samples in real time, as a device does: what is not read
// within its buffer of half a second is lost, and counted.
type microphone struct {
	began time.Time
	read  int64
	end   int64
}

func (m *microphone) Rate() int { return rate }

func (m *microphone) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if m.read >= m.end {
		return 0, 0, io.EOF
	}
	for {
		come := int64(time.Since(m.began).Seconds() * rate)
		if over := come - m.read - rate/2; over > 0 {
			m.read += over
			return 0, over, nil
		}
		if n := min(int64(len(dst)), come-m.read); n > 0 {
			for i := range n {
				dst[i] = 0.1 * float32(math.Sin(float64(m.read+i)/17))
			}
			m.read += n
			return int(n), 0, nil
		}
		time.Sleep(time.Millisecond)
	}
}

// slow is a terminal that takes a tenth of a second for each write.
type slow struct{ writes atomic.Int64 }

func (s *slow) Write(p []byte) (int, error) {
	s.writes.Add(1)
	time.Sleep(100 * time.Millisecond)
	return len(p), nil
}

// ending ends a source after so many samples, and counts those that were lost.
type ending struct {
	listen.Source
	read, lost, end int64
}

func (e *ending) Read(ctx context.Context, dst []float32) (int, int64, error) {
	if e.read >= e.end {
		return 0, 0, io.EOF
	}
	n, lost, err := e.Source.Read(ctx, dst)
	e.read += int64(n) + lost
	e.lost += lost
	return n, lost, err
}

// flood floods the renderer: a hundred verdicts with each chunk of sound, on a
// terminal that is slow. open gives the sound once the screen is up.
func flood(t testing.TB, seconds int64, open func() listen.Source) (lost int64, told, writes int) {
	l := live(t)
	out, in := &slow{}, newReader()
	defer in.Close()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var src *ending
	err := Show(ctx, l, in, out, func(ctx context.Context, f *Feed) ([]string, error) {
		defer cancel()
		src = &ending{Source: open(), end: seconds * rate}
		s, err := listen.NewSession(l.Settings, src.Rate())
		if err != nil {
			return nil, err
		}
		return nil, listen.Run(ctx, flooding{src, func() {
			for i := range 100 {
				f.Add(verdict(l, 1+told/400, i%4, match.Right, 47))
				told++
			}
			f.Set(Meters{Heard: s.Heard()})
		}}, nil, s, f.Add)
	})
	require.NoError(t, err)
	require.NotNil(t, src)
	require.GreaterOrEqual(t, src.read, src.end)
	return src.lost, told, int(out.writes.Load())
}

// BenchmarkFlood holds that no sample is lost by a flood of the renderer.
func BenchmarkFlood(b *testing.B) {
	for range b.N {
		lost, told, writes := flood(b, 2, func() listen.Source { return &microphone{began: time.Now(), end: 2 * rate} })
		require.Zero(b, lost, "samples lost")
		b.ReportMetric(float64(lost), "lost/op")
		b.ReportMetric(float64(told), "verdicts/op")
		b.ReportMetric(float64(writes), "writes/op")
	}
}

// The same with a microphone of PortAudio and the ring that its thread fills.
func TestSoundFlood(t *testing.T) {
	if os.Getenv("BORDON_SOUND") != "1" {
		t.Skip("it needs a room: .ci/sound go test ./ui")
	}
	var mic *audio.Capture
	lost, told, writes := flood(t, 10, func() listen.Source {
		var err error
		mic, err = audio.OpenCapture(context.Background(), audio.Options{Rate: rate})
		require.NoError(t, err)
		return mic
	})
	defer mic.Close()
	stats := mic.Stats()
	t.Logf("%d samples, %d lost, %d overflows, while %d verdicts came to a terminal that took %d writes", stats.Samples, stats.Lost, stats.Overflows, told, writes)
	require.Zero(t, lost)
	require.Zero(t, stats.Lost)
	require.Zero(t, stats.Overflows)
}

type flooding struct {
	listen.Source
	tell func()
}

func (f flooding) Read(ctx context.Context, dst []float32) (int, int64, error) {
	f.tell()
	return f.Source.Read(ctx, dst)
}

// newReader is a keyboard on which nothing is typed.
func newReader() io.ReadCloser {
	r, _ := io.Pipe()
	return r
}

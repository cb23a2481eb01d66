package ui

import (
	"context"
	"io"
	"math"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"bordon/listen"
	"bordon/listen/match"
)

// microphone gives samples in real time, as a device does: what is not read
// within its buffer of half a second is lost, and counted.
type microphone struct {
	began time.Time
	read  int64
	lost  int64
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
			m.lost += over
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

// BenchmarkFlood floods the renderer: a hundred verdicts with each chunk of
// sound, on a terminal that is slow. No sample is lost by it.
func BenchmarkFlood(b *testing.B) {
	l := live(b)
	for range b.N {
		mic := &microphone{began: time.Now(), end: 2 * rate}
		out, in := &slow{}, newReader()
		ctx, cancel := context.WithCancel(context.Background())
		told := 0
		err := Show(ctx, l, in, out, func(ctx context.Context, f *Feed) ([]string, error) {
			defer cancel()
			mic.began = time.Now()
			s, err := listen.NewSession(l.Settings, rate)
			if err != nil {
				return nil, err
			}
			return nil, listen.Run(ctx, flooding{mic, func() {
				for i := range 100 {
					f.Add(verdict(l, 1+told/400, i%4, match.Right, 47))
					told++
				}
				f.Set(Meters{Heard: s.Heard()})
			}}, nil, s, f.Add)
		})
		require.NoError(b, err)
		require.Zero(b, mic.lost, "samples lost")
		require.GreaterOrEqual(b, mic.read, mic.end)
		b.ReportMetric(float64(mic.lost), "lost/op")
		b.ReportMetric(float64(told), "verdicts/op")
		b.ReportMetric(float64(out.writes.Load()), "writes/op")
		in.Close()
	}
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

package take

import (
	"context"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bordon/listen/decode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func readBack(t *testing.T, path string) ([]float32, *decode.Reader) {
	t.Helper()
	r, err := decode.Open(context.Background(), path)
	require.NoError(t, err)
	t.Cleanup(func() { r.Close() })
	var all []float32
	buf := make([]float32, 1000)
	for {
		n, _, err := r.Read(context.Background(), buf)
		all = append(all, buf[:n]...)
		if err == io.EOF {
			return all, r
		}
		require.NoError(t, err)
	}
}

// noise has every kind of value that a microphone, or a hostile file, can give.
func noise(n int) []float32 {
	rng := rand.New(rand.NewSource(1))
	s := make([]float32, n)
	for i := range s {
		s[i] = float32(rng.NormFloat64() * 0.4) // some beyond full scale
	}
	copy(s, []float32{0, 1, -1, 1.5, -7, float32(math.Inf(1)), float32(math.Inf(-1)), float32(math.NaN()),
		1e-30, 0.5 / fullScale, 1.5 / fullScale, -0.5 / fullScale, math.MaxFloat32, -math.MaxFloat32})
	return s
}

// What is heard while recording is what the file gives back, bit for bit.
func TestQuantisedIsWhatIsSaved(t *testing.T) {
	for _, n := range []int{1, 2, 999, 3*48000 + 1} {
		rec, err := Record(t.TempDir(), started, "G", 48000)
		require.NoError(t, err)
		heard := noise(max(n, 14))[:n]
		rec.Quantise(heard)
		for at := 0; at < n; at += 441 {
			require.NoError(t, rec.Write(heard[at:min(n, at+441)]))
		}
		assert.Equal(t, int64(n), rec.Samples())
		require.NoError(t, rec.Close())
		require.NoError(t, rec.Close(), "a second time")
		got, r := readBack(t, rec.Path())
		assert.Equal(t, heard, got)
		assert.Equal(t, "WAV, 24-bit", r.Format())
		assert.Equal(t, 48000, r.Rate())
		assert.Equal(t, int64(n), r.Length())
		assert.False(t, r.Truncated())
	}
}

func TestQuantise(t *testing.T) {
	s := noise(5000)
	was := append([]float32(nil), s...)
	Quantise(s)
	for i, v := range s {
		w := float64(was[i])
		switch {
		case w != w:
			w = 0
		case w > 1-1./fullScale:
			w = 1 - 1./fullScale
		case w < -1:
			w = -1
		}
		assert.InDelta(t, w, float64(v), 0.5/fullScale, "half a step: %g", was[i])
	}
	again := append([]float32(nil), s...)
	Quantise(again)
	assert.Equal(t, s, again, "quantised twice is quantised once")
}

// sox (Debian's package) agrees about the header and finds nothing to mend.
func TestReferenceProgramReadsIt(t *testing.T) {
	if _, err := exec.LookPath("sox"); err != nil {
		t.Skip("sox is not installed")
	}
	rec, err := Record(t.TempDir(), started, "G", 44100)
	require.NoError(t, err)
	require.NoError(t, rec.Write(make([]float32, 44101)))
	require.NoError(t, rec.Close())
	out, err := exec.Command("sox", "--i", rec.Path()).CombinedOutput()
	require.NoError(t, err)
	for _, want := range []string{"Channels       : 1\n", "Sample Rate    : 44100\n", "Precision      : 24-bit\n", "44101 samples"} {
		assert.Contains(t, string(out), want)
	}
	assert.NotContains(t, string(out), "WARN")
}

// A recorder that is killed leaves a file that opens: at first with sizes 0,
// then with those of the last full second.
func TestKilled(t *testing.T) {
	rec, err := Record(t.TempDir(), started, "G", 8000)
	require.NoError(t, err)
	defer rec.Close()
	require.NoError(t, rec.Write(make([]float32, 5000)))
	got, _ := readBack(t, rec.Path())
	assert.Len(t, got, 5000)

	require.NoError(t, rec.Write(make([]float32, 5000)))
	// The flush is another goroutine's; wait for it as long as it takes.
	require.Eventually(t, func() bool {
		b, err := os.ReadFile(rec.Path())
		return err == nil && binary.LittleEndian.Uint32(b[dataSizeAt:]) == 10000*bytesPerSample &&
			binary.LittleEndian.Uint32(b[riffSizeAt:]) == 10000*bytesPerSample+36
	}, time.Minute, time.Millisecond)
	require.NoError(t, rec.Write(make([]float32, 100)))
	got, r := readBack(t, rec.Path())
	assert.Len(t, got, 10000)
	assert.False(t, r.Truncated())
}

func TestFull(t *testing.T) {
	// By the format: the RIFF size counts everything behind itself.
	assert.Less(t, int64(maxData+headerSize-8), int64(math.MaxUint32))
	assert.Zero(t, maxData%2)

	rec, err := Record(t.TempDir(), started, "G", 8000)
	require.NoError(t, err)
	rec.max = 1000 * bytesPerSample
	require.NoError(t, rec.Write(make([]float32, 999)))
	assert.ErrorIs(t, rec.Write(make([]float32, 10)), ErrFull)
	assert.NoError(t, rec.Write(make([]float32, 10)), "told once")
	assert.ErrorIs(t, rec.Err(), ErrFull, "and kept")
	assert.NoError(t, rec.Close())
	got, _ := readBack(t, rec.Path())
	assert.Len(t, got, 1000, "the file holds what fitted")
	assert.ErrorContains(t, rec.Write(make([]float32, 1)), "closed")
}

// failing is a disk with room for so many bytes, whose flush may fail too.
type failing struct {
	mu      sync.Mutex
	b       []byte
	room    int
	syncErr error
}

var errNoSpace = errors.New("no space left on device")

func (f *failing) WriteAt(p []byte, at int64) (int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	n := min(len(p), max(0, f.room-int(at)))
	if need := int(at) + n; need > len(f.b) {
		f.b = append(f.b, make([]byte, need-len(f.b))...)
	}
	copy(f.b[at:], p[:n])
	if n < len(p) {
		return n, errNoSpace
	}
	return n, nil
}
func (f *failing) Sync() error          { return f.syncErr }
func (f *failing) Close() error         { return nil }
func (f *failing) Truncate(int64) error { return nil }

// unmarked is a folder without a mark.
type unmarked struct{}

func (unmarked) closed() error  { return nil }
func (unmarked) release() error { return nil }
func (unmarked) clear() error   { return nil }

func TestDiskFull(t *testing.T) {
	f := &failing{room: headerSize + 100*bytesPerSample + 1}
	rec, err := newRecorder(f, unmarked{}, "x", 8000)
	require.NoError(t, err)
	require.NoError(t, rec.Write(make([]float32, 60)))
	assert.ErrorIs(t, rec.Write(make([]float32, 60)), errNoSpace)
	for range 3 {
		assert.NoError(t, rec.Write(make([]float32, 60)), "told once")
	}
	assert.NoError(t, rec.Close())
	assert.Equal(t, int64(100), rec.Samples())
	path := filepath.Join(t.TempDir(), "a.wav")
	require.NoError(t, os.WriteFile(path, f.b, 0o644))
	got, r := readBack(t, path)
	assert.Len(t, got, 100, "whole samples that fitted")
	assert.False(t, r.Truncated())

	_, err = newRecorder(&failing{room: 10}, unmarked{}, "x", 8000)
	assert.ErrorIs(t, err, errNoSpace)
}

func TestFlushFails(t *testing.T) {
	rec, err := newRecorder(&failing{room: 1 << 20, syncErr: errNoSpace}, unmarked{}, "x", 8000)
	require.NoError(t, err)
	require.NoError(t, rec.Write(make([]float32, 10)))
	err = rec.Close()
	assert.ErrorIs(t, err, errNoSpace)
	assert.True(t, strings.HasPrefix(err.Error(), "cannot save the recording"))
}

func TestRecordFails(t *testing.T) {
	_, err := Record(t.TempDir(), started, "G", 0)
	assert.ErrorContains(t, err, "0 samples a second")
}

func TestRecorderWritesJSON(t *testing.T) {
	rec, err := Record(t.TempDir(), started, "G", 8000)
	require.NoError(t, err)
	defer rec.Close()
	require.NoError(t, rec.WriteJSON("x"))
	assert.FileExists(t, filepath.Join(rec.Dir(), JSONName))
}

func TestWriteAllocatesNothing(t *testing.T) {
	rec, err := newRecorder(discard{}, unmarked{}, "x", 8000)
	require.NoError(t, err)
	defer rec.Close()
	s := noise(1000)
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		rec.Quantise(s)
		rec.Write(s)
	}))
}

type discard struct{}

func (discard) WriteAt(p []byte, _ int64) (int, error) { return len(p), nil }
func (discard) Sync() error                            { return nil }
func (discard) Close() error                           { return nil }
func (discard) Truncate(int64) error                   { return nil }

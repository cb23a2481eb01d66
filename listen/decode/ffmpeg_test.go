package decode

import (
	"bytes"
	"context"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// encode makes a file of the chirp with ffmpeg, skipping where it lacks the
// encoder.
func encode(t *testing.T, name string, rate string, args ...string) string {
	t.Helper()
	need(t, "ffmpeg", "ffprobe")
	out := t.TempDir() + "/" + name
	all := append([]string{"-nostdin", "-v", "error", "-f", "f32le", "-ar", rate, "-ac", "1", "-i", raw32(t, chirp(48000))}, args...)
	command(t, "ffmpeg", append(all, out)...)
	return out
}

// lag returns by how many samples got comes after ref, where the 0.1 s after
// the onset fit best among -max to max.
func lag(ref, got []float32, max int) int {
	best, at := float32(0), 0
	for l := -max; l <= max; l++ {
		var sum float32
		for i := len(ref) / 3; i < len(ref)/3+4800; i++ {
			if j := i + l; j >= 0 && j < len(got) {
				sum += ref[i] * got[j]
			}
		}
		if sum > best {
			best, at = sum, l
		}
	}
	return at
}

// What phones record comes back at its place. The formats are lossy, so only
// the place and roughly the length are asked for: within one sample (0.02 ms),
// where encoder delay taken as sound would be hundreds of them.
func TestFFmpegPlace(t *testing.T) {
	ref := chirp(48000)
	for name, c := range map[string]struct {
		args     []string
		channels int
	}{
		"a.m4a":  {[]string{"-c:a", "aac", "-b:a", "128k"}, 1},
		"b.m4a":  {[]string{"-c:a", "aac", "-b:a", "128k", "-ac", "2"}, 2},
		"a.opus": {[]string{"-c:a", "libopus"}, 1},
		"a.ogg":  {[]string{"-c:a", "libvorbis"}, 1},
		"a.mp3":  {[]string{"-c:a", "libmp3lame"}, 1},
		"a.aiff": {nil, 1},
		"a.mp4":  {[]string{"-f", "mp4", "-c:a", "aac"}, 1},
		"a.webm": {[]string{"-c:a", "libopus"}, 1},
		"mu.wav": {[]string{"-c:a", "pcm_mulaw"}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			path := encode(t, name, "48000", c.args...)
			got, r := readAll(t, path)
			assert.Equal(t, 48000, r.Rate())
			assert.Equal(t, c.channels, r.Channels())
			assert.Equal(t, int64(-1), r.Length())
			assert.Contains(t, r.Format(), "through ffmpeg")
			assert.False(t, r.Truncated())
			// The last frame may be padded or cut: 2048 samples is the
			// longest frame of these codecs.
			assert.InDelta(t, len(ref), len(got), 2048)
			assert.InDelta(t, 0, lag(ref, got, 3000), 1)
		})
	}
}

func TestFFmpegMissing(t *testing.T) {
	path := write(t, "take.m4a", []byte("\x00\x00\x00\x20ftypM4A \x00\x00\x00\x00"))
	t.Setenv("PATH", t.TempDir())
	_, err := Open(context.Background(), path)
	requireSentence(t, err, path, "not installed; install ffmpeg, or export the file as WAV or FLAC")
}

func TestFFmpegRefuses(t *testing.T) {
	need(t, "ffmpeg", "ffprobe")
	t.Run("damaged", func(t *testing.T) {
		path := write(t, "take.m4a", append([]byte("\x00\x00\x00\x20ftypM4A "), make([]byte, 500)...))
		_, err := Open(context.Background(), path)
		requireSentence(t, err, path, "ffmpeg cannot decode it")
	})
	t.Run("no sound", func(t *testing.T) {
		out := t.TempDir() + "/silent.mp4"
		command(t, "ffmpeg", "-nostdin", "-v", "error", "-f", "lavfi", "-i", "color=d=0.2:s=64x64", "-an", "-c:v", "mpeg4", out)
		_, err := Open(context.Background(), out)
		requireSentence(t, err, out, "there is no sound in it")
	})
	t.Run("six channels", func(t *testing.T) {
		path := encode(t, "six.m4a", "48000", "-c:a", "aac", "-ac", "6")
		_, err := Open(context.Background(), path)
		requireSentence(t, err, path, "it has 6 channels")
	})
}

// A recording whose index announces more sound than there is.
func TestFFmpegTruncated(t *testing.T) {
	path := encode(t, "a.m4a", "48000", "-c:a", "aac", "-movflags", "+faststart")
	b, err := os.ReadFile(path)
	require.NoError(t, err)
	got, r := readAll(t, write(t, "cut.m4a", b[:len(b)/2]))
	assert.NotEmpty(t, got)
	assert.True(t, r.Truncated())
}

// Either context ends ffmpeg, and Close does.
func TestFFmpegEnds(t *testing.T) {
	path := encode(t, "a.mp3", "48000", "-c:a", "libmp3lame", "-af", "aloop=loop=40:size=72000")
	running := func(t *testing.T, ctx context.Context) (*Reader, *ffmpegFile) {
		r, err := Open(ctx, path)
		require.NoError(t, err)
		t.Cleanup(func() { r.Close() })
		return r, r.dec.(*ffmpegFile)
	}
	buf := make([]float32, 1<<16)
	until := func(t *testing.T, ctx context.Context, r *Reader) error {
		for {
			if _, _, err := r.Read(ctx, buf); err != nil {
				return err
			}
		}
	}
	t.Run("context of Open", func(t *testing.T) {
		ctx, cancel := context.WithCancel(context.Background())
		r, f := running(t, ctx)
		cancel()
		assert.ErrorIs(t, until(t, context.Background(), r), context.Canceled)
		assert.NotNil(t, f.cmd.ProcessState)
	})
	t.Run("context of Read", func(t *testing.T) {
		r, f := running(t, context.Background())
		ctx, cancel := context.WithTimeout(context.Background(), time.Nanosecond)
		defer cancel()
		<-ctx.Done()
		assert.ErrorIs(t, until(t, ctx, r), context.DeadlineExceeded)
		assert.Nil(t, f.cmd.ProcessState, "nothing was read: the next read may go on")
		require.NoError(t, r.Close())
		assert.NotNil(t, f.cmd.ProcessState, "Close ends it")
	})
}

func TestOutputIsBounded(t *testing.T) {
	var last tail
	var first capped
	all := strings.Repeat("0123456789", 20000)
	for _, w := range []io.Writer{&last, &first} {
		// As exec copies: a writer that could read by itself would be asked to.
		n, err := io.Copy(w, struct{ io.Reader }{bytes.NewReader([]byte(all))})
		require.NoError(t, err)
		require.Equal(t, int64(len(all)), n)
	}
	assert.Equal(t, all[len(all)-tailSize:], string(last.b))
	assert.Equal(t, all[:cappedSize], string(first.b))
}

package decode

import (
	"context"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// requireSentence asks for one line that names the file and says what is wrong.
func requireSentence(t *testing.T, err error, path, want string) {
	t.Helper()
	var fe *FileError
	require.ErrorAs(t, err, &fe)
	assert.Contains(t, err.Error(), want)
	assert.Contains(t, err.Error(), strconv.Quote(path))
	assert.NotContains(t, err.Error(), "\n")
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	for name, c := range map[string]struct {
		content string
		want    string
	}{
		"empty.wav":  {"", "the file is empty"},
		"short.wav":  {"R", "not a sound file"},
		"notes.wav":  {"Practise slowly, and count aloud.", "not a sound file"},
		"riff.wav":   {"RIFF\x04\x00\x00\x00WAVE", "does not describe the samples"},
		"other.wav":  {"RIFF\x04\x00\x00\x00ACON", "not a sound file"},
		"list.m3u":   {"#EXTM3U\nfile:///etc/hostname\n", "not a sound file"},
		"utf16.txt":  {"\xFF\xFEh\x00e\x00l\x00l\x00o\x00", "not a sound file"},
		"cut.flac":   {"fLaC", "FLAC header is damaged"},
		"a\nb\x1b.x": {"nothing", "not a sound file"}, // its name is escaped
	} {
		t.Run(strconv.Quote(name), func(t *testing.T) {
			path := filepath.Join(dir, name)
			require.NoError(t, os.WriteFile(path, []byte(c.content), 0o644))
			_, err := Open(context.Background(), path)
			requireSentence(t, err, path, c.want)
		})
	}
	t.Run("missing", func(t *testing.T) {
		path := filepath.Join(dir, "missing.wav")
		_, err := Open(context.Background(), path)
		requireSentence(t, err, path, "there is no such file")
		assert.ErrorIs(t, err, fs.ErrNotExist)
	})
	t.Run("folder", func(t *testing.T) {
		_, err := Open(context.Background(), dir)
		requireSentence(t, err, dir, "is a folder")
	})
	t.Run("device", func(t *testing.T) {
		_, err := Open(context.Background(), os.DevNull)
		requireSentence(t, err, os.DevNull, "is a device")
	})
	t.Run("unreadable", func(t *testing.T) {
		path := write(t, "take.wav", pcm(48000, 1).bytes())
		require.NoError(t, os.Chmod(path, 0))
		if f, err := os.Open(path); err == nil {
			f.Close()
			t.Skip("this user may read every file")
		}
		_, err := Open(context.Background(), path)
		requireSentence(t, err, path, "permission denied")
	})
}

// The format is told by content: names lie.
func TestOpenIgnoresTheName(t *testing.T) {
	got, _ := readAll(t, write(t, "take.mp3", pcm(48000, 16384).bytes()))
	assert.Equal(t, []float32{0.5}, got)
}

func TestReadContract(t *testing.T) {
	path := write(t, "take.wav", pcm(48000, 1, 2, 3).bytes())
	r, err := Open(context.Background(), path)
	require.NoError(t, err)

	n, lost, err := r.Read(context.Background(), nil)
	assert.Zero(t, n)
	assert.Zero(t, lost)
	assert.NoError(t, err)

	ended, cancel := context.WithCancel(context.Background())
	cancel()
	_, _, err = r.Read(ended, make([]float32, 8))
	assert.ErrorIs(t, err, context.Canceled)

	buf := make([]float32, 8)
	n, lost, err = r.Read(context.Background(), buf)
	assert.Equal(t, 3, n, "a context that ended a read ends that read only")
	assert.Zero(t, lost)
	assert.NoError(t, err)
	for range 2 {
		n, _, err = r.Read(context.Background(), buf)
		assert.Zero(t, n)
		assert.Equal(t, io.EOF, err)
	}
	assert.NoError(t, r.Close())
	assert.NoError(t, r.Close())
}

func TestSniff(t *testing.T) {
	for head, want := range map[string]string{
		"\x00\x00\x00\x20ftypM4A ": "MP4 or M4A",
		"OggS\x00\x02":             "Ogg",
		"ID3\x04\x00":              "MP3",
		"\xFF\xFB\x90\x64":         "MP3 or AAC", // MPEG-1 layer III, 128 kbit/s, 44.1 kHz
		"\xFF\xF1\x50\x80":         "MP3 or AAC", // ADTS, AAC LC, 44.1 kHz
		"\xFF\xFF\xFF\xFF":         "",
		"\xFF\xE0":                 "",
		"\x1A\x45\xDF\xA3":         "Matroska or WebM",
		"RIFF\x00\x00\x00\x00AVI ": "AVI",
		"ffconcat version 1.0":     "",
		"":                         "",
	} {
		assert.Equal(t, want, foreign([]byte(head)), "%q", head)
	}
	// The specification's own example, ID3v2.3, section 3.1: 257 is 00 00 02 01.
	assert.Equal(t, int64(257+10), id3Length([]byte("ID3\x03\x00\x00\x00\x00\x02\x01")))
	assert.Zero(t, id3Length([]byte(strings.Repeat("x", 10))))
}

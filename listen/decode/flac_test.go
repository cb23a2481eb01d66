package decode

import (
	"bytes"
	"context"
	"log"
	"strconv"
	"testing"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// flacBytes encodes interleaved samples as FLAC, verbatim, in frames of block
// samples, under a header that announces total.
func flacBytes(t testing.TB, rate, channels, bits, block int, total uint64, samples []int32) []byte {
	t.Helper()
	var b bytes.Buffer
	enc, err := flac.NewEncoder(&b, &meta.StreamInfo{BlockSizeMin: 16, BlockSizeMax: uint16(max(16, block)),
		SampleRate: uint32(rate), NChannels: uint8(channels), BitsPerSample: uint8(bits), NSamples: total})
	require.NoError(t, err)
	enc.EnablePredictionAnalysis(false)
	layout := frame.ChannelsMono
	if channels == 2 {
		layout = frame.ChannelsLR
	}
	for at := 0; at < len(samples); at += block * channels {
		part := samples[at:min(len(samples), at+block*channels)]
		n := len(part) / channels
		f := &frame.Frame{Header: frame.Header{BlockSize: uint16(n), SampleRate: uint32(rate), Channels: layout, BitsPerSample: uint8(bits)}}
		for c := range channels {
			s := &frame.Subframe{SubHeader: frame.SubHeader{Pred: frame.PredVerbatim}, NSamples: n, Samples: make([]int32, n)}
			for i := range n {
				s.Samples[i] = part[i*channels+c]
			}
			f.Subframes = append(f.Subframes, s)
		}
		require.NoError(t, enc.WriteFrame(f))
	}
	require.NoError(t, enc.Close())
	return b.Bytes()
}

func ramp(n int) []int32 {
	s := make([]int32, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func TestFLACSamples(t *testing.T) {
	got, r := readAll(t, write(t, "take.flac", flacBytes(t, 48000, 1, 16, 100, 250, ramp(250))))
	require.Len(t, got, 250)
	for i, v := range got {
		require.Equal(t, float32(i)/32768, v)
	}
	assert.Equal(t, int64(250), r.Length())
	assert.Equal(t, "FLAC, 16-bit", r.Format())
	assert.False(t, r.Truncated())

	got, r = readAll(t, write(t, "take.flac", flacBytes(t, 44100, 2, 24, 16, 2, []int32{1 << 22, 0, -1 << 23, -1 << 23})))
	assert.Equal(t, []float32{0.25, -1}, got, "the channels averaged")
	assert.Equal(t, 2, r.Channels())
}

func TestFLACEnds(t *testing.T) {
	whole := flacBytes(t, 48000, 1, 16, 100, 250, ramp(250))
	unknown := flacBytes(t, 48000, 1, 16, 100, 0, ramp(250))
	more := flacBytes(t, 48000, 1, 16, 100, 300, ramp(250))
	tag := append([]byte("TAG"), make([]byte, 125)...) // ID3v1 stands behind the end
	id3 := append([]byte("ID3\x03\x00\x00\x00\x00\x00\x10"), make([]byte, 16)...)
	for name, c := range map[string]struct {
		b         []byte
		samples   int
		length    int64
		truncated bool
	}{
		"whole":                {whole, 250, 250, false},
		"length not known":     {unknown, 250, -1, false},
		"last frame missing":   {more, 250, 300, true},
		"cut inside a frame":   {whole[:len(whole)-20], 200, 250, true},
		"cut, not known":       {unknown[:len(unknown)-20], 200, -1, true},
		"tag behind":           {append(bytes.Clone(whole), tag...), 250, 250, false},
		"tag before":           {append(id3, whole...), 250, 250, false},
		"claims beyond reason": {flacBytes(t, 48000, 1, 16, 100, 1<<35, ramp(250)), 250, -1, true},
	} {
		t.Run(name, func(t *testing.T) {
			got, r := readAll(t, write(t, "take.flac", c.b))
			assert.Len(t, got, c.samples)
			assert.Equal(t, c.length, r.Length())
			assert.Equal(t, c.truncated, r.Truncated())
		})
	}
}

func TestFLACRefused(t *testing.T) {
	whole := flacBytes(t, 48000, 1, 16, 100, 250, ramp(250))
	damaged := bytes.Clone(whole)
	damaged[len(damaged)-250] ^= 0xFF // inside the second frame
	stereo := flacBytes(t, 48000, 2, 16, 100, 0, ramp(200))
	fast := flacBytes(t, 44100, 1, 16, 100, 0, ramp(100))
	deep := flacBytes(t, 48000, 1, 24, 100, 0, ramp(100))
	header := len(flacBytes(t, 48000, 1, 16, 100, 0, nil))
	joined := func(b []byte) []byte {
		return append(flacBytes(t, 48000, 1, 16, 100, 0, ramp(100)), b[header:]...)
	}
	for name, c := range map[string]struct {
		b    []byte
		want string
	}{
		"no samples":      {whole[:header], "holds no samples"},
		"damaged":         {damaged, "the sound is damaged at 0.002 s"},
		"more than said":  {flacBytes(t, 48000, 1, 16, 100, 200, ramp(250)), "goes on behind the end"},
		"ends in a frame": {flacBytes(t, 48000, 1, 16, 100, 220, ramp(250)), "goes on behind the end"},
		"channels change": {joined(stereo), "changes from 1 to 2 channels"},
		"rate changes":    {joined(fast), "changes from 48000 to 44100 samples"},
		"depth changes":   {joined(deep), "changes from 16 to 24-bit"},
		"slow":            {flacBytes(t, 7000, 1, 16, 100, 0, ramp(100)), "7000 samples a second"},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "take.flac", c.b)
			r, err := Open(context.Background(), path)
			if err == nil {
				defer r.Close()
				_, err = drain(r)
			}
			requireSentence(t, err, path, c.want)
		})
	}
}

// The decoder logs a line for every frame of 24 kHz; nobody is to see it, and
// nothing else is to be lost.
func TestFLACIsQuiet(t *testing.T) {
	var said bytes.Buffer
	old := log.Writer()
	log.SetOutput(&said)
	defer log.SetOutput(old)
	b := flacBytes(t, 24000, 1, 16, 100, 100, ramp(100))
	said.Reset() // the encoder may talk
	log.SetOutput(dropFLAC{&said})
	readAll(t, write(t, "take.flac", b))
	assert.Empty(t, said.String())
	log.Print("kept")
	assert.Contains(t, said.String(), "kept")
}

// Files of the reference encoder (flac, Debian's package) at every depth.
func TestFLACReference(t *testing.T) {
	need(t, "flac", "sox")
	ref := chirp(44100)
	raw := raw32(t, ref)
	for _, bits := range []int{8, 16, 20, 24} {
		for _, channels := range []string{"1", "2"} {
			t.Run(strconv.Itoa(bits)+"-bit, "+channels, func(t *testing.T) {
				dir := t.TempDir()
				wav, out := dir+"/a.wav", dir+"/a.flac"
				if bits == 20 { // sox has no such WAV, but such a FLAC
					command(t, "sox", "-D", "-t", "f32", "-r", "44100", "-c", "1", raw, "-b", "24", "-c", channels, wav)
				} else {
					command(t, "sox", "-D", "-t", "f32", "-r", "44100", "-c", "1", raw, "-b", strconv.Itoa(bits), "-c", channels, wav)
				}
				command(t, "flac", "-s", "-8", "-o", out, wav)
				got, r := readAll(t, out)
				want, _ := readAll(t, wav)
				assert.Equal(t, want, got, "lossless means every bit")
				assert.Equal(t, int64(len(ref)), r.Length())
			})
		}
	}
}

func TestFLACNeverReadsAhead(t *testing.T) {
	b := flacBytes(t, 48000, 1, 16, 100, 250, ramp(250))
	f, err := newFLAC(bytes.NewReader(b), int64(len(b)))
	require.NoError(t, err)
	n, err := f.read(context.Background(), make([]float32, 1000))
	require.NoError(t, err)
	assert.Equal(t, 100, n, "one frame at a time")
}

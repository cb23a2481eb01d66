package decode

import (
	"bytes"
	"context"
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWAVSamples(t *testing.T) {
	f32 := func(v ...float32) []byte {
		var b bytes.Buffer
		binary.Write(&b, binary.LittleEndian, v)
		return b.Bytes()
	}
	base := pcm(44100)
	for name, c := range map[string]struct {
		change func(*wavSpec)
		want   []float32
	}{
		// Full scale, one step, zero: the ends of each integer range, by the
		// definition of two's complement (offset binary for 8 bits).
		"8":  {func(s *wavSpec) { s.bits, s.data = 8, []byte{0, 127, 128, 255} }, []float32{-1, -1. / 128, 0, 127. / 128}},
		"16": {func(s *wavSpec) { s.data = []byte{0, 0x80, 0xFF, 0xFF, 0, 0, 0xFF, 0x7F} }, []float32{-1, -1. / 32768, 0, 32767. / 32768}},
		"24": {func(s *wavSpec) {
			s.bits, s.data = 24, []byte{0, 0, 0x80, 0xFF, 0xFF, 0xFF, 0, 0, 0, 0xFF, 0xFF, 0x7F}
		}, []float32{-1, -1. / 8388608, 0, 8388607. / 8388608}},
		"32":    {func(s *wavSpec) { s.bits, s.data = 32, []byte{0, 0, 0, 0x80, 0, 0, 0, 0x40} }, []float32{-1, 0.5}},
		"float": {func(s *wavSpec) { s.tag, s.bits, s.data = tagFloat, 32, f32(-1, 0.1, 1.5) }, []float32{-1, 0.1, 1.5}},
		"stereo": {func(s *wavSpec) { s.channels, s.data = 2, []byte{0, 0x40, 0, 0x20, 0, 0x80, 0, 0} },
			[]float32{(0.5 + 0.25) / 2, -0.5}},
		"extensible": {func(s *wavSpec) {
			s.extensible, s.validBits, s.bits, s.data = true, 20, 24, []byte{0, 0, 0x40}
		}, []float32{0.5}},
		"extensible float": {func(s *wavSpec) {
			s.tag, s.extensible, s.validBits, s.bits, s.data = tagFloat, true, 32, 32, f32(0.25)
		}, []float32{0.25}},
		"odd chunk before": {func(s *wavSpec) { s.before, s.data = chunk("LIST", []byte("abc")), []byte{0, 0x40} }, []float32{0.5}},
		"chunk after":      {func(s *wavSpec) { s.after, s.data = chunk("LIST", []byte("abcd")), []byte{0, 0x40} }, []float32{0.5}},
		"byte rate 0":      {func(s *wavSpec) { s.byteRate, s.data = 0, []byte{0, 0x40} }, []float32{0.5}},
	} {
		t.Run(name, func(t *testing.T) {
			spec := base
			c.change(&spec)
			got, r := readAll(t, write(t, "take.wav", spec.bytes()))
			assert.Equal(t, c.want, got)
			assert.Equal(t, int64(len(c.want)), r.Length())
			assert.Equal(t, 44100, r.Rate())
			assert.Equal(t, spec.channels, r.Channels())
			assert.False(t, r.Truncated())
		})
	}
}

func TestWAVUnfinishedAndTruncated(t *testing.T) {
	whole := pcm(48000, 1, 2, 3, 4)
	for name, c := range map[string]struct {
		change    func(*wavSpec)
		cut       int // bytes taken off the end
		samples   int
		truncated bool
	}{
		"killed, sizes 0":           {func(s *wavSpec) { s.riff, s.dataSize = 0, 0 }, 0, 4, false},
		"killed, RIFF as if empty":  {func(s *wavSpec) { s.riff, s.dataSize = 36, 0 }, 0, 4, false},
		"killed, sizes all ones":    {func(s *wavSpec) { s.riff, s.dataSize = 0xFFFFFFFF, 0xFFFFFFFF }, 0, 4, false},
		"killed between the sizes":  {func(s *wavSpec) { s.riff = 36 }, 0, 4, false},
		"killed inside a sample":    {func(s *wavSpec) { s.riff, s.dataSize = 0, 0 }, 1, 3, false},
		"sox to a pipe":             {func(s *wavSpec) { s.riff, s.dataSize = 0x7FFFF024, 0x7FFFF000 }, 0, 4, false},
		"truncated":                 {func(s *wavSpec) {}, 4, 2, true},
		"truncated inside a sample": {func(s *wavSpec) {}, 3, 2, true},
		"size of half a sample":     {func(s *wavSpec) { s.dataSize = 7 }, 0, 3, true},
	} {
		t.Run(name, func(t *testing.T) {
			spec := whole
			c.change(&spec)
			b := spec.bytes()
			got, r := readAll(t, write(t, "take.wav", b[:len(b)-c.cut]))
			want := []float32{1. / 32768, 2. / 32768, 3. / 32768, 4. / 32768}
			assert.Equal(t, want[:c.samples], got)
			assert.Equal(t, int64(c.samples), r.Length())
			assert.Equal(t, c.truncated, r.Truncated())
		})
	}
}

func TestWAVRefused(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*wavSpec)
		want   string
	}{
		"no samples":          {func(s *wavSpec) { s.data = nil }, "holds no samples"},
		"empty, chunks after": {func(s *wavSpec) { s.data, s.after = nil, chunk("LIST", []byte("abcd")) }, "holds no samples"},
		"one sample a second": {func(s *wavSpec) { s.rate = 1 }, "has 1 samples a second; 8000 to 192000"},
		"too fast":            {func(s *wavSpec) { s.rate = 192001 }, "192001 samples a second"},
		"absurd rate":         {func(s *wavSpec) { s.rate = 0xFFFFFFFF }, "samples a second"},
		"seven channels":      {func(s *wavSpec) { s.channels = 7 }, "has 7 channels; mono and stereo"},
		"no channels":         {func(s *wavSpec) { s.channels = 0 }, "has 0 channels"},
		"12 bits":             {func(s *wavSpec) { s.bits, s.align = 12, 2 }, "12-bit samples; 8, 16, 24 and 32-bit integers"},
		"64-bit float":        {func(s *wavSpec) { s.tag, s.bits = tagFloat, 64 }, "64-bit float"},
		"block of 3":          {func(s *wavSpec) { s.align = 3 }, "3 bytes for a sample of all channels, and describes 2"},
		"two rates":           {func(s *wavSpec) { s.byteRate = 44100 * 2 }, "48000 samples a second in one place and 44100 in another"},
		"too many valid bits": {func(s *wavSpec) { s.extensible, s.validBits = true, 17 }, "17 of 16 bits"},
		"no format":           {func(s *wavSpec) { s.noFormat = true }, "does not describe the samples"},
		"two formats":         {func(s *wavSpec) { s.twoFmts = true }, "describes the samples twice"},
		"chunk beyond the end": {func(s *wavSpec) { s.before = []byte("LIST\xF0\xFF\xFF\xFF") },
			"announces no samples"},
		"endless chunks": {func(s *wavSpec) { s.before = bytes.Repeat(chunk("JUNK", nil), maxChunks) }, "announces no samples"},
	} {
		t.Run(name, func(t *testing.T) {
			spec := pcm(48000, 1, 2, 3, 4)
			c.change(&spec)
			path := write(t, "take.wav", spec.bytes())
			_, err := Open(context.Background(), path)
			requireSentence(t, err, path, c.want)
		})
	}
}

func TestWAVBadFloats(t *testing.T) {
	for name, c := range map[string]struct {
		bits uint32
		want string
	}{
		"NaN":  {0x7FC00000, "the sample at 0.500 s is not a number"},
		"Inf":  {0xFF800000, "the sample at 0.500 s is infinite"},
		"huge": {math.Float32bits(3e30), "the sample at 0.500 s is 3e+30 times full scale"},
	} {
		t.Run(name, func(t *testing.T) {
			spec := pcm(8000)
			spec.tag, spec.bits, spec.data = tagFloat, 32, make([]byte, 4*8000)
			binary.LittleEndian.PutUint32(spec.data[4*4000:], c.bits)
			path := write(t, "take.wav", spec.bytes())
			r, err := Open(context.Background(), path)
			require.NoError(t, err)
			defer r.Close()
			got, err := drain(r)
			requireSentence(t, err, path, c.want)
			assert.Len(t, got, 4000, "the samples before the bad one")
			_, _, again := r.Read(context.Background(), make([]float32, 1))
			assert.Equal(t, err, again)
		})
	}
}

// A header may claim anything; what is kept in memory follows the file.
func TestWAVBufferFollowsTheFile(t *testing.T) {
	spec := pcm(48000, 1)
	spec.dataSize, spec.riff = 0xFFFFFFF0, 0xFFFFFFFE
	b := spec.bytes()
	w, err := newWAV(bytes.NewReader(b), int64(len(b)))
	require.NoError(t, err)
	assert.LessOrEqual(t, len(w.buf), len(b))
	assert.Equal(t, int64(1), w.info().length)
}

package decode

import (
	"bytes"
	"context"
	"encoding/binary"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// wavSpec is a WAV file to be written, with whatever lies a test wants.
type wavSpec struct {
	tag, channels, bits int
	rate                int
	data                []byte

	riff, dataSize    int64 // -1: the truth
	byteRate          int64 // -1: the truth
	align             int   // 0: the truth
	extensible        bool
	validBits         int
	guid              string // "": the right one
	before, after     []byte // chunks around the data
	noFormat, twoFmts bool
}

// pcm is an honest mono WAV of the given rate and 16-bit samples.
func pcm(rate int, samples ...int16) wavSpec {
	var b bytes.Buffer
	binary.Write(&b, binary.LittleEndian, samples)
	return wavSpec{tag: tagPCM, channels: 1, bits: 16, rate: rate, data: b.Bytes(), riff: -1, dataSize: -1, byteRate: -1}
}

func chunk(id string, body []byte) []byte {
	b := append([]byte(id), 0, 0, 0, 0)
	binary.LittleEndian.PutUint32(b[4:], uint32(len(body)))
	b = append(b, body...)
	if len(body)%2 == 1 {
		b = append(b, 0)
	}
	return b
}

func (s wavSpec) bytes() []byte {
	le := binary.LittleEndian
	align := s.align
	if align == 0 {
		align = s.channels * s.bits / 8
	}
	byteRate := s.byteRate
	if byteRate < 0 {
		byteRate = int64(s.rate) * int64(align)
	}
	tag := s.tag
	if s.extensible {
		tag = tagExtensible
	}
	f := le.AppendUint16(nil, uint16(tag))
	f = le.AppendUint16(f, uint16(s.channels))
	f = le.AppendUint32(f, uint32(s.rate))
	f = le.AppendUint32(f, uint32(byteRate))
	f = le.AppendUint16(f, uint16(align))
	f = le.AppendUint16(f, uint16(s.bits))
	if s.extensible {
		f = le.AppendUint16(f, 22)
		f = le.AppendUint16(f, uint16(s.validBits))
		f = le.AppendUint32(f, 0)
		f = le.AppendUint16(f, uint16(s.tag))
		if s.guid == "" {
			s.guid = guidTail
		}
		f = append(f, s.guid...)
	}
	body := []byte("WAVE")
	if !s.noFormat {
		body = append(body, chunk("fmt ", f)...)
	}
	if s.twoFmts {
		body = append(body, chunk("fmt ", f)...)
	}
	body = append(body, s.before...)
	at := len(body)
	body = append(body, chunk("data", s.data)...)
	if s.dataSize >= 0 {
		le.PutUint32(body[at+4:], uint32(s.dataSize))
	}
	body = append(body, s.after...)
	all := append([]byte("RIFF\x00\x00\x00\x00"), body...)
	riff := s.riff
	if riff < 0 {
		riff = int64(len(body))
	}
	le.PutUint32(all[4:], uint32(riff))
	return all
}

// write puts b into a file of the test's own and returns its path.
func write(t testing.TB, name string, b []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, b, 0o644))
	return path
}

// readAll opens path and reads it in chunks of odd length.
func readAll(t testing.TB, path string) ([]float32, *Reader) {
	t.Helper()
	r, err := Open(context.Background(), path)
	require.NoError(t, err)
	t.Cleanup(func() { r.Close() })
	got, err := drain(r)
	require.NoError(t, err)
	return got, r
}

func drain(r *Reader) ([]float32, error) {
	var all []float32
	buf := make([]float32, 441)
	for {
		n, _, err := r.Read(context.Background(), buf)
		all = append(all, buf[:n]...)
		if err == io.EOF {
			return all, nil
		}
		if err != nil {
			return all, err
		}
	}
}

// need skips the test where the program is not installed.
func need(t testing.TB, names ...string) {
	t.Helper()
	for _, name := range names {
		if _, err := exec.LookPath(name); err != nil {
			t.Skipf("%s is not installed", name)
		}
	}
}

func command(t testing.TB, name string, args ...string) {
	t.Helper()
	out, err := exec.Command(name, args...).CombinedOutput()
	require.NoError(t, err, "%s %v: %s", name, args, out)
}

// chirp is a second and a half of sound that fits itself at one lag only:
// half a second of silence, then a sweep from 80 to 4000 Hz, fading.
func chirp(rate int) []float32 {
	out := make([]float32, rate*3/2)
	for i := rate / 2; i < len(out); i++ {
		t := float64(i-rate/2) / float64(rate)
		out[i] = float32(0.6 * math.Exp(-2*t) * math.Sin(2*math.Pi*(80*t+1960*t*t)))
	}
	return out
}

// raw32 writes samples as raw 32-bit floats for sox and ffmpeg.
func raw32(t testing.TB, samples []float32) string {
	var b bytes.Buffer
	require.NoError(t, binary.Write(&b, binary.LittleEndian, samples))
	return write(t, "ref.f32", b.Bytes())
}

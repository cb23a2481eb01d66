package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wavHeader is a canonical 44-byte header (RIFF/WAVE, Microsoft and IBM 1991).
func wavHeader(format, channels uint16, rate uint32, bits uint16, data uint32) []byte {
	var b bytes.Buffer
	le := func(v any) { binary.Write(&b, binary.LittleEndian, v) }
	frame := channels * bits / 8
	b.WriteString("RIFF")
	le(data + 36)
	b.WriteString("WAVEfmt ")
	le(uint32(16))
	le(format)
	le(channels)
	le(rate)
	le(rate * uint32(frame))
	le(frame)
	le(bits)
	b.WriteString("data")
	le(data)
	return b.Bytes()
}

// wav16 is a mono 16-bit file of samples.
func wav16(rate int, samples []float32) []byte {
	b := wavHeader(1, 1, uint32(rate), 16, uint32(2*len(samples)))
	for _, x := range samples {
		b = binary.LittleEndian.AppendUint16(b, uint16(int16(math.Round(float64(max(-1, min(x, 1)))*32767))))
	}
	return b
}

// inFolder writes files to a new folder and returns their paths' folder.
func inFolder(t *testing.T, files map[string][]byte) string {
	t.Helper()
	dir := t.TempDir()
	for name, b := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), b, 0o644))
	}
	return dir
}

// result of a command line.
type result struct {
	status      int
	out, errOut string
}

// bordon runs a command line that has no terminal, no sound and folders of its
// own.
func bordon(t *testing.T, args ...string) result {
	t.Helper()
	return bordonWith(t, context.Background(), sound{}, args...)
}

func bordonWith(t *testing.T, ctx context.Context, snd sound, args ...string) result {
	t.Helper()
	var out, errOut bytes.Buffer
	a := &app{stdin: strings.NewReader(""), stdout: &out, stderr: &errOut, sound: silent(snd), takes: filepath.Join(t.TempDir(), "takes"), state: t.TempDir(), config: t.TempDir() + "/config.toml"}
	status := a.run(ctx, args)
	return result{status, out.String(), errOut.String()}
}

func TestBadInput(t *testing.T) {
	nan := wavHeader(3, 1, 48000, 32, 4*48000)
	for range 48000 {
		nan = binary.LittleEndian.AppendUint32(nan, math.Float32bits(float32(math.NaN())))
	}
	lying := wavHeader(1, 1, 48000, 16, 0xFFFFFFF0)
	copy(lying[16:], []byte{0xFF, 0xFF, 0xFF, 0x7F}) // a fmt chunk of 2 GiB
	dir := inFolder(t, map[string][]byte{
		"good.wav":     wav16(48000, make([]float32, 4800)),
		"text.wav":     []byte("This is a letter and no sound at all.\n"),
		"empty.wav":    {},
		"nothing.wav":  wav16(48000, nil),
		"header.wav":   wavHeader(1, 1, 48000, 16, 48000)[:30],
		"lying.wav":    lying,
		"slow.wav":     wav16(1, make([]float32, 100)),
		"nan.wav":      nan,
		"seven.wav":    append(wavHeader(1, 7, 48000, 16, 14*100), make([]byte, 14*100)...),
		"line\nfeed.x": []byte("x"),
	})
	if os.Getuid() != 0 { // root reads everything
		require.NoError(t, os.Chmod(filepath.Join(dir, "good.wav"), 0))
	}
	file := func(name string) string { return filepath.Join(dir, name) }
	check := func(args ...string) []string {
		return append([]string{"check", "--key", "D", "--tempo", "96", "--first-beat", "0"}, args...)
	}
	tests := []struct {
		name   string
		args   []string
		status int
		says   []string // each stands in the sentence
	}{
		{"no such file", check(file("gone.wav")), failed, []string{"gone.wav", "no such file"}},
		{"a folder", check(dir), failed, []string{"folder"}},
		{"no audio", check(file("text.wav")), failed, []string{"text.wav"}},
		{"an empty file", check(file("empty.wav")), failed, []string{"empty.wav", "empty"}},
		{"zero samples", check(file("nothing.wav")), failed, []string{"nothing.wav", "no samples"}},
		{"a header cut off", check(file("header.wav")), failed, []string{"header.wav"}},
		{"a lying header", check(file("lying.wav")), failed, []string{"lying.wav"}},
		{"1 sample a second", check(file("slow.wav")), failed, []string{"slow.wav", "8000"}},
		{"NaN samples", check(file("nan.wav")), failed, []string{"nan.wav", "not a number"}},
		{"7 channels", check(file("seven.wav")), failed, []string{"seven.wav", "7 channels", "mono and stereo"}},
		{"a name with a line feed", check(file("line\nfeed.x")), failed, []string{`line\nfeed.x`}},
		{"a key that is none", check("--key", "H", file("good.wav")), wrong, []string{`key "H"`, "por-medio"}},
		{"an empty key", check("--key", "", file("good.wav")), wrong, []string{"key", "por-medio"}},
		{"a form that is none", check("--form", "waltz", file("good.wav")), wrong, []string{"waltz", "alegrias"}},
		{"beat 13", check("--line", "13:A2", file("good.wav")), wrong, []string{"13", "12"}},
		{"a position twice", check("--line", "7:B2 7:A2", file("good.wav")), wrong, []string{"7:A2"}},
		{"an octave no guitar has", check("--line", "7:B7", file("good.wav")), wrong, []string{"B7"}},
		{"an unknown degree", check("--line", "7:9", file("good.wav")), wrong, []string{"7:9"}},
		{"a tempo of 0", check("--tempo", "0", file("good.wav")), wrong, []string{"tempo", "0", "20"}},
		{"a tempo that is no number", check("--tempo", "fast", file("good.wav")), wrong, []string{"fast", "tempo", "beats a minute"}},
		{"a tempo of NaN", check("--tempo", "NaN", file("good.wav")), wrong, []string{"tempo", "beats a minute"}},
		{"a first beat of infinity", check("--first-beat", "Inf", file("good.wav")), wrong, []string{"first-beat", "seconds"}},
		{"a cejilla at fret 30", check("--cejilla", "30", file("good.wav")), wrong, []string{"cejilla", "30", "12"}},
		{"half a fret", check("--cejilla", "1.5", file("good.wav")), wrong, []string{"cejilla", "1.5", "fret"}},
		{"a concert pitch of 300 Hz", check("--a4", "300", file("good.wav")), wrong, []string{"300", "415", "466"}},
		{"an unknown tolerance", check("--tolerance", "lenient", file("good.wav")), wrong, []string{"lenient", "learning or performing"}},
		{"an unknown format", check("--format", "xml", file("good.wav")), wrong, []string{"xml", "text or json"}},
		{"an unknown flag", check("--speed", "3", file("good.wav")), wrong, []string{"--speed"}},
		{"no file", check(), wrong, []string{"no file"}},
		{"no key", []string{"check", "--tempo", "96", file("good.wav")}, wrong, []string{"no key", "--key G"}},
		{"no sound to find a pulse in", []string{"check", "--key", "D", file("good.wav")}, failed, []string{"good.wav", "no compás was found", "no sound"}},
		{"an empty line", check("--line", "", file("good.wav")), wrong, []string{"line is empty", "7:B2"}},
		{"an octave that MIDI does not number", check("--line", "7:B9", file("good.wav")), wrong, []string{"7:B9", "no guitar", "B5"}},
		{"a delay that is none", check("--delay", "long", file("good.wav")), wrong, []string{"delay", "long", "milliseconds", "unknown"}},
		{"an unknown command", []string{"judge"}, wrong, []string{"judge", "the commands are check, listen"}},
		{"help on an unknown command", []string{"help", "judge"}, wrong, []string{"judge", "the commands are check, listen"}},
		{"completion for no shell", []string{"completion"}, wrong, []string{"bash"}},
		{"completion for an unknown shell", []string{"completion", "csh"}, wrong, []string{"csh", "bash"}},
		{"an argument for listen", []string{"listen", "take.wav"}, wrong, []string{"take.wav"}},
		{"a tempo of 0, live", []string{"listen", "--tempo", "0"}, wrong, []string{"tempo"}},
		{"a negative count-in", []string{"listen", "--count-in", "-3"}, wrong, []string{"count-in", "-3"}},
		{"an endless lead", []string{"listen", "--lead", "1e9"}, wrong, []string{"lead", "60"}},
		{"a negative number of turns", []string{"listen", "--turns", "-1"}, wrong, []string{"turns"}},
		{"a delay of a minute", []string{"listen", "--delay", "60000"}, wrong, []string{"delay", "2000"}},
		{"no device", []string{"listen"}, failed, []string{"no microphone", "bordon demo"}},
		{"no device, no arguments", nil, failed, []string{"no microphone", "bordon demo"}},
		{"no device to list", []string{"listen", "--list-devices"}, failed, []string{"no microphone", "bordon demo"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := bordon(t, tt.args...)
			assert.Equal(t, tt.status, r.status)
			assert.Empty(t, r.out, "nothing on stdout")
			assert.Equal(t, 1, strings.Count(r.errOut, "\n"), "one sentence: %q", r.errOut)
			assert.True(t, strings.HasPrefix(r.errOut, "bordon: "), "%q", r.errOut)
			for _, s := range tt.says {
				assert.Contains(t, r.errOut, s)
			}
			for _, c := range strings.TrimSuffix(r.errOut, "\n") {
				assert.False(t, c < 0x20 || c == 0x7f, "a control character in %q", r.errOut)
			}
		})
	}
}

func TestSeveralFilesWithABadOne(t *testing.T) {
	dir := inFolder(t, map[string][]byte{
		"a.wav": wav16(48000, make([]float32, 48000)),
		"b.wav": []byte("no sound"),
		"c.wav": wav16(44100, make([]float32, 44100)),
	})
	files := []string{filepath.Join(dir, "c.wav"), filepath.Join(dir, "b.wav"), filepath.Join(dir, "a.wav"), filepath.Join(dir, "gone.wav")}
	args := append([]string{"check", "-k", "D", "-t", "96", "--first-beat", "0", "--format", "json"}, files...)
	r := bordon(t, args...)
	assert.Equal(t, failed, r.status)
	var got []map[string]any
	require.NoError(t, json.Unmarshal([]byte(r.out), &got))
	require.Len(t, got, 4)
	for i, file := range files {
		assert.Equal(t, file, got[i]["file"])
	}
	for _, i := range []int{1, 3} {
		assert.Len(t, got[i], 2)
		assert.NotEmpty(t, got[i]["error"])
	}
	assert.Equal(t, "bordon-check/1", got[0]["schema"])
	assert.Contains(t, r.errOut, "2 of 4 files")
}

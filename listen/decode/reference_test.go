package decode

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every sample format that sox (Debian's package) writes gives back what went
// into it: within half a step of its own resolution, by the definition of
// rounding.
func TestWAVReference(t *testing.T) {
	need(t, "sox")
	ref := chirp(44100)
	raw := raw32(t, ref)
	for _, c := range []struct {
		bits int
		enc  string
	}{
		{8, "unsigned-integer"}, {16, "signed-integer"}, {24, "signed-integer"}, {32, "signed-integer"}, {32, "floating-point"},
	} {
		for channels := 1; channels <= 2; channels++ {
			t.Run(fmt.Sprintf("%d-bit %s, %d", c.bits, c.enc, channels), func(t *testing.T) {
				out := t.TempDir() + "/a.wav"
				command(t, "sox", "-D", "-t", "f32", "-r", "44100", "-c", "1", raw,
					"-e", c.enc, "-b", fmt.Sprint(c.bits), "-c", fmt.Sprint(channels), out)
				got, r := readAll(t, out)
				require.Len(t, got, len(ref))
				assert.Equal(t, int64(len(ref)), r.Length())
				assert.Equal(t, 44100, r.Rate())
				assert.Equal(t, channels, r.Channels())
				assert.False(t, r.Truncated())
				// Half a step, and what a float32 near full scale can hold.
				half := math.Ldexp(0.5, 1-c.bits) + math.Ldexp(1, -24)
				for i := range ref {
					require.InDelta(t, ref[i], got[i], half, "sample %d", i)
				}
			})
		}
	}
}

// What sox writes to a pipe, without knowing the length, is read to its end.
func TestWAVFromSoxPipe(t *testing.T) {
	need(t, "sox", "sh")
	out := t.TempDir() + "/a.wav"
	command(t, "sh", "-c", "sox -V1 -n -r 48000 -b 16 -t wav - synth 0.5 sine 82.41 vol 0.5 | cat > "+out)
	got, r := readAll(t, out)
	assert.Len(t, got, 24000)
	assert.False(t, r.Truncated())
}

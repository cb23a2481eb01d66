package dsp

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWeightsRoundTrip(t *testing.T) {
	w, err := ParseWeights(embedded)
	require.NoError(t, err)
	assert.Equal(t, embedded, w.Marshal())
}

// The text beside the weights says where they come from; it names them by
// their hash, so that neither can change without the other.
func TestWeightsAreThoseOfTheirText(t *testing.T) {
	text, err := os.ReadFile("ear.weights.txt")
	require.NoError(t, err)
	assert.Contains(t, string(text), fmt.Sprintf("%x", sha256.Sum256(embedded)))
}

func TestParseWeightsRefuses(t *testing.T) {
	nan := append([]byte(nil), embedded...)
	copy(nan[len(magic):], []byte{0, 0, 0xc0, 0x7f})
	// The widths of the first net stand behind the gate's weights.
	width := func(n uint32) []byte {
		at := len(magic)
		for _, part := range NewGate().Parts() {
			at += 4 * len(part)
		}
		b := binary.LittleEndian.AppendUint32(append([]byte(nil), embedded[:at]...), n)
		return append(binary.LittleEndian.AppendUint32(b, 1024), embedded[at+8:len(magic)+200000]...)
	}
	for _, c := range []struct {
		name string
		b    []byte
		want string
	}{
		{"nothing", nil, "does not begin with"},
		{"another file", []byte("RIFF...................."), "does not begin with"},
		{"cut", embedded[:len(embedded)-1], "cut short"},
		{"too long", append(append([]byte(nil), embedded...), 0), "1 bytes too many"},
		{"not a number", nan, "not finite"},
		{"no width", width(0), "a net's width of 0 lies outside 1 to 1024"},
		{"too wide", width(1025), "a net's width of 1025 lies outside 1 to 1024"},
		{"wider than what follows", width(1024), "cut short"},
	} {
		_, err := ParseWeights(c.b)
		require.ErrorContains(t, err, c.want, c.name)
	}
}

func FuzzParseWeights(f *testing.F) {
	f.Add([]byte(magic))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, b []byte) {
		if w, err := ParseWeights(b); err == nil {
			assert.Equal(t, b, w.Marshal())
		}
	})
}

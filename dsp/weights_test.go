package dsp

import (
	"crypto/sha256"
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

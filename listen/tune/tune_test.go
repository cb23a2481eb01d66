package tune_test

import (
	"testing"

	"bordon/dsp/pluck"
	"bordon/listen/tune"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Six strings, each off by another amount, plucked one after the other and
// left to ring.
func TestStringByString(t *testing.T) {
	off := [6]float64{-8, 12, 0, 21, -17, 5}
	for _, rate := range []int{44100, 48000} {
		g := pluck.Classic()
		for i := range g.Strings {
			g.Strings[i].Cents = off[i]
		}
		s, err := pluck.New(g, rate, 1, 0)
		require.NoError(t, err)
		for i := range 6 {
			require.NoError(t, s.Schedule(pluck.Event{At: 1.5 + 1.7*float64(i), Kind: pluck.Pluck, String: 6 - i, Velocity: 0.7}))
		}
		x := make([]float32, 13*rate)
		s.Read(x)
		tn := tune.New(rate, theory.Standard, 0, 440)
		for i := 0; i < len(x); i += 441 {
			tn.Write(x[i:min(i+441, len(x))])
		}
		for i := range 6 {
			r := tn.String(i + 1)
			assert.True(t, r.Heard, "string %d", i+1)
			// The two polarisations of a string lie 0.7 cents apart, and its
			// stiffness sharpens the partials by about as much.
			assert.InDelta(t, off[i], r.Cents, 2.5, "string %d at %d", i+1, rate)
		}
	}
}

func TestSilenceIsNotHeard(t *testing.T) {
	tn := tune.New(48000, theory.Standard, 0, 440)
	tn.Write(make([]float32, 5*48000))
	for i := range 6 {
		assert.False(t, tn.String(i+1).Heard)
	}
}

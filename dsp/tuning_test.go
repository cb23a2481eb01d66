package dsp

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTuningOfKnownOffsets(t *testing.T) {
	for _, a4 := range []float64{415, 440, 466} {
		for _, cents := range []float64{-45, -35, -12, 0, 7, 25, 35, 45} {
			tn := newTuning(earRate, a4)
			n := 0
			for _, midi := range []float64{43, 47, 50, 55, 59, 45, 52} {
				x := tone(a4*math.Exp2((midi-69+cents/100)/12), 1, 12, tuningFFT)
				tn.hear(x)
				n++
			}
			got, ok := tn.offset()
			require.True(t, ok)
			// Three cents is what the tool promises; these tones have no
			// inharmonicity that would pull them.
			assert.InDelta(t, cents, got, 3, "A4 %g", a4)
		}
	}
}

func TestTuningOfSilenceIsUnknown(t *testing.T) {
	tn := newTuning(earRate, 440)
	for range 10 {
		tn.hear(make([]float32, tuningFFT))
	}
	_, ok := tn.offset()
	assert.False(t, ok)
}

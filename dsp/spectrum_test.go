package dsp

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/dsp/fourier"
)

// Against gonum's transform of real sequences.
func TestSpectrumIsThatOfTheSamplesAlone(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for n := 16; n <= 4096; n *= 2 {
		for _, m := range []int{n, n - 3, n/2 + 1, n / 2, 5} {
			x, w := make([]float32, m), make([]float64, m)
			hann(w)
			padded := make([]float64, n)
			for i := range x {
				x[i] = float32(rng.NormFloat64())
				padded[i] = w[i] * float64(x[i])
			}
			got := make([]float64, n/2+1)
			s := newSpectrum(n)
			s.power(got, make([]float32, n)[:m], w) // leaves nothing behind
			s.power(got, x, w)
			top := 0.0
			want := make([]float64, n/2+1)
			for k, c := range fourier.NewFFT(n).Coefficients(nil, padded) {
				want[k] = real(c)*real(c) + imag(c)*imag(c)
				top = max(top, want[k])
			}
			// 120 dB below the highest peak: rounding of a power lies 130 and more below.
			assert.InDeltaSlice(t, want, got, top*1e-12, "%d of %d samples", m, n)
		}
	}
}

package vector

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/dsp/fourier"
)

// Against gonum's transform of real numbers.
func TestPowersOfPairs(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 8))
		for n := 16; n <= 4096; n *= 2 {
			wr, wi := Waves(n, n/4+1)
			tr := NewTransform(n / 2)
			for _, m := range []int{n, n - 1, n/2 + 3, 5, 1} {
				x, w, want := drawn(rng, m), make([]float64, m), make([]float64, n)
				for i := range w {
					w[i] = rng.Float64()
					want[i] = w[i] * float64(x[i])
				}
				re, im := tr.In()
				clear(re)
				clear(im)
				Pairs(re, im, x, w)
				re, im = tr.Run()
				got := make([]float64, n/2+1)
				Powers(got, re, im, wr, wi)
				for k, c := range fourier.NewFFT(n).Coefficients(nil, want) {
					// Rounding of numbers of about the root of n in a dozen passes, squared.
					if !assert.InDelta(t, real(c)*real(c)+imag(c)*imag(c), got[k], 1e-13*float64(n*n), "%d of %d", k, n) {
						return
					}
				}
			}
		}
	})
}

func TestRootsAndGains(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 9))
		for n := range 20 {
			x, y, got := make([]float64, n), make([]float64, n), make([]float64, n+1)
			for i := range x {
				x[i], y[i] = rng.Float64(), rng.Float64()
			}
			got[n] = 7
			Roots(got, x)
			for i, v := range x {
				assert.Equal(t, math.Sqrt(v), got[i])
			}
			Gains(got, x, y, 0.1)
			for i, v := range x {
				want := 0.0
				if v-y[i] > 0.1 {
					want = math.Sqrt(math.Sqrt(v - y[i]))
				}
				assert.Equal(t, want, got[i])
			}
			assert.Equal(t, 7.0, got[n], "what lies behind stays")
		}
	})
}

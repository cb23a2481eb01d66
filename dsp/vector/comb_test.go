package vector

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestComb(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 10))
		x := make([]float64, 120)
		for i := range x {
			x[i] = rng.NormFloat64()
		}
		for n := range 60 {
			for _, offsets := range [][]int{nil, {0}, {-3, 0, 40}, {0, 12, 19, 24, 28, 31, 34, 36, 38, 40}} {
				shares := make([]float64, len(offsets))
				for i := range shares {
					shares[i] = rng.Float64()
				}
				y := make([]float64, n+1)
				y[n] = 7
				Comb(y[:n], x, 10, offsets, shares, 0.5)
				for i := range n {
					want := 0.5
					for k, o := range offsets {
						want += shares[k] * x[10+i+o]
					}
					assert.InDelta(t, want, y[i], 1e-14, "%d of %d, offsets %v: rounding of ten products of about 1", i, n, offsets)
				}
				assert.Equal(t, 7.0, y[n], "what lies behind stays")
			}
		}
		assert.Panics(t, func() { Comb(make([]float64, 8), x, 0, []int{-1}, []float64{1}, 0) })
		assert.Panics(t, func() { Comb(make([]float64, 8), x, 100, []int{13}, []float64{1}, 0) })
	})
}

func TestWithin(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 11))
		for n := range 40 {
			x, y := drawn(rng, n), make([]float32, n+1)
			y[n] = 7
			Within(y, x, 0.25, -1, 0.5, 2, 3)
			for i, v := range x {
				assert.Equal(t, (min(max(v-0.25, -1), 0.5)+2)/3, y[i])
			}
			assert.Equal(t, float32(7), y[n], "what lies behind stays")
			same := append([]float32{}, x...)
			Within(same, same, 0.25, -1, 0.5, 2, 3)
			assert.Equal(t, y[:n], same)
		}
	})
}

// Each is what it is alone.
func TestDots(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 12))
		for n := 0; n <= 200; n += 8 {
			var a, b [4][]float32
			for i := range a {
				a[i], b[i] = drawn(rng, n), drawn(rng, n+i)
			}
			got := Dots([]float32{7}, &a, &b, 4)
			for i, v := range got[1:] {
				want := 0.0
				for k, x := range a[i] {
					want += float64(x) * float64(b[i][k])
				}
				assert.InDelta(t, want, v, 4e-7*float64(n+8), "rounding of a sum of products of about 1")
				one, with := [4][]float32{a[i], a[i], a[i], a[i]}, [4][]float32{b[i], b[i], b[i], b[i]}
				assert.Equal(t, []float32{v}, Dots(nil, &one, &with, 1))
			}
			assert.Len(t, got, 5)
		}
	})
}

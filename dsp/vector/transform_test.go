package vector

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/dsp/fourier"
)

// Against gonum's.
func TestTransform(t *testing.T) {
	bothWays(t, func(t *testing.T) {
		rng := rand.New(rand.NewPCG(1, 7))
		for n := 4; n <= 8192; n *= 2 {
			tr := NewTransform(n)
			for range 2 { // what the first leaves behind does nothing
				re, im := tr.In()
				x := make([]complex128, n)
				for i := range x {
					re[i], im[i] = rng.NormFloat64(), rng.NormFloat64()
					x[i] = complex(re[i], im[i])
				}
				want := fourier.NewCmplxFFT(n).Coefficients(nil, x)
				re, im = tr.Run()
				for k, c := range want {
					// Rounding of numbers of about the root of n in a dozen passes.
					if !assert.InDelta(t, real(c), re[k], 1e-13*float64(n), "%d of %d", k, n) ||
						!assert.InDelta(t, imag(c), im[k], 1e-13*float64(n), "%d of %d", k, n) {
						return
					}
				}
			}
		}
	})
}

func BenchmarkTransform(b *testing.B) {
	for _, n := range []int{64, 512, 1024, 2048} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			t := NewTransform(n)
			b.ReportAllocs()
			for b.Loop() {
				re, _ := t.In()
				re[1] = 1
				re, im := t.Run()
				clear(re)
				clear(im)
			}
		})
		b.Run(fmt.Sprintf("gonum %d", n), func(b *testing.B) {
			if n == 512 || n == 2048 {
				b.Skip("no power of four")
			}
			z := make([]complex128, n)
			for b.Loop() {
				clear(z)
				z[1] = 1
				fourier.CoefficientsRadix4(z)
			}
		})
	}
}

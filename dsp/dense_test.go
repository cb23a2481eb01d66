package dsp

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/blas/blas32"
)

func TestDenseLayer(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	drawn := func(n int) []float32 {
		x := make([]float32, n)
		for i := range x {
			x[i] = float32(rng.NormFloat64())
		}
		return x
	}
	const in, out, rows = 13, 6, 3
	w, b := drawn(in*out), drawn(out)
	x := matrix(rows, in)
	y := blas32.General{Rows: rows, Stride: out, Data: drawn(rows * out)}
	for _, rectify := range []bool{false, true} {
		for r := range rows {
			copy(x.Data[r*x.Stride:], drawn(in))
		}
		d := newDense(w, b, in, out)
		d.of(y, x, rectify)
		for r := range rows {
			for o := range out {
				want := float64(b[o])
				for i := range in {
					want += float64(x.Data[r*x.Stride+i]) * float64(w[i*out+o])
				}
				if rectify {
					want = max(want, 0)
				}
				assert.InDelta(t, want, y.Data[r*out+o], 1e-5, "row %d, output %d: rounding of a dozen float32s", r, o)
			}
		}
	}
}

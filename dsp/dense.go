package dsp

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas32"
)

// dense is a layer of a net, its weights turned so that each output is an
// inner product: gonum takes half the time over that than over sums of rows.
// Rows are padded with zeros to a multiple of four, so that each begins where
// gonum's vectors do, and its sums come out the same wherever they lie.
type dense struct {
	w blas32.General // outputs x inputs
	b []float32
}

// newDense is the layer of weights w (in x out, row-major) and b. Without
// weights it is a layer of zeros.
func newDense(w, b []float32, in, out int) dense {
	d := dense{w: matrix(out, in), b: make([]float32, out)}
	copy(d.b, b)
	for i := range len(w) / out {
		for o, v := range w[i*out : (i+1)*out] {
			d.w.Data[o*d.w.Stride+i] = v
		}
	}
	return d
}

// matrix is one of zeros whose rows have room for cols numbers.
func matrix(rows, cols int) blas32.General {
	stride := (cols + 3) &^ 3
	return blas32.General{Rows: rows, Cols: stride, Stride: stride, Data: make([]float32, rows*stride)}
}

// strip is how many outputs are had at a time: matrices so small gonum doesn't
// share among goroutines, so the ear stays on its caller's.
const strip = 192

// of writes to the rows of y what the layer makes of those of x, which may be
// wider than its inputs by zeros alone, and where rectify is set the positive
// part of that.
func (d *dense) of(y, x blas32.General, rectify bool) {
	for r := range y.Rows {
		copy(y.Data[r*y.Stride:], d.b)
	}
	y.Cols = d.w.Rows
	for o := 0; o < d.w.Rows; o += strip {
		w, to := d.w, y
		w.Rows = min(strip, d.w.Rows-o)
		w.Data, to.Data, to.Cols = d.w.Data[o*d.w.Stride:], y.Data[o:], w.Rows
		blas32.Gemm(blas.NoTrans, blas.Trans, 1, x, w, 1, to)
	}
	if !rectify {
		return
	}
	for r := range y.Rows {
		row := y.Data[r*y.Stride : r*y.Stride+y.Cols]
		for i, v := range row {
			// Without a branch, which no processor could foresee.
			bits := math.Float32bits(v)
			row[i] = math.Float32frombits(bits &^ uint32(int32(bits)>>31))
		}
	}
}

// dot is the inner product of a with the first len(a) values of b. Where a's
// memory begins at a multiple of 16 bytes, as an allocation of that much does,
// the order of the sum is always the same.
func dot(a, b []float32) float32 {
	n := len(a)
	return blas32.Dot(blas32.Vector{N: n, Inc: 1, Data: b}, blas32.Vector{N: n, Inc: 1, Data: a})
}

//go:build !openblas

package main

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas32"
)

// multiply is c = a b + beta c, in blocks so small that gonum starts no
// goroutines: the workers keep the processors busy as it is.
func multiply(ta, tb blas.Transpose, a, b blas32.General, beta float32, c blas32.General) {
	const block = 64
	for r := 0; r < c.Rows; r += block {
		part := c
		part.Rows = min(block, c.Rows-r)
		part.Data = c.Data[r*c.Stride:]
		left := a
		if ta == blas.Trans {
			left.Cols, left.Data = part.Rows, a.Data[r:]
		} else {
			left.Rows, left.Data = part.Rows, a.Data[r*a.Stride:]
		}
		for k := 0; k < c.Cols; k += 3 * block {
			part, right := part, b
			part.Cols = min(3*block, c.Cols-k)
			part.Data = part.Data[k:]
			if tb == blas.Trans {
				right.Rows, right.Data = part.Cols, b.Data[k*b.Stride:]
			} else {
				right.Cols, right.Data = part.Cols, b.Data[k:]
			}
			blas32.Gemm(ta, tb, 1, left, right, beta, part)
		}
	}
}

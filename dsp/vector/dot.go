package vector

import "gonum.org/v1/gonum/blas/blas32"

// Dot is the inner product of a with the first len(a) values of b. Without AVX2
// the order of the sum depends on where a begins in memory: at a multiple of 16
// bytes, as an allocation of that much does, it is always the same.
func Dot(a, b []float32) float32 {
	n := len(a)
	if n == 0 {
		return 0
	}
	b = b[:n]
	if fast {
		return dot(&a[0], &b[0], n)
	}
	return blas32.Dot(blas32.Vector{N: n, Inc: 1, Data: b}, blas32.Vector{N: n, Inc: 1, Data: a})
}

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

// Dots appends to dst the first count, 1 to 4, of the inner products of the four
// a, all of one length, a multiple of eight, each with the first values of its b.
func Dots(dst []float32, a, b *[4][]float32, count int) []float32 {
	n := len(a[0])
	if !fast || n == 0 || n%lanes != 0 {
		for i := range count {
			dst = append(dst, Dot(a[i], b[i]))
		}
		return dst
	}
	var from, with [4]*float32
	for i := range from {
		from[i], with[i] = &a[i][:n][0], &b[i][:n][0]
	}
	var sums [4]float32
	dots(&sums[0], &from, &with, n)
	if count == len(sums) { // the usual case, spared a copy in memory
		return append(dst, sums[0], sums[1], sums[2], sums[3])
	}
	return append(dst, sums[:count]...)
}

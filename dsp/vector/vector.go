// Package vector does what the ear spends its time on, sums of products and
// Fourier transforms: by AVX2 and FMA on processors of amd64 that have them, by
// gonum and Go on all others. Nothing is allocated, no goroutine started.
//
// On one machine the same numbers give the same sums bit by bit; without AVX2 Dot
// asks something of where they lie for that. Between a processor that has AVX2
// and one that has not, sums differ by their rounding.
package vector

package vector

import "golang.org/x/sys/cpu"

// fast tells whether the processor has what the assembly needs.
var fast = cpu.X86.HasAVX2 && cpu.X86.HasFMA

// products3 writes to y, three rows yStride apart, groups of four outputs each:
// the inner products of three rows of x, n long, a multiple of eight, with as
// many rows of w, wStride apart, and b, at least least.
//
//go:noescape
func products3(y *float32, yStride int, x *float32, xStride int, w *float32, wStride int, b *float32, n, groups int, least float32)

// products1 does so with one row.
//
//go:noescape
func products1(y, x, w *float32, wStride int, b *float32, n, groups int, least float32)

// dot is the inner product of n numbers.
//
//go:noescape
func dot(a, b *float32, n int) float32

// firstFour is the first pass of a transform of 4m numbers, m a multiple of four.
//
//go:noescape
func firstFour(yr, yi, xr, xi, wave *float64, m int)

// four is a later pass, whose runs are s long, a multiple of four.
//
//go:noescape
func four(yr, yi, xr, xi, wave *float64, m, s int)

// two is the last pass of a transform whose length is no power of four, of
// either part: y becomes the sums and the differences of the halves of x, each
// of n numbers, a multiple of four.
//
//go:noescape
func two(y, x *float64, n int)

// pairs writes n pairs of x times w, n a multiple of four, to re and im.
//
//go:noescape
func pairs(re, im *float64, x *float32, w *float64, n int)

// powers does the loop of Powers, n times, a multiple of four.
//
//go:noescape
func powers(up, down, ar, ai, br, bi, wr, wi *float64, n int)

// roots takes n roots, a multiple of four.
//
//go:noescape
func roots(dst, x *float64, n int)

// gains makes n gains, a multiple of four.
//
//go:noescape
func gains(dst, after, before *float64, least float64, n int)

// comb makes n numbers, a multiple of four, of k shares.
//
//go:noescape
func comb(y, x *float64, offsets *int, shares *float64, k int, start float64, n int)

// within does so to n numbers, a multiple of eight.
//
//go:noescape
func within(dst, src *float32, n int, ref, low, high, by, unit float32)

// dots writes the inner products of four pairs, n long, a multiple of eight.
//
//go:noescape
func dots(dst *float32, a, b *[4]*float32, n int)

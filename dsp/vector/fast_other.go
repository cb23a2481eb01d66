//go:build !amd64

package vector

const fast = false

func products3(y *float32, yStride int, x *float32, xStride int, w *float32, wStride int, b *float32, n, groups int, least float32) {
	panic("vector: no assembly")
}

func products1(y, x, w *float32, wStride int, b *float32, n, groups int, least float32) {
	panic("vector: no assembly")
}

func dot(a, b *float32, n int) float32 { panic("vector: no assembly") }

func firstFour(yr, yi, xr, xi, wave *float64, m int) { panic("vector: no assembly") }

func four(yr, yi, xr, xi, wave *float64, m, s int) { panic("vector: no assembly") }

func two(y, x *float64, n int) { panic("vector: no assembly") }

func pairs(re, im *float64, x *float32, w *float64, n int) { panic("vector: no assembly") }

func powers(up, down, ar, ai, br, bi, wr, wi *float64, n int) { panic("vector: no assembly") }

func roots(dst, x *float64, n int) { panic("vector: no assembly") }

func gains(dst, after, before *float64, least float64, n int) { panic("vector: no assembly") }

func comb(y, x *float64, offsets *int, shares *float64, k int, start float64, n int) {
	panic("vector: no assembly")
}

func within(dst, src *float32, n int, ref, low, high, by, unit float32) { panic("vector: no assembly") }

func dots(dst *float32, a, b *[4]*float32, n int) { panic("vector: no assembly") }

package vector

import "math"

// Pairs writes x times w to re and im in turn, len(w) of them, and a zero to im
// where that is odd.
func Pairs(re, im []float64, x []float32, w []float64) {
	n := len(w) / 2
	x, re, im = x[:len(w)], re[:(len(w)+1)/2], im[:(len(w)+1)/2]
	i := 0
	if fast && n >= 4 {
		i = n &^ 3
		pairs(&re[0], &im[0], &x[0], &w[0], i)
	}
	for ; i < n; i++ {
		re[i], im[i] = w[2*i]*float64(x[2*i]), w[2*i+1]*float64(x[2*i+1])
	}
	if len(w)%2 == 1 {
		re[n], im[n] = w[2*n]*float64(x[2*n]), 0
	}
}

// Waves are the real and the imaginary parts of exp(-2 pi i k/n) for k below count.
func Waves(n, count int) (re, im []float64) {
	re, im = make([]float64, count), make([]float64, count)
	for k := range re {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		re[k], im[k] = cos, -sin
	}
	return re, im
}

// Powers writes to dst the squared magnitudes, half+1 of them, of the transform
// of 2 half real numbers, of which re and im, half long, are what a Transform
// made of their Pairs. half is a multiple of eight; wr and wi are
// Waves(2*half, half/2+1).
func Powers(dst, re, im, wr, wi []float64) {
	half := len(re)
	n := half / 2
	sum, diff := re[0]+im[0], re[0]-im[0]
	dst[0], dst[half] = sum*sum, diff*diff
	// From k and half-k of the pairs' transform follow both of the numbers'.
	up, down := dst[1:n+1], dst[n:half]
	ar, ai, br, bi := re[1:n+1], im[1:n+1], re[n:], im[n:half]
	wr, wi = wr[1:n+1], wi[1:n+1]
	if fast {
		powers(&up[0], &down[0], &ar[0], &ai[0], &br[0], &bi[0], &wr[0], &wi[0], n)
		return
	}
	for i, j := 0, n-1; j >= 0; i, j = i+1, j-1 {
		er, ei := ar[i]+br[j], ai[i]-bi[j] // of the even ones, twice
		or, oi := ai[i]+bi[j], br[j]-ar[i] // of the odd ones
		tr, ti := or*wr[i]-oi*wi[i], or*wi[i]+oi*wr[i]
		pr, pi, qr, qi := er+tr, ei+ti, er-tr, ei-ti
		up[i] = (pr*pr + pi*pi) / 4
		down[j] = (qr*qr + qi*qi) / 4
	}
}

// Roots writes the square roots of x to dst, which is no shorter.
func Roots(dst, x []float64) {
	dst = dst[:len(x)]
	i := 0
	if fast && len(x) >= 4 {
		i = len(x) &^ 3
		roots(&dst[0], &x[0], i)
	}
	for ; i < len(x); i++ {
		dst[i] = math.Sqrt(x[i])
	}
}

// Gains writes to dst the fourth roots of how much after exceeds before, 0
// where that is no more than least, which is not negative. All are of one length.
func Gains(dst, after, before []float64, least float64) {
	dst, before = dst[:len(after)], before[:len(after)]
	i := 0
	if fast && len(after) >= 4 {
		i = len(after) &^ 3
		gains(&dst[0], &after[0], &before[0], least, i)
	}
	for ; i < len(after); i++ {
		dst[i] = 0
		if d := after[i] - before[i]; d > least {
			dst[i] = math.Sqrt(math.Sqrt(d))
		}
	}
}

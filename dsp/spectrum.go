package dsp

import (
	"math"

	"bordon/dsp/vector"
)

// spectrum computes power spectra of windowed, zero-padded stretches of real
// samples, two of which make one complex number of a transform half as long
// (Sorensen, Jones, Heideman & Burrus, IEEE TASSP 35 (1987)).
type spectrum struct {
	n      int
	of     *vector.Transform
	wr, wi []float64 // exp(-2 pi i k/n) for k up to n/4
}

// newSpectrum is for transforms of n samples, a power of two from 16 up.
func newSpectrum(n int) *spectrum {
	s := &spectrum{n: n, of: vector.NewTransform(n / 2)}
	s.wr, s.wi = waves(n, n/4+1)
	return s
}

// waves are the real and the imaginary parts of exp(-2 pi i k/n) for k below count.
func waves(n, count int) (re, im []float64) {
	re, im = make([]float64, count), make([]float64, count)
	for k := range re {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		re[k], im[k] = cos, -sin
	}
	return re, im
}

// power writes to dst (length n/2+1) the squared magnitudes of x times w,
// zero-padded to n. The sum of w is 1, so that a sine of amplitude a peaks at
// a*a/4 whatever the window. len(x) == len(w) <= n.
func (s *spectrum) power(dst []float64, x []float32, w []float64) {
	x = x[:len(w)]
	re, im := s.of.In()
	m := len(w) / 2
	for i := range m {
		re[i], im[i] = w[2*i]*float64(x[2*i]), w[2*i+1]*float64(x[2*i+1])
	}
	if len(w)%2 == 1 {
		re[m], im[m] = w[2*m]*float64(x[2*m]), 0
		m++
	}
	clear(re[m:])
	clear(im[m:])
	re, im = s.of.Run()

	half := s.n / 2
	sum, diff := re[0]+im[0], re[0]-im[0]
	dst[0], dst[half] = sum*sum, diff*diff
	// From k and half-k of the pairs' transform follow both of the samples'.
	up, down := dst[1:half/2+1], dst[half/2:half]
	ar, ai, br, bi := re[1:half/2+1], im[1:half/2+1], re[half/2:], im[half/2:]
	wr, wi := s.wr[1:], s.wi[1:]
	for i, j := 0, half/2-1; j >= 0; i, j = i+1, j-1 {
		er, ei := ar[i]+br[j], ai[i]-bi[j] // of the even samples, twice
		or, oi := ai[i]+bi[j], br[j]-ar[i] // of the odd ones
		tr, ti := or*wr[i]-oi*wi[i], or*wi[i]+oi*wr[i]
		pr, pi, qr, qi := er+tr, ei+ti, er-tr, ei-ti
		up[i] = (pr*pr + pi*pi) / 4
		down[j] = (qr*qr + qi*qi) / 4
	}
}

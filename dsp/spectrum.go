package dsp

import "bordon/dsp/vector"

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
	s.wr, s.wi = vector.Waves(n, n/4+1)
	return s
}

// power writes to dst (length n/2+1) the squared magnitudes of x times w,
// zero-padded to n. The sum of w is 1, so that a sine of amplitude a peaks at
// a*a/4 whatever the window. len(x) == len(w) <= n.
func (s *spectrum) power(dst []float64, x []float32, w []float64) {
	re, im := s.of.In()
	vector.Pairs(re, im, x, w)
	clear(re[(len(w)+1)/2:])
	clear(im[(len(w)+1)/2:])
	re, im = s.of.Run()
	vector.Powers(dst, re, im, s.wr, s.wi)
}

package dsp

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/dsp/fourier"
)

// spectrum computes power spectra of windowed, zero-padded stretches of real
// samples, two of which make one complex number of a transform half as long
// (Sorensen, Jones, Heideman & Burrus, IEEE TASSP 35 (1987)). Of gonum's
// transforms the one of radix four takes the least time by far; it wants a
// power of four, which half of n is once one stage of radix two is done.
type spectrum struct {
	n    int
	z    []complex128 // n/2
	wave []complex128 // exp(-2 pi i k/n) for k up to n/4
	two  []complex128 // exp(-4 pi i k/n) for k below n/4, where n/2 is no power of four
}

// newSpectrum is for transforms of n samples, a power of two from 16 up.
func newSpectrum(n int) *spectrum {
	s := &spectrum{n: n, z: make([]complex128, n/2), wave: waves(n, n/4+1)}
	if bits.TrailingZeros(uint(n/2))%2 == 1 {
		s.two = waves(n/2, n/4)
	}
	return s
}

// waves are exp(-2 pi i k/n) for k below count.
func waves(n, count int) []complex128 {
	w := make([]complex128, count)
	for k := range w {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		w[k] = complex(cos, -sin)
	}
	return w
}

// power writes to dst (length n/2+1) the squared magnitudes of x times w,
// zero-padded to n. The sum of w is 1, so that a sine of amplitude a peaks at
// a*a/4 whatever the window. len(x) == len(w) <= n.
func (s *spectrum) power(dst []float64, x []float32, w []float64) {
	x = x[:len(w)]
	m := len(w) / 2
	for i := range s.z[:m] {
		s.z[i] = complex(w[2*i]*float64(x[2*i]), w[2*i+1]*float64(x[2*i+1]))
	}
	if len(w)%2 == 1 {
		s.z[m] = complex(w[2*m]*float64(x[2*m]), 0)
		m++
	}
	clear(s.z[m:])
	half := s.n / 2
	dst = dst[:half+1]
	var a complex128
	if s.two == nil {
		fourier.CoefficientsRadix4(s.z)
		a = s.z[0]
		s.part(dst, s.z[1:], 1, 1)
	} else {
		even, odd := s.z[:half/2], s.z[half/2:]
		for i, w := range s.two {
			a, b := even[i], odd[i]
			even[i], odd[i] = a+b, (a-b)*w
		}
		fourier.CoefficientsRadix4(even)
		fourier.CoefficientsRadix4(odd)
		a = even[0]
		s.part(dst, even[1:], 2, 2)
		s.part(dst, odd, 1, 2)
	}
	sum, diff := real(a)+imag(a), real(a)-imag(a)
	dst[0], dst[half] = sum*sum, diff*diff
}

// part writes the powers at first, first+step and so on up to half of n, which
// lie as far from it as from 0, where z holds what the transform of the pairs
// gave there.
func (s *spectrum) part(dst []float64, z []complex128, first, step int) {
	half := s.n / 2
	j := len(z) - 1
	for i, k := 0, first; i <= j; i, k = i+1, k+step {
		a, b := z[i], z[j]
		j--
		er, ei := real(a)+real(b), imag(a)-imag(b) // of the even samples, twice
		or, oi := imag(a)+imag(b), real(b)-real(a) // of the odd ones
		wr, wi := real(s.wave[k]), imag(s.wave[k])
		tr, ti := or*wr-oi*wi, or*wi+oi*wr
		pr, pi, qr, qi := er+tr, ei+ti, er-tr, ei-ti
		dst[k] = (pr*pr + pi*pi) / 4
		dst[half-k] = (qr*qr + qi*qi) / 4
	}
}

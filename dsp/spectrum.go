package dsp

import "gonum.org/v1/gonum/dsp/fourier"

// spectrum computes power spectra of windowed, zero-padded stretches.
type spectrum struct {
	fft  *fourier.FFT
	seq  []float64
	coef []complex128
}

func newSpectrum(n int) *spectrum {
	return &spectrum{fft: fourier.NewFFT(n), seq: make([]float64, n), coef: make([]complex128, n/2+1)}
}

// power writes to dst (length n/2+1) the squared magnitudes of x times w,
// zero-padded to n; with the window's sum taken off, so that a sine of
// amplitude a peaks at a*a/4 whatever the window. len(x) == len(w) <= n.
func (s *spectrum) power(dst []float64, x []float32, w []float64) {
	sum := 0.0
	for i, v := range w {
		s.seq[i] = v * float64(x[i])
		sum += v
	}
	clear(s.seq[len(w):])
	s.fft.Coefficients(s.coef, s.seq)
	norm := 1 / (sum * sum)
	for i, c := range s.coef {
		re, im := real(c), imag(c)
		dst[i] = (re*re + im*im) * norm
	}
}

package dsp

import (
	"math"

	"bordon/dsp/vector"
)

// Lags of the autocorrelation, as pitches: a third of a semitone apart from
// below C2 to above C5.
const (
	lagLow  = 35.0
	lagStep = 1.0 / 3
	lags    = 115
)

// autocorrelation finds periods in the energy that is new. It follows Tolonen
// & Karjalainen, "A computationally efficient multipitch analysis model",
// IEEE TSAP 8 (2000): the spectrum is compressed to a power well below two
// before it is transformed back, so that no single partial rules.
//
// Of the spectrum's cosine transform the first half of the lags is had from one
// complex transform of half the length. Of a sequence whose transform is the
// even lags and of one whose transform is the odd lags, which are real all of
// them, the first is its real part and the second its imaginary part.
type autocorrelation struct {
	rate   float64
	n      int // of the transform whose powers are compared
	a      []float64
	wr, wi []float64 // exp(-2 pi i k/n)
	half   *vector.Transform
	r      []float64 // by lag
}

// newAutocorrelation is for power spectra that s makes.
func newAutocorrelation(s *spectrum, rate float64) *autocorrelation {
	c := &autocorrelation{rate: rate, n: s.n, a: make([]float64, s.n/2+1),
		half: vector.NewTransform(s.n / 2), r: make([]float64, s.n/4)}
	c.wr, c.wi = vector.Waves(s.n, s.n/2)
	return c
}

// of writes to dst (length lags) the normalised autocorrelation, -1 to 1, of
// the part of after that exceeds before, power spectra both. shift is the
// factor by which the guitar is sharp of 440 Hz equal temperament.
func (c *autocorrelation) of(dst []float32, after, before []float64, shift float64) {
	lo, hi := int(50*float64(c.n)/c.rate), int(4500*float64(c.n)/c.rate)
	top := 0.0
	for _, v := range after[lo:hi] {
		if v > top {
			top = v
		}
	}
	floor := top * 1e-6
	clear(c.a[:lo])
	clear(c.a[hi:])
	// The fourth root is near the power 0.33 of the magnitude, and many times
	// cheaper than Pow.
	vector.Gains(c.a[lo:hi], after[lo:hi], before[lo:hi], floor)
	half := c.n / 2
	re, im := c.half.In()
	for k := range re {
		// x+y, and x-y times i exp(-2 pi i k/n).
		x, y := c.a[k], c.a[half-k]
		re[k], im[k] = x+y-(x-y)*c.wi[k], (x-y)*c.wr[k]
	}
	re, im = c.half.Run()
	for i := range len(c.r) / 2 {
		c.r[2*i], c.r[2*i+1] = re[i], im[i]
	}
	norm := 0.0
	if c.r[0] > 0 {
		norm = 1 / c.r[0]
	}
	f0 := 440 * math.Exp2((lagLow-69)/12) * shift
	step := math.Exp2(-lagStep / 12)
	lag := c.rate / f0
	for i := range dst[:lags] {
		k := int(lag + 0.5)
		// A parabola through three values: the lags of the upper notes are
		// only some twenty samples.
		y0, y1, y2 := c.r[k-1], c.r[k], c.r[k+1]
		d := lag - float64(k)
		dst[i] = float32(norm * (y1 + d*(y2-y0)/2 + d*d*(y0-2*y1+y2)/2))
		lag *= step
	}
}

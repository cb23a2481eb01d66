package dsp

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
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
type autocorrelation struct {
	spec *spectrum
	rate float64
	dct  *fourier.DCT
	r    []float64 // by lag, up to half of the transform's length
}

func newAutocorrelation(s *spectrum, rate float64) *autocorrelation {
	n := s.n/2 + 1
	return &autocorrelation{spec: s, rate: rate, dct: fourier.NewDCT(n), r: make([]float64, n)}
}

// of writes to dst (length lags) the normalised autocorrelation, -1 to 1, of
// the part of after that exceeds before; both are power spectra of the length
// that spec makes. shift is the
// factor by which the guitar is sharp of 440 Hz equal temperament.
func (a *autocorrelation) of(dst []float32, after, before []float64, shift float64) {
	n := a.spec.n
	lo, hi := int(50*float64(n)/a.rate), int(4500*float64(n)/a.rate)
	top := 0.0
	for _, v := range after[lo:hi] {
		top = max(top, v)
	}
	floor := top * 1e-6
	clear(a.r)
	for i := lo; i < hi; i++ {
		// Fourth root by two square roots: near the power 0.33 of the
		// magnitude, and many times cheaper than Pow.
		if d := after[i] - before[i]; d > floor {
			a.r[i] = math.Sqrt(math.Sqrt(d))
		}
	}
	a.dct.Transform(a.r, a.r) // what the whole transform of a real spectrum gives, in half the time
	norm := 0.0
	if a.r[0] > 0 {
		norm = 1 / a.r[0]
	}
	f0 := 440 * math.Exp2((lagLow-69)/12) * shift
	step := math.Exp2(-lagStep / 12)
	lag := a.rate / f0
	for i := range dst[:lags] {
		k := int(lag + 0.5)
		// A parabola through three values: the lags of the upper notes are
		// only some twenty samples.
		y0, y1, y2 := a.r[k-1], a.r[k], a.r[k+1]
		d := lag - float64(k)
		dst[i] = float32(norm * (y1 + d*(y2-y0)/2 + d*d*(y0-2*y1+y2)/2))
		lag *= step
	}
}

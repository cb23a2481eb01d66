package dsp

import (
	"math"
	"math/cmplx"
)

const (
	tuningFFT    = 4096 // 0.37 s at the ear's rate
	tuningHop    = tuningFFT / 2
	tuningFrames = 64 // about 12 s
)

// tuning estimates how far a guitar as a whole lies from concert pitch. Every
// spectral peak votes with a unit vector at its fraction of a semitone,
// weighted by the root of its amplitude; the angle of the sum is the offset
// and its length, against the sum of the weights, the trust.
type tuning struct {
	rate   float64
	a4     float64
	spec   *spectrum
	win    []float64
	pow    []float64
	votes  [tuningFrames]complex128
	weight [tuningFrames]float64
	frames int
	cents  float64
	trust  float64
}

func newTuning(rate, a4 float64) *tuning {
	t := &tuning{rate: rate, a4: a4, spec: newSpectrum(tuningFFT),
		win: make([]float64, tuningFFT), pow: make([]float64, tuningFFT/2+1)}
	hann(t.win)
	return t
}

// hear takes one stretch of tuningFFT samples.
func (t *tuning) hear(x []float32) {
	t.spec.power(t.pow, x, t.win)
	bin := t.rate / tuningFFT
	lo, hi := int(180/bin), int(1400/bin)
	top := 0.0
	for _, p := range t.pow[lo:hi] {
		top = max(top, p)
	}
	slot := t.frames % tuningFrames
	t.frames++
	t.votes[slot], t.weight[slot] = 0, 0
	if top > 1e-9 { // -90 dB: silence has no pitch
		for i := lo; i < hi; i++ {
			p := t.pow[i]
			if p < top*1e-4 || p < t.pow[i-1] || p <= t.pow[i+1] {
				continue
			}
			l0, l1, l2 := math.Log(t.pow[i-1]+1e-20), math.Log(p), math.Log(t.pow[i+1]+1e-20)
			d := 0.0
			if q := l0 - 2*l1 + l2; q < 0 {
				d = (l0 - l2) / (2 * q)
			}
			f := (float64(i) + d) * bin
			m := 69 + 12*math.Log2(f/t.a4)
			w := math.Sqrt(math.Sqrt(p))
			s, c := math.Sincos(2 * math.Pi * (m - math.Round(m)))
			t.votes[slot] += complex(w*c, w*s)
			t.weight[slot] += w
		}
	}
	var sum complex128
	var weight float64
	for i := range t.votes {
		sum += t.votes[i]
		weight += t.weight[i]
	}
	t.trust = 0
	if weight > 0 {
		t.trust = cmplx.Abs(sum) / weight
		t.cents = cmplx.Phase(sum) / (2 * math.Pi) * 100
	}
}

// offset is the guitar's offset in cents and whether it can be relied on: at
// least two thirds of a second was heard and the votes agree.
func (t *tuning) offset() (cents float64, known bool) {
	return t.cents, t.frames >= 3 && t.trust > 0.3
}

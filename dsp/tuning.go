package dsp

import "math"

const (
	tuningFFT    = 4096 // 0.37 s at the ear's rate
	tuningHop    = tuningFFT / 2
	tuningFrames = 64 // about 12 s
	tuningBins   = 50 // of a semitone, 2 cents each
)

const (
	// A partial that lasts rises narrow out of the spectrum: under a Hann window
	// a steady one falls by 15 dB and more from its peak to two bins beside it.
	// The spectrum of a clap of some hundredths of a second is as wide as it is
	// short, and that of two claps in one window has the next peak where the
	// partial has none.
	lastingFrom, lastingTo = 2, 4 // bins beside the peak
	lastingFall            = 5.0  // a power ratio, 7 dB: other partials are near

	tuningLeast = 3 // stretches in which something lasted; two hold half of their samples in common
)

// tuning estimates how far a guitar as a whole lies from concert pitch. Every
// spectral peak that lasts votes for its fraction of a semitone, weighted by the root of
// its amplitude, over the last twelve seconds; where the votes crowd is the
// offset. The crowd is sought rather than the mean, because the fifth partial
// lies 14 cents and the seventh 31 cents flat of the tempered scale.
type tuning struct {
	rate   float64
	a4     float64
	spec   *spectrum
	win    []float64
	pow    []float64
	votes  [tuningFrames][tuningBins]float64
	frames int // stretches heard
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
	t.vote()
}

// vote lets the peaks of the spectrum in pow vote.
func (t *tuning) vote() {
	bin := t.rate / tuningFFT
	lo, hi := int(180/bin), int(1400/bin)
	top := 0.0
	for _, p := range t.pow[lo:hi] {
		if p > top {
			top = p
		}
	}
	slot := t.frames % tuningFrames
	t.frames++
	clear(t.votes[slot][:])
	if top > 1e-9 { // -90 dB: silence has no pitch
		for i := lo; i < hi; i++ {
			p := t.pow[i]
			if p < top*1e-4 || p < t.pow[i-1] || p <= t.pow[i+1] {
				continue
			}
			if !lasts(t.pow[i-lastingTo : i+lastingTo+1]) {
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
			// Shared between the two nearest bins, so that no bin's edge counts.
			at := (m - math.Floor(m)) * tuningBins
			k := int(at)
			t.votes[slot][k%tuningBins] += w * (1 - (at - float64(k)))
			t.votes[slot][(k+1)%tuningBins] += w * (at - float64(k))
		}
	}
	t.count()
}

// lasts reports whether there is a partial that lasts in the middle of a
// stretch of powers, 2 lastingTo + 1 long.
func lasts(pow []float64) bool {
	beside := 0.0
	for d := lastingFrom; d <= lastingTo; d++ {
		beside = max(beside, pow[lastingTo-d], pow[lastingTo+d])
	}
	return pow[lastingTo] >= lastingFall*beside
}

// crowd is how far from the offset a vote may lie to be one of its own, in
// bins: 12 cents, under the fifth partial's 14.
const crowd = 6

// count finds where the votes crowd.
func (t *tuning) count() {
	var sum [tuningBins]float64
	total := 0.0
	voted := 0
	for i := range t.votes {
		before := total
		for k, v := range t.votes[i] {
			sum[k] += v
			total += v
		}
		if total > before {
			voted++
		}
	}
	t.trust = 0
	if voted < tuningLeast {
		return
	}
	best, top := 0, -1.0
	for k := range sum {
		near := 0.0
		for d := -crowd; d <= crowd; d++ {
			near += sum[(k+d+tuningBins)%tuningBins] * float64(crowd+1-max(d, -d))
		}
		if near > top {
			best, top = k, near
		}
	}
	var moment, weight float64
	for d := -crowd; d <= crowd; d++ {
		v := sum[(best+d+tuningBins)%tuningBins] * float64(crowd+1-max(d, -d))
		moment += v * float64(d)
		weight += v
	}
	t.cents = (float64(best) + moment/weight) * 100 / tuningBins
	if t.cents > 50 {
		t.cents -= 100
	}
	near := 0.0
	for d := -crowd; d <= crowd; d++ {
		near += sum[(best+d+tuningBins)%tuningBins]
	}
	t.trust = near / total
}

// offset is the guitar's offset in cents and whether it can be relied on:
// something lasted in at least two thirds of a second, and the votes agree.
func (t *tuning) offset() (cents float64, known bool) {
	return t.cents, t.trust > 0.4
}

package dsp

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/dsp/fourier"
)

// tone is the sum of partials first to last of a string, 1/n each.
func tone(hz float64, first, last, n int) []float32 {
	x := make([]float32, n)
	for k := first; k <= last; k++ {
		for i := range x {
			x[i] += float32(0.3 / float64(k) * math.Sin(2*math.Pi*hz*float64(k)*float64(i)/earRate+float64(k*k)))
		}
	}
	return x
}

// A laptop's microphone hears nothing of a low note's fundamental; the period
// is in the upper partials all the same.
func TestAutocorrelationKnowsThePeriodWithoutTheFundamental(t *testing.T) {
	spec := newSpectrum(pitFFT)
	acf := newAutocorrelation(spec, earRate)
	w := make([]float64, 1588)
	hann(w)
	after, before := make([]float64, pitFFT/2+1), make([]float64, pitFFT/2+1)
	for midi := 40; midi <= 57; midi++ {
		f := 440 * math.Exp2((float64(midi)-69)/12)
		spec.power(after, tone(f, 3, 14, len(w)), w)
		var lag [lags]float32
		acf.of(lag[:], after, before, 1)
		// Twice and three times the period correlate as well: the shortest
		// lag within a little of the highest is the period. A quarter tone
		// is the grid's own step and a half.
		top := lag[0]
		for _, v := range lag {
			top = max(top, v)
		}
		best := 0
		for i, v := range lag {
			if v > 0.85*top {
				best = i
			}
		}
		assert.InDelta(t, midi, lagLow+float64(best)*lagStep, 0.5, "MIDI %d", midi)
	}
}

// Against gonum's cosine transform.
func TestAutocorrelationIsTheTransformOfTheCompressedSpectrum(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 5))
	acf := newAutocorrelation(newSpectrum(pitFFT), earRate)
	after, before := make([]float64, pitFFT/2+1), make([]float64, pitFFT/2+1)
	for i := range after {
		after[i], before[i] = rng.Float64(), rng.Float64()
	}
	var lag [lags]float32
	acf.of(lag[:], after, before, 1)
	want := fourier.NewDCT(len(acf.a)).Transform(nil, acf.a)
	// Rounding of sums of a thousand float64s.
	assert.InDeltaSlice(t, want[:len(acf.r)], acf.r, 1e-12*want[0])
	// Past those that the lowest pitch of the flattest guitar at the lowest
	// concert pitch needs.
	assert.Greater(t, float64(len(acf.r)-2), earRate/(415*math.Exp2((lagLow-69)/12-50./1200)))
}

func TestAutocorrelationOfOldEnergyIsNothing(t *testing.T) {
	spec := newSpectrum(pitFFT)
	acf := newAutocorrelation(spec, earRate)
	w := make([]float64, 926)
	hann(w)
	p := make([]float64, pitFFT/2+1)
	spec.power(p, tone(110, 1, 12, len(w)), w)
	var lag [lags]float32
	acf.of(lag[:], p, p, 1)
	assert.Equal(t, [lags]float32{}, lag)
}

func TestSpectrumOfASine(t *testing.T) {
	s := newSpectrum(2048)
	w := make([]float64, 1024)
	hann(w)
	p := make([]float64, 1025)
	hz := 100.0 * earRate / 2048
	s.power(p, sine(hz, earRate, 0.8, 1024), w)
	// The formula of its comment: amplitude squared over four.
	assert.InDelta(t, 0.16, p[100], 1e-4)
}

package main

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/dsp/fourier"
)

// walls puts x into a room that rings for rt60 seconds: the direct sound, a few
// echoes of the nearest walls, and a tail of noise that falls exponentially,
// high frequencies sooner (Moorer, CMJ 3(2), 1979). What is not direct holds
// wet dB more energy than what is.
func walls(x []float32, rate int, rt60, wet float64, rng *rand.Rand) {
	ir := make([]float64, int(1.1*rt60*float64(rate)))
	begin := drawn(rng, 0.002, 0.02) // of the tail, which grows in from there
	low, damp := 0.0, math.Exp(-2*math.Pi*drawn(rng, 1500, 6000)/float64(rate))
	energy := 0.0
	for i := range ir {
		t := float64(i) / float64(rate)
		v := math.Pow(10, -3*t/rt60) * (1 - math.Exp(-t/begin)) * rng.NormFloat64()
		low = v + damp*(low-v)
		ir[i] = low + (v-low)*math.Pow(10, -3*t/rt60)
		energy += ir[i] * ir[i]
	}
	early := math.Sqrt(energy / 12 * drawn(rng, 0.1, 1.5))
	for range 4 + rng.IntN(8) {
		at := 1 + int(drawn(rng, 0.0008, 0.03)*float64(rate))
		if at < len(ir) {
			ir[at] += early * drawn(rng, -0.4, 1)
		}
	}
	ir[0] = 0
	energy = 0
	for _, v := range ir {
		energy += v * v
	}
	g := math.Sqrt(math.Pow(10, wet/10) / (energy + 1e-12))
	for i := range ir {
		ir[i] *= g
	}
	ir[0] = 1
	convolve(x, ir)
}

// convolve replaces x by its convolution with ir, as long as x, by overlapping
// blocks.
func convolve(x []float32, ir []float64) {
	size := 1
	for size < 4*len(ir) {
		size *= 2
	}
	fft := fourier.NewFFT(size)
	buf := make([]float64, size)
	copy(buf, ir)
	h := fft.Coefficients(nil, buf)
	step := size - len(ir) + 1
	out := make([]float64, len(x)+size)
	c := make([]complex128, len(h))
	for from := 0; from < len(x); from += step {
		clear(buf)
		for i, v := range x[from:min(from+step, len(x))] {
			buf[i] = float64(v)
		}
		fft.Coefficients(c, buf)
		for i := range c {
			c[i] *= h[i]
		}
		fft.Sequence(buf, c)
		for i, v := range buf {
			out[from+i] += v / float64(size)
		}
	}
	for i := range x {
		x[i] = float32(out[i])
	}
}

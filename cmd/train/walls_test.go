package main

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestConvolveIsTheSumOfEchoes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	x := make([]float32, 1000)
	for i := range x {
		x[i] = float32(rng.NormFloat64())
	}
	ir := make([]float64, 37)
	for i := range ir {
		ir[i] = rng.NormFloat64()
	}
	want := make([]float64, len(x))
	for i := range want {
		for k := 0; k < len(ir) && k <= i; k++ {
			want[i] += ir[k] * float64(x[i-k])
		}
	}
	convolve(x, ir)
	for i := range x {
		assert.InDelta(t, want[i], x[i], 1e-4, "sums of 37 float32 products") // single precision of the samples
	}
}

func TestWallsRingAsLongAsSaid(t *testing.T) {
	const rate, rt60 = 22050, 0.5
	x := make([]float32, rate)
	x[0] = 1
	walls(x, rate, rt60, 3, rand.New(rand.NewPCG(3, 4)))
	assert.Equal(t, float32(1), float32(math.Round(float64(x[0])*1e4)/1e4), "the direct sound passes as it is")
	energy := func(from, to float64) float64 {
		sum := 0.0
		for _, v := range x[int(from*rate):int(to*rate)] {
			sum += float64(v) * float64(v)
		}
		return sum
	}
	assert.InDelta(t, math.Pow(10, 0.3), energy(1.0/rate, 1), 0.01, "3 dB more than the direct sound")
	fall := 10 * math.Log10(energy(0.1, 0.15)/energy(0.3, 0.35))
	// 24 dB at low frequencies in those 0.2 s of 0.5, twice that at high ones.
	assert.InDelta(t, 30, fall, 8)
}

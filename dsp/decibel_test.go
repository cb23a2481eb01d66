package dsp

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDecibels(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 4))
	check := func(p float64) {
		// As its comment promises.
		assert.InDelta(t, 10*math.Log10(p), decibels(p), 1e-10, "of %g", p)
	}
	for _, p := range []float64{1e-300, 1e-13, 1, math.Nextafter(1, 0), math.Nextafter(2, 0), 2, 1e300} {
		check(p)
	}
	for range 10000 {
		check(math.Pow(10, 40*rng.Float64()-20))
	}
}

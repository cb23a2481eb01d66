package dsp_test

import (
	"math"
	"testing"

	"bordon/dsp"

	"github.com/stretchr/testify/assert"
)

// A glance at each note of a walk comes in time for the eye, names it, and
// leaves what the ear says later as it is.
func TestEarGlances(t *testing.T) {
	const rate = 44100
	line := []int{47, 45, 42, 43, 50, 40}
	x, at := walk(t, rate, line...)
	want := hear(t, x, dsp.EarConfig{Rate: rate}, 441)
	var rest []dsp.Note
	named := make([]bool, len(line))
	for _, n := range hear(t, x, dsp.EarConfig{Rate: rate, Glance: true}, 441) {
		if !n.Glance {
			rest = append(rest, n)
			continue
		}
		assert.Equal(t, int64(-1), n.ID)
		assert.False(t, n.Last)
		for i, m := range line {
			// 30 ms: within it no other note of this walk begins.
			if math.Abs(float64(n.Onset)/rate-at[i]) < 0.03 {
				named[i] = named[i] || best(n) == m
				// 60 ms is what an eye does not see; the place of an onset is
				// known to a hop either way.
				assert.LessOrEqual(t, float64(n.Decided)/rate-at[i], 0.06)
			}
		}
	}
	assert.Equal(t, want, rest)
	right := 0
	for _, ok := range named {
		if ok {
			right++
		}
	}
	// 41 ms hold little more than three periods of the lowest note: a glance
	// may miss one.
	assert.GreaterOrEqual(t, right, len(line)-1)
}

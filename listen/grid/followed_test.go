package grid_test

import (
	"fmt"
	"math"
	"testing"

	"bordon/listen/grid"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Three beats that slow down, at 1000 samples a second.
func ExampleNewFollowed() {
	g, err := grid.NewFollowed([]grid.Knot{{0, 500}, {1, 1000}, {2, 1600}}, 0)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, beat := range []float64{-1, 0, 0.5, 1.5, 2, 3} {
		fmt.Println(g.Sample(beat))
	}
	// Output:
	// 0
	// 500
	// 750
	// 1300
	// 1600
	// 2200
}

// Through the beats of a fixed grid, the followed one is that grid.
func TestFollowedThroughAFixedGrid(t *testing.T) {
	fixed, err := grid.NewFixed(44100, 97, -1.3)
	require.NoError(t, err)
	var knots []grid.Knot
	for beat := -3.0; beat < 40; beat++ {
		knots = append(knots, grid.Knot{Beat: beat, Sample: float64(fixed.Sample(beat))})
	}
	g, err := grid.NewFollowed(knots, 60*44100/97.0)
	require.NoError(t, err)
	last := int64(math.MinInt64)
	for beat := -30.0; beat < 90; beat += 0.25 {
		s := g.Sample(beat)
		// Half a sample of rounding in each of the two, and the knots' own.
		assert.InDelta(t, fixed.Sample(beat), s, 1.5)
		assert.Greater(t, s, last)
		last = s
		assert.InDelta(t, beat, g.Beat(s), 1.0/20000, "half a sample of some 27,000 a beat")
	}
}

func TestNewFollowedRefuses(t *testing.T) {
	for name, knots := range map[string][]grid.Knot{
		"none":              nil,
		"one":               {{0, 0}},
		"not forward":       {{0, 10}, {1, 10}},
		"beats not forward": {{1, 10}, {1, 20}},
		"no number":         {{0, 10}, {1, math.NaN()}},
		"no beat":           {{math.NaN(), 10}, {1, 20}},
		"nowhere":           {{0, 10}, {1, math.Inf(1)}},
		"too many beats":    {{0, 10}, {grid.MaxBeat + 1, 1e9}},
	} {
		_, err := grid.NewFollowed(knots, 0)
		assert.Error(t, err, name)
	}
}

// Whatever knots there are, the grid increases or is refused.
func FuzzFollowed(f *testing.F) {
	f.Add(0.0, 0.0, 1.0, 500.0, 3.0, 700.0, 0.0)
	f.Add(-5.0, -1e6, 1.0, 5e5, 3.0, 1e12, 12.0)
	f.Add(math.NaN(), 0.0, 1.0, math.Inf(1), 3.0, 700.0, -1.0)
	f.Fuzz(func(t *testing.T, b0, s0, b1, s1, b2, s2, pace float64) {
		g, err := grid.NewFollowed([]grid.Knot{{b0, s0}, {b1, s1}, {b2, s2}}, pace)
		if err != nil {
			return
		}
		last := int64(math.MinInt64)
		for i := -20; i <= 60; i++ {
			beat := b0 + (b2-b0)*float64(i)/40
			s := g.Sample(beat)
			if s < last {
				t.Fatalf("beat %v falls on %d, one before it on %d", beat, s, last)
			}
			last = s
			// A tempo of a sample a beat, the fastest there may be, is lost in
			// the rounding.
			if back := g.Beat(s); math.Abs(back-beat) > 1 && math.Abs(back-beat) > 1e-6*math.Abs(beat) {
				t.Fatalf("beat %v falls on %d, where beat %v is", beat, s, back)
			}
		}
	})
}

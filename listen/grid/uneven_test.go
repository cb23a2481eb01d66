package grid_test

import (
	"fmt"
	"math"
	"testing"

	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Seguiriyas at 120 eighths a minute: half a second each.
func ExampleNewUneven() {
	g, err := grid.NewUneven(48000, 120, 1, []int{2, 2, 3, 3, 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	for count := range 6 {
		fmt.Println(float64(g.Sample(float64(count))) / 48000)
	}
	// Output:
	// 1
	// 2
	// 3
	// 4.5
	// 6
	// 7
}

// The grid lays beats where the form says, in both directions, before the
// first sample too.
func TestUnevenFollowsTheForm(t *testing.T) {
	form, err := theory.LookupForm("seguiriyas")
	require.NoError(t, err)
	const rate, tempo, first = 44100, 137, 0.3
	g, err := grid.New(rate, tempo, first, form.Lengths)
	require.NoError(t, err)
	last := int64(math.MinInt64)
	for beat := -12.0; beat < 60; beat += 0.25 {
		sample := g.Sample(beat)
		assert.Greater(t, sample, last, "beats go forward")
		last = sample
		// Half a sample of rounding.
		assert.InDelta(t, (first+form.Units(beat)*60/tempo)*rate, float64(sample), 0.5)
		// Half a sample, in the shortest beats there are (two units).
		assert.InDelta(t, beat, g.Beat(sample), 0.5*tempo/60/rate/2)
	}
	turn := g.Sample(5) - g.Sample(0)
	assert.InDelta(t, 12*60.0/tempo*rate, float64(turn), 1, "a turn is twelve eighths")
}

// Equal lengths of one unit are the fixed grid.
func TestUnevenOfEqualBeatsIsFixed(t *testing.T) {
	fixed, err := grid.New(48000, 104, -2.5, nil)
	require.NoError(t, err)
	require.IsType(t, grid.Fixed{}, fixed)
	even, err := grid.New(48000, 104, -2.5, []int{1, 1, 1})
	require.NoError(t, err)
	for beat := -7.0; beat < 50; beat += 0.5 {
		assert.Equal(t, fixed.Sample(beat), even.Sample(beat))
		assert.InDelta(t, fixed.Beat(int64(beat)*1000), even.Beat(int64(beat)*1000), 1e-9, "the same sum in another order")
	}
}

func TestNewUnevenRefuses(t *testing.T) {
	for want, lengths := range map[string][]int{
		"a turn of 0 beats":  {},
		"a beat of 0 units":  {2, 0},
		"a beat of -1 units": {-1},
		"a beat of 25 units is not usable; it must have 1 to 24": {25},
		"a turn of 65 beats": make([]int, 65),
	} {
		_, err := grid.NewUneven(48000, 120, 0, lengths)
		assert.ErrorContains(t, err, want)
	}
	_, err := grid.New(48000, 0, 0, []int{2})
	assert.ErrorContains(t, err, "a tempo of 0")
}

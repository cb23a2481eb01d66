package grid_test

import (
	"testing"

	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Four beats and a break before a whole take are a stretch of their own; as
// many onsets at another pace are none.
func TestAlignFindsAShortTry(t *testing.T) {
	p := newPlayer(t, "alegrias", 5)
	p.play(1, 0, 4, even(0.577), nil)
	p.play(6, 0, 36, even(0.6), nil)
	a, err := grid.Align(&p.e, p.plan(t), grid.Options{})
	require.NoError(t, err)
	require.Len(t, a.Segments, 2)
	p.check(t, a)
	assert.Equal(t, 12.0, a.Segments[1].Beats[0].Beat, "a new start is a turn of its own")

	p = newPlayer(t, "alegrias", 5)
	for _, at := range []float64{1, 1.21, 1.4, 1.6, 1.82} {
		p.note(at, 0)
	}
	p.play(6, 0, 36, even(0.6), nil)
	a, err = grid.Align(&p.e, p.plan(t), grid.Options{})
	require.NoError(t, err)
	require.Len(t, a.Segments, 1)
	p.check(t, a)
}

// Where the notes are not those of the line, its best reading has no rival and
// still is not sure.
func TestAlignIsNotSureOfAnotherLine(t *testing.T) {
	for _, key := range []string{"A", "C", "Ab"} {
		p := newPlayer(t, "alegrias", 8)
		p.play(1.3, 0, 48, even(0.577), nil)
		k, err := theory.ParseKey(key)
		require.NoError(t, err)
		line, err := theory.DefaultLine(k, p.line.Form, theory.Standard)
		require.NoError(t, err)
		plan, err := grid.NewPlan(line, 0)
		require.NoError(t, err)
		a, err := grid.Align(&p.e, plan, grid.Options{})
		require.NoError(t, err)
		for _, s := range a.Segments {
			assert.Less(t, s.Confidence, grid.Sure, key)
			sum := 0.0
			for _, r := range s.Readings {
				sum += r.Share
			}
			assert.LessOrEqual(t, sum, 1.0)
			assert.Equal(t, s.Confidence, s.Readings[0].Share)
		}
	}
}

package main

import (
	"math/rand/v2"
	"slices"
	"testing"

	"bordon/dsp/pluck"

	"github.com/stretchr/testify/require"
)

// Whatever is drawn can be played, and what the thumb plays for itself is a note
// to learn, though fingers or other strings sound with it.
func TestPerformedScenesHaveTheirNotes(t *testing.T) {
	bass, thumbs, strums := 0, 0, 0
	for seed := range uint64(1000) {
		s, err := performed(rand.New(rand.NewPCG(seed, 0)), 20, seed%2 == 0)
		require.NoError(t, err, seed)
		require.True(t, slices.IsSorted(s.thumbs))
		thumbs += len(s.thumbs)
		for _, e := range s.events {
			require.True(t, e.Kind != pluck.Pluck || e.String >= 1 && e.String <= 6 && e.Fret+open[e.String-1] >= 38, "%+v", e)
			if e.Kind == pluck.Pluck && e.String >= 4 {
				bass++
			}
		}
		for _, st := range strokes(s) {
			if st.strum {
				strums++
				for _, at := range s.thumbs {
					require.False(t, at >= st.from && at <= st.to, "seed %d: the thumb's note at %g s is taken for a strum", seed, at)
				}
			}
		}
	}
	require.Greater(t, thumbs, 1000*5, "too few notes to learn")
	require.Greater(t, strums, 1000, "too few strums to tell them from")
	require.Greater(t, bass, thumbs)
}

package tonality

import (
	"testing"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/listen/grid"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where two keys are likely without beats, the one that was played gains by the
// beats that are found in it.
func TestBeatsFoundTellTheKey(t *testing.T) {
	for _, c := range []struct {
		kind   string
		seed   uint64
		guitar int // of pluck.Guitars
	}{{"arpeggios", 5, 19}, {"introduction", 6, 12}} {
		guitars := pluck.Guitars()
		spec, err := fixtures.DrawFree(c.kind, guitars[(7*int(c.seed)+c.guitar)%len(guitars)], c.seed)
		require.NoError(t, err)
		take, err := fixtures.Free(spec)
		require.NoError(t, err)
		x, err := take.Sound(fixtures.Synthesised{}, rate)
		require.NoError(t, err)
		form, err := theory.LookupForm(take.Form)
		require.NoError(t, err)
		fingered, err := theory.ParseKey(take.Key)
		require.NoError(t, err)
		want := fingered.Transpose(take.Cejilla)
		of := func(all []Reading) float64 {
			for _, r := range all {
				if r.Key.Tonic.PitchClass() == want.Tonic.PitchClass() && r.Key.Mode == want.Mode {
					return r.Confidence
				}
			}
			return -1
		}

		h := hear(t, x)
		unaided, got := Name(h, form, nil, 0), NameFree(h, form, grid.Options{})
		require.Len(t, got, len(unaided))
		t.Logf("%s: %v with %.3f, then with %.3f", c.kind, want, of(unaided), of(got))
		require.Less(t, of(unaided), 0.99, "%s: no beats are needed", c.kind)
		// By a third of what was open, at least: some gain is what is claimed.
		assert.Greater(t, of(got), of(unaided)+(1-of(unaided))/3, c.kind)
		// Where no beats can be looked for the key is named without.
		assert.Equal(t, unaided, NameFree(h, form, grid.Options{Tempo: -1}))
	}
}

func TestNothingFreeHasNoKey(t *testing.T) {
	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	assert.Empty(t, NameFree(Heard{Rate: rate}, form, grid.Options{}))
}

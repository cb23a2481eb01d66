package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen"
	"bordon/listen/match"
)

// A line that is the same in both halves of its turn does not tell where that
// begins, and nothing else does where nobody strums.
func twoWaysFile(t *testing.T) (flags []string, file string) {
	t.Helper()
	take, err := fixtures.Free(fixtures.FreeSpec{
		Spec: fixtures.Spec{Name: "two ways", Key: "por-medio", Form: "tangos", Line: "1:Bb2 2:A2 3:Bb2 4:A2", Tempo: 140,
			Texture: fixtures.Bare, Hand: fixtures.Steady, Guitar: pluck.Classic(), Seed: 7},
		Parts: []fixtures.Part{{Kind: fixtures.Rest, Seconds: 1}, {Kind: fixtures.Compas, Beats: 32, Mistakes: []fixtures.Planted{
			{Turn: 2, Beat: "2", What: fixtures.OutOfScale}, {Turn: 4, Beat: "3", What: fixtures.InScale}, {Turn: 6, Beat: "2", What: fixtures.Missing},
		}}, {Kind: fixtures.Rest, Seconds: 1}}})
	require.NoError(t, err)
	dir := inFolder(t, map[string][]byte{"memo.wav": rendered(t, take.Take)})
	return []string{"--key", "por-medio", "--form", "tangos", "--line", "1:Bb2 2:A2 3:Bb2 4:A2"}, filepath.Join(dir, "memo.wav")
}

// Where two ways to count are as likely none is picked, and what does not
// depend on that is said all the same.
func TestTwoWaysToCount(t *testing.T) {
	flags, file := twoWaysFile(t)
	r := bordon(t, append(append([]string{"check", "--format", "json"}, flags...), file)...)
	require.Equal(t, done, r.status, r.errOut)
	require.NoError(t, schema.Validate(schema.Check, []byte(r.out)))
	var got listen.Check
	require.NoError(t, json.Unmarshal([]byte(r.out), &got))
	require.NotNil(t, got.Undecided)
	assert.Nil(t, got.Grid)
	assert.Empty(t, got.Beats)
	assert.Len(t, got.Undecided.Readings, 2)
	said := map[match.Word]int{}
	for _, n := range got.Undecided.Notes {
		said[n.Pitch]++
		require.Len(t, n.Places, 2)
		assert.NotEqual(t, n.Places[0].Beat, n.Places[1].Beat)
		assert.Equal(t, n.Pitch == match.Missing, n.Heard == nil)
		assert.Equal(t, n.Pitch == match.Right, n.Reason == "", n.Reason)
	}
	assert.Equal(t, 1, said[match.OutOfScale])
	assert.Equal(t, 1, said[match.InScale])
	assert.Equal(t, 1, said[match.Missing])
	assert.GreaterOrEqual(t, said[match.Right], 25, "of 29; half a turn at either end is outside in one of the ways")

	text := bordon(t, append(append([]string{"check"}, flags...), file)...)
	require.Equal(t, done, text.status, text.errOut)
	for _, s := range []string{"may be counted in two ways", "--first-beat", "Judged alike in both: ", " right, ", "is not in A Phrygian"} {
		assert.Contains(t, strings.Join(strings.Fields(text.out), " "), s)
	}
	for _, s := range []string{"notes right", "turn 1", "Nothing was judged"} {
		assert.NotContains(t, text.out, s)
	}
	spanish := bordon(t, append(append([]string{"check", "--language", "es"}, flags...), file)...)
	assert.Contains(t, spanish.out, "de dos maneras")
	assert.Contains(t, spanish.out, "Juzgado igual de las dos maneras")

	// Told where beat 1 falls, it is judged.
	r = bordon(t, append(append([]string{"check", "--first-beat", "1"}, flags...), file)...)
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "of 32 notes right")
}

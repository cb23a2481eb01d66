package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/fixtures/schema"
	"bordon/listen"
)

// freeFile is a take played free, as a file, with the flags that tell of it.
func freeFile(t *testing.T, kind string, seed uint64) (take fixtures.FreeTake, flags []string, file string) {
	t.Helper()
	spec, err := fixtures.DrawFree(kind, pluck.Classic(), seed)
	require.NoError(t, err)
	take, err = fixtures.Free(spec)
	require.NoError(t, err)
	x, err := take.Sound(fixtures.Synthesised{}, demoRate)
	require.NoError(t, err)
	dir := inFolder(t, map[string][]byte{"memo.wav": wav16(demoRate, x)})
	flags = []string{"--key", take.Key, "--form", take.Form, "--line", take.Line}
	return take, flags, filepath.Join(dir, "memo.wav")
}

// A take of a moving tempo with breaths, told neither its tempo nor its first
// beat, is judged turn by turn.
func TestCheckFindsTheCompas(t *testing.T) {
	take, flags, file := freeFile(t, "all of these", 1)
	r := bordon(t, append(append([]string{"check", "--format", "json"}, flags...), file)...)
	require.Equal(t, done, r.status, r.errOut)
	require.NoError(t, schema.Validate(schema.Check, []byte(r.out)))
	var got listen.Check
	require.NoError(t, json.Unmarshal([]byte(r.out), &got))
	require.NotNil(t, got.Grid)
	require.Len(t, got.Grid.Segments, 1)
	seg := take.Segments[0]
	require.Len(t, got.Grid.Segments[0].Beats, len(seg.Beats))
	for i, b := range seg.Beats {
		// The tolerance of mir_eval's beat metrics.
		assert.InDelta(t, b.Time, got.Grid.Segments[0].Beats[i].Time, 0.07, "turn %d, beat %d", b.Turn, b.Beat)
	}
	assert.InDelta(t, seg.Beats[0].Time, got.FirstBeat, 0.07)
	assert.Greater(t, got.Score.Judged, 10)

	r = bordon(t, append(append([]string{"check"}, flags...), file)...)
	require.Equal(t, done, r.status, r.errOut)
	for _, s := range []string{"The compás was found in the sound", "% sure", "your own pulse", "The walk goes", "turn 4", "notes right"} {
		assert.Contains(t, r.out, s)
	}
}

// The turns of what was broken off and begun again are counted through.
func TestCheckCountsThroughStretches(t *testing.T) {
	take, flags, file := freeFile(t, "broken off, on in mid-compás", 2)
	require.Len(t, take.Segments, 2)
	r := bordon(t, append(append([]string{"check"}, flags...), file)...)
	require.Equal(t, done, r.status, r.errOut)
	assert.Contains(t, r.out, "played in 2 stretches")
	assert.Contains(t, r.out, "turn 3")
	// The tempo alone narrows the search.
	again := bordon(t, append(append([]string{"check", "--tempo", ftoa(take.Tempo)}, flags...), file)...)
	assert.Contains(t, again.out, "played in 2 stretches")
}

// What holds no compás gets a sentence and no score.
func TestCheckFindsNothing(t *testing.T) {
	_, flags, file := freeFile(t, "noodling only", 3)
	r := bordon(t, append(append([]string{"check"}, flags...), file)...)
	assert.Equal(t, failed, r.status)
	assert.Empty(t, r.out)
	assert.Contains(t, r.errOut, "no compás was found: what was played does not repeat as")

	take, flags, memo := freeFile(t, "constant", 1)
	first := take.Segments[0].Beats[4].Time
	r = bordon(t, append(append([]string{"check", "--first-beat", ftoa(first)}, flags...), memo)...)
	assert.Equal(t, failed, r.status, "there the fifth beat falls")
	assert.Contains(t, r.errOut, "beat 1 at")

	r = bordon(t, append(append([]string{"check", "--format", "json"}, flags...), file, memo)...)
	assert.Equal(t, failed, r.status)
	require.NoError(t, schema.Validate(schema.Check, []byte(r.out)))
	var both []map[string]any
	require.NoError(t, json.Unmarshal([]byte(r.out), &both))
	require.Len(t, both, 2)
	assert.Contains(t, both[0]["error"], "no compás was found")
	assert.Contains(t, both[1], "score")
}

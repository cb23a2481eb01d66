package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/listen"
)

func TestKeyIsNamedFromTheSound(t *testing.T) {
	for name, want := range map[string]struct {
		flags []string
		key   string
		said  []string
	}{
		"d-right":            {nil, "D", []string{"d-right.wav sounds in D major."}},
		"g-mistakes":         {nil, "G", []string{"g-mistakes.wav sounds in G major."}},
		"por-medio-mistakes": {nil, "A-phrygian", []string{"sounds in A Phrygian."}},
		// What a cejilla changes is the names of the notes, so it is asked for.
		"b-flat-right":    {nil, "Bb", []string{"sounds in B flat major.", "--key A --cejilla 1"}},
		"b-flat-mistakes": {[]string{"--cejilla", "3"}, "G", []string{"sounds in B flat major."}},
	} {
		take, sound := scenarioTake(t, name)
		dir := inFolder(t, map[string][]byte{name + ".wav": sound})
		flags := append([]string{"check", "--format", "json", "--key", "auto", "--form", take.Form, "--line", "usual",
			"--tempo", ftoa(take.Tempo), "--first-beat", ftoa(take.FirstBeat)}, want.flags...)
		r := bordon(t, append(flags, filepath.Join(dir, name+".wav"))...)
		require.Equal(t, done, r.status, r.errOut)
		var got listen.Check
		require.NoError(t, json.Unmarshal([]byte(r.out), &got))
		assert.Equal(t, want.key, got.Key, name)
		for _, said := range want.said {
			assert.Contains(t, r.errOut, said, name)
		}
		if len(want.flags) > 0 || len(want.said) == 1 {
			assert.NotContains(t, r.errOut, "cejilla", name)
		}
	}
}

func TestKeyOfNothingIsNotNamed(t *testing.T) {
	dir := inFolder(t, map[string][]byte{"quiet.wav": wav16(demoRate, make([]float32, 3*demoRate))})
	r := bordon(t, "check", "-k", "auto", "-t", "104", "--first-beat", "1", filepath.Join(dir, "quiet.wav"))
	assert.Equal(t, failed, r.status)
	assert.Empty(t, r.out)
	assert.Contains(t, r.errOut, "say which it is with --key")
}

func TestCheckTellsOfChords(t *testing.T) {
	free, err := fixtures.Free(fixtures.FreeSpec{
		Spec: fixtures.Spec{Name: "chords", Key: "G", Tempo: 104, Texture: fixtures.Rolled, Strums: true, Hand: fixtures.Steady, Guitar: pluck.Classic(), Seed: 5},
		Parts: []fixtures.Part{{Kind: fixtures.Rest, Seconds: 1}, {Kind: fixtures.Compas, Beats: 48, Chords: []fixtures.PlantedChord{
			{Turn: 2, Beat: 3, What: fixtures.WrongChord}, {Turn: 3, Beat: 3, What: fixtures.EarlyChord}, {Turn: 4, Beat: 3, What: fixtures.LateChord},
		}}}})
	require.NoError(t, err)
	dir := inFolder(t, map[string][]byte{"chords.wav": rendered(t, free.Take)})
	flags := []string{"check", "-k", "G", "-t", "104", "--first-beat", "1", "--line", "usual"}
	r := bordon(t, append(flags, filepath.Join(dir, "chords.wav"))...)
	require.Equal(t, done, r.status, r.errOut)
	for _, said := range []string{
		"turn 2, beat 3: the form asks for D7, and C was held.",
		"turn 3, beat 3: the change to D7 came a beat early.",
		"turn 4, beat 3: the change to D7 came a beat late.",
	} {
		assert.Contains(t, r.out, said)
	}
	// Where all chords are right nothing is said of them.
	take, sound := scenarioTake(t, "g-right")
	dir = inFolder(t, map[string][]byte{"take.wav": sound})
	r = bordon(t, append(append([]string{"check"}, flagsOf(take)...), filepath.Join(dir, "take.wav"))...)
	require.Equal(t, done, r.status, r.errOut)
	assert.NotContains(t, r.out, "the form asks for")
	assert.NotContains(t, r.out, "the change to")
}

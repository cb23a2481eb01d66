package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStandardTuning(t *testing.T) {
	for i, name := range []string{"E4", "B3", "G3", "D3", "A2", "E2"} {
		n, err := ParseNote(name)
		require.NoError(t, err)
		assert.Equal(t, n.MIDI(), Standard[i])
	}
}

func TestPlaces(t *testing.T) {
	assert.Equal(t, []Place{{5, 0}, {6, 5}}, Standard.Places(45, LastFret))
	assert.Equal(t, []Place{{4, 4}, {5, 9}, {6, 14}}, Standard.Places(54, LastFret))
	assert.Equal(t, []Place{{4, 4}}, Standard.Places(54, 4))
	assert.Empty(t, Standard.Places(39, LastFret))
	assert.Empty(t, Standard.Places(45, -1))

	sixthInD := Standard
	sixthInD[5] = 38
	assert.Equal(t, []Place{{5, 0}, {6, 7}}, sixthInD.Places(45, LastFret))
}

func TestPlaceIsTheLowestFret(t *testing.T) {
	for note, want := range map[string]Place{ // the scenario's notes
		"B2": {5, 2}, "A2": {5, 0}, "F#2": {6, 2}, "G2": {6, 3}, "F#3": {4, 4}, "E3": {4, 2}, "C#3": {5, 4}, "D3": {4, 0}, "F2": {6, 1},
	} {
		n, err := ParseNote(note)
		require.NoError(t, err)
		got, ok := Standard.Place(n.MIDI())
		assert.True(t, ok)
		assert.Equal(t, want, got, note)
	}
	for midi := 0; midi < 128; midi++ {
		got, ok := Standard.Place(midi)
		places := Standard.Places(midi, LastFret)
		assert.Equal(t, midi >= 40 && midi <= 83, ok, midi)
		if ok {
			assert.Equal(t, places[0], got)
			assert.Equal(t, midi, Standard[got.String-1]+got.Fret)
		}
	}
}

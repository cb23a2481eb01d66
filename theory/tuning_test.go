package theory

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseTuning(t *testing.T) {
	tests := []struct {
		text  string
		want  Tuning
		print string
	}{
		{"standard", Standard, "standard"},
		{"E2 A2 D3 G3 B3 E4", Standard, "standard"},
		{"sixth-in-d", SixthInD, "sixth-in-d"},
		{"Sixth in D", SixthInD, "sixth-in-d"},
		{"sexta en re", SixthInD, "sixth-in-d"},
		{"drop-d", SixthInD, "sixth-in-d"},
		{"D2,A2,D3,G3,B3,E4", SixthInD, "sixth-in-d"},
		{"D2-A2-D3-F#3-A3-D4", Tuning{62, 57, 54, 50, 45, 38}, "D2 A2 D3 F#3 A3 D4"},
		{"D2 A2 D3 F♯3 B3 E4", Tuning{64, 59, 54, 50, 45, 38}, "D2 A2 D3 F#3 B3 E4"}, // as rondeñas are played
	}
	for _, tt := range tests {
		got, err := ParseTuning(tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, got, tt.text)
		assert.Equal(t, tt.print, got.String())
		back, err := ParseTuning(got.String())
		require.NoError(t, err)
		assert.Equal(t, got, back)
	}
	assert.Equal(t, "E2 A2 D3 G3 B3 E4", Standard.Notes())
}

func TestParseTuningErrors(t *testing.T) {
	for text, want := range map[string]string{
		"":                   "there is none of this name; write standard, sixth-in-d, or six notes",
		"dropped":            "there is none of this name",
		"E2 A2 D3":           "it names 3 strings and a guitar has 6",
		"E2 A2 D3 G3 B3 H4":  `string 1, "H4": the letters are A to G`,
		"E A D G B E":        `string 6, "E": E has no octave; write one after it, such as E2`,
		"E4 B3 G3 D3 A2 E2":  "string 5 at B3 lies below string 6",
		"E0 A2 D3 G3 B3 E4":  "string 6 at E0 is out of a guitar's reach",
		"E2 A2 D3 G3 B3 F#5": "string 1 at F#5 is out of a guitar's reach",
		"\x1b":               `tuning "\x1b"`,
	} {
		_, err := ParseTuning(text)
		assert.ErrorContains(t, err, want, text)
	}
	_, err := ParseTuning(strings.Repeat("E2 ", 100000))
	assert.Less(t, len(err.Error()), 250)
}

// Every note's places on every neck: all of them, none twice, each sounding
// the note, against counting frets string by string.
func TestPlacesOfEveryNote(t *testing.T) {
	for _, tuning := range []Tuning{Standard, SixthInD, {62, 57, 54, 50, 45, 38}} {
		count := map[int]int{}
		for _, open := range tuning {
			for fret := 0; fret <= LastFret; fret++ {
				count[open+fret]++
			}
		}
		for midi := range 128 {
			places := tuning.Places(midi, LastFret)
			assert.Len(t, places, count[midi])
			for _, p := range places {
				assert.Equal(t, midi, tuning[p.String-1]+p.Fret)
			}
		}
	}
}

func FuzzParseTuning(f *testing.F) {
	for _, s := range []string{"standard", "drop-d", "D2 A2 D3 G3 B3 E4", "D2,A2,D3,F#3,A3,D4", "E A D", "E-1 E1 E2 E3 E4 E5", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		tuning, err := ParseTuning(s)
		if err != nil {
			return
		}
		back, err := ParseTuning(tuning.String())
		require.NoError(t, err)
		require.Equal(t, tuning, back)
		g := Key{Name{'G', 0}, Major}
		if shape, ok := g.DominantShape(tuning); ok {
			require.NoError(t, shape.Validate())
		}
		_, err = ParseLine("7:3 8:2 9:7 10:1", g, Forms()[0], tuning)
		require.NoError(t, err)
	})
}

package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// chordOf reads a symbol of the usual shapes: a name and "", "m" or "7".
func chordOf(t testing.TB, symbol string) Chord {
	t.Helper()
	root, rest, err := cutName(symbol)
	require.NoError(t, err)
	switch rest {
	case "":
		return Key{root, Major}.Chord(1, false)
	case "m":
		return Key{root, Minor}.Chord(1, false)
	}
	require.Equal(t, "7", rest)
	c := Key{root, Major}.Chord(1, true)
	c.Tones[3].Alter--
	return c
}

// Every usual shape sounds its chord, note by note, and the search, which
// knows nothing of the list, finds the same frets.
func TestUsualShapes(t *testing.T) {
	require.Len(t, usual, 36, "twelve roots, major, minor and seventh")
	for _, u := range usual {
		c := chordOf(t, u.chord)
		s, ok := ShapeOf(c, Standard)
		require.True(t, ok, u.chord)
		assert.NoError(t, s.Validate(), u.chord)
		assert.Equal(t, u.frets, s.String())
		assert.Equal(t, u.fingers, s.Hand())
		search := shapeSearch{chord: c, tuning: Standard, seen: map[[6]int]bool{}}
		for search.position = 1; search.position < 8; search.position++ {
			search.from(5, false, false)
		}
		var frets []string
		for _, f := range search.found {
			frets = append(frets, f.String())
		}
		assert.Contains(t, frets, u.frets, u.chord)
	}
}

func TestShapesOfEveryKey(t *testing.T) {
	for _, tuning := range []Tuning{Standard, SixthInD} {
		for _, k := range keys() {
			tonic, ok := k.TonicShape(tuning)
			require.True(t, ok, "%v", k)
			require.NoError(t, tonic.Validate(), "%v", k)
			dominant, ok := k.DominantShape(tuning)
			require.True(t, ok, "%v", k)
			require.NoError(t, dominant.Validate(), "%v", k)
			for _, n := range tonic.Added {
				assert.True(t, k.Contains(n.PitchClass()), "what rings with the tonic of %v is of the key", k)
			}
			assert.LessOrEqual(t, tonic.Position(), 6, "%v: near the open position", k)
			assert.LessOrEqual(t, dominant.Position(), 6, "%v: near the open position", k)
		}
	}
}

func TestFoundShapes(t *testing.T) {
	tests := []struct{ key, tonic, tonicHand, dominant, dominantHand string }{
		{"D", "000232", "000132", "x02020", "x02030"}, // six strings; A7 leaves the sixth out as before
		{"G", "520003", "410002", "000212", "000213"},
		{"A", "x02220", "x01230", "220100", "230100"},
	}
	for _, tt := range tests {
		tonic, _ := key(t, tt.key).TonicShape(SixthInD)
		dominant, _ := key(t, tt.key).DominantShape(SixthInD)
		assert.Equal(t, []string{tt.tonic, tt.tonicHand, tt.dominant, tt.dominantHand},
			[]string{tonic.String(), tonic.Hand(), dominant.String(), dominant.Hand()}, tt.key)
	}
}

func TestShapesAreAllSound(t *testing.T) {
	for _, symbol := range []string{"G", "F", "Bbm", "D7", "B7"} {
		found := Shapes(chordOf(t, symbol), Standard)
		assert.Greater(t, len(found), 3, symbol)
		seen := map[string]bool{}
		for _, s := range found {
			assert.NoError(t, s.Validate(), symbol)
			assert.False(t, seen[s.String()], "%s twice", s)
			seen[s.String()] = true
		}
	}
	assert.Empty(t, Shapes(Chord{}, Standard))
	_, ok := ShapeOf(Chord{}, Standard)
	assert.False(t, ok)
}

func TestShapeValidateNamesTheString(t *testing.T) {
	d7, _ := ShapeOf(chordOf(t, "D7"), Standard)
	tests := []struct {
		frets, fingers, want string
	}{
		{"xx0213", "xx0213", "string 1 sounds no tone of D7"},
		{"x00212", "x00213", "the bass is not D"},
		{"xx0012", "xx0012", "string 3 sounds no tone"},
		{"xx0xx2", "xx0xx1", "C, a tone of D7, is missing"},
		{"xx0212", "xx0211", "finger 1 is on two frets"},
		{"xx0212", "xx0123", "finger 2 lies behind"},
		{"xx0212", "xx0002", "string 2 is at fret 1 and has finger 0"},
		{"xxxxxx", "xxxxxx", "there is no chord in it"},
	}
	for _, tt := range tests {
		s := d7
		s.Frets, s.Fingers = sixOf(tt.frets), fingersOf(tt.fingers)
		assert.ErrorContains(t, s.Validate(), tt.want, tt.frets)
	}
	barre, _ := ShapeOf(chordOf(t, "F"), Standard)
	finger, fret, from, to, ok := barre.Barre()
	assert.Equal(t, []any{1, 1, 6, 1, true}, []any{finger, fret, from, to, ok})
	barre.Frets[1], barre.Fingers[1], barre.Chord = 0, 0, chordOf(t, "F")
	assert.Error(t, barre.Validate())
	_, _, _, _, ok = d7.Barre()
	assert.False(t, ok)
}

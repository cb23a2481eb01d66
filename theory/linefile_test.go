package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const twoLines = `# The walks of the evening.
line first-walk
title the walk, by degree
play 7:3 8:2   # down
play 9:7 10:1
chords 3:5+7 10:1

line in-g
form  alegrias
key   G
play  7:B2 8:A2|scale 9:F#2 10:G2
exact
held  8:5/0 9:6/2/2
`

func TestParseLines(t *testing.T) {
	lines, err := ParseLines(twoLines, nil)
	require.NoError(t, err)
	require.Len(t, lines, 2)
	assert.Equal(t, WrittenLine{Name: "first-walk", Title: "the walk, by degree", Text: "7:3 8:2 9:7 10:1",
		Changes: []Change{{3, 5, true}, {10, 1, false}}}, lines[0])
	assert.Equal(t, WrittenLine{Name: "in-g", Form: "alegrias", Key: key(t, "G"), Text: "7:B2 8:A2|scale 9:F#2 10:G2", Exact: true,
		Held: []Held{{Position{Turn: 1, Beat: 8, Den: 1}, Place{5, 0}, 0}, {Position{Turn: 1, Beat: 9, Den: 1}, Place{6, 2}, 2}}}, lines[1])

	back, err := ParseLines(FormatLines(lines), nil)
	require.NoError(t, err)
	assert.Equal(t, lines, back)

	inF, err := lines[0].In(key(t, "F"), form(t, "alegrias"), Standard)
	require.NoError(t, err)
	assert.Equal(t, "7:A2 8:G2 9:E2 10:F2", inF.String())
	moved, err := lines[1].In(key(t, "F"), form(t, "alegrias"), Standard)
	require.NoError(t, err)
	assert.Equal(t, "7:A2 8:G2|scale 9:E2 10:F2", moved.String())
	assert.True(t, moved.Exact)
	assert.Empty(t, moved.Held, "where it is held is of its own key")
	_, err = lines[1].In(key(t, "F"), form(t, "solea"), Standard)
	assert.EqualError(t, err, "line in-g is written for alegrias, not for solea; ask for it in its own form")
}

func TestParseLinesSaysWhereAndWhatWouldBeRight(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", "line 1, column 1: there is no line; begin with its name, such as line first-walk"},
		{"play 7:3", "line 1, column 1: there is no line yet; begin with its name, such as line first-walk"},
		{"line", "line 1, column 1: a line has a name of one word; write one such as line first-walk"},
		{"line Ä", `line 1, column 6: "Ä" is no name; write small letters, digits and hyphens, a letter first, such as first-walk`},
		{"line a\n", "line 1, column 1: line a plays nothing; write its notes, such as play 7:3 8:2 9:7 10:1"},
		{"line a\nplay 7:3\nline a", "line 3, column 6: there are two lines a; give one another name"},
		{"line a\nplay 7:3 13:1", "line 2, column 10: there is no beat 13; the beats of alegrías are 1 to 12"},
		{"line a\nplay 7:3\n  play 8:9", "line 3, column 8: there is no degree 9; the degrees are 1 to 7, and 1' is an octave above 1"},
		{"line a\nplay 7:B2", "line 2, column 6: B2 is a note, and line a has no key that it is of; write one above, such as key G, or write degrees"},
		{"line a\nkey G\nplay 7:B2 8:C1", "line 3, column 11: C1 is in an octave no guitar has, below the open sixth string; the lowest C there is C3"},
		{"line a\nplay 8:3 7:1", "line 2, column 10: position 7 comes before 8; write the items in order of time"},
		{"line a\nsing 7:3", `line 2, column 1: "sing" is no word of a line; write line, title, form, key, play, chords, exact or held`},
		{"line a\nkey", "line 2, column 1: nothing stands after key; write its value, or leave the line out"},
		{"line a\nkey g", "line 2, column 5: key \"g\": a tonic is a capital letter; write G for the major key, Gm for the minor"},
		{"line a\nkey G\nkey D", `line 3, column 1: "key" stands twice; write it once`},
		{"line a\nexact yes", `line 2, column 7: exact stands alone; put "yes" on a line of its own`},
		{"line a\nform waltz", "line 2, column 6: form \"waltz\": there is none of this name"},
		{"line a\nplay 7:3\nheld 7:5/2", "line 3, column 6: where notes are held depends on the key, and line a has none; write one above, such as key G"},
		{"line a\nkey G\nplay 7:3\nheld 7:5/3", "line 4, column 6: string 5 at fret 3 is C3, and beat 7 asks for 7:B2"},
		{"line a\nkey G\nplay 7:3\nheld 8:5/2", "line 4, column 6: line a plays nothing on beat 8; hold one of its own notes"},
		{"line a\nkey G\nplay 7:3\nheld 7:7/2", "line 4, column 6: there is no string 7; write 1 to 6"},
		{"line a\nkey G\nplay 7:3\nheld 7:5/2 7:5/2", "line 4, column 12: beat 7 is held twice; write it once"},
		{"line a\nkey G\nplay 7:3\nheld 7", `line 4, column 6: "7" is no place; write a beat, a string, a fret and perhaps a finger, such as 9:6/2/2`},
		{"line \x1b", "line 1, column 6: \"\\x1b\" holds what is no text; write plain UTF-8"},
	}
	for _, tt := range tests {
		_, err := ParseLines(tt.text, nil)
		assert.ErrorContains(t, err, tt.want, tt.text)
		var where *LineFileError
		assert.ErrorAs(t, err, &where, tt.text)
	}
	_, err := ParseLines(string(make([]byte, MaxLineFile+1)), nil)
	assert.ErrorContains(t, err, "write one of at most")
}

func FuzzParseLines(f *testing.F) {
	f.Add(twoLines)
	f.Add("line a\nform tangos\nkey por-medio\nplay 1:4|chord 4:1\nchords 2:2 4:1\nexact")
	f.Add("line a\nkey G\nplay 2/7:B2 2/9+1/2:F#2\nheld 2/9+1/2:6/2")
	f.Fuzz(func(t *testing.T, text string) {
		lines, err := ParseLines(text, nil)
		if err != nil {
			return
		}
		back, err := ParseLines(FormatLines(lines), nil)
		require.NoError(t, err)
		require.Equal(t, lines, back)
		for _, l := range lines {
			f, err := LookupForm(l.Form)
			if err != nil {
				f = Forms()[0]
			}
			if moved, err := l.In(Key{Name{'F', 0}, Major}, f, SixthInD); err == nil {
				require.NotEmpty(t, moved.Items)
			}
		}
	})
}

package theory

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rumba = `# An invented rumba.
form    rumba
title   rumba lenta      # as it is shown
beats   4
counted u dos tres cua
tempo   110
accents 2 4
source  common practice, no source
chords  1:5+7 3:1
phrygian-chords 1:2 3:1
line    1:3 2:7 3:1
minor-line 1:3 2:#7 3:1
phrygian-line 1:3 2:2 3:1
runs    1-3

section cierre
beats   5
lengths 2 2 3 3 2
unit    eighths
line    3:2 4:1

section lenta
key     parallel-minor
tempo   60
accents
`

func TestParseForm(t *testing.T) {
	f, err := ParseForm(rumba)
	require.NoError(t, err)
	assert.Equal(t, Form{
		Name: "rumba", Title: "rumba lenta", Beats: 4, Tempo: 110,
		Counted: []string{"u", "dos", "tres", "cua"}, Accents: []int{2, 4}, Source: commonPractice,
		Changes: []Change{{1, 5, true}, {3, 1, false}}, Phrygian: []Change{{1, 2, false}, {3, 1, false}},
		Walk: "1:3 2:7 3:1", MinorWalk: "1:3 2:#7 3:1", PhrygianWalk: "1:3 2:2 3:1", RunsFrom: 1, LandsOn: 3,
		Sections: f.Sections,
	}, f)
	cierre, err := f.Section("Cierre")
	require.NoError(t, err)
	assert.Equal(t, Form{Name: "rumba/cierre", Title: "rumba lenta, cierre", Beats: 5, Lengths: []int{2, 2, 3, 3, 2},
		Unit: "eighths", Tempo: 110, Walk: "3:2 4:1"}, cierre, "nothing of the form that counts on its beats")
	lenta, err := f.Section("lenta")
	require.NoError(t, err)
	assert.True(t, lenta.ToMinor)
	assert.Nil(t, lenta.Accents)
	assert.Equal(t, f.Changes, lenta.Changes)
	assert.Equal(t, 60.0, lenta.Tempo)
}

func TestFormsGoRoundTheirText(t *testing.T) {
	own, err := ParseForm(rumba)
	require.NoError(t, err)
	for _, f := range append(Forms(), own) {
		text := FormatForm(f)
		back, err := ParseForm(text)
		require.NoError(t, err, text)
		assert.Equal(t, f, back, text)
		assert.Equal(t, text, FormatForm(back))
	}
}

func TestParseFormErrors(t *testing.T) {
	const head = "form x\nbeats 4\n"
	tests := []struct{ text, want string }{
		{"", "line 1, column 1: there is no form; begin with its name, such as form rumba"},
		{"# only this", "there is no form"},
		{"beats 4", "line 1, column 1: there is no form yet"},
		{"form", "form takes one name"},
		{"form a b", "form takes one name"},
		{"form Rumba", `line 1, column 6: "Rumba" is no name`},
		{"form ../x", `"../x" is no name`},
		{"form x", "line 1, column 1: x has no beats"},
		{head + "form y", "a second form begins"},
		{head + "beats 4", `"beats" stands twice`},
		{"form x\nbeats 0", `line 2, column 7: "0" is no number of beats; write a whole number from 1 to 64`},
		{"form x\nbeats 9999999999999999999", "is no number of beats"},
		{"form x\naccents 1", "line 2, column 1: accents counts on the beats"},
		{head + "  accents 1 5", `line 3, column 13: "5" is no beat of x; write a whole number from 1 to 4`},
		{head + "accents 2 2", "line 3, column 11: accent 2 comes after 2"},
		{head + "colour red", `line 3, column 1: "colour" is no word of a form; the words are form, beats,`},
		{head + "counted u dos", "line 3, column 1: 2 words are counted on 4 beats"},
		{head + "counted a b c " + strings.Repeat("d", 99), "too long to be said"},
		{head + "lengths 2 2", "2 lengths are given for 4 beats"},
		{head + "lengths 2 2 0 2", `line 3, column 13: "0" is no length`},
		{head + "unit a b", "unit takes one word"},
		{head + "tempo fast", "tempo takes a number of units a minute from 20 to 400"},
		{head + "tempo NaN", "tempo takes"},
		{head + "chords 1:5+7 3:9", `line 3, column 14: "3:9" names no degree`},
		{head + "chords 5:1", `"5:1" begins with no beat of x`},
		{head + "chords 3:5 1:1", "line 3, column 12: the chord on beat 1 comes after that on 3"},
		{head + "line 1:3 5:1", `line 3, column 10: line item 2, "5:1": there is no beat 5`},
		{head + "minor-line 1:8", "there is no degree 8"},
		{head + "runs 3-1", "runs takes two beats"},
		{head + "runs 1-5", "runs takes two beats"},
		{head + "key minor", "key takes the word parallel-minor"},
		{head + "title", "title takes"},
		{head + "title é\u0000", "line 3, column 7: \"é\\x00\" holds what is no text"},
		{head + "title \xff", "holds what is no text"},
		{head + "title  ñandú " + strings.Repeat("x", 99), "line 3, column 8: the text is longer than 80 characters"},
		{head + "section a\nsection a", "line 4, column 9: section a stands twice"},
		{head + "section a\ntempo 60\nbeats 5", "write beats first in it"},
		{"form x\nsection a\nbeats 4", "line 1, column 1: x has no beats"},
		{head + strings.Repeat("# long\n", 10000), "write one of at most 65536"},
	}
	for _, tt := range tests {
		_, err := ParseForm(tt.text)
		require.ErrorContains(t, err, tt.want, tt.text[:min(len(tt.text), 60)])
		var at *FormError
		require.True(t, errors.As(err, &at))
		assert.LessOrEqual(t, len(err.Error()), 300)
	}
}

func FuzzParseForm(f *testing.F) {
	f.Add(rumba)
	for _, form := range Forms() {
		f.Add(FormatForm(form))
	}
	f.Add("form x\r\nbeats 1\r\nsection y\nkey parallel-minor\nline 1:1")
	f.Fuzz(func(t *testing.T, text string) {
		form, err := ParseForm(text)
		if err != nil {
			var at *FormError
			require.True(t, errors.As(err, &at))
			require.Positive(t, at.Line)
			require.Positive(t, at.Column)
			return
		}
		back, err := ParseForm(FormatForm(form))
		require.NoError(t, err)
		require.Equal(t, form, back)
		for _, f := range append(form.Sections, form) {
			require.GreaterOrEqual(t, f.TurnUnits(), f.Beats)
			for b := -3; b < f.Beats+3; b++ {
				require.Less(t, f.Units(float64(b)), f.Units(float64(b)+0.5))
				f.ChordAt(Key{Name{'G', 0}, Minor}, float64(b))
			}
		}
	})
}

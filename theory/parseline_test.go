package theory

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseLine(t *testing.T) {
	tests := []struct{ name, key, text, want string }{
		{"notes", "G", "7:B2 8:A2 9:F#2 10:G2", "7:B2 8:A2 9:F#2 10:G2"},
		{"degrees", "G", "7:3 8:2 9:7 10:1", "7:B2 8:A2 9:F#2 10:G2"},
		{"degrees", "D", "7:3 8:2 9:7 10:1", "7:F#3 8:E3 9:C#3 10:D3"},
		{"degrees", "F", "7:3 8:2 9:7 10:1", "7:A2 8:G2 9:E2 10:F2"},
		{"the nearest on the guitar", "E", "7:3 8:2 9:7 10:1", "7:G#3 8:F#3 9:D#3 10:E2"},
		{"an octave higher", "G", "7:3 8:2 9:7 10:1'", "7:B3 8:A3 9:F#3 10:G3"},
		{"an octave lower", "D", "8:2, 10:1", "8:E2 10:D3"},
		{"two octaves", "D", "10:1''", "10:D5"},
		{"a mark moves the notes before it", "D", "7:6 8:5' 10:1", "7:B3 8:A3 10:D3"},
		{"a tritone goes to the lower", "C", "9:#4 10:1", "9:F#2 10:C3"},
		{"unless that is not on the guitar", "A", "9:#4 10:1", "9:D#3 10:A2"},
		{"the landing alone", "Bb", "10:1", "10:Bb2"},
		{"the lowest is the open string", "A", "10:5", "10:E2"},
		{"altered degrees", "G", "7:b3 8:#4 9:b7 10:1", "7:Bb2 8:C#3 9:F2 10:G2"},
		{"degrees count in the key's scale", "Am", "7:3 9:7 10:1", "7:C3 9:G2 10:A2"},
		{"Phrygian", "por-medio", "7:4 8:3 9:2 10:1", "7:D3 8:C3 9:Bb2 10:A2"},
		{"signs", "G", "7:♭3 8:F♯2 10:1", "7:Bb2 8:F#2 10:G2"},
		{"alternatives", "G", "8:4|6 10:1", "8:C3|E2 10:G2"},
		{"an alternative is near the first of the next", "G", "8:2 9:4'|7 10:1", "8:A3 9:C4|F#2 10:G2"},
		{"beats between", "D", "9+1/2:C#3 10:1", "9+1/2:C#3 10:D3"},
		{"loose notes are passed over", "D", "7:3 8:scale 9:chord 10:1", "7:F#3 8:scale 9:chord 10:D3"},
		{"a loose landing", "D", "9:7 10:chord", "9:C#3 10:chord"},
		{"loose or exact", "G", "7:3 8:scale|A2 10:1", "7:B2 8:scale|A2 10:G2"},
		{"two turns", "G", "7:3 10:1 2/7:2 2/10:1'", "7:B3 10:G3 2/7:A3 2/10:G3"},
		{"the first turn said", "G", "1/10:1 2/10:1", "1/10:G2 2/10:G2"},
		{"near an exact note", "G", "9:7 10:G3", "9:F#3 10:G3"},
		{"spaces", "G", "  9:7 \t 10:1\n", "9:F#2 10:G2"},
	}
	for _, tt := range tests {
		t.Run(tt.name+" in "+tt.key, func(t *testing.T) {
			l := line(t, tt.text, tt.key)
			assert.Equal(t, tt.want, l.String())
			assert.Equal(t, tt.want, line(t, l.String(), tt.key).String(), "what is printed is read as the same")
		})
	}
}

func TestParseLineFields(t *testing.T) {
	l := line(t, "9+1/2:7|scale 2/10:1", "G")
	assert.Equal(t, 2, l.Turns)
	assert.Equal(t, Standard, l.Tuning)
	assert.Equal(t, key(t, "G"), l.Key)
	require.Len(t, l.Items, 2)
	assert.Equal(t, Position{Turn: 1, Beat: 9, Num: 1, Den: 2}, l.Items[0].Position)
	assert.Equal(t, []Choice{{ExactNote, Note{Name{'F', 1}, 2}, "7"}, {AnyScale, Note{}, "scale"}}, l.Items[0].Choices)
	assert.Equal(t, "D7", l.Items[0].Chord.String())
	assert.Equal(t, "G", l.Items[1].Chord.String())
	assert.False(t, l.Items[0].Landing)
	assert.True(t, l.Items[1].Landing)
}

func TestLanding(t *testing.T) {
	for text, want := range map[string]bool{"10:1": true, "10:G3": true, "10:3|1": true, "10:3": false, "10:scale": false, "9:1 10:3": false} {
		l := line(t, text, "G")
		assert.Equal(t, want, l.Items[len(l.Items)-1].Landing, text)
		for _, item := range l.Items[:len(l.Items)-1] {
			assert.False(t, item.Landing, text)
		}
	}
}

func TestParseLineErrors(t *testing.T) {
	tests := []struct{ text, want string }{
		{"", "the line is empty; write items such as 7:B2"},
		{"13:B2", `line item 1, "13:B2": there is no beat 13; the beats of alegrías are 1 to 12`},
		{"0:B2", "there is no beat 0"},
		{"7:B2 7:A2", `line item 2, "7:A2": position 7 stands twice in the line; join alternatives by a bar, as in 8:4|6`},
		{"7+1/2:B2 7+2/4:A2", "position 7+2/4 stands twice"},
		{"7:B2 1/7:A2", "position 1/7 stands twice"},
		{"7:B2 8:A2 7:B2", "position 7 stands twice"},
		{"8:A2 7:B2", `line item 2, "7:B2": position 7 comes before 8; write the items in order of time`},
		{"2/7:B2 8:A2", "position 8 comes before 2/7"},
		{"7:8", "there is no degree 8; the degrees are 1 to 7, and 1' is an octave above 1"},
		{"7:0", "there is no degree 0"},
		{"7:b9", "there is no degree 9"},
		{":B2", "there is no beat before the colon"},
		{"7:", "a choice is empty; write a note such as B2"},
		{"7:B2|", "a choice is empty"},
		{"7:|B2", "a choice is empty"},
		{"7", "there is no colon"},
		{"7:B2 | A2", `line item 2, "|": there is no colon`},
		{"9+1:B2", `"1" is no fraction of a beat; write one such as 9+1/2`},
		{"9+:B2", `"" is no fraction`},
		{"9+2/2:B2", "the fraction 2/2 is not below 1"},
		{"9+3/2:B2", "the fraction 3/2 is not below 1"},
		{"9+0/2:B2", "the fraction 0/2 is nothing; write the beat alone, 9"},
		{"9+1/0:B2", "a beat is not divided by 0"},
		{"9+1/97:B2", "a beat is not divided by 97; divide it by 2 to 96"},
		{"9+-1/2:B2", `"-1" is no fraction`},
		{"9+1/2/3:B2", `"2/3" is no fraction`},
		{"65/7:B2", "there is no turn 65; the turns of a line are 1 to 64"},
		{"0/7:B2", "there is no turn 0"},
		{"x/7:B2", `"x" is no turn`},
		{"1/2/7:B2", `"2/7" is no beat`},
		{"07:B2", `"07" is no beat`},
		{"+7:B2", `"" is no beat`},
		{"x:B2", `"x" is no beat`},
		{"99999999999999999999:B2", "the beat 99999999999999999999 is too large"},
		{"7:E1", `line item 1, "7:E1": E1 is in an octave no guitar has, below the open sixth string; the lowest E there is E2`},
		{"7:C6", "C6 is in an octave no guitar has, above fret 19 of the first string; the highest C there is C5"},
		{"7:1,", "1, (G1) is in an octave no guitar has, below the open sixth string; the lowest G there is G2"},
		{"8:1'''' 10:1", `line item 1, "8:1''''": 1'''' (G6) is in an octave no guitar has`},
		{"7:1,'", "goes an octave down and up at once"},
		{"7:a2", "the letter of a note is a capital; write A2"},
		{"7:B", "B has no octave; write one after it, such as B2"},
		{"7:B2'", `"2'" is no octave`},
		{"7:bb3", "the letter of a note is a capital; write Bb3"},
		{"7:##3", "neither a note nor a degree"},
		{"7:3b", "neither a note nor a degree"},
		{"7:Scale", "neither a note nor a degree"},
		{"7:𝄪3", "a degree takes one # or b"},
		{"7:\x1b[2J", `"7:\x1b[2J"`},
		{strings.Repeat("7:B2 ", 820), "the line is 4100 bytes long; write one of at most 4096"},
		{"7:" + strings.Repeat("'", 4000), "neither a note nor a degree"},
		{"7:1" + strings.Repeat("'", 4000), "is in an octave no guitar has"},
	}
	for _, tt := range tests {
		_, err := ParseLine(tt.text, key(t, "G"), form(t, "alegrias"), Standard)
		require.ErrorContains(t, err, tt.want, tt.text)
		assert.Less(t, len(err.Error()), 320, "one sentence, whatever was written")
	}
	_, err := ParseLine("7:3", key(t, "G"), Form{}, Standard)
	assert.ErrorContains(t, err, "a line needs a form")
	_, err = ParseLine("7:3", key(t, "G"), form(t, "alegrias"), Tuning{40, 59, 55, 50, 45, 64})
	assert.ErrorContains(t, err, "this guitar has no B")
	_, err = ParseLine("7:C9", key(t, "G"), form(t, "alegrias"), Tuning{40, 59, 55, 50, 45, 64})
	assert.ErrorContains(t, err, "C9 is in an octave no guitar has, above fret 19 of the first string")
}

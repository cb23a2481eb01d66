package lines

import (
	"testing"

	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func played(beat, midi int, confidence float64) Played {
	return Played{theory.Position{Turn: 1, Beat: beat, Den: 1}, midi, confidence, confidence > 0.5}
}

func TestCapture(t *testing.T) {
	k, f, _ := in(t, "G")
	first := []Played{played(7, 47, .9), played(8, 45, .9), played(9, 42, .8), played(10, 43, .9)}
	c, err := Capture("walk", k, f, first, first)
	require.NoError(t, err)
	assert.Empty(t, c.Questions)
	assert.Equal(t, "7:B2 8:A2 9:F#2 10:G2", c.Line.Text)
	text, err := c.Text(nil)
	require.NoError(t, err)
	assert.Equal(t, "# degrees 3 2 7 1\nline   walk\nform   alegrias\nkey    G\nplay   7:B2 8:A2 9:F#2 10:G2\n", text)
	back, err := theory.ParseLines(text, nil)
	require.NoError(t, err)
	assert.Equal(t, []theory.WrittenLine{c.Line}, back)

	second := []Played{played(7, 47, .3), played(9, 41, .9), played(10, 43, .9)}
	c, err = Capture("walk", k, f, first, second)
	require.NoError(t, err)
	beat := func(n int) theory.Position { return theory.Position{Turn: 1, Beat: n, Den: 1} }
	assert.Equal(t, []Question{{beat(8), 45, 0, 45}, {beat(9), 42, 41, 41}}, c.Questions)
	assert.Equal(t, "7:B2 8:A2 9:F2 10:G2", c.Line.Text)
	require.NoError(t, c.Answer(c.Questions[0], 0))
	require.NoError(t, c.Answer(c.Questions[1], 42))
	assert.Equal(t, "7:B2 9:F#2 10:G2", c.Line.Text)

	c, err = Capture("walk", k, f, []Played{played(10, 43, .4)}, []Played{played(10, 43, .4)})
	require.NoError(t, err)
	assert.Len(t, c.Questions, 1, "what nobody swears to is asked about")
	assert.Error(t, c.Answer(c.Questions[0], 0), "a line of nothing is none")

	_, err = Capture("walk", k, f, nil, nil)
	assert.ErrorContains(t, err, "no bass note was heard")
	assert.Equal(t, "7:scale 8:scale 9:scale 10:1", Beats(f))
	assert.Equal(t, "1:scale 2:1", Beats(theory.Form{Beats: 2}))
}

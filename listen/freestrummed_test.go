package listen

import (
	"testing"

	"bordon/dsp"
	"bordon/dsp/pluck"
	"bordon/fixtures"
	"bordon/listen/grid"
	"bordon/listen/match"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Turns that are strummed through are told as that, though the lowest string of
// their last chord is the line's landing, and played ones are not.
func TestFreeTurnsStrummedThrough(t *testing.T) {
	for _, seed := range []uint64{6, 12} { // of which the judge alone lets such turns pass
		guitars := pluck.Guitars()
		spec, err := fixtures.DrawFree("extra turns", guitars[int(seed*5)%len(guitars)], seed)
		require.NoError(t, err)
		take, err := fixtures.Free(spec)
		require.NoError(t, err)
		x, err := take.Sound(fixtures.Synthesised{}, freeRate)
		require.NoError(t, err)
		s, err := hearFree(t, take, x, grid.Options{}, 4096).Judge()
		require.NoError(t, err)
		strummed := map[int]bool{}
		for _, n := range take.Truth {
			if n.Asked != 0 {
				strummed[n.Turn] = n.Mistake == fixtures.Strummed
			}
		}
		told := 0
		for _, v := range s.Verdicts() {
			assert.Equal(t, strummed[v.Turn], v.Pitch == match.Strummed, "seed %d, turn %d, beat %v: %s", seed, v.Turn, v.Item.Position, v.Pitch)
			if v.Pitch == match.Strummed {
				told++
				assert.Nil(t, v.Heard)
				assert.Empty(t, v.Timing)
			}
		}
		assert.Positive(t, told)
	}
}

// The rule, a turn at a time; the line is 7:B2 8:A2 9:F#2 10:G2.
func TestStrummedThrough(t *testing.T) {
	set := scenario(t)
	const gap = 4000
	missing := match.Verdict{Pitch: match.Missing}
	heard := func(word match.Word, midi int, sure float64) match.Verdict {
		return match.Verdict{Pitch: word, Heard: &match.Heard{MIDI: midi, Confidence: sure}}
	}
	landing := heard(match.Right, 43, 0.99)
	strum := func(beat float64) dsp.Note {
		return dsp.Note{Onset: 100000 + int64(gap*beat), Last: true, Strum: 0.9, Began: 0.1}
	}
	inLine, around := []dsp.Note{strum(1)}, []dsp.Note{strum(-4)}
	d3 := heard(match.InScale, 50, 0.98) // of D7, which the form holds there
	for name, c := range map[string]struct {
		turn   []match.Verdict
		strums []dsp.Note
		want   bool
	}{
		"nothing but the landing":          {[]match.Verdict{missing, missing, missing, landing}, inLine, true},
		"no strum in the line's place":     {[]match.Verdict{missing, missing, missing, landing}, around, false},
		"a faint one among the strums":     {[]match.Verdict{missing, missing, heard(match.Right, 42, 0.2), landing}, inLine, true},
		"one that is not sworn to":         {[]match.Verdict{missing, heard(match.Unsure, 45, 0.4), missing, landing}, inLine, false},
		"one clear note":                   {[]match.Verdict{missing, heard(match.Right, 45, 0.9), missing, landing}, inLine, false},
		"one clear wrong note":             {[]match.Verdict{missing, heard(match.OutOfScale, 46, 0.9), missing, landing}, inLine, false},
		"the chord's lowest on every beat": {[]match.Verdict{d3, d3, d3, landing}, around, true},
		"the same with nobody strumming":   {[]match.Verdict{d3, d3, d3, landing}, nil, false},
		"the chord's lowest on two":        {[]match.Verdict{d3, d3, heard(match.Right, 42, 0.9), landing}, around, false},
		"another wrong note on every beat": {[]match.Verdict{heard(match.InScale, 52, 0.9), heard(match.InScale, 52, 0.9), heard(match.InScale, 52, 0.9), landing}, around, false},
	} {
		s := &Session{set: set}
		var of []int
		for i, v := range c.turn {
			v.Turn, v.Item, v.Time = 1, set.Line.Items[i], 100000+int64(i)*gap
			s.verdicts = append(s.verdicts, v)
			of = append(of, i)
		}
		assert.Equal(t, c.want, s.strummedThrough(&Free{notes: c.strums}, of), name)
	}
}

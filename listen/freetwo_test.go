package listen

import (
	"testing"

	"bordon/listen/grid"
	"bordon/listen/match"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Counting a stretch from another beat moves its beats alone; what follows goes
// on a whole pass later, and no beat changes its sample.
func TestRecounted(t *testing.T) {
	seg := func(first float64, n int, at float64) (s grid.Segment) {
		for i := range n {
			s.Beats = append(s.Beats, grid.Knot{Beat: first + float64(i), Sample: at + 1000*float64(i)})
		}
		return s
	}
	a := &grid.Alignment{Segments: []grid.Segment{seg(0, 12, 5000), seg(12, 24, 30000), seg(36, 12, 70000)}}
	var knots []grid.Knot
	for _, s := range a.Segments {
		knots = append(knots, s.Beats...)
	}
	var err error
	a.Grid, err = grid.NewFollowed(knots, 0)
	require.NoError(t, err)
	got, err := recounted(a, 1, 5, 12)
	require.NoError(t, err)
	for i, want := range []float64{0, 17, 48} {
		first := got.Segments[i].Beats[0]
		assert.Equal(t, want, first.Beat, "segment %d", i)
		assert.Equal(t, a.Segments[i].Beats[0].Sample, first.Sample)
		assert.Equal(t, int64(first.Sample), got.Grid.Sample(want))
	}
	assert.Equal(t, 12.0, a.Segments[1].Beats[0].Beat, "the alignment itself stays")
	assert.Equal(t, 1.0, got.Segments[1].Confidence)
	assert.Zero(t, got.Segments[0].Confidence)
}

// What two ways to count say alike, by the rule: the same word on the same note
// with the same asked for, or a note that is foreign to the key.
func TestAlike(t *testing.T) {
	set := scenario(t)
	verdict := func(word match.Word, expected, heard int, onset int64, beat int) match.Verdict {
		v := match.Verdict{Turn: 1, Item: set.Line.Items[beat], Time: onset, ExpectedMIDI: expected, Pitch: word, Expected: set.Line.Items[beat].Choices[0]}
		if heard > 0 {
			v.Heard = &match.Heard{MIDI: heard, Onset: onset}
		}
		return v
	}
	for name, c := range map[string]struct {
		a, b     match.Verdict
		alike    bool
		expected bool
	}{
		"the same":               {verdict(match.Right, 45, 45, 1000, 1), verdict(match.Right, 45, 45, 1000, 2), true, true},
		"right in one":           {verdict(match.Right, 45, 45, 1000, 1), verdict(match.InScale, 47, 45, 1000, 2), false, false},
		"another onset":          {verdict(match.Right, 45, 45, 1000, 1), verdict(match.Right, 45, 45, 9000, 2), false, false},
		"wrong, another asked":   {verdict(match.InScale, 45, 48, 1000, 1), verdict(match.InScale, 47, 48, 1000, 2), false, false},
		"wrong, the same asked":  {verdict(match.InScale, 45, 48, 1000, 1), verdict(match.InScale, 45, 48, 1000, 2), true, true},
		"foreign, another asked": {verdict(match.OutOfScale, 45, 46, 1000, 1), verdict(match.OutOfScale, 47, 46, 1000, 2), true, false},
		"missing in both":        {verdict(match.Missing, 45, 0, 1000, 1), verdict(match.Missing, 45, 0, 1001, 2), true, true},
		"missing, another asked": {verdict(match.Missing, 45, 0, 1000, 1), verdict(match.Missing, 47, 0, 1000, 2), false, false},
		"unsure":                 {verdict(match.Unsure, 45, 45, 1000, 1), verdict(match.Unsure, 45, 45, 1000, 2), false, false},
		"strummed":               {verdict(match.Strummed, 45, 0, 1000, 1), verdict(match.Strummed, 45, 0, 1000, 2), false, false},
	} {
		of := func(v match.Verdict) *Session {
			return &Session{set: set, rate: 8000, verdicts: []match.Verdict{v}}
		}
		got := alike([]*Session{of(c.a), of(c.b)})
		require.Equal(t, c.alike, len(got) == 1, name)
		if c.alike {
			assert.Equal(t, c.expected, got[0].Expected != nil, name)
			assert.Len(t, got[0].Places, 2, name)
		}
	}
}

// A verdict whose place is not known says nothing of the line.
func TestUnplaced(t *testing.T) {
	set := scenario(t)
	v := match.Verdict{Item: set.Line.Items[1], ExpectedMIDI: 45, Cause: match.Swapped}
	assert.Empty(t, unplaced(v, false).Item.Choices)
	known := unplaced(v, true)
	assert.Equal(t, set.Line.Items[1].Choices, known.Item.Choices)
	assert.Equal(t, theory.Position{}, known.Item.Position)
	assert.Equal(t, match.NoCause, known.Cause)
}

func TestSameScore(t *testing.T) {
	of := func(words ...match.Word) *Session {
		s := &Session{rate: 8000}
		for _, w := range words {
			s.verdicts = append(s.verdicts, match.Verdict{Turn: 1, Pitch: w})
		}
		return s
	}
	a := of(match.Right, match.Missing)
	same := sameScore([]*Session{a, of(match.Missing, match.Right)})
	require.NotNil(t, same)
	assert.Equal(t, a.Score(), *same)
	assert.Nil(t, sameScore([]*Session{a, of(match.Right, match.Right)}))
	assert.Nil(t, sameScore([]*Session{of(), of()}), "nothing is no score")
}

package theory

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLineIn(t *testing.T) {
	tests := []struct{ line, from, to, want string }{
		{"7:B2 8:A2 9:F#2 10:G2", "G", "F", "7:A2 8:G2 9:E2 10:F2"},
		{"7:B2 8:A2 9:F#2 10:G2", "G", "Bb", "7:D3 8:C3 9:A2 10:Bb2"},
		{"7:B2 8:A2 9:F#2 10:G2", "G", "E", "7:G#3 8:F#3 9:D#3 10:E3"}, // D#2 is not on the guitar
		{"7:F#3 8:E3 9:C#3 10:D3", "D", "G", "7:B2 8:A2 9:F#2 10:G2"},
		{"7:F#3 8:E3 9:C#3 10:D3", "D", "A", "7:C#3 8:B2 9:G#2 10:A2"},
		{"7:B2 8:A2 9:F#2 10:G2", "G", "Am", "7:C3 8:B2 9:G#2 10:A2"}, // the leading note stays one
		{"7:C3 8:B2 9:G#2 10:A2", "Am", "G", "7:B2 8:A2 9:F#2 10:G2"},
		{"7:D3 8:C3 9:Bb2 10:A2", "por-medio", "por-arriba", "7:A2 8:G2 9:F2 10:E2"},
		{"7:scale 8:chord|C3 9:F#2 10:G2", "G", "F", "7:scale 8:chord|Bb2 9:E2 10:F2"},
		{"7:Bb2 8:A2 9:F#2 10:G2", "G", "A", "7:C3 8:B2 9:G#2 10:A2"}, // b3 stays b3
		{"7:A#2 8:A2 9:F#2 10:G2", "G", "A", "7:B#2 8:B2 9:G#2 10:A2"},
		{"2/7:B2 2/9+1/2:F#2 2/10:G2", "G", "A", "2/7:C#3 2/9+1/2:G#2 2/10:A2"},
		{"7:B2 10:G2", "G", "G", "7:B2 10:G2"},
	}
	for _, tt := range tests {
		l := line(t, tt.line, tt.from)
		moved, err := l.In(key(t, tt.to))
		require.NoError(t, err, "%s from %s to %s", tt.line, tt.from, tt.to)
		assert.Equal(t, tt.want, moved.String(), "from %s to %s", tt.from, tt.to)
		assert.Equal(t, tt.line, l.String(), "the line itself stays")
		for i, item := range moved.Items {
			assert.Equal(t, l.Items[i].Landing, item.Landing)
			assert.Equal(t, l.Form.ChordAt(moved.Key, float64(item.Position.Beat)), item.Chord)
		}
	}
	_, err := line(t, "7:G5 8:E2 10:G2", "G").In(key(t, "E"))
	assert.EqualError(t, err, `moving line 7:G5 8:E2 10:G2 from G to E: beat 8 would ask for C#2, which this guitar has not; write the line for this key`)
	_, err = line(t, "10:G2", "G").In(Key{})
	assert.ErrorContains(t, err, "there is no key")
}

// To any key and back is where it was, but for the octave, and every move
// between keys of one mode keeps the intervals.
func TestLineInKeepsTheIntervals(t *testing.T) {
	for _, from := range keys() {
		l, err := DefaultLine(from, form(t, "alegrias"), Standard)
		require.NoError(t, err)
		for _, to := range keys() {
			moved, err := l.In(to)
			require.NoError(t, err, "%v to %v", from, to)
			for i := range l.Items {
				a, b := l.Items[i].Choices[0].Note, moved.Items[i].Choices[0].Note
				if from.Mode == to.Mode {
					assert.Equal(t, from.Degree(a.MIDI()), to.Degree(b.MIDI()))
					assert.Equal(t, to.Spell(b.MIDI()), b)
				}
				if i > 0 && from.Mode == to.Mode {
					c, d := l.Items[i-1].Choices[0].Note, moved.Items[i-1].Choices[0].Note
					assert.Equal(t, a.MIDI()-c.MIDI(), b.MIDI()-d.MIDI(), "%v to %v", from, to)
				}
			}
		}
	}
}

func TestLiesBadly(t *testing.T) {
	best := find(t, "F", Standard, 1)[0]
	moved, err := line(t, "7:5 8:6 9:7 10:1", "D").In(key(t, "F"))
	require.NoError(t, err)
	w, err := WalkOf(moved)
	require.NoError(t, err)
	assert.False(t, best.LiesBadly(best))
	assert.True(t, w.LiesBadly(best) == (w.Cost() > best.Cost()+margin))
	leap, err := WalkOf(line(t, "7:D3 8:B2 9:E2 10:G2", "G"))
	require.NoError(t, err)
	assert.True(t, leap.LiesBadly(find(t, "G", Standard, 1)[0]))
}

package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The thumb came over the open sixth string on its way, and the ear spoke of the
// note itself only at its last look.
func TestABrushedStringWaitsForTheNoteItself(t *testing.T) {
	const on = 8
	last := func(at int64, midi int) played {
		p := note(at, midi)
		p.atLast = true
		return p
	}
	for _, tt := range []struct {
		name  string
		brush int64 // before the beat
		note  played
		want  Word
		heard int
	}{
		{"the right one follows", ms(60), last(beat(1, on)+ms(12), a2), Right, a2},
		{"a wrong one does", ms(60), last(beat(1, on)+ms(12), bb2), OutOfScale, bb2},
		{"a doubtful one does", ms(40), played{at: beat(1, on), midi: bb2, began: 0.3, share: 0.9, atLast: true}, Unsure, 40},
		{"the right one comes too late to be what it was on the way to", ms(60), last(beat(1, on)+ms(60), a2), InScale, 40},
		{"on the beat it is no brush", 0, last(beat(1, on)+ms(25), bb2), InScale, 40},
	} {
		t.Run(tt.name, func(t *testing.T) {
			take := rightTake(1)
			take[1] = note(beat(1, on)-tt.brush, 40)
			r := hearTake(t, setting(t, "G", walk), append(take, tt.note), turnsLength(1), 441)
			require.Equal(t, []Word{Right, tt.want, Right, Right}, r.words())
			assert.Equal(t, tt.heard, r.final[1].Heard.MIDI)
		})
	}
}

// So early, the note asked for need not sound as loud under a wrong one.
func TestUnderAStringThatIsEarlyTheNoteIsRight(t *testing.T) {
	for _, tt := range []struct {
		name    string
		early   int64
		midi    int
		present float64
		strum   float64
		want    Word
	}{
		{"brushed", ms(30), 40, 0.7, 0, Right},
		{"on the beat", 0, 40, 0.7, 0, Unsure},
		{"hardly there", ms(30), 40, 0.5, 0, Unsure},
		{"silent", ms(30), bb2, 0.1, 0, OutOfScale},
		{"its octave shares its partials", ms(30), a2 + 12, 0.7, 0, Octave},
		{"in a strum it is nobody's", ms(30), 40, 0.7, 0.6, Unsure},
	} {
		t.Run(tt.name, func(t *testing.T) {
			take := rightTake(1)
			take[1] = note(beat(1, 8)-tt.early, tt.midi)
			take[1].presence = map[int]float64{a2: tt.present}
			take[1].strum = tt.strum
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
			require.Equal(t, []Word{Right, tt.want, Right, Right}, r.words())
		})
	}
}

// Whoever plays a wrong note early, and nothing else, is told so.
func TestAWrongNoteBeforeItsBeatIsToldWhenTheBeatHasPassed(t *testing.T) {
	for _, early := range []float64{20, 40, 100} {
		take := rightTake(1)
		take[1] = note(beat(1, 8)-ms(early), bb2)
		r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
		require.Equal(t, []Word{Right, OutOfScale, Right, Right}, r.words())
		assert.Equal(t, beat(1, 8)+ms(holdMS), r.final[1].Decided)
	}
}

// An open string below the note's, just before its beat, may be all that is heard
// of a thumb on its way.
func TestAnOpenStringBelowMayHaveDrownedTheNote(t *testing.T) {
	const d3 = 50
	for _, tt := range []struct {
		name string
		at   float64 // ms after the beat
		lag  float64 // of the player, ms
		midi int
		want Word
	}{
		{"just before", -30, 0, 40, Unsure},
		{"on the beat", 0, 0, 40, InScale},
		{"long before", -60, 0, 40, InScale},
		{"before a player who lags", -5, 25, 40, Unsure},
		{"with a player who leads", -30, -25, 40, InScale},
		{"a string above", -30, 0, d3, InScale},
	} {
		t.Run(tt.name, func(t *testing.T) {
			take := rightTake(2)
			for i := range take {
				take[i].at += ms(tt.lag)
			}
			take[5] = note(beat(2, 8)+ms(tt.at), tt.midi)
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(2), 441)
			assert.Equal(t, []Word{Right, Right, Right, Right, Right, tt.want, Right, Right}, r.words())
		})
	}
}

package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The thumb brushed a string that is louder than its note.
func TestUnderABrushedStringTheNoteIsRight(t *testing.T) {
	tests := []struct {
		name   string
		asked  float64 // presence of the note asked for
		midi   int     // heard
		want   Word
		sounds int
	}{
		{"the note asked for sounds", 0.9, 40, Right, a2},
		{"perhaps", 0.6, 40, Unsure, 40},
		{"it does not", 0.1, 40, InScale, 40},
		{"its octave does not raise a doubt", 0.6, a2 + 12, Octave, a2 + 12},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			take := rightTake(1)
			take[1] = note(take[1].at, tt.midi)
			take[1].presence = map[int]float64{a2: tt.asked}
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
			require.Equal(t, []Word{Right, tt.want, Right, Right}, r.words())
			assert.Equal(t, tt.sounds, r.final[1].Heard.MIDI)
			assert.Greater(t, r.final[1].Heard.Confidence, 0.8)
		})
	}
}

// Where any note of the key will do, one of them always sounds.
func TestALooseLineKnowsNoBrushedString(t *testing.T) {
	take := rightTake(1)
	take[1] = note(take[1].at, bb2)
	take[1].presence = map[int]float64{a2: 0.9, g2: 0.9}
	r := hearTake(t, setting(t, "G", "7:B2 8:scale 9:F#2 10:G2"), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, OutOfScale, Right, Right}, r.words())
}

func TestHopeGrowsWithWhatSpeaksForTheNote(t *testing.T) {
	base := hope(0.1, 0.7, 0.01, 6)
	assert.Greater(t, hope(0.3, 0.7, 0.01, 6), base)
	assert.Greater(t, hope(0.1, 0.9, 0.01, 6), base)
	assert.Greater(t, hope(0.1, 0.7, 0.1, 6), base, "a finger plucked with it")
	assert.Greater(t, hope(0.1, 0.7, 0.01, 12), base)
	assert.Greater(t, hope(0, 1, 0, 6), 0.0)
	assert.Less(t, hope(1, 1, 1, 6), 1.0)
}

// On the beat a soft note is the one asked for by its name; far from it any
// finger may have sounded that.
func TestASoftNoteIsRightOnItsBeatAlone(t *testing.T) {
	for _, tt := range []struct {
		late  float64 // ms
		began float64
		want  Word
	}{
		{0, 0.1, Right},
		{175, 0.1, Unsure},
		{175, 0.9, Right},
	} {
		take := rightTake(1)
		take[1].at += ms(tt.late)
		take[1].began = tt.began
		r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
		assert.Equal(t, []Word{Right, tt.want, Right, Right}, r.words(), "%v ms, %v", tt.late, tt.began)
	}
}

// An octave shares every second partial of the note below, which seems to sound.
func TestUnderItsOctaveTheNoteAskedForIsNotRight(t *testing.T) {
	take := rightTake(1)
	take[1] = note(take[1].at, a2+12)
	take[1].presence = map[int]float64{a2: 0.9}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Octave, Right, Right}, r.words())
}

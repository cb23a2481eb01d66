package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestExtras(t *testing.T) {
	tests := []struct {
		name  string
		p     played
		exact bool
		want  bool
	}{
		{"a note between the beats", note(beat(1, 7.5), 50), false, true},
		{"the sounding note again", note(beat(1, 7.5), b2), false, false},
		{"the sounding note again, exactly as written", note(beat(1, 7.5), b2), true, true},
		{"a slide into the next note", note(beat(1, 8)-ms(60), bb2), false, false},
		{"the same, exactly as written", note(beat(1, 8)-ms(60), bb2), true, true},
		{"a mordent after the note", note(beat(1, 8)+ms(90), b2), false, false},
		{"a brushed string before the note", note(beat(1, 8)-ms(40), 40), false, true},
		{"a doubtful onset", played{at: beat(1, 7.5), midi: 50, began: 0.4, share: 0.99}, false, false},
		{"an onset of doubtful pitch", played{at: beat(1, 7.5), midi: 50, began: 0.99, share: 0.8}, false, false},
		{"a treble note", note(beat(1, 7.5), 55), false, false},
		{"a tone of the chord at the landing", note(beat(1, 10)+ms(60), 50), false, false},
		{"a foreign note at the landing", note(beat(1, 10)+ms(60), 48), false, true},
		{"a strum", strum(beat(1, 7.5), 43), false, false},
		{"before the stretch", note(beat(1, 6), 50), false, false},
		{"after the stretch", note(beat(1, 11), 50), false, false},
		{"a second note in a window", note(beat(1, 8)+ms(200), 50), false, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cfg := setting(t, "G", walk)
			cfg.Exact = tt.exact
			r := hearTake(t, cfg, append(rightTake(1), tt.p), turnsLength(1), 441)
			require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
			if !tt.want {
				assert.Empty(t, r.extras)
				return
			}
			require.Len(t, r.extras, 1)
			assert.Equal(t, 1, r.extras[0].Turn)
			assert.Equal(t, tt.p.midi, r.extras[0].Heard.MIDI)
			assert.Equal(t, tt.p.at, r.extras[0].Heard.Onset)
		})
	}
}

func TestABetterNoteInTheWindowTakesThePlace(t *testing.T) {
	// A brushed sixth string, then the right note 60 ms later.
	take := rightTake(1)
	take[1].at += ms(20)
	take = append(take, note(beat(1, 8)-ms(40), 40))
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
	assert.Equal(t, ms(20), r.final[1].Offset)
	require.Len(t, r.extras, 1)
	assert.Equal(t, 1, r.pending, "the brushed string was shown first")
}

func TestACorrectionAfterTheVerdictIsAnExtra(t *testing.T) {
	take := rightTake(1)
	take[1].midi = 50
	take = append(take, note(beat(1, 8)+ms(200), a2))
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, []Word{Right, InScale, Right, Right}, r.words())
	require.Len(t, r.extras, 1)
	assert.Equal(t, a2, r.extras[0].Heard.MIDI)
}

func TestANoteBetweenHalfBeatsDoesNotAnswerTheNextBeat(t *testing.T) {
	// The thumb doubles on the half beat, late enough to fall into the next
	// window: the note on the beat still answers it.
	take := append(rightTake(1), note(beat(1, 8)-ms(210), b2), note(beat(1, 9)-ms(215), 50))
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Right, Right, Right}, r.words())
	assert.Len(t, r.extras, 1, "the repeat passes")
}

func TestNothingIsExtraInAStrummedTurn(t *testing.T) {
	take := []played{strum(beat(1, 7), 43), strum(beat(1, 8), 43), note(beat(1, 8.5), 50), strum(beat(1, 10), 43)}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())
	assert.Empty(t, r.extras)
}

package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What strums leave of themselves has one pitch, the lowest string's, and it may
// be the one asked for; a line has several.
func TestARightNoteOfTheChordAmongStrumsWaitsForAnother(t *testing.T) {
	faint := func(b float64, midi int) played {
		return played{at: beat(1, b), midi: midi, began: 0.85, share: 0.95, strum: 0.2}
	}
	line := "7:A2 8:C3 9:A2 10:G2" // D7 sounds on 8 and 9
	for name, tt := range map[string]struct {
		second played
		want   []Word
	}{
		"the same":     {faint(9, a2), []Word{Strummed, Strummed, Strummed, Strummed}},
		"another":      {faint(8, 48), []Word{Missing, Right, Right, Right}},
		"beyond doubt": {note(beat(1, 9), a2), []Word{Missing, Missing, Right, Right}},
	} {
		t.Run(name, func(t *testing.T) {
			take := []played{strum(beat(1, 7)), faint(9, a2), tt.second, strum(beat(1, 10), g2)}
			if tt.second.at == take[1].at {
				take[1] = strum(beat(1, 8))
			}
			r := hearTake(t, setting(t, "G", line), take, turnsLength(1), 441)
			assert.Equal(t, tt.want, r.words())
		})
	}
}

// No strum's lowest string is foreign to its chord and heard so clearly.
func TestAForeignNoteBeyondDoubtIsTheThumbs(t *testing.T) {
	take := []played{strum(beat(1, 7)), note(beat(1, 8), 52), strum(beat(1, 9)), strum(beat(1, 10), g2)}
	take[1].began, take[1].share = 0.999, 0.999
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Missing, InScale, Missing, Right}, r.words())
	assert.Equal(t, beat(1, 8)+ms(holdMS), r.final[1].Decided)
}

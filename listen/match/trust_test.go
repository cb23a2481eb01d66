package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sung is what the ear makes of a voice: a note that it is sure of.
func sung(b float64, midi int) played {
	p := note(beat(1, b), midi)
	p.cents = 35
	return p
}

func TestNothingIsSwornToBeforeAGuitarIsHeard(t *testing.T) {
	const c3 = 48
	tests := []struct {
		name string
		take []played
		want []Word
	}{
		{"a voice", []played{sung(7, c3), note(beat(1, 8), bb2), sung(9, 52), note(beat(1, 10), a2)}, []Word{Unsure, Unsure, Unsure, Unsure}},
		{"a voice that leaves a beat out", []played{sung(7, c3), sung(8, bb2), sung(10, a2)}, []Word{Unsure, Unsure, Missing, Unsure}},
		{"a voice on two notes", []played{sung(7, c3), sung(8, bb2), sung(9, c3), sung(10, bb2)}, []Word{Unsure, Unsure, Unsure, Unsure}},
		{"another line on a guitar that is not in tune", []played{sung(7, c3), sung(8, bb2), sung(9, 52), sung(10, a2)}, []Word{InScale, OutOfScale, InScale, InScale}},
		{"a voice in tune", []played{note(beat(1, 7), c3), note(beat(1, 8), bb2)}, []Word{Unsure, Unsure, Missing, Missing}},
		{"a voice that hits upon the line, out of tune", []played{sung(7, c3), sung(8, a2)}, []Word{Unsure, Unsure, Missing, Missing}},
		{"the same at another time", []played{note(beat(1, 7)-ms(90), b2), note(beat(1, 8), bb2)}, []Word{Unsure, Unsure, Missing, Missing}},
		{"a chord in a room full of claps", []played{note(beat(1, 7), c3), strum(beat(1, 10), g2)}, []Word{Unsure, Missing, Missing, Unsure}},
		{"a right note", []played{note(beat(1, 7), b2)}, []Word{Right, Missing, Missing, Missing}},
		{"and a wrong one after it", []played{note(beat(1, 7), b2), note(beat(1, 8), bb2)}, []Word{Right, OutOfScale, Missing, Missing}},
		{"or before it", []played{note(beat(1, 7), c3), note(beat(1, 8), a2)}, []Word{InScale, Right, Missing, Missing}},
		{"two right ones on a guitar that is not in tune", []played{sung(7, b2), sung(8, a2)}, []Word{Right, Right, Missing, Missing}},
		{"two right ones of a player who lags", []played{note(beat(1, 7)+ms(90), b2), note(beat(1, 8)+ms(90), a2)}, []Word{Right, Right, Missing, Missing}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := hearAtFirst(t, setting(t, "G", walk), tt.take, turnsLength(1), 441)
			require.Equal(t, tt.want, r.words())
			assert.Empty(t, r.extras)
			for _, v := range r.final {
				if v.Pitch == Unsure && v.Heard != nil {
					assert.Empty(t, v.Timing)
					assert.Empty(t, v.Cause)
					assert.Equal(t, beat(1, 10)+ms(225)+earDelay, v.Decided, "at the end of the stretch")
				}
			}
		})
	}
}

func TestAWrongNoteIsShownAtOnceAndFinalWithTheNextRightOne(t *testing.T) {
	take := []played{note(beat(1, 7), 48), note(beat(1, 8), a2)}
	r := hearAtFirst(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, InScale, r.final[0].Pitch)
	assert.Equal(t, beat(1, 8)+ms(80), r.final[0].Decided)
	first := r.events[0].Verdict
	assert.True(t, first.Provisional)
	assert.Equal(t, InScale, first.Pitch)
	assert.LessOrEqual(t, first.Decided, beat(1, 7)+ms(160))
}

func TestNoExtraIsToldBeforeAGuitarIsHeard(t *testing.T) {
	take := []played{note(beat(1, 7.5), 50)}
	r := hearAtFirst(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Empty(t, r.extras)
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Len(t, r.extras, 1)
}

func TestTrustLastsTwoTurns(t *testing.T) {
	voice := func(turn int) played { return note(beat(turn, 8), bb2) }
	take := append(rightTake(1), voice(2), voice(3), voice(4), voice(5))
	r := hearAtFirst(t, setting(t, "G", walk), take, turnsLength(5), 441)
	var of8 []Word
	for _, v := range r.final {
		if v.Item.Position.String() == "8" {
			of8 = append(of8, v.Pitch)
		}
	}
	assert.Equal(t, []Word{Right, OutOfScale, OutOfScale, Unsure, Unsure}, of8)
}

package match

import (
	"testing"

	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRightTake(t *testing.T) {
	r := hearTake(t, setting(t, "G", walk), rightTake(2), turnsLength(2), 441)
	require.Len(t, r.final, 8)
	for i, v := range r.final {
		assert.Equal(t, Right, v.Pitch, i)
		assert.Equal(t, OnTime, v.Timing, i)
		assert.Equal(t, 1+i/4, v.Turn)
		assert.Equal(t, []string{"7", "8", "9", "10"}[i%4], v.Item.Position.String())
		assert.Equal(t, beat(1+i/4, float64(7+i%4)), v.Time)
		assert.Equal(t, v.ExpectedMIDI, v.Heard.MIDI)
		assert.Zero(t, v.Offset)
		assert.Equal(t, v.Heard.Onset+ms(80), v.Decided, "final with the first look")
		assert.InDelta(t, 0.97*0.98, v.Heard.Confidence, 1e-9)
	}
	assert.Empty(t, r.extras)
	assert.Zero(t, r.pending)
	assert.Equal(t, []int{1, 2}, r.ended)
}

func TestWrongPitch(t *testing.T) {
	tests := []struct {
		name  string
		heard int
		want  Word
		cause Cause
	}{
		{"the note", a2, Right, NoCause},
		{"an octave up", a2 + 12, Octave, NoCause},
		{"one fret up, foreign", bb2, OutOfScale, Semitone},
		{"the note before again", b2, InScale, StillThere},
		{"the note after", fs2, InScale, Swapped},
		{"next string, same fret, up", 50, InScale, WrongString},
		{"next string, same fret, down", 40, InScale, WrongString},
		{"another degree", 48, InScale, OtherDegree},
		{"foreign and far", 51, OutOfScale, NoCause},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			take := rightTake(1)
			take[1].midi = tt.heard
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
			require.Equal(t, []Word{Right, tt.want, Right, Right}, r.words())
			v := r.final[1]
			assert.Equal(t, tt.cause, v.Cause)
			assert.Equal(t, tt.heard, v.Heard.MIDI)
			assert.Equal(t, a2, v.ExpectedMIDI)
			assert.Equal(t, "A2", v.Expected.Note.String())
			assert.Equal(t, OnTime, v.Timing)
			if tt.want != Right {
				assert.Equal(t, v.Heard.Onset+ms(holdMS), v.Decided, "a wrong note waits")
				assert.Equal(t, 1, r.pending, "and is shown meanwhile")
			}
		})
	}
}

func TestCejillaSounds(t *testing.T) {
	cfg := setting(t, "G", walk)
	cfg.Cejilla = 3
	take := rightTake(1)
	for i := range take {
		take[i].midi += 3
	}
	take[1].midi = bb2 + 3
	r := hearTake(t, cfg, take, turnsLength(1), 441)
	require.Equal(t, []Word{Right, OutOfScale, Right, Right}, r.words())
	assert.Equal(t, a2+3, r.final[1].ExpectedMIDI, "sounding")
	assert.Equal(t, "A2", r.final[1].Expected.Note.String(), "as fingered")
	assert.Equal(t, Semitone, r.final[1].Cause)
}

func TestMissing(t *testing.T) {
	take := rightTake(1)
	take = append(take[:1], take[2:]...)
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, []Word{Right, Missing, Right, Right}, r.words())
	v := r.final[1]
	assert.Nil(t, v.Heard)
	assert.Empty(t, v.Timing)
	assert.Equal(t, a2, v.ExpectedMIDI)
	// 0.45 beat of 500 ms is 225 ms: the window of the contract.
	assert.Equal(t, beat(1, 8)+ms(225)+earDelay, v.Decided, "when the window has passed and the ear has spoken on it")
}

func TestMissingIsNeverDecidedAfterTheEnd(t *testing.T) {
	cfg := setting(t, "G", walk)
	total := beat(1, 10) + ms(230) // the last window ends 5 ms before
	r := hearTake(t, cfg, rightTake(1)[:3], total, 441)
	require.Equal(t, []Word{Right, Right, Right, Missing}, r.words())
	assert.Equal(t, total, r.final[3].Decided)
}

func TestTiming(t *testing.T) {
	tests := []struct {
		name      string
		offset    int64
		tolerance Tolerance
		want      Timing
	}{
		// Learning: the smaller of 60 ms and 15 % of 500 ms, and 10 ms of the
		// ear's own.
		{"on the beat", 0, Learning, OnTime},
		{"at the edge", ms(70), Learning, OnTime},
		{"a sample over", ms(70) + 1, Learning, Late},
		{"at the early edge", -ms(70), Learning, OnTime},
		{"a sample too early", -ms(70) - 1, Learning, Early},
		// Performing: the smaller of 30 ms and 8 % of 500 ms, and 10 ms.
		{"performing, at the edge", ms(40), Performing, OnTime},
		{"performing, a sample over", ms(40) + 1, Performing, Late},
		{"performing, early", -ms(60), Performing, Early},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cfg := setting(t, "G", walk)
			cfg.Tolerance = tt.tolerance
			take := rightTake(1)
			take[2].at += tt.offset
			r := hearTake(t, cfg, take, turnsLength(1), 441)
			require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
			assert.Equal(t, tt.want, r.final[2].Timing)
			assert.Equal(t, tt.offset, r.final[2].Offset)
		})
	}
}

func TestToleranceIsAPartOfAFastBeat(t *testing.T) {
	// At 200 beats a minute a beat is 300 ms: 15 % of it are 45 ms, 8 % 24 ms.
	assert.InDelta(t, 0.045*rate, Learning.Samples(rate, 0.3*rate), 1e-6)
	assert.InDelta(t, 0.024*rate, Performing.Samples(rate, 0.3*rate), 1e-6)
}

func TestDelayIsTakenOff(t *testing.T) {
	cfg := setting(t, "G", walk)
	cfg.Delay = ms(133)
	take := rightTake(1)
	for i := range take {
		take[i].at += ms(133 + 5)
	}
	r := hearTake(t, cfg, take, turnsLength(1), 441)
	require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
	for _, v := range r.final {
		assert.Equal(t, ms(5), v.Offset)
		assert.Equal(t, OnTime, v.Timing)
	}
}

func TestUnknownDelayGivesNoTiming(t *testing.T) {
	cfg := setting(t, "G", walk)
	cfg.DelayKnown = false
	take := rightTake(1)
	for i := range take {
		take[i].at += ms(180)
	}
	r := hearTake(t, cfg, take, turnsLength(1), 441)
	require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
	for _, v := range r.final {
		assert.Empty(t, v.Timing)
	}
	s := Count(r.final, r.extras, rate)
	assert.Equal(t, 1.0, *s.Accuracy)
	assert.Nil(t, s.AccuracyOnTime, "nobody can say")
}

func TestDoubt(t *testing.T) {
	tests := []struct {
		name string
		p    played
		want Word
	}{
		{"no note was likely to have begun", played{midi: bb2, began: 0.2, share: 0.99}, Missing},
		{"nor the one asked for", played{midi: a2, began: 0.0005, share: 0.99}, Missing},
		{"perhaps a soft right note", played{midi: a2, began: 0.004, share: 0.99}, Unsure},
		{"one that is named beyond doubt", played{midi: a2, began: 0.05, share: 0.99}, Right},
		{"one that is hardly named", played{midi: a2, began: 0.2, share: 0.3}, Unsure},
		{"nothing stands out", played{midi: bb2, began: 0.9, share: 0.30}, Unsure},
		{"expected helps a doubtful right note", played{midi: a2, began: 0.9, share: 0.45}, Right},
		{"the guard: expected alone does not make it right", played{midi: bb2, began: 0.9, share: 0.82, other: a2}, Unsure},
		{"the ear is sure of another all the same", played{midi: bb2, began: 0.9, share: 0.95, other: a2}, OutOfScale},
		{"a wrong note or none: neither is sworn to", played{midi: 48, began: 0.45, share: 0.8}, Unsure},
		{"a right note or none: it was asked for", played{midi: a2, began: 0.2, share: 0.99}, Right},
		{"doubtful first, sure later", played{midi: bb2, began: 0.9, late: true, first: 0.5, share: 0.95}, OutOfScale},
		{"an octave is nearly as doubtful", played{midi: a2 + 12, began: 0.9, share: 0.5, other: a2}, Right},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			take := rightTake(1)
			tt.p.at = take[1].at
			take[1] = tt.p
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
			assert.Equal(t, []Word{Right, tt.want, Right, Right}, r.words())
			if tt.want == Unsure {
				assert.NotNil(t, r.final[1].Heard)
				assert.Empty(t, r.final[1].Timing)
			}
		})
	}
}

func TestFarFromTheBeatTakesMore(t *testing.T) {
	for offset, want := range map[float64]Word{0: InScale, 90: InScale, 150: Unsure} {
		take := rightTake(1)
		take[1] = played{at: beat(1, 8) + ms(offset), midi: 48, began: 0.8, share: 0.93}
		r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
		assert.Equal(t, want, r.final[1].Pitch, "%v ms off the beat", offset)
	}
}

func TestLooseLine(t *testing.T) {
	cfg := setting(t, "G", "7:scale 8:chord 9:C3|E3 10:1")
	tests := []struct {
		name     string
		beat     int
		heard    int
		want     Word
		expected string
		midi     int
	}{
		{"any note of the scale", 0, 52, Right, "scale", 52},
		{"a foreign one", 0, 51, OutOfScale, "scale", 50},
		{"a tone of D7", 1, 48, Right, "chord", 48},
		{"in the key, not in the chord", 1, 47, InScale, "chord", 48},
		{"the first alternative", 2, 48, Right, "C3", 48},
		{"the second alternative", 2, 52, Right, "E3", 52},
		{"nearer to the second", 2, 51, OutOfScale, "E3", 52},
		{"the name of the second, an octave down", 2, 40, Octave, "E3", 52},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			take := []played{note(beat(1, 7), b2), note(beat(1, 8), a2), note(beat(1, 9), 48), note(beat(1, 10), g2)}
			take[tt.beat].midi = tt.heard
			r := hearTake(t, cfg, take, turnsLength(1), 441)
			require.Len(t, r.final, 4)
			v := r.final[tt.beat]
			assert.Equal(t, tt.want, v.Pitch)
			assert.Equal(t, tt.expected, v.Expected.String())
			assert.Equal(t, tt.midi, v.ExpectedMIDI)
		})
	}
}

func TestTwoTurnLine(t *testing.T) {
	cfg := setting(t, "G", "7:B2 10:G2 2/7:A2 2/10:G2")
	var take []played
	for pass := range 2 {
		take = append(take, note(beat(2*pass+1, 7), b2), note(beat(2*pass+1, 10), g2),
			note(beat(2*pass+2, 7), a2), note(beat(2*pass+2, 10), g2))
	}
	r := hearTake(t, cfg, take, turnsLength(4), 441)
	require.Len(t, r.final, 8)
	for i, v := range r.final {
		assert.Equal(t, Right, v.Pitch)
		assert.Equal(t, 1+i/2, v.Turn, "the turn of the take")
	}
	assert.Equal(t, "2/7", r.final[6].Item.Position.String(), "the beat as written")
	assert.Equal(t, []int{1, 3}, r.ended)
	assert.Equal(t, theory.ExactNote, r.final[0].Expected.Kind)
}

package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStrummedTurn(t *testing.T) {
	var take []played
	for b := 1; b <= 12; b++ {
		take = append(take, strum(beat(1, float64(b)), 43, 47, 50))
	}
	take = append(take, rightTake(2)[4:]...)
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(2), 441)
	require.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed, Right, Right, Right, Right}, r.words())
	end := beat(1, 10) + ms(225) + earDelay
	for _, v := range r.final[:4] {
		assert.Nil(t, v.Heard)
		assert.Empty(t, v.Timing)
		assert.Equal(t, end, v.Decided, "at the end of the stretch")
	}
	var before []Word // what was said of the turn until then
	for _, e := range r.events {
		if e.Kind == Judged && e.Verdict.Provisional {
			before = append(before, e.Verdict.Pitch)
		}
	}
	assert.Equal(t, []Word{Unsure, Missing, Missing, Right}, before, "B2 sounds in the chord on 7")
	s := Count(r.final, r.extras, rate)
	assert.Equal(t, 4, s.Strummed)
	assert.Equal(t, 4, s.Judged, "strummed counts nowhere else")
	assert.Equal(t, 1.0, *s.Accuracy)
}

func TestMissingIsHeldWhileTheTurnMayBeStrummed(t *testing.T) {
	// Strums on 7 and 8, a thumb note on 9: not strummed, so two are missing,
	// final as soon as the thumb is heard.
	take := []played{strum(beat(1, 7)), strum(beat(1, 8)), note(beat(1, 9), fs2), note(beat(1, 10), g2)}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, []Word{Missing, Missing, Right, Right}, r.words())
	assert.Equal(t, 2, r.pending)
	for _, v := range r.final[:3] {
		assert.Equal(t, beat(1, 9)+ms(80), v.Decided)
	}
}

func TestSilenceIsMissingNotStrummed(t *testing.T) {
	r := hearTake(t, setting(t, "G", walk), nil, turnsLength(1), 441)
	require.Equal(t, []Word{Missing, Missing, Missing, Missing}, r.words())
	for _, v := range r.final {
		assert.Equal(t, beat(1, 10)+ms(225)+earDelay, v.Decided, "then it is known that nothing was strummed")
	}
}

func TestALandingStrumAloneMakesNoStrummedTurn(t *testing.T) {
	r := hearTake(t, setting(t, "G", walk), []played{strum(beat(1, 10), g2)}, turnsLength(1), 441)
	assert.Equal(t, []Word{Missing, Missing, Missing, Right}, r.words())
}

func TestStrumOutsideTheStretchMakesNoStrummedTurn(t *testing.T) {
	take := []played{strum(beat(1, 3), 43), strum(beat(1, 12), 43)}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Missing, Missing, Missing, Missing}, r.words())
}

func TestAStrumIsNoThumbNote(t *testing.T) {
	take := rightTake(1)
	take[1] = strum(take[1].at, 50)
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Missing, Right, Right}, r.words())

	take[1] = strum(take[1].at, a2, 50)
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Unsure, Right, Right}, r.words(), "with the note asked for among its own it may hide the thumb's")
	assert.Nil(t, r.final[1].Heard)

	take[1].began, take[1].midi, take[1].share = 0.95, a2, 0.95
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Right, Right, Right}, r.words(), "but a thumb note under a chord is one")
}

func TestOneWrongNoteAmongStrumsIsAStrumToo(t *testing.T) {
	// Its lowest string was taken for a thumb note: nobody is accused. E is
	// foreign to the D7 that sounds.
	const e3 = 52
	take := []played{strum(beat(1, 7)), note(beat(1, 8), e3), strum(beat(1, 9)), strum(beat(1, 10), g2)}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())

	// With a right note in the turn it was the player's, final when that is heard.
	take[2] = note(beat(1, 9), fs2)
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, []Word{Missing, InScale, Right, Right}, r.words())
	assert.Equal(t, beat(1, 9)+ms(80), r.final[1].Decided)

	// So it was where there are two of them.
	take[2] = note(beat(1, 9), bb2)
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Missing, InScale, OutOfScale, Right}, r.words())

	// And where nothing was strummed before it, at once.
	take = []played{note(beat(1, 7), e3), strum(beat(1, 8)), strum(beat(1, 9)), strum(beat(1, 10), g2)}
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	require.Equal(t, []Word{InScale, Missing, Missing, Right}, r.words())
	assert.Equal(t, beat(1, 7)+ms(holdMS), r.final[0].Decided)
}

func TestWrongNotesOfTheChordMayBeStrums(t *testing.T) {
	// The open fourth string is the lowest of the usual D7. Where the player
	// strums before the line, that it is heard beat for beat, and one strum, is
	// a strummed turn.
	const d3 = 50
	hear := func(cejilla int, take ...played) result {
		cfg := setting(t, "G", walk)
		cfg.Cejilla = cejilla
		return hearTake(t, cfg, append(take, strum(beat(1, 10), g2+cejilla)), turnsLength(1), 441)
	}
	before := strum(beat(1, 5), 43)
	one, two, three := note(beat(1, 7), d3), note(beat(1, 8), d3), note(beat(1, 9), d3)
	r := hear(0, before, one, two, strum(beat(1, 9)))
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())

	// With a cejilla it is the fingered chord that counts.
	r = hear(3, before, note(one.at, d3+3), note(two.at, d3+3), strum(beat(1, 9)))
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())

	// Without a strum they were the thumb's, as is known at the end of the stretch.
	r = hear(0, before, one, two, three)
	assert.Equal(t, []Word{InScale, InScale, InScale, Right}, r.words())
	assert.Greater(t, r.final[0].Decided, beat(1, 10))

	// A right note tells so at once.
	r = hear(0, before, one, note(beat(1, 8), a2), three)
	require.Equal(t, []Word{InScale, Right, InScale, Right}, r.words())
	assert.Equal(t, beat(1, 8)+ms(80), r.final[0].Decided)

	// And nobody has to wait where nothing was strummed.
	r = hear(0, one, two, three)
	require.Equal(t, []Word{InScale, InScale, InScale, Right}, r.words())
	assert.Equal(t, beat(1, 7)+ms(holdMS), r.final[0].Decided)
}

func TestAStrumIsKnownByTheLastLook(t *testing.T) {
	// At the first look it was a bass note, at the second a strum.
	take := []played{strum(beat(1, 10), g2)}
	for _, b := range []float64{7, 8, 9} {
		p := note(beat(1, b), 52)
		p.second = &played{midi: 52, began: 0.1, share: 0.9, strum: 0.9}
		take = append(take, p)
	}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())
}

func TestAFaintRightNoteGivesWayToOneThatFollows(t *testing.T) {
	// The left hand stirs the string 60 ms before the thumb, which is late.
	faint := played{at: beat(1, 8) + ms(20), midi: a2, began: 0.16, share: 0.97}
	for name, tt := range map[string]struct {
		after  int64 // ms from the faint one to the note
		offset int64 // ms, of the verdict
	}{"the note follows": {60, 80}, "nothing follows": {0, 20}} {
		t.Run(name, func(t *testing.T) {
			take := rightTake(1)
			take[1] = faint
			if tt.after > 0 {
				take = append(take, note(faint.at+ms(float64(tt.after)), a2))
			}
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
			require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
			assert.Equal(t, ms(float64(tt.offset)), r.final[1].Offset)
			assert.Empty(t, r.extras)
		})
	}
}

func TestALinePlayedUnderChords(t *testing.T) {
	// Every note comes with a chord, and the ear is not sure of the thumb.
	under := func(b float64, midi int) played {
		return played{at: beat(1, b), midi: midi, began: 0.3, share: 0.98, strum: 0.9, bass: []int{midi}}
	}
	take := []played{under(7, b2), under(8, a2), under(9, fs2), under(10, g2)}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Right, Right, Right}, r.words(), "strums do not hit upon the line")

	take = []played{strum(beat(1, 7)), under(8, a2), strum(beat(1, 9)), strum(beat(1, 10), g2)}
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words(), "but once they may")

	take[1].began = 0.5 // with what was asked for, odds of 6 to 1
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words(), "or are likely to")

	take[1].began = 0.95
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Missing, Right, Missing, Right}, r.words(), "unless it is sure to be the thumb")
}

// The lowest string of the last chord is the tonic that was asked for: it looks
// like a thumb note, and shows no line.
func TestALandingAfterStrumsShowsNoLine(t *testing.T) {
	take := []played{strum(beat(1, 7)), strum(beat(1, 8)), strum(beat(1, 9)), note(beat(1, 10), g2)}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())

	// Beside a note that may have been the thumb's it is the line's, and after
	// one that was.
	take[2] = played{at: beat(1, 9), midi: bb2, began: 0.9, share: 0.45, other: 49}
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Missing, Missing, Unsure, Right}, r.words())
	take[2].other = 48 // of the chord: it may have been a strum's too
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words())
	take[2] = note(beat(1, 9), fs2)
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Missing, Missing, Right, Right}, r.words())
}

func TestAWrongNoteThatLooksLikeAStrumTakesMore(t *testing.T) {
	for _, tt := range []struct {
		strum, began float64
		want         Word
	}{
		{0, 0.7, InScale}, {0, 0.4, Unsure}, {0.3, 0.7, Unsure}, {0.3, 0.9, InScale}, {0.7, 0.92, Unsure}, {0.7, 0.99, InScale}, {0.7, 0.4, Missing},
	} {
		take := rightTake(1)
		take[1] = played{at: take[1].at, midi: 48, began: tt.began, share: 0.9, strum: tt.strum}
		r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
		assert.Equal(t, tt.want, r.final[1].Pitch, "strum %v, began %v", tt.strum, tt.began)
	}
}

func TestLanding(t *testing.T) {
	chord := func(p played) played { p.at = beat(1, 10); return p }
	tests := []struct {
		name  string
		p     played
		want  Word
		midi  int
		strum bool
	}{
		{"bare tonic", note(0, g2), Right, g2, false},
		{"bare tonic, octave up", note(0, g2+12), Octave, g2 + 12, false},
		{"bare wrong note", note(0, a2), InScale, a2, false},
		{"bare tone of the chord", note(0, 50), InScale, 50, false},
		{"tone of the chord with something of a strum", played{midi: 50, began: 0.95, share: 0.98, strum: 0.3}, Unsure, 50, false},
		{"tone of the chord while others sound", played{midi: 50, began: 0.95, share: 0.98, bass: []int{50, 59}}, Unsure, 50, false},
		{"tone of the chord beyond doubt while others sound", played{midi: 50, began: 0.999, share: 0.999, bass: []int{50, 59}}, InScale, 50, false},
		{"wrong note with something of a strum", played{midi: a2, began: 0.95, share: 0.98, strum: 0.3, bass: []int{59}}, InScale, a2, false},
		{"chord with the tonic asked for", strum(0, g2, 47, 50), Right, g2, true},
		{"chord with the open third string", strum(0, 47, 50, 55), Right, 55, true},
		{"chord whose tonic shows by its octave", played{midi: 50, began: 0.2, share: 0.3, strum: 0.9, bass: []int{47, 50, 55}, faint: g2}, Right, g2, true},
		{"chord tones below the tonic accuse nobody", strum(0, 47, 55), Right, 55, true},
		{"chord whose tonic is not heard", strum(0, 47, 50), Unsure, 50, false},
		{"chord over a sworn chord tone", played{midi: 50, began: 0.95, share: 0.98, strum: 0.9, bass: []int{50}}, Unsure, 50, false},
		{"chord over a sworn foreign bass", played{midi: a2, began: 0.95, share: 0.98, strum: 0.9, bass: []int{a2}}, InScale, a2, false},
		{"chord over a sworn tonic that is hard to see", played{midi: g2, began: 0.95, share: 0.98, strum: 0.9}, Right, g2, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			take := append(rightTake(1)[:3], chord(tt.p))
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
			require.Len(t, r.final, 4)
			v := r.final[3]
			require.Equal(t, tt.want, v.Pitch)
			assert.Equal(t, tt.midi, v.Heard.MIDI)
			assert.Equal(t, tt.strum, v.Heard.Strum)
			assert.Equal(t, g2, v.ExpectedMIDI)
		})
	}
}

func TestTheTonicOfAChordIsNamedByTheLastLook(t *testing.T) {
	// The first look finds it an octave up, before the lowest string counts.
	p := strum(beat(1, 10), 47, 50, 55)
	second := strum(beat(1, 10), g2, 47, 50, 55)
	p.second = &second
	r := hearTake(t, setting(t, "G", walk), append(rightTake(1)[:3], p), turnsLength(1), 441)
	require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
	assert.Equal(t, g2, r.final[3].Heard.MIDI)
}

func TestTheSixthStringUnderAnAShapeAccusesNobody(t *testing.T) {
	// E2 under an A chord: a chord tone below the tonic, and sworn to.
	cfg := setting(t, "A", "7:C#3 8:B2 9:G#2 10:A2")
	take := []played{note(beat(1, 7), 49), note(beat(1, 8), 47), note(beat(1, 9), 44),
		{at: beat(1, 10), midi: 40, began: 0.95, share: 0.98, strum: 0.9, bass: []int{40, 45}}}
	r := hearTake(t, cfg, take, turnsLength(1), 441)
	require.Equal(t, []Word{Right, Right, Right, Right}, r.words())
	assert.Equal(t, 45, r.final[3].Heard.MIDI)

	take[3].bass = []int{40}
	r = hearTake(t, cfg, take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Right, Right, Unsure}, r.words())
}

func TestOnlyWholeStretchesAreJudged(t *testing.T) {
	window := ms(225)
	tests := []struct {
		name      string
		firstBeat float64 // s
		total     int64
		turns     []int
		cut       []int
	}{
		{"all of two turns", 1, turnsLength(2), []int{1, 2}, nil},
		{"the last window to its end", 1, beat(2, 10) + window, []int{1, 2}, nil},
		{"a sample short", 1, beat(2, 10) + window - 1, []int{1}, []int{2}},
		{"ends before the second stretch", 1, beat(2, 3), []int{1}, nil},
		// Beat 7 falls at 3 s - 3 s + 225 ms, and its window begins at 0.
		{"begins with the first window", -2.775, ms(2000), []int{1}, nil},
		{"begins a sample later", -2.775 - 1.0/rate, ms(8000), []int{2}, nil},
		{"starts in the fourth turn's line", -22, ms(8000), []int{5}, nil},
		{"nothing at all", 1, 0, nil, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cfg := setting(t, "G", walk)
			g, err := gridAt(tt.firstBeat)
			require.NoError(t, err)
			cfg.Grid = g
			r := hearTake(t, cfg, nil, tt.total, 441)
			var turns []int
			for i, v := range r.final {
				if i%4 == 0 {
					turns = append(turns, v.Turn)
				}
			}
			assert.Equal(t, tt.turns, turns)
			assert.Len(t, r.final, 4*len(tt.turns))
			assert.Equal(t, tt.cut, r.cut)
		})
	}
}

func TestNumberOfTurnsIsBounded(t *testing.T) {
	cfg := setting(t, "G", walk)
	cfg.Turns = 2
	r := hearTake(t, cfg, rightTake(4), turnsLength(4), 441)
	assert.Equal(t, []int{1, 2}, r.ended)
	assert.Len(t, r.final, 8)
	assert.Empty(t, r.extras)
}

// A finger that shakes the body is taken for what was asked for now and then, and
// the last chord's lowest string is: one of each shows no line.
func TestANoteAndALandingAmongStrumsShowNoLine(t *testing.T) {
	faint := func(number float64, midi int) played {
		return played{at: beat(1, number), midi: midi, began: 0.3, share: 0.99}
	}
	take := []played{strum(beat(1, 7)), faint(8, a2), strum(beat(1, 9)), note(beat(1, 10), g2)}
	r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Strummed, Strummed, Strummed, Strummed}, r.words(), "one may seem to be played, and the last chord")

	take[0], take[2] = faint(7, b2), faint(9, fs2)
	r = hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
	assert.Equal(t, []Word{Right, Right, Right, Right}, r.words(), "more are a line")
}

// Nor does one that the ear itself hardly believes in.
func TestANoteHardlyHeardAmongStrumsShowsNoLine(t *testing.T) {
	for _, tt := range []struct {
		name  string
		began float64
		want  []Word
	}{
		{"hardly", 0.08, []Word{Strummed, Strummed, Strummed, Strummed}},
		{"faintly", 0.15, []Word{Right, Right, Missing, Right}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			faint := played{at: beat(1, 7), midi: b2, began: tt.began, share: 0.99}
			take := []played{faint, {at: beat(1, 8), midi: a2, began: tt.began, share: 0.99}, strum(beat(1, 9)), strum(beat(1, 9) + ms(250)), strum(beat(1, 10), g2)}
			r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
			assert.Equal(t, tt.want, r.words())
		})
	}
}

package match

import (
	"cmp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hearLossy is hearTake where samples are lost: what an ear says of looks that
// end in the gap is left to the take.
func hearLossy(t *testing.T, cfg Config, take []played, total, chunk int64, lost ...span) []Verdict {
	t.Helper()
	m, err := New(cfg)
	require.NoError(t, err)
	var final []Verdict
	keep := func(events []Event) {
		for _, e := range events {
			if e.Kind == Judged && !e.Verdict.Provisional {
				v := e.Verdict
				if v.Heard != nil {
					h := *v.Heard
					v.Heard = &h
				}
				final = append(final, v)
			}
		}
	}
	notes := looks(take)
	for now := int64(0); now < total; {
		next := min(now+chunk, total)
		if len(lost) > 0 {
			if lost[0].from == now {
				m.Lose(lost[0].from, lost[0].to)
				next, lost = min(lost[0].to, total), lost[1:]
			} else {
				next = min(next, lost[0].from)
			}
		}
		for now = next; len(notes) > 0 && notes[0].Decided <= now; notes = notes[1:] {
			keep(m.Note(&notes[0]))
		}
		keep(m.Advance(now))
	}
	keep(m.End(total))
	slices.SortStableFunc(final, func(a, b Verdict) int { return cmp.Compare(a.Time, b.Time) })
	return final
}

func TestWhatWasLostIsNotMissing(t *testing.T) {
	gap := func(turn int, beat1, beat2 float64) span { return span{beat(turn, beat1), beat(turn, beat2)} }
	without := func(turn int, beats ...float64) []played {
		return slices.DeleteFunc(rightTake(2), func(p played) bool {
			return slices.ContainsFunc(beats, func(b float64) bool { return p.at == beat(turn, b) })
		})
	}
	all := func(words ...Word) []Word { return append(words, Right, Right, Right, Right) }
	broken := note(beat(1, 8), bb2)
	broken.late, broken.first = true, 0.5
	returned := note(beat(1, 9)+ms(20), a2) // what rang on, where the sound comes back
	for _, tt := range []struct {
		name string
		take []played
		lost []span
		want []Word
	}{
		{"nothing lost", without(1, 8), nil, all(Right, Missing, Right, Right)},
		{"a beat inside", without(1, 8), []span{gap(1, 7.5, 8.5)}, all(Right, Unsure, Right, Right)},
		{"two beats inside", without(1, 8, 9), []span{gap(1, 7.6, 9.4)}, all(Right, Unsure, Unsure, Right)},
		{"a moment of the beat", without(1, 8), []span{{beat(1, 8), beat(1, 8) + ms(5)}}, all(Right, Unsure, Right, Right)},
		{"elsewhere", without(1, 8), []span{gap(1, 3, 5)}, all(Right, Missing, Right, Right)},
		{"the whole line", without(1, 7, 8, 9, 10), []span{gap(1, 6, 11)}, all(Unsure, Unsure, Unsure, Unsure)},
		{"the right note was heard before", rightTake(2), []span{{beat(1, 8) + ms(150), beat(1, 8.4)}}, all(Right, Right, Right, Right)},
		{"a wrong note whose sound breaks off", append(without(1, 8), broken), []span{{beat(1, 8) + ms(60), beat(1, 8.4)}}, all(Right, Unsure, Right, Right)},
		{"the sound that comes back", append(without(1, 9), returned), []span{{beat(1, 8.6), beat(1, 9) + ms(10)}}, all(Right, Right, Unsure, Right)},
	} {
		t.Run(tt.name, func(t *testing.T) {
			cfg := setting(t, "G", walk)
			var first []Verdict
			for _, chunk := range []int64{64, 441, 48000} {
				got := hearLossy(t, cfg, tt.take, turnsLength(2), chunk, tt.lost...)
				words := result{final: got}.words()
				require.Equal(t, tt.want, words)
				for _, v := range got {
					if v.Pitch == Unsure {
						assert.True(t, v.Lost)
						assert.Empty(t, v.Timing)
					}
				}
				if first == nil {
					first = got
				}
				assert.Equal(t, first, got, "chunk size never matters")
			}
		})
	}
}

func TestMoreGapsThanAreRemembered(t *testing.T) {
	m, err := New(setting(t, "G", walk))
	require.NoError(t, err)
	for i := range int64(1000) {
		m.Lose(beat(1, 1)+i*2, beat(1, 1)+i*2+1)
	}
	assert.LessOrEqual(t, len(m.lost), maxLost)
	assert.True(t, m.lostIn(beat(1, 1), beat(1, 1)+1))
	assert.True(t, m.lostIn(beat(1, 1)+1998, beat(1, 1)+1999))
	m.Lose(5, 5)
	m.Lose(9, 5)
	assert.False(t, m.lostIn(0, 10), "nothing was lost there")
	assert.Zero(t, testing.AllocsPerRun(10, func() { m.Lose(beat(2, 1), beat(2, 1)+1) }))
}

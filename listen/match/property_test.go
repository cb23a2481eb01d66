package match

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// say is what a verdict says, without when it was decided and why.
type say struct {
	turn   int
	beat   string
	pitch  Word
	heard  int
	timing Timing
	offset int64
}

func saysOf(r result) []say {
	var says []say
	for _, v := range r.final {
		s := say{turn: v.Turn, beat: v.Item.Position.String(), pitch: v.Pitch, timing: v.Timing, offset: v.Offset}
		if v.Heard != nil {
			s.heard = v.Heard.MIDI
		}
		says = append(says, s)
	}
	return says
}

// How sure the thumb's notes are, and when they come, is learned from them: of
// another beat a note less may make a doubt, or take one away. It never makes
// another note of it.
func TestAMissingNoteShiftsNobody(t *testing.T) {
	cfg := setting(t, "G", walk)
	r := rand.New(rand.NewPCG(1, 1))
	doubts, beats := 0, 0
	for range 30 {
		take := randomTake(r, 3)
		before := hearTake(t, cfg, take, turnsLength(3), 4096)
		for i := range take {
			without := slices.Delete(slices.Clone(take), i, i+1)
			after := hearTake(t, cfg, without, turnsLength(3), 4096)
			require.Len(t, after.final, len(before.final))
			taken := 0
			for j, s := range saysOf(after) {
				beats++
				b := saysOf(before)[j]
				if off := take[i].at - after.final[j].Time; max(off, -off) <= ms(225) {
					taken++
					assert.Equal(t, Missing, s.pitch, "the beat whose note was taken away")
					continue
				}
				if s == b {
					continue
				}
				doubts++
				assert.True(t, s.pitch == Unsure || b.pitch == Unsure, "%+v became %+v", b, s)
			}
			assert.Equal(t, 1, taken, "every note of a random take answers a beat")
			assert.Equal(t, before.extras, after.extras)
		}
	}
	assert.Less(t, doubts, beats/100, "where uneven playing is at the edge of late")
}

func TestAnExtraNoteShiftsNobody(t *testing.T) {
	cfg := setting(t, "G", walk)
	r := rand.New(rand.NewPCG(2, 1))
	added := 0
	for range 300 {
		take := randomTake(r, 2)
		before := hearTake(t, cfg, take, turnsLength(2), 4096)
		require.Len(t, before.final, 8)

		// Anywhere in a stretch where a beat's own note is heard before any
		// other could have been final: not in the 200 ms before a note that
		// the ear needs time to be sure of, not on a beat that is silent.
		extra := note(beat(1, 6.6)+int64(r.Float64()*float64(beat(1, 10.4)-beat(1, 6.6))), 40+r.IntN(12))
		if w := windowOf(before.final, extra.at); w >= 0 {
			v := before.final[w]
			if v.Pitch != Right || v.Decided != v.Heard.Onset+ms(80) || v.Heard.Onset-extra.at > ms(75) || v.Heard.MIDI == extra.midi {
				continue
			}
		}
		after := hearTake(t, cfg, append(slices.Clone(take), extra), turnsLength(2), 4096)
		assert.Equal(t, saysOf(before), saysOf(after), "extra %+v", extra)
		added += len(after.extras) - len(before.extras)
	}
	assert.Greater(t, added, 50, "most of the added notes are told as extras; repeats and ornaments pass")
}

// windowOf is the index of the verdict whose window holds a sample.
func windowOf(verdicts []Verdict, at int64) int {
	return slices.IndexFunc(verdicts, func(v Verdict) bool {
		return at >= v.Time-ms(225) && at < v.Time+ms(225)
	})
}

func TestAConstantLeadOrLagChangesNoPitchWord(t *testing.T) {
	cfg := setting(t, "G", walk)
	r := rand.New(rand.NewPCG(3, 1))
	for range 40 {
		take := rightTake(2)
		for i := range take {
			// No two 15 ms apart: what comes so early may be a brushed string.
			take[i].at += ms(r.Float64()*14 - 7)
			if r.IntN(4) == 0 {
				take[i].midi = 40 + r.IntN(12)
			}
		}
		take = slices.DeleteFunc(take, func(played) bool { return r.IntN(8) == 0 })
		want := hearTake(t, cfg, take, turnsLength(2), 4096).words()
		for _, lag := range []float64{-59, -30, 17, 59} {
			shifted := slices.Clone(take)
			for i := range shifted {
				shifted[i].at += ms(lag)
			}
			assert.Equal(t, want, hearTake(t, cfg, shifted, turnsLength(2), 4096).words(), "%v ms", lag)
		}
	}
}

func TestChunkSizeNeverMatters(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for n := range 40 {
		cfg := setting(t, "G", walk)
		cfg.Exact = n%4 == 0
		take := randomTake(r, 3)
		for range 12 {
			at := beat(1, 6.5) + int64(r.Float64()*float64(beat(4, 1)-beat(1, 6.5)))
			switch r.IntN(3) {
			case 0:
				take = append(take, strum(at, 43, 50))
			case 1:
				take = append(take, note(at, 40+r.IntN(14)))
			default:
				take = append(take, played{at: at, midi: 45, began: r.Float64(), share: 0.7, other: 50, late: true, first: 0.5})
			}
		}
		total := beat(3, 9) + int64(r.Float64()*float64(beat(4, 1)-beat(3, 9)))
		want := hearTake(t, cfg, take, total, 64)
		require.NotEmpty(t, want.events)
		for _, chunk := range []int64{1, 441, 4096, 65536, total} {
			if chunk == 1 && n > 0 {
				continue // once is enough: it is slow
			}
			got := hearTake(t, cfg, take, total, chunk)
			require.Equal(t, want.events, got.events, "chunks of %d", chunk)
		}
	}
}

func TestEveryExpectedNoteGetsOneFinalVerdictAfterItsProvisionalOnes(t *testing.T) {
	cfg := setting(t, "G", walk)
	r := rand.New(rand.NewPCG(5, 1))
	for range 40 {
		take := randomTake(r, 3)
		for range 6 {
			take = append(take, strum(beat(1+r.IntN(3), 7+3*r.Float64()), 43))
		}
		got := hearTake(t, cfg, take, turnsLength(3), 441)
		final := map[int64]bool{}
		for _, e := range got.events {
			if e.Kind != Judged {
				continue
			}
			assert.False(t, final[e.Verdict.Time], "beat at %d is final already", e.Verdict.Time)
			final[e.Verdict.Time] = !e.Verdict.Provisional
			if h := e.Verdict.Heard; h != nil {
				assert.Greater(t, e.Verdict.Decided, h.Onset)
			}
			assert.LessOrEqual(t, e.Verdict.Decided, turnsLength(3))
		}
		assert.Len(t, got.final, 12)
		for at, done := range final {
			assert.True(t, done, "beat at %d", at)
		}
	}
}

// A sounded note is final at most 160 ms after its onset. Three things take
// longer, all rather than accuse: what stays unsure, a wrong note more than 15 ms
// early, which waits as if it had come on the beat, for it may have been brushed
// on the way to the one there, and a first wrong note in a turn in which strums
// were heard.
func TestASwornNoteIsFinalAfter160Milliseconds(t *testing.T) {
	cfg := setting(t, "G", walk)
	r := rand.New(rand.NewPCG(6, 1))
	for range 60 {
		got := hearTake(t, cfg, randomTake(r, 2), turnsLength(2), 441)
		for _, v := range got.final {
			if !v.Pitch.Sworn() {
				continue
			}
			from := v.Heard.Onset
			if v.Pitch != Right && v.Offset <= -ms(brushLeadMS) {
				from = v.Time
			}
			assert.LessOrEqual(t, v.Decided-from, ms(160), "%+v", v)
		}
	}
}

package match

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"bordon/dsp"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// glanced is what the ear says at once to p.
func glanced(p played) dsp.Note {
	n := p.look(-1, p.share, ms(45), false)
	n.Glance = true
	return n
}

func TestAGlanceIsShown(t *testing.T) {
	for _, tt := range []struct {
		name string
		p    played
		want Word // "" for nothing
	}{
		{"the note asked for", note(beat(1, 8), a2), Right},
		{"another", note(beat(1, 8)+ms(12), a2+1), OutOfScale},
		{"perhaps a note", played{at: beat(1, 8), midi: a2 + 1, began: 0.4, share: 0.97}, ""},
		{"a note, but which", played{at: beat(1, 8), midi: a2 + 1, began: 0.97, share: 0.5}, ""},
		{"a strum", strum(beat(1, 8), a2), ""},
		{"between the beats", note((beat(1, 8)+beat(1, 9))/2, a2), ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			m, err := New(setting(t, "G", walk))
			require.NoError(t, err)
			n := glanced(tt.p)
			var shown []Word
			for _, e := range m.Note(&n) {
				if e.Kind == Judged && e.Verdict.Item.Position.String() == "8" {
					assert.True(t, e.Verdict.Provisional)
					assert.Equal(t, n.Decided, e.Verdict.Decided)
					shown = append(shown, e.Verdict.Pitch)
				}
			}
			if tt.want == "" {
				assert.Empty(t, shown)
			} else {
				assert.Equal(t, []Word{tt.want}, shown)
			}
			said := m.End(turnsLength(1))
			for _, e := range said {
				if e.Kind == Judged && !e.Verdict.Provisional {
					assert.Equal(t, Missing, e.Verdict.Pitch, "a glance counts for nothing")
				}
			}
		})
	}
}

// Whatever is glimpsed, the verdicts are the same.
func TestGlancesChangeNoVerdict(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 5))
		notes := looks(randomTake(rng, 3))
		with := slices.Clone(notes)
		for _, n := range notes {
			g := note(n.Onset+ms(40*rng.Float64()-20), dsp.LowestMIDI+rng.IntN(dsp.Pitches))
			g.began, g.share = rng.Float64(), rng.Float64()
			with = append(with, glanced(g))
		}
		slices.SortStableFunc(with, func(a, b dsp.Note) int { return cmp.Compare(a.Decided, b.Decided) })
		final := func(notes []dsp.Note) (said []Event) {
			m, err := New(setting(t, "G", walk))
			require.NoError(t, err)
			keep := func(events []Event) {
				for _, e := range events {
					if e.Kind == Judged && e.Verdict.Provisional {
						continue
					}
					if e.Verdict.Heard != nil {
						h := *e.Verdict.Heard
						e.Verdict.Heard = &h
					}
					said = append(said, e)
				}
			}
			for i := range notes {
				keep(m.Note(&notes[i]))
			}
			keep(m.End(turnsLength(3)))
			return said
		}
		require.Equal(t, final(notes), final(with), "seed %d", seed)
	}
}

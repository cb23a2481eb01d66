package dsp

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pluckAt is a hypothesis that a note began, named with that likelihood.
func pluckAt(hop int64, midi int, named, began float64) hypothesis {
	h := hypothesis{hop: hop, event: began}
	h.note.Began = began
	for i := range h.note.Likelihood {
		h.note.Likelihood[i] = (1 - named) / (Pitches - 1)
	}
	h.note.Likelihood[midi-LowestMIDI] = named
	return h
}

// The thumb came over the open sixth string, 29 ms before something else.
func TestAnotherNoteFollowsABrushedStringClosely(t *testing.T) {
	const brushed, after = 100, 5
	for _, tt := range []struct {
		name    string
		next    hypothesis
		told    int // onsets announced after the first
		waiting int // onsets that wait for a second look
	}{
		{"the same string still", pluckAt(brushed+after, 40, 0.98, 0.7), 0, 0},
		{"the same, far likelier", pluckAt(brushed+after, 40, 0.98, 0.999), 1, 0},
		{"another note", pluckAt(brushed+after, 50, 0.98, 0.7), 1, 1},
		{"another, of which it is not sure that it began", pluckAt(brushed+after, 50, 0.98, 0.2), 0, 1},
		{"another, but which", pluckAt(brushed+after, 50, 0.6, 0.7), 0, 0},
		{"another, long after", pluckAt(brushed+follows, 50, 0.98, 0.7), 0, 1},
	} {
		t.Run(tt.name, func(t *testing.T) {
			e, err := NewEar(EarConfig{Rate: 44100})
			require.NoError(t, err)
			hear := func(h hypothesis) int {
				e.notes = e.notes[:0]
				e.recent = [8]hypothesis{} // nothing began beside it
				e.recent[h.hop&7] = h
				e.peak(h.hop)
				return len(e.notes)
			}
			require.Equal(t, 1, hear(pluckAt(brushed, 40, 0.999, 0.98)))
			require.Zero(t, e.waiting, "of the first it is certain")
			assert.Equal(t, tt.told, hear(tt.next))
			assert.Equal(t, tt.waiting, e.waiting)
		})
	}
}

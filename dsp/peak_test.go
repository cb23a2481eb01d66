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

// What began is weighed by how sure each look is that something did.
func TestTheMeanOfLooks(t *testing.T) {
	look := func(began, first, strum, present float64) hypothesis {
		h := hypothesis{note: Note{Began: began, Strum: strum}}
		h.note.Likelihood[0], h.note.Likelihood[1], h.note.Presence[2] = first, 1-first, present
		return h
	}
	h, second, third := look(0.9, 1, 0.1, 0.2), look(0.3, 0, 0.4, 0.5), look(0, 0, 0.1, 0.8)
	h.mean(&second)
	assert.InDelta(t, 0.6, h.note.Began, 1e-12)
	assert.InDelta(t, 0.75, h.note.Likelihood[0], 1e-12, "0.9 of 1.2")
	assert.InDelta(t, 0.25, h.note.Likelihood[1], 1e-12)
	h.mean(&third)
	assert.InDelta(t, 0.4, h.note.Began, 1e-12)
	assert.InDelta(t, 0.75, h.note.Likelihood[0], 1e-12, "that nothing began names nothing")
	assert.InDelta(t, 0.2, h.note.Strum, 1e-12)
	assert.InDelta(t, 0.5, h.note.Presence[2], 1e-12)
	assert.InDelta(t, 0.4+0.6*0.2, h.event, 1e-12)
}

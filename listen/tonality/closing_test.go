package tonality

import (
	"testing"

	"bordon/dsp"
	"bordon/theory"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// walks are thumb's notes, a beat apart in a turn and a long way from turn to
// turn: times in seconds.
func walks(notes []int, beat, turn float64, turns int) (h Heard) {
	h = Heard{Rate: rate}
	for k := range turns {
		for i, midi := range notes {
			at := int64((1 + turn*float64(k) + beat*float64(i)) * rate)
			h.Bass = append(h.Bass, Bass{Onset: at, MIDI: midi, Sure: 1})
			h.Notes = append(h.Notes, dsp.Note{Onset: at, Began: 1})
		}
	}
	return h
}

func TestRunsEndOnTheTonic(t *testing.T) {
	h := walks([]int{41, 40, 41, 40, 41}, 0.6, 7, 3) // F E F E F: F major, or Phrygian on E
	var got []int
	for _, b := range h.ends() {
		got = append(got, b.MIDI)
	}
	assert.Equal(t, []int{41, 41, 41}, got)
	f, err := theory.ParseKey("F")
	require.NoError(t, err)
	e, err := theory.ParseKey("E-phrygian")
	require.NoError(t, err)
	assert.Positive(t, h.closing(f))
	assert.Negative(t, h.closing(e))
	// More turns than a few tell no more.
	many := walks([]int{41, 40, 41, 40, 41}, 0.6, 7, 30)
	assert.InDelta(t, mostClosed*h.closing(f)/3, many.closing(f), 1e-9)

	form, err := theory.LookupForm("alegrias")
	require.NoError(t, err)
	all := Name(h, form, nil, 0)
	assert.Equal(t, theory.Name{Letter: 'F'}, all[0].Key.Tonic)
	assert.Less(t, all[0].Confidence, Clear, "nothing tells major from minor")
}

func TestRunsThatDoNotEnd(t *testing.T) {
	for name, h := range map[string]Heard{
		"two notes":           walks([]int{41, 43}, 0.6, 7, 3),
		"no room to the next": walks([]int{41, 40, 41}, 0.6, 1.8, 3),
		"too slow for a walk": walks([]int{41, 40, 41}, 2.5, 20, 3),
	} {
		if name == "no room to the next" { // its last turn ends all the same
			assert.Len(t, h.ends(), 1, name)
			continue
		}
		assert.Empty(t, h.ends(), name)
	}
	// A strum where the next note would come: the landing is struck as a chord,
	// or the thumb goes on under it.
	h := walks([]int{41, 40, 41}, 0.6, 7, 1)
	h.Notes = append(h.Notes, dsp.Note{Onset: h.Bass[2].Onset + int64(0.6*rate), Strum: 0.9})
	assert.Empty(t, h.ends())
	// A note that is heard twice at once is one.
	h = walks([]int{41, 40, 41}, 0.6, 7, 1)
	h.Bass = append(h.Bass, Bass{Onset: h.Bass[2].Onset + rate/100, MIDI: 41, Sure: 1})
	assert.Len(t, h.ends(), 1)
}

// Chords count where something beside the thumb is struck.
func TestBareLinesHoldNoChords(t *testing.T) {
	h := walks([]int{41, 40, 41, 40}, 0.6, 7, 2)
	assert.Zero(t, h.full())
	h.Notes = append(h.Notes, dsp.Note{Began: 0.1})
	assert.InDelta(t, 1/9.0/fullShare, h.full(), 1e-9)
	h.Notes = append(h.Notes, dsp.Note{Began: 0.1}, dsp.Note{Strum: 0.9})
	assert.Equal(t, 1.0, h.full())
	h.Notes = nil
	assert.Equal(t, 1.0, h.full(), "it is not known")
}

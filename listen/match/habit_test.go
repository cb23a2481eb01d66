package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLateIsMeasuredByThePlayersOwnPlace(t *testing.T) {
	tests := []struct {
		name string
		off  []float64 // ms, of the notes before
		ms   float64
		want bool
	}{
		{"nothing is known", nil, 45, false},
		{"nor by one note", []float64{0}, 45, false},
		{"a steady thumb, a finger after it", []float64{-3, 0, 4, 2, -2}, 35, true},
		{"a steady thumb, a note like its others", []float64{-3, 0, 4, 2, -2}, 8, false},
		{"a thumb that lags", []float64{42, 45, 40, 47, 44}, 52, false},
		{"a thumb that is early, a finger after it", []float64{-42, -45, -40, -47, -44}, -5, true},
		{"an unsteady thumb", []float64{-30, 25, 10, -20, 35, 0, -15, 30}, 45, false},
		{"early is not late", []float64{-3, 0, 4, 2, -2}, -60, false},
		{"its place says enough", []float64{-3, 0, 4, 2, -2}, 60, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var h habit
			for _, off := range tt.off {
				h.add(0.98, off)
			}
			assert.Equal(t, tt.want, h.late(tt.ms))
			if tt.want {
				assert.Less(t, h.weight(tt.ms), h.weight(tt.off[0])/10)
			}
		})
	}
}

// A fair guitar: the ear is sure of it, and a note of which it is not is hardly
// the thumb's. On another it is sure of none.
func TestWhatTheEarIsUsuallySureOfCounts(t *testing.T) {
	var fresh, sure, unsure habit
	for range 8 {
		sure.add(0.999, 0)
		unsure.add(0.6, 0)
	}
	assert.InDelta(t, 1, fresh.weight(0), 1e-9)
	assert.Less(t, sure.weight(0), 0.5)
	assert.Greater(t, unsure.weight(0), 2.0)
}

// After a steady turn a treble note that shakes the body 40 ms after the beat is
// no wrong note, and a wrong one on the beat is one.
func TestAFingerAfterASilentThumbIsNoWrongNote(t *testing.T) {
	for off, want := range map[float64]Word{40: Missing, 2: OutOfScale} {
		take := rightTake(2)
		take[5] = played{at: take[5].at + ms(off), midi: bb2, began: 0.8, share: 0.97}
		r := hearTake(t, setting(t, "G", walk), take, turnsLength(2), 441)
		assert.Equal(t, want, r.final[5].Pitch, "%v ms after the beat", off)
	}
}

func TestAPlayerMayMoveBack(t *testing.T) {
	var h habit
	for range 300 {
		h.add(0.98, 0)
	}
	for range 100 {
		h.add(0.98, 60)
	}
	assert.False(t, h.late(65))
	assert.InDelta(t, habitNotes, h.notes, 1)
}

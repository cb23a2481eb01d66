package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"bordon/listen"
	"bordon/listen/grid"
	"bordon/ui/words"
)

// What comes next goes by the place that the player has reached; where that is
// not known nothing comes.
func TestFollow(t *testing.T) {
	set := settings(t, "G", "", 0)
	set.Find = &grid.Options{}
	w := NewWriter(words.English, set, rate)
	assert.Zero(t, w.Page().Header.Tempo, "it is not known yet")
	w.Follow(&listen.Place{Turn: 2, Beat: 8, Tempo: 103.7})
	p := w.Page()
	assert.Equal(t, 8, p.Beat)
	assert.InDelta(t, 104, p.Header.Tempo, 0)
	require.NotNil(t, p.Next)
	assert.Equal(t, "9", p.Next.Beat)
	w.Follow(&listen.Place{Turn: 2, Beat: 11, Tempo: 103.7})
	require.NotNil(t, w.Page().Next)
	assert.Equal(t, "7", w.Page().Next.Beat, "of the turn after")
	w.Follow(nil)
	assert.Nil(t, w.Page().Next)
	assert.Zero(t, w.Page().Beat)
	assert.Zero(t, w.Page().Header.Tempo)
}

package match

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBlameGrowsWithWhatSpeaksForTheNote(t *testing.T) {
	base := blame(0.6, 0.8, 0.1, 1, false)
	assert.Greater(t, blame(0.8, 0.8, 0.1, 1, false), base)
	assert.Greater(t, blame(0.6, 0.9, 0.1, 1, false), base)
	assert.Greater(t, blame(0.6, 0.8, 0.1, 2, false), base)
	assert.Greater(t, blame(0.6, 0.8, 0.1, 1, true), base, "fingers and brushed strings are in the key")
	assert.Less(t, blame(0.6, 0.8, 0.9, 1, false), base, "the one asked for sounds")
}

// However sure the ear is of one half of it, the other half must be likely.
func TestAWrongNoteMustHaveBegunAndBeenNamed(t *testing.T) {
	for _, tt := range []struct {
		began, share float64
		want         Word
	}{
		{0.98, 0.98, OutOfScale},
		{0.98, 0.50, Unsure},
		{0.4, 0.99, Unsure},
	} {
		take := rightTake(1)
		take[1].midi, take[1].began, take[1].share, take[1].other = bb2, tt.began, tt.share, 49
		r := hearTake(t, setting(t, "G", walk), take, turnsLength(1), 441)
		assert.Equal(t, []Word{Right, tt.want, Right, Right}, r.words(), "began %v, share %v", tt.began, tt.share)
	}
}

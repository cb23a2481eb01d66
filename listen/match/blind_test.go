package match

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The ear wavers between the note asked for and another: knowing the line
// decides for the first, and without knowing it the likelier one stands.
func TestBlindWeighsAllNotesAlike(t *testing.T) {
	take := rightTake(1)
	take[1].share, take[1].other = 0.3, bb2 // 0.3 for A2, 0.7 for B flat
	cfg := setting(t, "G", walk)
	require.Equal(t, Right, hearTake(t, cfg, take, turnsLength(1), 441).final[1].Pitch)
	cfg.Blind = true
	require.Equal(t, OutOfScale, hearTake(t, cfg, take, turnsLength(1), 441).final[1].Pitch)
}

package listen

import (
	"testing"

	"bordon/dsp"
	"bordon/fixtures"

	"github.com/stretchr/testify/require"
)

func TestWhatIsMeasuredReachesEarAndMatcher(t *testing.T) {
	set := settingsOf(t, firstTake(t))
	set.Weights, set.Without, set.Blind = &dsp.Weights{}, dsp.Past|dsp.Shape, true
	ear := set.hearing(44100)
	require.Same(t, set.Weights, ear.Net)
	require.Equal(t, dsp.Past|dsp.Shape, ear.Without)
	cfg, err := set.matching(44100)
	require.NoError(t, err)
	require.True(t, cfg.Blind)
}

func firstTake(t *testing.T) fixtures.Take {
	t.Helper()
	takes, err := fixtures.Scenario()
	require.NoError(t, err)
	return takes[0]
}

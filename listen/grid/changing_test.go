package grid_test

import (
	"fmt"
	"math"
	"testing"

	"bordon/listen/grid"

	"github.com/stretchr/testify/assert"
)

func ExampleChanging_With() {
	g := grid.NewChanging(grid.Fixed{Rate: 48000, Tempo: 60, FirstBeat: 1})
	g = g.With(12, 60.0/120) // twice as fast from the second turn on
	fmt.Println(g.Sample(11), g.Sample(12), g.Sample(13))
	// Output: 576000 624000 648000
}

func TestChangingIsWhatItsTemposSay(t *testing.T) {
	const rate, base = 48000, 100.0
	g := grid.NewChanging(grid.Fixed{Rate: rate, Tempo: base, FirstBeat: -0.3})
	at := -0.3
	tempos := []float64{100, 104, 52, 104.02, 260}
	for turn, tempo := range tempos {
		g = g.With(float64(12*turn), base/tempo)
		for beat := 0.0; beat < 12; beat += 0.5 {
			// Half a sample of rounding here, and one of the base's at most.
			assert.InDelta(t, (at+beat*60/tempo)*rate, g.Sample(float64(12*turn)+beat), 3, "turn %d, beat %g", turn, beat)
		}
		at += 12 * 60 / tempo
	}
	last := int64(math.MinInt64)
	for beat := -12.0; beat < 72; beat += 0.25 {
		s := g.Sample(beat)
		assert.Greater(t, s, last, "it increases strictly")
		last = s
		assert.InDelta(t, beat, g.Beat(s), 3*260.0/60/rate, "the inverse, at beat %g", beat)
	}
	assert.Equal(t, base/52, g.Factor(30))
	assert.Equal(t, 1.0, g.Factor(-1))
	back := g.With(24, 1)
	assert.Equal(t, g.Sample(23.5), back.Sample(23.5))
	assert.Equal(t, 1.0, back.Factor(50), "later changes are taken back")
	assert.Equal(t, g, g.With(3, 0))
}

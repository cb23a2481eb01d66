package grid_test

import (
	"fmt"
	"math"
	"testing"

	"bordon/listen/grid"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ExampleFixed_Sample() {
	g, err := grid.NewFixed(48000, 96, 1.84)
	if err != nil {
		fmt.Println(err)
		return
	}
	// Beat 7 of the first turn is six beats of 0.625 s after beat 1.
	fmt.Println(g.Sample(6), float64(g.Sample(6))/48000)
	// Output: 268320 5.59
}

func TestFixedPlacesBeats(t *testing.T) {
	tests := []struct {
		name             string
		rate             int
		tempo, firstBeat float64
		beat             float64
		want             int64
	}{
		{"first beat", 44100, 104, 2, 0, 88200},
		{"a second a beat", 48000, 60, 0, 7, 336000},
		{"between beats", 48000, 120, 0, 0.5, 12000},
		{"recording starts late", 48000, 60, -1.5, 1, -24000},
		{"second turn of twelve", 8000, 240, 0.25, 12, 26000},
		// 60/104 s is 25442.3 samples of 44.1 kHz.
		{"rounded to the nearest sample", 44100, 104, 0, 1, 25442},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			g, err := grid.NewFixed(tt.rate, tt.tempo, tt.firstBeat)
			require.NoError(t, err)
			assert.Equal(t, tt.want, g.Sample(tt.beat))
			// Half a sample of rounding, in beats.
			assert.InDelta(t, tt.beat, g.Beat(tt.want), 0.5*tt.tempo/60/float64(tt.rate))
		})
	}
}

func TestFixedDoesNotDrift(t *testing.T) {
	g, err := grid.NewFixed(44100, 137, 0.3)
	require.NoError(t, err)
	// Three hours in, a beat is still where the tempo puts it: half a sample
	// of rounding and no more.
	beat := 3 * 60 * 137.0
	assert.InDelta(t, (0.3+3*3600)*44100, float64(g.Sample(beat)), 0.5)
}

func TestNewFixedRefuses(t *testing.T) {
	tests := []struct {
		name             string
		rate             int
		tempo, firstBeat float64
		want             string
	}{
		{"no tempo", 48000, 0, 0, "a tempo of 0 beats a minute is not usable; it must be 20 to 400"},
		{"too slow", 48000, 19.9, 0, "a tempo of 19.9 beats"},
		{"too fast", 48000, 400.5, 0, "a tempo of 400.5 beats"},
		{"backwards", 48000, -90, 0, "a tempo of -90 beats"},
		{"no number", 48000, math.NaN(), 0, "a tempo of NaN beats"},
		{"no rate", 0, 90, 0, "a rate of 0 samples a second is not usable; it must be 8000 to 192000"},
		{"one sample a second", 1, 90, 0, "a rate of 1 samples"},
		{"rate too high", 192001, 90, 0, "a rate of 192001 samples"},
		{"first beat nowhere", 48000, 90, math.NaN(), "a first beat at NaN seconds"},
		{"first beat never", 48000, 90, math.Inf(1), "a first beat at +Inf seconds"},
		{"first beat last year", 48000, 90, -1e7, "within 86400 seconds"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := grid.NewFixed(tt.rate, tt.tempo, tt.firstBeat)
			assert.ErrorContains(t, err, tt.want)
		})
	}
}

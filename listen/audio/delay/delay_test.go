package delay_test

import (
	"math/rand/v2"
	"testing"

	"bordon/listen/audio/delay"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rate = 48000

// room hears the track late, quietly, with an echo, in noise.
func room(late int, gain, noise float64) (heard []float32, places []float64) {
	track, starts := delay.Track(rate)
	rng := rand.New(rand.NewPCG(3, 1))
	heard = make([]float32, len(track)+rate)
	for i := range heard {
		heard[i] = float32(noise * rng.NormFloat64())
	}
	lead := rate / 4
	for i, v := range track {
		for _, echo := range []struct {
			at   int
			gain float64
		}{{0, 1}, {331, -0.5}, {1900, 0.3}} {
			if k := lead + i + late + echo.at; k < len(heard) {
				heard[k] += float32(gain*echo.gain) * v
			}
		}
	}
	for _, s := range starts {
		places = append(places, float64(s+int64(lead)))
	}
	return heard, places
}

func TestFind(t *testing.T) {
	for _, tt := range []struct {
		late        int
		gain, noise float64
	}{{0, 1, 0}, {5126, 1, 0}, {6400, 0.02, 0.002}, {20000, -0.1, 0.01}, {-480, 0.5, 0.01}} {
		heard, places := room(tt.late, tt.gain, tt.noise)
		r, err := delay.Find(heard, rate, places)
		require.NoError(t, err, "%+v", tt)
		// A sample either way, in noise.
		assert.InDelta(t, float64(tt.late)*1000/rate, r.MS, 0.03, "%+v", tt)
		assert.GreaterOrEqual(t, r.Heard, 10)
		assert.Less(t, r.Spread, 0.1)
	}
}

func TestFindRejectsOutliers(t *testing.T) {
	heard, places := room(5000, 1, 0.001)
	for i := range 3 { // three of the twelve come from elsewhere
		places[4*i] += 4000
	}
	r, err := delay.Find(heard, rate, places)
	require.NoError(t, err)
	assert.InDelta(t, 5000.0*1000/rate, r.MS, 0.03)
	assert.Equal(t, 9, r.Heard)
}

func TestFindRefuses(t *testing.T) {
	heard, places := room(5000, 0, 0.05)
	_, err := delay.Find(heard, rate, places)
	assert.ErrorContains(t, err, "were heard; make it louder")
	_, err = delay.Find(make([]float32, 10), rate, places)
	assert.ErrorContains(t, err, "only 0 of 12")
	heard, places = room(5000, 1, 0)
	for i := range places {
		places[i] -= float64(i * 500)
	}
	_, err = delay.Find(heard, rate, places)
	assert.ErrorContains(t, err, "no delay can be told")
}

func TestTrackBeginsQuiet(t *testing.T) {
	track, starts := delay.Track(rate)
	require.Len(t, starts, 12)
	peak := func(i int) (m float32) {
		for _, v := range track[starts[i] : starts[i]+480] {
			m = max(m, v, -v)
		}
		return m
	}
	assert.LessOrEqual(t, peak(0), float32(0.1))
	for i := 1; i < 12; i++ {
		assert.GreaterOrEqual(t, peak(i), peak(i-1))
		assert.LessOrEqual(t, peak(i), float32(0.5))
	}
}

func TestTogether(t *testing.T) {
	var notes []int64
	var beats []float64
	for i := range 8 {
		beats = append(beats, float64(48000*i+96000))
		notes = append(notes, int64(48000*i+96000+5000+(i%3-1)*700))
	}
	notes[5] += 9000 // slipped
	r, err := delay.Together(notes, beats, rate)
	require.NoError(t, err)
	assert.InDelta(t, 5000.0/48, r.MS, 15, "the median of hands that are 15 ms off")
	assert.Equal(t, 7, r.Heard)
	_, err = delay.Together(notes[:3], beats, rate)
	assert.ErrorContains(t, err, "only 3 of 8 beats had a note")
	_, err = delay.Together(nil, nil, rate)
	assert.Error(t, err)
}
